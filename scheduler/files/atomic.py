"""Files that are there as a whole or not at all.

Content is written to a temporary name in the same folder, flushed to disk, and renamed,
so that no reader ever meets half a file and a failed run leaves the old one in place.
"""

import os
import tempfile
from pathlib import Path


def write_text(path: Path, text: str) -> None:
    """Write UTF-8 text to ``path`` in one step.

    The folder must exist. Line ends are written as they are in ``text``.

    Raises
    ------
    OSError
        When the folder cannot be written to; ``path`` is then as it was before.
    """
    write_bytes(path, text.encode())


def write_bytes(path: Path, data: bytes) -> None:
    """Write bytes to ``path`` in one step; otherwise as `write_text`."""
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    temporary = Path(name)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        temporary.chmod(_usual_mode())
        temporary.replace(path)
    except BaseException:
        temporary.unlink(missing_ok=True)
        raise


def _usual_mode() -> int:
    """Permissions that a file opened in the ordinary way would have."""
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask

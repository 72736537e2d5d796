"""Files that are there as a whole or not at all.

Text is written to a temporary name in the same folder, flushed to disk, and renamed,
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
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    temporary = Path(name)
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as stream:
            stream.write(text)
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

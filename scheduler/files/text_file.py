"""Text of a scenario file: UTF-8, with or without a byte-order mark."""

from pathlib import Path

from scheduler.files.faults import FaultList


def read_text(path: Path, faults: FaultList) -> str | None:
    """Read a text file; None with one fault where it is missing or not UTF-8."""
    try:
        return path.read_bytes().decode("utf-8-sig")
    except FileNotFoundError:
        faults.add(path.name, None, "", "a file of this name", "none")
    except UnicodeDecodeError as error:
        line = error.object[: error.start].count(b"\n") + 1
        faults.add(path.name, line, "", "UTF-8 text", "other bytes")
    except OSError as error:
        reason = error.strerror or "an error"
        faults.add(path.name, None, "", "a file that can be read", reason)
    return None

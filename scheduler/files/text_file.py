"""Text of a scenario file: UTF-8, with or without a byte-order mark."""

from pathlib import Path

from scheduler.files.faults import FaultList


def read_text(path: Path, faults: FaultList) -> str | None:
    """Read a text file; None with one fault where it is missing or not UTF-8."""
    data = read_data(path, faults)
    return None if data is None else as_text(path.name, data, faults)


def read_data(path: Path, faults: FaultList) -> bytes | None:
    """Read a file as it is; None with one fault where that cannot be."""
    try:
        return path.read_bytes()
    except FileNotFoundError:
        faults.add(path.name, None, "", "a file of this name", "none")
    except OSError as error:
        reason = error.strerror or "an error"
        faults.add(path.name, None, "", "a file that can be read", reason)
    return None


def as_text(
    file: str, data: bytes, faults: FaultList, *, first_line: int = 1
) -> str | None:
    """Text of data that begins on line ``first_line``; None if it is not UTF-8."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = first_line + data[: error.start].count(b"\n")
        faults.add(file, line, "", "UTF-8 text", "other bytes")
    return None

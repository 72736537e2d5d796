"""Option tables kept beside a plan, so that only what changed is computed again.

Enters: tables with the digest of what each was computed from. Leaves: ``tables.json``.
It is a cache: a file that is missing, damaged or of another format counts as empty.
"""

import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any

from scheduler.day import Duty, Task
from scheduler.errors import DayError
from scheduler.files.atomic import write_text
from scheduler.options import Limit, Option, OptionTable

TABLES_NAME = "tables.json"
FORMAT = 1


def write_tables(
    path: Path, tables: Iterable[OptionTable], digests: Mapping[str, str]
) -> None:
    """Write tables with their digests; the file is replaced as a whole."""
    rows = [
        {"digest": digests[table.turnaround_id], "table": asdict(table)}
        for table in tables
        if table.turnaround_id in digests
    ]
    write_text(path, json.dumps({"format": FORMAT, "tables": rows}) + "\n")


def read_tables(path: Path) -> dict[str, tuple[str, OptionTable]]:
    """Read (digest, table) by turnaround; nothing where the file is of no use."""
    try:
        content = json.loads(path.read_text(encoding="utf-8"))
        if content["format"] != FORMAT:
            return {}
        found = [(row["digest"], _table(row["table"])) for row in content["tables"]]
    except (OSError, ValueError, KeyError, TypeError, DayError):
        return {}
    return {table.turnaround_id: (digest, table) for digest, table in found}


def _table(row: dict[str, Any]) -> OptionTable:
    return OptionTable(
        **{
            **row,
            "options": tuple(_option(one) for one in row["options"]),
            "limit_minutes": tuple(
                (Limit(limit), minute) for limit, minute in row["limit_minutes"]
            ),
            "duties": tuple(
                Duty(**{**one, "task": Task(one["task"])}) for one in row["duties"]
            ),
        }
    )


def _option(row: dict[str, Any]) -> Option:
    binding, witness = row["binding"], row["witness"]
    return Option(
        **{
            **row,
            "binding": None if binding is None else Limit(binding),
            "witness": None if witness is None else (witness[0], witness[1]),
        }
    )

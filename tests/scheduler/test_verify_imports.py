"""The verifier shares no code with what makes a plan."""

import ast
from pathlib import Path

import scheduler.verify

ALLOWED = ("clock", "day", "errors", "options", "plan", "cases", "verify")


def imported(path: Path) -> set[str]:
    """Full names of the modules that a file imports."""
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        if isinstance(node, ast.ImportFrom) and node.module is not None:
            names.add(node.module)
    return names


def test_verifier_integrates_by_itself():
    """Of the heat it sees inputs, phases and the exported tables, no integration."""
    files = list(Path(scheduler.verify.__file__).parent.glob("*.py"))
    heat = {name for name in set().union(*map(imported, files)) if "thermal." in name}
    barred = ("integrate", "cooling", "departure", "margins", "conductances", "films")
    assert "thermal.export" in heat
    assert heat.isdisjoint(f"thermal.{name}" for name in barred)


def test_verifier_imports_nothing_that_plans():
    """Of this package it sees records and itself only, and no solver at all."""
    files = list(Path(scheduler.verify.__file__).parent.glob("*.py"))
    names = set().union(*map(imported, files))
    own = {name.split(".")[1] for name in names if name.startswith("scheduler.")}
    assert len(files) > 5
    assert own <= set(ALLOWED)
    assert not [name for name in names if name.startswith("ortools")]

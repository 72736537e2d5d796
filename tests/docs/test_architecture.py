"""The page on architecture shows the import rows that the checks enforce."""

import re
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "architecture.md"
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
CONTRACTS = {
    contract["containers"][0]: contract
    for contract in PROJECT["tool"]["importlinter"]["contracts"]
    if contract["type"] == "layers"
}
PACKAGES = ("thermal", "scheduler")


def rows_on_page(package: str) -> list[str]:
    """Rows of one package's table, top first."""
    text = PAGE.read_text(encoding="utf-8")
    section = text.split(f"## `{package}`")[1].split("\n## ")[0]
    marked = re.findall(r"^\| `([^`]+)` \|", section, re.MULTILINE)
    return [row.replace("\\|", "|") for row in marked]


@pytest.mark.parametrize("package", PACKAGES)
def test_page_shows_the_enforced_rows(package):
    """Same rows, same order, same walls inside a row."""
    assert rows_on_page(package) == CONTRACTS[package]["layers"]


@pytest.mark.parametrize("package", PACKAGES)
def test_every_module_has_a_row(package):
    """A module without a place fails, and only bracketed places may be empty."""
    assert CONTRACTS[package]["exhaustive"] is True
    placed = re.findall(r"\(?\w+\)?", " ".join(CONTRACTS[package]["layers"]))
    modules = {
        path.stem
        for path in (ROOT / package).iterdir()
        if path.suffix == ".py" or (path / "__init__.py").exists()
    } - {"__init__"}
    names = {name.strip("()") for name in placed}
    needed = {name for name in placed if not name.startswith("(")}
    assert modules - names == set()
    assert needed - modules == set()

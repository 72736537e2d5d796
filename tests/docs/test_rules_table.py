"""The table of rules names classes, codes and tests that exist, and misses none."""

import inspect
import re
from pathlib import Path

import pytest

from scheduler.model import rules
from scheduler.verify import Code

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "rules.md").read_text(encoding="utf-8")
NAMED = set(re.findall(r"`(\w+)`", PAGE))
RULES = {
    name
    for name, found in inspect.getmembers(rules, inspect.isclass)
    if found.__module__ == rules.__name__ and name != "Rule"
}
TESTS = set(
    re.findall(
        r"^def (test_\w+)",
        "\n".join(
            path.read_text(encoding="utf-8")
            for path in (ROOT / "tests").rglob("test_*.py")
        ),
        re.MULTILINE,
    )
)


@pytest.mark.parametrize("name", sorted(RULES))
def test_rule_of_the_model_is_in_the_table(name):
    """A class of the model without a row is a rule that nobody documented."""
    assert name in NAMED


@pytest.mark.parametrize("code", list(Code), ids=lambda code: code.name)
def test_code_of_the_check_is_in_the_table(code):
    """Every violation that the check can report is explained."""
    assert code.name in NAMED


def test_named_codes_exist():
    """A word in capitals is a code of the check."""
    capitals = {name for name in NAMED if name.isupper()}
    assert capitals - {code.name for code in Code} == set()


def test_named_tests_exist():
    """Every test of the table is there."""
    tests = {name for name in NAMED if name.startswith("test_")}
    assert len(tests) > 30
    assert tests - TESTS == set()


def test_every_rule_has_tests():
    """No row of the table is without a test that exists."""
    lines = [line for line in PAGE.splitlines() if line.startswith("| ")]
    rows = [line for line in lines if not line.startswith(("| rule |", "| what |"))]
    assert rows
    assert [row for row in rows if not set(re.findall(r"`(test_\w+)`", row))] == []

"""Options and fixtures for all tests."""

import re
from collections.abc import Callable
from pathlib import Path

import pytest

GOLDEN_FOLDER = Path(__file__).parent / "golden"
VOLATILE = (
    (re.compile(r"\d+\.\d s\b"), "<seconds> s"),
    (re.compile(r"CP-SAT [\d.]+"), "CP-SAT <version>"),
)


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the switch that rewrites the stored texts."""
    parser.addoption(
        "--update-golden",
        action="store_true",
        help="store what the program writes now as the text to compare with",
    )


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Keep a file's tests on one worker, and all that share a planned scenario."""
    for item in items:
        folder = item.path.parent.name
        group = folder if folder == "scenarios" else item.path.stem
        item.add_marker(pytest.mark.xdist_group(group))


@pytest.fixture
def update_golden(request: pytest.FixtureRequest) -> bool:
    """Whether stored texts are to be rewritten."""
    return bool(request.config.getoption("--update-golden"))


@pytest.fixture
def golden(update_golden: bool) -> Callable[[str, str], None]:
    """Compare a text with the stored one of that name; save the actual one beside."""

    def compare(name: str, text: str) -> None:
        for pattern, mark in VOLATILE:
            text = pattern.sub(mark, text)
        stored = GOLDEN_FOLDER / name
        if update_golden:
            stored.write_text(text, encoding="utf-8")
            return
        if text != stored.read_text(encoding="utf-8"):
            actual = GOLDEN_FOLDER / "out" / name
            actual.parent.mkdir(exist_ok=True)
            actual.write_text(text, encoding="utf-8")
        assert text == stored.read_text(encoding="utf-8")

    return compare

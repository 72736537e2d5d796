"""The quick starts work as they are written, line by line."""

import re
import shlex
import shutil
from importlib.util import find_spec
from pathlib import Path

import pytest

from scheduler.cli.application import main, parser

ROOT = Path(__file__).parents[2]
PAGES = sorted((ROOT / "docs" / "start").glob("*.md"))
BLOCK = re.compile(r"^```sh\n(.*?)^```", re.DOTALL | re.MULTILINE)
GOOD_OR_NOT_MADE = (0, 1)


def lines_of(page: Path) -> list[list[str]]:
    """Words of every command on a page, in its order."""
    text = "\n".join(BLOCK.findall(page.read_text(encoding="utf-8")))
    return [shlex.split(line) for line in text.splitlines() if line]


def test_there_is_a_page_for_each_person():
    """Everybody whom the program answers has a first page."""
    names = ("controller", "crew", "load-planner", "maintenance", "station-manager")
    assert tuple(page.stem for page in PAGES) == names


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_commands_are_understood(page):
    """No option on a page is unknown or misspelt."""
    lines = lines_of(page)
    assert len(lines) > 1
    for program, *words in lines:
        assert program == "heatslot"
        assert callable(parser().parse_args(words).run)


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_page_has_its_cautions(page):
    """A page that somebody could act on says who decides."""
    text = page.read_text(encoding="utf-8")
    assert re.search(r"decides|procedure to say|safety\.md|licensed", text)


@pytest.mark.slow
@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_commands_of_a_page_run_in_order(page, tmp_path, monkeypatch, capsys):
    """In a fresh folder each line does what it says; none is bad input."""
    shutil.copytree(ROOT / "scenarios", tmp_path / "scenarios")
    monkeypatch.chdir(tmp_path)
    for _, *words in lines_of(page):
        if "--plots" in words and find_spec("matplotlib") is None:
            continue
        code = main(words)
        told = capsys.readouterr()
        assert code in GOOD_OR_NOT_MADE, f"{words}\n{told.err}"
        assert told.out


@pytest.mark.slow
def test_python_on_the_page_of_names_runs(monkeypatch):
    """The lines for other programs do what they assert."""
    text = (ROOT / "docs" / "api.md").read_text(encoding="utf-8")
    (code,) = re.findall(r"^```python\n(.*?)^```", text, re.DOTALL | re.MULTILINE)
    monkeypatch.chdir(ROOT)
    names: dict[str, object] = {}
    exec(code, names)
    assert names["ready"]

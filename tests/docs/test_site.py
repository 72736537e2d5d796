"""The site: what the program writes of it is true, and it builds without a warning."""

import argparse
import importlib.util
import re
import subprocess
import sys
from pathlib import Path

import pytest

import scheduler
import thermal
from scheduler.cli.application import parser
from scheduler.cli.registry import commands
from tests.docs import site_parts

ROOT = Path(__file__).parents[2]
DOCS = ROOT / "docs"
INDEX = (DOCS / "index.md").read_text(encoding="utf-8")
API = (DOCS / "api.md").read_text(encoding="utf-8")
NEEDED = ("sphinx", "myst_parser", "furo", "matplotlib")
MISSING = [name for name in NEEDED if importlib.util.find_spec(name) is None]


def entries(text: str) -> set[str]:
    """Pages that the lists of contents of a page name."""
    blocks = re.findall(r"^```\{toctree\}\n(.*?)^```", text, re.DOTALL | re.MULTILINE)
    lines = "\n".join(blocks).splitlines()
    return {line for line in lines if line and not line.startswith(":")}


def test_every_page_is_in_the_contents():
    """A page without a place is one that nobody finds."""
    named = entries(INDEX) | entries(API)
    pages = {
        str(page.relative_to(DOCS).with_suffix(""))
        for page in DOCS.rglob("*.md")
        if not page.relative_to(DOCS).parts[0].startswith("_")
    }
    assert pages - {"index"} - named == set()
    written = {"_generated/commands", "_generated/scheduler", "_generated/thermal"}
    assert named - pages == written


@pytest.mark.parametrize("command", commands(), ids=lambda command: command.name)
def test_page_of_commands_has_every_option(command):
    """The help on the page is the help of the program, with all its options."""
    text = site_parts.commands_text()
    own = argparse.ArgumentParser(add_help=False)
    command.add_arguments(own)
    section = text.split(f"\nheatslot {command.name}\n---")[1].split("\n---")[0]
    options = {word for action in own._actions for word in action.option_strings}
    assert {word for word in options if word not in section} == set()
    assert "\x1b" not in text


def test_help_does_not_depend_on_the_terminal(monkeypatch):
    """The page reads the same whoever builds it, and leaves the environment alone."""
    wide = site_parts.help_of(["plan"])
    monkeypatch.setenv("COLUMNS", "40")
    assert site_parts.help_of(["plan"]) == wide
    assert parser().prog in wide
    assert max(map(len, wide.splitlines())) <= 88


@pytest.mark.parametrize("package", [scheduler, thermal], ids=lambda one: one.__name__)
def test_page_of_names_has_all_public_ones(package):
    """What a package offers is on its page, each as what it is."""
    listed = re.findall(rf"auto\w+:: {package.__name__}\.(\w+)$", *_lines(package))
    assert listed == list(package.__all__)


def _lines(package):
    return site_parts.api_text(package), re.MULTILINE


def test_pictures_that_pages_show_are_drawn():
    """A page shows only pictures that the plan of its day gives."""
    shown = {
        name
        for page in DOCS.rglob("*.md")
        for name in re.findall(
            r"^```\{figure\} \S*_generated/(\S+)$",
            page.read_text("utf-8"),
            re.MULTILINE,
        )
    }
    assert {name.split(".")[0] for name in shown} == {
        "timeline",
        "curves",
        "tradeoff",
        "brief-S19",
    }


@pytest.mark.slow
@pytest.mark.skipif(bool(MISSING), reason=f"needs the extras docs, plots: {MISSING}")
def test_site_builds_without_a_warning(tmp_path):
    """Every link, list and name resolves; the pictures are there."""
    words = [sys.executable, "-m", "sphinx", "-W", "--keep-going", "-q", "-b", "html"]
    done = subprocess.run(
        [*words, "-d", str(tmp_path / "trees"), str(DOCS), str(tmp_path / "html")],
        check=False,
        capture_output=True,
        text=True,
    )
    assert (done.returncode, done.stderr) == (0, "")
    for page in entries(INDEX):
        assert (tmp_path / "html" / f"{page}.html").is_file()
    home = (tmp_path / "html" / "index.html").read_text(encoding="utf-8")
    assert "timeline.svg" in home

"""Links between pages lead somewhere, and commands that pages name exist."""

import re
import shlex
from pathlib import Path

import pytest

from scheduler.cli.registry import commands

ROOT = Path(__file__).parents[2]
PAGES = sorted([*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md")])
LINK = re.compile(r"\[[^\]]*\]\(([^)\s]+)\)")
COMMAND = re.compile(r"heatslot ([a-z]+)\b")
NAMES = {command.name for command in commands()}


def without_code(text: str) -> str:
    """Text of a page without its code blocks."""
    return re.sub(r"^```.*?^```", "", text, flags=re.DOTALL | re.MULTILINE)


def code_of(text: str) -> list[str]:
    """Code on a page: blocks, and words in code marks."""
    blocks = re.findall(r"^```\w*\n(.*?)^```", text, re.DOTALL | re.MULTILINE)
    return blocks + re.findall(r"`([^`\n]+)`", without_code(text))


def anchors_of(page: Path) -> set[str]:
    """Anchors of a page's headings."""
    titles = re.findall(r"^#+ (.+)$", without_code(page.read_text("utf-8")), re.M)
    plain = [re.sub(r"[^\w\- ]", "", title.lower()) for title in titles]
    return {title.strip().replace(" ", "-") for title in plain}


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_links_lead_to_files_and_headings(page):
    """A relative link names a file that is there, and a heading it has."""
    broken = []
    for link in LINK.findall(without_code(page.read_text(encoding="utf-8"))):
        if re.match(r"[a-z]+:", link):
            continue
        name, _, anchor = link.partition("#")
        target = (page.parent / name).resolve() if name else page
        heading_is_there = not anchor or (
            target.suffix == ".md" and anchor in anchors_of(target)
        )
        if not (target.is_relative_to(ROOT) and target.exists() and heading_is_there):
            broken.append(link)
    assert broken == []


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_commands_that_pages_name_exist(page):
    """Code on a page calls only commands that the program has."""
    code = "\n".join(code_of(page.read_text(encoding="utf-8")))
    assert set(COMMAND.findall(code)) - NAMES == set()


def test_readme_names_every_command():
    """Somebody who reads only the first page knows all commands."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    listed = re.findall(r"^\| `heatslot ([a-z]+)[^`]*` \|", text, re.MULTILINE)
    assert sorted(listed) == sorted(NAMES)


def test_scenarios_that_the_readme_plans_exist():
    """The first command works on a fresh checkout: its scenario is there."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    (line,) = [line for line in text.splitlines() if "bin/heatslot plan" in line]
    folder = ROOT / shlex.split(line)[-1]
    assert (folder / "station.toml").is_file()


def test_every_page_can_be_reached_from_the_readme():
    """No page lies about unlinked."""
    seen, waiting = set(), [ROOT / "README.md"]
    while waiting:
        page = waiting.pop()
        if page in seen or page.suffix != ".md":
            continue
        seen.add(page)
        links = LINK.findall(without_code(page.read_text(encoding="utf-8")))
        names = [link.partition("#")[0] for link in links if ":" not in link]
        waiting += [(page.parent / name).resolve() for name in names if name]
    assert set(PAGES) - seen == set()

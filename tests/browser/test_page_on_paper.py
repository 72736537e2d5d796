"""The page printed: A4 landscape, no row in two halves, the axis on every page."""

from __future__ import annotations

import re
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from scheduler.report.page.view import plan_id
from tests.drawn_plans import drawn_plan

if TYPE_CHECKING:
    from playwright.sync_api import Page

PLAN = drawn_plan(60, 700)
A4_LANDSCAPE_PT = (842, 595)
LABEL_PT, ROW_PT = 60, 20


@pytest.fixture
def pages(show: Callable[..., Page], tmp_path: Path) -> list[str]:
    """Text of each printed page, laid out as it stands."""
    if shutil.which("pdftotext") is None:
        pytest.skip("needs pdftotext (apt-get install poppler-utils)")
    path = tmp_path / "report.pdf"
    show(PLAN).pdf(path=path, prefer_css_page_size=True)
    words = ["pdftotext", "-layout", str(path), "-"]
    done = subprocess.run(words, check=True, capture_output=True, text=True)
    return done.stdout.split("\f")[:-1]


@pytest.fixture
def boxes(show: Callable[..., Page], tmp_path: Path) -> str:
    """Words of the print with their places."""
    if shutil.which("pdftotext") is None:
        pytest.skip("needs pdftotext (apt-get install poppler-utils)")
    path = tmp_path / "report.pdf"
    show(PLAN).pdf(path=path, prefer_css_page_size=True)
    words = ["pdftotext", "-bbox", str(path), "-"]
    return subprocess.run(words, check=True, capture_output=True, text=True).stdout


def test_no_row_is_cut_in_two(pages: list[str]) -> None:
    """Tail, flight and what it waits for of each of 60 rows stand on one page."""
    for row in PLAN.turnarounds:
        small = re.compile(rf"{row.id}, stand {row.stand}(?!\d)")
        holding = [k for k, text in enumerate(pages) if small.search(text)]
        timeline = [k for k in holding if "Waits for" in pages[k]]
        assert len(timeline) == 1, row.id
        assert row.tail in pages[timeline[0]], row.id


def test_the_lines_of_a_row_stand_together(boxes: str) -> None:
    """In the rows, the flight stands right below its tail, on the same page."""
    place = r'xMin="([\d.]+)" yMin="([\d.]+)" xMax="[\d.]+" yMax="[\d.]+">(.*?)<'
    apart = {}
    for text in boxes.split("<page ")[1:]:
        words = re.findall(place, text)
        left = {word: float(top) for x, top, word in words if float(x) < LABEL_PT}
        for row in PLAN.turnarounds:
            if row.tail in left and f"{row.id}," in left:
                apart[row.id] = left[f"{row.id},"] - left[row.tail]
    assert set(apart) == {row.id for row in PLAN.turnarounds}
    assert all(0 < gap < ROW_PT for gap in apart.values()), apart


def test_each_timeline_page_carries_the_axis(pages: list[str]) -> None:
    """Hours stand above the rows on every page that has rows."""
    with_rows = [text for text in pages if re.search(r"LB\d+, stand \d+\n?", text)]
    with_rows = [text for text in with_rows if "Waits for" in text]
    assert len(with_rows) >= 3
    for text in with_rows:
        head = "\n".join(text.strip().splitlines()[:8])
        assert len(re.findall(r"\b\d\d:00\b", head)) >= 5


def test_each_page_names_plan_and_data(pages: list[str]) -> None:
    """Plan id, data age and page number stand at the foot of every page."""
    for number, text in enumerate(pages, start=1):
        foot = "\n".join(text.strip().splitlines()[-3:])
        assert plan_id(PLAN) in foot
        assert "22 min old" in foot
        assert f"{number} / {len(pages)}" in foot


def test_the_first_page_says_what_matters(pages: list[str]) -> None:
    """Strip, cautions and the first actions are on page one."""
    for words in ("Needs attention", "Cautions", "Advisory figures", "Actions"):
        assert words in pages[0]


def test_curves_are_printed_for_held_flights_only(boxes: str, pages: list[str]) -> None:
    """One block for each held flight, none for the others."""
    held = [row for row in PLAN.turnarounds if row.off_block_minute is None]
    text = "\n".join(pages)
    assert text.count("plug limit") == len(held) > 0


def test_no_held_block_is_cut_in_two(pages: list[str]) -> None:
    """Row, curves, sentence and figures of a held flight stand on one page."""
    held = [row for row in PLAN.turnarounds if row.off_block_minute is None]
    for row in held:
        start = f"{row.id}, stand {row.stand}"
        (page,) = [t for t in pages if start in t and "Waits for" in t]
        here = [it for it in held if f"{it.id}, stand {it.stand}" in page]
        assert f"{row.id} (stand {row.stand}) is held" in page
        assert page.count("plug limit") == len(here)
        assert page.count("Assumed:") == len(here)


def test_the_sheet_is_a4_landscape(boxes: str) -> None:
    """The page size is the one that printers have."""
    width, height = re.search(
        r'<page width="([\d.]+)" height="([\d.]+)"', boxes
    ).groups()
    assert float(width) == pytest.approx(A4_LANDSCAPE_PT[0], abs=1)
    assert float(height) == pytest.approx(A4_LANDSCAPE_PT[1], abs=1)


def test_all_load_trades_are_printed_each_on_one_page(pages: list[str]) -> None:
    """Table heading, last line and end of the scale stand together, once a flight."""
    traded = [row for row in PLAN.turnarounds if row.load_trade]
    assert sum(text.count("Up to kg") for text in pages) == len(traded) > 0
    for text in pages:
        whole = text.count("Up to kg")
        assert text.count("63,400 kg") == text.count("not in time") == whole

"""The page in the browser: silent, accessible, as wide as its window, text as text."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import pytest

from tests.drawn_plans import HOSTILE, drawn_plan, hostile_plan

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

    from scheduler.plan import Plan

Show = Callable[..., "Page"]
WIDTHS = (360, 1280, 2560)


def test_the_page_asks_for_nothing_and_complains_of_nothing(
    show: Show, heard: list[str]
) -> None:
    """The only request is for the file itself, also while it is used."""
    page = show()
    page.locator(".pick").first.click()
    page.locator(".zoom").last.click()
    page.locator("#departures .sort").first.click()
    page.locator("#departures .copy").first.click()
    page.wait_for_timeout(100)
    assert [line for line in heard if not line.endswith("report.html")] == []
    assert len(heard) == 1


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 1280])
def test_no_accessibility_finding(
    show: Show, page: Page, axe: str, scheme: str, width: int
) -> None:
    """The checker finds nothing, with curves open, in light and in dark."""
    page.emulate_media(color_scheme=scheme)
    page.set_viewport_size({"width": width, "height": 900})
    show(fragment="#flight=LB111")
    page.evaluate(axe)
    found = page.evaluate("axe.run().then((it) => it.violations)")
    told = [
        f"{one['id']}: {node['target']} {node['failureSummary']}"
        for one in found
        for node in one["nodes"][:3]
    ]
    assert told == []


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize(
    "plan",
    [drawn_plan(10, 700), drawn_plan(200, 700), hostile_plan()],
    ids=["few", "many", "hostile"],
)
def test_the_page_is_no_wider_than_its_window(
    show: Show, page: Page, width: int, plan: Plan
) -> None:
    """Nothing scrolls sideways: few turnarounds, many, or names without an end."""
    page.set_viewport_size({"width": width, "height": 900})
    show(plan)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.locator("tbody.f").count() == len(plan.turnarounds)


def test_on_a_phone_actions_come_first_and_each_turnaround_is_a_card(
    show: Show, page: Page
) -> None:
    """What to look at, actions, cautions, then one card below the other."""
    page.set_viewport_size({"width": 360, "height": 800})
    show()
    tops = [
        page.locator(name).first.bounding_box()["y"]
        for name in (".now", "#actions", ".cautions", "tbody.f")
    ]
    assert tops == sorted(tops)
    first, second = (page.locator("tbody.f").nth(k).bounding_box() for k in range(2))
    assert first["x"] == second["x"]
    assert second["y"] >= first["y"] + first["height"]
    page.locator(".pick").first.click()
    assert page.locator(".f.open .c").is_visible()
    hours, curves = (
        page.locator(f".f.open {name}").bounding_box() for name in (".own", ".c")
    )
    assert hours["x"] == curves["x"]
    assert hours["width"] == curves["width"]
    ends = "(it) => getComputedStyle(it, '::after').display"
    assert page.locator(".f.open .p .plot").evaluate(ends) == "none"


def test_hostile_names_are_text_everywhere(show: Show, heard: list[str]) -> None:
    """Markup, quotes, right-to-left marks, long names and emoji stay what they are."""
    page = show(hostile_plan())
    for name in HOSTILE:
        row = page.locator("tbody.f").filter(has=page.get_by_text(name, exact=True))
        assert row.count() >= 1
    assert page.locator("h1").inner_text().startswith(HOSTILE[0])
    assert page.evaluate("window.hacked") is None
    assert page.locator("script").count() == 1
    for k in range(len(HOSTILE)):
        page.locator(".pick").nth(k).click()
        assert page.locator(".f.open").count() == 1
    assert page.locator("b", has_text="bold").all_inner_texts() == [
        text
        for text in page.locator("b", has_text="bold").all_inner_texts()
        if "<b>" in text
    ]
    assert [line for line in heard if not line.endswith("report.html")] == []


def test_the_pick_of_a_hostile_name_survives_the_address(show: Show) -> None:
    """A name with quotes, brackets and emoji comes back from the address."""
    page = show(hostile_plan())
    page.locator(".pick").nth(1).click()
    flight = page.evaluate("document.querySelector('.f.open').dataset.id")
    page.reload()
    assert page.evaluate("document.querySelector('.f.open').dataset.id") == flight


def test_now_stands_at_its_minute_in_every_row(show: Show) -> None:
    """The line of now lies where the axis puts the plan's minute."""
    page = show()
    table = page.locator("#rows")
    first, span, now = (
        int(table.get_attribute(f"data-{key}")) for key in ("first", "span", "now")
    )
    place = float(
        page.evaluate(
            "getComputedStyle(document.getElementById('rows'))"
            ".getPropertyValue('--now')"
        ).strip("% ")
    )
    assert place == pytest.approx(100 * (now - first) / span, abs=0.01)


def test_curves_and_row_share_the_axis(show: Show) -> None:
    """The fan's bracket of the row and its band in the curves start and end alike."""
    page = show(fragment="#flight=LB111")
    own = "(it) => { const box = it.getBBox(); return [box.x, box.width]; }"
    row = page.locator(".f.open")
    assert row.locator(".fan").evaluate(own) == row.locator(".air").evaluate(own)
    strip, curves = (row.locator(name).bounding_box() for name in (".s", ".c"))
    assert strip["x"] == curves["x"]
    assert strip["width"] == curves["width"]


def test_without_script_everything_is_there(browser: Browser, tmp_path) -> None:
    """A reader whose browser runs no script sees rows, curves and tables."""
    from scheduler.report.page import write_page

    path = tmp_path / "report.html"
    write_page(drawn_plan(10, 700), path)
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(path.as_uri())
    assert page.locator("tbody.f .c:visible").count() == 10
    context.close()

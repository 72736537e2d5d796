"""The page by keyboard alone, and the two ways between a row and what belongs to it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from tests.drawn_plans import drawn_plan

if TYPE_CHECKING:
    from playwright.sync_api import Page

Show = Callable[..., "Page"]


def focused_tail(page: Page) -> str:
    """Tail of the row that has the focus."""
    return page.evaluate("document.activeElement.closest('tbody.f')?.dataset.tail")


def open_ids(page: Page) -> list[str]:
    """Flights whose curves are open."""
    return page.evaluate(
        "[...document.querySelectorAll('.f.open')].map((row) => row.dataset.id)"
    )


def shown_tails(page: Page) -> list[str]:
    """Tails of the rows that can be seen, from the top."""
    return page.evaluate(
        "[...document.querySelectorAll('tbody.f')].filter((row) => !row.hidden)"
        ".map((row) => row.dataset.tail)"
    )


def tab_to(page: Page, selector: str) -> None:
    """Press Tab until an element of that kind has the focus."""
    for _ in range(200):
        page.keyboard.press("Tab")
        if page.evaluate("(s) => document.activeElement.matches(s)", selector):
            return
    raise AssertionError(f"Tab never reaches {selector}")


def test_a_row_is_picked_read_and_left_by_keys(show: Show) -> None:
    """Tab reaches the rows; arrows, Enter, marks and Escape do what the page says."""
    page = show()
    tab_to(page, ".pick")
    rows = shown_tails(page)
    assert focused_tail(page) == rows[0]
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    assert focused_tail(page) == rows[2]
    page.keyboard.press("Enter")
    (picked,) = open_ids(page)
    assert page.evaluate("location.hash") == f"#flight={picked}"
    assert page.locator(".f.open .p").is_visible()
    said = page.locator("#cursor-text")
    assert "stack" in said.inner_text()
    page.keyboard.press("Home")
    assert focused_tail(page) == rows[0]
    page.keyboard.press("Escape")
    assert open_ids(page) == []
    assert page.evaluate("location.hash") == ""


def test_every_mark_of_a_row_is_read_out(show: Show) -> None:
    """Full stop goes from mark to mark to the last one, comma back to the first."""
    page = show()
    row = page.locator("tbody.f").filter(has=page.locator(".fan")).first
    row.locator(".pick").focus()
    texts = row.get_attribute("data-marks").split("\n")
    said = page.locator("#cursor-text")
    heard = []
    page.keyboard.press(".")
    for _ in texts:
        heard.append(said.inner_text())
        page.keyboard.press(".")
    assert len(set(heard)) == len(texts)
    assert any("landing" in text for text in heard[:1])
    assert any("fan 1 × cart" in text for text in heard)
    assert any("planned off-block" in text for text in heard)
    assert any("brake-ready; limit: stopping" in text for text in heard)
    page.keyboard.press(",")
    assert said.inner_text() == heard[-2]


def test_one_cursor_goes_through_all(show: Show) -> None:
    """An arrow moves the line of every row, curve and fan by the same minute."""
    page = show()
    page.locator(".pick").first.focus()
    page.keyboard.press("Enter")
    before = page.locator("#cursor-text").inner_text()
    place = "parseFloat(getComputedStyle(rows_).getPropertyValue('--cursor'))"
    place = place.replace("rows_", "document.getElementById('rows')")
    start = page.evaluate(place)
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Shift+ArrowRight")
    span = int(page.locator("#rows").get_attribute("data-span"))
    assert abs(page.evaluate(place) - start - 100 * 11 / span) < 1e-6
    assert page.locator("#cursor-text").inner_text() != before
    lines = page.evaluate(
        "[...document.querySelectorAll('td.plot')].map((cell) => "
        "getComputedStyle(cell, '::before').borderLeftStyle)"
    )
    assert set(lines) == {"solid"}


def test_rows_are_filtered_by_tail_stand_and_what_they_wait_for(show: Show) -> None:
    """Each filter leaves its rows only, says how many, and the keys skip the others."""
    page = show()
    total = len(shown_tails(page))
    tab_to(page, "#q")
    page.keyboard.type("aac")
    assert shown_tails(page) == ["Z9-AAC"]
    assert page.locator("#shown").inner_text() == f"1 of {total} shown"
    page.keyboard.press("Control+a")
    page.keyboard.press("Delete")
    page.locator("#q-waits").select_option("fan")
    assert {"fan"} == set(
        page.evaluate(
            "[...document.querySelectorAll('tbody.f:not([hidden])')]"
            ".map((row) => row.dataset.waits)"
        )
    )
    page.locator("#q-waits").select_option("")
    page.locator("#q-stand").select_option("5")
    assert page.locator("tbody.f:visible").count() == 1
    tab_to(page, ".pick")
    page.keyboard.press("ArrowDown")
    assert focused_tail(page) == shown_tails(page)[0]


def test_rows_and_tables_are_sorted_by_keys(show: Show) -> None:
    """The order of the rows and of a table follows the choice, both ways."""
    page = show()
    page.locator("#order").focus()
    page.keyboard.type("tail")
    page.keyboard.press("Enter")
    page.locator("#order").select_option("tail")
    assert shown_tails(page) == sorted(shown_tails(page))
    head = page.locator("#departures th", has_text="Delay min")
    button = head.locator("button")
    button.focus()
    page.keyboard.press("Enter")
    assert head.get_attribute("aria-sort") == "ascending"
    cells = page.locator("#departures td.n")
    numbers = [int(t) for t in cells.all_inner_texts() if t != "–"]
    assert numbers == sorted(numbers)
    page.keyboard.press("Enter")
    assert head.get_attribute("aria-sort") == "descending"
    numbers = [int(t) for t in cells.all_inner_texts() if t != "–"]
    assert numbers == sorted(numbers, reverse=True)


def test_times_sort_by_time_not_by_letters(show: Show) -> None:
    """A take-off after midnight comes after one before it."""
    page = show(drawn_plan(40, 700))
    page.locator("#departures th", has_text="Off-block").locator("button").click()
    texts = page.locator("#departures tbody tr td:nth-child(7)").all_inner_texts()
    times = [text.split()[0] for text in texts]
    known = [time for time in times if time != "held"]
    assert known == sorted(known)
    assert times[len(known) :] == ["held"] * (len(times) - len(known))


def test_links_lead_to_the_row_and_the_row_to_its_lines(show: Show) -> None:
    """A link in a list opens the row; the row lights up its lines in the lists."""
    page = show()
    link = page.locator("#actions a.fl").first
    flight = link.inner_text()
    link.click()
    page.locator(".f.open .p").wait_for()
    assert open_ids(page) == [flight]
    assert page.locator(".f.open .say").inner_text().startswith(f"{flight} ")
    lit = page.locator("#actions li.lit a.fl").all_inner_texts()
    assert lit
    assert set(lit) == {flight}
    assert page.locator("#departures tr.lit").count() == 1
    page.locator(".f.open .c").click()
    assert page.evaluate("document.activeElement.className") == "pick"
    assert (
        page.evaluate("document.activeElement.closest('tbody').dataset.id")
        == open_ids(page)[0]
    )


def test_the_address_keeps_the_pick(show: Show) -> None:
    """A page opened with a flight in its address shows that flight's curves."""
    page = show(fragment="#flight=LB112")
    assert open_ids(page) == ["LB112"]
    assert page.locator(".f.open .p").is_visible()
    page.reload()
    assert open_ids(page) == ["LB112"]
    page.goto(f"{page.url.split('#')[0]}#flight=nobody")
    assert open_ids(page) in (["LB112"], [])


def test_a_sentence_for_the_gate_is_copied(show: Show) -> None:
    """The button gives the sentence to the clipboard, or marks it to be copied."""
    page = show()
    cell = page.locator("#departures td.say").first
    cell.locator("button").click()
    said = page.locator("#said", has_text="Sentence")
    said.wait_for(state="attached")
    assert said.inner_text() in ("Sentence copied", "Sentence selected")


def shown_charts(page: Page) -> list[str]:
    """Flights whose load trade can be seen."""
    return page.evaluate(
        "[...document.querySelectorAll('.lt')].filter((it) => it.checkVisibility())"
        ".map((it) => it.dataset.id)"
    )


def test_the_load_trade_is_that_of_the_picked_flight(show: Show) -> None:
    """None before, one for a flight that has it, none and the command for others."""
    page = show()
    assert shown_charts(page) == []
    page.locator("[aria-labelledby=h-load] a", has_text="LB103").click()
    page.locator(".f.open", has_text="LB103").wait_for()
    assert shown_charts(page) == ["LB103"] == open_ids(page)
    page.goto(f"{page.url.split('#')[0]}#flight=LB101")
    page.locator(".f.open", has_text="LB101").wait_for()
    assert shown_charts(page) == []
    assert page.locator("#load-flight").inner_text() == "LB101"

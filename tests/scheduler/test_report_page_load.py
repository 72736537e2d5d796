"""The load trade on the page: chart, table, sentence; later minutes between points."""

import re
from dataclasses import replace
from html.parser import HTMLParser

import pytest

from scheduler.options import Limit
from scheduler.plan import PlannedTurnaround, TradePoint
from scheduler.report.page import page_text
from scheduler.report.page.load import load_view, load_views
from scheduler.report.page.times import Times
from tests.drawn_plans import HOSTILE, drawn_plan, hostile_plan

PLAN = drawn_plan(24, 700)
TIMES = Times.of(PLAN)


def point(weight_kg: float, minute: int | None, *, planned: bool = False) -> TradePoint:
    """A point that the stopping limit sets."""
    return TradePoint(
        take_off_weight_kg=weight_kg,
        earliest_off_block_minute=minute,
        binding_limit=Limit.STOPPING,
        planned=planned,
    )


def row_with(*points: TradePoint, target: int = 600) -> PlannedTurnaround:
    """A row with these points."""
    row = PLAN.turnarounds[1]
    return replace(row, target_off_block_minute=target, load_trade=points)


def corners(path: str) -> list[tuple[int, int]]:
    """Corners of a drawn path, in its own units."""
    x = y = 0
    found = []
    for letter, first, second in re.findall(r"([MVH])(\d+)(?: (\d+))?", path):
        if letter == "M":
            x, y = int(first), int(second)
        elif letter == "V":
            y = int(first)
        else:
            x = int(first)
        found.append((x, y))
    return found


def test_between_two_weights_the_later_minute_is_drawn() -> None:
    """The line goes up at the lighter weight, then to the right at the later minute."""
    view = load_view(row_with(point(50e3, 620), point(60e3, 640)), TIMES)
    left, up, right = corners(view.path)
    assert left[0] == up[0] == 0
    assert up[1] < left[1]
    assert right == (100, up[1])


def test_the_drawing_holds_every_step_and_the_target() -> None:
    """Nothing lies outside a hundred by a hundred, whichever side the target is on."""
    for target in (560, 630, 700):
        row = row_with(point(50e3, 620), point(55e3, 625), point(60e3, 650))
        view = load_view(replace(row, target_off_block_minute=target), TIMES)
        assert all(0 <= v <= 100 for corner in corners(view.path) for v in corner)
        assert 0 < float(view.target_y.rstrip("%")) < 100


def test_a_later_target_stands_higher() -> None:
    """Time goes up, as the steps do."""
    points = (point(50e3, 620), point(60e3, 640))
    early, late = (
        float(load_view(row_with(*points, target=t), TIMES).target_y.rstrip("%"))
        for t in (622, 638)
    )
    assert late < early


def test_the_planned_weight_is_a_dot_on_its_step() -> None:
    """It stands at its weight and minute; without a minute there is none."""
    row = row_with(point(50e3, 620), point(55e3, 630, planned=True), point(60e3, 640))
    view = load_view(row, TIMES)
    assert view.dot is not None
    dot = tuple(int(text.rstrip("%")) for text in view.dot)
    assert dot in corners(view.path)
    assert view.headline.startswith("planned 55,000 kg, 10:30 UTC")
    never = load_view(
        row_with(point(50e3, 620), point(55e3, None, planned=True)), TIMES
    )
    assert never.dot is None
    assert "not in time" in never.headline


def test_weights_that_leave_alike_share_a_line_up_to_the_heaviest() -> None:
    """The table has one line a step, rounded down; no time stays in words."""
    row = row_with(point(50e3, 620), point(55_000.9, 620), point(60e3, None))
    steps = load_view(row, TIMES).steps
    assert [(s.up_to, s.earliest) for s in steps] == [
        ("55,000", "10:20"),
        ("60,000", "not in time"),
    ]


@pytest.mark.parametrize("minute", [620, None])
def test_one_weight_alone_can_be_drawn(minute: int | None) -> None:
    """A single point, reached or not, is no error."""
    view = load_view(row_with(point(50e3, minute)), TIMES)
    assert len(view.steps) == 1
    assert (view.path == "") == (minute is None)


def test_only_flights_that_carry_it_have_a_chart() -> None:
    """As many as the plan has, in the order of departure."""
    carried = {row.id for row in PLAN.turnarounds if row.load_trade}
    assert {view.flight for view in load_views(PLAN, TIMES)} == carried
    text = page_text(PLAN)
    assert text.count('<figure class="lt"') == len(carried) > 0
    assert "heatslot tradeoff SCENARIO --turnaround" in text


def test_a_plan_without_says_how_to_get_it() -> None:
    """No chart, the command in its place, and the same caution."""
    rows = tuple(replace(row, load_trade=()) for row in PLAN.turnarounds)
    text = page_text(replace(PLAN, turnarounds=rows))
    assert "<figure" not in text
    assert "heatslot plan SCENARIO --explain" in text
    for whole in (text, page_text(PLAN)):
        assert "Brakes are not the only weight limit" in whole


def test_the_inspection_list_names_the_command_of_the_full_one() -> None:
    """What the plan knows is not all; the sentence stands with and without items."""
    for plan in (PLAN, drawn_plan(2)):
        assert "heatslot inspect SCENARIO" in page_text(plan)


class _Figures(HTMLParser):
    """Flights that the figures name, and every tag inside figures."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.flights: list[str | None] = []
        self.tags: set[str] = set()
        self._inside = False
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "figure":
            self._inside = True
            self.flights.append(dict(attrs)["data-id"])
        if self._inside:
            self.tags.add(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag == "figure":
            self._inside = False


def test_names_that_try_to_be_more_than_text_stay_text() -> None:
    """Flights, fans and rollouts with markup in them add no tag to a chart."""
    plan = hostile_plan()
    points = (point(50e3, 620, planned=True), point(60e3, 640))
    rows = tuple(
        replace(row, load_trade=points, rollout=name)
        for row, name in zip(plan.turnarounds, HOSTILE, strict=True)
    )
    found = _Figures(page_text(replace(plan, turnarounds=rows)))
    assert set(found.flights) == {row.id for row in rows}
    assert found.tags == {
        "figure", "figcaption", "b", "div", "svg", "path", "line", "circle", "text",
        "p", "span", "table", "tr", "th", "td",
    }  # fmt: skip

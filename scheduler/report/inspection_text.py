"""The inspection list for people: aircraft by aircraft, what first.

Enters: an `Inspection`. Leaves: rich tables and lines; all times UTC. When an approach
is allowed is for the operator's procedure to say, never for these lines.
"""

from collections.abc import Iterator
from itertools import groupby

from rich import box
from rich.table import Table
from rich.text import Text

from scheduler.clock import Clock
from scheduler.inspection import Inspection, Item, Reason

BEFORE, LATER, LEFT = "before departure", "when there is time", "where it lands next"
_NARROW = 100


def headline(inspection: Inspection) -> str:
    """How much there is to look at, on aircraft that are here and on those to come."""
    day = inspection.day
    begin = f"{day.name}, {day.clock.day.isoformat()}, all times UTC: "
    here = [
        item
        for item in inspection.open_items
        if not (item.is_expected or item.has_left)
    ]
    left = [item for item in inspection.open_items if item.has_left]
    coming = [item for item in inspection.open_items if item.is_expected]
    first = [item for item in here if item.is_before_departure]
    text = "nothing is listed on aircraft that have landed."
    if here:
        begun = f"nothing {BEFORE} on aircraft that have landed"
        if first:
            begun = (
                f"{_count(len(first), 'item')} {BEFORE} on {_aircraft(first)} "
                "aircraft that have landed"
            )
        text = f"{begun}, {_count(len(here) - len(first), 'item')} {LATER}."
    if coming:
        items = _count(len(coming), "item")
        text += f" To be expected: {items} on {_aircraft(coming)} aircraft."
    if left:
        items = _count(len(left), "item")
        text += f" Left with: {items} on {_aircraft(left)} aircraft."
    return f"{begin}{text}{_closed_text(inspection)}"


def _aircraft(items: list[Item]) -> int:
    return len({item.turnaround_id for item in items})


def _closed_text(inspection: Inspection) -> str:
    closed = len(inspection.items) - len(inspection.open_items)
    return f" {_count(closed, 'more item')} answered by findings." if closed else ""


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"


def aircraft_blocks(
    inspection: Inspection, *, every: bool, width: int
) -> Iterator[tuple[str, Table]]:
    """Heading and table of each aircraft that has items; closed ones with ``every``."""
    items = inspection.items if every else inspection.open_items
    ids = list(dict.fromkeys(item.turnaround_id for item in items))
    ordered = sorted(items, key=lambda item: ids.index(item.turnaround_id))
    for _, group in groupby(ordered, key=lambda item: item.turnaround_id):
        mine = list(group)
        yield aircraft_text(inspection, mine[0]), _table(mine, width)


def aircraft_text(inspection: Inspection, item: Item) -> str:
    """Say which aircraft it is, and when the figures pass the approach threshold."""
    if item.has_left:
        return f"Has left: {item.turnaround_id}  {item.tail}"
    begin = "Expected: " if item.is_expected else ""
    threshold = approach_text(inspection.day.clock, item.approach_minute)
    warned = any(
        one.reason is Reason.READING_HOT and one.turnaround_id == item.turnaround_id
        for one in inspection.open_items
    )
    doubt = "; a reading lies above what was to be expected" if warned else ""
    place = f"{item.turnaround_id}  {item.tail}  stand {item.stand}"
    return f"{begin}{place}: {threshold}{doubt}"


def approach_text(clock: Clock, minute: int | None) -> str:
    """Say when the figures pass the operator's own threshold."""
    if minute is None:
        return (
            "the figures do not pass the operator's approach threshold in the time "
            "looked at"
        )
    short = clock.short(minute)
    return f"the figures pass the operator's approach threshold from {short} on"


def _table(items: list[Item], width: int) -> Table:
    table = Table(box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0), pad_edge=False)
    table.add_column("Brake", max_width=12)
    table.add_column("Look because", min_width=17)
    table.add_column("Sure", justify="right", no_wrap=True)
    table.add_column("When", max_width=9 if width < _NARROW else None)
    table.add_column("min", justify="right", no_wrap=True)
    table.add_column("Evidence", min_width=20)
    for group in _alike(items):
        item = max(group, key=lambda one: one.probability)
        several = f"{item.position}: " if len(group) > 1 else ""
        cells = (
            ", ".join(one.position for one in group),
            str(item.reason),
            sure_text(item),
            when_text(item),
            str(item.minutes),
            f"{several}{item.evidence}",
        )
        table.add_row(*map(Text, cells))
    return table


def _alike(items: list[Item]) -> list[list[Item]]:
    """Group the positions of one reason, time and answer."""
    groups: dict[tuple[Reason, str], list[Item]] = {}
    for item in items:
        groups.setdefault((item.reason, when_text(item)), []).append(item)
    return list(groups.values())


def when_text(item: Item) -> str:
    """Whether it has to be done before departure, or what answered it."""
    if item.closed_by is not None:
        return f"answered: {item.closed_by}"
    if item.has_left:
        return LEFT
    return BEFORE if item.is_before_departure else LATER


def sure_text(item: Item) -> str:
    """Probability in whole per cent; what is logged or counted is certain."""
    if item.probability >= 1.0:
        return "certain"
    if item.probability < 0.01:
        return "<1 %"
    if item.probability > 0.99:
        return ">99 %"
    return f"{100.0 * item.probability:.0f} %"


def note_lines(inspection: Inspection) -> Iterator[str]:
    """Say what the list rests on."""
    limits = inspection.thresholds
    yield (
        f"Figures in still air, without fans, from {inspection.sample_count} draws of "
        "what is not known. Sure: the probability that it has happened; of a reading, "
        "how unlikely it is if brake and inputs are as given."
    )
    if any(item.reason is Reason.READING_COLD for item in inspection.open_items):
        yield "A reading below the figures may be one that the probe's lag still holds."
    if inspection.has_ledger:
        yield (
            f"From the ledger: hot stops of {limits.within_days} days (stack beyond "
            f"{limits.hot_fraction:.0%} of the rise to its inspection limit) and "
            "oxidation since the brake was replaced."
        )
    else:
        yield "Without --ledger, stops and oxidation of earlier days are not counted."
    yield (
        "One line for brakes alike, with the evidence of the surest; --json and --csv "
        "have each. What is not listed may still need a look: the approved manuals say "
        "what has to be inspected."
    )

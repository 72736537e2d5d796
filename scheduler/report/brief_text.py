"""The arrival brief for people: options side by side, what each change costs, why not.

Enters: a `Brief`. Leaves: a rich table, and lines of text; all times UTC.
"""

from collections.abc import Iterator

from rich import box
from rich.table import Table
from rich.text import Text

from scheduler.brief import Brief, RolloutOption
from scheduler.options import PlugRisk
from scheduler.report.bars import bar
from scheduler.report.words import NOTHING, percent_text, time_text

SHOWN = 10
# From so many columns on who must agree has a column of its own.
WIDE = 110
STOPPING_FIRST = (
    "Stopping comes first: these are options that stop with the margin, and no reason "
    "to brake less than needed."
)


def brief_headline(brief: Brief) -> str:
    """Who lands when, and what the best option wins."""
    one, clock = brief.turnaround, brief.day.clock
    head = (
        f"{one.id} ({one.tail}, stand {one.stand}): touchdown about "
        f"{clock.short(brief.touchdown_minute)}, in-block "
        f"{clock.short(one.in_block_minute)} UTC."
    )
    if brief.landed:
        head += (
            " It has landed: this is a comparison without its readings, not a choice."
        )
    if brief.chosen is None:
        return f"{head} No rollout has the stop margin: brake as the manuals say."
    best = brief.option(brief.chosen)
    return f"{head} {_best_text(brief, best)}"


def _best_text(brief: Brief, best: RolloutOption) -> str:
    clock, won = brief.day.clock, best.ground_minutes_against_planned
    ready = time_text(clock, best.brake_ready_minute)
    text = f"Ready first: no. {best.number}, {best.label}, brake-ready {ready}"
    if best.number and won is not None:
        text += ", as early as planned" if won == 0 else _won_text(won)
    target = brief.turnaround.target_off_block_minute
    if best.brake_ready_minute is not None and best.brake_ready_minute <= target:
        text += f"; ground handling lasts until {clock.short(target)} anyway"
    return f"{text}."


def _won_text(won: int) -> str:
    return f", {abs(won)} min {'earlier' if won < 0 else 'later'} than planned"


def option_table(brief: Brief, *, every: bool, width: int = WIDE) -> Table:
    """Lay out the options that are available, as planned first, then by brake-ready.

    On a narrow terminal who must agree stands behind the option, and plug risk is a
    number without its word.
    """
    narrow = width < WIDE
    table = Table(box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0), pad_edge=False)
    table.title = Text(_runway_text(brief))
    for header in ("No.", "Heat\nMJ", "Stack\n°C"):
        table.add_column(header, justify="right", no_wrap=True)
    for header in ("Plug\nrisk", "Brake-\nready", "with\na fan"):
        table.add_column(header, no_wrap=True)
    for header in ("Won,\nmin", "Run-\nway s", "Mar-\ngin m"):
        table.add_column(header, justify="right", no_wrap=True)
    table.add_column("Option", min_width=18)
    if not narrow:
        table.add_column("Agree with")
    for one in shown_options(brief, every=every):
        style = "bold" if one.number == brief.chosen else None
        *cells, label, agree = _cells(brief, one)
        if narrow:
            risk = one.plug_release_probability
            cells[3] = NOTHING if risk is None else percent_text(risk)
            last = [label if agree == NOTHING else f"{label} (agree: {agree})"]
        else:
            last = [label, agree]
        table.add_row(*(Text(cell) for cell in (*cells, *last)), style=style)
    return table


def shown_options(brief: Brief, *, every: bool) -> list[RolloutOption]:
    """Planned option, then those available by brake-ready; the first few of them."""
    planned, *others = brief.options
    offered = [one for one in others if one.available]

    def order(one: RolloutOption) -> tuple[bool, int, float]:
        ready = one.brake_ready_minute
        return ready is None, ready or 0, one.heat_mj_per_brake

    offered.sort(key=order)
    return [planned, *(offered if every else offered[:SHOWN])]


def _runway_text(brief: Brief) -> str:
    runway = brief.day.runway_of(brief.turnaround)
    return (
        f"Runway {runway.name}, {runway.condition}, {runway.landing_distance_m:g} m, "
        f"factor {brief.day.station.stop_factor:g} on every distance to stop"
    )


def _cells(brief: Brief, one: RolloutOption) -> tuple[str, ...]:
    clock = brief.day.clock
    release = one.plug_release_probability
    won = one.ground_minutes_against_planned
    label = one.label if one.number else planned_label(one)
    return (
        str(one.number),
        f"{one.heat_mj_per_brake:.1f}",
        NOTHING if one.stack_peak_c is None else f"{one.stack_peak_c:.0f}",
        NOTHING if release is None else _risk(release),
        time_text(clock, one.brake_ready_minute),
        time_text(clock, one.brake_ready_fan_minute),
        f"{-won:+d}" if one.number and won is not None else NOTHING,
        f"{one.runway_seconds:.0f}",
        f"{one.stop_margin_m:.0f}",
        label if one.available else f"{label} (not available)",
        ", ".join(one.agree_with) or NOTHING,
    )


def _risk(release: float) -> str:
    return f"{PlugRisk.of(release)} {percent_text(release)}"


def planned_label(one: RolloutOption) -> str:
    """Say what of the planned landing is given."""
    given = (
        None if one.exit_id is None else f"exit {one.exit_id}",
        None if one.reverse is None else f"{one.reverse} reverse",
        None
        if one.deceleration_m_per_s2 is None
        else f"{one.deceleration_m_per_s2:g} m/s²",
    )
    parts = [part for part in given if part is not None]
    return f"as planned: {', '.join(parts)}" if parts else "as planned"


def not_available(brief: Brief, *, every: bool) -> Iterator[str]:
    """Say of each option that is not offered why, alike ones together."""
    refused = [one for one in brief.options if not one.available]
    by_reason: dict[str, list[str]] = {}
    for one in refused:
        label = one.label if one.number else planned_label(one)
        reason = one.reason or ""
        if one.number and not every:
            reason = reason.split(" (")[0] if "margin" not in reason else "stop margin"
        by_reason.setdefault(reason, []).append(label)
    for reason, labels in by_reason.items():
        if every or len(labels) <= 2:
            yield from (f"{label}: {reason}" for label in labels)
        else:
            yield f"{len(labels)} options: {_reason_of_many(reason)}"


def _reason_of_many(reason: str) -> str:
    return "stop margin too small" if reason == "stop margin" else reason


def change_lines(brief: Brief) -> Iterator[str]:
    """Say what each change costs, with a bar of minutes."""
    minutes = [one.extra_ground_minutes for one in brief.changes]
    greatest = max((one for one in minutes if one is not None), default=0)
    width = max((len(one.label) for one in brief.changes), default=0)
    for one in brief.changes:
        cost = one.extra_ground_minutes
        what = "no off-block found" if cost is None else f"{cost:+d} min"
        drawn = bar(float(greatest if cost is None else cost), float(greatest))
        heat = f"{one.extra_heat_mj_per_brake:+6.1f} MJ"
        yield f"{one.label:<{width}}  {heat}  {what:>8}  {drawn}".rstrip()

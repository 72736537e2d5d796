"""The day's stops and findings → entries for the ledger.

Only what has happened: landings of aircraft that are in block, take-offs that were
rejected, findings and checks that were logged. Figures are those of the middle of all
ranges.
"""

from collections.abc import Iterator

from scheduler.day import Basis, Day, Finding, Found, Turnaround
from scheduler.inspection.figures import Figures
from scheduler.inspection.inspecting import hot_flags
from scheduler.inspection.item import Inspection, Thresholds
from scheduler.ledger import Entry, Kind

_OF_A_WHEEL = (Found.CHECKED, Found.WHEEL_CHANGED)


def entries_of(inspection: Inspection) -> tuple[Entry, ...]:
    """All that the ledger is to keep of a day."""
    day, by_id = inspection.day, {one.id: one for one in inspection.day.turnarounds}
    found: list[Entry] = []
    for figures in inspection.figures:
        turnaround = by_id[figures.turnaround_id]
        if turnaround.in_block_basis is Basis.ACTUAL:
            found += _stops(day, turnaround, figures, inspection.thresholds)
            found += _findings(day, turnaround)
    return tuple(found)


def _stops(
    day: Day, turnaround: Turnaround, figures: Figures, thresholds: Thresholds
) -> Iterator[Entry]:
    events = sorted(
        one.minute for one in day.rejected if one.turnaround_id == turnaround.id
    )
    minutes = [day.landing_minute(turnaround), *events]
    if events:
        minutes[0] = min(minutes[0], events[0] - 1)
    out = day.tail_of(turnaround).inoperative
    for place, position in enumerate(figures.positions):
        if position in out:
            continue
        hot = hot_flags(day, turnaround, figures, place, thresholds)
        for number, stop in enumerate(figures.stops):
            yield Entry(
                station=day.station.name,
                day=day.clock.day.isoformat(),
                turnaround_id=turnaround.id,
                tail=turnaround.tail,
                position=position,
                kind=Kind.ACCELERATE_STOP if number else Kind.LANDING,
                number=max(number - 1, 0),
                at_utc=day.clock.text(minutes[number]),
                energy_mj=stop.energy_mj[place],
                stack_peak_c=stop.stack_peak_c[place],
                oxidation_dose=stop.oxidation_dose[place],
                is_hot=hot[number],
            )


def _findings(day: Day, turnaround: Turnaround) -> Iterator[Entry]:
    counts: dict[str, int] = {}
    for one in (*_of(day, turnaround), *_whole_checks(day, turnaround)):
        number = counts[one.position] = counts.get(one.position, -1) + 1
        yield Entry(
            station=day.station.name,
            day=day.clock.day.isoformat(),
            turnaround_id=turnaround.id,
            tail=turnaround.tail,
            position=one.position,
            kind=Kind.FINDING,
            number=number,
            at_utc=day.clock.text(one.minute),
            found=str(one.found),
            wear_pin_mm=one.wear_pin_mm,
        )


def _of(day: Day, turnaround: Turnaround) -> list[Finding]:
    return [one for one in day.findings if one.turnaround_id == turnaround.id]


def _whole_checks(day: Day, turnaround: Turnaround) -> Iterator[Finding]:
    """Check of the whole aircraft at each wheel that was not told by itself."""
    told = {one.position for one in _of(day, turnaround) if one.found in _OF_A_WHEEL}
    for check in day.checks:
        if check.turnaround_id == turnaround.id:
            for position in day.tail_of(turnaround).positions:
                if position not in told:
                    yield Finding(
                        turnaround_id=turnaround.id,
                        minute=check.minute,
                        position=position,
                        found=Found.CHECKED,
                    )

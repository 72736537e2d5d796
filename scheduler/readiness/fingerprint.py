"""What the heat of one turnaround depends on, as a short text.

Enters: day, turnaround, seed and samples. Leaves: a digest. Where it is the same as
before, the option table and the heat summary are the same as before too.
"""

from dataclasses import replace
from hashlib import sha256

from scheduler.cases.full_length import may_roll_on
from scheduler.day import Day, FanType, Station, Turnaround
from thermal import load_brake
from thermal.catalogue import load_ranges

FORMAT = 3


def fingerprint(
    day: Day, turnaround: Turnaround, *, seed: int, sample_count: int
) -> str:
    """Digest of all that the table of a turnaround is computed from.

    Parameters
    ----------
    day : Day
    turnaround : Turnaround
    seed, sample_count : int
        Of the draws.

    Returns
    -------
    digest : str
        32 hexadecimal digits.
    """
    parts = (
        FORMAT,
        load_ranges(),
        seed,
        sample_count,
        [
            (one, _own(day, one))
            for one in day.turnarounds
            if one.tail == turnaround.tail
            and one.in_block_minute <= turnaround.in_block_minute
        ],
        day.tail_of(turnaround),
        day.aircraft_of(turnaround),
        load_brake(day.aircraft_of(turnaround).brake),
        day.stand_of(turnaround),
        day.runway_of(turnaround),
        replace(day.departure_runway_of(turnaround), closures=()),
        may_roll_on(day, turnaround) is None,
        day.weather,
        _plain(day.station),
    )
    return sha256(repr(parts).encode()).hexdigest()[:32]


def _own(day: Day, one: Turnaround) -> tuple[object, ...]:
    """Facts logged for a turnaround that change its heat."""
    facts = (day.checks, day.findings, day.readings, day.rejected, day.fan_times)
    return tuple(
        fact for kind in facts for fact in kind if fact.turnaround_id == one.id
    )


def _plain(station: Station) -> Station:
    """Station without what the heat does not look at."""
    return replace(
        station,
        fans=tuple(_plain_fan(fan) for fan in station.fans),
        runways=station.runways[:1],
        stands=station.stands[:1],
        crews=(),
        slots=(),
        curfews=(),
        freeze_minutes=0,
        stability_minutes=0,
        tolerance_minutes=0,
    )


def _plain_fan(fan: FanType) -> FanType:
    return replace(fan, outages=(), home=())

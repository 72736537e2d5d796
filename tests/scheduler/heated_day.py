"""Three turnarounds of the sample folder that have to leave before they are cool."""

from dataclasses import replace
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from scheduler.day import ApproachRule, Day
from scheduler.files import read_scenario, write_template
from scheduler.plan import Plan
from scheduler.solve import SolveConfig, plan_day

IDS = ("SB103", "SB105", "SB109")
# Invented: people may go early, so that fans are of use.
EARLY = ApproachRule(max_plug_k=480.0, max_stack_k=900.0, minutes_after_in_block=2)


@cache
def sample_day() -> Day:
    """Day of the folder that a new scenario starts with."""
    with TemporaryDirectory() as name:
        write_template(Path(name) / "day")
        return read_scenario(Path(name) / "day")


@cache
def heated_day(*, with_fans: bool) -> Day:
    """A day with targets twenty minutes after in-block and no slots."""
    day = sample_day()
    fans = day.station.fans if with_fans else ()
    return replace(
        day,
        station=replace(day.station, fans=fans, approach=EARLY),
        turnarounds=tuple(
            replace(
                one,
                target_off_block_minute=one.in_block_minute + 20,
                departure=replace(one.departure, ctot_minute=None),
            )
            for one in day.turnarounds
            if one.id in IDS
        ),
    )


@cache
def heated_plan(*, with_fans: bool) -> Plan:
    """Plan of that day."""
    day = heated_day(with_fans=with_fans)
    return plan_day(day, SolveConfig(seconds=5, sample_count=512)).plan

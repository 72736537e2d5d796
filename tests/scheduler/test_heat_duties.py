"""Work that the heat asks for: plug checks, inspections after a rejected take-off."""

from dataclasses import dataclass, replace
from functools import cache

import pytest
from heated_day import sample_day

from scheduler.day import (
    ApproachRule,
    Day,
    Duty,
    PlugCheck,
    RejectedTakeOff,
    Task,
)
from scheduler.options import Limit, OptionTable
from scheduler.plan import HeatSummary
from scheduler.readiness import tables_of

SAMPLE = sample_day()
FIRST = next(one for one in SAMPLE.turnarounds if one.id == "SB105")
AIRCRAFT = SAMPLE.aircraft_of(FIRST)
STOPPED = FIRST.target_off_block_minute + SAMPLE.taxi_out_minutes(FIRST)
BACK = replace(FIRST, in_block_minute=STOPPED + 8, target_off_block_minute=STOPPED + 60)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Settings:
    seed: int = 7
    sample_count: int = 512


def stopped_at(speed_m_per_s: float, **given: object) -> Day:
    """The day with a take-off rejected at a ground speed."""
    event = RejectedTakeOff(
        turnaround_id=FIRST.id,
        minute=STOPPED,
        speed_m_per_s=speed_m_per_s,
        weight_kg=0.85 * AIRCRAFT.maximum_take_off_kg,
        in_block_minute=FIRST.in_block_minute,
        off_block_minute=FIRST.target_off_block_minute,
    )
    return replace(SAMPLE, rejected=(event,), turnarounds=(BACK,), **given)


def answer(day: Day) -> tuple[OptionTable, HeatSummary]:
    return next(iter(tables_of(day, [0], _Settings()).values()))


@cache
def at_speed(speed_m_per_s: float) -> tuple[OptionTable, HeatSummary]:
    return answer(stopped_at(speed_m_per_s))


def duty_of(table: OptionTable, task: Task) -> Duty | None:
    return next((one for one in table.duties if one.task is task), None)


def test_faster_stops_leave_later() -> None:
    """Brake-ready of the next attempt, and the minute people may go to the wheels."""
    slow, fast = at_speed(20.0)[0], at_speed(45.0)[0]
    minutes = [table.still_air.ready_minute for table in (slow, fast)]
    assert minutes[0] is not None
    assert minutes[1] is None or minutes[1] > minutes[0] + 20
    approach = [table.approach_minute for table in (slow, fast)]
    assert approach[0] is not None
    assert approach[1] is None or approach[1] > approach[0]


def test_an_inspection_follows_every_rejected_take_off() -> None:
    """From the approach minute on, by the station's minutes, named in the summary."""
    table, text = at_speed(20.0)
    duty = duty_of(table, Task.INSPECTION)
    assert duty is not None
    assert duty.earliest_minute == table.approach_minute
    assert duty.minutes == SAMPLE.station.inspection_minutes
    assert duty.reason == "rejected take-off"
    (line,) = [one for one in text.inspection if "rejected take-off" in one]
    assert line.startswith("all brakes: rejected take-off, ")


def test_a_fast_stop_releases_plugs_and_holds_people_off() -> None:
    """Near V1 the plugs go: nobody is sent, and nothing leaves before a check."""
    table, text = at_speed(75.0)
    assert text.risk in ("raised", "high")
    assert table.approach_minute is None or table.approach_minute > STOPPED + 60
    assert table.still_air.ready_minute is None
    assert table.still_air.binding is Limit.PLUG_CHECK


def test_nobody_to_send_means_no_departure() -> None:
    """Where the figures never let people inspect it, it does not leave."""
    never = ApproachRule(max_plug_k=250.0, max_stack_k=250.0)
    station = replace(SAMPLE.station, approach=never)
    table, _ = answer(stopped_at(20.0, station=station))
    assert table.approach_minute is None
    assert table.still_air.ready_minute is None
    assert table.still_air.binding is Limit.PLUG_CHECK
    assert duty_of(table, Task.INSPECTION) is None


def test_a_logged_check_ends_the_inspection() -> None:
    """One after the return counts, one before it does not."""
    for minute, due in ((BACK.in_block_minute + 30, False), (STOPPED - 5, True)):
        check = PlugCheck(turnaround_id=FIRST.id, minute=minute)
        table, _ = answer(stopped_at(20.0, checks=(check,)))
        assert (duty_of(table, Task.INSPECTION) is not None) is due


def checked_day() -> Day:
    """A stop after which plugs come near release and none lets go."""
    return stopped_at(CHECKED_AT)


CHECKED_AT = 37.0


@cache
def checked() -> OptionTable:
    return answer(checked_day())[0]


def test_a_plug_check_is_a_duty_of_the_options_that_need_it() -> None:
    """It ends when the option may go at the earliest; its minutes are the station's."""
    table = checked()
    duty = duty_of(table, Task.PLUG_CHECK)
    assert duty is not None
    assert table.still_air.needs_check
    assert duty.minutes == SAMPLE.station.plug_check_minutes
    minutes = dict(table.limit_minutes)
    assert minutes[Limit.PLUG_CHECK] == duty.earliest_minute + duty.minutes
    assert table.approach_minute is not None
    assert duty.earliest_minute >= table.approach_minute
    ready = table.still_air.ready_minute
    assert ready is None or ready >= duty.earliest_minute + duty.minutes


def test_without_a_check_no_option_needs_one() -> None:
    """Cool plugs: no duty, no need."""
    table, _ = answer(replace(SAMPLE, turnarounds=(FIRST,)))
    assert table.duties == ()
    assert not any(option.needs_check for option in table.options)


@pytest.mark.parametrize("logged", [True, False])
def test_a_check_that_is_logged_is_no_duty(logged: bool) -> None:
    """Once it is done nobody has to do it again."""
    check = PlugCheck(turnaround_id=FIRST.id, minute=BACK.in_block_minute + 200)
    table, _ = answer(replace(checked_day(), checks=(check,) if logged else ()))
    assert (duty_of(table, Task.PLUG_CHECK) is None) is logged

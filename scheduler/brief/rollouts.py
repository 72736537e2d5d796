"""Which rollouts are worth comparing, and which single changes of one of them.

Enters: the day and a turnaround. Leaves: `Rollout` records: the planned landing first,
then every exit with every deceleration level at full and at idle reverse.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import product

from scheduler.cases.landing import PEDALS_FROM_THE_START_M_PER_S, Technique
from scheduler.cases.station_air import headwind_m_per_s, weather_at
from scheduler.day import Day, Exit, Reverse, Runway, Turnaround
from thermal.speeds import LEAST_ADDITIVE_M_PER_S, MOST_ADDITIVE_M_PER_S
from thermal.units import KNOT_M_PER_S

# Aiming point past the threshold, 1,500 ft: common practice.
AIM_POINT_M = 457.0
AGREE_EXIT = ("approach control", "tower")
FAST_KT, LONG_M = 5.0, 300.0
LATE_OFF_KT = (60.0, 100.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rollout:
    """A landing to compare: the turnaround that lands so, and the technique.

    ``level`` is the deceleration that is set, None where it is not given or pedals
    brake from the start.
    """

    label: str
    turnaround: Turnaround
    technique: Technique
    level: float | None
    agree_with: tuple[str, ...] = ()

    @property
    def off_kt(self) -> float | None:
        """Ground speed at which pedals take over, as people say it."""
        off = self.technique.automatic_off_m_per_s
        return None if off == 0.0 else round(off / KNOT_M_PER_S)


def planned_rollout(turnaround: Turnaround) -> Rollout:
    """Land as the turnaround says."""
    return Rollout(
        label="as planned",
        turnaround=turnaround,
        technique=Technique(),
        level=turnaround.landing.deceleration_m_per_s2,
    )


def other_rollouts(day: Day, turnaround: Turnaround) -> Iterator[Rollout]:
    """Every exit, level and reverse; speed and touchdown point as they should be."""
    aircraft, runway = day.aircraft_of(turnaround), day.runway_of(turnaround)
    levels: tuple[float, ...] = aircraft.automatic_decelerations_m_per_s2
    if not levels or day.tail_of(turnaround).automatic_braking_inoperative:
        levels = (aircraft.default_deceleration_m_per_s2,)
    exits: tuple[Exit | None, ...] = runway.exits or (None,)
    for leave, reverse, level in product(exits, (Reverse.FULL, Reverse.IDLE), levels):
        yield _rollout(day, turnaround, leave, reverse, level)


def _rollout(
    day: Day,
    turnaround: Turnaround,
    leave: Exit | None,
    reverse: Reverse,
    level: float,
) -> Rollout:
    given = turnaround.landing
    pedals = day.tail_of(turnaround).automatic_braking_inoperative
    aim = AIM_POINT_M if given.touchdown_m is None else given.touchdown_m
    landing = replace(
        given,
        touchdown_m=aim,
        exit=None if leave is None else leave.name,
        reverse=reverse,
        deceleration_m_per_s2=level,
    )
    where = "to taxi speed" if leave is None else f"exit {leave.name}"
    how = "pedals" if pedals else f"{level:g} m/s²"
    return Rollout(
        label=f"{where}, {reverse} reverse, {how}",
        turnaround=replace(turnaround, landing=landing),
        technique=Technique(
            additive_kt=wind_additive_kt(day, turnaround),
            automatic_off_m_per_s=PEDALS_FROM_THE_START_M_PER_S if pedals else 0.0,
            hold_level=True,
        ),
        level=None if pedals else level,
        agree_with=_agreeing(day.runway_of(turnaround), given.exit, leave),
    )


def wind_additive_kt(day: Day, turnaround: Turnaround) -> float | None:
    """Additive that wind and gusts ask for; None where the touchdown speed is given."""
    if turnaround.landing.touchdown_speed_m_per_s is not None:
        return None
    minute = turnaround.in_block_minute - day.taxi_in_minutes(turnaround)
    row = weather_at(day, minute)
    wind = max(headwind_m_per_s(row, day.runway_of(turnaround)), 0.0)
    earned = max(0.5 * wind + row.gust_m_per_s, LEAST_ADDITIVE_M_PER_S)
    return round(min(earned, MOST_ADDITIVE_M_PER_S) / KNOT_M_PER_S, 1)


def _agreeing(
    runway: Runway, planned: str | None, leave: Exit | None
) -> tuple[str, ...]:
    """Who must agree: a roll beyond the planned exit keeps the runway longer."""
    if leave is None or leave.name == planned:
        return ()
    at = next((one.distance_m for one in runway.exits if one.name == planned), None)
    return AGREE_EXIT if at is None or leave.distance_m > at else ("tower",)


def dropped_later(chosen: Rollout) -> Iterator[Rollout]:
    """Yield the same rollout with automatic braking dropped at lower speeds."""
    if chosen.level is None:
        return
    for off_kt in LATE_OFF_KT:
        yield replace(
            chosen,
            label=f"{chosen.label}, pedals below {off_kt:g} kt",
            technique=replace(
                chosen.technique, automatic_off_m_per_s=off_kt * KNOT_M_PER_S
            ),
        )


def changes_of(day: Day, base: Rollout) -> Iterator[Rollout]:
    """Single changes of a rollout; the exit is made by braking harder, if at all."""
    technique = replace(base.technique, hold_level=False)

    def changed(label: str, technique: Technique = technique) -> Rollout:
        return replace(base, label=label, technique=technique)

    landing = base.turnaround.landing
    faster = replace(technique, faster_m_per_s=FAST_KT * KNOT_M_PER_S)
    yield changed(f"{FAST_KT:g} kt too fast", faster)
    yield changed(f"{LONG_M:g} m long", replace(technique, longer_m=LONG_M))
    if landing.reverse is not Reverse.NONE:
        yield _landed(changed("no reverse"), reverse=Reverse.NONE)
    early = _exit_before(day.runway_of(base.turnaround), landing.exit)
    if early is not None:
        yield _landed(changed(f"early exit {early.name}"), exit=early.name)
    if base.technique.automatic_off_m_per_s < PEDALS_FROM_THE_START_M_PER_S:
        off = PEDALS_FROM_THE_START_M_PER_S
        dropped = replace(technique, automatic_off_m_per_s=off)
        yield changed("automatic braking dropped at touchdown", dropped)
    riding = replace(technique, riding_fraction=1.0)
    yield changed("riding the brakes on the taxiway", riding)


def _landed(rollout: Rollout, **given: object) -> Rollout:
    turnaround = rollout.turnaround
    landing = replace(turnaround.landing, **given)  # type: ignore[arg-type]
    return replace(rollout, turnaround=replace(turnaround, landing=landing))


def _exit_before(runway: Runway, name: str | None) -> Exit | None:
    """Last exit before the given one; None where there is none."""
    at = next((one.distance_m for one in runway.exits if one.name == name), 0.0)
    before = [one for one in runway.exits if one.distance_m < at]
    return max(before, key=lambda one: one.distance_m, default=None)

"""Landings and their heat as the options that a brief lists.

Enters: `Landed`, `OptionHeat`. Leaves: `RolloutOption`, numbers as people read them,
and which of them leaves first.
"""

from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from scheduler.brief.heat import OptionHeat
from scheduler.brief.judged import Landed, Work
from scheduler.brief.record import RolloutOption
from scheduler.plan import FanJob


def options_of(
    work: Work,
    landed: Iterable[Landed],
    hot: list[Landed],
    heats: list[OptionHeat],
    planned: RolloutOption | None = None,
    first: int = 0,
) -> list[RolloutOption]:
    """Options in order; minutes only where they are offered, and as planned."""
    heat_of = {id(one): heat for one, heat in zip(hot, heats, strict=True)}
    found: list[RolloutOption] = []
    for number, one in enumerate(landed, start=first):
        reference = planned or (found[0] if found else None)
        found.append(_option(work, number, one, heat_of.get(id(one)), reference))
    return found


def _option(
    work: Work,
    number: int,
    landed: Landed,
    heat: OptionHeat | None,
    planned: RolloutOption | None,
) -> RolloutOption:
    rollout, judged = landed.rollout, landed.verdict
    landing = rollout.turnaround.landing
    option = RolloutOption(
        number=number,
        label=rollout.label,
        exit_id=landing.exit,
        target_speed_additive_kt=rollout.technique.additive_kt,
        touchdown_m=landing.touchdown_m,
        reverse=landing.reverse,
        deceleration_m_per_s2=rollout.level,
        automatic_braking_off_kt=rollout.off_kt,
        heat_mj_per_brake=round(work.heat_mj(landed), 2),
        runway_seconds=_runway_seconds(work, landed),
        stop_margin_m=_whole_metres(judged.stop_margin_m),
        available=judged.reason is None,
        reason=judged.reason,
        agree_with=rollout.agree_with,
    )
    return option if heat is None else _with_heat(option, heat, planned)


def _with_heat(
    option: RolloutOption, heat: OptionHeat, planned: RolloutOption | None
) -> RolloutOption:
    still = heat.table.still_air
    fan = heat.table.options[1] if len(heat.table.options) > 1 else None
    ready = still.ready_minute
    before = ready if planned is None else planned.brake_ready_minute
    return replace(
        option,
        stack_peak_c=heat.stack_peak_c,
        plug_peak_c=heat.plug_peak_c,
        plug_release_probability=heat.plug_release_probability,
        brake_ready_minute=ready,
        binding=still.binding,
        brake_ready_fan_minute=None if fan is None else fan.ready_minute,
        fan_job=None
        if fan is None
        else FanJob(
            fan_type=fan.fan or "",
            units=fan.units,
            start_minute=fan.start_minute or 0,
            end_minute=fan.end_minute or 0,
        ),
        ground_minutes_against_planned=less(ready, before),
    )


def _runway_seconds(work: Work, landed: Landed) -> float:
    seconds = np.sort(landed.other.heat.duration_s.reshape(-1))
    return round(float(seconds[max(-1 - work.above, -seconds.size)]), 1)


def _whole_metres(margin_m: float) -> float:
    """Round a margin down to a metre."""
    return float(np.floor(margin_m)) if np.isfinite(margin_m) else margin_m


def chosen_of(options: list[RolloutOption], target: int) -> int | None:
    """Available option that leaves first; then as planned, fewest to agree, heat.

    Before the target nothing is won: ground handling takes that long.
    """
    offered = [one for one in options if one.available]
    if not offered:
        return None

    def order(one: RolloutOption) -> tuple[float, bool, int, float]:
        ready = one.brake_ready_minute
        minute = np.inf if ready is None else float(max(ready, target))
        other = one.number > 0
        return minute, other, len(one.agree_with), one.heat_mj_per_brake

    return min(offered, key=order).number


def less(minute: int | None, other: int | None) -> int | None:
    """Minutes between two, None where one of them does not come."""
    return None if minute is None or other is None else minute - other

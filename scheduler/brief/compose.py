"""Compute a brief: judge the rollouts, heat those that are available, price changes.

Enters: the day, the id of a turnaround, samples and seed. Leaves: a `Brief`.

Stopping is judged before any heat is computed; a rollout without its margin gets
neither minutes nor peaks.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from scheduler.brief.heat import Ends, OptionHeat, option_heats, rank_above
from scheduler.brief.margin import Verdict, verdict
from scheduler.brief.record import Brief, Change, RolloutOption
from scheduler.brief.rollouts import (
    Rollout,
    changes_of,
    dropped_later,
    other_rollouts,
    planned_rollout,
)
from scheduler.cases import Case, build_case
from scheduler.cases.other_landing import (
    Draws,
    OtherLanding,
    draws_of,
    land_otherwise,
)
from scheduler.day import Basis, Day, Turnaround
from scheduler.errors import DayError, UnknownTurnaroundError
from scheduler.plan import FanJob

SAMPLE_COUNT = 512
# With fewer no sample is left to tell when the plugs have settled.
LEAST_SAMPLES = 128
VALID_AFTER_TOUCHDOWN_MINUTES = 10


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Landed:
    """A rollout, what it did in every sample, and the verdict on it."""

    rollout: Rollout
    other: OtherLanding
    verdict: Verdict


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Work:
    """What all rollouts of a turnaround share."""

    day: Day
    case: Case
    draws: Draws
    above: int

    def land(self, rollouts: Iterable[Rollout]) -> list[_Landed]:
        """Land in every way, and judge."""
        found = []
        for rollout in rollouts:
            other = self.otherwise(rollout)
            judged = verdict(self.day, rollout, other.planned, other.heat, self.above)
            found.append(_Landed(rollout=rollout, other=other, verdict=judged))
        return found

    def unjudged(self, rollout: Rollout) -> _Landed:
        """Land in one way, to price it; nobody is offered it."""
        nothing = Verdict(stop_margin_m=float("-inf"), reason="a change to be priced")
        return _Landed(rollout=rollout, other=self.otherwise(rollout), verdict=nothing)

    def otherwise(self, rollout: Rollout) -> OtherLanding:
        """Land in one way."""
        return land_otherwise(
            self.day, self.case, rollout.turnaround, self.draws, rollout.technique
        )

    def heat_mj(self, landed: _Landed) -> float:
        """Heat of the hottest brake, safe bound."""
        most = landed.other.case.energy_j.max(axis=1)
        return float(np.sort(most)[-1 - self.above]) / 1e6

    def heats(self, ends: Ends, landed: Iterable[OtherLanding]) -> list[OptionHeat]:
        """Heat of landings, in their order."""
        cases = [one.case for one in landed]
        return option_heats(self.day, ends, cases, self.above)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Around:
    """What is looked at around one option: itself, variants, single changes."""

    base: _Landed
    more: list[_Landed]
    changed: list[_Landed]

    @classmethod
    def of(cls, work: _Work, landed: list[_Landed], base: int) -> "_Around":
        """Variants only of an option other than the planned one."""
        rollout = landed[base].rollout
        return cls(
            base=landed[base],
            more=work.land(dropped_later(rollout) if base else ()),
            changed=[work.unjudged(one) for one in changes_of(work.day, rollout)],
        )

    @property
    def offered(self) -> list[_Landed]:
        """Variants that are available."""
        return [one for one in self.more if _is_offered(one)]

    @property
    def landed(self) -> tuple[_Landed, ...]:
        """All whose heat is wanted, the option itself first."""
        return (self.base, *self.offered, *self.changed)


def compose(
    day: Day, turnaround_id: str, *, sample_count: int = SAMPLE_COUNT, seed: int = 1
) -> Brief:
    """Compute the brief of one arrival.

    Parameters
    ----------
    sample_count : int
        A power of two, 128 or more. With fewer samples than the confidence needs, the
        worst counts.
    seed : int
        The same draws as a plan of this seed and count.

    Raises
    ------
    UnknownTurnaroundError
        If the day has no such turnaround.
    DayError
        With too few samples.
    IntegrationError
        Where a landing heats a brake beyond its materials.
    """
    if not sample_count >= LEAST_SAMPLES:
        raise DayError.of("samples", f"{LEAST_SAMPLES} or more", sample_count)
    turnaround = turnaround_of(day, turnaround_id)
    station = day.station
    work = _Work(
        day=day,
        case=build_case(day, turnaround, sample_count=sample_count, seed=seed),
        draws=draws_of(day, turnaround, sample_count=sample_count, seed=seed),
        above=rank_above(
            sample_count, station.limit_confidence, station.bound_confidence
        ),
    )
    landed = work.land([planned_rollout(turnaround), *other_rollouts(day, turnaround)])
    hot = [one for k, one in enumerate(landed) if k == 0 or _is_offered(one)]
    ends = Ends.of(day, [one.other.case for one in hot])
    # The coolest option is mostly the one that is ready first: one batch does for all.
    base = _coolest(work, landed)
    around = _Around.of(work, landed, base)
    found = work.heats(ends, [one.other for one in (*hot, *around.landed)])
    heats, later = found[: len(hot)], found[len(hot) :]
    options = _options(work, landed, hot, heats)
    chosen = _chosen(options, turnaround.target_off_block_minute)
    if (chosen or 0) != base:
        base = chosen or 0
        around = _Around.of(work, landed, base)
        later = work.heats(ends, [one.other for one in around.landed])
    more, offered = around.more, around.offered
    options += _options(
        work, more, offered, later[1 : 1 + len(offered)], options[0], first=len(landed)
    )
    touchdown = turnaround.in_block_minute - day.taxi_in_minutes(turnaround)
    return Brief(
        day=day,
        turnaround=turnaround,
        options=tuple(options),
        chosen=chosen,
        base=base,
        changes=_changes(
            [one.rollout.label for one in around.changed],
            (landed[base].other, *(one.other for one in around.changed)),
            (later[0], *later[1 + len(offered) :]),
        ),
        landed=turnaround.in_block_basis is Basis.ACTUAL,
        touchdown_minute=touchdown,
        valid_until_minute=touchdown + VALID_AFTER_TOUCHDOWN_MINUTES,
        assumed=work.case.assumed,
        sample_count=sample_count,
        seed=seed,
    )


def turnaround_of(day: Day, turnaround_id: str) -> Turnaround:
    """Turnaround by its id; `UnknownTurnaroundError` where there is none."""
    for one in day.turnarounds:
        if one.id == turnaround_id:
            return one
    known = ", ".join(one.id for one in day.turnarounds)
    raise UnknownTurnaroundError.of(turnaround_id, known)


def _is_offered(landed: _Landed) -> bool:
    return landed.verdict.reason is None


def _coolest(work: _Work, landed: list[_Landed]) -> int:
    """Find the available option with the least heat; 0 where there is none."""
    offered = [k for k, one in enumerate(landed) if _is_offered(one)]
    return min(offered, key=lambda k: work.heat_mj(landed[k]), default=0)


def _options(
    work: _Work,
    landed: list[_Landed],
    hot: list[_Landed],
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
    work: _Work,
    number: int,
    landed: _Landed,
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
        ground_minutes_against_planned=_less(ready, before),
    )


def _runway_seconds(work: _Work, landed: _Landed) -> float:
    seconds = np.sort(landed.other.heat.duration_s.reshape(-1))
    return round(float(seconds[max(-1 - work.above, -seconds.size)]), 1)


def _whole_metres(margin_m: float) -> float:
    """Round a margin down to a metre."""
    return float(np.floor(margin_m)) if np.isfinite(margin_m) else margin_m


def _chosen(options: list[RolloutOption], target: int) -> int | None:
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


def _changes(
    labels: list[str],
    landed: tuple[OtherLanding, ...],
    heats: tuple[OptionHeat, ...],
) -> tuple[Change, ...]:
    """Price single changes against their base, which comes first.

    Heat is the mean over samples, since all of them have the same draws.
    """
    most = [one.case.energy_j.max(axis=1).mean() for one in landed]
    ready = [heat.table.still_air.ready_minute for heat in heats]
    return tuple(
        Change(
            label=label,
            extra_heat_mj_per_brake=round(float(extra_j - most[0]) / 1e6, 2),
            extra_ground_minutes=_less(minute, ready[0]),
        )
        for label, extra_j, minute in zip(labels, most[1:], ready[1:], strict=True)
    )


def _less(minute: int | None, other: int | None) -> int | None:
    return None if minute is None or other is None else minute - other

"""The heat behind brake-ready, integrated again with another integrator.

For every planned departure the draw and the brake that set brake-ready are followed
from touchdown to two hours after retraction by `scheduler.verify.history`, with the
fan jobs and the off-block of the plan, and all departure limits are looked at again.
Every departure is looked at, however late: limits are not monotone.
"""

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from scheduler.cases import Case, build_case
from scheduler.cases.full_length import FULL_LENGTH, full_length_case
from scheduler.day import Day
from scheduler.plan import HeatSummary, Plan
from scheduler.verify.at_wheel import above_threshold, visits_of
from scheduler.verify.departure_limits import Broken, broken_limits
from scheduler.verify.matches import Match, match_rows
from scheduler.verify.other_draws import hottest_rows, spare_samples
from scheduler.verify.violation import Code, Violation
from scheduler.verify.witness import Witness, witness_of
from thermal.errors import ThermalError

MOST_SAMPLES = 1 << 16
_LOOKED_AT = 6


def heat_violations(
    day: Day, plan: Plan, only: Collection[str] | None = None
) -> tuple[Violation, ...]:
    """Find departures whose brakes do not keep their limits by a second integration.

    The draw that set brake-ready of the chosen way to cool (``binding_position``,
    ``binding_sample``, the plan's seed) has to keep every limit, in still air and
    behind a fan: a necessary condition, because a plan could name a draw that is too
    cool. The threshold to send people to a wheel for a fan job was set by a draw of
    its own: if the named one is above it, the hottest other draws are followed as
    well, and a violation is told once more of them are above it than may be.

    Parameters
    ----------
    day : Day
        What was given.
    plan : Plan
        What was decided.
    only : collection of str, optional
        Look at these turnarounds only.

    Returns
    -------
    violations : tuple of Violation
        Violations of code ``HEAT``, also for a departure without a heat summary.
    """
    matches, _ = match_rows(day, plan)
    planned = [
        match
        for match in matches
        if match.is_planned and (only is None or match.row.id in only)
    ]
    if not planned:
        return ()
    return tuple(
        _draws(day, plan)
        or (f for match in planned for f in _of_match(day, plan, match))
    )


def _draws(day: Day, plan: Plan) -> tuple[Violation, ...]:
    """Whether the plan's draws can be made again, and are enough."""
    count, station = plan.sample_count, day.station
    confidence = station.limit_confidence, station.bound_confidence
    if not (plan.seed >= 0 and 0 < count <= MOST_SAMPLES and count & (count - 1) == 0):
        expected = f"a seed from 0 and a power of two up to {MOST_SAMPLES} samples"
    elif spare_samples(count, *confidence) < 0:
        expected = f"samples enough for {confidence[0]:.2%} at {confidence[1]:.0%}"
    else:
        return ()
    got = f"seed {plan.seed}, {count} samples"
    return (
        Violation(
            code=Code.HEAT,
            turnaround_id=None,
            where="draws",
            expected=expected,
            got=got,
        ),
    )


def _of_match(day: Day, plan: Plan, match: Match) -> Iterator[Violation]:
    heat, off_block, given = match.row.heat, match.off_block_minute, match.given
    if heat is None:
        yield match.fault(Code.HEAT, "heat", "a summary of the heat", "none")
        return
    if off_block is None or not (
        given.in_block_minute <= off_block <= day.last_minute(given)
    ):
        return  # A broken target or horizon tells it.
    try:
        case = _landed(day, plan, match)
        if case is None:
            rollout = match.row.rollout
            yield match.fault(
                Code.HEAT, "rollout", "one that may be asked for", rollout
            )
            return
        row = _named_row(case, heat)
        if row is None:
            yield _unknown_draw(match, case, heat)
        else:
            yield from _Followed(day=day, match=match, case=case, row=row).faults()
    except ThermalError as error:
        yield match.fault(Code.HEAT, "heat", "a case that can be integrated", error)


def _landed(day: Day, plan: Plan, match: Match) -> Case | None:
    """Case of the landing as the row has it; None where there is no such rollout."""
    count, station = plan.sample_count, day.station
    case = build_case(day, match.given, sample_count=count, seed=plan.seed)
    if match.row.rollout is None:
        return case
    if match.row.rollout != FULL_LENGTH:
        return None
    spare = spare_samples(count, station.limit_confidence, station.bound_confidence)
    return full_length_case(day, case, seed=plan.seed, above=spare)


def _named_row(case: Case, heat: HeatSummary) -> int | None:
    known = heat.binding_position in case.positions
    if not (known and 0 <= heat.binding_sample < case.shape[0]):
        return None
    return case.row_of(heat.binding_sample, heat.binding_position)


def _unknown_draw(match: Match, case: Case, heat: HeatSummary) -> Violation:
    positions = ", ".join(case.positions)
    return match.fault(
        Code.HEAT,
        "binding draw",
        f"a sample below {case.shape[0]} of {positions}",
        f"sample {heat.binding_sample} of {heat.binding_position}",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Followed:
    """One turnaround, its draws, and the row that the plan names."""

    day: Day
    match: Match
    case: Case
    row: int

    def faults(self) -> Iterator[Violation]:
        """Limits by the named row, the approach by other draws too where need be."""
        named = self._follow(self.row)
        jobs = self.match.row.fan_jobs
        broken = broken_limits(self.case.brake, named, jobs)
        early = self._approach(named)
        if early and self._is_approach_early():
            broken += early
        yield from (self._fault(one) for one in broken)

    def _follow(self, row: int) -> Witness:
        off_block = self.match.off_block_minute or 0
        return witness_of(self.day, self.case, row, self.match.row.fan_jobs, off_block)

    def _approach(self, witness: Witness) -> tuple[Broken, ...]:
        return above_threshold(self.day, self.match.row.fan_jobs, witness)

    def _is_approach_early(self) -> bool:
        """Whether more draws are above the threshold than confidence leaves out."""
        station, (samples, brakes) = self.day.station, self.case.shape
        spare = spare_samples(
            samples, station.limit_confidence, station.bound_confidence
        )
        failed = 1
        looked_at = _LOOKED_AT * (spare + 1)
        visits = visits_of(self.day, self.match.row.fan_jobs, self.match.given)
        for row in hottest_rows(self.case, self.row // brakes, looked_at, visits):
            if failed > spare:
                break
            failed += bool(self._approach(self._follow(row)))
        return failed > spare

    def _fault(self, broken: Broken) -> Violation:
        sample, brake = divmod(self.row, len(self.case.positions))
        return self.match.fault(
            Code.HEAT,
            f"{broken.limit}, brake {self.case.positions[brake]}, sample {sample}",
            broken.expected,
            broken.got,
        )

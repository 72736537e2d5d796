"""Landings of one turnaround in every way that is looked at, each judged by its stop.

Enters: a turnaround's case and draws, rollouts. Leaves: `Landed`, and around one of
them its variants and single changes. Stopping is judged before any heat is computed.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from scheduler.brief.heat import OptionHeat, option_heats
from scheduler.brief.margin import Verdict, verdict
from scheduler.brief.rollouts import Rollout, changes_of, dropped_later
from scheduler.brief.rungs import Rungs
from scheduler.cases import Case
from scheduler.cases.other_landing import Draws, OtherLanding, land_otherwise
from scheduler.day import Day, Turnaround


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Landed:
    """A rollout, what it did in every sample, and the verdict on it."""

    rollout: Rollout
    other: OtherLanding
    verdict: Verdict


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Work:
    """What all rollouts of a turnaround share."""

    day: Day
    case: Case
    draws: Draws
    above: int

    def land(self, rollouts: Iterable[Rollout]) -> list[Landed]:
        """Land in every way, and judge."""
        found = []
        for rollout in rollouts:
            other = self.otherwise(rollout)
            judged = verdict(self.day, rollout, other.planned, other.heat, self.above)
            found.append(Landed(rollout=rollout, other=other, verdict=judged))
        return found

    def unjudged(self, rollout: Rollout) -> Landed:
        """Land in one way, to price it; nobody is offered it."""
        nothing = Verdict(stop_margin_m=float("-inf"), reason="a change to be priced")
        return Landed(rollout=rollout, other=self.otherwise(rollout), verdict=nothing)

    def priced(self, base: Landed) -> list[Landed]:
        """Land in a way with one change each."""
        return [self.unjudged(one) for one in changes_of(self.day, base.rollout)]

    def otherwise(self, rollout: Rollout) -> OtherLanding:
        """Land in one way."""
        return land_otherwise(
            self.day, self.case, rollout.turnaround, self.draws, rollout.technique
        )

    def heat_mj(self, landed: Landed) -> float:
        """Heat of the hottest brake, safe bound."""
        most = landed.other.case.energy_j.max(axis=1)
        return float(np.sort(most)[-1 - self.above]) / 1e6

    def heats(self, rungs: Rungs, landed: Iterable[Landed]) -> list[OptionHeat]:
        """Heat of landings, in their order."""
        cases = [one.other.case for one in landed]
        return option_heats(self.day, rungs, cases, self.above)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Around:
    """What is looked at around one option: itself, variants, single changes."""

    base: Landed
    more: list[Landed]
    changed: list[Landed]

    @classmethod
    def of(cls, work: Work, landed: list[Landed], base: int) -> "Around":
        """Variants only of an option other than the planned one."""
        rollout = landed[base].rollout
        return cls(
            base=landed[base],
            more=work.land(dropped_later(rollout) if base else ()),
            changed=work.priced(landed[base]),
        )

    @property
    def offered(self) -> list[Landed]:
        """Variants that are available."""
        return [one for one in self.more if is_offered(one)]

    @property
    def beside(self) -> tuple[Landed, ...]:
        """Variants that are available, then the changes."""
        return (*self.offered, *self.changed)


def is_offered(landed: Landed) -> bool:
    """Whether nothing speaks against it."""
    return landed.verdict.reason is None


def coolest(work: Work, hot: list[Landed]) -> Landed:
    """Find the landing with the least heat among some."""
    return min(hot, key=work.heat_mj)


def likely(
    rungs: Rungs, landed: list[Landed], hot: list[Landed], turnaround: Turnaround
) -> int:
    """Guess the option that leaves first, as `chosen_of` finds it; 0 where none is."""
    target = turnaround.target_off_block_minute - turnaround.in_block_minute

    def order(one: Landed) -> tuple[float, bool, int, float]:
        ready = max(np.ceil(rungs.ready_minute(one.other.case)), float(target))
        heat_j = one.other.case.energy_j.max(axis=1).max()
        other = one is not landed[0]
        return ready, other, len(one.rollout.agree_with), float(heat_j)

    offered = [one for one in hot if is_offered(one)]
    best = min(offered, key=order, default=landed[0])
    return landed.index(best)

"""All ways to cool some turnarounds of one brake type: still air and fan jobs.

Enters: cases. Leaves: `Ways` with the heat behind them, from which option tables are
made.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from scheduler.cases import Case
from scheduler.day import Basis, Day
from scheduler.options import Option, OptionTable
from scheduler.plan import HeatSummary
from scheduler.readiness.fan_jobs import candidate_jobs
from scheduler.readiness.fan_options import fan_options
from scheduler.readiness.limits import LIMIT_OF, SampleMinutes, stand_minutes
from scheduler.readiness.partial_sets import partial_options
from scheduler.readiness.plugs import PlugState, plug_state
from scheduler.readiness.stand import StandHeat, stand_heat
from scheduler.readiness.summary import most_valuable, summary
from scheduler.readiness.table import check_minute, option_table


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ways:
    """Heat at the stand and what it allows, lists by case."""

    heat: StandHeat
    still: list[SampleMinutes]
    plugs: list[PlugState]
    checks: list[float | None]
    rank_count: tuple[int, int]
    options: list[list[Option]]

    @classmethod
    def of(
        cls, day: Day, cases: tuple[Case, ...], rank_count: tuple[int, int]
    ) -> "Ways":
        """Follow cases at the stand, in still air alone."""
        rule = day.station.approach
        heat = stand_heat(cases, day.station.hold_minutes, rule=rule)
        plugs = [plug_state(heat, k, rule, *rank_count) for k in range(len(cases))]
        return cls(
            heat=heat,
            still=stand_minutes(heat, spare=rank_count[1] - rank_count[0]),
            plugs=plugs,
            checks=[
                check_minute(day, case, state)
                for case, state in zip(cases, plugs, strict=True)
            ],
            rank_count=rank_count,
            options=[[] for _ in cases],
        )

    def with_fans(
        self,
        day: Day,
        people_from: Mapping[int, float] | None = None,
    ) -> "Ways":
        """Add every fan job that is worth following.

        Parameters
        ----------
        people_from : mapping of int to float, optional
            The cases that may have fans, each with the minute after in-block before
            which nobody is to be sent, whatever its figures; all of them by default.
        """
        people = (
            dict.fromkeys(range(len(self.plugs)), 0.0)
            if people_from is None
            else people_from
        )
        return replace(self, options=self._fan_options(day, people))

    def _fan_options(
        self, day: Day, people_from: Mapping[int, float]
    ) -> list[list[Option]]:
        ready = [
            self._ready_minute(place)
            if place in people_from and self._may_have_fan(place)
            else -math.inf
            for place in range(len(self.plugs))
        ]
        approach = [
            max(state.approach_minute, people_from.get(place, 0.0))
            for place, state in enumerate(self.plugs)
        ]
        jobs = [
            job
            for place, case in enumerate(self.heat.cases)
            for job in candidate_jobs(
                day, case.turnaround, place, approach[place], ready[place]
            )
        ]
        whole = fan_options(self.heat, self.still, jobs, *self.rank_count, self.checks)
        part = partial_options(
            day, self.heat, ready, approach, self.checks, self.rank_count
        )
        return [[*one, *more] for one, more in zip(whole, part, strict=True)]

    def _may_have_fan(self, place: int) -> bool:
        """Not once it has gone, nor where only a logged check lets it go."""
        turnaround = self.heat.cases[place].turnaround
        gone = turnaround.off_block_basis is Basis.ACTUAL
        return not gone and self.checks[place] != math.inf

    def _ready_minute(self, place: int) -> float:
        """Minute after in-block from which it may go in still air."""
        bound, _ = self.still[place].bound(*self.rank_count)
        return max(bound, self.checks[place] or 0.0)

    def table(self, day: Day, place: int) -> OptionTable:
        """Option table of one turnaround."""
        return option_table(
            day,
            self.heat,
            place,
            self.still[place],
            self.plugs[place],
            self.options[place],
            self.rank_count[0],
        )

    def summary(self, central: StandHeat, place: int) -> HeatSummary:
        """Say what the heat of one turnaround is, with the middle of all ranges."""
        still, rows = self.still[place], self.heat.rows
        _, at = still.bound(*self.rank_count)
        row, column = int(still.row[at]), int(still.limit[at])
        return summary(
            central,
            place,
            self.heat.cases[place],
            self.plugs[place],
            (int(rows.sample[row]), int(rows.brake[row])),
            most_valuable(self.heat, place, column if column < len(LIMIT_OF) else None),
        )

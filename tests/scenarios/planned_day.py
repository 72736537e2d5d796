"""A scenario folder read and planned as the command does it, for the tests here."""

from dataclasses import dataclass, replace
from pathlib import Path

from scheduler.day import Day, Turnaround
from scheduler.files import read_scenario
from scheduler.options import OptionTable
from scheduler.plan import HeatSummary, Plan, PlannedTurnaround
from scheduler.readiness import build_tables
from scheduler.report import CAUTIONS, actions
from scheduler.solve import SolveConfig, SolveResult, plan_day

SCENARIOS = Path(__file__).parents[2] / "scenarios"


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """A day with its brake-ready tables and its finished plan."""

    day: Day
    tables: dict[str, OptionTable]
    heat: dict[str, HeatSummary]
    result: SolveResult

    @property
    def plan(self) -> Plan:
        """The plan as people read it, with actions and cautions."""
        return self.result.plan

    @property
    def rows(self) -> list[tuple[Turnaround, PlannedTurnaround]]:
        """Each turnaround as given and as planned."""
        return list(zip(self.day.turnarounds, self.plan.turnarounds, strict=True))


def planned(folder: Path, config: SolveConfig) -> Planned:
    """Read and plan a scenario folder as the command does."""
    day = read_scenario(folder)
    tables = build_tables(day, config)
    result = plan_day(
        day,
        config,
        tables=tables,
        finish=lambda plan: replace(
            plan, actions=actions(plan, day), cautions=CAUTIONS
        ),
    )
    return Planned(
        day=day,
        tables={table.turnaround_id: table for table, _ in tables},
        heat={table.turnaround_id: heat for table, heat in tables},
        result=result,
    )

"""Fan units between zones, unit by unit, where pooled move times are not enough.

Enters: variables and the day's zones. Leaves: rows. Units leave a job for the zone of
their next one at once and wait there, which loses nothing. So per fan type there is a
stock of waiting units in each zone: what arrives fills it, what a job takes empties it,
and it is never below nothing. At the start of the day units come from their homes.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from ortools.sat.python import cp_model

from scheduler.day import Day, FanType
from scheduler.model.variables import Literal, Variables

DAY_START = -1


@dataclass(frozen=True, slots=True)
class ZoneJob:
    """A job in a zone, from … to, of so many units, if the variable is true."""

    zone: str
    start: int
    end: int
    units: int
    literal: Literal


@dataclass(frozen=True, slots=True)
class FanMoves:
    """Units are where the next job is in time; needs exact moves and homes."""

    day: Day

    def add(self, model: cp_model.CpModel, variables: Variables) -> None:
        """Add flow and stock rows of each fan type that has homes."""
        if not self.day.station.exact_moves:
            return
        minutes = self.day.move_minutes()
        for fan in self.day.station.fans:
            jobs = list(self._jobs(variables, fan))
            if jobs and fan.home:
                Flow(model, fan, minutes).add(jobs)

    def _jobs(self, variables: Variables, fan: FanType) -> Iterator[ZoneJob]:
        for one in variables.departures:
            zone = self.day.stand_of(one.choices.turnaround).zone or ""
            for way, literal in one.coolings:
                if way.option.fan == fan.name:
                    yield ZoneJob(
                        zone,
                        way.busy_from_minute,
                        way.busy_to_minute,
                        way.option.units,
                        literal,
                    )


@dataclass(slots=True)
class Flow:
    """Rows of one fan type."""

    model: cp_model.CpModel
    fan: FanType
    minutes: Mapping[tuple[str, str], int]
    arrivals: dict[str, dict[int, list[cp_model.IntVar]]] = field(
        default_factory=lambda: defaultdict(lambda: defaultdict(list))
    )

    def add(self, jobs: list[ZoneJob]) -> None:
        """Add departures from jobs and homes, then the stocks."""
        zones = sorted({job.zone for job in jobs})
        for zone, units in self.fan.home:
            self._leave(zone, DAY_START, zones, units)
        ends: dict[tuple[str, int], list[ZoneJob]] = defaultdict(list)
        for job in jobs:
            ends[job.zone, job.end].append(job)
        for (zone, end), ending in sorted(ends.items(), key=lambda it: it[0]):
            freed = cp_model.LinearExpr.weighted_sum(
                [job.literal for job in ending], [job.units for job in ending]
            )
            self._leave(zone, end, zones, freed)
        for zone in zones:
            self._stock(zone, [job for job in jobs if job.zone == zone])

    def _leave(
        self, zone: str, minute: int, zones: Iterable[str], freed: cp_model.LinearExprT
    ) -> None:
        """Split the units that become free among the zones they go to."""
        going = []
        for other in zones:
            units = self.model.new_int_var(0, self.fan.units, "")
            going.append(units)
            took = self.minutes.get((zone, other), self.fan.move_minutes)
            arrival = took if minute == DAY_START else minute + took
            self.arrivals[other][arrival].append(units)
        self.model.add(cp_model.LinearExpr.sum(going) == freed)

    def _stock(self, zone: str, jobs: list[ZoneJob]) -> None:
        """Keep the stock of a zone from falling below nothing."""
        starts: dict[int, list[ZoneJob]] = defaultdict(list)
        for job in jobs:
            starts[job.start].append(job)
        coming = sorted(self.arrivals[zone].items())
        stock: list[cp_model.IntVar] = []
        for minute in sorted(starts):
            arrived = []
            while coming and coming[0][0] <= minute:
                arrived += coming.pop(0)[1]
            taken = cp_model.LinearExpr.weighted_sum(
                [job.literal for job in starts[minute]],
                [job.units for job in starts[minute]],
            )
            left = self.model.new_int_var(0, self.fan.units, "")
            before = cp_model.LinearExpr.sum([*arrived, *stock])
            self.model.add(cp_model.LinearExpr.sum([left, taken]) == before)
            stock = [left]

"""A day with start times as integer variables: intervals, cumulative limits, tables.

The way a scheduling problem is commonly written. Each turnaround has one table of its
ways to cool; its fan job is an optional interval per fan type. One worker and the
solver's own settings.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from ortools.sat.python import cp_model

from tests.benchmarks.peers import Question, Reply, Trip


@dataclass(frozen=True, slots=True, kw_only=True)
class _Departure:
    """Variables of one turnaround."""

    off: cp_model.IntVar
    goes: cp_model.IntVar
    price: cp_model.IntVar


def solve_intervals(question: Question, seconds: float) -> Reply:
    """Minimise the price of a day."""
    cp = cp_model.CpModel()
    fans = {fan.name: fan.units for fan in question.day.station.fans}
    jobs: dict[str, list[tuple[cp_model.IntervalVar, cp_model.IntVar]]] = {
        name: [] for name in fans
    }
    departures = [_departure(cp, trip, list(fans), jobs) for trip in question.trips]
    for name, units in fans.items():
        intervals = [interval for interval, _ in jobs[name]]
        cp.add_cumulative(intervals, [demand for _, demand in jobs[name]], units)
    _separate(cp, question, departures)
    cp.minimize(sum(one.price for one in departures))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 1
    status = solver.solve(cp)
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return Reply(
        status=solver.status_name(status),
        value=round(solver.objective_value) if found else None,
        bound=solver.best_objective_bound,
    )


def _departure(
    cp: cp_model.CpModel,
    trip: Trip,
    fans: Sequence[str],
    jobs: dict[str, list[tuple[cp_model.IntervalVar, cp_model.IntVar]]],
) -> _Departure:
    first, last = min(trip.prices), max(trip.prices)
    off = cp.new_int_var_from_domain(cp_model.Domain.from_values(list(trip.prices)), "")
    goes = cp.new_bool_var("")
    if trip.held_price is None:
        cp.add(goes == 1)
    release = _cooling(cp, trip, goes, fans, jobs)
    cp.add(off >= release).only_enforce_if(goes)
    by_minute = [trip.prices.get(at, 0) for at in range(first, last + 1)]
    highest = max(*by_minute, trip.held_price or 0)
    price = cp.new_int_var(0, highest, "")
    gone = cp.new_int_var(0, highest, "")
    cp.add_element(off - first, by_minute, gone)
    cp.add(price == gone).only_enforce_if(goes)
    cp.add(price == (trip.held_price or 0)).only_enforce_if(~goes)
    minute = first if trip.start_minute is None else trip.start_minute
    cp.add_hint(off, minute)
    cp.add_hint(gone, by_minute[minute - first])
    held = trip.held_price or 0
    cp.add_hint(price, held if trip.start_minute is None else by_minute[minute - first])
    return _Departure(off=off, goes=goes, price=price)


def _cooling(
    cp: cp_model.CpModel,
    trip: Trip,
    goes: cp_model.IntVar,
    fans: Sequence[str],
    jobs: dict[str, list[tuple[cp_model.IntervalVar, cp_model.IntVar]]],
) -> cp_model.IntVar:
    """Table of fan type, start, length, units and release; a held one takes no fan."""
    kinds = {None: 0, **{name: index for index, name in enumerate(fans, 1)}}
    rows = [
        (1, kinds[job.fan], job.busy_from, job.minutes, job.units, job.release)
        for job in trip.jobs
    ]
    rows.append((0, 0, 0, 0, 0, 0))
    columns = list(zip(*rows, strict=True))[1:]
    kind, start, length, units, release = (
        cp.new_int_var_from_domain(cp_model.Domain.from_values(list(column)), "")
        for column in columns
    )
    ways = [goes, kind, start, length, units, release]
    cp.add_allowed_assignments(ways, rows)
    planned = rows[-1 if trip.start_job is None else trip.start_job]
    for variable, value in zip(ways, planned, strict=True):
        cp.add_hint(variable, value)
    end = cp.new_int_var(0, max(row[2] + row[3] for row in rows), "")
    cp.add(end == start + length)
    cp.add_hint(end, planned[2] + planned[3])
    for name in sorted({job.fan for job in trip.jobs if job.fan is not None}):
        uses = cp.new_bool_var("")
        cp.add_hint(uses, planned[1] == kinds[name])
        cp.add(kind == kinds[name]).only_enforce_if(uses)
        cp.add(kind != kinds[name]).only_enforce_if(~uses)
        interval = cp.new_optional_interval_var(start, length, end, uses, "")
        jobs[name].append((interval, units))
    return release


def _separate(
    cp: cp_model.CpModel, question: Question, departures: Sequence[_Departure]
) -> None:
    """No overlap at the smallest spacing of each runway, and an order where more."""
    by_runway: dict[str, list[int]] = {}
    for index, trip in enumerate(question.trips):
        by_runway.setdefault(trip.choices.runway, []).append(index)
    for members in by_runway.values():
        pairs = list(combinations(members, 2))
        gaps = {
            (one, two): question.gap(question.trips[one], question.trips[two])
            for pair in pairs
            for one, two in (pair, pair[::-1])
        }
        least = max(min(gaps.values(), default=1), 1)
        cp.add_no_overlap(
            cp.new_optional_fixed_size_interval_var(
                departures[one].off + question.trips[one].taxi,
                least,
                departures[one].goes,
                "",
            )
            for one in members
        )
        for one, two in pairs:
            if max(gaps[one, two], gaps[two, one]) > least:
                _order(cp, question, departures, (one, two), gaps)


def _order(
    cp: cp_model.CpModel,
    question: Question,
    departures: Sequence[_Departure],
    pair: tuple[int, int],
    gaps: dict[tuple[int, int], int],
) -> None:
    """One goes before the other, by their own minutes."""
    is_first = cp.new_bool_var("")
    starts = [question.trips[index].start_minute for index in pair]
    if None not in starts:
        taxi = [question.trips[index].taxi for index in pair]
        cp.add_hint(is_first, starts[0] + taxi[0] <= starts[1] + taxi[1])
    for (one, two), ordered in ((pair, is_first), (pair[::-1], ~is_first)):
        leader = departures[one].off + question.trips[one].taxi
        follower = departures[two].off + question.trips[two].taxi
        both = [departures[one].goes, departures[two].goes]
        cp.add(follower >= leader + gaps[one, two]).only_enforce_if([ordered, *both])

"""Peaks and brake-ready of many rollouts of one turnaround, in one small batch.

Enters: cases that differ by the landing alone. Leaves: `OptionHeat` per case.

`Rungs` tell the few samples of each landing that can set a bound; only they are
followed. Shares of samples that pass a temperature take the interpolated figures of all
others.
"""

from dataclasses import dataclass, replace

import numpy as np

from scheduler.brief.rungs import Rungs, Wanted, numbered, place_of, stand_minute
from scheduler.cases import Case
from scheduler.day import Day
from scheduler.options import Limit, Option, OptionTable
from scheduler.readiness.fan_jobs import Job, candidate_jobs
from scheduler.readiness.fan_options import fan_options
from scheduler.readiness.limits import COLUMNS, SampleMinutes, minutely, rank_of
from scheduler.readiness.plugs import HIGH, PlugState, plug_state
from scheduler.readiness.stand import StandHeat, stand_heat
from scheduler.readiness.table import check_minute, option_table
from thermal.arrays import FloatArray
from thermal.departure import indicated_minute, indication_valid_minute
from thermal.errors import EstimationError
from thermal.units import celsius


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OptionHeat:
    """Heat of one landing; in the table still air, then a fan job if any helps."""

    table: OptionTable
    stack_peak_c: float
    plug_peak_c: float
    plug_release_probability: float


def rank_above(count: int, confidence: float, assurance: float) -> int:
    """How many samples may lie above the safe bound; none where they are few."""
    try:
        return count - rank_of(count, confidence, assurance)
    except EstimationError:
        return 0


def option_heats(
    day: Day, rungs: Rungs, cases: list[Case], above: int
) -> list[OptionHeat]:
    """Heat of every case; they have the same brakes and draws as the rungs."""
    wanted = [rungs.wanted(case) for case in cases]
    cases = [numbered(case, place) for place, case in enumerate(cases)]
    thinned = tuple(
        replace(case, energy_j=_of_samples(case.energy_j, one.samples))
        for case, one in zip(cases, wanted, strict=True)
    )
    station = day.station
    found = stand_heat(thinned, station.hold_minutes, rule=station.approach)
    heat = replace(found, cases=tuple(cases))
    stands = _stand_minutes(heat, wanted)
    count = cases[0].shape[0]
    plugs = [
        _plugs(day, heat, place, one, (count - above, count))
        for place, one in enumerate(wanted)
    ]
    fans = _fans(day, heat, stands, plugs, (count - above, count))
    return [
        _option_heat(
            option_table(
                day,
                heat,
                place,
                stands[place],
                plugs[place],
                fans[place],
                count - above,
            ),
            _stack_peak_k(heat, place, above),
            plugs[place],
        )
        for place in range(len(cases))
    ]


def _stand_minutes(heat: StandHeat, wanted: list[Wanted]) -> list[SampleMinutes]:
    """Minutes in still air of the rows that are followed of each case, in one batch.

    The indication is read off the curves of all rows.
    """
    rows = [place_of(heat, place, one.key) for place, one in enumerate(wanted)]
    columns = [one.column for one in wanted]
    minute = stand_minute(heat, np.concatenate(rows), np.concatenate(columns))
    shown = _indicated(heat)
    ends = np.cumsum([some.size for some in rows])
    found = []
    for place, (some, column) in enumerate(zip(rows, columns, strict=True)):
        mine = heat.rows_of(place)
        every = np.concatenate([some, mine])
        reads = np.full(mine.size, COLUMNS.index(Limit.INDICATED))
        own = minute[ends[place] - some.size : ends[place]]
        found.append(
            SampleMinutes(
                row=every,
                sample=heat.rows.sample[every],
                limit=np.concatenate([column, reads]),
                minute=np.concatenate([own, shown[mine]]),
            )
        )
    return found


def _indicated(heat: StandHeat) -> FloatArray:
    """First minute with a valid indication within its limit, for all rows."""
    brake = heat.network.brake
    whole = np.arange(heat.hold_minutes + 1.0)
    shown = minutely(heat.minute, heat.curve.indicated_k, whole)
    return indicated_minute(
        brake, whole, shown, indication_valid_minute(brake, heat.rows)
    )


def _of_samples(energy_j: FloatArray, samples: np.ndarray) -> FloatArray:
    """Keep the heat of some samples; a brake without heat is not followed."""
    kept = np.zeros_like(energy_j)
    kept[samples] = energy_j[samples]
    return kept


def _plugs(
    day: Day,
    heat: StandHeat,
    place: int,
    wanted: Wanted,
    rank_count: tuple[int, int],
) -> PlugState:
    """Plugs of the samples followed; the others count in the shares.

    People are sent as at low risk only: so few samples cannot tell when raised risk has
    passed.
    """
    rule = replace(day.station.approach, at_raised=False)
    with np.errstate(invalid="ignore"):  # samples that are not followed
        state = plug_state(heat, place, rule, *rank_count)
    count = rank_count[1]
    released = state.release_probability + wanted.released / count
    return replace(
        state,
        release_probability=released,
        exceeded_probability=state.exceeded_probability + wanted.near / count,
        approach_minute=np.inf if released > HIGH else state.approach_minute,
    )


def _fans(
    day: Day,
    heat: StandHeat,
    stands: list[SampleMinutes],
    plugs: list[PlugState],
    rank_count: tuple[int, int],
) -> list[list[Option]]:
    """One fan job per case: the first that may begin, as long as jobs get."""
    checks = [
        check_minute(day, case, state)
        for case, state in zip(heat.cases, plugs, strict=True)
    ]
    jobs: list[Job] = []
    for place, case in enumerate(heat.cases):
        check = checks[place]
        if check == np.inf:
            continue
        ready = max(stands[place].bound(*rank_count)[0], check or 0.0)
        found = candidate_jobs(
            day, case.turnaround, place, plugs[place].approach_minute, ready
        )
        first = min(found, key=lambda job: (job.start, -job.end), default=None)
        jobs += [] if first is None else [first]
    return fan_options(heat, stands, jobs, *rank_count, checks)


def _stack_peak_k(heat: StandHeat, place: int, above: int) -> float:
    """Safe bound of the hottest stack from in-block on."""
    mine = heat.rows_of(place)
    hottest = np.full(heat.cases[place].shape[0], -np.inf)
    peak_k = heat.curve.stack_k[mine].max(axis=1)
    np.maximum.at(hottest, heat.rows.sample[mine], peak_k)
    return float(np.sort(hottest)[-1 - above])


def _option_heat(table: OptionTable, stack_k: float, plugs: PlugState) -> OptionHeat:
    return OptionHeat(
        table=table,
        stack_peak_c=round(float(celsius(stack_k)), 1),
        plug_peak_c=round(float(celsius(plugs.peak_k)), 1),
        plug_release_probability=round(plugs.release_probability, 5),
    )

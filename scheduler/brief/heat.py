"""Peaks and brake-ready of many rollouts of one turnaround, in one small batch.

Enters: cases that differ by the landing alone. Leaves: `OptionHeat` per case.

All samples are followed for the landings with the least and the most heat. Of every
landing each sample's figures lie between these two by the heat of its brakes, which
tells the few samples that can set a bound; only they are followed. Shares of samples
that pass a temperature take the interpolated figures of all others.
"""

from dataclasses import dataclass, replace

import numpy as np

from scheduler.cases import Case
from scheduler.day import Day
from scheduler.options import Option, OptionTable
from scheduler.readiness.fan_options import Job, candidate_jobs, fan_options
from scheduler.readiness.figures import LOOK_MINUTE, figures_at
from scheduler.readiness.limits import SampleMinutes, rank_of, stand_minutes
from scheduler.readiness.plugs import HIGH, PlugState, plug_state
from scheduler.readiness.stand import StandHeat, stand_heat
from scheduler.readiness.table import check_minute, option_table
from thermal.arrays import FloatArray
from thermal.departure import Margin
from thermal.errors import EstimationError
from thermal.units import celsius

# Limits bind early or late: figures at each tell whom to follow.
_LOOKS = (10.0, LOOK_MINUTE, 110.0, 180.0)
_TOP = 8
_PLUG_SHARE = 0.12
_FOLLOWED = 32
# Rise of the discs by taxi-out heat, to rank samples by: specific heat of warm stacks.
_SPECIFIC_HEAT_J_PER_KG_K = {"carbon": 1300.0, "steel": 600.0}


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
    day: Day, ends: "Ends", cases: list[Case], above: int
) -> list[OptionHeat]:
    """Heat of every case; they have the same brakes and draws as the two ends."""
    figures = [ends.figures(case) for case in cases]
    wanted = [np.unique(_top(one.scores)) for one in figures]
    cases = [_numbered(case, place) for place, case in enumerate(cases)]
    thinned = tuple(
        replace(case, energy_j=_of_samples(case.energy_j, samples))
        for case, samples in zip(cases, wanted, strict=True)
    )
    station = day.station
    found = stand_heat(thinned, station.hold_minutes, rule=station.approach)
    heat = replace(found, cases=tuple(cases))
    stands = stand_minutes(heat, _FOLLOWED)
    count = cases[0].shape[0]
    plugs = [
        _plugs(day, heat, place, one, (count - above, count))
        for place, one in enumerate(figures)
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


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Figures:
    """Figures of every sample of a case, interpolated.

    ``scores`` has shape (score, sample); ``released`` and ``near`` are shares of the
    samples whose plugs let go, and come within their margin of it.
    """

    scores: FloatArray
    released: float
    near: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ends:
    """Two cases of which all samples are followed, with little and with much heat.

    ``heat_j`` is the heat of each sample's hottest brake, shape (2, sample);
    ``scores`` has shape (2, score, sample).
    """

    heat_j: FloatArray
    scores: FloatArray
    near_k: float

    @classmethod
    def of(cls, day: Day, cases: list[Case]) -> "Ends":
        """Follow the cases with the least and with the most heat."""
        most = np.array([case.energy_j.max(axis=1) for case in cases])
        ends = [int(pick(most.mean(axis=1))) for pick in (np.argmin, np.argmax)]
        heat = stand_heat(
            tuple(_numbered(cases[k], place) for place, k in enumerate(ends)),
            day.station.hold_minutes,
            rule=day.station.approach,
        )
        plug = heat.network.brake.plug
        return cls(
            heat_j=most[ends],
            scores=np.stack([_scores(heat, place) for place in range(2)]),
            near_k=plug.release_k - plug.margin_k,
        )

    def figures(self, case: Case) -> _Figures:
        """Figures of a case, by the heat of its brakes."""
        most = case.energy_j.max(axis=1)
        low_j, high_j = self.heat_j
        part = (most - low_j) / np.maximum(high_j - low_j, 1.0)
        scores = self.scores[0] + part * (self.scores[1] - self.scores[0])
        peak_k, beyond_k = scores[-2:]
        stack = case.rows.stack_fraction.reshape(case.shape)
        thin_j = (case.energy_j / stack).max(axis=1)
        return _Figures(
            scores=np.concatenate([scores, thin_j[None]]),
            released=float((beyond_k > 0).mean()),
            near=float((peak_k > self.near_k).mean()),
        )


def _numbered(case: Case, number: int) -> Case:
    return replace(case, rows=replace(case.rows, case=np.full(case.rows.count, number)))


def _scores(heat: StandHeat, place: int) -> FloatArray:
    """Per sample: figure of each limit, plug peak, plug peak beyond its release."""
    mine = heat.rows_of(place)
    rows = heat.rows.select(mine)
    peak_k = heat.curve.plug_k[mine].max(axis=1)
    release_k = heat.cases[place].release_k[rows.sample, rows.brake]
    by_row = np.concatenate(
        [
            *(_at_line_up(heat, mine, minute) for minute in _LOOKS),
            peak_k[None],
            (peak_k - release_k)[None],
        ]
    )
    found = np.full((by_row.shape[0], heat.cases[place].shape[0]), -np.inf)
    for score, values in zip(found, by_row, strict=True):
        np.maximum.at(score, rows.sample, values)
    return found


def _at_line_up(heat: StandHeat, mine: np.ndarray, minute: float) -> FloatArray:
    """Figures of each limit, with the rise by taxi-out heat where it matters."""
    brake, rows = heat.network.brake, heat.rows.select(mine)
    stack_kg = brake.stack_mass_kg * rows.stack_fraction
    rise_k = rows.taxi_out_j / stack_kg
    rise_k = rise_k / _SPECIFIC_HEAT_J_PER_KG_K[brake.stack_material]
    found = figures_at(heat, mine, minute).copy()
    found[Margin.WHEEL_WELL] += rise_k
    found[Margin.PLUG] += _PLUG_SHARE * rise_k
    return found


def _top(scores: FloatArray) -> np.ndarray:
    """Pick the samples that lie highest by any score."""
    return np.argsort(-scores, axis=1, kind="stable")[:, :_TOP].reshape(-1)


def _of_samples(energy_j: FloatArray, samples: np.ndarray) -> FloatArray:
    """Keep the heat of some samples; a brake without heat is not followed."""
    kept = np.zeros_like(energy_j)
    kept[samples] = energy_j[samples]
    return kept


def _plugs(
    day: Day,
    heat: StandHeat,
    place: int,
    figures: _Figures,
    rank_count: tuple[int, int],
) -> PlugState:
    """Plugs of the samples followed; shares of all samples, whichever is more.

    People are sent as at low risk only: so few samples cannot tell when raised risk has
    passed.
    """
    rule = replace(day.station.approach, at_raised=False)
    with np.errstate(invalid="ignore"):  # samples that are not followed
        state = plug_state(heat, place, rule, *rank_count)
    released = max(state.release_probability, figures.released)
    return replace(
        state,
        release_probability=released,
        exceeded_probability=max(state.exceeded_probability, figures.near),
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

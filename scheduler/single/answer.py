"""Question → answer: earliest off-block with and without a fan, plugs, what is unsure.

Enters: a `Question`. Leaves: an `Answer` in minutes of the question's clock.

- Without a reading that counts, the bound is the order statistic of all samples.
- With one, it is the weighted bound. It may be earlier than the one without only where
  at least 50 samples' worth of weight is left without widening.
- Readings above all that is foretold never make it earlier, and readings that are
  hotter than can be followed leave no off-block to offer.
- A limit on the indication cannot hold before a reading that is above it.
- People are sent to a wheel, for a fan, only at low plug risk.
"""

from dataclasses import dataclass, replace

import numpy as np

from scheduler.cases import Case, build_case
from scheduler.clock import later_minute
from scheduler.options import Limit
from scheduler.readiness.limits import COLUMNS, SampleMinutes, rank_of
from scheduler.readiness.plugs import RAISED
from scheduler.readiness.stand import StandHeat, stand_heat
from scheduler.single.bounds import (
    Confidence,
    fan_minutes,
    share_to_cover,
    still_minutes,
    weighted_bound,
)
from scheduler.single.evidence import Evidence, spread, weigh
from scheduler.single.question import (
    FAN_REMOVAL_MINUTES,
    Question,
    assumed_of,
    day_of,
)
from scheduler.single.record import Answer, Plugs, Verdict
from thermal.arrays import FloatArray
from thermal.departure import not_assessed
from thermal.units import MINUTE_S, celsius

SAMPLE_COUNT = 512


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Work:
    """What the bounds are taken from."""

    question: Question
    heat: StandHeat
    evidence: Evidence
    confidence: Confidence

    @property
    def weight(self) -> FloatArray:
        return self.evidence.weight

    @property
    def to_cover(self) -> float:
        """Share of the weight to cover; all of it where readings are above all."""
        if self.evidence.more_heat is None and self.evidence.above_k > 0:
            return 1.0
        return share_to_cover(self.evidence.effective_count, self.confidence)

    @property
    def rank_count(self) -> tuple[int, int]:
        count = self.heat.cases[0].shape[0]
        return rank_of(count, self.confidence.share, self.confidence.assurance), count


def answer(
    question: Question, *, sample_count: int = SAMPLE_COUNT, seed: int = 1
) -> Answer:
    """Compute one aircraft.

    Parameters
    ----------
    sample_count : int
        A power of two, 512 or more.
    seed : int

    Raises
    ------
    EstimationError
        With too few samples for the confidence.
    IntegrationError
        Where the inputs heat a brake beyond its materials.
    """
    day = day_of(question)
    turnaround, station = day.turnarounds[0], day.station
    unread = replace(day, readings=())
    case = build_case(unread, turnaround, sample_count=sample_count, seed=seed)
    given = stand_heat((case,), station.hold_minutes)
    heat, evidence = weigh(given, question.readings)
    work = _Work(
        question=question,
        heat=heat,
        evidence=evidence,
        confidence=Confidence(
            share=station.limit_confidence, assurance=station.bound_confidence
        ),
    )
    minutes = still_minutes(heat, evidence.weight)
    sampled = minutes.bound(*work.rank_count)[0] if heat is given else np.inf
    plugs = _plugs(work)
    due = plugs.near_probability >= RAISED and not _is_checked(question, plugs)
    still = _verdict(work, minutes, 0.0, plug_check=due)
    span, fan, nobody = _fan(work, minutes, still, plugs)
    return Answer(
        question=question,
        still=still,
        sampled_minute=_absolute(question, sampled),
        fan=fan,
        fan_span=span,
        nobody_to_wheels=nobody,
        plugs=plugs,
        evidence=evidence,
        heat_mj=_heat_mj(heat, evidence.weight),
        heat_without_reading_mj=_heat_mj(given, np.ones(sample_count)),
        indicator_valid_minute=_indicator_valid_minute(question, case),
        assumed=(*case.assumed, *assumed_of(question)),
        not_assessed=not_assessed(case.brake),
        sample_count=sample_count,
        seed=seed,
        confidence=work.confidence,
    )


def _bound(
    work: _Work, minutes: SampleMinutes, limit: Limit | None = None
) -> tuple[float, Limit]:
    """Bound of one limit or of all: weighted, sampled, or the later of both."""
    evidence = work.evidence
    found = []
    if evidence.used:
        found.append(weighted_bound(minutes, work.weight, work.to_cover, limit))
    unsure = evidence.at_edge or evidence.above_k > 0
    if not evidence.used or (unsure and evidence.more_heat is None):
        found.append(minutes.bound(*work.rank_count, limit))
    minute, place = max(found, key=lambda one: one[0])
    return minute, COLUMNS[int(minutes.limit[place])]


def _verdict(
    work: _Work, minutes: SampleMinutes, earliest: float, *, plug_check: bool
) -> Verdict:
    """Bounds of all limits together and of each, none before ``earliest``."""
    question = work.question
    ready, binding = _bound(work, minutes)
    each = {
        limit: max(_bound(work, minutes, limit)[0], earliest)
        for number, limit in enumerate(COLUMNS)
        if (minutes.limit == number).any()
    }
    shown = _above_limit_minute(work)
    each[Limit.INDICATED] = max(each[Limit.INDICATED], shown)
    if shown > ready:
        ready, binding = shown, Limit.INDICATED
    return Verdict(
        ready_minute=_absolute(question, max(ready, earliest)),
        binding=binding,
        limits=tuple((limit, _absolute(question, each[limit])) for limit in each),
        plug_check=plug_check,
    )


def _above_limit_minute(work: _Work) -> float:
    """Minute after in-block before which a reading shows more than the limit."""
    limit_k = work.heat.network.brake.limits.indicated_k
    above = [
        reading.minute + 1.0 - work.question.in_block_minute
        for reading in work.question.readings
        if reading.indicated_k > limit_k
    ]
    return max(above, default=0.0)


def _fan(
    work: _Work, minutes: SampleMinutes, still: Verdict, plugs: Plugs
) -> tuple[tuple[int, int] | None, Verdict | None, bool]:
    """Minutes of air and the verdict with them; whether nobody may be sent."""
    question = work.question
    asked, span = question.fan_from_minute is not None, question.fan_span
    off_block = question.off_block_minute
    made = off_block is not None and still.makes(off_block)
    soon = still.ready_minute is not None and not still.plug_check
    soon = soon and (still.ready_minute or 0) <= span[1]
    if not asked and (made or soon):
        return None, None, False
    free = question.fan_remote or _is_checked(question, plugs)
    if plugs.release_probability >= RAISED and not free:
        return None, None, True
    in_block = question.in_block_minute
    found, plug_k = fan_minutes(
        work.heat,
        minutes,
        (span[0] - in_block, span[1] - in_block),
        question.fan_m_per_s,
    )
    near = np.unique(found.sample[plug_k > _near_k(work.heat)])
    due = float(work.weight[near].sum()) >= RAISED
    due = due and not _is_checked(question, plugs)
    earliest = float(span[1] + FAN_REMOVAL_MINUTES - in_block)
    return span, _verdict(work, found, earliest, plug_check=due), False


def _plugs(work: _Work) -> Plugs:
    """Weighted plug figures; at their most where readings are hotter than followed."""
    heat, weight = work.heat, work.weight
    rows, case = heat.rows, heat.cases[0]
    peak_k = heat.curve.plug_k.max(axis=1)
    release_k = case.release_k[rows.sample, rows.brake]
    hottest = np.full(weight.size, -np.inf)
    np.maximum.at(hottest, rows.sample, peak_k)
    order = np.argsort(hottest, kind="stable")
    reached = np.cumsum(weight[order])
    place = int(np.searchsorted(reached, work.confidence.share))
    sample = int(order[min(place + 1, order.size - 1)])
    row = int(np.flatnonzero(rows.sample == sample)[0])
    minute = float(heat.minute[int(heat.curve.plug_k[row].argmax())])

    def share(hit: np.ndarray) -> float:
        return float(weight[np.unique(rows.sample[hit])].sum())

    return Plugs(
        release_probability=share(peak_k > release_k),
        near_probability=share(peak_k > _near_k(heat)),
        peak_c=round(float(celsius(hottest[sample])), 1),
        peak_minute=work.question.in_block_minute + round(minute),
    )


def _is_checked(question: Question, plugs: Plugs) -> bool:
    """Whether a check is logged after the plugs were hottest."""
    done = question.check_minute
    return done is not None and done >= plugs.peak_minute


def _near_k(heat: StandHeat) -> float:
    plug = heat.network.brake.plug
    return plug.release_k - plug.margin_k


def _heat_mj(heat: StandHeat, weight: FloatArray) -> tuple[float, float]:
    most = heat.cases[0].energy_j.max(axis=1)
    low, high = spread(most, weight)
    return round(low / 1e6, 1), round(high / 1e6, 1)


def _indicator_valid_minute(question: Question, case: Case) -> int:
    """Minute from which a reading is steady: past the lag, and past an onboard fan."""
    limits, in_block = case.brake.limits, question.in_block_minute
    lag = later_minute(limits.indicated_valid_after_s / MINUTE_S)
    fan_s = float(case.rows.onboard_fan_s.max())
    if fan_s == 0.0:
        return in_block - question.taxi_in_minutes + lag
    undisturbed = later_minute((fan_s + limits.fan_invalid_s) / MINUTE_S)
    return in_block + max(lag - question.taxi_in_minutes, undisturbed)


def _absolute(question: Question, minute: float) -> int | None:
    if not np.isfinite(minute):
        return None
    return question.in_block_minute + later_minute(minute)

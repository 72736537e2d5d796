"""Compute a brief: judge the rollouts, heat those that are available, price changes.

Enters: the day, the id of a turnaround, samples and seed. Leaves: a `Brief`.

Stopping is judged before any heat is computed; a rollout without its margin gets
neither minutes nor peaks.
"""

from dataclasses import replace

from scheduler.brief.heat import OptionHeat, rank_above
from scheduler.brief.judged import Around, Landed, Work, coolest, is_offered, likely
from scheduler.brief.options import chosen_of, less, options_of
from scheduler.brief.record import Brief, Change
from scheduler.brief.rollouts import other_rollouts, planned_rollout
from scheduler.brief.rungs import Rungs
from scheduler.cases import build_case
from scheduler.cases.other_landing import draws_of
from scheduler.day import Basis, Day, Turnaround
from scheduler.errors import DayError, UnknownTurnaroundError

SAMPLE_COUNT = 512
# With fewer no sample is left to tell when the plugs have settled.
LEAST_SAMPLES = 128
VALID_AFTER_TOUCHDOWN_MINUTES = 10


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
    day = without_readings(day, turnaround_id)
    station = day.station
    work = Work(
        day=day,
        case=build_case(day, turnaround, sample_count=sample_count, seed=seed),
        draws=draws_of(day, turnaround, sample_count=sample_count, seed=seed),
        above=rank_above(
            sample_count, station.limit_confidence, station.bound_confidence
        ),
    )
    landed = work.land([planned_rollout(turnaround), *other_rollouts(day, turnaround)])
    hot = [one for k, one in enumerate(landed) if k == 0 or is_offered(one)]
    priced = work.priced(coolest(work, hot))
    rungs = Rungs.of(day, [one.other.case for one in (*hot, *priced)], work.above)
    # What is ready first can be guessed well: then one batch does for all.
    base = likely(rungs, landed, hot, turnaround)
    around = Around.of(work, landed, base)
    found = work.heats(rungs, (*hot, *around.beside))
    heats, beside = found[: len(hot)], found[len(hot) :]
    options = options_of(work, landed, hot, heats)
    chosen = chosen_of(options, turnaround.target_off_block_minute)
    if (chosen or 0) != base:
        base = chosen or 0
        around = Around.of(work, landed, base)
        beside = work.heats(rungs, around.beside)
    variants = len(around.offered)
    options += options_of(
        work,
        around.more,
        around.offered,
        beside[:variants],
        options[0],
        first=len(landed),
    )
    touchdown = turnaround.in_block_minute - day.taxi_in_minutes(turnaround)
    return Brief(
        day=day,
        turnaround=turnaround,
        options=tuple(options),
        chosen=chosen,
        base=base,
        changes=_changes(
            (around.base, *around.changed),
            (heats[hot.index(around.base)], *beside[variants:]),
        ),
        landed=turnaround.in_block_basis is Basis.ACTUAL,
        touchdown_minute=touchdown,
        valid_until_minute=touchdown + VALID_AFTER_TOUCHDOWN_MINUTES,
        assumed=work.case.assumed,
        sample_count=sample_count,
        seed=seed,
    )


def without_readings(day: Day, turnaround_id: str) -> Day:
    """Day that knows nothing read after this landing.

    Readings tell of the landing that was made, not of the others it is compared with:
    all options are drawn alike.
    """
    others = tuple(it for it in day.readings if it.turnaround_id != turnaround_id)
    return replace(day, readings=others)


def turnaround_of(day: Day, turnaround_id: str) -> Turnaround:
    """Turnaround by its id; `UnknownTurnaroundError` where there is none."""
    for one in day.turnarounds:
        if one.id == turnaround_id:
            return one
    known = ", ".join(one.id for one in day.turnarounds)
    raise UnknownTurnaroundError.of(turnaround_id, known)


def _changes(
    landed: tuple[Landed, ...], heats: tuple[OptionHeat, ...]
) -> tuple[Change, ...]:
    """Price single changes against their base, which comes first.

    Heat is the mean over samples, since all of them have the same draws.
    """
    most = [one.other.case.energy_j.max(axis=1).mean() for one in landed]
    ready = [heat.table.still_air.ready_minute for heat in heats]
    labels = [one.rollout.label for one in landed]
    return tuple(
        Change(
            label=label,
            extra_heat_mj_per_brake=round(float(extra_j - most[0]) / 1e6, 2),
            extra_ground_minutes=less(minute, ready[0]),
        )
        for label, extra_j, minute in zip(labels[1:], most[1:], ready[1:], strict=True)
    )

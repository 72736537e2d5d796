"""Pictures beside a plan: which flights are drawn, and what is written where."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.cli.registry import CommandError

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from scheduler.cli.terminal import Steps
    from scheduler.day import Day
    from scheduler.plan import Plan, PlannedTurnaround
    from scheduler.tradeoff import WeightCurve

# Each takes seconds: only the flights that lose most.
MOST_WEIGHED, MOST_BRIEFED = 4, 2
_STEP = "Drawing"


def check_pictures(folder: Path) -> None:
    """Refuse before the planning what could not be drawn after it."""
    from scheduler.report.plots import need_plots

    need_plots()
    if folder.exists() and not folder.is_dir():
        raise CommandError(f"--plots: expected a folder, got the file {folder}")


def draw_pictures(plan: Plan, day: Day, folder: Path, step: Steps) -> tuple[str, ...]:
    """Draw the day, what its brakes hold up and who could land otherwise.

    Parameters
    ----------
    plan : Plan
        The plan, with what is to be drawn.
    day : Day
        Its day.
    folder : Path
        Where the pictures go; made if it is not there.
    step : Steps
        Is told how far it is.

    Returns
    -------
    lines : tuple of str
        What was written, and what could not be drawn.
    """
    from scheduler.brief import compose
    from scheduler.report import plots

    held = _held(plan, day)
    weighed, briefed = held[:MOST_WEIGHED], _coming(held)[:MOST_BRIEFED]
    total = 2 + len(weighed) + len(briefed)
    folder.mkdir(parents=True, exist_ok=True)
    step(_STEP, total=total)
    written = [*plots.write_timeline(plan, folder), *plots.write_curves(plan, folder)]
    curves: list[WeightCurve] = []
    left_out: list[str] = []
    for k, row in enumerate(weighed):
        step(_STEP, done=2 + k, total=total)
        curves += _weights(plan, day, row, left_out)
    written += plots.write_weights(curves, folder)
    for k, row in enumerate(briefed):
        step(_STEP, done=2 + len(weighed) + k, total=total)
        brief = compose(day, row.id, seed=plan.seed)
        written += plots.write_brief(brief, folder)
    names = ", ".join(path.name for path in written)
    return f"Drawn in {folder}: {names}", *left_out


def _held(plan: Plan, day: Day) -> list[PlannedTurnaround]:
    """Flights that their brakes hold beyond the target, the longest first."""
    from scheduler.windows import is_gone

    gone = {one.id for one in day.turnarounds if is_gone(one)}

    def wait(row: PlannedTurnaround) -> float:
        ready = row.brake_ready_minute
        return float("inf") if ready is None else ready - row.target_off_block_minute

    rows = [row for row in plan.turnarounds if row.id not in gone and wait(row) > 0]
    return sorted(rows, key=lambda row: (-wait(row), row.id))


def _coming(rows: list[PlannedTurnaround]) -> list[PlannedTurnaround]:
    """Those that have not landed: only they can still choose a rollout."""
    from scheduler.plan import Progress

    return [row for row in rows if row.progress is Progress.EXPECTED]


def _weights(
    plan: Plan, day: Day, row: PlannedTurnaround, left_out: list[str]
) -> Iterator[WeightCurve]:
    """Weight curve of one flight; a word on it where it does not fit the plan."""
    from scheduler.errors import DayError
    from scheduler.tradeoff import Weigher, weight_curve

    one = next(one for one in day.turnarounds if one.id == row.id)
    try:
        weigher = Weigher(
            day,
            one,
            job=row.fan_jobs[0] if row.fan_jobs else None,
            planned_minute=row.brake_ready_minute,
            sample_count=plan.sample_count,
            seed=plan.seed,
            rollout=row.rollout,
        )
    except DayError as error:
        left_out.append(f"Take-off weight not drawn: {error}")
    else:
        yield weight_curve(weigher)

"""What needs attention now, in words: the first thing that the page says.

Enters: a plan. Leaves: `Notice`s, most pressing first, each with its flight where it
has one; a line that there is nothing where there is nothing.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from scheduler.options import PlugRisk
from scheduler.plan import Plan, PlannedTurnaround, Progress, Status
from scheduler.report.page.times import Times, age_text
from scheduler.report.summary import broken_rules
from scheduler.report.words import percent_text

OLD_DATA_MINUTES = 60
_GONE = (Progress.OFF_BLOCK, Progress.AIRBORNE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice:
    """One thing to look at; ``flight`` None where it is the whole day."""

    word: str
    text: str
    flight: str | None = None


def notices(
    plan: Plan, times: Times, violations: Sequence[str] = ()
) -> tuple[Notice, ...]:
    """Everything that somebody has to look at, else a line that says so.

    ``violations`` is what a check found wrong with the plan.
    """
    found = (
        *(Notice(word="check failed", text=text) for text in violations),
        *_rule_notices(plan),
        *_plug_notices(plan, times),
        *_next_notices(plan, times),
        *_day_notices(plan),
    )
    pressing = any(notice.word not in ("next", "checked") for notice in found)
    if pressing:
        return found
    quiet = Notice(
        word="nothing pressing",
        text="No aircraft is held, no rule is broken, no plug risk is above low.",
    )
    return (quiet, *found)


def _plug_notices(plan: Plan, times: Times) -> Iterator[Notice]:
    for row in _open_rows(plan):
        if row.heat is None:
            yield Notice(
                word="unknown",
                flight=row.id,
                text=f"{row.id}, stand {row.stand}: its brakes were not computed.",
            )
        elif row.heat.risk is not PlugRisk.LOW and row.off_block_minute is not None:
            chance = percent_text(row.heat.release_probability)
            yield Notice(
                word="checked",
                flight=row.id,
                text=f"{row.id}, stand {row.stand}: plug risk was {row.heat.risk} "
                f"({chance}), a check is logged.",
            )
        elif row.heat.risk is not PlugRisk.LOW:
            peak = times.clock.short(row.heat.plug_peak_minute)
            yield Notice(
                word=f"plug risk {row.heat.risk}",
                flight=row.id,
                text=f"{row.id}, stand {row.stand}: chance that a fuse plug releases "
                f"{percent_text(row.heat.release_probability)}, hottest at {peak}. "
                "Keep people clear of the wheels.",
            )


def _rule_notices(plan: Plan) -> Iterator[Notice]:
    for row, text in broken_rules(plan):
        held = row.off_block_minute is None
        yield Notice(
            word="held" if held else "rule broken",
            flight=row.id,
            text=f"{row.id}, stand {row.stand}: {text}.",
        )
    told = {row.id for row, _ in broken_rules(plan)}
    for row in _open_rows(plan):
        if row.off_block_minute is None and row.id not in told:
            reason = f"waits for {row.waits_for}"
            yield Notice(
                word="held",
                flight=row.id,
                text=f"{row.id}, stand {row.stand}: is held, {reason}.",
            )


def _next_notices(plan: Plan, times: Times) -> Iterator[Notice]:
    now = plan.now_minute
    waiting = [one for one in plan.actions if now is None or one.do_by_minute >= now]
    if waiting:
        first = min(waiting, key=lambda one: (one.do_by_minute, one.minute))
        yield Notice(
            word="next",
            flight=first.turnaround_id,
            text=f"by {times.clock.short(first.do_by_minute)}: {first.who}, stand "
            f"{first.stand}. {first.what}.",
        )


def _day_notices(plan: Plan) -> Iterator[Notice]:
    if plan.status is Status.FALLBACK:
        yield Notice(word="fallback", text=f"This is a {plan.status.sentence}.")
    if plan.now_minute is not None and plan.data_minute is not None:
        age = plan.now_minute - plan.data_minute
        if age > OLD_DATA_MINUTES:
            yield Notice(
                word="old data",
                text=f"The newest report or logged fact is {age_text(age)} old.",
            )


def _open_rows(plan: Plan) -> Iterator[PlannedTurnaround]:
    """Rows of aircraft that are still here or to come."""
    for row in plan.turnarounds:
        if row.progress not in _GONE:
            yield row

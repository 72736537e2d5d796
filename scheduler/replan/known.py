"""What the heat said before and still says.

Enters: the day, the published plan, the tables kept beside it. Leaves: tables and
summaries of the turnarounds whose inputs are as they were.
"""

from collections.abc import Mapping

from scheduler.day import Day, Pinned
from scheduler.options import OptionTable
from scheduler.plan import HeatSummary, Plan
from scheduler.readiness.fingerprint import fingerprint


def known_tables(
    day: Day, published: Plan, kept: Mapping[str, tuple[str, OptionTable]]
) -> dict[str, tuple[OptionTable, HeatSummary]]:
    """Tables that need not be computed again, by turnaround.

    A pinned fan job has to be among the options, otherwise the table is computed
    again with it.
    """
    summaries = {row.id: row.heat for row in published.turnarounds}
    seed, count = published.seed, published.sample_count
    found = {}
    for one in day.turnarounds:
        heat = summaries.get(one.id)
        if heat is None or one.id not in kept:
            continue
        digest, table = kept[one.id]
        same = digest == fingerprint(day, one, seed=seed, sample_count=count)
        if same and _has_pinned_jobs(day, table):
            found[one.id] = (table, heat)
    return found


def _has_pinned_jobs(day: Day, table: OptionTable) -> bool:
    return all(
        any(
            (option.fan, option.units, option.start_minute)
            == (pin.fan, pin.units, pin.start_minute)
            for option in table.options
        )
        for pin in day.pins
        if pin.turnaround_id == table.turnaround_id and pin.kind is Pinned.FAN
    )

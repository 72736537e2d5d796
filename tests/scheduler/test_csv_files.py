"""CSV files of a plan: duties, what to ask for before landing, and no formulas."""

import csv
import io
from dataclasses import replace

import pytest

from scheduler.day import Task
from scheduler.plan import Plan, PlannedDuty, Progress
from scheduler.report.csv_files import csv_texts
from tests.sample_day import PLAN

DUTY = PlannedDuty(
    task=Task.INSPECTION,
    crew="line",
    start_minute=840,
    end_minute=865,
    reason="rejected take-off",
)
ROW = replace(
    PLAN.turnarounds[1],
    duties=(DUTY, replace(DUTY, task=Task.PLUG_CHECK, crew=None)),
    rollout="full length",
    rollout_deadline_minute=795,
    towed=True,
    progress=Progress.IN_BLOCK,
)
WHOLE = replace(PLAN, turnarounds=(PLAN.turnarounds[0], ROW))


def rows(plan: Plan, name: str) -> list[dict[str, str]]:
    """Rows of one file, by heading."""
    return list(csv.DictReader(io.StringIO(csv_texts(plan)[name], newline="")))


def test_a_row_says_what_to_ask_for_and_where_it_stands() -> None:
    """Progress, rollout with its deadline and tow-off have columns of their own."""
    plain, full = rows(WHOLE, "turnarounds.csv")
    names = ("progress", "rollout", "rollout_deadline_utc", "towed")
    assert [plain[name] for name in names] == ["expected", "", "", "no"]
    assert [full[name] for name in names] == [
        "in-block",
        "full length",
        "2026-07-14T13:15:00Z",
        "yes",
    ]


def test_duties_have_a_file() -> None:
    """One line each duty, with its crew where one is named."""
    first, second = rows(WHOLE, "duties.csv")
    assert first == {
        "turnaround_id": ROW.id,
        "tail": ROW.tail,
        "stand": ROW.stand,
        "task": "inspection",
        "crew": "line",
        "start_utc": "2026-07-14T14:00:00Z",
        "end_utc": "2026-07-14T14:25:00Z",
        "reason": "rejected take-off",
    }
    assert (second["task"], second["crew"]) == ("plug check", "")


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", "\n"])
def test_no_cell_of_any_file_starts_a_formula(start: str) -> None:
    """Names that come from outside cannot run in a spreadsheet, wherever they stand."""
    evil = f"{start}1+1"
    job = replace(PLAN.turnarounds[1].fan_jobs[0], fan_type=evil)
    duty = replace(DUTY, crew=evil, reason=evil)
    row = replace(
        ROW,
        id=evil,
        tail=evil,
        stand=evil,
        rollout=evil,
        duties=(duty,),
        fan_jobs=(job,),
    )
    texts = csv_texts(replace(WHOLE, turnarounds=(row,)))
    cells = [
        cell
        for text in texts.values()
        for line in csv.reader(io.StringIO(text, newline=""))
        for cell in line
    ]
    assert not [cell for cell in cells if cell.startswith(start)]
    assert cells.count(f"'{evil}") == 13

"""Tables, messages, summary, cautions and CSV files of a plan."""

import csv
import io
import math
import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from rich.console import Console

from scheduler.options import Limit
from scheduler.plan import Plan, Relaxation, Status, WaitsFor
from scheduler.report import CAUTIONS, actions, messages, print_day, write_csv_files
from scheduler.report.csv_files import csv_texts, plain_cell
from scheduler.report.summary import summary_lines
from scheduler.report.words import percent_text
from tests.sample_day import DAY, PLAN, at, heat, row

SAFETY_PAGE = Path(__file__).parents[2] / "docs" / "safety.md"
WHOLE = replace(PLAN, actions=actions(PLAN, DAY), cautions=CAUTIONS)


def printed(plan: Plan, width: int, **console: object) -> str:
    """Report of a plan as text, without the blanks at line ends."""
    stream = io.StringIO()
    options = {"file": stream, "width": width, "highlight": False, **console}
    print_day(plan, Console(**options))  # type: ignore[arg-type]
    return "\n".join(line.rstrip() for line in stream.getvalue().splitlines()) + "\n"


@pytest.mark.parametrize("width", [80, 120])
def test_the_report_reads_as_stored(
    width: int, golden: Callable[[str, str], None]
) -> None:
    """The whole report at both widths is the text that people have agreed on."""
    golden(f"day_{width}.txt", printed(WHOLE, width))


@pytest.mark.parametrize("width", [80, 100, 120, 160])
def test_no_line_is_wider_than_the_terminal(width: int) -> None:
    """Nothing runs over the edge, and no time is cut off with an ellipsis."""
    long_names = replace(WHOLE.turnarounds[1], id="LB1023A/14", tail="ZZ-LONGNAME")
    late = replace(
        long_names, off_block_minute=1500, take_off_minute=1512, delay_minutes=640
    )
    text = printed(replace(WHOLE, turnarounds=(late, WHOLE.turnarounds[3])), width)
    assert max(map(len, text.splitlines())) <= width
    assert "…" not in text
    assert "01:00+1" in text


def test_plain_output_has_no_escape_codes() -> None:
    """A file or a pipe gets text only."""
    assert "\x1b" not in printed(WHOLE, 120, force_terminal=False)


def test_a_terminal_gets_bold_and_no_colour() -> None:
    """On a terminal there is bold or italic and nothing else: no state by colour."""
    text = printed(WHOLE, 120, force_terminal=True, no_color=True)
    codes = set(re.findall(r"\x1b\[([\d;]*)m", text))
    assert codes
    assert codes <= {"0", "1", "3"}


def test_flights_stand_by_off_block_with_held_ones_last() -> None:
    """The order is that of departure."""
    text = printed(WHOLE, 120)
    table = text[: text.index("TOBT: target")]
    assert re.findall(r"^ (LB\d+)", table, re.MULTILINE) == [
        "LB105", "LB101", "LB102", "LB103", "LB106", "LB104",
    ]  # fmt: skip


def test_still_air_stands_in_brackets_only_where_a_fan_helps() -> None:
    """14:38 with the fan, 15:12 without; nothing in brackets elsewhere."""
    text = printed(WHOLE, 120)
    table = text[: text.index("TOBT: target")]
    assert re.findall(r"\(\d\d:\d\d\)", table) == ["(15:12)"]


def test_names_that_look_like_markup_are_printed_as_they_are() -> None:
    """Square brackets and colons of a stand name are no instructions."""
    odd = replace(WHOLE.turnarounds[0], stand="[red]", id=":fan:")
    text = printed(replace(WHOLE, turnarounds=(odd,)), 120)
    assert "[red]" in text
    assert ":fan:" in text


@pytest.mark.parametrize("status", Status)
def test_the_summary_says_what_the_status_means(status: Status) -> None:
    """Word and sentence of every status stand below the table."""
    first = summary_lines(replace(PLAN, status=status))[0]
    assert first == f"Plan {status}: {status.sentence}."


def test_the_summary_gives_objective_gap_confidence_samples_and_seed() -> None:
    """All numbers that say how far to trust the plan are there."""
    text = "\n".join(summary_lines(PLAN))
    for part in (
        "weight of rules broken 5; delay cost 35; changes against the published plan "
        "0; fan minutes and jobs 61.",
        "Gap 0.0 % after 1.3 s with CP-SAT 9.15.6755.",
        "99 % confidence over 1024 samples, seed 7",
        "Note: weather after 13:20 persists",
    ):
        assert part in text


def test_an_unknown_gap_is_said_to_be_unknown() -> None:
    """No number is made up where the solver gave no bound."""
    plan = replace(PLAN, proof=replace(PLAN.proof, gap=math.inf))
    assert any(line.startswith("Gap unknown") for line in summary_lines(plan))


@pytest.mark.parametrize("rule", Relaxation)
def test_every_broken_rule_is_named_with_its_flight(rule: Relaxation) -> None:
    """A starred flight is explained below the table."""
    plan = replace(PLAN, turnarounds=(row(0, relaxed=(rule,)),))
    assert any(line.startswith("* LB101: ") for line in summary_lines(plan))


def test_a_flight_without_any_off_block_names_its_limit() -> None:
    """The limit that is not met, and the unknown input that counts most."""
    asked = replace(heat(0.0, at(10, 0)), most_valuable_input="take-off weight")
    held = row(
        0,
        relaxed=(Relaxation.HELD,),
        waits_for=WaitsFor.BRAKES,
        binding_limit=Limit.STOPPING,
        brake_ready_minute=None,
        heat=asked,
    )
    text = "\n".join(summary_lines(replace(PLAN, turnarounds=(held,))))
    assert "keep the stopping limit; what counts most is not known: take-off" in text


@pytest.mark.parametrize(
    ("probability", "text"),
    [(0.0, "<0.1 %"), (0.0009, "<0.1 %"), (0.034, "3.4 %"), (1.0, "100.0 %")],
)
def test_probabilities_are_per_cent(probability: float, text: str) -> None:
    """No probability is ever shown as nought."""
    assert percent_text(probability) == text


def test_messages_are_one_sentence_per_late_flight() -> None:
    """On-time flights are left out; the held one comes last."""
    assert messages(PLAN) == (
        "LB102 (stand 2) leaves the stand at 14:38 instead of 14:20, 18 min late, "
        "because its brakes have to cool (15:12 without the fan).",
        "LB103 (stand 3) leaves the stand at 14:42 instead of 14:25, 17 min late, "
        "because it waits for its take-off slot; it needs a new CTOT for take-off at "
        "14:54.",
        "LB104 (stand 4A) is held, it had been due at 14:30: maintenance has to check "
        "its fuse plugs and tyres first. A new time will follow.",
    )


@pytest.mark.parametrize("waits", WaitsFor)
@pytest.mark.parametrize("held", [True, False])
def test_every_reason_to_wait_has_words(waits: WaitsFor, held: bool) -> None:
    """No combination of reason and hold is left without a sentence."""
    off_block = None if held else at(14, 40)
    one = row(0, waits_for=waits, off_block_minute=off_block)
    (sentence,) = messages(replace(PLAN, turnarounds=(one,)))
    assert sentence.startswith("LB101 (stand 1) ")
    assert sentence.endswith(".")


def test_a_hold_for_the_curfew_names_the_curfew() -> None:
    """The gate hears the true reason."""
    one = row(0, off_block_minute=None, relaxed=(Relaxation.CURFEW,))
    assert "before the curfew" in messages(replace(PLAN, turnarounds=(one,)))[0]


def test_the_report_ends_with_every_caution() -> None:
    """What a person could act on carries all cautions."""
    text = " ".join(printed(WHOLE, 200).split())
    assert all(caution in text for caution in CAUTIONS)


def test_every_caution_has_a_source_on_the_safety_page() -> None:
    """Each caution stands, word by word, in a row of docs/safety.md."""
    page = SAFETY_PAGE.read_text(encoding="utf-8")
    for caution in CAUTIONS:
        line = next(line for line in page.splitlines() if f"| {caution} |" in line)
        assert len(line.split(" | ")) == 3


def test_nothing_ever_says_that_a_wheel_is_safe() -> None:
    """The word does not occur in what people read."""
    assert not re.search(r"\bsafe\b", printed(WHOLE, 120).lower())


def test_csv_files_hold_every_turnaround_job_and_action(tmp_path: Path) -> None:
    """Four files, one line each thing, times in ISO 8601."""
    paths = write_csv_files(WHOLE, tmp_path)
    names = ["turnarounds.csv", "fan_jobs.csv", "duties.csv", "actions.csv"]
    assert [path.name for path in paths] == names
    rows = list(csv.DictReader(io.StringIO(paths[0].read_bytes().decode())))
    assert [one["id"] for one in rows] == [one.id for one in WHOLE.turnarounds]
    assert rows[1]["off_block_utc"] == "2026-07-14T14:38:00Z"
    assert rows[3]["off_block_utc"] == ""
    assert rows[3]["plug_risk"] == "raised"
    jobs = list(csv.DictReader(io.StringIO(paths[1].read_text(encoding="utf-8"))))
    assert jobs[0]["start_utc"] == "2026-07-14T13:55:00Z"
    done = list(csv.DictReader(io.StringIO(paths[3].read_text(encoding="utf-8"))))
    assert len(done) == len(WHOLE.actions)


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r"])
def test_a_cell_that_looks_like_a_formula_is_defused(start: str) -> None:
    """A stand or an id from outside cannot run in a spreadsheet."""
    odd = replace(WHOLE.turnarounds[0], stand=f"{start}1+1", heat=heat(0.0, 840))
    text = csv_texts(replace(WHOLE, turnarounds=(odd,)))["turnarounds.csv"]
    (cells,) = csv.DictReader(io.StringIO(text, newline=""))
    assert cells["stand"] == f"'{start}1+1"


def test_numbers_stay_numbers() -> None:
    """Only texts are defused; a negative number is no formula."""
    assert plain_cell(-5) == -5


def test_a_plan_without_turnarounds_still_has_headings() -> None:
    """Empty files say what they would hold."""
    texts = csv_texts(replace(PLAN, turnarounds=(), actions=()))
    assert all(len(text.splitlines()) == 1 for text in texts.values())


def test_short_waits_for_a_slot_share_one_message() -> None:
    """The gate reads one line for all, however many let others go first."""
    short = [
        row(index, waits_for=WaitsFor.SLOT, off_block_minute=given + late)
        for index, given, late in ((0, at(14, 15), 1), (5, at(16, 20), 2))
    ]
    (line,) = messages(replace(PLAN, turnarounds=tuple(short)))
    assert line == (
        "Up to 2 min late, for a take-off slot: LB101 (stand 1) 14:16, "
        "LB106 (stand 2) 16:22."
    )


def test_the_summary_counts_the_late_and_the_held() -> None:
    """A newcomer reads first how much of the day is lost."""
    assert summary_lines(PLAN)[1] == (
        "5 aircraft leave, 2 of them late, by 35 min in all; 1 held."
    )


@pytest.mark.parametrize(
    ("approach", "said"),
    [
        (at(15, 5), "the figures pass the operator's approach threshold at 15:05"),
        (None, "the figures give no time to send people to its wheels"),
    ],
)
def test_a_flight_held_for_a_check_is_told_what_lets_it_go(
    approach: int | None, said: str
) -> None:
    """From when the check can be, how it is logged, and to plan again."""
    held = replace(PLAN.turnarounds[3], approach_minute=approach)
    text = "\n".join(summary_lines(replace(PLAN, turnarounds=(held,))))
    assert f"* LB104: is held until its fuse plugs and tyres are checked: {said};" in (
        text
    )
    assert "log the check (plug-check in events.csv), then plan again." in text

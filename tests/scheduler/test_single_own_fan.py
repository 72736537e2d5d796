"""One aircraft with a fan on board: its indication counts only past that fan."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from scheduler.cases import stand as stand_module
from scheduler.cli.application import main
from scheduler.clock import Clock
from scheduler.day import Reading
from scheduler.options import Limit
from scheduler.report.single_text import notes
from scheduler.single import Answer, Question, answer
from scheduler.single.question import TURNAROUND
from thermal.catalogue import load_brake
from thermal.units import kelvin

LANDED = 14 * 60 + 2
FAN_MINUTES, AFTER_FAN_MINUTES, LAG_MINUTES = 30, 10, 10
WORDS = ["single", "--aircraft", "twin-72", "--landed", "14:02"]


def asked(**given: object) -> Answer:
    """Read 150 °C twenty minutes after touchdown."""
    reading = Reading(
        turnaround_id=TURNAROUND,
        minute=LANDED + 20,
        indicated_k=float(kelvin(150.0)),
    )
    question = Question(
        clock=Clock(day=date(2026, 7, 14)),
        aircraft="twin-72",
        landed_minute=LANDED,
        readings=(reading,),
        ambient_k=float(kelvin(20.0)),
        **given,  # type: ignore[arg-type]
    )
    return answer(question)


@pytest.fixture
def own_fan(monkeypatch: pytest.MonkeyPatch) -> None:
    """Give every brake a fan on board (synthetic)."""
    monkeypatch.setattr(
        stand_module,
        "load_brake",
        lambda name: replace(load_brake(name), onboard_fan_m_per_s=6.0),
    )


@pytest.mark.usefixtures("own_fan")
def test_the_indicator_is_steady_past_its_lag_and_past_the_own_fan() -> None:
    """Thirty minutes of it from in-block, then the wait beside any fan; told."""
    found = asked()
    in_block = found.question.in_block_minute
    steady = in_block + FAN_MINUTES + AFTER_FAN_MINUTES
    assert found.indicator_valid_minute == steady
    text = " ".join(notes(found))
    assert f"not steady before {found.question.clock.short(steady)}" in text
    assert dict(found.still.limits)[Limit.INDICATED] >= steady


@pytest.mark.usefixtures("own_fan")
def test_a_ground_fan_that_stops_first_does_not_make_it_steady() -> None:
    """Five minutes of other air end while the aircraft's own fan still runs."""
    found = asked(fan_from_minute=LANDED + 20, fan_minutes=5)
    assert found.fan is not None
    shown = dict(found.fan.limits)[Limit.INDICATED]
    assert shown is not None
    assert shown >= found.question.in_block_minute + FAN_MINUTES + AFTER_FAN_MINUTES


def test_without_a_fan_the_lag_alone_counts() -> None:
    """It runs from the stop, a taxi-in before in-block."""
    found = asked()
    question = found.question
    stop = question.in_block_minute - question.taxi_in_minutes
    assert found.indicator_valid_minute == stop + LAG_MINUTES


@pytest.mark.parametrize(
    ("words", "message"),
    [
        ([*WORDS, "--wear", "7"], "--wear: expected 0 to 1, got '7'"),
        ([*WORDS, "--fan-minutes", "x"], "expected a whole number from 5 to 120"),
        ([*WORDS, "--reverse", "all"], "--reverse: invalid choice: 'all'"),
        ([*WORDS, "--windmill"], "unrecognized arguments: --windmill"),
        (WORDS[:3], "the following arguments are required: --landed"),
        (["singel"], "invalid choice: 'singel'"),
    ],
)
def test_a_wrong_argument_is_one_clear_line(
    capsys: pytest.CaptureFixture[str], words: list[str], message: str
) -> None:
    """Exit 2, no usage before it, and where the help is."""
    with pytest.raises(SystemExit) as stopped:
        main(words)
    printed = capsys.readouterr()
    assert (stopped.value.code, printed.out) == (2, "")
    (line,) = printed.err.splitlines()
    assert message in line
    assert line.startswith("heatslot")
    assert line.endswith("--help)")
    assert np.all([word not in line for word in ("usage", "\x1b")])

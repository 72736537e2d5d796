"""``heatslot log``: each fact read back, each fault told, nothing else written."""

import json
from datetime import UTC, datetime
from pathlib import Path

import pytest

from scheduler.cli import log as log_command
from scheduler.cli.application import main
from scheduler.cli.log_facts import FACTS
from scheduler.day import Basis
from scheduler.events import Event
from scheduler.files import read_scenario
from tests.scheduler.logged_day import turnaround
from tests.scheduler.scenario_folder import STATION, table, write_folder

NOW = datetime(2026, 7, 14, 9, 20, 40, tzinfo=UTC)
A1 = "A1 (tail XA-AAA), stand 1:"


@pytest.fixture(autouse=True)
def _clock(monkeypatch: pytest.MonkeyPatch) -> None:
    """It is 09:20 on the day."""
    monkeypatch.setattr(log_command, "utc_now", lambda: NOW)
    monkeypatch.setenv("COLUMNS", "400")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A scenario without a log."""
    return write_folder(tmp_path)


@pytest.fixture
def told(folder: Path, capsys: pytest.CaptureFixture[str]):
    """Log one fact; the first line that is read back."""

    def log(fact: str) -> str:
        assert main(["log", str(folder), *fact.split()]) == 0
        return capsys.readouterr().out.splitlines()[0]

    return log


ECHOES = {
    "landed A1 08:57": f"{A1} landed at 08:57 UTC, in-block expected at 09:02.",
    "in-block A1 09:11": f"{A1} in-block at 09:11 UTC, 6 min later than planned.",
    "in-block A1 09:04": f"{A1} in-block at 09:04 UTC, 1 min earlier than planned.",
    "in-block A1 09:05Z": f"{A1} in-block at 09:05 UTC, as planned.",
    "in-block A1 10:00": f"{A1} in-block at 10:00 UTC, 55 min later than planned; "
    "off-block not before 10:45 until its tobt is logged.",
    "off-block A1 09:52": f"{A1} off-block at 09:52 UTC, 2 min later than planned.",
    "tobt A1 10:00": f"{A1} target off-block 10:00 UTC, 10 min later than before.",
    "ctot A1 10:05": f"{A1} calculated take-off time 10:05 UTC, there was none.",
    "stand A1 2": "A1 (tail XA-AAA), stand 2: on this stand instead of 1. Its time is "
    "now, 09:20 UTC.",
    "cancel A1": f"{A1} departure cancelled, the stand stays taken. Its time is now, "
    "09:20 UTC.",
    "reading A1 420 at 09:12 --position 3": f"{A1} 420 °C indicated at 09:12 UTC, "
    "brake 3.",
    "reading A1 --position 3 420C@09:12": f"{A1} 420 °C indicated at 09:12 UTC, "
    "brake 3.",
    "reading A1 395.5 °C 09:12": f"{A1} 395.5 °C indicated at 09:12 UTC, "
    "hottest brake.",
    "fan-on A1 trolley --units 2 09:15": f"{A1} 2 units of trolley on at 09:15 UTC.",
    "fan-on a1 2 units 09:15": f"{A1} 2 units of trolley on at 09:15 UTC.",
    "fan-on A1 09:15": f"{A1} 1 unit of trolley on at 09:15 UTC.",
    "plug-check A1 09:40": f"{A1} plugs and tyres of all wheels checked at 09:40 UTC.",
    "plug-check A1 09:40 --position 2": f"{A1} brake 2: plug and tyre checked at 09:40 "
    "UTC; not logged as checked yet: 1, 3, 4.",
    "wheel-change A1 09:40 --position 2": f"{A1} wheel changed at 09:40 UTC.",
    "finding A2 R1 brake replaced 10:30": "A2 (tail XA-AAB), stand 2: brake R1: brake "
    "replaced, its wear is 0 from now on at 10:30 UTC.",
    "finding A1 3 no finding 09:30": f"{A1} brake 3: no finding at 09:30 UTC.",
    "finding A1 3 wear pin 12.5 mm 09:30": f"{A1} brake 3: wear pin 12.5 mm at 09:30 "
    "UTC; the wear in fleet.toml stays as it is.",
    "finding A1 --position 3 wear-pin 12.5 09:30": f"{A1} brake 3: wear pin 12.5 mm at "
    "09:30 UTC; the wear in fleet.toml stays as it is.",
    "finding A1 3 plug and tyre checked 09:30": f"{A1} brake 3: plug and tyre checked "
    "at 09:30 UTC; not logged as checked yet: 1, 2, 4.",
    "pin A1 not before 10:00": f"{A1} pinned: not before 10:00 UTC.",
    "pin A1 off-block 10:00": f"{A1} pinned: off-block 10:00 UTC.",
    "pin A1 no fan": f"{A1} pinned: no fan.",
    "pin A1 fan trolley 2 from 09:20 to 09:40": f"{A1} pinned: 2 units of trolley from "
    "09:20 to 09:40.",
    "fan-out trolley 1 from 10:00 to 12:00": "1 unit of trolley out of service from "
    "10:00 to 12:00, UTC; 1 of 2 are there.",
    "fan-out trolley 23:30 00:30": "1 unit of trolley out of service from 23:30 to "
    "00:30+1, UTC; 1 of 2 are there.",
    "runway-closed 24 10:00 10:45": "No take-offs on runway 24 from 10:00 to 10:45, "
    "UTC.",
    "runway-closed 24 10:00": "No take-offs on runway 24 from 10:00 until further "
    "notice, UTC.",
}


@pytest.mark.parametrize("fact", ECHOES)
def test_a_fact_is_read_back(fact, told, folder):
    """Each fact in plain words; the scenario reads with it."""
    assert told(fact) == ECHOES[fact]
    read_scenario(folder)


FOLLOWING = (
    ("in-block A1 09:08", "in-block at 09:08 UTC, 3 min later than planned."),
    ("in-block A1 09:07", "in-block at 09:07 UTC, instead of 09:08."),
    ("landed A1 09:01", "landed at 09:01 UTC, in-block 09:07."),
    ("fan-on A1 09:12", "1 unit of trolley on at 09:12 UTC."),
    ("fan-off A1 09:40", "1 unit of trolley off at 09:40 UTC, after 28 min."),
    ("fan-on A1 09:42", "1 unit of trolley on at 09:42 UTC."),
    ("ctot A1 10:05", "calculated take-off time 10:05 UTC, there was none."),
    ("ctot A1 10:15", "calculated take-off time 10:15 UTC, instead of 10:05."),
    ("tobt A1 09:50", "target off-block 09:50 UTC, as before."),
    (
        "off-block A1 09:55",
        "off-block at 09:55 UTC, 5 min later than planned; trolley counts as off from "
        "then.",
    ),
    ("off-block A1 09:54", "off-block at 09:54 UTC, instead of 09:55."),
    (
        "rto A1 110 kt at 10:03 back 10:12",
        "take-off rejected at 10:03 UTC from 110 kt, back in-block 10:12; off-block "
        "not before 10:32 until its tobt is logged.",
    ),
    ("tobt A1 11:00", "target off-block 11:00 UTC, 28 min later than before."),
    ("pin A1 no-fan", "pinned: no fan."),
    ("unpin A1", "no pin any more."),
    ("off-block A1 11:02", "off-block at 11:02 UTC, 2 min later than planned."),
    ("airborne A1 11:12", "airborne at 11:12 UTC."),
)


def test_facts_of_a_day_in_their_order(told, folder):
    """Corrections, fans, a rejected take-off and a second try are read back."""
    for fact, text in FOLLOWING:
        assert told(fact) == f"{A1} {text}"
    day = read_scenario(folder)
    assert turnaround(day).off_block_basis is Basis.ACTUAL
    assert day.airborne == (("A1", 672),)
    assert [run.end_minute for run in day.fan_times] == [580, 594]


def test_station_facts_come_back(told, folder):
    """Fans are back and the runway open; the day has both ends."""
    told("fan-out trolley 2 10:00")
    assert told("fan-back trolley 2 10:40") == (
        "2 units of trolley back in service at 10:40 UTC; 2 of 2 are there."
    )
    told("runway-closed 24 10:00")
    assert told("runway-open 24 10:30") == (
        "Take-offs on runway 24 again from 10:30 UTC."
    )
    station = read_scenario(folder).station
    assert station.runways[0].closures == ((600, 630),)
    assert [station.fans[0].units_at(at) for at in (600, 639, 640)] == [0, 0, 2]


def test_every_event_has_an_example_that_is_understood(folder, capsys):
    """The help shows one example a fact, and knows each kind of fact."""
    assert set(FACTS) == {event.value for event in Event}
    with pytest.raises(SystemExit):
        main(["log", "--help"])
    shown = capsys.readouterr().out
    for name, fact in FACTS.items():
        assert fact.example.split()[0] == name
        assert f"\n  {fact.example}\n" in shown


def test_the_echo_says_how_to_undo(folder, capsys):
    """The entry, when it was logged, by whom, and the command that takes it back."""
    main(["log", str(folder), "in-block", "A1", "09:08", "--by", "J. D."])
    assert capsys.readouterr().out.splitlines()[1:] == [
        "Entry 2, logged 2026-07-14 09:20 UTC (J. D.).",
        f"Undo with: heatslot log {folder} undo 2",
    ]
    assert main(["log", str(folder), "undo", "2"]) == 0
    assert capsys.readouterr().out.splitlines() == [
        "in-block A1 09:08 no longer counts (entry 2).",
        "Entry 3, logged 2026-07-14 09:20 UTC.",
    ]
    assert turnaround(read_scenario(folder)).in_block_basis is not Basis.ACTUAL
    lines = (folder / "events.csv").read_text(encoding="utf-8").splitlines()
    assert len(lines) == 3
    assert lines[1].startswith("2,2026-07-14T09:08:00Z,A1,in-block,")
    assert lines[1].endswith(",2026-07-14T09:20:40Z,J. D.")


def test_without_a_time_it_is_now(told, folder):
    """The time is the clock's, and said."""
    assert told("in-block A1") == (
        f"{A1} in-block at 09:20 UTC, 15 min later than planned. Its time is now, "
        "09:20 UTC."
    )
    assert turnaround(read_scenario(folder)).in_block_minute == 560


def test_a_time_is_on_the_day_that_it_must_mean(tmp_path, capsys):
    """After midnight HH:MM is the next day where the stay is; +1 and ISO say so."""
    text = table(
        "id,tail,stand,sibt_utc,sobt_utc",
        "A1,XA-AAA,1,2026-07-14T23:40Z,2026-07-15T06:00Z",
    )
    write_folder(tmp_path, {"turnarounds.csv": text})
    for time in ("00:10", "00:10+1", "2026-07-15T00:10Z"):
        assert main(["log", str(tmp_path), "in-block", "A1", time]) == 0
        assert "in-block at 00:10+1 UTC" in capsys.readouterr().out
    assert main(["log", str(tmp_path), "tobt", "A1", "06:20"]) == 0
    assert "06:20+1 UTC, 20 min later" in capsys.readouterr().out


def test_json_is_the_entry(folder, capsys):
    """Everything of the entry, for a program."""
    main(["log", str(folder), "reading", "A1", "420", "09:12", "--json"])
    told = json.loads(capsys.readouterr().out)
    assert told["entry"] == 2
    assert told["indicated_c"] == "420"
    assert told["undo"].endswith(" undo 2")


def test_a_time_ahead_is_noted(folder, capsys):
    """A fact that has not happened yet is logged, and a note says so."""
    main(["log", str(folder), "in-block", "A1", "09:50"])
    assert "Note: that is 30 min from now" in capsys.readouterr().out


FAULTS = {
    "in-block A11 09:08": "turnaround: expected one of A1, A2 (nearest: A1), got A11",
    "in-block 09:08": "in-block: expected turnaround, as: in-block TF101 14:02",
    "pin A1": "pin: expected what to keep, as: pin TF101 not before 15:00",
    "in-block A1 09:08 9": "in-block: expected nothing more, as: in-block TF101 14:02; "
    "got 9",
    "in-block A1 09:08 09:09": "in-block: expected one time, as: in-block TF101 14:02, "
    "got 09:08 and 09:09",
    "in-block A1 9:75": "time: expected a time as 14:02, 00:40+1 for the day after, or "
    "2026-07-14T14:02Z, got 9:75",
    "in-block A1 2026-07-24T09:00Z": "time: expected a time within two days of "
    "2026-07-14, got 2026-07-24T09:00:00Z",
    "in-block A1 --units 2": "in-block: expected no --units, as: in-block TF101 14:02",
    "tobt A1": "tobt: expected the time that is meant, as 14:30",
    "reading A1 hot 09:12": "temperature: expected a number, got hot",
    "reading A1 4200 09:12": "temperature: expected -60 to 1500 °C, got 4200",
    "reading A2 300 10:20 --position 7": "position: expected one of L1, L2, R1, R2, "
    "got 7",
    "reading A1 300 08:40": "time: expected after landing 09:00 (if it came earlier, "
    "log in-block first), got 08:40",
    "fan-on A1 cart 09:15": "fan: expected one of trolley, got cart",
    "fan-on A1 3 09:15": "units: expected at most 2 (of 2 trolley), got 3",
    "fan-out trolley 0 10:00": "units: expected 1 to 1000 units, got 0",
    "stand A1 9": "stand: expected one of 1, 2, got 9",
    "runway-closed 99 10:00": "runway: expected one of 24, 06, got 99",
    "finding A1 3 fine 09:20": "finding: expected one of no-finding, "
    "plug-and-tyre-checked, wheel-changed, brake-replaced, wear-pin, got fine",
    "pin A1 brakes 09:50": "pin: expected one of off-block, not-before, fan, no-fan, "
    "got brakes",
    "pin A1 off-block": "time: expected a time of the pin off-block, got nothing",
    "rto A1 300 kt 10:00": "speed: expected 1 to 250 kt, got 300",
    "undo 7": "entry: expected the number of an entry that counts, got 7",
    "undo it": "entry: expected a number, got it",
}


@pytest.mark.parametrize("fact", FAULTS)
def test_a_fault_is_one_line_and_nothing_is_written(fact, folder, capsys):
    """Bad input: what was expected, exit 2, no file."""
    assert main(["log", str(folder), *fact.split()]) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err == f"heatslot: {FAULTS[fact]}; nothing was logged\n"
    assert not (folder / "events.csv").exists()


def test_an_unknown_fact_or_option_is_told(folder, capsys):
    """The nearest fact is named, and an example of the right words."""
    assert main(["log", str(folder), "inblok", "A1"]) == 2
    assert "(nearest: in-block)" in capsys.readouterr().err
    assert main(["log", str(folder), "in-block", "A1", "--at", "3"]) == 2
    assert "expected words as: in-block TF101 14:02" in capsys.readouterr().err
    assert main(["log", str(folder)]) == 2
    assert main(["log", str(folder), "cancel", "A1", "--by", "=1+1"]) == 2
    assert "--by: expected a name" in capsys.readouterr().err
    assert main(["log", str(folder / "none"), "cancel", "A1"]) == 2
    assert not (folder / "events.csv").exists()


def test_now_is_no_guess_for_another_day(folder, capsys, monkeypatch):
    """Months later a fact needs its time."""
    later = datetime(2026, 11, 25, 18, 0, tzinfo=UTC)
    monkeypatch.setattr(log_command, "utc_now", lambda: later)
    assert main(["log", str(folder), "in-block", "A1"]) == 2
    assert "expected a time as 14:02: now, 2026-11-25 18:00" in capsys.readouterr().err
    assert main(["log", str(folder), "cancel", "A1"]) == 0


def test_a_second_fact_that_contradicts_leaves_the_log_alone(folder, capsys):
    """The file is byte for byte as before."""
    main(["log", str(folder), "in-block", "A1", "09:08"])
    before = (folder / "events.csv").read_bytes()
    assert main(["log", str(folder), "off-block", "A1", "09:00"]) == 2
    assert "time: expected after in-block 09:08, got 09:00" in capsys.readouterr().err
    assert (folder / "events.csv").read_bytes() == before


def test_what_others_rest_on_is_not_undone(folder, capsys):
    """The later entry is named; undone in turn, both go."""
    for fact in ("off-block A1 09:55", "airborne A1 10:04"):
        main(["log", str(folder), *fact.split()])
    assert main(["log", str(folder), "undo", "2"]) == 2
    assert "entry 3 (airborne A1 10:04) does, undo that first" in (
        capsys.readouterr().err
    )
    assert main(["log", str(folder), "undo", "3"]) == 0
    assert main(["log", str(folder), "undo", "2"]) == 0
    assert turnaround(read_scenario(folder)).off_block_basis is Basis.SCHEDULED


def test_a_log_that_contradicts_itself_can_be_mended(folder, capsys):
    """A row by hand that cannot be stops a plan; an undo of it is accepted."""
    text = table("time_utc,turnaround,event", "09:00,A1,off-block")
    (folder / "events.csv").write_text(text, encoding="utf-8")
    assert main(["check", str(folder)]) == 2
    assert "events.csv:2: time_utc: expected after in-block" in capsys.readouterr().err
    assert main(["log", str(folder), "in-block", "A1", "09:08"]) == 0
    assert "Note: the log contradicts itself" in capsys.readouterr().out
    assert main(["log", str(folder), "undo", "2"]) == 0
    assert turnaround(read_scenario(folder)).in_block_minute == 548


def test_a_cut_line_is_reported_and_closed(folder, capsys):
    """A kill in the middle of a line: told by check, told by the next fact."""
    main(["log", str(folder), "reading", "A1", "420", "09:12"])
    path = folder / "events.csv"
    path.write_bytes(path.read_bytes()[:-40])
    capsys.readouterr()
    assert main(["check", str(folder)]) == 0
    assert "events.csv:2: this line was cut short" in capsys.readouterr().out
    main(["log", str(folder), "reading", "A1", "420", "09:12"])
    assert "Note: events.csv:2: this line was cut short" in capsys.readouterr().out
    assert [one.minute for one in read_scenario(folder).readings] == [552]


def test_a_station_without_fans_says_so(tmp_path, capsys):
    """No fan to name is told as that."""
    station = STATION.split("[[fans]]")[0] + STATION[STATION.index("[approach]") :]
    write_folder(tmp_path, {"station.toml": station})
    assert main(["log", str(tmp_path), "fan-on", "A1", "cart", "09:15"]) == 2
    assert "fan: expected a fan (the station has none), got cart" in (
        capsys.readouterr().err
    )


def test_a_day_is_read_with_its_now(folder):
    """The minute, or the instant, at which a day is planned again reaches the day."""
    assert read_scenario(folder).now_minute is None
    assert read_scenario(folder, now=560).now_minute == 560
    assert read_scenario(folder, now=NOW).now_minute == 560


def test_weather_covers_what_the_log_moved(folder):
    """A flight that comes hours later has weather to its end."""
    before = read_scenario(folder).weather[-1].minute
    main(["log", str(folder), "in-block", "A2", "16:00"])
    day = read_scenario(folder)
    assert day.weather[-1].minute > before
    assert day.weather[-1].minute > day.last_minute(turnaround(day, "A2")) + 120

"""The command: exit codes, files, errors as text, and a help that loads nothing."""

import json
import os
import subprocess
import sys
from argparse import Namespace
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from types import ModuleType, SimpleNamespace
from typing import Any

import pytest

from scheduler import files, verify
from scheduler.cli import application, planning
from scheduler.cli.application import main
from scheduler.cli.registry import MODULES, commands
from scheduler.errors import ScenarioError, UnverifiedPlanError
from scheduler.files.plan_file import read_plan, write_plan
from scheduler.plan import Plan, Status
from scheduler.readiness import planned
from scheduler.report import CAUTIONS, actions, with_surroundings
from scheduler.verify import Code, Violation
from tests.sample_day import CLOCK, DAY, PLAN

ROOT = Path(__file__).parents[2]
OPTIMAL = replace(PLAN, status=Status.OPTIMAL)
TABLES = ["turnarounds.csv", "fan_jobs.csv", "duties.csv", "actions.csv"]
NAMES = ["plan.json", "report.html", *TABLES, "tables.json"]
HEAVY = ("pandas", "scipy", "ortools", "numpy", "pydantic", "jinja2", "thermal")


@pytest.fixture
def planner(monkeypatch: pytest.MonkeyPatch) -> Callable[[Plan], list[Namespace]]:
    """Put a plan in the place of reading and solving; gives the calls made."""

    def use(plan: Plan) -> list[Namespace]:
        calls: list[Namespace] = []

        def solve(
            day: object, config: Namespace, *, finish: Any, tell: Any, show: Any
        ) -> SimpleNamespace:
            assert day is DAY
            tell("Looking")
            calls.append(config)
            return SimpleNamespace(plan=finish(plan), tables=())

        stub = ModuleType("scheduler.solve")
        stub.__dict__.update(
            SEARCHING="Searching", SolveConfig=Namespace, plan_day=solve
        )
        monkeypatch.setitem(sys.modules, "scheduler.solve", stub)
        monkeypatch.setattr(files, "read_scenario", lambda _: DAY)
        monkeypatch.setattr(planned, "with_planned_heat", lambda plan, *_: plan)
        return calls

    return use


def run_outside(*words: str, **options: Any) -> subprocess.CompletedProcess[str]:
    """Run the program as people do, in a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "scheduler", *words],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        **options,
    )


def fail_with(error: BaseException) -> Callable[..., Any]:
    """Build a function that raises."""

    def fail(*_: object, **__: object) -> Any:
        raise error

    return fail


def test_plan_writes_its_files_and_prints_the_day(
    planner: Any, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A good plan: all files, the report on standard output, exit 0."""
    calls = planner(OPTIMAL)
    out = tmp_path / "result"
    words = ["plan", "day", "--out", str(out), "--seconds", "3", "--seed", "9"]
    assert main(words) == 0
    assert sorted(path.name for path in out.iterdir()) == sorted(NAMES)
    printed = capsys.readouterr()
    assert "lake-bend, 2026-07-14, all times UTC" in printed.out
    assert f"Written to {out}" in printed.out
    assert printed.err == ""
    assert calls == [Namespace(seconds=3.0, seed=9, apart=True, rescue=out / "rescue")]


def test_a_written_plan_carries_cautions_and_actions(
    planner: Any, tmp_path: Path
) -> None:
    """What the solver leaves empty is there in the file."""
    planner(OPTIMAL)
    main(["plan", "day", "--out", str(tmp_path / "out")])
    plan = read_plan(tmp_path / "out" / "plan.json")
    assert plan.cautions == CAUTIONS
    assert plan.actions == actions(PLAN, DAY)
    finished = replace(OPTIMAL, cautions=CAUTIONS, actions=plan.actions)
    assert plan == with_surroundings(finished, DAY)


def test_the_plan_goes_to_a_folder_named_after_the_scenario(
    planner: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without --out it is out/SCENARIO."""
    planner(OPTIMAL)
    monkeypatch.chdir(tmp_path)
    assert main(["plan", "scenarios/lake"]) == 0
    assert (tmp_path / "out" / "lake" / "plan.json").exists()


def test_a_relaxed_plan_exits_with_one(planner: Any, tmp_path: Path) -> None:
    """A plan that breaks a rule is written and still not good."""
    planner(PLAN)
    assert main(["plan", "day", "--out", str(tmp_path / "out")]) == 1


def test_json_is_the_plan_file_and_nothing_else(
    planner: Any, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Standard output can go straight into another program."""
    planner(OPTIMAL)
    main(["plan", "day", "--out", str(tmp_path / "out"), "--json"])
    written = (tmp_path / "out" / "plan.json").read_text(encoding="utf-8")
    assert capsys.readouterr().out == written


def test_a_plan_is_not_replaced_without_force(
    planner: Any, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The second run stops before it computes anything; --force lets it."""
    calls = planner(OPTIMAL)
    words = ["plan", "day", "--out", str(tmp_path)]
    assert main(words) == 0
    assert main(words) == 2
    assert "is there already; --force replaces it" in capsys.readouterr().err
    assert len(calls) == 1
    assert main([*words, "--force"]) == 0


@pytest.mark.parametrize("name", ["station.toml", "fleet.toml"])
def test_a_scenario_folder_is_never_written_to(
    planner: Any, tmp_path: Path, name: str
) -> None:
    """The plan's turnarounds.csv must not replace the day's, even with --force."""
    calls = planner(OPTIMAL)
    (tmp_path / name).touch()
    assert main(["plan", "day", "--out", str(tmp_path), "--force"]) == 2
    assert main(["plan", str(tmp_path), "--out", str(tmp_path), "--force"]) == 2
    assert calls == []


def test_faults_of_a_scenario_are_lines_and_exit_two(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Every fault is one line on standard error, without a traceback."""
    error = ScenarioError.of(["a.csv:2: stand: expected x, got y", "b.csv: missing"])
    monkeypatch.setattr(files, "read_scenario", fail_with(error))
    assert main(["check", "day"]) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err.splitlines() == [
        "heatslot: a.csv:2: stand: expected x, got y",
        "heatslot: b.csv: missing",
    ]


def test_faults_as_json(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The list of faults is readable by a program too."""
    error = ScenarioError.of(["one", "two"])
    monkeypatch.setattr(files, "read_scenario", fail_with(error))
    assert main(["check", "day", "--json"]) == 2
    assert json.loads(capsys.readouterr().out) == {
        "ok": False,
        "faults": ["one", "two"],
    }


def test_debug_shows_where_an_error_arose(monkeypatch: pytest.MonkeyPatch) -> None:
    """With --debug the error itself comes through."""
    monkeypatch.setattr(files, "read_scenario", fail_with(ScenarioError("bad")))
    with pytest.raises(ScenarioError, match="bad"):
        main(["check", "day", "--debug"])


def test_an_error_of_the_heat_is_text_too(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The heat's errors are bad input like any other."""
    from thermal.errors import ParameterError

    monkeypatch.setattr(files, "read_scenario", fail_with(ParameterError("too hot")))
    assert main(["check", "day"]) == 2
    assert capsys.readouterr().err == "heatslot: too hot\n"


def test_a_day_without_a_plan_that_passes_its_check_exits_with_one(
    planner: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No file is written when nothing passed the check."""
    planner(OPTIMAL)
    error = UnverifiedPlanError("LB101: stand")
    monkeypatch.setattr(sys.modules["scheduler.solve"], "plan_day", fail_with(error))
    assert main(["plan", "day", "--out", str(tmp_path / "out")]) == 1
    assert not (tmp_path / "out").exists()


def test_an_error_of_the_disk_names_the_file(
    planner: Any, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A file where the folder should be is told in one line."""
    planner(OPTIMAL)
    (tmp_path / "file").touch()
    assert main(["plan", "day", "--out", str(tmp_path / "file" / "deeper")]) == 2
    line = f"heatslot: {tmp_path / 'file' / 'deeper'}: Not a directory\n"
    assert capsys.readouterr().err == line


def test_the_keyboard_stops_without_a_traceback(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Ctrl-C is one word and exit 130."""
    monkeypatch.setattr(files, "read_scenario", fail_with(KeyboardInterrupt()))
    assert main(["check", "day"]) == 130
    assert capsys.readouterr().err == "heatslot: stopped\n"


def test_a_reader_that_goes_away_is_no_error(tmp_path: Path) -> None:
    """Standard output that is closed early leaves standard error empty."""
    write_plan(OPTIMAL, CLOCK, tmp_path / "plan.json")
    words = [sys.executable, "-m", "scheduler", "report", str(tmp_path), "--json"]
    read_end, write_end = os.pipe()
    os.close(read_end)
    done = subprocess.run(
        words, cwd=ROOT, stdout=write_end, stderr=subprocess.PIPE, check=False
    )
    os.close(write_end)
    assert done.returncode == application.EXIT_BROKEN_PIPE
    assert done.stderr == b""


def test_check_counts_what_a_day_holds(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A good scenario is summed up, as text or JSON."""
    day = replace(DAY, notes=("wear assumed",))
    monkeypatch.setattr(files, "read_scenario", lambda _: day)
    assert main(["check", "day"]) == 0
    text = capsys.readouterr().out
    assert text.startswith("lake-bend, 2026-07-14: no faults\n  turnarounds: 6\n")
    assert "note: wear assumed" in text
    assert main(["check", "day", "--json"]) == 0
    values = json.loads(capsys.readouterr().out)
    assert values["ok"] is True
    assert (values["fans"], values["notes"]) == (3, ["wear assumed"])


@pytest.mark.parametrize("as_json", [True, False])
@pytest.mark.parametrize("broken", [True, False])
def test_verify_lists_what_is_broken(
    planner: Any,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    *,
    as_json: bool,
    broken: bool,
) -> None:
    """Exit 1 and one entry a violation; exit 0 and none for a good plan."""
    planner(OPTIMAL)
    one = Violation(
        code=Code.CURFEW,
        turnaround_id="LB101",
        where="off-block",
        expected="a",
        got="b",
    )
    monkeypatch.setattr(verify, "check", lambda *_: (one,) if broken else ())
    write_plan(PLAN, CLOCK, tmp_path / "plan.json")
    words = ["verify", "day", str(tmp_path), *(["--json"] if as_json else [])]
    assert main(words) == int(broken)
    text = capsys.readouterr().out
    if as_json:
        values = json.loads(text)
        assert values["ok"] is not broken
        assert [v["code"] for v in values["violations"]] == ["curfew"] * broken
    else:
        ending = "1 violation in 6 turnarounds." if broken else "No violation found"
        assert ending in text
        assert (str(one) in text) is broken


def test_report_prints_a_stored_plan_again(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The same report from the file alone; a relaxed plan exits with 1."""
    write_plan(PLAN, CLOCK, tmp_path / "plan.json")
    assert main(["report", str(tmp_path / "plan.json")]) == 1
    assert "For the gate" in capsys.readouterr().out
    assert main(["report", str(tmp_path), "--json"]) == 1
    stored = (tmp_path / "plan.json").read_text(encoding="utf-8")
    assert capsys.readouterr().out == stored


def test_a_plan_file_that_is_none_is_bad_input(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """One line says what was expected."""
    assert main(["report", str(tmp_path / "none.json")]) == 2
    assert "expected a plan file, got No such file" in capsys.readouterr().err


def test_new_writes_a_template_and_says_what_next(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The folder goes to the writer; the next command is named."""
    folders: list[Path] = []
    monkeypatch.setattr(files, "write_template", folders.append)
    assert main(["new", "my-day"]) == 0
    assert folders == [Path("my-day")]
    assert "heatslot plan my-day" in capsys.readouterr().out


@pytest.mark.parametrize(
    "words",
    [
        [],
        ["fly"],
        ["plan"],
        ["plan", "day", "--seconds", "0"],
        ["plan", "day", "--seconds", "nan"],
        ["plan", "day", "--seconds", "many"],
        ["plan", "day", "--seed", "-1"],
        ["plan", "day", "--seed", "1.5"],
    ],
)
def test_wrong_arguments_exit_with_two(
    words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    """The parser names the fault and stops."""
    with pytest.raises(SystemExit) as stopped:
        main(words)
    assert stopped.value.code == 2
    assert "error: " in capsys.readouterr().err


@pytest.mark.parametrize("command", commands(), ids=lambda one: one.name)
def test_every_command_has_a_help(
    command: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    """Help of each command: its text, its exit codes, --debug, exit 0."""
    with pytest.raises(SystemExit) as stopped:
        main([command.name, "--help"])
    text = " ".join(capsys.readouterr().out.split())
    assert stopped.value.code == 0
    assert command.description in text
    assert "Exit code: 0 good" in text
    assert "--debug" in text


def test_the_help_lists_every_command(capsys: pytest.CaptureFixture[str]) -> None:
    """Name and summary of each, and that all is advisory."""
    with pytest.raises(SystemExit):
        main(["--help"])
    text = " ".join(capsys.readouterr().out.split())
    for command in commands():
        assert f"{command.name} {command.summary}" in text
    assert "Advisory only" in text


def test_names_of_commands_are_unique_and_every_module_offers_some() -> None:
    """The registry is whole."""
    names = [command.name for command in commands()]
    assert len(names) == len(set(names)) >= len(MODULES)


def test_the_help_loads_nothing_heavy() -> None:
    """`heatslot --help` stays quick because the heat and the solver stay out."""
    code = (
        "import sys, scheduler.__main__ as program\n"
        "try: program.main(['--help'])\n"
        "except SystemExit: pass\n"
        f"heavy = {HEAVY}\n"
        "loaded = {name.partition('.')[0] for name in sys.modules}\n"
        "sys.stderr.write(' '.join(name for name in heavy if name in loaded))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stderr == ""
    assert "plan a day" in done.stdout


def test_the_version_is_the_installed_one() -> None:
    """The number comes from the distribution."""
    from importlib.metadata import version

    done = run_outside("--version")
    assert (done.returncode, done.stdout) == (0, f"heatslot {version('heatslot')}\n")


@pytest.mark.parametrize("encoding", ["ascii", "utf-8"])
def test_an_output_without_our_characters_still_gets_the_report(
    tmp_path: Path, encoding: str
) -> None:
    """A console that knows no dash gets a mark in its place, not an error."""
    write_plan(OPTIMAL, CLOCK, tmp_path / "plan.json")
    environment = {**os.environ, "PYTHONIOENCODING": encoding, "COLUMNS": "80"}
    done = run_outside("report", str(tmp_path), env=environment)
    assert (done.returncode, done.stderr) == (0, "")
    assert "\x1b" not in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 80


def test_progress_is_for_a_terminal_only(
    planner: Any, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Piped standard error stays empty while a plan is made."""
    planner(OPTIMAL)
    main(["plan", "day", "--out", str(tmp_path / "out")])
    assert capsys.readouterr().err == ""
    assert tuple(NAMES) == planning.OUTPUT_NAMES

"""The commands that write the page: report, verify, plan and replan."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from scheduler import files, verify
from scheduler.cli.application import main
from scheduler.files.plan_file import read_plan, write_plan
from scheduler.report import with_surroundings
from scheduler.report.page import page_text
from scheduler.verify import Code, Violation
from tests.drawn_plans import drawn_plan
from tests.sample_day import CLOCK, DAY, PLAN


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with the plan of the sample day, and nothing else."""
    write_plan(PLAN, CLOCK, tmp_path / "plan.json")
    return tmp_path


def test_report_draws_the_page_from_the_plan_alone(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """No scenario is read; the page is the one of the plan that was read back."""
    page = folder / "day.html"
    assert main(["report", str(folder), "--html", str(page)]) in (0, 1)
    drawn = page_text(read_plan(folder / "plan.json"))
    assert page.read_text(encoding="utf-8") == drawn
    assert capsys.readouterr().out == f"Written to {page}\n"


def test_report_never_writes_over_its_plan(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A page in the place of the plan, or of a folder, is refused."""
    plan = folder / "plan.json"
    before = plan.read_bytes()
    assert main(["report", str(folder), "--html", str(plan)]) == 2
    assert main(["report", str(folder), "--html", str(folder)]) == 2
    assert main(["report", str(folder), "--html", str(folder / "no" / "x")]) == 2
    assert plan.read_bytes() == before
    assert capsys.readouterr().err.count("--html: expected a f") == 3


def test_a_relaxed_plan_is_drawn_and_still_not_good(tmp_path: Path) -> None:
    """The exit code says what the plan is, whether it is printed or drawn."""
    plan = drawn_plan(4)
    write_plan(plan, CLOCK, tmp_path / "plan.json")
    page = tmp_path / "day.html"
    assert main(["report", str(tmp_path), "--html", str(page)]) == 1
    assert page.exists()


@pytest.fixture
def checked(monkeypatch: pytest.MonkeyPatch) -> Any:
    """Put findings in the place of the check."""

    def use(*found: Violation) -> None:
        monkeypatch.setattr(files, "read_scenario", lambda _: DAY)
        monkeypatch.setattr(verify, "check", lambda *_: found)

    return use


def test_verify_draws_the_page_with_what_it_found(checked: Any, folder: Path) -> None:
    """What is broken stands first, and the plan itself stays as it was."""
    broken = Violation(
        code=Code.HEAT,
        turnaround_id="LB102",
        where="off-block",
        expected="13:50",
        got="13:20",
    )
    checked(broken)
    before = (folder / "plan.json").read_bytes()
    assert main(["verify", "day", str(folder)]) == 1
    text = (folder / "report.html").read_text(encoding="utf-8")
    assert "check failed" in text
    assert text == page_text(with_surroundings(PLAN, DAY), (str(broken),))
    assert (folder / "plan.json").read_bytes() == before


def test_verify_without_findings_draws_the_plan(checked: Any, folder: Path) -> None:
    """A good plan is drawn as it is."""
    checked()
    assert main(["verify", "day", str(folder)]) == 0
    text = (folder / "report.html").read_text(encoding="utf-8")
    assert text == page_text(with_surroundings(PLAN, DAY))


def test_verify_leaves_what_the_plan_says_of_its_data(
    checked: Any, tmp_path: Path
) -> None:
    """A plan that carries what it was made from is drawn as it was."""
    plan = drawn_plan(3, 700)
    write_plan(plan, CLOCK, tmp_path / "plan.json")
    checked()
    main(["verify", "day", str(tmp_path)])
    text = (tmp_path / "report.html").read_text(encoding="utf-8")
    assert text == page_text(plan)


def test_verify_goes_on_where_it_cannot_write(
    checked: Any,
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A folder that cannot be written to costs the page, not the verdict."""
    from scheduler.report.page import render

    def fail(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(render, "write_text", fail)
    checked()
    assert main(["verify", "day", str(folder)]) == 0
    told = capsys.readouterr()
    assert "No violation found" in told.out
    assert "report.html: not written: Permission denied" in told.err


def test_verify_draws_a_plan_of_another_day(checked: Any, tmp_path: Path) -> None:
    """Rows that the scenario does not know are drawn as they are."""
    other = replace(drawn_plan(3), day=PLAN.day, program="")
    write_plan(other, CLOCK, tmp_path / "plan.json")
    checked()
    assert main(["verify", "day", str(tmp_path)]) == 0
    assert "LB101" in (tmp_path / "report.html").read_text(encoding="utf-8")

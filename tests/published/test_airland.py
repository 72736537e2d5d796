"""The runway rule proves the published optima of landing problems.

Optima of files 1 to 8: J. E. Beasley, M. Krishnamoorthy, Y. M. Sharaiha, D. Abramson,
Scheduling aircraft landings - the static case, Transportation Science 34(2), 2000. File
9 with three and four runways: later literature, from memory.
"""

from pathlib import Path

import pytest

from tests.benchmarks.airland import solve
from tests.benchmarks.landings import FOLDER, UNIT, faults, first_plan, load

QUICK = {
    (1, 1): 700,
    (1, 2): 90,
    (1, 3): 0,
    (2, 2): 210,
    (2, 3): 0,
    (3, 2): 60,
    (3, 3): 0,
    (4, 3): 130,
    (4, 4): 0,
}
LONG = {
    (2, 1): 1480,
    (3, 1): 820,
    (4, 1): 2520,
    (4, 2): 640,
    (6, 1): 24442,
    (6, 2): 554,
    (6, 3): 0,
    (8, 1): 1950,
    (8, 2): 135,
    (9, 3): 75.75,
    (9, 4): 0,
}
SECONDS = 600.0


def path_of(number: int) -> Path:
    """File of that number; the test is skipped where it is absent."""
    path = FOLDER / f"airland{number}.txt"
    if not path.exists():
        pytest.skip(f"needs the OR-Library's {path.name} in {FOLDER}")
    return path


def check(number: int, runways: int, published: float) -> None:
    """Prove a value and check the plan pair by pair."""
    fleet = load(path_of(number))
    found = solve(fleet, runways, SECONDS)
    assert found.value is not None
    assert (found.status, found.value) == ("OPTIMAL", round(published * UNIT))
    assert faults(fleet, found.plan, found.value) == []


@pytest.mark.parametrize(("number", "runways"), QUICK)
def test_optimum_of_a_small_file(number: int, runways: int):
    """The published optimum is found and proved."""
    check(number, runways, QUICK[number, runways])


@pytest.mark.slow
@pytest.mark.parametrize(("number", "runways"), LONG)
def test_optimum_of_a_larger_file(number: int, runways: int):
    """The published optimum is found and proved."""
    check(number, runways, LONG[number, runways])


def test_the_check_sees_pairs_that_are_no_neighbours():
    """File 8 breaks the triangle inequality: neighbours alone would pass there."""
    fleet = load(path_of(8))
    gaps = [one.gaps for one in fleet]
    names = range(len(fleet))
    first, between, last = next(
        (one, two, three)
        for one in names
        for two in names
        for three in names
        if len({one, two, three}) == 3
        and gaps[one][two] + gaps[two][three] < gaps[one][three]
    )
    plan = first_plan(fleet, 1)
    assert plan is not None
    far = [(10_000 + 1000 * index, 0) for index in names]
    far[first] = (0, 0)
    far[between] = (gaps[first][between], 0)
    far[last] = (far[between][0] + gaps[between][last], 0)
    found = faults(fleet, tuple(far), 0)
    assert [text for text in found if " behind " in text] == [
        f"{last}: {far[last][0]} behind {first}"
    ]


def test_the_check_sees_a_wrong_value_and_a_closed_window():
    """A plan outside its window, or worth something else, is found out."""
    fleet = load(path_of(1))
    plan = first_plan(fleet, 3)
    assert plan is not None
    value = sum(one.cost(minute) for one, (minute, _) in zip(fleet, plan, strict=True))
    assert faults(fleet, plan, value) == []
    assert faults(fleet, plan, value + 1)
    early = ((fleet[0].earliest - 1, plan[0][1]), *plan[1:])
    assert any("window" in text for text in faults(fleet, early, value))

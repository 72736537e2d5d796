"""What other programs may import, and what importing it costs."""

import subprocess
import sys

import pytest

import scheduler

HEAVY = ("numpy", "scipy", "pandas", "ortools", "pydantic", "rich", "jinja2")


def loaded_after(statement: str) -> set[str]:
    """Heavy packages that are loaded after a statement in a new interpreter."""
    code = f"import sys; {statement}; print(*sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", code], check=True, capture_output=True, text=True
    )
    return {name for name in done.stdout.split() if name in HEAVY}


@pytest.mark.parametrize("name", scheduler.__all__)
def test_public_name_is_there(name):
    """Every public name loads, from a module of this package, with a docstring."""
    value = getattr(scheduler, name)
    assert value.__module__.split(".")[0] == "scheduler"
    assert value.__name__ == name
    assert value.__doc__


def test_public_names_are_sorted_and_all_there_is():
    """The list is sorted, without doubles, and equal to what can be loaded."""
    assert scheduler.__all__ == sorted(set(scheduler.__all__))
    assert set(scheduler.__all__) == set(scheduler._HOME_OF)
    assert set(scheduler.__all__) <= set(dir(scheduler))


def test_unknown_name_is_an_attribute_error():
    """A name that is not public is refused in the usual way."""
    with pytest.raises(AttributeError, match="has no attribute 'solve_everything'"):
        _ = scheduler.solve_everything


def test_importing_the_package_loads_nothing_heavy():
    """An import alone loads no numbers, no solver and no terminal."""
    assert loaded_after("import scheduler") == set()


def test_records_load_without_the_solver():
    """Plan records need no solver, no tables and no terminal."""
    loaded = loaded_after("from scheduler import Plan, SolveConfig")
    assert not loaded & {"ortools", "pandas", "rich", "scipy"}

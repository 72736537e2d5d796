"""Separation of all pairs by class: cliques that cover all pairs, none to spare."""

from collections.abc import Callable
from itertools import combinations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from scheduler.model.runway import (
    Cell,
    add_separation,
    separation_rows,
    separation_shapes,
)

Table = dict[tuple[str, str], int]
WAKE: Table = dict.fromkeys(product("HML", repeat=2), 1) | {
    ("H", "M"): 2,
    ("H", "L"): 2,
    ("M", "L"): 3,
}
# No detour is as long as the direct way: b may go between a and c without helping.
UNEVEN: Table = dict.fromkeys(product("abc", repeat=2), 2) | {("a", "c"): 9}


def gap_of(table: Table) -> Callable[[str, str], int]:
    """Look the minutes up."""
    return lambda leader, follower: table[leader, follower]


def too_close(table: Table, one: Cell, other: Cell) -> bool:
    """Whether two take-offs may not both happen."""
    (leader, first), (follower, second) = sorted((one, other), key=lambda at: at[1])
    return first == second or second - first < table[leader, follower]


@st.composite
def tables(draw: st.DrawFn) -> tuple[Table, dict[str, set[int]]]:
    """Up to four classes, any gaps, some minutes each."""
    names = "abcd"[: draw(st.integers(1, 4))]
    top = draw(st.integers(0, 7))
    table = {pair: draw(st.integers(0, top)) for pair in product(names, repeat=2)}
    minutes = {name: draw(st.sets(st.integers(0, 13), max_size=9)) for name in names}
    return table, minutes


@settings(max_examples=150, deadline=None)
@given(tables())
def test_rows_hold_exactly_the_pairs_that_are_too_close(
    made: tuple[Table, dict[str, set[int]]],
):
    """Every row is a clique, and every pair that is too close is in a row."""
    table, minutes = made
    rows = separation_rows(minutes, gap_of(table))
    held = {frozenset(pair) for row in rows for pair in combinations(row, 2)}
    cells = [(name, minute) for name, own in minutes.items() for minute in own]
    for one, other in combinations(cells, 2):
        assert (frozenset((one, other)) in held) == too_close(table, one, other)
    assert {cell for row in rows for cell in row} == set(cells)


@settings(max_examples=100, deadline=None)
@given(tables())
def test_no_row_is_inside_another(made: tuple[Table, dict[str, set[int]]]):
    """A row that another one implies is not written."""
    table, minutes = made
    rows = [set(row) for row in separation_rows(minutes, gap_of(table))]
    assert not any(
        one <= other
        for index, one in enumerate(rows)
        for at, other in enumerate(rows)
        if at != index
    )


@settings(max_examples=100, deadline=None)
@given(tables())
def test_no_shape_can_be_widened(made: tuple[Table, dict[str, set[int]]]):
    """No class could have a minute more in any shape."""
    table, minutes = made
    for shape in separation_shapes(tuple(minutes), gap_of(table)):
        inside = {(name, at) for name, own in shape.items() for at in own}
        for cell in product(minutes, range(-30, 31)):
            if cell not in inside:
                assert not all(too_close(table, cell, other) for other in inside)


def test_rows_of_a_wake_table():
    """Three classes at one minute, then heavies before the rest, then M before L."""
    shapes = separation_shapes("HML", gap_of(WAKE))
    starts = [{name: (at[0], at[-1]) for name, at in one.items()} for one in shapes]
    assert {"H": (0, 0), "M": (0, 0), "L": (0, 0)} in starts
    assert {"M": (0, 0), "L": (2, 2)} in starts
    assert len(shapes) == 4


@pytest.mark.parametrize(("third", "fits"), [(8, False), (9, True)])
def test_separation_holds_across_the_one_between(third: int, fits: bool):
    """With b half-way, c is still held back by a: neighbours alone would let it go."""
    cp = cp_model.CpModel()
    fixed = {"a": {0: [1]}, "b": {4: [1]}, "c": {third: [1]}}
    add_separation(
        cp,
        {
            name: {minute: [cp.new_constant(1)] for minute in own}
            for name, own in fixed.items()
        },
        gap_of(UNEVEN),
    )
    status = cp_model.CpSolver().solve(cp)
    assert status == (cp_model.OPTIMAL if fits else cp_model.INFEASIBLE)


def test_two_of_one_class_never_share_a_minute():
    """Even where the table asks for nothing, one runway takes one at a time."""
    cp = cp_model.CpModel()
    both = [cp.new_bool_var("") for _ in range(2)]
    add_separation(cp, {"a": {7: both}}, lambda *_: 0)
    cp.maximize(sum(both))
    solver = cp_model.CpSolver()
    solver.solve(cp)
    assert solver.objective_value == 1


def test_rows_are_plain_and_a_lone_take_off_has_none():
    """The relaxation reads the rows as they are; nothing is written for one literal."""
    cp = cp_model.CpModel()
    take_offs = {
        name: {minute: [cp.new_bool_var("")] for minute in (0, 1, 40)} for name in "HM"
    }
    del take_offs["M"][40]
    add_separation(cp, take_offs, gap_of(WAKE))
    rows = list(cp.proto.constraints)
    assert rows
    assert all(row.has_at_most_one() for row in rows)
    assert all(len(row.at_most_one.literals) > 1 for row in rows)
    used = {index for row in rows for index in row.at_most_one.literals}
    assert take_offs["H"][40][0].index not in used


def test_nothing_to_separate():
    """A runway without take-offs gets no row."""
    assert separation_rows({}, gap_of(WAKE)) == []
    assert separation_rows({"H": ()}, gap_of(WAKE)) == []


@pytest.mark.parametrize("table", [WAKE, UNEVEN], ids=["wake", "uneven"])
def test_the_solver_finds_what_trying_everything_finds(table: Table):
    """The last take-off of one aircraft per class is as early as it can be."""
    names = sorted({name for name, _ in table})
    top = 14
    cp = cp_model.CpModel()
    x = {name: [cp.new_bool_var("") for _ in range(top)] for name in names}
    for own in x.values():
        cp.add_exactly_one(own)
    add_separation(
        cp,
        {n: {m: [v] for m, v in enumerate(own)} for n, own in x.items()},
        gap_of(table),
    )
    weights = {name: index + 1 for index, name in enumerate(reversed(names))}
    cp.minimize(sum(weights[n] * m * v for n in x for m, v in enumerate(x[n])))
    solver = cp_model.CpSolver()
    solver.solve(cp)
    best = min(
        sum(weights[name] * at for name, at in zip(names, minutes, strict=True))
        for minutes in product(range(top), repeat=len(names))
        if not any(
            too_close(table, one, other)
            for one, other in combinations(zip(names, minutes, strict=True), 2)
        )
    )
    assert solver.objective_value == best

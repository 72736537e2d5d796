"""Separation of all pairs of take-offs on one runway, by class.

Enters: take-off literals by class and minute, and the minutes that must lie between a
leader and a follower of given classes. Leaves: rows of which at most one literal is
true. Every row is a clique, that is, any two of its take-offs are too close, and every
pair that is too close is in some row. So all pairs are kept apart and not only
neighbours: the table of minutes need not obey the triangle inequality.

- A shape gives each class a stretch of minutes. The first has the smallest spacing for
  all classes; then each ordered pair of classes that is not covered yet gets shapes
  with as many leaders and followers as their own spacing allows, the follower as late
  as it may still be too close, then earlier.
- Each shape is widened, by further classes too, until no minute can be added.
- A row is a shape at one minute. A row inside another one is left out.
"""

from collections import defaultdict
from collections.abc import Callable, Collection, Mapping, Sequence
from typing import TypeAlias

from ortools.sat.python import cp_model

Gap: TypeAlias = Callable[[str, str], int]
Cell: TypeAlias = tuple[str, int]
Shape: TypeAlias = dict[str, range]


def add_separation(
    cp: cp_model.CpModel,
    take_offs: Mapping[str, Mapping[int, Sequence[cp_model.LiteralT]]],
    gap: Gap,
) -> None:
    """Keep every two take-offs of one runway apart.

    Parameters
    ----------
    cp : CpModel
        Gets one row per clique.
    take_offs : mapping of str to mapping of int to sequence of literals
        Literals by class and take-off minute, at most one per aircraft and minute.
    gap : callable
        Minutes from a take-off of the first class to the next one of the second class,
        whichever goes between. Equal minutes are never allowed, so 0 counts as 1. A
        class of one aircraft may have any spacing to itself; a large one makes the
        rows stronger.
    """
    minutes = {name: list(by_minute) for name, by_minute in take_offs.items()}
    for row in separation_rows(minutes, gap):
        literals = [x for name, minute in row for x in take_offs[name][minute]]
        if len(literals) > 1:
            cp.add_at_most_one(literals)


def separation_rows(
    minutes: Mapping[str, Collection[int]], gap: Gap
) -> list[tuple[Cell, ...]]:
    """List the cliques of the given take-off minutes.

    Parameters
    ----------
    minutes : mapping of str to collection of int
        Take-off minutes that each class may use.
    gap : callable
        As in `add_separation`.

    Returns
    -------
    rows : list of tuple of (str, int)
        Class and minute of the take-offs of each row, in order of minutes; no row is
        inside another one.
    """
    used = {name: frozenset(own) for name, own in minutes.items() if own}
    rows = [
        tuple(
            (name, first + offset)
            for name, stretch in shape.items()
            for offset in stretch
            if first + offset in used[name]
        )
        for shape in separation_shapes(tuple(used), gap)
        for first in _first_minutes(shape, used)
    ]
    return _without_contained({frozenset(row): row for row in rows if row})


def separation_shapes(names: Sequence[str], gap: Gap) -> list[Shape]:
    """List shapes of cliques that cover every pair of classes at every distance.

    Parameters
    ----------
    names : sequence of str
        Classes.
    gap : callable
        As in `add_separation`.

    Returns
    -------
    shapes : list of dict of str to range
        Minutes of each class relative to the minute of a row.
    """
    gaps = {(one, two): max(gap(one, two), 1) for one in names for two in names}
    if not gaps:
        return []
    least = range(min(gaps.values()))
    shapes = [_widened(dict.fromkeys(names, least), names, gaps)]
    pairs = sorted(gaps, key=lambda pair: -gaps[pair])
    open_minutes = {pair: set(range(gaps[pair])) for pair in pairs}
    _cover(open_minutes, shapes[0])
    for pair in pairs:
        while open_minutes[pair]:
            seed = _seed(*pair, max(open_minutes[pair]), gaps)
            shapes.append(_widened(seed, names, gaps))
            _cover(open_minutes, shapes[-1])
    return shapes


_Gaps: TypeAlias = dict[tuple[str, str], int]


def _seed(leader: str, follower: str, distance: int, gaps: _Gaps) -> Shape:
    """Clique of two classes, the last follower so far behind the first leader."""
    ahead, behind = gaps[leader, leader], gaps[follower, follower]
    if leader == follower:
        return {leader: range(ahead)}
    reach = gaps[leader, follower] + gaps[follower, leader]
    if ahead + behind > reach:
        ahead = min(ahead, max(reach // 2, reach - behind))
        behind = reach - ahead
    last = max(distance, ahead + behind - 1 - gaps[follower, leader])
    return {leader: range(ahead), follower: range(last - behind + 1, last + 1)}


def _widened(seed: Shape, names: Sequence[str], gaps: _Gaps) -> Shape:
    """Add minutes, first to the classes of the seed, until none can be added."""
    shape = dict(seed)
    for name in (*seed, *(other for other in names if other not in seed)):
        others = [(other, at) for other, at in shape.items() if other != name]
        most = gaps[name, name]
        own = shape.get(name)
        first = max(
            (at[-1] - gaps[name, other] + 1 for other, at in others),
            default=0 if own is None else own[-1] - most + 1,
        )
        last = min(
            (at[0] + gaps[other, name] - 1 for other, at in others),
            default=first + most - 1,
        )
        if own is not None:
            last = min(last, own[0] + most - 1)
        if first <= last:
            shape[name] = range(max(first, last - most + 1), last + 1)
    return shape


def _cover(open_minutes: dict[tuple[str, str], set[int]], shape: Shape) -> None:
    """Take out the distances, leader first, at which a shape holds each pair."""
    for leader, ahead in shape.items():
        for follower, behind in shape.items():
            nearest = behind[0] - ahead[-1]
            held = range(nearest, behind[-1] - ahead[0] + 1)
            open_minutes[leader, follower].difference_update(held)


def _first_minutes(shape: Shape, used: Mapping[str, Collection[int]]) -> range:
    """Minutes at which a shape may hold something."""
    first = min(min(used[name]) - at[-1] for name, at in shape.items())
    last = max(max(used[name]) - at[0] for name, at in shape.items())
    return range(first, last + 1)


def _without_contained(
    rows: Mapping[frozenset[Cell], tuple[Cell, ...]],
) -> list[tuple[Cell, ...]]:
    """Leave out rows inside another one."""
    rows_with: dict[Cell, list[frozenset[Cell]]] = defaultdict(list)
    for cells in rows:
        for cell in cells:
            rows_with[cell].append(cells)
    return [
        row
        for cells, row in rows.items()
        if not any(
            cells < other for other in min((rows_with[cell] for cell in row), key=len)
        )
    ]

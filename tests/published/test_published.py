"""Our figures stay within the tolerance of the published ones, and the page is true."""

import pytest

from thermal.catalogue import known_brakes

from .orders import EVENTS, convergence
from .registry import COMPUTATIONS, PublishedValue, load_topics
from .table import PAGE, page_text

TOPICS = load_topics()
VALUES = [value for topic in TOPICS for value in topic.values]


def ten_kelvin(**tolerances: float) -> PublishedValue:
    """A figure of 10 K with the given tolerances."""
    return PublishedValue(
        id="x", quantity="q", published=10.0, unit="K", source="s", **tolerances
    )


@pytest.mark.parametrize("value", VALUES, ids=lambda value: value.id)
def test_value_agrees_with_published_one(value: PublishedValue) -> None:
    """Each published figure is met within its stated tolerance."""
    assert COMPUTATIONS[value.id]() == pytest.approx(
        value.published, abs=value.allowed, rel=0.0
    )


def test_every_value_has_one_function_and_every_function_a_value() -> None:
    """No figure is listed twice, left uncomputed, or computed for nothing."""
    ids = [value.id for value in VALUES]
    assert sorted(ids) == sorted(COMPUTATIONS)


def test_page_is_current() -> None:
    """The page says what the code computes now: run ``python -m tests.published``."""
    assert PAGE.read_text(encoding="utf-8") == page_text(TOPICS)


@pytest.mark.parametrize("brake", known_brakes())
def test_step_is_of_second_order_where_nothing_jumps(brake: str) -> None:
    """Every halving from 120 to 7.5 s, on every brake of the catalogue."""
    assert convergence(brake, EVENTS[0]).orders.min() >= 1.9


@pytest.mark.parametrize(
    "tolerances", [{}, {"tolerance": 1.0, "tolerance_fraction": 0.1}]
)
def test_value_needs_exactly_one_tolerance(tolerances: dict[str, float]) -> None:
    """A figure without a tolerance, or with two, is refused."""
    with pytest.raises(ValueError, match="one kind of tolerance"):
        ten_kelvin(**tolerances)


def test_verdict_follows_the_tolerance_and_refuses_nan() -> None:
    """Just inside agrees, just outside differs, and NaN never agrees."""
    value = ten_kelvin(tolerance_fraction=0.1)
    assert value.agrees(10.99)
    assert not value.agrees(11.01)
    assert not value.agrees(float("nan"))

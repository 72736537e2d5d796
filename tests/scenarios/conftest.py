"""The shipped scenarios, each planned once for all tests of a session."""

import pytest

from scheduler.solve import SolveConfig
from tests.scenarios.planned_day import SCENARIOS, Planned, planned


@pytest.fixture(scope="session")
def tarn_field() -> Planned:
    """The large demonstration day."""
    return planned(SCENARIOS / "tarn-field", SolveConfig())


@pytest.fixture(scope="session")
def small_field() -> Planned:
    """The day of a handful of flights."""
    return planned(SCENARIOS / "small-field", SolveConfig())


@pytest.fixture(params=["tarn_field", "small_field"])
def shipped(request: pytest.FixtureRequest) -> Planned:
    """Every shipped scenario in turn."""
    found = request.getfixturevalue(request.param)
    assert isinstance(found, Planned)
    return found

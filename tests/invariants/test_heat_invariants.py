"""The invariants of heat on every brake of the catalogue, and on odd ones."""

from dataclasses import replace

import pytest

from tests.brake_days import network_of
from tests.invariants.heat_invariants import HeatInvariants
from thermal.catalogue import known_brakes, load_brake
from thermal.network import Network, build_network


class TestEveryBrake(HeatInvariants):
    """All brakes of the catalogue."""

    @pytest.fixture(params=known_brakes())
    def network(self, request: pytest.FixtureRequest) -> Network:
        """Each brake in turn."""
        return network_of(request.param)


class TestOddBrakes(HeatInvariants):
    """Brakes at the edge of what anybody would build, synthetic."""

    @pytest.fixture(
        params=[
            {"contact_w_per_m2_k": 2e4, "joint_w_per_m2_k": 60.0},
            {"contact_w_per_m2_k": 200.0, "clearance_m": 4e-3},
            {"rotor_count": 2, "open_fraction": 0.9},
        ],
        ids=["tight", "loose", "few discs"],
    )
    def network(self, request: pytest.FixtureRequest) -> Network:
        """A narrow carbon brake with one thing or two changed."""
        return build_network(replace(load_brake("carbon-narrow"), **request.param))

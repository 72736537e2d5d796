"""Heat of aircraft brakes: what a landing puts in, how it cools, what limits hold.

Names are loaded when first used, so that importing the package costs nothing.
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from thermal.aircraft import Aircraft
    from thermal.brake import Brake
    from thermal.catalogue import (
        known_aircraft,
        known_brakes,
        load_aircraft,
        load_brake,
    )
    from thermal.cooling import CoolingCurve, cool
    from thermal.export import export_network
    from thermal.friction import RunwayCondition
    from thermal.network import build_network
    from thermal.rollout import LandingRoll, roll_out
    from thermal.taxi import TaxiLeg, taxi_heat

__all__ = [
    "Aircraft",
    "Brake",
    "CoolingCurve",
    "LandingRoll",
    "RunwayCondition",
    "TaxiLeg",
    "build_network",
    "cool",
    "export_network",
    "known_aircraft",
    "known_brakes",
    "load_aircraft",
    "load_brake",
    "roll_out",
    "taxi_heat",
]

_HOMES = {
    "Aircraft": "aircraft",
    "Brake": "brake",
    "CoolingCurve": "cooling",
    "LandingRoll": "rollout",
    "RunwayCondition": "friction",
    "TaxiLeg": "taxi",
    "build_network": "network",
    "cool": "cooling",
    "export_network": "export",
    "known_aircraft": "catalogue",
    "known_brakes": "catalogue",
    "load_aircraft": "catalogue",
    "load_brake": "catalogue",
    "roll_out": "rollout",
    "taxi_heat": "taxi",
}


def __getattr__(name: str) -> object:
    """Load a public name from its module."""
    home = _HOMES.get(name)
    if home is None:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    value = getattr(import_module(f"{__name__}.{home}"), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    """List the public names."""
    return sorted(__all__)

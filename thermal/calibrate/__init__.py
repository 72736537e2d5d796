"""Recorded cool-downs with known landings → a brake's uncertain parameters.

Enters: `CoolDown` records and the name of a brake whose catalogue file gives the prior
ranges. Leaves: `Fit`: values, spread, what the readings cannot tell, and whether a new
catalogue file may be written from them.
"""

from thermal.calibrate.catalogue_text import catalogue_text
from thermal.calibrate.cool_down import CoolDown
from thermal.calibrate.fitting import NOISE_K, calibrate
from thermal.calibrate.forward import indicated_k
from thermal.calibrate.landing_heat import LandingHeat, landing_heat
from thermal.calibrate.parameters import Parameter, brake_with, parameters_of
from thermal.calibrate.result import Direction, Fit, FittedParameter

__all__ = [
    "NOISE_K",
    "CoolDown",
    "Direction",
    "Fit",
    "FittedParameter",
    "LandingHeat",
    "Parameter",
    "brake_with",
    "calibrate",
    "catalogue_text",
    "indicated_k",
    "landing_heat",
    "parameters_of",
]

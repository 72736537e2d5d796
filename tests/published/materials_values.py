"""What ``thermal.materials`` gives for the published figures of solids."""

from thermal.materials import material, property_table
from thermal.units import celsius, kelvin

from .registry import published, register_each

CARBON = property_table("carbon")
STEEL = property_table("steel")


def carbon_specific_heat(temperature_k: float) -> float:
    return float(CARBON.specific_heat(temperature_k))


register_each("carbon-specific-heat-{}", carbon_specific_heat, 300, 400, 600)
register_each("carbon-specific-heat-{}", carbon_specific_heat, 1000, 1500, 2000)
register_each("carbon-other-fit-{}", carbon_specific_heat, 500, 773, 1000, 1500)
register_each(
    "carbon-enthalpy-{}",
    lambda temperature_c: float(CARBON.enthalpy(kelvin(temperature_c))) / 1e3,
    500,
    1000,
    1500,
)
register_each(
    "steel-specific-heat-{}",
    lambda temperature_c: float(material("steel").specific_heat(kelvin(temperature_c))),
    *(20, 200, 400, 500, 600, 700, 735, 800, 900),
)
register_each(
    "steel-conductivity-{}",
    lambda temperature_c: float(STEEL.conductivity(kelvin(temperature_c))),
    *(20, 300, 500, 900),
)
# At the step itself the table runs from one side to the other.
register_each(
    "steel-conductivity-{}",
    lambda temperature_c: float(material("steel").conductivity(kelvin(temperature_c))),
    800,
)
register_each(
    "steel-enthalpy-{}",
    lambda temperature_c: float(STEEL.enthalpy(kelvin(temperature_c))) / 1e3,
    *(300, 500, 700, 900),
)


@published("carbon-landing")
def carbon_landing() -> float:
    return float(celsius(CARBON.temperature(38.3e6 / 45.0)))


@published("carbon-rejected-take-off")
def carbon_rejected_take_off() -> float:
    start = float(CARBON.enthalpy(373.15))
    return float(celsius(CARBON.temperature(start + 90e6 / 45.0)))


@published("steel-landing")
def steel_landing() -> float:
    return float(celsius(STEEL.temperature(38.3e6 / 100.0)))


@published("aluminium-specific-heat-20")
def aluminium_specific_heat() -> float:
    return float(property_table("aluminium").specific_heat(293.15))


@published("aluminium-conductivity-20")
def aluminium_conductivity() -> float:
    return float(property_table("aluminium").conductivity(293.15))

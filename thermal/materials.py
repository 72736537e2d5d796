"""Materials of a brake and its wheel, and tables of their heat properties.

Enters: a name; temperatures in kelvin or enthalpies in J/kg. Leaves: J/(kg K),
W/(m K), J/kg and K.

- A ``PropertyTable`` samples the fits of ``thermal.solids`` on a uniform grid. Its
  specific heat is linear between grid points, and that piecewise-linear curve *is*
  the material for whoever integrates heat: its enthalpy is exact for it, so the
  table can be handed on.
- Enthalpy counts from 20 °C.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Final, Self

import numpy as np

from thermal.arrays import FloatArray, FloatLike, check_range, frozen_array
from thermal.errors import ParameterError
from thermal.solids import (
    aluminium_conductivity,
    aluminium_specific_heat,
    carbon_conductivity,
    carbon_specific_heat,
    rubber_conductivity,
    rubber_specific_heat,
    stainless_conductivity,
    stainless_specific_heat,
    steel_conductivity,
    steel_specific_heat,
    titanium_conductivity,
    titanium_specific_heat,
)

REFERENCE_TEMPERATURE_K: Final = 293.15
TABLE_LOW_K: Final = 200.0
TABLE_HIGH_K: Final = 2600.0
TABLE_STEP_K: Final = 1.0
INVERSE_NODE_COUNT: Final = 8192

PropertyFunction = Callable[[FloatLike], FloatArray]


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """A solid: density, total emissivity of its usual surface, and its two fits."""

    name: str
    density_kg_per_m3: float
    emissivity: float
    specific_heat: PropertyFunction
    conductivity: PropertyFunction
    source: str

    def __post_init__(self) -> None:
        """Refuse values that no solid has."""
        check_range("density_kg_per_m3", self.density_kg_per_m3, 1e2, 2.5e4, "kg/m3")
        check_range("emissivity", self.emissivity, 0.01, 1.0, "")
        if not self.source:
            raise ParameterError.of(f"{self.name}: source", "a source", "nothing")


MATERIALS: Final = (
    Material(
        name="carbon",
        density_kg_per_m3=1750.0,
        emissivity=0.85,
        specific_heat=carbon_specific_heat,
        conductivity=carbon_conductivity,
        source="cp Butland and Maddison 1973; density and k engineering estimates; "
        "emissivity 0.80 to 0.90 from vendor tables",
    ),
    Material(
        name="steel",
        density_kg_per_m3=7850.0,
        emissivity=0.80,
        specific_heat=steel_specific_heat,
        conductivity=steel_conductivity,
        source="EN 1993-1-2:2005; emissivity oxidised, 0.74 to 0.82 in vendor tables",
    ),
    Material(
        name="aluminium",
        density_kg_per_m3=2800.0,
        emissivity=0.75,
        specific_heat=aluminium_specific_heat,
        conductivity=aluminium_conductivity,
        source="2014 alloy data sheet; slopes EN 1999-1-2, from memory; emissivity "
        "of an anodised or painted wheel, engineering estimate",
    ),
    Material(
        name="stainless",
        density_kg_per_m3=7900.0,
        emissivity=0.40,
        specific_heat=stainless_specific_heat,
        conductivity=stainless_conductivity,
        source="EN 1993-1-2:2005 annex C and emissivity, from memory",
    ),
    Material(
        name="titanium",
        density_kg_per_m3=4420.0,
        emissivity=0.50,
        specific_heat=titanium_specific_heat,
        conductivity=titanium_conductivity,
        source="Mills 2002, from memory; emissivity oxidised, engineering estimate",
    ),
    Material(
        name="rubber",
        density_kg_per_m3=1150.0,
        emissivity=0.94,
        specific_heat=rubber_specific_heat,
        conductivity=rubber_conductivity,
        source="engineering estimate; emissivity from memory",
    ),
)


def material(name: str) -> Material:
    """Look up a material.

    Raises
    ------
    ParameterError
        If no material has this name; the message lists the known ones.
    """
    for known in MATERIALS:
        if known.name == name:
            return known
    names = ", ".join(known.name for known in MATERIALS)
    raise ParameterError.of("material", f"one of {names}", name)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PropertyTable:
    """One material on a uniform temperature grid, for fast use on any shape.

    Arrays are read-only, shape (grid,); ``inverse_k`` holds temperatures at
    ``INVERSE_NODE_COUNT`` equal steps of enthalpy.
    """

    material: Material
    temperature_k: FloatArray
    specific_heat_j_per_kg_k: FloatArray
    conductivity_w_per_m_k: FloatArray
    enthalpy_j_per_kg: FloatArray
    inverse_k: FloatArray

    @classmethod
    def of(cls, material: Material) -> Self:
        """Sample a material and integrate its specific heat."""
        count = round((TABLE_HIGH_K - TABLE_LOW_K) / TABLE_STEP_K) + 1
        grid = np.linspace(TABLE_LOW_K, TABLE_HIGH_K, count)
        heat = material.specific_heat(grid)
        cells = 0.5 * TABLE_STEP_K * (heat[1:] + heat[:-1])
        enthalpy = np.concatenate([[0.0], np.cumsum(cells)])
        enthalpy -= _quadratic(grid, heat, enthalpy, REFERENCE_TEMPERATURE_K)
        nodes = np.linspace(enthalpy[0], enthalpy[-1], INVERSE_NODE_COUNT)
        return cls(
            material=material,
            temperature_k=frozen_array("temperature_k", grid, (count,)),
            specific_heat_j_per_kg_k=frozen_array("specific_heat", heat, (count,)),
            conductivity_w_per_m_k=frozen_array(
                "conductivity", material.conductivity(grid), (count,)
            ),
            enthalpy_j_per_kg=frozen_array("enthalpy", enthalpy, (count,)),
            inverse_k=frozen_array(
                "inverse_k",
                _solve_cells(grid, heat, enthalpy, nodes),
                (INVERSE_NODE_COUNT,),
            ),
        )

    def specific_heat(self, temperature_k: FloatLike) -> FloatArray:
        """Specific heat in J/(kg K), shape (...); ParameterError outside the table."""
        return _between(self.specific_heat_j_per_kg_k, _grid_position(temperature_k))

    def conductivity(self, temperature_k: FloatLike) -> FloatArray:
        """Conductivity in W/(m K), shape (...); ParameterError outside the table."""
        return _between(self.conductivity_w_per_m_k, _grid_position(temperature_k))

    def enthalpy(self, temperature_k: FloatLike) -> FloatArray:
        """Enthalpy from 20 °C in J/kg, shape (...); ParameterError outside."""
        return self._enthalpy_and_heat(_grid_position(temperature_k))[0]

    def temperature(self, enthalpy_j_per_kg: FloatLike) -> FloatArray:
        """Temperature in K of an enthalpy, shape (...); the inverse of ``enthalpy``.

        Interpolation in equal steps of enthalpy, then one Newton step: within
        1e-6 K, also in the peak of steel.

        Raises
        ------
        ParameterError
            If an enthalpy belongs to a temperature outside the table.
        """
        known = np.asarray(enthalpy_j_per_kg, dtype=np.float64)
        low, high = float(self.enthalpy_j_per_kg[0]), float(self.enthalpy_j_per_kg[-1])
        step = (high - low) / (INVERSE_NODE_COUNT - 1)
        position = _position("enthalpy_j_per_kg", known, low, high, step)
        guess = _between(self.inverse_k, position)
        enthalpy, heat = self._enthalpy_and_heat(
            (guess - TABLE_LOW_K) * (1.0 / TABLE_STEP_K)
        )
        return np.asarray(guess + (known - enthalpy) / heat)

    def _enthalpy_and_heat(self, position: FloatArray) -> tuple[FloatArray, FloatArray]:
        cell = np.minimum(position.astype(np.intp), self.temperature_k.size - 2)
        part = position - cell
        low = self.specific_heat_j_per_kg_k.take(cell)
        rise = part * (self.specific_heat_j_per_kg_k.take(cell + 1) - low)
        cell_enthalpy = TABLE_STEP_K * part * (low + 0.5 * rise)
        return self.enthalpy_j_per_kg.take(cell) + cell_enthalpy, low + rise


@cache
def property_table(name: str) -> PropertyTable:
    """Table of a named material, built once; ParameterError for an unknown name."""
    return PropertyTable.of(material(name))


def _grid_position(temperature_k: FloatLike) -> FloatArray:
    return _position(
        "temperature_k", temperature_k, TABLE_LOW_K, TABLE_HIGH_K, TABLE_STEP_K
    )


def _position(
    field: str, values: FloatLike, low: float, high: float, step: float
) -> FloatArray:
    """Distance from ``low`` in steps; refuses what lies outside (NaN included).

    A rounding error beyond an end is let through, so that both directions agree there.
    """
    array = np.asarray(values, dtype=np.float64)
    slack = 1e-9 * (high - low)
    bottom, top = array.min(initial=low), array.max(initial=high)
    if not (bottom >= low - slack and top <= high + slack):
        raise ParameterError.of(
            field, f"{low:.6g} to {high:.6g}", f"{bottom:.6g} to {top:.6g}"
        )
    return np.asarray((array - low) * (1.0 / step))


def _between(values: FloatArray, position: FloatArray) -> FloatArray:
    """Interpolate linearly at fractional positions of a uniform grid."""
    cell = np.minimum(position.astype(np.intp), values.size - 2)
    low = values.take(cell)
    return np.asarray(low + (position - cell) * (values.take(cell + 1) - low))


def _quadratic(
    grid: FloatArray, heat: FloatArray, enthalpy: FloatArray, temperature_k: float
) -> float:
    """Enthalpy inside a cell, for the zero of the scale."""
    cell = int(np.searchsorted(grid, temperature_k, side="right")) - 1
    part = temperature_k - grid[cell]
    slope = (heat[cell + 1] - heat[cell]) / TABLE_STEP_K
    return float(enthalpy[cell] + part * (heat[cell] + 0.5 * part * slope))


def _solve_cells(
    grid: FloatArray, heat: FloatArray, enthalpy: FloatArray, wanted: FloatArray
) -> FloatArray:
    """Exact temperatures of given enthalpies, by the quadratic of each cell."""
    cell = np.searchsorted(enthalpy, wanted, side="right") - 1
    cell = np.clip(cell, 0, grid.size - 2)
    low, slope = heat[cell], (heat[cell + 1] - heat[cell]) / TABLE_STEP_K
    excess = np.maximum(wanted - enthalpy[cell], 0.0)
    root = np.sqrt(np.maximum(low * low + 2.0 * slope * excess, 0.0))
    return np.asarray(np.minimum(grid[cell] + 2.0 * excess / (low + root), grid[-1]))

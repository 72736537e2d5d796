"""Temperature from enthalpy for all nodes at once, by direct index.

Enters: the material of each node, enthalpies. Leaves: temperatures and their slope.
"""

import numpy as np

from thermal.arrays import FloatArray
from thermal.errors import IntegrationError
from thermal.materials import PropertyTable, property_table


class EnthalpyTables:
    """Inverse tables of all materials in one flat array, by equal enthalpy steps."""

    def __init__(self, materials: tuple[str, ...]) -> None:
        names = sorted(set(materials))
        tables = [property_table(name) for name in names]
        flat = np.concatenate([table.inverse_k for table in tables])
        self._flat = flat
        place = [names.index(name) for name in materials]
        size = tables[0].inverse_k.size
        self._top = size - 1
        self._offset = (np.array(place) * size)[:, None]
        self._zero = np.array([_low(tables[p]) for p in place])[:, None]
        step = np.array([_step(tables[p]) for p in place])[:, None]
        self._per_step = 1.0 / step

    def look_up(self, enthalpy: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Temperature and its slope over enthalpy, shape (node, batch).

        Raises
        ------
        IntegrationError
            If a node is hotter or colder than its material's table.
        """
        place = (enthalpy - self._zero) * self._per_step
        if not (place.min(initial=0.0) >= 0 and place.max(initial=0.0) < self._top):
            raise IntegrationError("a node left the range of the material tables")
        cell = place.astype(np.intp)
        place -= cell
        cell += self._offset
        low = self._flat.take(cell)
        cell += 1
        rise = self._flat.take(cell)
        rise -= low
        place *= rise
        place += low
        rise *= self._per_step
        return place, rise


def _low(table: PropertyTable) -> float:
    return float(table.enthalpy_j_per_kg[0])


def _step(table: PropertyTable) -> float:
    span = float(table.enthalpy_j_per_kg[-1] - table.enthalpy_j_per_kg[0])
    return span / (table.inverse_k.size - 1)

"""Write the frozen networks: ``python -m tests.thermal.make_references``.

A reference is a network as exported once, with thinned tables and equal spans joined to
keep the file small, and its curves, integrated to ten digits. It changes on purpose
only: when a brake of the catalogue or the physics of its network is changed.
"""

import json
from pathlib import Path
from typing import Any

import numpy as np

from tests.brake_days import network_of
from tests.thermal.full_days import FullDay, day_of, stop_rows
from tests.thermal.reference_integrator import integrate
from thermal.catalogue import known_brakes

FOLDER = Path(__file__).parent / "reference"
LARGEST_BYTES = 150_000
WORN_FRACTION, HEAT_FRACTION = 0.92, 0.5
INSTANTS = 80
# Every so many entries of a table, up to a hottest temperature that no node reaches.
THINNED = {
    "temperature_c": ("specific_heat_j_per_kg_k", 5, 900.0),
    "mean_temperature_c": ("conduction_w_per_k", 10, 900.0),
    "surface_c": ("conductance_w_per_k", 10, 900.0),
}


def reference_day(brake: str) -> FullDay:
    """A hot stop of a part-worn brake, clamped for five minutes, fan, departure."""
    network = network_of(brake)
    limit_j = network.brake.stack_mass_kg * network.brake.limits.stack_j_per_kg
    rows = stop_rows(
        network,
        HEAT_FRACTION * WORN_FRACTION * limit_j,
        stack_fraction=WORN_FRACTION,
        taxi_in_j=1e6,
        taxi_out_j=1e6,
    )
    return day_of(network, rows, clamped_s=300.0)


def thinned(table: dict[str, Any]) -> dict[str, Any]:
    """The same table with fewer grid points, five digits each."""
    table = dict(table)
    for grid, (values, every, hottest) in THINNED.items():
        if grid in table:
            count = int(np.searchsorted(table[grid], hottest))
            kept = np.array(table[values])[:count:every]
            table[values] = [float(f"{value:.5g}") for value in kept]
            table[grid] = np.round(table[grid][:count:every], 6).tolist()
    return table


def joined(spans: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Spans of one link or surface that follow each other unchanged become one."""
    last: dict[str, dict[str, Any]] = {}
    kept = []
    for span in map(thinned, spans):
        times = {key: span.pop(key) for key in ("start_s", "end_s")}
        place = str([span.get(key) for key in ("node", "from", "to")])
        before = last.get(place)
        if before and all(before[key] == span[key] for key in span):
            before["end_s"] = times["end_s"]
            continue
        last[place] = {**span, **times}
        kept.append(last[place])
    return kept


def frozen(brake: str) -> dict[str, Any]:
    """Network and curves of one brake."""
    day = reference_day(brake)
    network = day.exported()
    for solid, table in network["materials"].items():
        network["materials"][solid] = thinned(table)
    for kind in ("links", "boundaries"):
        network[kind] = joined(network[kind])
    at_s = np.linspace(day.events_s[0], day.events_s[-1], INSTANTS)
    curves = integrate(network, at_s, rtol=1e-10)
    return {
        "network": network,
        "time_s": at_s.tolist(),
        "temperature_c": curves.round(3).tolist(),
    }


def main() -> None:
    """Write one file per brake of the catalogue."""
    FOLDER.mkdir(exist_ok=True)
    for brake in known_brakes():
        text = json.dumps(frozen(brake), separators=(",", ":"))
        (FOLDER / f"{brake}.json").write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()

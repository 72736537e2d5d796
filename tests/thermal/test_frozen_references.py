"""Today's curves against frozen networks and curves of ten digits, one per brake."""

import json

import numpy as np
import pytest

from tests.brake_days import cool_rows
from tests.thermal.make_references import FOLDER, LARGEST_BYTES, reference_day
from tests.thermal.reference_integrator import integrate
from thermal.catalogue import known_brakes
from thermal.units import celsius

BRAKES = known_brakes()


@pytest.mark.parametrize("brake", BRAKES)
def test_curves_stay_within_two_kelvin_of_the_frozen_ones(brake: str) -> None:
    """Catalogue, network and integrator together give what they gave."""
    stored = json.loads((FOLDER / f"{brake}.json").read_text("utf-8"))
    day, at_s = reference_day(brake), np.array(stored["time_s"])
    assert [node["name"] for node in stored["network"]["nodes"]] == list(
        day.network.nodes
    )
    curve = cool_rows(day.network, day.rows, day.phases, at_s)
    apart_k = np.abs(celsius(curve.temperature_k[0]) - stored["temperature_c"])
    assert apart_k.max() < 2.0


@pytest.mark.parametrize("brake", [BRAKES[1], BRAKES[-1]])
def test_frozen_curves_belong_to_the_frozen_network(brake: str) -> None:
    """The stored network, integrated again less strictly, gives the stored curves."""
    stored = json.loads((FOLDER / f"{brake}.json").read_text("utf-8"))
    again = integrate(stored["network"], np.array(stored["time_s"]), rtol=1e-7)
    assert np.abs(again - stored["temperature_c"]).max() < 0.01


def test_every_brake_has_a_reference_of_modest_size() -> None:
    """One file per brake of the catalogue, none of them large."""
    found = {path.stem: path.stat().st_size for path in FOLDER.glob("*.json")}
    assert set(found) == set(BRAKES)
    assert max(found.values()) < LARGEST_BYTES

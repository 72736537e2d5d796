"""What ``cooldown --json`` prints, integrated again by LSODA on fifty random cases.

Half a kelvin on every node from a minute after any event, two kelvin inside that
minute, by a relative tolerance of 1e-8; most instants lie outside those minutes. Also
days with every phase there is.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest

from tests.brake_days import network_of
from tests.thermal.random_cooldowns import every_phase, printed, random_cooldown
from tests.thermal.reference_integrator import integrate
from thermal.arrays import FloatArray
from thermal.catalogue import known_brakes, load_brake
from thermal.timeline import PhaseKind

SETTLED_K, ALWAYS_K, SETTLED_S = 0.5, 2.0, 60.0
CASES, DAYS = 50, 20
BRAKES = known_brakes()


@dataclass(frozen=True, kw_only=True, eq=False)
class Apart:
    """How far two integrations lie apart, per instant and node."""

    kelvin: FloatArray
    settled: np.ndarray
    hottest_c: float

    def check(self) -> None:
        """Hold both bars, and that most instants fall under the sharper one."""
        assert self.settled.mean() >= 0.5
        assert self.kelvin[self.settled].max() <= SETTLED_K
        assert self.kelvin.max() <= ALWAYS_K


def apart(record: dict[str, Any]) -> Apart:
    """Printed curves against another integration of the printed network."""
    at_s = np.array(record["curves"]["time_s"])
    columns = record["curves"]["temperature_c"]
    ours = np.array([columns[node["name"]] for node in record["nodes"]]).T
    spans = [*record["links"], *record["boundaries"]]
    events = np.array(
        sorted({span[key] for span in spans for key in ("start_s", "end_s")})
    )
    # Minutes and seconds add up to the last instant but for their last digit.
    assert at_s[-1] == pytest.approx(events[-1], abs=1e-9)
    at_s = np.minimum(at_s, events[-1])
    since = at_s[:, None] - events
    since = np.where(since >= -1e-6, since, np.inf).min(axis=1)
    return Apart(
        kelvin=np.abs(ours - integrate(record, at_s, rtol=1e-8)),
        settled=since >= SETTLED_S - 1e-6,
        hottest_c=float(ours.max()),
    )


@pytest.mark.parametrize("brake", BRAKES)
def test_one_printed_cooldown_of_each_brake(brake: str) -> None:
    """A case of each brake on every run: steel beyond 800 °C, carbon as it lands."""
    found = apart(printed(random_cooldown(brake, 0)))
    found.check()
    if load_brake(brake).stack_material == "steel":
        assert found.hottest_c > 800.0


@pytest.mark.slow
@pytest.mark.parametrize("number", range(CASES))
@pytest.mark.parametrize("brake", BRAKES)
def test_fifty_printed_cooldowns_of_each_brake(brake: str, number: int) -> None:
    """Landings and accelerate-stops, new to worn, clamped and released."""
    apart(printed(random_cooldown(brake, number))).check()


@pytest.mark.slow
@pytest.mark.parametrize("number", range(DAYS))
@pytest.mark.parametrize("brake", BRAKES)
def test_random_days_with_every_phase(brake: str, number: int) -> None:
    """From touchdown to the next touchdown, an onboard fan on the way."""
    day = every_phase(network_of(brake), number)
    assert {one.kind for one in day.phases} == set(PhaseKind)
    off_k = np.abs(day.ours_c() - integrate(day.exported(), day.at_s, rtol=1e-8))
    Apart(kelvin=off_k, settled=day.settled, hottest_c=0.0).check()


def test_the_fifty_cover_what_they_claim() -> None:
    """Both kinds of stop, both states of the brakes, all wear, fans, glowing steel."""
    for brake in BRAKES:
        data = load_brake(brake)
        asked = [random_cooldown(brake, number) for number in range(CASES)]
        wear = np.array([one.wear for one in asked])
        clamped = np.array([one.brakes_set for one in asked])
        share = np.array(
            [
                one.energy_j
                / (data.stack_mass_kg * float(data.stack_fraction(one.wear)))
                / data.limits.stack_j_per_kg
                for one in asked
            ]
        )
        stopped = share >= 0.6
        assert wear.min() < 0.1
        assert wear.max() > 0.9
        for some in (clamped, stopped, np.array([one.fan_from_s for one in asked])):
            count = sum(bool(one) for one in some)
            assert CASES // 5 <= count <= CASES - CASES // 5
        assert (clamped & stopped).any()
        assert (~clamped & stopped).any()

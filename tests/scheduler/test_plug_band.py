"""Each plug lets go at a temperature of its own, in a band about the nominal one."""

from dataclasses import replace

import numpy as np
import pytest
from heated_day import sample_day

from scheduler.cases import Case, build_case
from scheduler.options import PlugRisk
from scheduler.readiness.limits import rank_of
from scheduler.readiness.plugs import PlugState, plug_state
from scheduler.readiness.stand import stand_heat
from thermal.catalogue import load_ranges

COUNT = 512
DAY = sample_day()
BAND = next(item for item in load_ranges() if item.name == "release_normal")


def drawn() -> Case:
    return build_case(DAY, DAY.turnarounds[0], sample_count=COUNT, seed=3)


def states(case: Case, shifts_k: tuple[float, ...]) -> list[PlugState]:
    """Plugs of the same landings, all release temperatures lowered by so much."""
    heat = stand_heat((case,), 180)
    rank = rank_of(COUNT, 0.99, 0.95)
    found = []
    for shift_k in shifts_k:
        lower = replace(case, release_k=case.release_k - shift_k)
        one = replace(heat, cases=(lower,))
        found.append(plug_state(one, 0, DAY.station.approach, rank, COUNT))
    return found


def test_release_temperatures_fill_the_band_brake_by_brake() -> None:
    """Their mean is the nominal one, none lies beyond the band, no two go together."""
    case = drawn()
    plug = case.brake.plug
    off = (case.release_k - plug.release_k) / plug.release_sd_k
    assert off.min() >= BAND.low
    assert off.max() <= BAND.high
    assert abs(off.mean()) < 0.1
    assert np.ptp(off) > 0.9 * (BAND.high - BAND.low)
    together = np.corrcoef(off.T) - np.eye(off.shape[1])
    assert np.abs(together).max() < 0.2


def test_each_plug_is_held_against_its_own_temperature() -> None:
    """Sample by sample and brake by brake, in the middle of the band."""
    case = drawn()
    heat = stand_heat((case,), 180)
    peak_k = np.full(case.shape, -np.inf)
    peak_k[heat.rows.sample, heat.rows.brake] = heat.curve.plug_k.max(axis=1)
    middle_k = case.brake.plug.release_k - float(np.median(peak_k.max(axis=1)))
    hit = (peak_k > case.release_k - middle_k).any(axis=1)
    (found,) = states(case, (middle_k,))
    assert 0.1 < hit.mean() < 0.9
    assert found.release_probability == pytest.approx(hit.mean())


def test_release_gets_likelier_through_the_band_and_never_turns_back() -> None:
    """From none to all of the samples as the band passes the peaks; words follow."""
    case = drawn()
    peak_k = states(case, (0.0,))[0].peak_k
    plug = case.brake.plug
    room_k = plug.release_k - peak_k
    shifts_k = tuple(
        room_k + step_k for step_k in (-20.0, 0.0, 10.0, 20.0, 60.0, 150.0)
    )
    found = states(case, shifts_k)
    chance = [one.release_probability for one in found]
    assert chance == sorted(chance)
    assert chance[0] == 0.0
    assert chance[-1] == 1.0
    assert found[0].risk is PlugRisk.LOW
    assert found[-1].risk is PlugRisk.HIGH
    assert found[-1].approach_minute == np.inf


@pytest.mark.parametrize("high", [True, False])
def test_one_plug_of_the_aircraft_is_enough(high: bool) -> None:
    """A sample counts as released where any brake's own plug lets go."""
    case = drawn()
    release_k = np.full_like(case.release_k, 900.0)
    hottest = case.energy_j.argmax(axis=1)
    if not high:
        release_k[np.arange(COUNT), hottest] = 250.0
    one = replace(case, release_k=release_k)
    (found,) = states(one, (0.0,))
    assert found.release_probability == (0.0 if high else 1.0)
    assert np.ptp(found.by_brake) == 0.0 or not high

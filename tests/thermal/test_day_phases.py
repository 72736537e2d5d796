"""Parking brake, wind, the aircraft's own fan, the gear down, sector after sector."""

from dataclasses import replace

import numpy as np
import pytest

from tests.brake_days import AIR_K, cool_rows, network_of, rows_like
from thermal.arrays import FloatArray
from thermal.catalogue import known_brakes
from thermal.cooling import CoolingCurve, cool
from thermal.errors import ParameterError
from thermal.network import Network
from thermal.rows import Rows
from thermal.sectors import Sector, chained_k, next_start_k
from thermal.timeline import PhaseKind
from thermal.turnaround import arrival, arrival_s, fan_job, flight, parked, start_k

STAND_S = 3600.0
MINUTES = np.arange(0.0, 61.0)
# A tenth above the integrator's error for two runs whose steps differ.
SLACK_K = 0.5


def landed(network: Network, share: float = 0.35, **given: object) -> Rows:
    """One stop with a share of what the stack may hold."""
    brake = network.brake
    heat_j = share * brake.limits.stack_j_per_kg * brake.stack_mass_kg
    power_w = heat_j / 25.0 * np.linspace(2.0, 0.0, 33)[None]
    return rows_like(1, roll_power_w=power_w, **given)


def several(*rows: Rows) -> Rows:
    """Rows behind each other."""
    return Rows.joined(list(rows))


def at_stand(network: Network, rows: Rows) -> CoolingCurve:
    """An hour at the stand, every minute, all nodes."""
    phases = (*arrival(rows), *parked(rows, 0.0, STAND_S))
    return cool_rows(network, rows, phases, MINUTES * 60.0)


def spread_k(network: Network, curve: CoolingCurve) -> FloatArray:
    """Hottest against coolest disc, shape (row, time)."""
    discs = curve.temperature_k[:, :, : network.disc_count]
    return np.asarray(discs.max(axis=2) - discs.min(axis=2))


@pytest.mark.parametrize("brake", known_brakes())
def test_a_set_parking_brake_evens_the_discs_and_warms_the_housing(brake: str) -> None:
    """Clamped discs pass heat on to each other and, by the end disc, to the pistons."""
    network = network_of(brake)
    free = landed(network)
    clamped = replace(free, brakes_set=np.ones(1))
    curves = [at_stand(network, rows) for rows in (free, clamped)]
    spreads = [spread_k(network, curve)[0] for curve in curves]
    assert (spreads[1][10:] < 0.75 * spreads[0][10:]).all()
    housing = [curve.node_k("piston housing")[0] for curve in curves]
    assert housing[1].max() > housing[0].max() + 1.0


def test_a_set_parking_brake_holds_beside_a_fan_and_after_it() -> None:
    """Every phase at the stand has the one setting; no other phase has it."""
    rows = landed(network_of("steel-narrow"), brakes_set=1.0, taxi_out_s=600.0)
    stand = (
        *parked(rows, 0.0, STAND_S),
        *fan_job(rows, np.array([20.0]), np.array([40.0]), np.array([9.0]), 90.0),
    )
    assert all(phase.brakes_set for phase in stand)
    moving = (arrival(rows)[1], *flight(rows, *np.array([[60.0], [90.0], [4.0]])))
    assert not any(phase.brakes_set for phase in moving)


def test_two_settings_in_one_batch_are_refused() -> None:
    """A batch has one set of contacts."""
    rows = rows_like(2, brakes_set=np.array([0.0, 1.0]))
    with pytest.raises(ParameterError, match="parking brake: expected one setting"):
        parked(rows, 0.0, STAND_S)


@pytest.mark.parametrize("brake", known_brakes())
def test_a_brake_in_the_lee_cools_less_than_one_upwind(brake: str) -> None:
    """Half the wind leaves stack, plug and wheel warmer after an hour."""
    network = network_of(brake)
    one = landed(network)
    rows = several(one, replace(one, wind_m_per_s=np.array([4.0])))
    rows = several(rows, replace(one, wind_m_per_s=np.array([2.0])))
    end_k = at_stand(network, rows).temperature_k[:, -1]
    still, upwind, lee = end_k[:, network.index("wheel inboard")]
    assert still > lee + 1.0 > upwind + 2.0
    for node in ("plug", "rotor 1", "piston housing"):
        still, upwind, lee = end_k[:, network.index(node)]
        assert still > lee > upwind


@pytest.mark.parametrize("brake", known_brakes())
@pytest.mark.parametrize("reach", [0.7, 1.1])
def test_an_onboard_fan_makes_nothing_hotter(brake: str, reach: float) -> None:
    """At no minute and in no node; and it takes heat out of the stack."""
    network = network_of(brake)
    still = landed(network, fan_factor=reach)
    blown = replace(
        still, onboard_fan_m_per_s=np.array([6.0]), onboard_fan_s=np.array([1800.0])
    )
    curves = [at_stand(network, rows) for rows in (still, blown)]
    above_k = curves[1].temperature_k - curves[0].temperature_k
    assert above_k.max() < SLACK_K
    assert (curves[1].stack_k[0, 30:] < curves[0].stack_k[0, 30:] - 5.0).all()


def test_rows_beside_an_onboard_fan_get_no_air_of_it() -> None:
    """An inoperative fan's row cools as if the other were not in the batch."""
    network = network_of("carbon-narrow")
    still = landed(network)
    blown = replace(
        still, onboard_fan_m_per_s=np.array([6.0]), onboard_fan_s=np.array([1500.0])
    )
    alone = at_stand(network, still).temperature_k[0]
    beside = at_stand(network, several(blown, still)).temperature_k[1]
    assert beside == pytest.approx(alone, abs=SLACK_K)


def test_an_onboard_fan_runs_from_in_block_to_its_end() -> None:
    """Air goes through the stack until it stops, and a step starts small there."""
    rows = rows_like(
        2, onboard_fan_m_per_s=6.0, onboard_fan_s=np.array([1500.0, 4200.0])
    )
    phases = parked(rows, 0.0, 7200.0)
    ends_s = np.cumsum([phase.duration_s[0] for phase in phases])
    assert ends_s.tolist() == [1500.0, 3600.0, 4200.0, 7200.0]
    through = [
        [phase.air[index].through_m_per_s for index in phase.air_index]
        for phase in phases
    ]
    assert through == [[6.0, 6.0], [0.0, 6.0], [0.0, 6.0], [0.0, 0.0]]
    assert [phase.continues for phase in phases] == [False, False, True, False]
    assert phases[0].kind is PhaseKind.ONBOARD_FAN
    assert phases[-1].kind is PhaseKind.PARKED


@pytest.mark.parametrize("brake", known_brakes())
def test_the_approach_never_warms(brake: str) -> None:
    """With the gear extended neither the stack nor the hottest part gets warmer."""
    network = network_of(brake)
    rows = landed(network)
    hot_k = at_stand(network, rows).temperature_k[:, 20]
    leg = flight(rows, *np.array([[60.0], [30.0], [5.0]]))[-1]
    assert leg.kind is PhaseKind.APPROACH
    at_s = np.arange(0.0, 301.0, 10.0)
    curve = cool(network, rows.variation, (leg,), hot_k, at_s)
    assert (np.diff(curve.stack_k[0]) < 0.0).all()
    assert (np.diff(curve.temperature_k[0].max(axis=1)) < 0.0).all()


@pytest.mark.parametrize("brake", known_brakes())
def test_no_part_is_hotter_for_an_approach(brake: str) -> None:
    """Against the same minutes with the gear up, in every node."""
    network = network_of(brake)
    rows = several(landed(network), landed(network))
    flown = replace(sector(rows), approach_minutes=np.array([0.0, 5.0]))
    up, down = next_start_k(network, flown, start_k(network, rows))
    assert (down <= up + 0.1).all()
    assert down.max() < up.max() - 5.0


def test_a_longer_approach_leaves_less_heat() -> None:
    """Minutes with the gear down before touchdown count, of the same flight."""
    network = network_of("carbon-wide")
    one = landed(network)
    short, long = (sector(one, approach=minutes) for minutes in (3.0, 6.0))
    left = [next_start_k(network, leg, start_k(network, one)) for leg in (short, long)]
    assert (left[1].max(axis=1) < left[0].max(axis=1) - 3.0).all()


def test_flight_takes_the_minutes_it_is_given() -> None:
    """Run, gear left down, wheel well and approach add up; the approach goes last."""
    rows = rows_like(3, gear_down_s=np.array([0.0, 300.0, 300.0]), taxi_out_s=540.0)
    minutes = np.array([45.0, 45.0, 6.0])
    legs = flight(rows, np.full(3, 60.0), minutes, np.full(3, 4.0))
    kinds = [leg.kind for leg in legs]
    assert kinds[-3:] == [*[PhaseKind.WHEEL_WELL] * 2, PhaseKind.APPROACH]
    total_s = sum(leg.duration_s for leg in legs[1:])
    assert total_s == pytest.approx(minutes * 60.0)
    assert legs[-1].duration_s.tolist() == [240.0, 240.0, 240.0]
    assert legs[2].duration_s.tolist() == [0.0, 300.0, 85.0]
    assert legs[3].duration_s[2] == 0.0


def test_a_long_flight_leaves_nothing_but_the_air() -> None:
    """After a day the well is no warmer than the ground, nor are the brakes."""
    network = network_of("steel-narrow")
    rows = landed(network, well_warmer_k=25.0)
    flown = [sector(rows, flown=hours * 60.0) for hours in (1.5, 30.0)]
    short, long = (next_start_k(network, leg, start_k(network, rows)) for leg in flown)
    assert short.max() > AIR_K + 40.0
    assert long == pytest.approx(np.full_like(long, AIR_K), abs=1.0)


def test_a_flight_shorter_than_its_run_is_refused() -> None:
    """Touchdown cannot come before the aircraft is off the ground."""
    with pytest.raises(ParameterError, match="flight after the take-off run"):
        flight(rows_like(1), *np.array([[60.0], [0.3], [4.0]]))


def sector(rows: Rows, *, flown: float = 35.0, approach: float = 4.0) -> Sector:
    """Forty minutes at the stand and a short flight."""
    return Sector(
        rows=rows,
        off_block_minute=40.0,
        flight_minutes=np.full(rows.count, flown),
        approach_minutes=np.full(rows.count, approach),
    )


@pytest.mark.parametrize("brake", known_brakes())
def test_two_short_sectors_leave_the_second_landing_hotter(brake: str) -> None:
    """The second stop starts from what the first left, so its peak is higher."""
    network = network_of(brake)
    rows = landed(network)
    cold_k = start_k(network, rows)
    warm_k = next_start_k(network, sector(rows), cold_k)
    assert (warm_k >= AIR_K - 0.1).all()
    assert warm_k[0, : network.disc_count].min() > AIR_K + 20.0
    peaks = [
        cool(
            network,
            rows.variation,
            arrival(rows),
            begin_k,
            np.arange(0.0, 320.0, 5.0),
        ).stack_k.max()
        for begin_k in (cold_k, warm_k)
    ]
    assert peaks[1] > peaks[0] + 15.0


@pytest.mark.parametrize("brake", known_brakes())
def test_leaving_later_for_the_same_touchdown_is_no_hotter(brake: str) -> None:
    """Wheel and plug are cooler; fresher taxi heat adds a few kelvin to discs."""
    network = network_of(brake)
    rows = landed(network, taxi_out_j=3e6, well_warmer_k=15.0)
    ends = [
        next_start_k(
            network,
            replace(sector(rows, flown=85.0 - off_block), off_block_minute=off_block),
            start_k(network, rows),
        )
        for off_block in (25.0, 45.0)
    ]
    assert (ends[1] <= ends[0] + 3.5).all()
    for node in ("plug", "wheel inboard", "piston housing"):
        column = network.index(node)
        assert ends[1][0, column] < ends[0][0, column] - 2.0


def test_carried_heat_is_that_of_one_long_integration() -> None:
    """Two sectors one by one end where both end in one go."""
    network = network_of("steel-wide")
    sectors = [sector(landed(network)), sector(landed(network, 0.25), flown=50.0)]
    rows, begin_k = sectors[0].rows, start_k(network, sectors[0].rows)
    phases = tuple(phase for leg in sectors for phase in leg.phases)
    whole = cool(network, rows.variation, phases, begin_k, np.zeros(1))
    ended_k = chained_k(network, sectors, begin_k)
    assert ended_k == pytest.approx(whole.end_k, abs=0.01)
    total_s = sum(float(leg.duration_s[0]) for leg in sectors)
    assert sum(float(phase.duration_s[0]) for phase in phases) == pytest.approx(total_s)


@pytest.mark.parametrize("brake", ["carbon-narrow", "steel-narrow"])
def test_energy_of_every_phase_balances(brake: str) -> None:
    """Set brakes, own fan, ground fan, flight, approach: heat in, lost and stored."""
    network = network_of(brake)
    rows = landed(
        network,
        brakes_set=1.0,
        onboard_fan_m_per_s=5.0,
        onboard_fan_s=900.0,
        taxi_in_j=4e5,
        taxi_out_j=6e5,
        gear_down_s=120.0,
    )
    twenty, forty, air = (np.array([value]) for value in (20.0, 40.0, 9.0))
    phases = (
        *arrival(rows),
        *parked(rows, 0.0, 1200.0),
        *fan_job(rows, twenty, forty, air, 15.0),
        *flight(rows, forty + 15.0, forty, 0.1 * forty),
    )
    begin = -arrival_s(rows)
    start = start_k(network, rows)
    curve = cool(network, rows.variation, phases, start, np.zeros(1), start_s=begin)
    given = curve.input_j[0]
    assert curve.stored_j[0] + curve.lost_j[0] == pytest.approx(given, rel=1e-9)

"""An invented twin-engine aircraft, and a landing roll of it."""

from dataclasses import replace

from thermal.aircraft import Aircraft
from thermal.rollout import LandingRoll

# Invented values; 60 t, 125 m2, 0.12 and 0.015 are those of the analytic check.
PLAIN = Aircraft(
    name="synthetic",
    brake="synthetic",
    brake_count=4,
    maximum_take_off_kg=70e3,
    maximum_landing_kg=60e3,
    operating_empty_kg=36e3,
    wing_area_m2=125.0,
    drag_coefficient_ground=0.12,
    lift_coefficient_ground=0.0,
    rolling_fraction=0.015,
    approach_speed_m_per_s=70.0,
    v1_m_per_s=72.0,
    touchdown_fraction=0.97,
    engine_count=2,
    idle_n=0.0,
    reverse_n=0.0,
    tyre_pressure_pa=1.3e6,
    automatic_decelerations_m_per_s2=(1.2, 1.6, 2.4),
    default_deceleration_m_per_s2=1.6,
    dry_friction=0.4,
    rotating_mass_fraction=0.0,
)
FULL = replace(
    PLAIN,
    lift_coefficient_ground=0.1,
    idle_n=7e3,
    reverse_n=55e3,
    rotating_mass_fraction=0.01,
)
# Brakes from touchdown at 2 m/s2 to a full stop, calm, sea level.
STOP = LandingRoll(
    weight_kg=60e3,
    touchdown_speed_m_per_s=70.0,
    density_kg_per_m3=1.225,
    deceleration_m_per_s2=2.0,
    friction_fraction=0.4,
    brake_on_delay_s=0.0,
    exit_speed_m_per_s=0.0,
)

"""A small invented scenario whose files tests change one cell at a time."""

from pathlib import Path

from scheduler.errors import ScenarioError
from scheduler.files import read_scenario

STATION = """\
name = "Test Field"
elevation_m = 120
time_zone = "UTC"

[columns]
"Reg" = "tail"
ignore = ["Remarks"]

[[runways]]
name = "24"
heading_deg = 240
landing_distance_m = 2600
slope_percent = 0.5
exits = [{ name = "C", distance_m = 1500, speed_kt = 30 }]

[[runways]]
name = "06"
heading_deg = 60
landing_distance_m = 2600

[[runways.exits]]
name = "D"
distance_m = 1700
speed_kt = 25

[[stands]]
name = "1"
taxi_in_minutes = 5
taxi_out_minutes = 8

[[stands]]
name = "2"
taxi_in_minutes = 6
taxi_out_minutes = 9
shelter_fraction = 0.5

[[fans]]
name = "trolley"
units = 2
air_speed_m_per_s = 9
setup_minutes = 3
removal_minutes = 2
move_minutes = 4
from_utc = "05:00"
to_utc = "23:00"

[approach]
max_plug_c = 110
max_stack_c = 350
"""

FLEET = """\
[types.TWIN]
brake = "carbon-narrow"
brake_count = 4
maximum_take_off_kg = 79000
maximum_landing_kg = 66000
operating_empty_kg = 42000
wing_area_m2 = 122
drag_coefficient_ground = 0.12
lift_coefficient_ground = 0.1
rolling_fraction = 0.015
approach_speed_kt = 136
v1_kt = 140
touchdown_fraction = 0.97
engine_count = 2
idle_kn = 8
reverse_kn = 60
tyre_pressure_kpa = 1400
automatic_decelerations_m_per_s2 = [1.7, 2.5]
default_deceleration_m_per_s2 = 1.7
dry_friction = 0.4

[tails.XA-AAA]
type = "TWIN"

[tails.XA-AAB]
type = "TWIN"
positions = ["L1", "L2", "R1", "R2"]
wear = [0.2, "unknown", 0.9, 1]
inoperative = ["R2"]
reverser_inoperative = true
"""

TURNAROUNDS = """\
id,tail,stand,sibt_utc,sobt_utc
A1,XA-AAA,1,2026-07-14T09:05Z,2026-07-14T09:50Z
A2,XA-AAB,2,2026-07-14T10:05Z,2026-07-14T10:50Z
"""

WEATHER = """\
METAR ZZZZ 140850Z 24008KT 9999 FEW030 24/11 Q1017=
METAR ZZZZ 140950Z VRB02KT CAVOK 25/11 Q1016 NOSIG=
"""

FILES = {
    "station.toml": STATION,
    "fleet.toml": FLEET,
    "turnarounds.csv": TURNAROUNDS,
    "weather.metar": WEATHER,
}


def write_folder(folder: Path, changed: dict[str, str | bytes | None] | None = None):
    """Write the files, some replaced; None leaves a file out."""
    for name, text in {**FILES, **(changed or {})}.items():
        if isinstance(text, bytes):
            (folder / name).write_bytes(text)
        elif text is not None:
            (folder / name).write_text(text, encoding="utf-8")
    return folder


def faults_of(folder: Path, changed: dict[str, str | bytes | None]) -> list[str]:
    """Lines of the error that reading the changed folder gives; empty if none."""
    try:
        read_scenario(write_folder(folder, changed))
    except ScenarioError as error:
        return str(error).splitlines()
    return []


def table(header: str, *rows: str) -> str:
    """CSV text from its lines."""
    return "\n".join((header, *rows)) + "\n"

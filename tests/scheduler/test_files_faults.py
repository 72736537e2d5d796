"""Every fault of a scenario has one line that says where, what was expected and got."""

import pytest
from scenario_folder import FLEET, STATION, WEATHER, faults_of, table

from scheduler.errors import ScenarioError
from scheduler.files import read_scenario

FIVE = "id,tail,stand,sibt_utc,sobt_utc"
GOOD = "A1,XA-AAA,1,2026-07-14T09:05Z,2026-07-14T09:50Z"
EXTRA = (
    "landing_weight_kg",
    "landing_utc",
    "runway",
    "exit",
    "reverse",
    "deceleration_m_per_s2",
    "taxi_stops",
    "take_off_weight_kg",
    "gear_down_approved",
    "gear_down_minutes",
)


def cell(column, text):
    """Turnarounds with one optional cell filled."""
    cells = [text if name == column else "" for name in EXTRA]
    return table(",".join((FIVE, *EXTRA)), ",".join((GOOD, *cells)))


def row(text, header=FIVE):
    return table(header, text)


TURNAROUND_FAULTS = {
    "unknown tail": (
        row(GOOD.replace("XA-AAA", "XA-AAC")),
        "2: tail: expected one of XA-AAA, XA-AAB (nearest: XA-AAB), got XA-AAC",
    ),
    "unknown stand": (
        row(GOOD.replace(",1,", ",9,")),
        "2: stand: expected one of 1, 2, got 9",
    ),
    "empty id": (row(GOOD[2:]), "2: id: expected a value, got nothing"),
    "duplicated id": (
        table(FIVE, GOOD, GOOD),
        "3: id: expected an id used once (line 2 has it), got A1",
    ),
    "no in-block": (
        row("A1,XA-AAA,1,,2026-07-14T09:50Z"),
        "2: sibt_utc: expected a value here or in its E/T or A column, got nothing",
    ),
    "off-block before in-block": (
        row("A1,XA-AAA,1,2026-07-14T09:05Z,2026-07-14T08:50Z"),
        "2: sobt_utc: expected after in-block 2026-07-14T09:05:00Z, "
        "got 2026-07-14T08:50Z",
    ),
    "after midnight without +1": (
        row("A1,XA-AAA,1,23:30,00:20,2026-07-14", FIVE + ",date"),
        "2: sobt_utc: expected after in-block 2026-07-14T23:30:00Z "
        "(the day after is 00:20+1), got 00:20",
    ),
    "another year": (
        row("A1,XA-AAA,1,2026-07-14T09:05Z,2027-07-14T09:50Z"),
        "2: sobt_utc: expected a time within two days of 2026-07-14, "
        "got 2027-07-14T09:50Z",
    ),
    "local date": (
        row("A1,XA-AAA,1,2026-07-14T09:05Z,14/07/2026 09:50"),
        "2: sobt_utc: expected UTC as 2026-07-14T09:50Z, got 14/07/2026 09:50",
    ),
    "date column": (
        row(
            "A1,XA-AAA,1,2026-07-14T09:05Z,2026-07-14T09:50Z,25.11.2026", FIVE + ",date"
        ),
        "2: date: expected a date as 2026-11-25, got 25.11.2026",
    ),
    "clock time without a date": (
        row("A1,XA-AAA,1,2026-07-14T09:05Z,09:50"),
        "2: sobt_utc: expected UTC as 2026-07-14T14:05Z, or a date column beside "
        "HH:MM, got 09:50",
    ),
    "decimal comma": (
        cell("deceleration_m_per_s2", '"1,7"'),
        "2: deceleration_m_per_s2: expected a number with a decimal point and no "
        "other mark, as 1.7, got 1,7",
    ),
    "thousands or decimals": (
        cell("landing_weight_kg", '"62,500"'),
        "2: landing_weight_kg: expected a number with a decimal point and no "
        "other mark, as 62500 or 62.500, got 62,500",
    ),
    "thousands point": (
        cell("landing_weight_kg", "62.500"),
        "2: landing_weight_kg: expected 42000 to 66000 kg (operating empty to maximum "
        "landing weight of TWIN), as 62500, got 62.500",
    ),
    "NaN": (
        cell("landing_weight_kg", "NaN"),
        "2: landing_weight_kg: expected a number, got NaN",
    ),
    "infinite": (
        cell("taxi_stops", "1e999"),
        "2: taxi_stops: expected 0 to 50 stops, got 1e999",
    ),
    "negative weight": (
        cell("take_off_weight_kg", "-61000"),
        "2: take_off_weight_kg: expected 42000 to 79000 kg (operating empty to maximum "
        "take-off weight of TWIN), got -61000",
    ),
    "overweight landing": (
        cell("landing_weight_kg", "66001"),
        "2: landing_weight_kg: expected 42000 to 66000 kg (operating empty to maximum "
        "landing weight of TWIN), got 66001",
    ),
    "half a stop": (
        cell("taxi_stops", "1.5"),
        "2: taxi_stops: expected a whole number of stops, got 1.5",
    ),
    "unknown runway": (
        cell("runway", "25"),
        "2: runway: expected one of 24, 06, got 25",
    ),
    "exit of another runway": (
        cell("exit", "D"),
        "2: exit: expected one of C, got D",
    ),
    "unknown reverse": (
        cell("reverse", "max"),
        "2: reverse: expected one of none, idle, full, got max",
    ),
    "landing after in-block": (
        cell("landing_utc", "2026-07-14T09:06Z"),
        "2: landing_utc: expected 1 to 120 minutes before in-block "
        "2026-07-14T09:05:00Z, got 2026-07-14T09:06Z",
    ),
    "neither yes nor no": (
        cell("gear_down_approved", "maybe"),
        "2: gear_down_approved: expected yes or no, got maybe",
    ),
    "minutes without approval": (
        cell("gear_down_minutes", "5"),
        "2: gear_down_approved: expected yes beside gear_down_minutes, got nothing",
    ),
    "approval without minutes": (
        cell("gear_down_approved", "yes"),
        "2: gear_down_minutes: expected minutes beside gear_down_approved, got nothing",
    ),
    "unknown take-off runway": (
        row(GOOD + ",25", FIVE + ",departure_runway"),
        "2: departure_runway: expected one of 24, 06, got 25",
    ),
    "cancelled in words": (
        row(GOOD + ",cnl", FIVE + ",cancelled"),
        "2: cancelled: expected yes or no, got cnl",
    ),
    "cancelled and gone": (
        row(GOOD + ",2026-07-14T09:55Z,yes", FIVE + ",aobt_utc,cancelled"),
        "2: cancelled: expected no, or no aobt_utc beside it, got yes",
    ),
    "missing column": (
        table(
            "id,tail,sibt_utc,sobt_utc", "A1,XA-AAA,2026-07-14T09:05Z,2026-07-14T09:50Z"
        ),
        "1: stand: expected this column, got nothing",
    ),
    "missing time columns": (
        table("id,tail,stand,sibt_utc", "A1,XA-AAA,1,2026-07-14T09:05Z"),
        "1: sobt_utc or tobt_utc or aobt_utc: expected one of these columns, "
        "got nothing",
    ),
    "unknown column": (
        row(GOOD + ",5", FIVE + ",Landing Weight"),
        "1: Landing Weight: expected a known column (nearest: landing_weight_kg), or "
        'under [columns] of station.toml: "Landing Weight" = "landing_weight_kg" or '
        'ignore = ["Landing Weight"], got this heading',
    ),
    "column that is like nothing": (
        row(GOOD + ",5", FIVE + ",Zxq"),
        "1: Zxq: expected a known column, or under [columns] of station.toml: "
        '"Zxq" = "…" with ours (docs/scenario-format.md), or ignore = ["Zxq"], '
        "got this heading",
    ),
    "column twice": (
        row(GOOD + ",XA-AAB", FIVE + ",Reg"),
        "1: Reg: expected one column tail, got a second one",
    ),
    "too few cells": (row("A1,XA-AAA"), "2: expected 5 cells, got 2"),
    "too many cells": (
        row(GOOD + ",7"),
        "2: expected 5 cells, got 6 (a decimal comma or an unquoted comma?)",
    ),
    "open quote": (
        row('A1,"XA-AAA,1,x,y'),
        "2: expected a second quote for each (RFC 4180), got unexpected end of data",
    ),
    "no rows": (
        FIVE + "\n",
        "2: expected at least one turnaround, got nothing",
    ),
    "empty file": ("", "1: expected a header line, got nothing"),
    "other bytes": (
        f"{FIVE}\nA1,XA-\xc4".encode("latin-1"),
        "2: expected UTF-8 text, got other bytes",
    ),
}


@pytest.mark.parametrize("name", TURNAROUND_FAULTS)
def test_turnaround_fault(tmp_path, name):
    """A fault of turnarounds.csv is told with its line, column and correction."""
    text, fault = TURNAROUND_FAULTS[name]
    assert faults_of(tmp_path, {"turnarounds.csv": text}) == [
        f"turnarounds.csv:{fault}"
    ]


@pytest.mark.parametrize(
    ("column", "text", "expected"),
    [
        ("touchdown_speed_kt", "59.9", "60 to 220 kt"),
        ("touchdown_m", "3001", "0 to 3000 m"),
        ("deceleration_m_per_s2", "17", "0.3 to 6 m/s2"),
        ("taxi_in_minutes", "0", "1 to 120 minutes"),
        ("taxi_in_minutes", "121", "1 to 120 minutes"),
        ("taxi_stops", "-1", "0 to 50 stops"),
        ("residual_c", "1001", "-60 to 1000 °C"),
        ("v1_kt", "211", "60 to 210 kt"),
        ("exot_minutes", "0", "1 to 120 minutes"),
        ("removable_load_kg", "-1", "0 to 79000 kg"),
        ("gear_down_minutes", "61", "0 to 60 minutes"),
        ("table_minutes", "-5", "0 to 1440 minutes"),
        ("rotation_minutes", "-1", "0 to 1440 minutes"),
        ("inspection_minutes", "0", "1 to 1440 minutes"),
    ],
)
def test_number_out_of_range(tmp_path, column, text, expected):
    """A number no aircraft can have is told with the range of its column."""
    found = faults_of(
        tmp_path,
        {"turnarounds.csv": table(f"{FIVE},{column}", f"{GOOD},{text}")},
    )
    assert found == [f"turnarounds.csv:2: {column}: expected {expected}, got {text}"]


def test_semicolons_do_not_hide_other_faults(tmp_path):
    """A semicolon file shows its corrected header and its cells' faults too."""
    text = table(
        (FIVE + ",landing_weight_kg").replace(",", ";"),
        GOOD.replace(",", ";") + ";62500,5",
    )
    assert faults_of(tmp_path, {"turnarounds.csv": text}) == [
        "turnarounds.csv:1: separator: expected commas, as "
        "id,tail,stand,sibt_utc,sobt_utc,landing_weight_kg, got semicolons",
        "turnarounds.csv:2: landing_weight_kg: expected a number with a decimal point "
        "and no other mark, as 62500.5, got 62500,5",
    ]


def edited(old, new, text=STATION):
    assert old in text
    return text.replace(old, new, 1)


STATION_FAULTS = {
    "parking brake neither way": (
        edited("elevation_m = 120", 'elevation_m = 120\nparking_brake = "on"'),
        "3: parking_brake: expected 'released' or 'set', got \"on\"",
    ),
    "onboard fan for ever": (
        edited("elevation_m = 120", "elevation_m = 120\nonboard_fan_minutes = 1441"),
        "3: onboard_fan_minutes: expected at most 1440, got 1441",
    ),
    "stand turned too far": (
        edited("taxi_out_minutes = 8", "taxi_out_minutes = 8\nheading_deg = 361"),
        "30: stands.heading_deg: expected at most 360, got 361",
    ),
    "unknown key": (
        edited("elevation_m = 120", "elevation_m = 120\nhold_minute = 3"),
        "3: hold_minute: expected a known key (nearest: hold_minutes), got hold_minute",
    ),
    "unknown key in a table": (
        edited("max_plug_c = 110", "max_plug_c = 110\nplug_c = 3"),
        "49: approach.plug_c: expected a known key (nearest: max_plug_c), got plug_c",
    ),
    "missing key": (
        edited("heading_deg = 240\n", ""),
        "9: runways.heading_deg: expected this key, got nothing",
    ),
    "text for a number": (
        edited("heading_deg = 60", 'heading_deg = "060"'),
        '18: runways.heading_deg: expected a number, got "060"',
    ),
    "NaN": (
        edited("elevation_m = 120", "elevation_m = nan"),
        "2: elevation_m: expected a finite number, got nan",
    ),
    "fraction of a minute": (
        edited("taxi_in_minutes = 5", "taxi_in_minutes = 5.5"),
        "28: stands.taxi_in_minutes: expected a whole number, got 5.5",
    ),
    "too low": (
        edited("units = 2", "units = 0"),
        "39: fans.units: expected at least 1, got 0",
    ),
    "too high": (
        edited("shelter_fraction = 0.5", "shelter_fraction = 1.5"),
        "35: stands.shelter_fraction: expected at most 1, got 1.5",
    ),
    "clock time": (
        edited('"05:00"', '"5 am"'),
        '44: fans.from_utc: expected a time as "05:00" or "00:40+1", got "5 am"',
    ),
    "half of the hours": (
        edited('to_utc = "23:00"\n', ""),
        "37: fans: expected from_utc and to_utc together, or neither, got a table",
    ),
    "zone": (
        edited('"UTC"', '"Mars/Base"'),
        "3: time_zone: expected an IANA time zone as UTC or Europe/Lisbon, "
        'got "Mars/Base"',
    ),
    "name twice": (
        edited('name = "2"', 'name = "1"'),
        '32: stands.name: expected a name used once, got "1"',
    ),
    "exit beyond the runway": (
        edited("distance_m = 1700", "distance_m = 2700"),
        "23: runways.exits.distance_m: expected at most 2600 (landing_distance_m), "
        "got 2700.0",
    ),
    "column target": (
        edited('"tail"', '"tial"'),
        '6: columns.Reg: expected a known name (nearest: tail), got "tial"',
    ),
    "delay that earns": (
        STATION + "[delay_cost]\nrates = [[0, 2], [15, -1]]\n",
        "51: delay_cost.rates: expected rates that are not negative, got [2, -1]",
    ),
    "event": (
        STATION
        + '[[curfews]]\nfrom_local = "23:00"\nto_local = "05:00"\nevent = "push"\n',
        "53: curfews.event: expected 'take_off' or 'off_block', got \"push\"",
    ),
    "empty curfew": (
        STATION + '[[curfews]]\nfrom_local = "23:00"\nto_local = "23:00"\n',
        "52: curfews.to_local: expected another time than from_local, got the same",
    ),
    "day in quotes": (
        edited("[columns]", 'day = "2026-07-14"\n[columns]'),
        '5: day: expected a date such as 2026-07-14 without quotes, got "2026-07-14"',
    ),
    "no TOML": (
        edited("elevation_m = 120", "elevation_m = 1,2"),
        "2: expected valid TOML, got expected newline or end of document after a "
        "statement",
    ),
}


@pytest.mark.parametrize("name", STATION_FAULTS)
def test_station_fault(tmp_path, name):
    """A fault of station.toml is told with the line of its key."""
    text, fault = STATION_FAULTS[name]
    turnarounds = table(FIVE, GOOD)
    found = faults_of(tmp_path, {"station.toml": text, "turnarounds.csv": turnarounds})
    assert found == [f"station.toml:{fault}"]


FLEET_FAULTS = {
    "fan neither in nor out": (
        edited(
            "reverser_inoperative = true",
            'reverser_inoperative = true\nonboard_fan_inoperative = "yes"',
            FLEET,
        ),
        '31: tails.XA-AAB.onboard_fan_inoperative: expected true or false, got "yes"',
    ),
    "unknown type": (
        edited('type = "TWIN"', 'type = "TWEEN"', FLEET),
        '23: tails.XA-AAA.type: expected one of TWIN, got "TWEEN"',
    ),
    "unknown key": (
        edited("idle_kn = 8", "idle_kn = 8\nidel_kn = 8", FLEET),
        "16: types.TWIN.idel_kn: expected a known key (nearest: idle_kn), got idel_kn",
    ),
    "negative mass": (
        edited("42000", "-42000", FLEET),
        "6: types.TWIN.operating_empty_kg: expected more than 0, got -42000",
    ),
    "weights out of order": (
        edited("66000", "86000", FLEET),
        "1: types.TWIN.weights: expected 0 < operating empty < maximum landing <= "
        "maximum take-off, got (42000.0, 86000.0, 79000.0)",
    ),
    "speed in other units": (
        edited("v1_kt = 140", "v1_kt = 40", FLEET),
        "12: types.TWIN.v1_kt: expected 58.32 to 213.8, got 40.0",
    ),
    "missing figures": (
        edited("idle_kn = 8\nreverse_kn = 60\n", "", FLEET),
        "1: types.TWIN: expected catalogue = a known type, or also idle_kn, "
        "reverse_kn, got nothing",
    ),
    "wear above 1": (
        edited("0.9, 1]", "9, 1]", FLEET),
        "28: tails.XA-AAB.wear: expected 0 (new) to 1 (fully worn), "
        'or "unknown", got 9',
    ),
    "wear of too few brakes": (
        edited(", 0.9, 1]", "]", FLEET),
        "28: tails.XA-AAB.wear: expected 4 entries (brake_count of TWIN), got 2",
    ),
    "positions": (
        edited('"R1", "R2"]', '"R2"]', FLEET),
        "27: tails.XA-AAB.positions: expected 4 names (brake_count of TWIN), got 3",
    ),
    "position twice": (
        edited('"R1", ', '"L1", ', FLEET),
        "27: tails.XA-AAB.positions: expected every name once, got [L1, L2, L1, R2]",
    ),
    "defect of no position": (
        edited('["R2"]', '["R9"]', FLEET),
        '29: tails.XA-AAB.inoperative: expected one of L1, L2, R1, R2, got "R9"',
    ),
}


@pytest.mark.parametrize("name", FLEET_FAULTS)
def test_fleet_fault(tmp_path, name):
    """A fault of fleet.toml is told with the line of its key."""
    text, fault = FLEET_FAULTS[name]
    assert faults_of(tmp_path, {"fleet.toml": text}) == [f"fleet.toml:{fault}"]


WEATHER_FAULTS = {
    "temperature": (
        edited("24/11", "2X/11", WEATHER),
        "1: column 40 (temperature): expected temperature/dew point as 24/11 or "
        "M02/M05, got 2X/11",
    ),
    "wind": (
        edited("24008KT", "2408KT", WEATHER),
        "1: column 20 (wind): expected wind as 24008KT, VRB02KT or 00000KT, got 2408KT",
    ),
    "wind direction": (
        edited("24008KT", "37008KT", WEATHER),
        "1: column 20 (wind): expected wind as 24008KT, VRB02KT or 00000KT, "
        "got 37008KT",
    ),
    "QNH": (
        edited("Q1016", "Q101", WEATHER),
        "2: column 40 (QNH): expected QNH as Q1013 (hPa) or A2992 (inHg), got Q101",
    ),
    "QNH of another planet": (
        edited("Q1016", "Q0016", WEATHER),
        "2: column 40 (QNH): expected QNH as Q1013 (hPa) or A2992 (inHg), got Q0016",
    ),
    "no QNH": (
        edited(" Q1017", "", WEATHER),
        "1: column 45 (QNH): expected QNH as Q1013 (hPa) or A2992 (inHg), got nothing",
    ),
    "time": (
        edited("140850Z", "140865Z", WEATHER),
        "1: column 12 (time): expected day and time as 141350Z, got 140865Z",
    ),
    "another week": (
        edited("140850Z", "010850Z", WEATHER),
        "1: column 12 (time): expected a time within two days of 2026-07-14, "
        "got 010850Z",
    ),
    "group that fits nothing": (
        edited("FEW030", "FEW03X", WEATHER),
        "1: column 33 (group): expected a METAR group, got FEW03X",
    ),
    "two places": (
        edited("ZZZZ", "ZZZY", WEATHER),
        " expected messages of one location, got ZZZY, ZZZZ",
    ),
    "forecast wind": (
        WEATHER + "TAF ZZZZ 140500Z 1406/1512 2400KT 9999\n",
        "3: column 28 (wind): expected wind as 24008KT, VRB02KT or 00000KT, got 2400KT",
    ),
    "forecast temperature": (
        WEATHER + "TAF ZZZZ 140500Z 1406/1512 24008KT\n  TX3/1413Z\n",
        "4: column 3 (temperature): expected temperature as TX25/1412Z or TNM02/1504Z, "
        "got TX3/1413Z",
    ),
    "forecast change": (
        WEATHER + "TAF ZZZZ 140500Z 1406/1512 24008KT FM149900 25010KT\n",
        "3: column 36 (change): expected FM as FM141800, got FM149900",
    ),
    "forecast validity": (
        WEATHER + "TAF ZZZZ 140500Z 1406 24008KT\n",
        "3: column 18 (validity): expected validity as 1412/1512, got 1406",
    ),
    "nothing": ("# empty\n", " expected a report with a temperature, got none"),
}


@pytest.mark.parametrize("name", WEATHER_FAULTS)
def test_weather_fault(tmp_path, name):
    """A fault of weather.metar is told with the line and column of its group."""
    text, fault = WEATHER_FAULTS[name]
    assert faults_of(tmp_path, {"weather.metar": text}) == [f"weather.metar:{fault}"]


def test_weather_table_faults(tmp_path):
    """Faults of weather.csv are told like those of turnarounds.csv."""
    text = table("time_utc,temperature_c,wind_kt", '08:00,"21,5",-2', ",20,3")
    found = faults_of(tmp_path, {"weather.metar": None, "weather.csv": text})
    assert found == [
        "weather.csv:2: temperature_c: expected a number with a decimal point and no "
        "other mark, as 21.5, got 21,5",
        "weather.csv:2: wind_kt: expected 0 to 100 kt, got -2",
        "weather.csv:3: time_utc: expected a value, got nothing",
    ]


@pytest.mark.parametrize(
    ("missing", "text"),
    [
        ("time_utc", table("temperature_c,wind_kt", "21,5", "22,6", "23,7")),
        ("temperature_c", table("time_utc,wind_kt", "08:00,5", "09:00,6")),
    ],
)
def test_a_missing_weather_column_is_one_fault(tmp_path, missing, text):
    """A column that is not there is told once, at the header, not at every row."""
    found = faults_of(tmp_path, {"weather.metar": None, "weather.csv": text})
    assert found == [f"weather.csv:1: {missing}: expected this column, got nothing"]


def test_one_weather_file(tmp_path):
    """Neither or both of the weather files is one fault."""
    none = faults_of(tmp_path, {"weather.metar": None})
    both = faults_of(tmp_path, {"weather.csv": "time_utc,temperature_c\n08:00,20\n"})
    assert none == ["weather.metar: expected this file or weather.csv, got neither"]
    assert both == ["weather.metar: expected this file or weather.csv, got both"]


def test_unread_turnarounds_are_no_fault_of_the_events(tmp_path):
    """Where no turnaround could be read, the events do not repeat that row by row."""
    files = {
        "turnarounds.csv": table(FIVE),
        "events.csv": "time_utc,turnaround,event\n2026-07-14T09:30Z,A1,plug-check\n",
    }
    found = faults_of(tmp_path, files)
    assert found
    assert all(fault.startswith("turnarounds.csv") for fault in found)


def test_event_faults(tmp_path):
    """Faults of events.csv: unknown turnaround, event, position, missing value."""
    text = table(
        "time_utc,turnaround,event,position,indicated_c",
        "09:15,A1,reading,,",
        "09:16,A9,check,1,200",
        "09:17,A2,plug-check,7,",
        "2026-08-14T09:17Z,A2,plug-check,L1,",
    )
    assert faults_of(tmp_path, {"events.csv": text}) == [
        "events.csv:2: indicated_c: expected a temperature beside a reading, "
        "got nothing",
        "events.csv:3: event: expected a known name (nearest: plug-check), got check",
        "events.csv:3: turnaround: expected one of A1, A2, got A9",
        "events.csv:4: position: expected one of L1, L2, R1, R2, got 7",
        "events.csv:5: time_utc: expected a time within two days of 2026-07-14, "
        "got 2026-08-14T09:17Z",
    ]


@pytest.mark.parametrize("name", ["station.toml", "fleet.toml", "turnarounds.csv"])
def test_missing_file_is_one_fault(tmp_path, name):
    """A missing file is told once and blames nothing else."""
    assert faults_of(tmp_path, {name: None}) == [
        f"{name}: expected a file of this name, got none"
    ]


def test_missing_folder(tmp_path):
    """A folder that is not there is told by its path."""
    folder = tmp_path / "gone"
    with pytest.raises(ScenarioError) as raised:
        read_scenario(folder)
    expected = f"{folder}: expected a scenario folder, got"
    assert str(raised.value) == f"{expected} none (heatslot new makes one)"
    folder.touch()
    with pytest.raises(ScenarioError) as raised:
        read_scenario(folder)
    assert str(raised.value) == f"{expected} a file"


def test_all_files_in_one_run(tmp_path):
    """One fault in each file gives all of them, in the order of the files."""
    found = faults_of(
        tmp_path,
        {
            "station.toml": edited("elevation_m = 120", "elevation = 120"),
            "fleet.toml": edited("42000", "-42000", FLEET),
            "turnarounds.csv": table(FIVE, GOOD.replace(",1,", ",9,")),
            "weather.metar": edited("24008KT", "2408KT", WEATHER),
            "events.csv": table("time_utc,turnaround,event", "09:00,A1,seen"),
        },
    )
    assert [line.split(":")[0] for line in found] == [
        "station.toml",
        "station.toml",
        "fleet.toml",
        "turnarounds.csv",
        "weather.metar",
        "events.csv",
    ]

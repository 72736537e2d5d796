"""Keys of the full rule set in station.toml: what they become, and their faults."""

import pytest
from scenario_folder import STATION, faults_of, table, write_folder

from scheduler.day import Crew, Outage, Task, ZoneMove
from scheduler.files import read_scenario

FAN = 'name = "trolley"'
ZONES = """
[[zone_moves]]
from_zone = "north"
to_zone = "north"
minutes = 2

[[zone_moves]]
from_zone = "south"
to_zone = "south"
minutes = 3

[[zone_moves]]
from_zone = "north"
to_zone = "south"
minutes = 9
"""
CREWS = """
[[crews]]
name = "line"
count = 2
tasks = ["inspection", "plug check"]
from_utc = "22:00"
to_utc = "06:00"
move_minutes = 5

[[crews]]
name = "wheels"
count = 1
tasks = ["wheel change"]
"""


def edited(*pairs: tuple[str, str], text: str = STATION) -> str:
    """The sample station with some text replaced, once each."""
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new, 1)
    return text


def top(line: str) -> str:
    """The sample station with one more key at its top, on line 5."""
    return edited(("[columns]", f"{line}\n[columns]"))


def in_zones(*more: tuple[str, str]) -> str:
    """The sample station with exact moves between two zones."""
    return edited(
        ("[columns]", "exact_moves = true\n[columns]"),
        ("taxi_out_minutes = 8", 'taxi_out_minutes = 8\nzone = "north"'),
        ("taxi_out_minutes = 9", 'taxi_out_minutes = 9\nzone = "south"'),
        (FAN, f"{FAN}\nhome = {{ north = 2 }}"),
        *more,
        text=STATION + ZONES,
    )


def read(tmp_path, station):
    return read_scenario(write_folder(tmp_path, {"station.toml": station})).station


def test_runway_closures_and_arrivals(tmp_path):
    """Closures are UTC minutes, past midnight where the end comes first."""
    keys = 'closures_utc = [["10:00", "10:45"], ["23:30", "00:30"]]\n'
    keys += "arrival_gap_minutes = 2\n"
    text = edited(("heading_deg = 240", keys + "heading_deg = 240"))
    first, second = read(tmp_path, text).runways
    assert first.closures == ((600, 645), (1410, 1470))
    assert (first.arrival_gap_minutes, second.arrival_gap_minutes) == (2, 0)
    assert second.closures == ()


def test_stand_zone_and_tow(tmp_path):
    """A stand's zone and its tow-off time are taken over; both may be left out."""
    keys = 'zone = "north"\ntow_off_minutes = 12\n'
    text = edited(("taxi_in_minutes = 5", keys + "taxi_in_minutes = 5"))
    first, second = read(tmp_path, text).stands
    assert (first.zone, first.tow_off_minutes) == ("north", 12)
    assert (second.zone, second.tow_off_minutes) == (None, None)


def test_fan_sets_and_outages(tmp_path):
    """Units per aircraft, and units that are away for a time."""
    keys = "brakes_per_unit = 2\nsets = [2, 1]\noutages = ["
    keys += '{ units = 1, from_utc = "11:00", to_utc = "13:30" }]\n'
    fan = read(tmp_path, edited((FAN, f"{FAN}\n{keys}"))).fans[0]
    assert (fan.brakes_per_unit, fan.sets) == (2, (1, 2))
    assert fan.outages == (Outage(units=1, from_minute=660, to_minute=810),)
    assert fan.sets_for(4) == (1, 2)


def test_soft_curfew(tmp_path):
    """A curfew is hard unless it says soft."""
    curfew = '\n[[curfews]]\nfrom_local = "23:00"\nto_local = "05:00"\n'
    text = STATION + curfew + "soft = true\n" + curfew
    assert [item.soft for item in read(tmp_path, text).curfews] == [True] * 3 + [
        False
    ] * 3


def test_curfew_in_the_hour_that_is_left_out_takes_the_longer_reading(tmp_path):
    """Where 01:30 does not exist, the curfew starts at the earlier of both readings.

    In Europe/Lisbon 01:00 became 02:00 on 2026-03-29: IANA time zone database.
    """
    curfew = '[[curfews]]\nfrom_local = "01:30"\nto_local = "05:00"\n'
    text = STATION.replace('"UTC"', '"Europe/Lisbon"') + curfew
    row = "A1,XA-AAA,1,2026-03-29T09:05Z,2026-03-29T09:50Z"
    changed = {
        "station.toml": text,
        "turnarounds.csv": table("id,tail,stand,sibt_utc,sobt_utc", row),
        "weather.csv": "time_utc,temperature_c\n2026-03-29T08:00Z,10\n",
        "weather.metar": None,
    }
    before, today, after = read_scenario(
        write_folder(tmp_path, changed)
    ).station.curfews
    assert (today.from_minute, today.to_minute) == (30, 240)
    assert (before.to_minute - before.from_minute) == 210
    assert (after.from_minute, after.to_minute) == (1440 + 30, 1440 + 240)


def test_crews(tmp_path):
    """Crews with their tasks and hours; without hours they are always there."""
    line, wheels = read(tmp_path, STATION + CREWS).crews
    assert line == Crew(
        name="line",
        count=2,
        tasks=(Task.INSPECTION, Task.PLUG_CHECK),
        from_minute=1320,
        to_minute=1800,
        move_minutes=5,
    )
    assert wheels.from_minute < 0
    assert wheels.to_minute > 2880


def test_exact_moves(tmp_path):
    """A move given in one direction counts in both."""
    station = read(tmp_path, in_zones())
    assert station.exact_moves
    assert station.fans[0].home == (("north", 2),)
    assert set(station.zone_moves) == {
        ZoneMove(from_zone="north", to_zone="north", minutes=2),
        ZoneMove(from_zone="south", to_zone="south", minutes=3),
        ZoneMove(from_zone="north", to_zone="south", minutes=9),
        ZoneMove(from_zone="south", to_zone="north", minutes=9),
    }


def test_both_directions_may_differ(tmp_path):
    """A second row for the way back keeps its own minutes."""
    back = '\n[[zone_moves]]\nfrom_zone = "south"\nto_zone = "north"\nminutes = 4\n'
    minutes = {
        (move.from_zone, move.to_zone): move.minutes
        for move in read(tmp_path, in_zones() + back).zone_moves
    }
    assert (minutes["north", "south"], minutes["south", "north"]) == (9, 4)


@pytest.mark.parametrize(
    ("key", "default"),
    [
        ("freeze_minutes", 15),
        ("stability_minutes", 5),
        ("tolerance_minutes", 0),
        ("rollout_request_minutes", 20),
        ("inspection_minutes", 20),
        ("wheel_change_minutes", 60),
    ],
)
def test_minutes_of_the_station(tmp_path, key, default):
    """Each key has its default, and its own value where it is given."""
    assert getattr(read(tmp_path, STATION), key) == default
    assert getattr(read(tmp_path, top(f"{key} = 7")), key) == 7


def test_cost_may_rise_more_slowly_later(tmp_path):
    """Rates may fall: the cost itself still never does."""
    text = STATION + "[delay_cost]\nrates = [[0, 4], [15, 1], [60, 0]]\n"
    cost = read(tmp_path, text).delay_cost
    assert [cost.of(delay) for delay in (0, 15, 60, 200)] == [0, 60, 105, 105]


def fan(keys: str) -> str:
    """The sample station with more keys of its fan, the first on line 39."""
    return edited((FAN, f"{FAN}\n{keys}"))


OUTAGE = '\n[[fans.outages]]\nunits = 1\nfrom_utc = "11:00"\nto_utc = "12:00"\n'
WITH_OUTAGE = edited(("\n[approach]", OUTAGE + "\n[approach]"))

RULE_FAULTS = {
    "closure of no time": (
        edited(
            (
                "heading_deg = 60",
                'heading_deg = 60\nclosures_utc = [["10:00", "10:00"]]',
            )
        ),
        "19: runways.closures_utc: expected two different times each, "
        "got the same time twice",
    ),
    "closure with one end": (
        edited(("heading_deg = 60", 'heading_deg = 60\nclosures_utc = [["10:00"]]')),
        '19: runways.closures_utc: expected 2 entries as ["10:00", "10:45"], '
        "got [10:00]",
    ),
    "closure without inner brackets": (
        edited(
            ("heading_deg = 60", 'heading_deg = 60\nclosures_utc = ["10:00", "10:45"]')
        ),
        '19: runways.closures_utc: expected a list of lists as [["10:00", "10:45"]], '
        "got [10:00, 10:45]",
    ),
    "closure with a bare number": (
        edited(
            ("heading_deg = 60", 'heading_deg = 60\nclosures_utc = [["10:00", 12]]')
        ),
        '19: runways.closures_utc: expected a time as "05:00" or "00:40+1" in quotes, '
        "got 12",
    ),
    "hour of service as a bare number": (
        edited(('from_utc = "05:00"', "from_utc = 5")),
        '44: fans.from_utc: expected a time as "05:00" or "00:40+1" in quotes, got 5',
    ),
    "home where no stand has a zone": (
        fan("home = { north = 2 }"),
        '39: fans.home: expected a zone that a stand has, got "north"',
    ),
    "closure in words": (
        edited(
            ("heading_deg = 60", 'heading_deg = 60\nclosures_utc = [["noon", "13:00"]]')
        ),
        '19: runways.closures_utc: expected a time as "05:00" or "00:40+1", got "noon"',
    ),
    "arrival gap": (
        edited(("heading_deg = 60", "heading_deg = 60\narrival_gap_minutes = 61")),
        "19: runways.arrival_gap_minutes: expected at most 60, got 61",
    ),
    "tow without time": (
        edited(("taxi_out_minutes = 8", "taxi_out_minutes = 8\ntow_off_minutes = 0")),
        "30: stands.tow_off_minutes: expected at least 1, got 0",
    ),
    "empty zone": (
        edited(("taxi_out_minutes = 8", 'taxi_out_minutes = 8\nzone = ""')),
        '30: stands.zone: expected text that is not empty, got ""',
    ),
    "set of more units than there are": (
        fan("brakes_per_unit = 1\nsets = [3]"),
        "40: fans.sets: expected at most 2 (units), got 3",
    ),
    "set of none": (
        fan("brakes_per_unit = 1\nsets = [0]"),
        "40: fans.sets: expected at least 1, got 0",
    ),
    "sets of a fan that cools all": (
        fan("sets = [1, 2]"),
        "39: fans.sets: expected brakes_per_unit beside sets, got nothing",
    ),
    "outage of more units than there are": (
        edited(("units = 1\nfrom", "units = 3\nfrom"), text=WITH_OUTAGE),
        "48: fans.outages.units: expected at most 2 (units), got 3",
    ),
    "outage without end": (
        edited(('to_utc = "12:00"\n', ""), text=WITH_OUTAGE),
        "47: fans.outages.to_utc: expected this key, got nothing",
    ),
    "outage of no time": (
        edited(('"12:00"', '"11:00"'), text=WITH_OUTAGE),
        "50: fans.outages.to_utc: expected another time than from_utc, got the same",
    ),
    "home of too many": (
        in_zones(("{ north = 2 }", "{ north = 2, south = 1 }")),
        "42: fans.home: expected 2 units in all, got 3",
    ),
    "home in no zone": (
        in_zones(("{ north = 2 }", "{ nord = 2 }")),
        '42: fans.home: expected one of north, south (nearest: north), got "nord"',
    ),
    "exact moves without a home": (
        in_zones(("home = { north = 2 }\n", "")),
        "40: fans.home: expected units by zone, because exact_moves is true, "
        "got nothing",
    ),
    "exact moves without a zone": (
        in_zones(('zone = "south"\n', "")),
        "33: stands.zone: expected a zone, because exact_moves is true, got nothing",
    ),
    "exact moves with a way missing": (
        in_zones((ZONES, ZONES.rsplit("[[", 1)[0])),
        "5: exact_moves: expected zone_moves between north and south, got nothing",
    ),
    "exact moves with no way within a zone": (
        in_zones((ZONES.split("\n\n")[1] + "\n", "")),
        "5: exact_moves: expected zone_moves within south (from south to south), "
        "got nothing",
    ),
    "move twice": (
        in_zones(
            (
                'to_zone = "south"\nminutes = 9',
                'to_zone = "south"\nminutes = 9\n[[zone_moves]]\nfrom_zone = "north"\n'
                'to_zone = "south"\nminutes = 8',
            )
        ),
        "69: zone_moves: expected one move from north to south, got a second one",
    ),
    "crew of nobody": (
        edited(("count = 2", "count = 0"), text=STATION + CREWS),
        "53: crews.count: expected at least 1, got 0",
    ),
    "crew without a task": (
        edited(('["wheel change"]', "[]"), text=STATION + CREWS),
        "62: crews.tasks: expected at least 1 entries, got []",
    ),
    "crew for something else": (
        edited(('"wheel change"', '"catering"'), text=STATION + CREWS),
        "62: crews.tasks: expected 'plug check', 'inspection' or 'wheel change', "
        'got "catering"',
    ),
    "crew twice": (
        edited(('"wheels"', '"line"'), text=STATION + CREWS),
        '60: crews.name: expected a name used once, got "line"',
    ),
    "half of a crew's hours": (
        edited(('to_utc = "06:00"\n', ""), text=STATION + CREWS),
        "51: crews: expected from_utc and to_utc together, or neither, got a table",
    ),
    "duty of no time": (
        top("inspection_minutes = 0"),
        "5: inspection_minutes: expected at least 1, got 0",
    ),
    "negative freeze": (
        top("freeze_minutes = -1"),
        "5: freeze_minutes: expected at least 0, got -1",
    ),
    "soft in words": (
        STATION
        + '[[curfews]]\nfrom_local = "23:00"\nto_local = "05:00"\nsoft = "yes"\n',
        '53: curfews.soft: expected true or false, got "yes"',
    ),
}


@pytest.mark.parametrize("name", RULE_FAULTS)
def test_rule_fault(tmp_path, name):
    """A fault of a rule's keys is told once, with the line of its key."""
    text, fault = RULE_FAULTS[name]
    assert faults_of(tmp_path, {"station.toml": text}) == [f"station.toml:{fault}"]

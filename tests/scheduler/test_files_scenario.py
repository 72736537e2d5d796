"""Scenario folders that are good: what the cells and keys become."""

from datetime import date

import pytest
from scenario_folder import FLEET, STATION, table, write_folder

from scheduler.day import (
    Basis,
    Curfew,
    CurfewEvent,
    DelayCost,
    PlugCheck,
    Reading,
    Reverse,
    Task,
)
from scheduler.files import read_scenario

FIVE = "id,tail,stand,sibt_utc,sobt_utc"


def read(tmp_path, **changed):
    files = {name.replace("__", "."): text for name, text in changed.items()}
    return read_scenario(write_folder(tmp_path, files))


def one_turnaround(tmp_path, header, row, **changed):
    text = table(header, row)
    return read(tmp_path, turnarounds__csv=text, **changed).turnarounds[0]


def test_five_columns_are_a_day(tmp_path):
    """The required five columns alone give a day with defaults from the station."""
    day = read(tmp_path)
    first = day.turnarounds[0]
    assert day.clock.day == date(2026, 7, 14)
    assert (first.in_block_minute, first.target_off_block_minute) == (545, 590)
    assert first.in_block_basis is first.off_block_basis is Basis.SCHEDULED
    assert (day.taxi_in_minutes(first), day.taxi_out_minutes(first)) == (5, 8)
    assert first.landing.weight_kg is None


def test_edge_units_become_si(tmp_path):
    """Percent, knots, kilonewtons, kilopascals and degrees Celsius are converted."""
    day = read(tmp_path)
    aircraft = day.aircraft[0]
    assert day.station.runways[0].slope_fraction == pytest.approx(0.005)
    assert day.station.runways[0].exits[0].speed_m_per_s == pytest.approx(15.43333)
    assert day.station.approach.max_plug_k == pytest.approx(383.15)
    assert aircraft.v1_m_per_s == pytest.approx(140 * 1852 / 3600)
    assert (aircraft.idle_n, aircraft.tyre_pressure_pa) == (8000.0, 1.4e6)
    assert aircraft.automatic_decelerations_m_per_s2 == (1.7, 2.5)


def test_tail_defaults_and_lists(tmp_path):
    """Positions default to numbers and unknown wear to None; lists are kept."""
    plain, full = read(tmp_path).tails
    assert plain.positions == ("1", "2", "3", "4")
    assert plain.wear == (None, None, None, None)
    assert full.wear == (0.2, None, 0.9, 1.0)
    assert (full.inoperative, full.reverser_inoperative) == (("R2",), True)


def test_one_wear_for_all_brakes(tmp_path):
    """One number stands for the wear of every brake."""
    day = read(tmp_path, fleet__toml=FLEET + '\n[tails.X]\ntype = "TWIN"\nwear = 0.4\n')
    assert day.tails[2].wear == (0.4,) * 4


def test_firmest_time_counts(tmp_path):
    """A counts over E or T, those over S; an empty cell falls back."""
    header = "id,tail,stand,sibt_utc,eibt_utc,aibt_utc,sobt_utc,tobt_utc"
    day = read(
        tmp_path,
        turnarounds__csv=table(
            header,
            "A1,XA-AAA,1,2026-07-14T09:05Z,2026-07-14T09:10Z,2026-07-14T09:12:30Z,"
            "2026-07-14T09:50Z,2026-07-14T10:00Z",
            "A2,XA-AAB,2,2026-07-14T09:05Z,2026-07-14T09:10Z,,2026-07-14T09:50Z,",
        ),
    )
    first, second = day.turnarounds
    assert (first.in_block_minute, first.in_block_basis) == (553, Basis.ACTUAL)
    assert (first.target_off_block_minute, first.off_block_basis) == (
        600,
        Basis.ESTIMATED,
    )
    assert (second.in_block_minute, second.in_block_basis) == (550, Basis.ESTIMATED)
    assert second.off_block_basis is Basis.SCHEDULED


def test_optional_columns(tmp_path):
    """Every optional column reaches its field in SI and safe minutes."""
    cells = {
        "landing_weight_kg": "62500",
        "landing_utc": "2026-07-14T08:58Z",
        "touchdown_speed_kt": "132.5",
        "touchdown_m": "450",
        "runway": "06",
        "exit": "D",
        "reverse": "Idle",
        "deceleration_m_per_s2": "1.7",
        "taxi_stops": "2",
        "residual_c": "80",
        "take_off_weight_kg": "75000",
        "v1_kt": "141",
        "exot_minutes": "12",
        "ctot_utc": "2026-07-14T10:12:40Z",
        "load_close_utc": "2026-07-14T09:30:20Z",
        "removable_load_kg": "1500",
        "crew_limit_utc": "2026-07-14T14:00:59Z",
        "gear_down_approved": "yes",
        "gear_down_minutes": "5",
        "table_minutes": "55",
    }
    header = ",".join((FIVE, *cells))
    row = ",".join(("A1,XA-AAA,1,2026-07-14T09:05Z,2026-07-14T09:50Z", *cells.values()))
    turnaround = one_turnaround(tmp_path, header, row)
    landing, departure = turnaround.landing, turnaround.departure
    assert landing.weight_kg == 62500
    assert landing.touchdown_speed_m_per_s == pytest.approx(132.5 * 1852 / 3600)
    assert (landing.runway, landing.exit, landing.reverse) == ("06", "D", Reverse.IDLE)
    assert (landing.touchdown_m, landing.deceleration_m_per_s2) == (450.0, 1.7)
    assert (landing.taxi_in_minutes, landing.taxi_stops) == (7, 2)
    assert landing.residual_k == pytest.approx(353.15)
    assert departure.take_off_weight_kg == 75000
    assert departure.v1_m_per_s == pytest.approx(141 * 1852 / 3600)
    assert (departure.taxi_out_minutes, departure.ctot_minute) == (12, 612)
    assert (departure.load_close_minute, departure.crew_limit_minute) == (571, 840)
    assert (departure.removable_load_kg, departure.gear_down_minutes) == (1500.0, 5)
    assert departure.table_minutes == 55


def test_columns_of_the_whole_turnaround(tmp_path):
    """Take-off runway, rotation, cancellation and an inspection reach their fields."""
    turnaround = one_turnaround(
        tmp_path,
        FIVE + ",runway,departure_runway,rotation_minutes,cancelled,inspection_minutes",
        "A1,XA-AAA,1,2026-07-14T09:05Z,2026-07-14T09:50Z,24,06,35,yes,25",
    )
    assert (turnaround.landing.runway, turnaround.departure.runway) == ("24", "06")
    assert turnaround.rotation_minutes == 35
    assert turnaround.cancelled
    (duty,) = turnaround.duties
    assert (duty.task, duty.minutes) == (Task.INSPECTION, 25)
    assert duty.earliest_minute == turnaround.in_block_minute


def test_nothing_of_that_is_assumed(tmp_path):
    """Without these columns nobody is cancelled, inspected or tied to a rotation."""
    turnaround = read(tmp_path).turnarounds[0]
    assert turnaround.departure.runway is None
    assert turnaround.rotation_minutes is None
    assert not turnaround.cancelled
    assert turnaround.duties == ()


def test_taxi_in_minutes_count_over_the_landing_time(tmp_path):
    """Where both are given, the taxi-in time is the one of its own column."""
    turnaround = one_turnaround(
        tmp_path,
        FIVE + ",landing_utc,taxi_in_minutes",
        "A1,XA-AAA,1,2026-07-14T09:05Z,2026-07-14T09:50Z,2026-07-14T08:58Z,90",
    )
    assert turnaround.landing.taxi_in_minutes == 90


def test_gear_down_needs_approval(tmp_path):
    """Gear-down minutes do not count where the approval says no."""
    turnaround = one_turnaround(
        tmp_path,
        FIVE + ",gear_down_approved,gear_down_minutes",
        "A1,XA-AAA,1,2026-07-14T09:05Z,2026-07-14T09:50Z,no,5",
    )
    assert turnaround.departure.gear_down_minutes == 0


def test_date_column_with_clock_times(tmp_path):
    """``HH:MM`` counts on the row's date, ``+1`` on the day after."""
    turnaround = one_turnaround(
        tmp_path, "date," + FIVE, "2026-07-14,A1,XA-AAA,1,23:30,00:20+1"
    )
    assert turnaround.in_block_minute == 1410
    assert turnaround.target_off_block_minute == 1460


def test_day_key_gives_the_date(tmp_path):
    """The ``day`` of station.toml dates bare clock times and fixes minute zero."""
    station = STATION.replace("[columns]", "day = 2026-07-13\n[columns]")
    day = read(
        tmp_path,
        station__toml=station,
        turnarounds__csv=table(FIVE, "A1,XA-AAA,1,09:05+1,09:50+1"),
    )
    assert day.clock.day == date(2026, 7, 13)
    assert day.turnarounds[0].in_block_minute == 1440 + 545


def test_export_headings_are_mapped_and_ignored(tmp_path):
    """``[columns]`` renames a heading and leaves out the ignored ones."""
    turnaround = one_turnaround(
        tmp_path,
        "id,Reg,stand,sibt_utc,sobt_utc,Remarks",
        'A1,XA-AAB,1,2026-07-14T09:05Z,2026-07-14T09:50Z,"late, maybe"',
    )
    assert turnaround.tail == "XA-AAB"


def test_byte_order_mark_and_line_ends(tmp_path):
    """A byte-order mark and Windows line ends change nothing."""
    text = table(FIVE, "A1,XA-AAA,1,2026-07-14T09:05Z,2026-07-14T09:50Z", "")
    marked = ("\ufeff" + text.replace("\n", "\r\n")).encode()
    day = read(tmp_path, turnarounds__csv=marked, station__toml=STATION.encode())
    assert len(day.turnarounds) == 1


def test_curfew_on_neighbouring_days(tmp_path):
    """A curfew past midnight is there for the day before, the day and the day after."""
    curfew = '[[curfews]]\nfrom_local = "23:00"\nto_local = "06:00"\n'
    curfew += 'event = "off_block"\n'
    day = read(tmp_path, station__toml=STATION + curfew)
    assert day.station.curfews == tuple(
        Curfew(
            from_minute=shift + 1380,
            to_minute=shift + 1800,
            event=CurfewEvent.OFF_BLOCK,
        )
        for shift in (-1440, 0, 1440)
    )


@pytest.mark.parametrize(
    ("day_text", "expected"),
    [
        ("2026-07-14", (1320, 1680)),  # summer time, UTC+1
        ("2026-12-14", (1380, 1740)),  # winter time, UTC
        ("2026-03-28", (1380, 1680)),  # clocks go forward in this night
        ("2026-10-24", (1320, 1740)),  # clocks go back in this night
    ],
)
def test_curfew_keeps_local_hours_over_a_clock_change(tmp_path, day_text, expected):
    """The curfew of 23:00 to 05:00 local is an hour shorter or longer that night.

    Clock changes of the zone: IANA time zone database.
    """
    station = STATION.replace('"UTC"', '"Europe/Lisbon"')
    curfew = '[[curfews]]\nfrom_local = "23:00"\nto_local = "05:00"\n'
    row = f"A1,XA-AAA,1,{day_text}T09:05Z,{day_text}T09:50Z"
    weather = f"time_utc,temperature_c\n{day_text}T08:00Z,10\n"
    day = read(
        tmp_path,
        station__toml=station + curfew,
        turnarounds__csv=table(FIVE, row),
        weather__csv=weather,
        weather__metar=None,
    )
    tonight = day.station.curfews[1]
    assert (tonight.from_minute, tonight.to_minute) == expected


def test_curfew_in_the_doubled_hour_takes_the_longer_reading(tmp_path):
    """A curfew from 01:30 starts at the first 01:30 when the hour comes twice."""
    station = STATION.replace('"UTC"', '"Europe/Lisbon"')
    curfew = '[[curfews]]\nfrom_local = "01:30"\nto_local = "01:45"\n'
    row = "A1,XA-AAA,1,2026-10-25T09:05Z,2026-10-25T09:50Z"
    day = read(
        tmp_path,
        station__toml=station + curfew,
        turnarounds__csv=table(FIVE, row),
        weather__csv="time_utc,temperature_c\n2026-10-25T08:00Z,10\n",
        weather__metar=None,
    )
    today = day.station.curfews[1]
    assert (today.from_minute, today.to_minute) == (30, 105)


def test_fan_hours_past_midnight(tmp_path):
    """Fan hours that end before they begin run into the next day."""
    station = STATION.replace('"05:00"', '"18:00"').replace('"23:00"', '"02:00"')
    fan = read(tmp_path, station__toml=station).station.fans[0]
    assert (fan.from_minute, fan.to_minute) == (1080, 1560)


def test_costs_and_rules(tmp_path):
    """Costs, buffers and confidences are taken over."""
    more = (
        "stand_buffer_minutes = 8\nplug_check_minutes = 35\n"
        "wind_credit = true\nhold_minutes = 300\n"
        'parking_brake = "set"\nonboard_fan_minutes = 20\n'
    )
    cost = "\n[delay_cost]\nrates = [[0, 1], [15, 2]]\njumps = [[180, 250]]\n"
    station = STATION.replace("[columns]", more + "[columns]") + cost
    found = read(tmp_path, station__toml=station).station
    assert found.delay_cost == DelayCost(rates=((0, 1), (15, 2)), jumps=((180, 250),))
    assert (found.stand_buffer_minutes, found.hold_minutes) == (8, 300)
    assert found.plug_check_minutes == 35
    assert found.wind_credit
    assert found.parking_brake_set is True
    assert found.onboard_fan_minutes == 20


def test_what_the_station_leaves_open_about_its_stands(tmp_path):
    """The parking brake is not known, own fans run half an hour, no stand is turned."""
    station = read(tmp_path).station
    assert station.parking_brake_set is None
    assert station.onboard_fan_minutes == 30
    assert {stand.heading_deg for stand in station.stands} == {None}


def test_stand_heading_released_brake_and_fan_out(tmp_path):
    """Heading, a brake that is released and a fan that is out come through."""
    text = STATION.replace("[columns]", 'parking_brake = "released"\n[columns]')
    text = text.replace(
        "taxi_out_minutes = 8", "taxi_out_minutes = 8\nheading_deg = 55"
    )
    fleet = FLEET + "onboard_fan_inoperative = true\n"
    day = read(tmp_path, station__toml=text, fleet__toml=fleet)
    assert day.station.parking_brake_set is False
    assert [stand.heading_deg for stand in day.station.stands] == [55.0, None]
    assert [tail.onboard_fan_inoperative for tail in day.tails] == [False, True]


def test_without_approach_rule_nobody_goes(tmp_path):
    """Without an approach rule the threshold cannot be met, and a note says so."""
    day = read(tmp_path, station__toml=STATION.split("[approach]")[0])
    assert day.station.approach.max_plug_k == 0.0
    assert day.notes[0].startswith("station.toml has no [approach] rule: nobody")


def test_events_become_readings_and_checks(tmp_path):
    """Readings, plug checks and wheel changes are logged to their turnaround."""
    events = table(
        "time_utc,turnaround,event,position,indicated_c",
        "09:15,A1,reading,,420",
        "2026-07-14T10:16:30Z,A2,reading,L2,380.5",
        "2026-07-14T09:40:50Z,A1,plug-check,,",
        "09:45,A1,wheel-change,3,",
    )
    day = read(tmp_path, events__csv=events)
    assert day.readings == (
        Reading(turnaround_id="A1", minute=555, indicated_k=693.15),
        Reading(turnaround_id="A2", minute=617, indicated_k=653.65, position="L2"),
    )
    assert day.checks == (
        PlugCheck(turnaround_id="A1", minute=580),
        PlugCheck(turnaround_id="A1", minute=585, wheel_changed=True),
    )


def test_weather_covers_the_day(tmp_path):
    """Weather rows reach from the first landing to two hours after the last."""
    day = read(tmp_path)
    assert day.weather[0].minute <= day.turnarounds[0].in_block_minute - 60
    last = day.last_minute(day.turnarounds[-1])
    assert day.weather[-1].minute > last + 120
    assert day.notes == (
        "weather: the last report is of 09:50 UTC; after it, its values "
        "are kept with a spread that grows to 5 K",
    )


def test_weather_table(tmp_path):
    """weather.csv gives the rows; missing wind and QNH are noted as assumed."""
    weather = table("time_utc,temperature_c", "08:00,21.5", "2026-07-14T12:00Z,24")
    day = read(tmp_path, weather__csv=weather, weather__metar=None)
    first = day.weather[0]
    assert (first.minute, first.wind_m_per_s, first.source) == (480, 0.0, "report")
    assert first.temperature_k == pytest.approx(294.65)
    assert day.notes[1:] == (
        "weather: no QNH given; 1013.25 hPa is assumed",
        "weather: no wind given; calm is assumed",
    )

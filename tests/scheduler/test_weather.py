"""Weather messages and the rows they become.

Invented reports in the code forms of WMO-No. 306 (FM 15, FM 51); the values are
compared with the package ``metar``, an independent reader.
"""

from datetime import date

import pytest
from metar.Metar import Metar

from scheduler.clock import Clock
from scheduler.weather import (
    Forecast,
    Observation,
    Outlook,
    Report,
    Wind,
    messages,
    minute_of,
    observation,
    outlook,
    read_forecast,
    read_report,
    weather_rows,
)
from scheduler.weather.groups import DayTime
from scheduler.weather.groups import wind as wind_of
from thermal.units import KNOT_M_PER_S

CLOCK = Clock(day=date(2026, 7, 14))
REPORTS = [
    "METAR ZZZZ 140850Z 24008KT 9999 FEW030 24/11 Q1017",
    "METAR ZZZZ 140850Z AUTO VRB02KT 6000 -RA BR SCT008 BKN012 M02/M05 Q0987",
    "SPECI ZZZZ 140857Z 24018G31KT 210V270 3000 +TSRA FEW015CB 18/17 Q1003 RETS",
    "METAR ZZZZ 140850Z 00000KT CAVOK 31/08 Q1021 NOSIG",
    "METAR ZZZZ 140850Z 35010G17MPS 9999 NSC M00/M07 Q1030",
    "METAR KZZZ 140853Z 10009KT 1 1/2SM R04R/2200FT BR OVC004 07/06 A2987 RMK AO2",
    "METAR COR ZZZZ 140850Z 24008KT 9999 VCSH FEW030TCU SCT100 24/ Q1017 TEMPO 18020KT",
    "METAR ZZZZ 140850Z 24008KT 0800 R24/P1500N FG VV/// 09/09 Q1017 R24/290095",
]
TAF = """\
TAF ZZZZ 140500Z 1406/1512 24008KT 9999 SCT030 TX29/1415Z TNM01/1504Z
  BECMG 1410/1412 27015G25KT TEMPO 1413/1416 VRB30KT TSRA
  FM142000 VRB02KT CAVOK PROB30 1503/1506 09030KT 0500 FG
"""


def one(text):
    (message,) = messages(text)
    return message


def report(text):
    found = read_report(one(text))
    assert isinstance(found, Report), found
    return found


def forecast(text=TAF):
    found = read_forecast(one(text))
    assert isinstance(found, Forecast), found
    return found


@pytest.mark.parametrize("text", REPORTS)
def test_report_agrees_with_another_reader(text):
    """Temperature, wind, QNH and time agree with the package ``metar``."""
    found = report(text)
    oracle = Metar(text, month=7, year=2026, strict=False)
    assert found.temperature_c == pytest.approx(oracle.temp.value("C"))
    assert found.wind.speed_m_per_s == pytest.approx(oracle.wind_speed.value("MPS"))
    assert found.qnh_pa == pytest.approx(oracle.press.value("HPA") * 100, abs=5)
    assert (found.time.day, found.time.hour, found.time.minute) == (
        oracle.time.day,
        oracle.time.hour,
        oracle.time.minute,
    )
    if oracle.wind_dir is not None and found.wind.speed_m_per_s > 0:
        assert found.wind.direction_deg == oracle.wind_dir.value()
    else:
        assert found.wind.direction_deg is None


def test_values_not_measured_are_unknown():
    """Slashes for wind, temperature and QNH give no value and no fault."""
    found = report("METAR ZZZZ 140850Z AUTO /////KT //// // ////// ///// Q////")
    assert (found.temperature_c, found.wind, found.qnh_pa) == (None, None, None)


def test_nil_report_says_nothing():
    """A NIL report is neither a report nor a fault."""
    assert read_report(one("METAR ZZZZ 140850Z NIL")) == ()


def test_messages_wrap_and_know_their_columns():
    """Indented lines continue a message; groups know line and column."""
    found = list(messages("# note\nMETAR ZZZZ\n  140850Z=\n\nTAF ZZZZ\n"))
    assert [[group.text for group in message] for message in found] == [
        ["METAR", "ZZZZ", "140850Z"],
        ["TAF", "ZZZZ"],
    ]
    assert (found[0][2].line, found[0][2].column) == (3, 3)


@pytest.mark.parametrize(
    ("day", "time", "expected"),
    [
        (date(2026, 7, 14), DayTime(day=14, hour=8, minute=50), 530),
        (date(2026, 7, 31), DayTime(day=1, hour=0, minute=20), 1460),
        (date(2026, 8, 1), DayTime(day=31, hour=23, minute=50), -10),
        (date(2027, 1, 1), DayTime(day=31, hour=23, minute=0), -60),
        (date(2026, 7, 14), DayTime(day=14, hour=24, minute=0), 1440),
    ],
)
def test_day_of_month_is_the_nearest_date(day, time, expected):
    """A day of month is taken in the month that lies nearest to the operating day."""
    assert minute_of(time, Clock(day=day)) == expected


def test_forecast_winds_and_temperatures():
    """FM and BECMG change the wind, TEMPO and PROB do not; TX and TN are points."""
    found = outlook(forecast(), CLOCK)
    winds = [(minute, round(wind.speed_m_per_s, 2)) for minute, wind in found.winds]
    assert (found.from_minute, found.to_minute) == (360, 2160)
    assert winds == [(360, 4.12), (720, 7.72), (1200, 1.03)]
    assert found.temperatures == ((900, 29.0), (1680, -1.0))


def rows(observations, outlooks=(), first=480, last=900, elevation_m=0.0):
    return weather_rows(observations, outlooks, first, last, elevation_m)


def seen(minute, temperature_c=20.0, **more):
    wind = Wind(speed_m_per_s=4.0, direction_deg=240.0)
    values = {"wind": wind, "qnh_pa": 101_325.0} | more
    return Observation(minute=minute, temperature_c=temperature_c, **values)


def test_report_holds_until_the_next():
    """Reports within the hour follow each other without rows between."""
    found = rows([seen(480), seen(510, 21.0), seen(570, 22.0)], last=570)
    assert [row.minute for row in found] == [480, 510, 570]
    assert {row.source for row in found} == {"report"}


def test_persistence_grows_its_spread():
    """After the last report its values are kept and the spread grows to 5 K."""
    found = rows([seen(480)], last=480 + 12 * 60)
    assert [row.minute for row in found] == list(range(480, 1201, 60))
    assert {row.temperature_k for row in found} == {293.15}
    assert [row.spread_k for row in found[:3]] == [0.5, 1.0, 1.5]
    assert found[-1].spread_k == 5.0
    assert [row.source for row in found[:2]] == ["report", "persistence"]


def test_gap_between_reports_is_filled():
    """A gap of hours between two reports is persistence, not a fresh report."""
    found = rows([seen(480), seen(700)], last=700)
    assert [(row.minute, row.source) for row in found] == [
        (480, "report"),
        (540, "persistence"),
        (600, "persistence"),
        (660, "persistence"),
        (700, "report"),
    ]


def test_day_that_begins_before_the_first_report():
    """Time before the first report has its values with a wider spread."""
    found = rows([seen(600)], first=480, last=600)
    assert [(row.minute, row.source) for row in found] == [
        (480, "persistence"),
        (600, "report"),
    ]
    assert found[0].spread_k == pytest.approx(1.5)


def test_forecast_temperature_is_interpolated():
    """Between the last report and TX the temperature rises in a line."""
    sky = Outlook(
        from_minute=360, to_minute=2000, winds=(), temperatures=((720, 26.0),)
    )
    found = rows([seen(600)], [sky], first=600, last=720)
    assert [round(row.temperature_k - 273.15, 6) for row in found] == [20.0, 23.0, 26.0]
    assert [row.source for row in found] == ["report", "forecast", "forecast"]
    assert found[-1].spread_k == pytest.approx(1.5)


def test_beyond_the_forecast_the_warmer_value_is_kept():
    """After the night's minimum nothing colder than the last report is assumed."""
    sky = Outlook(from_minute=360, to_minute=2000, winds=(), temperatures=((660, 5.0),))
    found = rows([seen(600)], [sky], first=600, last=780)
    assert found[-1].source == "persistence"
    assert found[-1].temperature_k == pytest.approx(293.15)


def test_forecast_wind_only_within_its_time():
    """The forecast wind counts from its start to the end of the validity."""
    calm = Wind(speed_m_per_s=0.0, direction_deg=None)
    sky = Outlook(from_minute=600, to_minute=720, winds=((660, calm),), temperatures=())
    found = rows([seen(540)], [sky], first=540, last=780)
    assert [row.wind_m_per_s for row in found] == [4.0, 4.0, 0.0, 4.0, 4.0]


def test_what_a_report_leaves_out_is_carried():
    """A missing QNH or temperature is taken from the report before it."""
    found = rows([seen(480), seen(510, None, qnh_pa=None)], last=510)
    assert found[1].temperature_k == found[0].temperature_k
    assert found[1].pressure_pa == found[0].pressure_pa


def test_station_pressure_from_qnh():
    """Standard QNH at 1000 m gives the standard atmosphere's 898.75 hPa.

    Source: ICAO Doc 7488, Manual of the ICAO Standard Atmosphere, table 1 (from
    memory: 898.746 hPa).
    """
    (row,) = rows([seen(480)], last=480, elevation_m=1000.0)
    assert row.pressure_pa == pytest.approx(89_874.6, abs=2.0)


def test_rows_rise_in_time_whatever_the_order():
    """Reports in any order give rows in time order; of two at one time the later."""
    found = rows([seen(540), seen(480), seen(540, 25.0)], last=540)
    assert [row.minute for row in found] == [480, 540]
    assert found[1].temperature_k == pytest.approx(298.15)


def test_report_on_the_grid():
    """A report becomes an observation at its minute of the day."""
    found = observation(report(REPORTS[0]), CLOCK)
    assert (found.minute, found.temperature_c, found.source) == (530, 24.0, "report")


@pytest.mark.parametrize(
    ("text", "knots"),
    [("27009G19KT", 10.0), ("27009KT", 0.0), ("VRB03G//KT", 0.0), ("27020G15KT", 0.0)],
)
def test_gust_is_what_it_is_above_the_mean(text, knots):
    """Missing gusts, and gusts below the mean, are none."""
    found = wind_of(text)
    assert found is not None
    assert found.gust_m_per_s == pytest.approx(knots * KNOT_M_PER_S)

"""slots.csv: intervals of the runway's capacity, and their faults."""

import pytest
from scenario_folder import STATION, faults_of, table, write_folder

from scheduler.day import SlotInterval
from scheduler.files import read_scenario

HEADER = "from_utc,to_utc,minutes,take_offs,runway"
ONLY = STATION.replace("[columns]", "slots_only = true\n[columns]")


def read(tmp_path, *rows, header=HEADER, station=STATION):
    changed = {"slots.csv": table(header, *rows), "station.toml": station}
    return read_scenario(write_folder(tmp_path, changed)).station


def test_intervals_by_end_or_by_length(tmp_path):
    """An end or a length gives the same interval; an empty runway means all."""
    station = read(
        tmp_path,
        "2026-07-14T09:00Z,2026-07-14T09:15Z,,4,24",
        "09:15,,15,0,",
        "23:50,00:05+1,,3,06",
    )
    assert station.slots == (
        SlotInterval(from_minute=540, to_minute=555, take_offs=4, runway="24"),
        SlotInterval(from_minute=555, to_minute=570, take_offs=0),
        SlotInterval(from_minute=1430, to_minute=1445, take_offs=3, runway="06"),
    )
    assert not station.slots_only


def test_a_date_column_dates_the_clock_times(tmp_path):
    """``HH:MM`` counts on the row's date."""
    station = read(
        tmp_path, "2026-07-15,01:00,02:00,6", header="date,from_utc,to_utc,take_offs"
    )
    (slot,) = station.slots
    assert (slot.from_minute, slot.to_minute) == (1500, 1560)


def test_take_offs_in_slots_alone(tmp_path):
    """``slots_only`` is handed on beside the slots."""
    station = read(tmp_path, "09:00,,600,90,", station=ONLY)
    assert station.slots_only
    assert len(station.slots) == 1


def test_no_file_is_no_fault(tmp_path):
    """Without slots.csv there are no intervals."""
    assert read_scenario(write_folder(tmp_path)).station.slots == ()


SLOT_FAULTS = {
    "end before start": (
        "09:15,09:00,,4,24",
        "2: to_utc: expected after 2026-07-14T09:15:00Z, by a day at most, got 09:00",
    ),
    "longer than a day": (
        "09:15,09:16+1,,4,24",
        "2: to_utc: expected after 2026-07-14T09:15:00Z, by a day at most, got 09:16+1",
    ),
    "end and length": (
        "09:00,09:15,15,4,24",
        "2: to_utc: expected a value here or in minutes, not in both, got both",
    ),
    "neither end nor length": (
        "09:00,,,4,24",
        "2: to_utc: expected a value here or in minutes, not in both, got neither",
    ),
    "no start": (
        ",09:15,,4,24",
        "2: from_utc: expected a value, got nothing",
    ),
    "no number": (
        "09:00,09:15,,,24",
        "2: take_offs: expected a value, got nothing",
    ),
    "negative number": (
        "09:00,09:15,,-1,24",
        "2: take_offs: expected 0 to 1000 take-offs, got -1",
    ),
    "half a take-off": (
        "09:00,09:15,,1.5,24",
        "2: take_offs: expected a whole number of take-offs, got 1.5",
    ),
    "length of nothing": (
        "09:00,,0,4,24",
        "2: minutes: expected 1 to 1440 minutes, got 0",
    ),
    "seconds": (
        "2026-07-14T09:00:30Z,,15,4,24",
        "2: from_utc: expected a whole minute, got 2026-07-14T09:00:30Z",
    ),
    "unknown runway": (
        "09:00,,15,4,25",
        "2: runway: expected one of 24, 06, got 25",
    ),
    "another month": (
        "2026-08-14T09:00Z,,15,4,",
        "2: from_utc: expected a time within two days of 2026-07-14, "
        "got 2026-08-14T09:00Z",
    ),
    "local date": (
        "14/07/2026 09:00,,15,4,",
        "2: from_utc: expected UTC as 2026-07-14T09:00Z, got 14/07/2026 09:00",
    ),
}


@pytest.mark.parametrize("name", SLOT_FAULTS)
def test_slot_fault(tmp_path, name):
    """A fault of slots.csv is told once, with its line, column and correction."""
    row, fault = SLOT_FAULTS[name]
    found = faults_of(tmp_path, {"slots.csv": table(HEADER, row)})
    assert found == [f"slots.csv:{fault}"]


@pytest.mark.parametrize(
    ("header", "fault"),
    [
        ("to_utc,take_offs", "from_utc: expected this column"),
        ("from_utc,to_utc", "take_offs: expected this column"),
        ("from_utc,take_offs", "to_utc or minutes: expected one of these columns"),
    ],
)
def test_a_missing_column_is_one_fault(tmp_path, header, fault):
    """A column that is not there is told at the header, whatever the rows hold."""
    found = faults_of(tmp_path, {"slots.csv": table(header, "09:00,5", "09:10,5")})
    assert found == [f"slots.csv:1: {fault}, got nothing"]


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        (None, "slots.csv: expected this file, because slots_only is true, got none"),
        (
            HEADER + "\n",
            "slots.csv:2: expected at least one interval, because slots_only is true, "
            "got nothing",
        ),
    ],
)
def test_slots_only_needs_slots(tmp_path, text, fault):
    """A station that lets nobody go without a slot has to give some."""
    changed = {"station.toml": ONLY, "slots.csv": text}
    assert faults_of(tmp_path, changed) == [fault]

"""The small readers beneath the files: times, TOML lines, CSV records."""

from datetime import UTC, date, datetime

import pytest

from scheduler.errors import ScenarioError
from scheduler.files.csv_table import Headings, read_rows
from scheduler.files.faults import FaultList, nearest, one_of
from scheduler.files.times import TimeTextError, calendar_date, clock_minutes, instant
from scheduler.files.toml_lines import TomlLines


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("05:00", 300),
        ("5:00", 300),
        ("24:00", 1440),
        ("00:40+1", 1480),
        ("23:00-1", -60),
    ],
)
def test_clock_minutes(text, minutes):
    """Clock times count from midnight, with days before and after."""
    assert clock_minutes(text) == minutes


@pytest.mark.parametrize("text", ["", "5", "05:60", "24:01", "05.00", "05:00Z"])
def test_clock_minutes_refuses(text):
    """Anything but HH:MM is refused."""
    with pytest.raises(TimeTextError):
        clock_minutes(text)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("14/07/2026 09:50", "UTC as 2026-07-14T09:50Z"),
        ("14.7.26 9:50", "UTC as 2026-07-14T09:50Z"),
        ("04/05/2026 09:50", "UTC as 2026-05-04T09:50Z or 2026-04-05T09:50Z"),
        ("2026-07-14 09:50", "UTC as 2026-07-14T09:50Z"),
        ("2026-07-14T09:50", "UTC as 2026-07-14T09:50Z"),
        ("2026-07-14T11:50+02:00", "UTC as 2026-07-14T09:50Z"),
        ("2026-07-14", "UTC as 2026-07-14THH:MMZ"),
        ("14/07/2026", "UTC as 2026-07-14THH:MMZ"),
        ("2026-02-30T09:50Z", "a date and time that exist, UTC as 2026-07-14T14:05Z"),
        ("tomorrow", "UTC as 2026-07-14T14:05Z"),
        ("45852.4", "UTC as 2026-07-14T14:05Z"),
    ],
)
def test_other_times_show_the_corrected_cell(text, expected):
    """A clear time in another form is refused with what to write."""
    with pytest.raises(TimeTextError) as raised:
        instant(text, None)
    assert str(raised.value) == expected


def test_instants():
    """ISO 8601 with Z is read with its seconds; clock times on the date given."""
    assert instant("2026-07-14T09:50:30Z", None) == datetime(
        2026, 7, 14, 9, 50, 30, tzinfo=UTC
    )
    assert instant("00:20+1", date(2026, 7, 14)) == datetime(
        2026, 7, 15, 0, 20, tzinfo=UTC
    )


def test_calendar_date():
    """Dates are ISO 8601; a local date is refused with the two it can mean."""
    assert calendar_date("2026-07-14") == date(2026, 7, 14)
    with pytest.raises(TimeTextError) as raised:
        calendar_date("4/5/2026")
    assert str(raised.value) == "a date as 2026-05-04 or 2026-04-05"


TOML = '''\
# [not a table]
top = """
[[nor.this]]
"""
list = [
  [0, 1],   # ]
  [15, 2],
]
"quoted \\u0041.b" = 1
a.b.c = "x # ["

[t]
k = 1
[[r]]
name = "one"
[[r.e]]
d = 1
[[r.e]]
d = 2
[[r]]
name = 'two # ['
x = [{d = 1},
 {d = 2}]
'''


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("top",), 2),
        (("list",), 5),
        (("list", 1), 5),
        (("quoted A.b",), 9),
        (("a", "b", "c"), 10),
        (("t",), 12),
        (("t", "k"), 13),
        (("t", "missing"), 12),
        (("r", 0, "name"), 15),
        (("r", 0, "e", 0, "d"), 17),
        (("r", 0, "e", 1, "d"), 19),
        (("r", 1, "name"), 21),
        (("r", 1, "x", 1, "d"), 22),
        (("nowhere",), 1),
    ],
)
def test_lines_of_toml_keys(path, line):
    """Keys are found on their lines in spite of lists, strings and comments."""
    assert TomlLines(TOML).of(path) == line


def test_rows_know_the_line_they_start_on(tmp_path):
    """A quoted line break and empty lines do not shift the lines of later rows."""
    path = tmp_path / "t.csv"
    path.write_text('a,b\n\n1,"x\ny"\n ,\n2,z\n')
    faults = FaultList()
    found = read_rows(path, ("a", "b"), Headings(), faults)
    assert [(row.line, row["a"], row["b"]) for row in found] == [
        (3, "1", "x\ny"),
        (6, "2", "z"),
    ]
    assert faults.count == 0


def test_a_heading_in_another_unit_is_not_offered_as_ours(tmp_path):
    """Pounds are never pasted in as kilograms."""
    path = tmp_path / "t.csv"
    path.write_text("Landing Weight (lb),landing_weigth_kg\n1,2\n")
    faults = FaultList()
    read_rows(path, ("landing_weight_kg",), Headings(), faults)
    with pytest.raises(ScenarioError) as caught:
        faults.raise_if_any()
    pounds, typo = str(caught.value).splitlines()
    assert "(nearest: landing_weight_kg, values in that unit)" in pounds
    assert '= "landing_weight_kg"' not in pounds
    assert '"landing_weigth_kg" = "landing_weight_kg"' in typo


def test_nearest_name():
    """The nearest name ignores case and marks, and is not forced."""
    assert nearest("Landing Weight (kg)", ["landing_weight_kg", "tail"]) == (
        "landing_weight_kg"
    )
    assert nearest("zzz", ["tail"]) is None


def test_long_lists_give_the_nearest_alone():
    """A long list of names is not printed where one of them is near."""
    names = [f"name_{letter}" for letter in "abcdefghijklmnop"]
    assert one_of(names, "name-c") == "a known name (nearest: name_c)"
    assert one_of([]) == "one of (none defined)"

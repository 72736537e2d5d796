"""What each entry of the log does to the day, and which entries cannot be."""

import pytest

from scheduler.day import (
    Basis,
    FanTime,
    Finding,
    Found,
    Outage,
    Pin,
    Pinned,
    PlugCheck,
    Reading,
    RejectedTakeOff,
)
from scheduler.errors import ScenarioError
from tests.scheduler.logged_day import day_after, minute, planned, turnaround

IN = ("in-block", "A1", "09:08")
OUT = ("off-block", "A1", "09:55")
ON = ("fan-on", "A1", "09:12", {"fan": "trolley", "units": 2})


def faults_after(*facts) -> list[str]:
    """Lines of the error that the facts give."""
    with pytest.raises(ScenarioError) as raised:
        day_after(*facts)
    return str(raised.value).splitlines()


def test_no_entry_no_change():
    """Without a log the day is the one that was planned."""
    assert day_after() == planned()


def test_in_block_is_actual():
    """In-block gives its minute and its basis, and leaves the target."""
    one = turnaround(day_after(IN))
    assert (one.in_block_minute, one.in_block_basis) == (548, Basis.ACTUAL)
    assert one.target_off_block_minute == turnaround(planned()).target_off_block_minute


def test_landed_moves_in_block_until_it_happens():
    """A landing gives an expected in-block, then the true taxi-in time."""
    landed = ("landed", "A1", "09:02")
    one = turnaround(day_after(landed))
    assert (one.in_block_minute, one.in_block_basis) == (547, Basis.ESTIMATED)
    one = turnaround(day_after(landed, IN))
    assert one.landing.taxi_in_minutes == 6
    assert turnaround(day_after(IN, landed)).landing.taxi_in_minutes == 6


def test_in_block_after_the_target_keeps_the_planned_stay():
    """A flight that comes in after its off-block target gets its planned stay anew."""
    day = day_after(("in-block", "A1", "10:20"))
    assert turnaround(day).target_off_block_minute == minute("10:20") + 45
    assert "A1: no target off-block later than in-block 10:20" in day.notes[-1]
    day = day_after(("in-block", "A1", "10:20"), ("tobt", "A1", "10:55"))
    assert turnaround(day).target_off_block_minute == minute("10:55")
    assert day.notes == planned().notes


def test_off_block_airborne_and_progress():
    """Off-block is actual, and airborne is noted with its minute."""
    day = day_after(IN, OUT, ("airborne", "A1", "10:04"))
    one = turnaround(day)
    assert (one.target_off_block_minute, one.off_block_basis) == (595, Basis.ACTUAL)
    assert day.airborne == (("A1", 604),)


def test_a_later_entry_corrects_an_earlier_one():
    """The second in-block, target and slot count."""
    one = turnaround(
        day_after(
            IN,
            ("in-block", "A1", "09:07"),
            ("tobt", "A1", "09:58"),
            ("tobt", "A1", "09:57"),
            ("ctot", "A1", "10:10"),
        )
    )
    assert one.in_block_minute == 547
    assert (one.target_off_block_minute, one.off_block_basis) == (597, Basis.ESTIMATED)
    assert one.departure.ctot_minute == 610


def test_stand_and_cancel():
    """Another stand, and no departure."""
    day = day_after(("stand", "A1", "", {"stand": "2"}), ("cancel", "A2", ""))
    assert turnaround(day).stand == "2"
    assert turnaround(day, "A2").cancelled
    assert not turnaround(day).cancelled


def test_readings_in_kelvin_at_their_minute():
    """A reading keeps its position and minute."""
    fields = {"indicated_k": 693.15, "position": "3"}
    day = day_after(("reading", "A1", "09:15", fields))
    expected = Reading(turnaround_id="A1", minute=555, **fields)
    assert day.readings == (expected,)


def test_a_fan_that_began_is_pinned():
    """Fan-on and fan-off give the fan's time, and a pin of the job either way."""
    started = {"turnaround_id": "A1", "fan": "trolley", "units": 2, "start_minute": 552}
    day = day_after(IN, ON)
    assert day.fan_times == (FanTime(**started),)
    reason = {"kind": Pinned.FAN, "reason": "has begun"}
    assert day.pins == (Pin(**started, **reason),)
    day = day_after(IN, ON, ("fan-off", "A1", "09:40"))
    assert day.fan_times == (FanTime(**started, end_minute=580),)
    assert day.pins == (Pin(**started, **reason, end_minute=580),)


def test_off_block_ends_a_fan_and_drops_the_pins():
    """A flight that left has no fan and no pin; a corrected off-block moves the end."""
    pinned = ("pin", "A1", "09:52", {"pinned": Pinned.NOT_BEFORE})
    day = day_after(IN, ON, pinned, OUT)
    assert [run.end_minute for run in day.fan_times] == [595]
    assert day.pins == ()
    day = day_after(IN, ON, OUT, ("off-block", "A1", "09:53"))
    assert [run.end_minute for run in day.fan_times] == [593]


def test_checks_of_the_whole_aircraft():
    """A plug check and a wheel change count at once."""
    day = day_after(
        ("plug-check", "A1", "09:40"),
        ("wheel-change", "A1", "09:45", {"position": "3"}),
    )
    assert day.checks == (
        PlugCheck(turnaround_id="A1", minute=580),
        PlugCheck(turnaround_id="A1", minute=585, wheel_changed=True),
    )


def _wheel(position: str, at: str, found: Found = Found.CHECKED):
    return ("finding", "A1", at, {"position": position, "found": found})


def test_single_wheels_count_once_all_are_checked():
    """Three of four checked wheels check no aircraft; the fourth does, from the first.

    One wheel says nothing about the plugs of the others.
    """
    three = (_wheel("1", "09:40"), _wheel("2", "09:42"), _wheel("4", "09:44"))
    assert day_after(*three).checks == ()
    last = _wheel("3", "09:50", Found.WHEEL_CHANGED)
    (check,) = day_after(*three, last).checks
    assert check == PlugCheck(turnaround_id="A1", minute=580, wheel_changed=True)
    assert day_after(("plug-check", "A1", "09:40", {"position": "1"})).checks == ()


def test_no_finding_checks_nothing():
    """Nothing found at any wheel is no plug check."""
    day = day_after(*(_wheel(name, "09:40", Found.NO_FINDING) for name in "1234"))
    assert day.checks == ()
    assert [one.position for one in day.findings] == list("1234")


def test_a_replaced_brake_is_new():
    """Wear is 0 at that position of the tail, and nowhere else."""
    fields = {"position": "R1", "found": Found.BRAKE_REPLACED}
    day = day_after(("finding", "A2", "10:20", fields))
    before, after = (d.tail_of(turnaround(d, "A2")) for d in (planned(), day))
    assert before.wear == (0.2, None, 0.9, 1.0)
    assert after.wear == (0.2, None, 0.0, 1.0)
    assert day.tails[0] == planned().tails[0]


def test_a_wear_pin_is_noted():
    """A wear pin is a finding with its length, and changes no wear."""
    fields = {"position": "R1", "found": Found.WEAR_PIN, "wear_pin_mm": 12.5}
    day = day_after(("finding", "A2", "10:20", fields))
    assert day.findings == (Finding(turnaround_id="A2", minute=620, **fields),)
    assert day.tails == planned().tails


def test_a_rejected_take_off_opens_the_departure_again():
    """In-block is the return, off-block is open, the attempt is a record."""
    fields = {"speed_m_per_s": 55.0, "weight_kg": 70000.0}
    back = {**fields, "until_minute": minute("10:20")}
    day = day_after(IN, ON, OUT, ("rto", "A1", "10:05", back))
    one = turnaround(day)
    assert (one.in_block_minute, one.in_block_basis) == (620, Basis.ACTUAL)
    assert one.off_block_basis is Basis.ESTIMATED
    wait = planned().station.inspection_minutes
    assert one.target_off_block_minute == 620 + wait
    attempt = RejectedTakeOff(
        turnaround_id="A1",
        minute=605,
        in_block_minute=548,
        off_block_minute=595,
        **fields,
    )
    assert day.rejected == (attempt,)
    assert day.pins == ()
    again = day_after(
        *(IN, OUT, ("rto", "A1", "10:05", back)),
        *(("tobt", "A1", "11:30"), ("off-block", "A1", "11:31")),
    )
    assert turnaround(again).off_block_basis is Basis.ACTUAL
    assert again.rejected == (attempt,)


def test_a_return_that_nobody_timed_takes_a_taxi_in():
    """Without a time back, in-block is expected a taxi-in after the stop."""
    day = day_after(IN, OUT, ("rto", "A1", "10:05"))
    one = turnaround(day)
    assert (one.in_block_minute, one.in_block_basis) == (610, Basis.ESTIMATED)
    day = day_after(IN, OUT, ("rto", "A1", "10:05"), ("in-block", "A1", "10:14"))
    one = turnaround(day)
    assert (one.in_block_minute, one.in_block_basis) == (614, Basis.ACTUAL)
    assert one.landing == turnaround(planned()).landing


def test_pins_of_each_kind():
    """Pins reach the day; a fan and no fan replace each other."""
    fan = {"pinned": Pinned.FAN, "fan": "trolley", "until_minute": minute("09:40")}
    day = day_after(
        ("pin", "A1", "10:00", {"pinned": Pinned.OFF_BLOCK}),
        ("pin", "A1", "", {"pinned": Pinned.NO_FAN}),
        ("pin", "A1", "09:20", fan),
    )
    assert [pin.kind for pin in day.pins] == [Pinned.OFF_BLOCK, Pinned.FAN]
    assert day.pins[0].minute == 600
    kept = day.pins[1]
    assert (kept.units, kept.start_minute, kept.end_minute) == (1, 560, 580)
    none = ("pin", "A1", "", {"pinned": Pinned.NO_FAN})
    assert day_after(none, ("unpin", "A1", "")).pins == ()
    assert day_after(none, ("unpin", "A1", "", {"pinned": Pinned.NO_FAN})).pins == ()


def _outages(*facts) -> tuple[Outage, ...]:
    return day_after(*facts).station.fans[0].outages


def test_fans_out_and_back():
    """Units are away from … to; those that come back earlier are away until then."""
    out = {"fan": "trolley", "units": 2, "until_minute": minute("12:00")}
    gone = ("fan-out", "", "10:00", out)
    assert _outages(gone) == (Outage(units=2, from_minute=600, to_minute=720),)
    back = ("fan-back", "", "11:00", {"fan": "trolley", "units": 1})
    day = day_after(gone, back)
    fan = day.station.fans[0]
    assert [fan.units_at(at) for at in (599, 600, 659, 660, 719, 720)] == [
        *(2, 0, 0, 1, 1, 2)
    ]
    endless = ("fan-out", "", "10:00", {"fan": "trolley"})
    assert day_after(endless).station.fans[0].units_at(2800) == 1


def test_runway_closed_and_open():
    """No take-offs from … to; an opening ends it, and only on that runway."""
    shut = ("runway-closed", "", "10:00", {"runway": "24", "until_minute": 660})
    day = day_after(shut)
    assert [one.closures for one in day.station.runways] == [((600, 660),), ()]
    opened = ("runway-open", "", "10:30", {"runway": "24"})
    assert day_after(shut, opened).station.runways[0].closures == ((600, 630),)
    endless = ("runway-closed", "", "10:00", {"runway": "24"})
    assert day_after(endless).station.runways[0].is_closed(2800)


def test_undo_takes_back_one_entry():
    """The entry that an undo names counts as never written."""
    undo = ("undo", "", "", {"undoes": 2})
    assert day_after(IN, undo) == planned()
    assert turnaround(day_after(IN, ("tobt", "A1", "09:58"), undo)) != turnaround(
        planned()
    )


CONTRADICTIONS = {
    "undo of nothing": (
        [("undo", "", "", {"undoes": 9})],
        "undoes: expected the number of an entry that counts, got 9",
    ),
    "undo twice": (
        [IN, *[("undo", "", "", {"undoes": 2})] * 2],
        "undoes: expected the number of an entry that counts, got 2",
    ),
    "undo of an undo": (
        [IN, ("undo", "", "", {"undoes": 2}), ("undo", "", "", {"undoes": 3})],
        "undoes: expected the number of an entry that counts, got 3",
    ),
    "reading before landing": (
        [("in-block", "A1", "09:05"), ("reading", "A1", "08:59", {"indicated_k": 500})],
        "time_utc: expected after landing 09:00, got 08:59",
    ),
    "reading before a landing that is expected": (
        [("reading", "A1", "08:59", {"indicated_k": 500})],
        "time_utc: expected after landing 09:00 (if it came earlier, log in-block "
        "first), got 08:59",
    ),
    "check before landing": (
        [IN, ("plug-check", "A1", "08:30")],
        "time_utc: expected after landing 09:03, got 08:30",
    ),
    "check of what flies": (
        [IN, OUT, ("airborne", "A1", "10:04"), ("plug-check", "A1", "10:30")],
        "time_utc: expected before airborne 10:04, got 10:30",
    ),
    "off-block before in-block": (
        [IN, ("off-block", "A1", "09:08")],
        "time_utc: expected after in-block 09:08, got 09:08",
    ),
    "off-block before the fan": (
        [IN, ON, ("off-block", "A1", "09:10")],
        "time_utc: expected after fan-on 09:12, got 09:10",
    ),
    "off-block under a fan that was off later": (
        [IN, ON, ("fan-off", "A1", "09:40"), ("off-block", "A1", "09:39")],
        "time_utc: expected no earlier than fan-off 09:40, got 09:39",
    ),
    "off-block after airborne": (
        [IN, OUT, ("airborne", "A1", "10:04"), ("off-block", "A1", "10:05")],
        "time_utc: expected before airborne 10:04, got 10:05",
    ),
    "off-block of a cancelled flight": (
        [("cancel", "A1", ""), OUT],
        "event: expected a departure that is not cancelled, got off-block",
    ),
    "in-block after off-block": (
        [IN, OUT, ("in-block", "A1", "09:56")],
        "time_utc: expected before off-block 09:55, got 09:56",
    ),
    "in-block before landing": (
        [("landed", "A1", "09:02"), ("in-block", "A1", "09:02")],
        "time_utc: expected 1 to 120 minutes after landing 09:02, got 09:02",
    ),
    "in-block after the fan": (
        [IN, ON, ("in-block", "A1", "09:13")],
        "time_utc: expected no later than fan-on 09:12, got 09:13",
    ),
    "in-block before the stop": (
        [IN, OUT, ("rto", "A1", "10:05"), ("in-block", "A1", "10:05")],
        "time_utc: expected after the rejected take-off 10:05, got 10:05",
    ),
    "landed after in-block": (
        [IN, ("landed", "A1", "09:08")],
        "time_utc: expected 1 to 120 minutes before in-block 09:08, got 09:08",
    ),
    "landed of what left": (
        [IN, OUT, ("landed", "A1", "09:02")],
        "event: expected a flight that has not left, got landed",
    ),
    "airborne from the stand": (
        [IN, ("airborne", "A1", "10:00")],
        "event: expected off-block to be logged first, got airborne",
    ),
    "airborne before off-block": (
        [IN, OUT, ("airborne", "A1", "09:55")],
        "time_utc: expected after off-block 09:55, got 09:55",
    ),
    "rejected from the stand": (
        [IN, ("rto", "A1", "10:00")],
        "event: expected off-block to be logged first, got rto",
    ),
    "rejected before off-block": (
        [IN, OUT, ("rto", "A1", "09:55")],
        "time_utc: expected after off-block 09:55, got 09:55",
    ),
    "rejected in the air": (
        [IN, OUT, ("airborne", "A1", "10:04"), ("rto", "A1", "10:03")],
        "event: expected a flight that is not airborne, got rto",
    ),
    "back before the stop": (
        [IN, OUT, ("rto", "A1", "10:03", {"until_minute": 603})],
        "until_utc: expected after it, 10:03, got 10:03",
    ),
    "rejected too heavy": (
        [IN, OUT, ("rto", "A1", "10:03", {"weight_kg": 80000.0})],
        "weight_kg: expected 42000 to 79000 kg (operating empty to maximum take-off "
        "weight), got 80000",
    ),
    "target before in-block": (
        [IN, ("tobt", "A1", "09:08")],
        "time_utc: expected after in-block 09:08, got 09:08",
    ),
    "target of what left": (
        [IN, OUT, ("tobt", "A1", "09:58")],
        "event: expected a flight that has not left (off-block 09:55), got tobt",
    ),
    "slot before in-block": (
        [("ctot", "A1", "09:05")],
        "time_utc: expected after in-block 09:05, got 09:05",
    ),
    "unknown fan": (
        [IN, ("fan-on", "A1", "09:12", {"fan": "cart"})],
        "fan: expected one of trolley, got cart",
    ),
    "fan before in-block": (
        [("fan-on", "A1", "09:04", {"fan": "trolley"})],
        "time_utc: expected in-block 09:05 or later (if it came earlier, log in-block "
        "first), got 09:04",
    ),
    "fan on what left": (
        [IN, OUT, ON],
        "event: expected an aircraft on its stand (off-block 09:55), got fan-on",
    ),
    "fan that is on": (
        [IN, ON, ("fan-on", "A1", "09:14", {"fan": "trolley"})],
        "event: expected fan-off first (trolley on since 09:12), got fan-on",
    ),
    "fan before the last one was off": (
        [IN, ON, ("fan-off", "A1", "09:40"), ("fan-on", "A1", "09:39", ON[3])],
        "time_utc: expected no earlier than the last fan-off 09:40, got 09:39",
    ),
    "more units than there are": (
        [IN, ("fan-on", "A1", "09:12", {"fan": "trolley", "units": 3})],
        "units: expected at most 2 (of 2 trolley), got 3",
    ),
    "more units than are free": (
        [IN, ON, ("fan-on", "A2", "10:10", {"fan": "trolley"})],
        "units: expected at most 0 (of 2 trolley, 2 on A1), got 1",
    ),
    "more units than are in service": (
        [("fan-out", "", "09:00", {"fan": "trolley"}), IN, ON],
        "units: expected at most 1 (of 2 trolley, 1 out of service), got 2",
    ),
    "fan-off of none": (
        [IN, ("fan-off", "A1", "09:40")],
        "event: expected a fan that is on, got fan-off",
    ),
    "fan-off of another": (
        [IN, ON, ("fan-off", "A1", "09:40", {"fan": "cart"})],
        "fan: expected trolley, which is on, got cart",
    ),
    "fan-off of a part": (
        [IN, ON, ("fan-off", "A1", "09:40", {"units": 1})],
        "units: expected all 2 that are on, got 1",
    ),
    "fan-off before fan-on": (
        [IN, ON, ("fan-off", "A1", "09:12")],
        "time_utc: expected after fan-on 09:12, got 09:12",
    ),
    "more out than there are": (
        [("fan-out", "", "09:00", {"fan": "trolley", "units": 3})],
        "units: expected at most 2 (of 2 trolley), got 3",
    ),
    "out while they blow": (
        [IN, ON, ("fan-out", "", "09:20", {"fan": "trolley", "units": 1})],
        "units: expected at most 0 (2 are blowing: log fan-off first), got 1",
    ),
    "out before it begins": (
        [("fan-out", "", "09:00", {"fan": "trolley", "until_minute": 540})],
        "until_utc: expected after the beginning 09:00, got 09:00",
    ),
    "back without being out": (
        [("fan-back", "", "09:00", {"fan": "trolley"})],
        "units: expected at most 0, out of service at 09:00, got 1",
    ),
    "open without being closed": (
        [("runway-open", "", "09:00", {"runway": "24"})],
        "time_utc: expected a time at which 24 is closed, got 09:00",
    ),
    "a turnaround that is not there": (
        [("in-block", "A3", "09:08")],
        "turnaround: expected one of A1, A2, got A3",
    ),
    "no time": (
        [("in-block", "A1", "")],
        "time_utc: expected a value, got nothing",
    ),
    "a finding nowhere": (
        [("finding", "A1", "09:20", {"found": Found.NO_FINDING})],
        "position: expected a value beside a finding, got nothing",
    ),
    "a position of another tail": (
        [("plug-check", "A1", "09:20", {"position": "L1"})],
        "position: expected one of 1, 2, 3, 4, got L1",
    ),
    "a stand that is not there": (
        [("stand", "A1", "", {"stand": "9"})],
        "stand: expected one of 1, 2, got 9",
    ),
    "wear pin without a length": (
        [("finding", "A1", "09:20", {"position": "1", "found": Found.WEAR_PIN})],
        "wear_pin_mm: expected a length with wear-pin, got nothing",
    ),
    "pin without a time": (
        [("pin", "A1", "", {"pinned": Pinned.OFF_BLOCK})],
        "time_utc: expected a time of the pin off-block, got nothing",
    ),
    "pin before in-block": (
        [("pin", "A1", "09:00", {"pinned": Pinned.NOT_BEFORE})],
        "time_utc: expected after in-block 09:05, got 09:00",
    ),
    "pin of more units than there are": (
        [("pin", "A1", "", {"pinned": Pinned.FAN, "fan": "trolley", "units": 3})],
        "units: expected at most 2, got 3",
    ),
    "pin of a fan with the end alone": (
        [
            (
                "pin",
                "A1",
                "",
                {"pinned": Pinned.FAN, "fan": "trolley"} | {"until_minute": 9},
            )
        ],
        "until_utc: expected after the start, got 00:09",
    ),
    "unpin of none": (
        [("unpin", "A1", "")],
        "pin: expected a pin that there is (none), got nothing",
    ),
}


@pytest.mark.parametrize("name", CONTRADICTIONS)
def test_what_cannot_be_is_one_fault(name):
    """An entry that cannot be after those before it is told with its line."""
    facts, fault = CONTRADICTIONS[name]
    line = len(facts) + 1
    if name == "more units than are in service":
        line = 4
    assert faults_after(*facts) == [f"events.csv:{line}: {fault}"]

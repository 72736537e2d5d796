"""The facts that ``heatslot log`` takes: words, options and an example of each."""

from collections.abc import Mapping
from dataclasses import dataclass

OPTIONS = ("position", "units", "speed_kt", "weight_kg")


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """A fact: its columns in the order of the words, ``?`` behind those that may lack.

    ``options`` are columns that an option may fill; ``times`` is how many there can be.
    """

    example: str
    meaning: str
    columns: tuple[str, ...]
    options: tuple[str, ...] = ()
    times: int = 1


FACTS: Mapping[str, Fact] = {
    "landed": Fact(
        example="landed TF101 13:56", meaning="touchdown", columns=("turnaround",)
    ),
    "in-block": Fact(
        example="in-block TF101 14:02",
        meaning="on the stand, also after a return",
        columns=("turnaround",),
    ),
    "off-block": Fact(
        example="off-block TF101 14:52",
        meaning="gone; its fan counts as off",
        columns=("turnaround",),
    ),
    "airborne": Fact(
        example="airborne TF101 15:03",
        meaning="off the ground",
        columns=("turnaround",),
    ),
    "tobt": Fact(
        example="tobt TF101 14:50", meaning="target off-block", columns=("turnaround",)
    ),
    "ctot": Fact(
        example="ctot TF101 15:05",
        meaning="calculated take-off time",
        columns=("turnaround",),
    ),
    "stand": Fact(
        example="stand TF101 7",
        meaning="another stand",
        columns=("turnaround", "stand"),
    ),
    "cancel": Fact(
        example="cancel TF101",
        meaning="no departure any more",
        columns=("turnaround",),
    ),
    "reading": Fact(
        example="reading TF101 420 at 14:12 --position 3",
        meaning="indicated °C; without a position that of the hottest brake",
        columns=("turnaround", "indicated_c"),
        options=("position",),
    ),
    "fan-on": Fact(
        example="fan-on TF101 large --units 2 14:20",
        meaning="fan units blow, one unit if not said",
        columns=("turnaround", "fan?", "units?"),
        options=("units",),
    ),
    "fan-off": Fact(
        example="fan-off TF101 14:48",
        meaning="its fan is off",
        columns=("turnaround", "fan?", "units?"),
        options=("units",),
    ),
    "plug-check": Fact(
        example="plug-check TF101 14:40",
        meaning="plugs and tyres checked; with --position those of one wheel",
        columns=("turnaround",),
        options=("position",),
    ),
    "wheel-change": Fact(
        example="wheel-change TF101 15:30 --position 3",
        meaning="a wheel was changed",
        columns=("turnaround",),
        options=("position",),
    ),
    "finding": Fact(
        example="finding TF101 3 brake replaced 15:10",
        meaning="at one wheel: no finding, plug and tyre checked, wheel changed, "
        "brake replaced, or wear pin 12.5 mm",
        columns=("turnaround", "position", "finding", "wear_pin_mm?"),
        options=("position",),
    ),
    "rto": Fact(
        example="rto TF101 110 kt at 15:03 back 15:12",
        meaning="rejected take-off: ground speed, --weight-kg, back on the stand",
        columns=("turnaround", "speed_kt?", "weight_kg?"),
        options=("speed_kt", "weight_kg"),
        times=2,
    ),
    "pin": Fact(
        example="pin TF101 not before 15:00",
        meaning="keep: off-block 15:00, not before 15:00, no fan, "
        "fan large --units 2 14:20 14:50",
        columns=("turnaround", "pin", "fan?", "units?"),
        options=("units",),
        times=2,
    ),
    "unpin": Fact(
        example="unpin TF101",
        meaning="let go of all pins, or of one kind",
        columns=("turnaround", "pin?"),
    ),
    "fan-out": Fact(
        example="fan-out large 1 from 14:00 to 16:00",
        meaning="units out of service; without an end until fan-back",
        columns=("fan?", "units?"),
        options=("units",),
        times=2,
    ),
    "fan-back": Fact(
        example="fan-back large 1 15:20",
        meaning="units in service again",
        columns=("fan?", "units?"),
        options=("units",),
    ),
    "runway-closed": Fact(
        example="runway-closed 27 14:00 14:45",
        meaning="no take-offs; without an end until runway-open",
        columns=("runway",),
        times=2,
    ),
    "runway-open": Fact(
        example="runway-open 27 14:35", meaning="take-offs again", columns=("runway",)
    ),
    "undo": Fact(
        example="undo 17",
        meaning="entry 17 no longer counts; it stays in the log",
        columns=("undoes",),
    ),
}

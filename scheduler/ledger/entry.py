"""One line of the ledger: a stop or a finding at one brake position."""

import math
from dataclasses import astuple, dataclass, fields
from enum import StrEnum

from scheduler.errors import DayError


class Kind(StrEnum):
    """What happened to the brake."""

    LANDING = "landing"
    ACCELERATE_STOP = "accelerate-stop"
    FINDING = "finding"


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One stop or finding.

    Station, day, turnaround, tail, position, kind and number make its key: an entry
    with the same key replaces the earlier one, which stays in the file. Without a key
    of its own a brake that changes its place is not followed.

    Attributes
    ----------
    day : str
        Date of the scenario's day, ISO 8601.
    number : int
        Counts several of one kind at one turnaround, from 0.
    at_utc : str
        When it happened, ISO 8601 with Z.
    energy_mj, stack_peak_c, oxidation_dose : float or None
        Figures of a stop, middle of all ranges; no dose where the stack is of steel.
    is_hot : bool
        Whether the stop counts as a hot one.
    found : str or None
        Of a finding, as it is logged.
    wear_pin_mm : float or None
    is_withdrawn : bool
        The log no longer has it.
    """

    station: str
    day: str
    turnaround_id: str
    tail: str
    position: str
    kind: Kind
    number: int = 0
    at_utc: str
    energy_mj: float | None = None
    stack_peak_c: float | None = None
    oxidation_dose: float | None = None
    is_hot: bool = False
    found: str | None = None
    wear_pin_mm: float | None = None
    is_withdrawn: bool = False

    def __post_init__(self) -> None:
        """Refuse figures that are no numbers."""
        for name in ("energy_mj", "stack_peak_c", "oxidation_dose", "wear_pin_mm"):
            value = getattr(self, name)
            if value is not None and not math.isfinite(value):
                raise DayError.of(f"ledger entry: {name}", "a number", value)

    @property
    def key(self) -> tuple[str | int, ...]:
        """What it is about."""
        return (
            self.station,
            self.day,
            self.turnaround_id,
            self.tail,
            self.position,
            str(self.kind),
            self.number,
        )

    @property
    def cells(self) -> tuple[str | float | int | None, ...]:
        """Values in the order of `COLUMNS`, as they are stored."""
        return tuple(
            str(value) if isinstance(value, Kind) else value for value in astuple(self)
        )

    @classmethod
    def of(cls, cells: tuple[str | float | int | None, ...]) -> "Entry":
        """Entry from its stored values."""
        values = dict(zip(COLUMNS, cells, strict=True))
        values["kind"] = Kind(str(values["kind"]))
        values["is_hot"] = bool(values["is_hot"])
        values["is_withdrawn"] = bool(values["is_withdrawn"])
        return cls(**values)  # type: ignore[arg-type]


COLUMNS = tuple(item.name for item in fields(Entry))

"""The fleet: tails with their wear and defects."""

from dataclasses import dataclass

from scheduler.errors import DayError


@dataclass(frozen=True, slots=True, kw_only=True)
class Tail:
    """One aircraft: type, brake positions by the operator's names, wear, defects.

    The first half of ``positions`` is the left side, the second half the right.
    ``wear`` is 0 (new) … 1 (fully worn) per position, None where unknown.
    ``inoperative`` names positions whose brake is locked out.
    """

    registration: str
    aircraft: str
    positions: tuple[str, ...]
    wear: tuple[float | None, ...]
    inoperative: tuple[str, ...] = ()
    reverser_inoperative: bool = False
    onboard_fan_inoperative: bool = False
    anti_skid_inoperative: bool = False
    automatic_braking_inoperative: bool = False

    def __post_init__(self) -> None:
        """One wear entry per position; defects name positions that exist."""
        if len(self.wear) != len(self.positions):
            raise DayError.of(
                f"tail {self.registration}: wear",
                f"{len(self.positions)} entries",
                len(self.wear),
            )
        unknown = set(self.inoperative) - set(self.positions)
        if unknown:
            raise DayError.of(
                f"tail {self.registration}: inoperative",
                "positions of this tail",
                sorted(unknown),
            )

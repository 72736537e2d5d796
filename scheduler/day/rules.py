"""Rules of the place: approach, curfew, cost of delay, wake separation, slots."""

from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from scheduler.errors import DayError


class CurfewEvent(StrEnum):
    """Which event a curfew forbids."""

    OFF_BLOCK = "off_block"
    TAKE_OFF = "take_off"


@dataclass(frozen=True, slots=True, kw_only=True)
class ApproachRule:
    """The operator's threshold for sending a person to a wheel.

    The figures must lie at or below these values (bound of the samples) and the given
    minutes after in-block must have passed. ``at_raised`` lets people approach at
    raised plug risk; nothing lets them at high.
    """

    max_plug_k: float
    max_stack_k: float
    minutes_after_in_block: int = 0
    at_raised: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Curfew:
    """Minutes ``from … to`` (end excluded) in which the event is not allowed.

    A ``soft`` curfew may be broken at the price of a named relaxation.
    """

    from_minute: int
    to_minute: int
    event: CurfewEvent = CurfewEvent.TAKE_OFF
    soft: bool = False

    def forbids(self, off_block_minute: int, take_off_minute: int) -> bool:
        """Whether a departure at these minutes falls into the curfew."""
        at_off_block = self.event is CurfewEvent.OFF_BLOCK
        minute = off_block_minute if at_off_block else take_off_minute
        return self.from_minute <= minute < self.to_minute


@dataclass(frozen=True, slots=True, kw_only=True)
class DelayCost:
    """Cost of a delay, from breakpoints (delay minute from which, cost per minute).

    Breakpoints start at minute zero and rise. Any cost that does not fall with the
    delay can be written so: costs per minute are not negative, and jumps (delay minute,
    amount) come on top from that minute on.
    """

    rates: tuple[tuple[int, int], ...] = ((0, 1),)
    jumps: tuple[tuple[int, int], ...] = ()

    def __post_init__(self) -> None:
        """Refuse breakpoints that do not start at zero or rise, and negative costs."""
        starts = [start for start, _ in self.rates]
        rates = [rate for _, rate in self.rates]
        if not (starts and starts[0] == 0 and all(a < b for a, b in pairwise(starts))):
            raise DayError.of("delay cost", "rising breakpoints from 0", starts)
        if min(rates) < 0:
            raise DayError.of("delay cost", "rates that are not negative", rates)
        if not all(minute > 0 and amount >= 0 for minute, amount in self.jumps):
            raise DayError.of("delay cost", "jumps after 0, not negative", self.jumps)

    def of(self, delay_minutes: int) -> int:
        """Cost of a delay of so many minutes; early or on time costs nothing."""
        ends = [start for start, _ in self.rates[1:]] + [max(delay_minutes, 0)]
        total = sum(
            rate * max(0, min(end, delay_minutes) - start)
            for (start, rate), end in zip(self.rates, ends, strict=True)
        )
        return total + sum(add for minute, add in self.jumps if delay_minutes >= minute)


@dataclass(frozen=True, slots=True, kw_only=True)
class SlotInterval:
    """At most so many take-offs in minutes ``from … to`` (end excluded).

    ``runway`` None means all runways together.
    """

    from_minute: int
    to_minute: int
    take_offs: int
    runway: str | None = None

    def __post_init__(self) -> None:
        """Refuse an interval without length or with a capacity below 0."""
        if not (self.from_minute < self.to_minute and self.take_offs >= 0):
            raise DayError.of("slot interval", "from < to and 0 or more", self)


@dataclass(frozen=True, slots=True, kw_only=True)
class WakeTable:
    """Wake separation between take-offs: (leader, follower, seconds) per pair.

    Pairs without a figure keep the runway's own spacing. ``weights`` gives the lowest
    take-off weight of each category in kilograms, heaviest first, for types whose
    category is not stated.
    """

    name: str
    source: str
    edition: str
    pairs: tuple[tuple[str, str, int], ...]
    weights: tuple[tuple[str, float], ...] = ()

    def minutes(self, leader: str, follower: str) -> int:
        """Whole minutes, rounded up, that follower waits behind leader; 0 if none."""
        for first, second, seconds in self.pairs:
            if (first, second) == (leader, follower):
                return -(-seconds // 60)
        return 0

    def category(self, take_off_kg: float) -> str | None:
        """Category by weight; None where the table does not go by weight."""
        for name, least_kg in self.weights:
            if take_off_kg >= least_kg:
                return name
        return None

"""What comes out for one aircraft: verdicts, plug figures, the answer.

Minutes are those of the question's clock.
"""

from dataclasses import dataclass

from scheduler.options import Limit, PlugRisk
from scheduler.single.bounds import Confidence
from scheduler.single.evidence import Evidence
from scheduler.single.question import Question


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """One way to cool.

    ``ready_minute`` is None where the limits do not hold within the hours looked at.
    ``limits`` gives the minute of each limit alone. ``plug_check`` says that plugs
    and tyres have to be checked first, whatever the minute.
    """

    ready_minute: int | None
    binding: Limit
    limits: tuple[tuple[Limit, int | None], ...]
    plug_check: bool

    def makes(self, off_block_minute: int) -> bool:
        """Whether an off-block at this minute keeps every limit."""
        ready = self.ready_minute
        return not self.plug_check and ready is not None and ready <= off_block_minute


@dataclass(frozen=True, slots=True, kw_only=True)
class Plugs:
    """Fuse plugs on the stand in still air.

    ``peak_c`` is the safe bound of the hottest one, ``peak_minute`` when it peaks.
    """

    release_probability: float
    near_probability: float
    peak_c: float
    peak_minute: int

    @property
    def risk(self) -> PlugRisk:
        """Word for the release probability."""
        return PlugRisk.of(self.release_probability)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Answer:
    """What the figures say.

    Attributes
    ----------
    sampled_minute : int or None
        Earliest off-block in still air if no reading counted; None also where the
        landing was drawn again with more heat.
    fan_span : tuple of two int or None
        Minutes of air of the fan in ``fan``.
    nobody_to_wheels : bool
        The plug risk is too high to send anybody, so no fan is counted.
    heat_mj, heat_without_reading_mj : tuple of two float
        Heat of the hottest brake, 5 to 95 %.
    indicator_valid_minute : int
        From when on the indication is taken to be steady.
    """

    question: Question
    still: Verdict
    sampled_minute: int | None
    fan: Verdict | None
    fan_span: tuple[int, int] | None
    nobody_to_wheels: bool
    plugs: Plugs
    evidence: Evidence
    heat_mj: tuple[float, float]
    heat_without_reading_mj: tuple[float, float]
    indicator_valid_minute: int
    assumed: tuple[str, ...]
    not_assessed: tuple[str, ...]
    sample_count: int
    seed: int
    confidence: Confidence

    @property
    def makes_off_block(self) -> bool | None:
        """Whether the off-block asked for is made; a fan counts if it was asked for."""
        asked = self.question.off_block_minute
        if asked is None:
            return None
        if self.evidence.too_hot:
            return False
        fan = self.fan if self.question.fan_from_minute is not None else None
        return self.still.makes(asked) or (fan is not None and fan.makes(asked))

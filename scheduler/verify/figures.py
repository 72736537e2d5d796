"""Figures that people read and nobody decides by: peaks against their own curves.

A curve is kept at some minutes only, so a peak may be higher than the curve, never
lower by more than rounding. A peak of several brakes is the highest of theirs, and the
minute of a plug's peak lies where its curve is highest: no kept minute is hotter.
"""

from collections.abc import Iterator

from scheduler.plan import HeatSummary
from scheduler.verify.matches import Match
from scheduler.verify.violation import Code, Violation

ROUNDING_C = 0.11


def figure_violations(matches: tuple[Match, ...]) -> Iterator[Violation]:
    """Peaks of every row that its brakes or curves contradict."""
    for match in matches:
        heat = match.row.heat
        if heat is None:
            continue
        for where, expected, got in (*_whole(heat), *_brakes(heat)):
            yield match.fault(Code.FIGURE, where, expected, got)


def _whole(heat: HeatSummary) -> Iterator[tuple[str, str, str]]:
    """Highest stack of all brakes."""
    if not heat.brakes:
        return
    hottest = max(brake.stack_peak_c for brake in heat.brakes)
    if abs(heat.stack_peak_c - hottest) > ROUNDING_C:
        expected = f"{hottest:.1f} °C, as its hottest brake"
        yield "stack peak", expected, f"{heat.stack_peak_c:.1f} °C"


def _brakes(heat: HeatSummary) -> Iterator[tuple[str, str, str]]:
    curves = {curve.position: curve for curve in heat.curves}
    for brake in heat.brakes:
        curve = curves.get(brake.position)
        if curve is None:
            continue
        for part, peak_c, shown_c in (
            ("stack", brake.stack_peak_c, curve.stack_c),
            ("wheel", brake.wheel_peak_c, curve.wheel_c),
            ("plug", brake.plug_peak_c, curve.plug_c),
        ):
            highest = max(shown_c, default=peak_c)
            if peak_c < highest - ROUNDING_C:
                where = f"{part} peak of brake {brake.position}"
                expected = f"{highest:.1f} °C or more, as its curve"
                yield where, expected, f"{peak_c:.1f} °C"

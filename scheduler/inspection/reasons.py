"""Figures, log and history → items, one per position and reason.

Enters: the day, `Figures` of a turnaround, counts of its brakes. Leaves: `Item` records
that no finding has closed yet.

- Plugs are listed where the plan asks for a check: from 1 % on that one of them came
  within its margin of release, *threatened*. *Released* is one that let go more likely
  than not. Both are looked at before departure.
- Wheel and stack are listed from a least probability on, and looked at before departure
  where their limit was passed more likely than not.
- After an accelerate-stop every serving brake is looked at before departure.
- A brake that drags, is idle or warms by itself, as its readings beside those of the
  others show, is looked at before departure; an odd reading is one of the indicator.
- A reading is off where less than one in two hundred would be so high or so low. Too
  high: before departure, since the brake holds more heat than the figures say.
"""

from collections.abc import Iterator

from scheduler.inspection.item import Item, Reason
from scheduler.inspection.look import Look
from scheduler.inspection.odd import OddKind
from scheduler.inspection.readings import Foretold
from scheduler.options import PlugRisk
from scheduler.readiness.plugs import RAISED
from thermal.units import KNOT_M_PER_S, celsius

LIKELY = 0.5
OFF = 0.005


def items_of(look: Look) -> Iterator[Item]:
    """Everything to look at on one turnaround."""
    for rule in (_plugs, _accelerate_stop, _odd, _stacks, _wheels, _readings, _history):
        yield from rule(look)


def _plugs(look: Look) -> Iterator[Item]:
    """List plugs where the plan asks for a check; the hottest one at least."""
    figures, plug = look.figures, look.brake.plug
    peaks_c = figures.stops[-1].plug_peak_c
    if not (figures.is_check_due and look.serving):
        return
    hottest = max(look.serving, key=lambda place: peaks_c[place])
    for place in look.serving:
        released, near = figures.released[place], figures.near_release[place]
        if near < RAISED and place != hottest:
            continue
        evidence = (
            f"plug to {peaks_c[place]:.0f} °C in the middle of all ranges, lets go at "
            f"{_c(plug.release_k)}; release {_percent(released)} "
            f"({PlugRisk.of(released)}), within {plug.margin_k:.0f} K of it "
            f"{_percent(near)}"
        )
        is_released = released > LIKELY
        reason = Reason.PLUG_RELEASED if is_released else Reason.PLUG_THREATENED
        sure = released if is_released else near
        name = figures.positions[place]
        yield look.item(name, reason, evidence, sure, before=True)


def _accelerate_stop(look: Look) -> Iterator[Item]:
    if not look.events:
        return
    event, figures = look.events[-1], look.figures
    speed = ""
    if event.speed_m_per_s is not None:
        speed = f" at {event.speed_m_per_s / KNOT_M_PER_S:.0f} kt"
    for place in look.serving:
        stop = figures.stops[-1]
        evidence = (
            f"brakes on{speed} at {look.day.clock.short(event.minute)}; "
            f"{stop.energy_mj[place]:.0f} MJ in this brake, stack to "
            f"{stop.stack_peak_c[place]:.0f} °C"
        )
        name = figures.positions[place]
        yield look.item(name, Reason.ACCELERATE_STOP, evidence, 1.0, before=True)


_OF_KIND = {
    OddKind.DRAGGING: Reason.DRAGGING,
    OddKind.IDLE: Reason.IDLE,
    OddKind.WARMING: Reason.WARMING,
    OddKind.READING: Reason.READING_ODD,
}


def _odd(look: Look) -> Iterator[Item]:
    """List brakes that differ from the others by their readings, and odd readings."""
    for one in look.figures.odd:
        before = one.kind is not OddKind.READING
        name = HOTTEST if one.position is None else one.position
        reason = _OF_KIND[one.kind]
        yield look.item(name, reason, one.evidence, one.probability, before=before)


def _stacks(look: Look) -> Iterator[Item]:
    peaks = look.figures.stops[-1].stack_peak_c
    limit_k = look.brake.limits.inspect_above_k
    yield from _hot(look, Reason.STACK_HOT, look.figures.stack_hot, peaks, limit_k)


def _wheels(look: Look) -> Iterator[Item]:
    peaks = look.figures.stops[-1].wheel_peak_c
    limit_k = look.brake.limits.wheel_k
    yield from _hot(look, Reason.WHEEL_HOT, look.figures.wheel_hot, peaks, limit_k)


def _hot(
    look: Look,
    reason: Reason,
    shares: tuple[float, ...] | None,
    peaks_c: tuple[float, ...],
    limit_k: float | None,
) -> Iterator[Item]:
    """List brakes whose limit was passed with some probability."""
    if shares is None or limit_k is None:
        return
    for place in look.serving:
        share = shares[place]
        if share >= look.thresholds.least_probability:
            evidence = (
                f"to {peaks_c[place]:.0f} °C in the middle of all ranges, limit "
                f"{_c(limit_k)}"
            )
            name = look.figures.positions[place]
            yield look.item(name, reason, evidence, share, before=share > LIKELY)


def _readings(look: Look) -> Iterator[Item]:
    """List the reading of each position that is furthest off."""
    worst: dict[str | None, Foretold] = {}
    for one in look.figures.foretold:
        before = worst.get(one.position)
        if before is None or _tail(one) < _tail(before):
            worst[one.position] = one
    for position, one in worst.items():
        if _tail(one) >= OFF:
            continue
        is_hot = one.above < LIKELY
        evidence = (
            f"{one.indicated_c:.0f} °C indicated at {look.day.clock.short(one.minute)},"
            f" {one.low_c:.0f} to {one.high_c:.0f} °C were to be expected"
        )
        reason = Reason.READING_HOT if is_hot else Reason.READING_COLD
        name = HOTTEST if position is None else position
        sure = 1.0 - 2.0 * _tail(one)
        yield look.item(name, reason, evidence, sure, before=is_hot)


HOTTEST = "hottest"


def _tail(one: Foretold) -> float:
    return min(one.above, 1.0 - one.above)


def _history(look: Look) -> Iterator[Item]:
    """List brakes whose counts over the days have reached a threshold."""
    limits = look.thresholds
    for place in look.serving:
        history = look.histories[place]
        if history.hot_stops >= limits.hot_stops:
            evidence = f"{history.hot_stops} hot stops in {limits.within_days} days"
            yield look.item(
                history.position, Reason.HOT_STOPS, evidence, 1.0, before=False
            )
        dose = history.oxidation_dose
        if dose is not None and dose >= limits.oxidation_dose:
            since = history.past.since
            begin = "today" if since is None else f"since {since[:10]}"
            evidence = (
                f"dose {dose:.2f} {begin} (1 is an hour at 600 °C), threshold "
                f"{limits.oxidation_dose:g}; a comparison, no life"
            )
            yield look.item(
                history.position, Reason.OXIDATION, evidence, 1.0, before=False
            )


def _c(temperature_k: float) -> str:
    return f"{float(celsius(temperature_k)):.0f} °C"


def _percent(share: float) -> str:
    return "<1 %" if 0.0 <= share < 0.01 else f"{100.0 * share:.0f} %"

"""What was found at a wheel → which items it answers.

- Plug and tyre checked, or wheel changed: answers the plug, once it has peaked. So does
  a check of the whole aircraft.
- No finding: answers all but the plug, whose check is told in its own words.
- Wheel changed: answers the wheel. Brake replaced: answers stack, brake, its readings
  and its counts. An accelerate-stop is answered by no finding, or by both changes.
- A wear pin is noted and answers nothing.
"""

from dataclasses import replace

from scheduler.day import Day, Finding, Found
from scheduler.inspection.item import Item, Reason

_PLUG = frozenset({Reason.PLUG_RELEASED, Reason.PLUG_THREATENED})
_OF_THE_BRAKE = frozenset(
    {
        Reason.DRAGGING,
        Reason.IDLE,
        Reason.WARMING,
        Reason.STACK_HOT,
        Reason.READING_HOT,
        Reason.READING_COLD,
        Reason.READING_ODD,
        Reason.HOT_STOPS,
        Reason.OXIDATION,
    }
)
_ANSWERS = {
    Found.NO_FINDING: frozenset(Reason) - _PLUG,
    Found.CHECKED: _PLUG,
    Found.WHEEL_CHANGED: _PLUG | {Reason.WHEEL_HOT},
    Found.BRAKE_REPLACED: _OF_THE_BRAKE,
    Found.WEAR_PIN: frozenset[Reason](),
}
_WORDS = {
    Found.NO_FINDING: "no finding",
    Found.CHECKED: "plug and tyre checked",
    Found.WHEEL_CHANGED: "wheel changed",
    Found.BRAKE_REPLACED: "brake replaced",
}
_BOTH = (Found.WHEEL_CHANGED, Found.BRAKE_REPLACED)


def closed(day: Day, item: Item, positions: tuple[str, ...]) -> Item:
    """Item with the finding that answers it, if there is one.

    Parameters
    ----------
    positions : tuple of str
        Of the aircraft: an item of the hottest brake is closed once all of them are.
    """
    wanted = (item.position,) if item.position in positions else positions
    answers = [_answer(day, item, position) for position in wanted]
    given = [answer for answer in answers if answer is not None]
    if len(given) < len(wanted):
        return item
    minute, words = max(given)
    return replace(item, closed_by=f"{words}, {day.clock.short(minute)}")


def _answer(day: Day, item: Item, position: str) -> tuple[int, str] | None:
    """First minute at which an item of one position is answered, and by what."""
    findings = [
        one
        for one in sorted(day.findings, key=lambda one: one.minute)
        if one.turnaround_id == item.turnaround_id
        and one.position == position
        and one.minute >= item.since_minute
    ]
    found = [
        (one.minute, _WORDS[one.found])
        for one in findings
        if item.reason in _ANSWERS[one.found]
    ]
    if item.reason.is_of_the_plug:
        found += _whole_checks(day, item)
    if item.reason is Reason.ACCELERATE_STOP:
        found += _both_changed(findings)
    return min(found) if found else None


def _whole_checks(day: Day, item: Item) -> list[tuple[int, str]]:
    return [
        (one.minute, "wheel changed" if one.wheel_changed else "all wheels checked")
        for one in day.checks
        if one.turnaround_id == item.turnaround_id and one.minute >= item.since_minute
    ]


def _both_changed(findings: list[Finding]) -> list[tuple[int, str]]:
    """Wheel and brake both new: nothing is left of what stopped."""
    first: dict[Found, list[int]] = {found: [] for found in _BOTH}
    for one in findings:
        if one.found in first:
            first[one.found].append(one.minute)
    if not all(first.values()):
        return []
    return [(max(min(minutes) for minutes in first.values()), "wheel and brake new")]

"""TAF: wind by periods and, where given, the day's highest and lowest temperature.

Read: issue and validity, the first wind, ``FM`` and ``BECMG`` winds (a change counts
from the end of its period), ``TX`` and ``TN``. ``TEMPO`` and ``PROB`` are passed over.
"""

import re
from dataclasses import dataclass

from scheduler.weather import groups
from scheduler.weather.tokens import Group, GroupFault

_HEADING = {"TAF", "AMD", "COR"}
_TEMPERATURE = re.compile(r"T[XN](M?\d{2})/(\d{4})Z")
_PERIOD = re.compile(r"(\d{4})/(\d{4})")
_VALIDITY_FORM = "validity as 1412/1512"


@dataclass(frozen=True, slots=True, kw_only=True)
class WindChange:
    """Wind from a time on."""

    time: groups.DayTime
    wind: groups.Wind


@dataclass(frozen=True, slots=True, kw_only=True)
class TemperaturePoint:
    """Forecast highest or lowest temperature and when it comes."""

    time: groups.DayTime
    temperature_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """One TAF as far as brakes feel it."""

    validity_group: Group
    location: str
    start: groups.DayTime
    end: groups.DayTime
    winds: tuple[WindChange, ...]
    temperatures: tuple[TemperaturePoint, ...]


def is_forecast(message: tuple[Group, ...]) -> bool:
    """Whether a message is a TAF."""
    return message[0].text == "TAF"


def read_forecast(message: tuple[Group, ...]) -> Forecast | tuple[GroupFault, ...]:
    """Read a TAF.

    Returns
    -------
    forecast : Forecast or tuple of GroupFault
        All faults of the message where it has any; an empty tuple for ``NIL``.
    """
    if any(group.text in {"NIL", "CNL"} for group in message):
        return ()
    left = [group for group in message if group.text not in _HEADING]
    location = left.pop(0) if left else message[-1]
    if left and re.fullmatch(r"\d{6}Z", left[0].text):
        left.pop(0)
    validity = left.pop(0) if left else message[-1]
    period = _period(validity.text)
    if period is None:
        fault = GroupFault(group=validity, label="validity", expected=_VALIDITY_FORM)
        return (fault,)
    winds, faults = _winds(left, period[0])
    points, more = _temperatures(left)
    if faults or more:
        return (*faults, *more)
    return Forecast(
        validity_group=validity,
        location=location.text,
        start=period[0],
        end=period[1],
        winds=winds,
        temperatures=points,
    )


def _period(text: str) -> tuple[groups.DayTime, groups.DayTime] | None:
    match = _PERIOD.fullmatch(text)
    if not match:
        return None
    try:
        return groups.day_time(match[1]), groups.day_time(match[2])
    except ValueError:
        return None


def _winds(
    body: list[Group], start: groups.DayTime
) -> tuple[tuple[WindChange, ...], tuple[GroupFault, ...]]:
    """Winds of the main, ``FM`` and ``BECMG`` parts."""
    changes: list[WindChange] = []
    faults: list[GroupFault] = []
    since: groups.DayTime | None = start
    for index, group in enumerate(body):
        if group.text in {"BECMG", "TEMPO"} or group.text.startswith(("FM", "PROB")):
            since = _since(body[index : index + 2], faults)
        elif re.fullmatch(r"\S*\d(KT|MPS|KMH)", group.text):
            found = _wind(group, faults)
            if found is not None and since is not None:
                changes.append(WindChange(time=since, wind=found))
    return tuple(changes), tuple(faults)


def _since(part: list[Group], faults: list[GroupFault]) -> groups.DayTime | None:
    """Time from which a change part counts; None where it is passed over."""
    mark = part[0]
    try:
        if mark.text.startswith("FM"):
            return groups.day_time(mark.text[2:])
    except ValueError:
        faults.append(GroupFault(group=mark, label="change", expected="FM as FM141800"))
        return None
    if mark.text != "BECMG":
        return None
    period = _period(part[1].text) if len(part) > 1 else None
    if period is None:
        form = "BECMG with a period as 1416/1418"
        faults.append(GroupFault(group=part[-1], label="change", expected=form))
        return None
    return period[1]


def _wind(group: Group, faults: list[GroupFault]) -> groups.Wind | None:
    try:
        return groups.wind(group.text)
    except ValueError:
        form = "wind as 24008KT, VRB02KT or 00000KT"
        faults.append(GroupFault(group=group, label="wind", expected=form))
        return None


def _temperatures(
    body: list[Group],
) -> tuple[tuple[TemperaturePoint, ...], tuple[GroupFault, ...]]:
    points: list[TemperaturePoint] = []
    faults: list[GroupFault] = []
    for group in body:
        if not re.fullmatch(r"T[XN]M?\d.*", group.text):
            continue
        point = _point(group.text)
        if point is None:
            form = "temperature as TX25/1412Z or TNM02/1504Z"
            faults.append(GroupFault(group=group, label="temperature", expected=form))
        else:
            points.append(point)
    return tuple(points), tuple(faults)


def _point(text: str) -> TemperaturePoint | None:
    match = _TEMPERATURE.fullmatch(text)
    try:
        time = groups.day_time(match[2]) if match else None
    except ValueError:
        return None
    if match is None or time is None:
        return None
    return TemperaturePoint(time=time, temperature_c=groups.signed(match[1]))

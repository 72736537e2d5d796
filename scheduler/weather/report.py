"""METAR and SPECI: one message to wind, temperature and QNH.

Groups that do not matter here (visibility, weather, clouds) are recognised and
passed over; what follows a trend or ``RMK`` is not read. A group that fits nothing is
a fault, as is a missing time, wind, temperature or QNH.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

from scheduler.weather import groups
from scheduler.weather.tokens import Group, GroupFault

_HEADING = {"METAR", "SPECI", "COR"}
_END = {"RMK", "NOSIG", "TEMPO", "BECMG"}
_PASSED_OVER = re.compile(
    r"""AUTO|COR|CC[A-Z]|RTD|CAVOK|NSC|NCD|NSW|SKC|CLR|SNOCLO|NDV
    |BLU\+?|WHT|GRN|YLO\d?|AMB|RED|BLACK\w*|\$
    |\d{3}V\d{3}                                            # wind varies between
    |\d{4}(NDV|[NSEW]{1,2})?|////(NDV)?                     # visibility
    |[MP]?\d{1,2}(/\d{1,2})?(SM|KM)|\d                      # in miles; 1 of 1 1/2SM
    |R\d{2}[LCR]?/\S+|R/SNOCLO                              # runway range, state
    |(\+|-|VC)?([A-Z]{2}){1,4}|//|RE[A-Z]{2,6}|RE//         # weather
    |(FEW|SCT|BKN|OVC|VV|///)(\d{3}|///)(CB|TCU|///)?       # clouds
    |W([M]?\d{2}|//)/[SH](\d{1,3}|/{1,3})                   # sea
    |WS|ALL|RWY\d*[LCR]?|R\d{2}[LCR]?                       # wind shear
    """,
    re.VERBOSE,
)
_TEMPERATURE_FORM = "temperature/dew point as 24/11 or M02/M05"
_QNH_FORM = "QNH as Q1013 (hPa) or A2992 (inHg)"
_WIND_FORM = "wind as 24008KT, VRB02KT or 00000KT"

Value = TypeVar("Value")


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """One report; None for what the station did not measure."""

    time_group: Group
    time: groups.DayTime
    location: str
    temperature_c: float | None
    wind: groups.Wind | None
    qnh_pa: float | None


def read_report(message: tuple[Group, ...]) -> Report | tuple[GroupFault, ...]:
    """Read a METAR or SPECI.

    Returns
    -------
    report : Report or tuple of GroupFault
        All faults of the message where it has any.
    """
    reader = _Reader([group for group in message if group.text not in _HEADING])
    if any(group.text == "NIL" for group in message):
        return ()
    return reader.report()


class _Reader:
    def __init__(self, message: list[Group]) -> None:
        self._left = message
        self._last = message[-1] if message else None
        self._faults: list[GroupFault] = []

    def report(self) -> Report | tuple[GroupFault, ...]:
        location = self._next("location", "four letters", _location)
        time_group = self._left[0] if self._left else self._last
        time = self._next("time", "day and time as 141350Z", _report_time)
        self._left = _body(self._left)
        wind = self._find("wind", _WIND_FORM, groups.wind, r".*(KT|MPS|KMH)")
        temperature = self._find(
            "temperature", _TEMPERATURE_FORM, groups.temperature_c, r"M?\d+/M?\d*"
        )
        qnh = self._find("QNH", _QNH_FORM, groups.pressure_pa, r"[QA]\d+")
        self._check_rest()
        if self._faults or time is None or location is None or time_group is None:
            return tuple(self._faults)
        return Report(
            time_group=time_group,
            time=time,
            location=location,
            temperature_c=temperature,
            wind=wind,
            qnh_pa=qnh,
        )

    def _next(
        self, label: str, form: str, read: Callable[[str], Value]
    ) -> Value | None:
        """Read the group that must come next."""
        if not self._left:
            self._missing(label, form)
            return None
        group = self._left.pop(0)
        try:
            return read(group.text)
        except ValueError:
            self._add(group, label, form)
            return None

    def _find(
        self, label: str, form: str, read: Callable[[str], Value], like: str
    ) -> Value | None:
        """Read the first group of a form; a misspelt one is the fault."""
        for group in self._left:
            try:
                value = read(group.text)
            except ValueError:
                continue
            self._left.remove(group)
            return value
        suspects = [g for g in self._left if not _PASSED_OVER.fullmatch(g.text)]
        alike = [g for g in suspects if re.fullmatch(like, g.text)] or suspects
        if alike:
            self._left.remove(alike[0])
            self._add(alike[0], label, form)
        else:
            self._missing(label, form)
        return None

    def _check_rest(self) -> None:
        for group in self._left:
            if not _PASSED_OVER.fullmatch(group.text):
                self._add(group, "group", "a METAR group")

    def _missing(self, label: str, form: str) -> None:
        if self._last is not None:
            end = Group(
                text="nothing",
                line=self._last.line,
                column=self._last.column + len(self._last.text),
            )
            self._add(end, label, form)

    def _add(self, group: Group, label: str, form: str) -> None:
        self._faults.append(GroupFault(group=group, label=label, expected=form))


def _body(message: list[Group]) -> list[Group]:
    for index, group in enumerate(message):
        if group.text in _END:
            return message[:index]
    return message


def _location(text: str) -> str:
    if not re.fullmatch(r"[A-Z][A-Z0-9]{3}", text):
        raise ValueError(text)
    return text


def _report_time(text: str) -> groups.DayTime:
    if not re.fullmatch(r"\d{6}Z", text):
        raise ValueError(text)
    return groups.day_time(text[:-1])

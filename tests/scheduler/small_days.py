"""Small invented days for planning, and their best plan by trying everything."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from scheduler.day import (
    Basis,
    Curfew,
    Day,
    DelayCost,
    Departure,
    FanType,
    Turnaround,
)
from scheduler.options import Limit, Option, OptionTable
from scheduler.plan import Plan
from tests.benchmarks.plain_days import make_day_of, make_station

Choice = tuple[int | None, Option]


def fan(name: str = "blower", units: int = 1, **changes: object) -> FanType:
    """A fan that needs one minute each to set up, remove and move."""
    values: dict[str, object] = {
        "name": name,
        "units": units,
        "air_speed_m_per_s": 10.0,
        "setup_minutes": 1,
        "removal_minutes": 1,
        "move_minutes": 1,
        "from_minute": 0,
        "to_minute": 1440,
    }
    return FanType(**{**values, **changes})  # type: ignore[arg-type]


def still(ready: int | None, binding: Limit = Limit.STOPPING) -> Option:
    """Still air."""
    return Option(ready_minute=ready, binding=binding)


def blow(start: int, end: int, ready: int, **changes: object) -> Option:
    """One fan job of the blower."""
    values: dict[str, object] = {"fan": "blower", "units": 1}
    times = {"start_minute": start, "end_minute": end, "ready_minute": ready}
    return Option(**{**values, **times, **changes}, binding=Limit.PLUG)  # type: ignore[arg-type]


def table(name: str, *options: Option, approach: int | None = 600) -> OptionTable:
    """Option table of one turnaround."""
    return OptionTable(turnaround_id=name, approach_minute=approach, options=options)


def flight(
    name: str,
    in_block: int = 600,
    target: int = 610,
    stand: str | None = None,
    gone: bool = False,
    ctot: int | None = None,
) -> Turnaround:
    """One turnaround; its stand is its own and taxi-out takes ten minutes."""
    return Turnaround(
        id=name,
        tail=f"tail {name}",
        stand=stand or f"S{ord(name[-1])}",
        in_block_minute=in_block,
        in_block_basis=Basis.ACTUAL,
        target_off_block_minute=target,
        off_block_basis=Basis.ACTUAL if gone else Basis.ESTIMATED,
        departure=Departure(ctot_minute=ctot),
    )


def day_of(
    *flights: Turnaround, fans: tuple[FanType, ...] = (), **station: object
) -> Day:
    """Day of some flights; one minute of delay costs one."""
    values = {"delay_cost": DelayCost(), **station}
    return make_day_of(flights, make_station(fans, **values))  # type: ignore[arg-type]


def random_day(seed: int) -> tuple[Day, list[OptionTable]]:
    """Four flights within minutes, short of runway, fans, stands and slots."""
    rng = np.random.default_rng(seed)
    fans = (
        fan(units=int(rng.integers(1, 3)), remote=bool(rng.random() < 0.3)),
        fan("jet", from_minute=int(rng.integers(598, 606))),
    )
    curfew = Curfew(from_minute=int(rng.integers(616, 632)), to_minute=640)
    flights = tuple(_flight(rng, name) for name in "abcd")
    day = day_of(
        *flights,
        fans=fans,
        hold_minutes=int(rng.integers(14, 20)),
        curfews=(curfew,) if rng.random() < 0.5 else (),
        delay_cost=DelayCost(rates=((0, 1), (3, 2)), jumps=((5, 3),)),
        stand_buffer_minutes=2,
    )
    return day, [_table(rng, day, one) for one in flights]


def _flight(rng: np.random.Generator, name: str) -> Turnaround:
    in_block = 600 + int(rng.integers(0, 5))
    made = flight(
        name,
        in_block=in_block,
        target=in_block + int(rng.integers(6, 10)),
        stand="S1" if rng.random() < 0.4 else None,
        gone=bool(rng.random() < 0.15),
    )
    if rng.random() < 0.4:
        ctot = made.target_off_block_minute + int(rng.integers(-2, 18))
        made = replace(made, departure=Departure(ctot_minute=ctot))
    return made


def _table(rng: np.random.Generator, day: Day, one: Turnaround) -> OptionTable:
    base = one.in_block_minute
    ready = base + int(rng.integers(5, 18)) if rng.random() < 0.9 else None
    options = [still(ready)]
    for _ in range(int(rng.integers(0, 5))):
        kind = day.station.fans[int(rng.integers(0, 2))]
        start = base + int(rng.integers(0, 5))
        end = start + int(rng.integers(1, 6))
        units = int(rng.integers(1, kind.units + 1))
        done = end + int(rng.integers(0, 4))
        options.append(blow(start, end, done, fan=kind.name, units=units))
    approach = base + int(rng.integers(0, 3)) if rng.random() < 0.9 else None
    return table(one.id, *options, approach=approach)


@dataclass
class BruteForce:
    """Try every minute with every option, in depth, and keep the best value.

    Written from the rules alone: it shares no code with the planner.
    """

    day: Day
    tables: list[OptionTable]
    published: Plan | None = None
    best: tuple[int, int, int, int] = (10**9, 0, 0, 0)

    def value(self) -> tuple[int, int, int, int]:
        """Best value of all stages."""
        self._go_on([], (0, 0, 0, 0))
        return self.best

    def _go_on(self, chosen: list[Choice], value: tuple[int, ...]) -> None:
        if value >= self.best:
            return
        if len(chosen) == len(self.tables):
            self.best = value  # type: ignore[assignment]
            return
        for choice in self._choices(len(chosen)):
            if self._fits(chosen, choice):
                more = zip(value, self._price(len(chosen), choice), strict=True)
                self._go_on([*chosen, choice], tuple(a + b for a, b in more))

    def _choices(self, index: int) -> Iterator[Choice]:
        one, options = self.day.turnarounds[index], self.tables[index].options
        if one.off_block_basis is Basis.ACTUAL:
            yield one.target_off_block_minute, options[0]
            return
        for minute in range(one.target_off_block_minute, self.day.last_minute(one) + 1):
            take_off = minute + self.day.taxi_out_minutes(one)
            ctot = one.departure.ctot_minute
            if ctot is not None and take_off < ctot - 5:
                continue
            if any(c.forbids(minute, take_off) for c in self.day.station.curfews):
                continue
            for option in options:
                if self._allowed(index, minute, option):
                    yield minute, option
        yield None, options[0]

    def _allowed(self, index: int, minute: int, option: Option) -> bool:
        if option.ready_minute is None or option.ready_minute > minute:
            return False
        if option.fan is None or option.start_minute is None:
            return True
        kind = self.day.fan(option.fan)
        one, approach = self.day.turnarounds[index], self.tables[index].approach_minute
        sent, away = option.start_minute - kind.setup_minutes, self._away(option)
        if not kind.remote and (approach is None or sent < approach):
            return False
        hours = kind.from_minute <= sent and away <= kind.to_minute
        return hours and sent >= one.in_block_minute and away <= option.ready_minute

    def _away(self, option: Option) -> int:
        assert option.fan is not None
        assert option.end_minute is not None
        return option.end_minute + self.day.fan(option.fan).removal_minutes

    def _fits(self, chosen: list[Choice], choice: Choice) -> bool:
        index = len(chosen)
        now = self.day.turnarounds[index]
        for other, (minute, _) in zip(self.day.turnarounds, chosen, strict=False):
            gone = {other.off_block_basis, now.off_block_basis} == {Basis.ACTUAL}
            if minute is None or choice[0] is None or gone:
                continue
            if abs(minute - choice[0]) < self.day.station.runways[0].spacing_minutes:
                return False
        return all(
            self._capacity([*chosen, choice], kind) for kind in self.day.station.fans
        )

    def _capacity(self, chosen: list[Choice], kind: FanType) -> bool:
        busy: dict[int, int] = {}
        for _, option in chosen:
            if option.fan != kind.name or option.start_minute is None:
                continue
            until = self._away(option) + kind.move_minutes
            for minute in range(option.start_minute - kind.setup_minutes, until):
                busy[minute] = busy.get(minute, 0) + option.units
        return all(units <= kind.units for units in busy.values())

    def _price(self, index: int, choice: Choice) -> tuple[int, int, int, int]:
        minute, option = choice
        one = self.day.turnarounds[index]
        weight = 4 if minute is None else self._late(one, minute)
        weight += self._blocks(one, minute)
        late = 0 if minute is None else minute - one.target_off_block_minute
        cost = self.day.station.delay_cost.of(late)
        return weight, cost, self._changed(one, choice), self._effort(option)

    def _late(self, one: Turnaround, minute: int) -> int:
        ctot = one.departure.ctot_minute
        if ctot is None or one.off_block_basis is Basis.ACTUAL:
            return 0
        return int(minute + self.day.taxi_out_minutes(one) > ctot + 10)

    def _blocks(self, one: Turnaround, minute: int | None) -> int:
        after = [
            other.in_block_minute
            for other in self.day.turnarounds
            if other.stand == one.stand
            and (other.in_block_minute, other.id) > (one.in_block_minute, one.id)
        ]
        if not after:
            return 0
        buffer = self.day.station.stand_buffer_minutes
        return int(minute is None or minute + buffer > min(after))

    def _changed(self, one: Turnaround, choice: Choice) -> int:
        if self.published is None:
            return 0
        row, (minute, option) = self.published.of(one.id), choice
        before = [
            (job.fan_type, job.units, job.start_minute, job.end_minute)
            for job in row.fan_jobs
        ]
        job = (option.fan, option.units, option.start_minute, option.end_minute)
        now = [] if option.fan is None else [job]
        return int((row.off_block_minute, before) != (minute, now))

    def _effort(self, option: Option) -> int:
        if option.start_minute is None or option.end_minute is None:
            return 0
        return option.units * (option.end_minute - option.start_minute) + 1

"""The best plan of a small day by trying everything, written from the rules alone.

It shares no code with the planner or the check. Every way of every flight is listed
with its price; then ways are combined flight by flight, and a branch is left once what
it costs, and what the rest must cost at least, is no better than the best one known.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from itertools import product

from scheduler.day import (
    Basis,
    CurfewEvent,
    Day,
    Duty,
    FanType,
    Pin,
    Pinned,
    Task,
    Turnaround,
)
from scheduler.options import Option, OptionTable
from scheduler.plan import Plan, PlannedTurnaround

Price = tuple[int, int, int, int]
Work = tuple[Duty, str | None, int]
NOTHING: Price = (0, 0, 0, 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One decision for one flight, with all ways to do its work at the same price."""

    flight: Turnaround
    option: Option | None
    off_block: int | None
    take_off: int | None
    works: tuple[tuple[Work, ...], ...] = ((),)
    towed: bool = False
    price: Price = NOTHING


@dataclass(slots=True)
class State:
    """What the flights decided so far take."""

    ways: list[Way] = field(default_factory=list)
    fans: dict[tuple[str, int], int] = field(default_factory=dict)


def best_by_trying(
    day: Day, tables: list[OptionTable], published: Plan | None = None
) -> Price:
    """Best value of weight, delay cost, changes and effort."""
    rows = {} if published is None else {row.id: row for row in published.turnarounds}
    search = Search(day=day, rows=rows)
    lists = [
        sorted(search.ways(one, table), key=lambda way: way.price)
        for one, table in zip(day.turnarounds, tables, strict=True)
    ]
    # What has gone comes first, so that slots know of it; then who may do least.
    lists.sort(key=lambda ways: (not _is_gone(ways[0]), len(ways)))
    search.go_on(lists, State(), NOTHING)
    if search.best is None:
        raise AssertionError("no flight can be held")
    return search.best


def _sum(one: Price, other: Price) -> Price:
    a, b, c, d = one
    e, f, g, h = other
    return a + e, b + f, c + g, d + h


@dataclass(slots=True, kw_only=True)
class Search:
    """The rules, and the best value found so far."""

    day: Day
    rows: dict[str, PlannedTurnaround]
    best: Price | None = None

    def go_on(self, lists: list[list[Way]], state: State, value: Price) -> None:
        """Decide the first flight of the lists, then the others."""
        if not lists:
            if self.best is None or value < self.best:
                self.best = value
            return
        rest = NOTHING
        for ways in lists[1:]:
            least = next(way.price for way in ways if self.fits(state, way))
            rest = _sum(rest, least)
        for way in lists[0]:
            total = _sum(value, way.price)
            if self.best is not None and _sum(total, rest) >= self.best:
                return
            if self.fits(state, way) and self.has_crew([*state.ways, way], {}):
                self.go_on(lists[1:], self.taken(state, way), total)

    # Ways of one flight, rules of one flight

    def ways(self, one: Turnaround, table: OptionTable) -> Iterator[Way]:
        """Every way that breaks no rule of the flight alone, with its price."""
        taxi = self.day.taxi_out_minutes(one)
        if one.cancelled:
            way = Way(flight=one, option=None, off_block=None, take_off=None)
            yield self.priced(way)
            return
        if one.off_block_basis is Basis.ACTUAL:
            leaves = one.target_off_block_minute
            way = Way(flight=one, option=None, off_block=leaves, take_off=leaves + taxi)
            yield self.priced(way)
            return
        yield from self.with_tow(
            Way(flight=one, option=None, off_block=None, take_off=None), table
        )
        for option in table.options:
            if self.is_usable(one, table, option):
                yield from self.leaving(one, table, option)

    def leaving(
        self, one: Turnaround, table: OptionTable, option: Option
    ) -> Iterator[Way]:
        """Every departure with one option."""
        asked = [*one.duties]
        asked += [
            duty
            for duty in table.duties
            if duty.task is not Task.PLUG_CHECK or option.needs_check
        ]
        assert option.ready_minute is not None
        first = max(one.target_off_block_minute, option.ready_minute)
        last = one.in_block_minute + self.day.station.hold_minutes
        for minute in range(first, last + 1):
            take_off = minute + self.day.taxi_out_minutes(one)
            if not self.is_open(one, minute, take_off):
                continue
            works = tuple(product(*(self.starts(duty, minute) for duty in asked)))
            way = Way(
                flight=one,
                option=option,
                off_block=minute,
                take_off=take_off,
                works=works,
            )
            for alike in self.alike(way):
                yield from self.with_tow(alike, table)

    def alike(self, way: Way) -> Iterator[Way]:
        """Keep work as it was published apart from other work."""
        row = self.rows.get(way.flight.id)
        began = () if row is None else row.duties
        published = sorted((duty.task, duty.start_minute) for duty in began)
        for is_kept in (True, False):
            works = [w for w in way.works if (_begins(w) == published) is is_kept]
            if works:
                yield replace(way, works=tuple(works))

    def is_usable(self, one: Turnaround, table: OptionTable, option: Option) -> bool:
        """Whether brakes get ready, and a fan may be there."""
        if option.ready_minute is None:
            return False
        if option.rollout is not None and one.in_block_basis is Basis.ACTUAL:
            return False
        if option.fan is None:
            return True
        fan = self.fan(option.fan)
        start, end = self.visit(option)
        approach = table.approach_minute
        if not fan.remote and (approach is None or start < approach):
            return False
        brakes = self.day.aircraft_of(one).brake_count
        any_number = not fan.sets and fan.brakes_per_unit is None
        return (
            start >= one.in_block_minute
            and start >= fan.from_minute
            and end <= fan.to_minute
            and end <= option.ready_minute
            and (any_number or option.units in fan.sets_for(brakes))
        )

    def is_open(self, one: Turnaround, minute: int, take_off: int) -> bool:
        """Whether CTOT, curfews, closures, landings and listed slots allow it."""
        ctot = one.departure.ctot_minute
        if ctot is not None and take_off < ctot - 5:
            return False
        if self.in_curfew(minute, take_off, soft=False):
            return False
        runway = self.day.departure_runway_of(one)
        if any(start <= take_off < end for start, end in runway.closures):
            return False
        for other in self.day.turnarounds:
            if self.day.runway_of(other).name == runway.name:
                landing = other.in_block_minute - self.day.taxi_in_minutes(other)
                if abs(take_off - landing) < runway.arrival_gap_minutes:
                    return False
        return not self.day.station.slots_only or bool(self.slots_at(one, take_off))

    def slots_at(self, one: Turnaround, take_off: int) -> list[int]:
        """Numbers of the slot intervals that a take-off falls into."""
        name = self.day.departure_runway_of(one).name
        return [
            number
            for number, slot in enumerate(self.day.station.slots)
            if slot.runway in (None, name)
            and slot.from_minute <= take_off < slot.to_minute
        ]

    def in_curfew(self, minute: int, take_off: int, *, soft: bool) -> bool:
        """Whether a curfew of this kind covers the departure."""
        for curfew in self.day.station.curfews:
            at = minute if curfew.event is CurfewEvent.OFF_BLOCK else take_off
            inside = curfew.from_minute <= at < curfew.to_minute
            if inside and curfew.soft is soft:
                return True
        return False

    def starts(self, duty: Duty, minute: int) -> Iterator[Work]:
        """Who can do the work from when, so that it is done at off-block."""
        crews = [c for c in self.day.station.crews if duty.task in c.tasks]
        if not crews and duty.earliest_minute + duty.minutes <= minute:
            yield duty, None, duty.earliest_minute
        for crew in crews:
            for start in range(duty.earliest_minute, minute - duty.minutes + 1):
                end = start + duty.minutes
                if start >= crew.from_minute and end <= crew.to_minute:
                    yield duty, crew.name, start

    def with_tow(self, way: Way, table: OptionTable) -> Iterator[Way]:
        """Both with and without a tow-off, where one is possible."""
        yield self.priced(way)
        one = way.flight
        following = self.next_on_stand(one)
        takes = self.day.stand_of(one).tow_off_minutes
        if following is None or takes is None or not self.overstays(way):
            return
        buffer = self.day.station.stand_buffer_minutes
        tow = following.in_block_minute - buffer - takes
        if table.approach_minute is None or table.approach_minute > tow:
            return
        if way.option is not None and way.option.fan is not None:
            _, away = self.visit(way.option)
            if away > tow:
                return
        works = tuple(
            work
            for work in way.works
            if all(start + duty.minutes <= tow for duty, _, start in work)
        )
        if works:
            yield self.priced(replace(way, works=works, towed=True))

    # Prices

    def priced(self, way: Way) -> Way:
        """Give the way its price."""
        one, minute = way.flight, way.off_block
        late = 0 if minute is None else minute - one.target_off_block_minute
        price = (
            self.weight(way),
            self.day.station.delay_cost.of(late),
            int(self.is_changed(way)),
            self.effort(way),
        )
        return replace(way, price=price)

    def weight(self, way: Way) -> int:
        """Weight of the rules broken."""
        one = way.flight
        if one.cancelled:
            return 0
        weight = 1 if self.overstays(way) and not way.towed else 0
        following = self.next_of_tail(one)
        if following is not None and following.rotation_minutes is not None:
            back = following.in_block_minute - following.rotation_minutes
            weight += way.off_block is None or way.off_block > back
        if one.off_block_basis is Basis.ACTUAL:
            return weight
        weight += 2 if self.breaks_pin(way) else 0
        if way.off_block is None or way.take_off is None:
            return weight + 4
        ctot, limit = one.departure.ctot_minute, one.departure.crew_limit_minute
        weight += 3 if self.in_curfew(way.off_block, way.take_off, soft=True) else 0
        weight += ctot is not None and way.take_off > ctot + 10
        weight += limit is not None and way.take_off > limit
        return weight

    def breaks_pin(self, way: Way) -> bool:
        """Whether any pin of the flight is not kept."""
        mine = [pin for pin in self.day.pins if pin.turnaround_id == way.flight.id]
        return not all(_keeps(way, pin) for pin in mine)

    def is_changed(self, way: Way) -> bool:
        """Whether the published row says something else."""
        row = self.rows.get(way.flight.id)
        if row is None:
            return False
        minute, before = way.off_block, row.off_block_minute
        if (minute is None) != (before is None):
            return True
        far = self.day.station.tolerance_minutes + 1
        if minute is not None and before is not None and abs(minute - before) >= far:
            return True
        option = way.option
        jobs = []
        if option is not None and option.fan is not None:
            jobs.append(
                (option.fan, option.units, option.start_minute, option.end_minute)
            )
        published = [
            (job.fan_type, job.units, job.start_minute, job.end_minute)
            for job in row.fan_jobs
        ]
        rollout = None if option is None else option.rollout
        begins = _begins(way.works[0])
        began = sorted((duty.task, duty.start_minute) for duty in row.duties)
        return jobs != published or rollout != row.rollout or begins != began

    def effort(self, way: Way) -> int:
        """Fan minutes, jobs, requests and tows."""
        effort = 10 if way.towed else 0
        option = way.option
        if option is None:
            return effort
        if option.rollout is not None:
            effort += 5
        if option.start_minute is not None and option.end_minute is not None:
            effort += option.units * (option.end_minute - option.start_minute) + 1
        return effort

    def overstays(self, way: Way) -> bool:
        """Whether the next arrival finds the stand taken."""
        following = self.next_on_stand(way.flight)
        if following is None:
            return False
        free_by = following.in_block_minute - self.day.station.stand_buffer_minutes
        return way.off_block is None or way.off_block > free_by

    def next_on_stand(self, one: Turnaround) -> Turnaround | None:
        """Who arrives next on the stand."""
        return self.next_of(
            one, [t for t in self.day.turnarounds if t.stand == one.stand]
        )

    def next_of_tail(self, one: Turnaround) -> Turnaround | None:
        """What the tail does next."""
        return self.next_of(
            one, [t for t in self.day.turnarounds if t.tail == one.tail]
        )

    def next_of(self, one: Turnaround, others: list[Turnaround]) -> Turnaround | None:
        """First to arrive after a flight."""
        mine = one.in_block_minute, one.id
        later = [t for t in others if (t.in_block_minute, t.id) > mine]
        return min(later, key=lambda t: (t.in_block_minute, t.id), default=None)

    # Rules of several flights

    def fits(self, state: State, way: Way) -> bool:
        """Whether a way can be beside those that are decided."""
        return (
            self.has_runway(state, way)
            and self.has_slot(state, way)
            and self.has_fan(state, way)
        )

    def has_runway(self, state: State, way: Way) -> bool:
        """Whether take-offs are apart."""
        for other in state.ways:
            if other.take_off is None or way.take_off is None:
                continue
            if _is_gone(other) and _is_gone(way):
                continue
            runway = self.day.departure_runway_of(way.flight)
            if self.day.departure_runway_of(other.flight).name != runway.name:
                continue
            if way.take_off == other.take_off:
                return False
            leader, follower = (
                (way, other) if way.take_off < other.take_off else (other, way)
            )
            assert leader.take_off is not None
            assert follower.take_off is not None
            apart = follower.take_off - leader.take_off
            if apart < runway.spacing_minutes:
                return False
            if apart * 60 < self.wake_seconds(leader.flight, follower.flight):
                return False
        return True

    def wake_seconds(self, leader: Turnaround, follower: Turnaround) -> int:
        """Wake separation of a pair."""
        table = self.day.station.wake
        if table is None:
            return 0
        category = dict(self.day.wake_categories)
        pair = tuple(category[self.day.aircraft_of(t).name] for t in (leader, follower))
        return {(a, b): seconds for a, b, seconds in table.pairs}.get(pair, 0)

    def has_slot(self, state: State, way: Way) -> bool:
        """Whether no slot interval holds too many."""
        if way.take_off is None or _is_gone(way):
            return True
        for number in self.slots_at(way.flight, way.take_off):
            others = sum(
                number in self.slots_at(other.flight, other.take_off)
                for other in state.ways
                if other.take_off is not None
            )
            if others + 1 > self.day.station.slots[number].take_offs:
                return False
        return True

    def has_fan(self, state: State, way: Way) -> bool:
        """Whether enough units are there at every minute."""
        for name, minute, units in self.fan_minutes(way):
            out = sum(
                outage.units
                for outage in self.fan(name).outages
                if outage.from_minute <= minute < outage.to_minute
            )
            if state.fans.get((name, minute), 0) + units > self.fan(name).units - out:
                return False
        if not self.day.station.exact_moves or way.option is None:
            return True
        return way.option.fan is None or self.has_moves(state, way, way.option.fan)

    def has_moves(self, state: State, way: Way, name: str) -> bool:
        """Whether some way to hand out the units of a type serves all its jobs."""
        jobs: list[tuple[int, int, str]] = []
        for one in (*state.ways, way):
            if one.option is not None and one.option.fan == name:
                zone = self.day.stand_of(one.flight).zone or ""
                jobs += [(*self.visit(one.option), zone)] * one.option.units
        homes = tuple(
            (0, zone) for zone, units in self.fan(name).home for _ in range(units)
        )
        return self.serves(sorted(jobs), homes)

    def serves(
        self, jobs: list[tuple[int, int, str]], free: tuple[tuple[int, str], ...]
    ) -> bool:
        """Give the first job each unit that can be there in time, one after another."""
        if not jobs:
            return True
        (start, end, zone), moves = jobs[0], self.day.move_minutes()
        for place, (minute, where) in enumerate(free):
            if minute + moves[where, zone] <= start:
                rest = (*free[:place], *free[place + 1 :], (end, zone))
                if self.serves(jobs[1:], rest):
                    return True
        return False

    def has_crew(self, ways: list[Way], busy: dict[tuple[str, int], int]) -> bool:
        """Whether crews can do the work of all flights, in one way or another."""
        if not ways:
            return True
        count = {crew.name: crew.count for crew in self.day.station.crews}
        for work in ways[0].works:
            now = dict(busy)
            for key in self.crew_minutes(work):
                now[key] = now.get(key, 0) + 1
            is_free = all(used <= count[crew] for (crew, _), used in now.items())
            if is_free and self.has_crew(ways[1:], now):
                return True
        return False

    def taken(self, state: State, way: Way) -> State:
        """What is taken with one more flight decided."""
        fans = dict(state.fans)
        for name, minute, units in self.fan_minutes(way):
            fans[name, minute] = fans.get((name, minute), 0) + units
        return State(ways=[*state.ways, way], fans=fans)

    def fan_minutes(self, way: Way) -> Iterator[tuple[str, int, int]]:
        """Minutes in which units are set up, blow, are taken away or move."""
        option = way.option
        if option is None or option.fan is None:
            return
        start, end = self.visit(option)
        exact = self.day.station.exact_moves
        move = 0 if exact else self.fan(option.fan).move_minutes
        for minute in range(start, end + move):
            yield option.fan, minute, option.units

    def crew_minutes(self, work: tuple[Work, ...]) -> Iterator[tuple[str, int]]:
        """Minutes in which crews work or move."""
        moves = {crew.name: crew.move_minutes for crew in self.day.station.crews}
        for duty, crew, start in work:
            if crew is not None:
                for minute in range(start, start + duty.minutes + moves[crew]):
                    yield crew, minute

    def visit(self, option: Option) -> tuple[int, int]:
        """Begin of the set-up and end of the removal of a fan job."""
        assert option.fan is not None
        assert option.start_minute is not None
        assert option.end_minute is not None
        fan = self.fan(option.fan)
        return (
            option.start_minute - fan.setup_minutes,
            option.end_minute + fan.removal_minutes,
        )

    def fan(self, name: str) -> FanType:
        """Fan type by its name."""
        return next(fan for fan in self.day.station.fans if fan.name == name)


def _begins(work: tuple[Work, ...]) -> list[tuple[Task, int]]:
    return sorted((duty.task, start) for duty, _, start in work)


def _is_gone(way: Way) -> bool:
    return way.flight.off_block_basis is Basis.ACTUAL


def _keeps(way: Way, pin: Pin) -> bool:
    """Whether a way keeps a pin of its flight."""
    option, minute = way.option, way.off_block
    if pin.kind is Pinned.OFF_BLOCK:
        return minute == pin.minute
    if pin.kind is Pinned.NOT_BEFORE:
        return minute is None or pin.minute is None or minute >= pin.minute
    if pin.kind is Pinned.NO_FAN:
        return option is None or option.fan is None
    if option is None or (option.fan, option.units) != (pin.fan, pin.units):
        return False
    ends = (None, option.end_minute)
    return option.start_minute == pin.start_minute and pin.end_minute in ends

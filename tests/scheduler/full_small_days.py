"""Small invented days with every rule on, their random tables and published plans."""

from dataclasses import replace

import numpy as np

from scheduler.day import (
    Basis,
    Crew,
    Curfew,
    CurfewEvent,
    Day,
    DelayCost,
    Departure,
    Duty,
    FanType,
    Landing,
    Outage,
    Pin,
    Pinned,
    Runway,
    SlotInterval,
    Stand,
    Task,
    Turnaround,
    WakeTable,
    ZoneMove,
)
from scheduler.options import Limit, Option, OptionTable
from scheduler.plan import (
    FanJob,
    Plan,
    PlannedDuty,
    PlannedTurnaround,
    Proof,
    Status,
    WaitsFor,
)
from tests.benchmarks.plain_days import make_day_of, make_station

Rng = np.random.Generator
CHECK_MINUTES, LOOK_MINUTES = 3, 4
LONG = "full length"
ZONES = ("north", "south")


def full_day(seed: int) -> tuple[Day, list[OptionTable], Plan | None]:
    """A day of three to five flights, their tables, and often a published plan."""
    rng = np.random.default_rng(seed)
    flights = _flights(rng)
    runways = (_runway(rng, "09"), _runway(rng, "18"))
    station = make_station(
        (_fan(rng, "blower"), _fan(rng, "jet")),
        DelayCost(rates=((0, 1), (3, 2)), jumps=((6, 3),)),
        runways=runways,
        stands=tuple(_stand(rng, name) for name in ("S1", "S2", *"abcde")),
        hold_minutes=int(rng.integers(12, 17)),
        curfews=_curfews(rng),
        stand_buffer_minutes=2,
        crews=_crews(rng),
        wake=_wake(rng),
        slots=_slots(rng),
        slots_only=_chance(rng, 0.2),
        tolerance_minutes=int(rng.integers(0, 3)),
        rollout_request_minutes=5,
        plug_check_minutes=CHECK_MINUTES,
        inspection_minutes=LOOK_MINUTES,
        zone_moves=_moves(rng),
        exact_moves=_chance(rng, 0.4),
    )
    day = _with_types(rng, make_day_of(flights, station))
    tables = [_table(rng, day, one) for one in flights]
    day = _with_work(rng, day, tables)
    day = replace(day, pins=_pins(rng, day, tables))
    published = _published(rng, day, tables) if _chance(rng, 0.6) else None
    return day, tables, published


def _chance(rng: Rng, share: float) -> bool:
    return bool(rng.random() < share)


def _runway(rng: Rng, name: str) -> Runway:
    start = int(rng.integers(608, 626))
    closure = (start, start + int(rng.integers(1, 5)))
    return Runway(
        name=name,
        heading_deg=90.0,
        landing_distance_m=3000.0,
        spacing_minutes=int(rng.integers(0, 4)),
        closures=(closure,) if _chance(rng, 0.4) else (),
        arrival_gap_minutes=int(rng.integers(0, 3)),
    )


def _stand(rng: Rng, name: str) -> Stand:
    return Stand(
        name=name,
        zone=str(rng.choice(ZONES)),
        taxi_in_minutes=int(rng.integers(1, 3)),
        taxi_out_minutes=int(rng.integers(2, 5)),
        tow_off_minutes=int(rng.integers(1, 4)) if _chance(rng, 0.6) else None,
    )


def _fan(rng: Rng, name: str) -> FanType:
    start, units = int(rng.integers(600, 615)), int(rng.integers(1, 3))
    outage = Outage(units=1, from_minute=start, to_minute=start + 4)
    return FanType(
        name=name,
        units=units,
        air_speed_m_per_s=10.0,
        setup_minutes=int(rng.integers(0, 2)),
        removal_minutes=1,
        move_minutes=int(rng.integers(0, 3)),
        from_minute=int(rng.integers(598, 606)),
        to_minute=1440,
        remote=_chance(rng, 0.2),
        home=_home(rng, units),
        brakes_per_unit=int(rng.choice([4, 8])),
        sets=(2,) if _chance(rng, 0.1) else (),
        outages=(outage,) if _chance(rng, 0.3) else (),
    )


def _home(rng: Rng, units: int) -> tuple[tuple[str, int], ...]:
    first = int(rng.integers(0, units + 1))
    homes = zip(ZONES, (first, units - first), strict=True)
    return tuple((zone, count) for zone, count in homes if count)


def _moves(rng: Rng) -> tuple[ZoneMove, ...]:
    return tuple(
        ZoneMove(from_zone=a, to_zone=b, minutes=int(rng.integers(0, 7)))
        for a in ZONES
        for b in ZONES
    )


def _curfews(rng: Rng) -> tuple[Curfew, ...]:
    found = []
    for soft in (False, True):
        if _chance(rng, 0.35):
            start = int(rng.integers(612, 628))
            event = CurfewEvent.OFF_BLOCK if _chance(rng, 0.3) else CurfewEvent.TAKE_OFF
            end = start + int(rng.integers(2, 9))
            found.append(
                Curfew(from_minute=start, to_minute=end, event=event, soft=soft)
            )
    return tuple(found)


def _crews(rng: Rng) -> tuple[Crew, ...]:
    line = Crew(
        name="line",
        count=1,
        tasks=(Task.INSPECTION, Task.PLUG_CHECK),
        from_minute=int(rng.integers(600, 606)),
        to_minute=int(rng.integers(616, 640)),
        move_minutes=int(rng.integers(0, 3)),
    )
    night = Crew(name="night", count=1, tasks=(Task.INSPECTION,), move_minutes=1)
    return ((line, night), (line,), (night,), ())[int(rng.integers(0, 4))]


def _wake(rng: Rng) -> WakeTable | None:
    if not _chance(rng, 0.6):
        return None
    pairs = tuple(
        (leader, follower, int(rng.integers(1, 10)) * 30)
        for leader in ("heavy", "light")
        for follower in ("heavy", "light")
        if _chance(rng, 0.7)
    )
    return WakeTable(name="invented", source="invented", edition="1", pairs=pairs)


def _slots(rng: Rng) -> tuple[SlotInterval, ...]:
    if not _chance(rng, 0.5):
        return ()
    width = int(rng.integers(4, 9))
    return tuple(
        SlotInterval(
            from_minute=start,
            to_minute=start + width,
            take_offs=int(rng.integers(0, 3)),
            runway=(None, "09", "18")[int(rng.integers(0, 3))],
        )
        for start in range(606, 640, width)
    )


def _flights(rng: Rng) -> tuple[Turnaround, ...]:
    found: list[Turnaround] = []
    for name in "abcde"[: int(rng.integers(3, 6))]:
        one = _flight(rng, name)
        earlier = [f for f in found if f.in_block_minute < one.in_block_minute]
        if earlier and _chance(rng, 0.3):
            before = earlier[int(rng.integers(0, len(earlier)))]
            minutes = int(rng.integers(0, 5))
            one = replace(one, tail=before.tail, rotation_minutes=minutes)
        found.append(one)
    return tuple(found)


def _flight(rng: Rng, name: str) -> Turnaround:
    in_block = 600 + int(rng.integers(0, 13))
    target = in_block + int(rng.integers(5, 9))
    is_gone, is_there = _chance(rng, 0.1), _chance(rng, 0.5)
    return Turnaround(
        id=name,
        tail=f"tail {name}",
        stand=str(rng.choice(["S1", "S2"])) if _chance(rng, 0.6) else name,
        in_block_minute=in_block,
        in_block_basis=Basis.ACTUAL if is_gone or is_there else Basis.ESTIMATED,
        target_off_block_minute=target,
        off_block_basis=Basis.ACTUAL if is_gone else Basis.ESTIMATED,
        landing=Landing(runway=(None, "09", "18")[int(rng.integers(0, 3))]),
        departure=Departure(
            ctot_minute=_maybe(rng, 0.3, target, 0, 14),
            crew_limit_minute=_maybe(rng, 0.25, target, 2, 12),
            runway=(None, None, "09", "18")[int(rng.integers(0, 4))],
        ),
        cancelled=not is_gone and _chance(rng, 0.1),
    )


def _maybe(rng: Rng, share: float, base: int, low: int, high: int) -> int | None:
    minute = base + int(rng.integers(low, high))
    return minute if _chance(rng, share) else None


def _with_types(rng: Rng, day: Day) -> Day:
    """Make some tails a lighter type of its own wake category."""
    heavy = day.aircraft[0]
    light = replace(heavy, name="synthetic light")
    return replace(
        day,
        aircraft=(heavy, light),
        tails=tuple(
            replace(tail, aircraft=light.name) if _chance(rng, 0.5) else tail
            for tail in day.tails
        ),
        wake_categories=((heavy.name, "heavy"), (light.name, "light")),
    )


def _table(rng: Rng, day: Day, one: Turnaround) -> OptionTable:
    base = one.in_block_minute
    approach = base + int(rng.integers(0, 3)) if _chance(rng, 0.9) else None
    has_check = approach is not None and _chance(rng, 0.25)
    ready = base + int(rng.integers(4, 15)) if _chance(rng, 0.9) else None
    others = [_option(rng, day, one) for _ in range(int(rng.integers(0, 6)))]
    still = Option(ready_minute=ready, binding=Limit.STOPPING)
    options = [still, *(option for option in others if option is not None)]
    if has_check:
        options = [replace(o, needs_check=_chance(rng, 0.6)) for o in options]
    duties = []
    if has_check and approach is not None:
        first = approach + int(rng.integers(0, 4))
        duties.append(
            Duty(task=Task.PLUG_CHECK, minutes=CHECK_MINUTES, earliest_minute=first)
        )
    landing = base - day.taxi_in_minutes(one)
    return OptionTable(
        turnaround_id=one.id,
        approach_minute=approach,
        options=tuple(options),
        rollout_deadline_minute=landing - day.station.rollout_request_minutes,
        duties=tuple(duties),
    )


def _option(rng: Rng, day: Day, one: Turnaround) -> Option | None:
    """Give a fan job, a longer rollout or both; None where no set of units fits."""
    base = one.in_block_minute
    can_ask = one.in_block_basis is not Basis.ACTUAL
    rollout = LONG if can_ask and _chance(rng, 0.3) else None
    fan = day.station.fans[int(rng.integers(0, 2))]
    sets = fan.sets_for(day.aircraft_of(one).brake_count)
    if not sets and rollout is None:
        return None
    if not sets or (rollout and _chance(rng, 0.5)):
        ready = base + int(rng.integers(4, 12))
        return Option(ready_minute=ready, binding=Limit.PLUG, rollout=rollout)
    start = base + int(rng.integers(0, 5))
    end = start + int(rng.integers(1, 6))
    return Option(
        fan=fan.name,
        units=int(rng.choice(sets)),
        start_minute=start,
        end_minute=end,
        ready_minute=end + int(rng.integers(0, 4)),
        binding=Limit.PLUG,
        rollout=rollout,
    )


def _with_work(rng: Rng, day: Day, tables: list[OptionTable]) -> Day:
    """Give some flights an inspection, when people may approach or later."""
    given = []
    for one, table in zip(day.turnarounds, tables, strict=True):
        approach = table.approach_minute
        if approach is None or not _chance(rng, 0.35):
            given.append(one)
            continue
        duty = Duty(
            task=Task.INSPECTION,
            minutes=int(rng.integers(2, 5)),
            earliest_minute=approach + int(rng.integers(0, 4)),
        )
        given.append(replace(one, duties=(duty,)))
    return replace(day, turnarounds=tuple(given))


def _pins(rng: Rng, day: Day, tables: list[OptionTable]) -> tuple[Pin, ...]:
    pins = []
    for one, table in zip(day.turnarounds, tables, strict=True):
        minute = one.target_off_block_minute + int(rng.integers(0, 5))
        pins += [
            Pin(turnaround_id=one.id, kind=kind, minute=minute)
            for kind in (Pinned.OFF_BLOCK, Pinned.NOT_BEFORE)
            if _chance(rng, 0.12)
        ]
        jobs = [option for option in table.options if option.fan is not None]
        if jobs and _chance(rng, 0.15):
            job = jobs[int(rng.integers(0, len(jobs)))]
            pins.append(
                Pin(
                    turnaround_id=one.id,
                    kind=Pinned.FAN,
                    fan=job.fan,
                    units=job.units,
                    start_minute=job.start_minute,
                    end_minute=job.end_minute if _chance(rng, 0.5) else None,
                )
            )
        elif _chance(rng, 0.1):
            pins.append(Pin(turnaround_id=one.id, kind=Pinned.NO_FAN))
    return tuple(pins)


def _published(rng: Rng, day: Day, tables: list[OptionTable]) -> Plan:
    """A plan that was made before: any option, any minute, any beginning of work."""
    rows = tuple(
        _published_row(rng, one, table)
        for one, table in zip(day.turnarounds, tables, strict=True)
        if not _chance(rng, 0.1)
    )
    proof = Proof(objective=(), bound=(), gap=0.0, seconds=0.0, solver="chance")
    return Plan(
        scenario=day.name,
        day=day.clock.day.isoformat(),
        status=Status.FEASIBLE,
        proof=proof,
        limit_confidence=day.station.limit_confidence,
        seed=1,
        sample_count=512,
        turnarounds=rows,
        actions=(),
        cautions=(),
    )


def _published_row(rng: Rng, one: Turnaround, table: OptionTable) -> PlannedTurnaround:
    option = table.options[int(rng.integers(0, len(table.options)))]
    leaves = one.target_off_block_minute + int(rng.integers(0, 6))
    is_held = _chance(rng, 0.1)
    asked = (*one.duties, *(table.duties if option.needs_check else ()))
    job = ()
    if option.fan is not None:
        job = (
            FanJob(
                fan_type=option.fan,
                units=option.units,
                start_minute=option.start_minute or 0,
                end_minute=option.end_minute or 0,
            ),
        )
    return PlannedTurnaround(
        id=one.id,
        tail=one.tail,
        stand=one.stand,
        in_block_minute=one.in_block_minute,
        target_off_block_minute=one.target_off_block_minute,
        brake_ready_minute=option.ready_minute,
        brake_ready_still_air_minute=table.still_air.ready_minute,
        binding_limit=option.binding,
        waits_for=WaitsFor.NOTHING,
        approach_minute=table.approach_minute,
        off_block_minute=None if is_held else leaves,
        take_off_minute=None,
        delay_minutes=None,
        fan_jobs=() if is_held else job,
        relaxed=(),
        heat=None,
        duties=() if is_held else tuple(_published_duty(rng, duty) for duty in asked),
        rollout=None if is_held else option.rollout,
    )


def _published_duty(rng: Rng, duty: Duty) -> PlannedDuty:
    start = duty.earliest_minute + int(rng.integers(0, 3))
    return PlannedDuty(
        task=duty.task,
        crew=None,
        start_minute=start,
        end_minute=start + duty.minutes,
    )

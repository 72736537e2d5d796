"""Rules of crews and of fans in sets, out of service and on the move, one at a time."""

from dataclasses import replace

import numpy as np
import pytest
from good_plan import (
    claiming,
    codes_of,
    faults_of,
    make_day,
    make_job,
    make_plan,
    moved,
    with_given,
    with_row,
    with_station,
)

from scheduler.day import (
    Crew,
    Day,
    Duty,
    Outage,
    PlugCheck,
    RejectedTakeOff,
    Task,
    ZoneMove,
)
from scheduler.plan import Plan, PlannedDuty, Relaxation, Status, WaitsFor
from scheduler.verify import Code
from scheduler.verify.moves import Stay, unserved

BASE = make_day()
LINE = Crew(
    name="line",
    count=1,
    tasks=(Task.INSPECTION,),
    from_minute=500,
    to_minute=1000,
    move_minutes=5,
)
LOOK = Duty(task=Task.INSPECTION, minutes=10, earliest_minute=615)


def looked_at(*names: str, crew: Crew | None = LINE, **changes: object) -> Day:
    """The day in which some aircraft are inspected, from 615 unless said otherwise."""
    crews = () if crew is None else (crew,)
    day = with_station(BASE, crews=crews)
    for name in names:
        day = with_given(day, name, duties=(replace(LOOK, **changes),))
    return day


DAY = looked_at("A1")


def work(start: int = 615, minutes: int = 10, **changes: object) -> PlannedDuty:
    """An inspection by the line crew."""
    duty = PlannedDuty(
        task=Task.INSPECTION,
        crew="line",
        start_minute=start,
        end_minute=start + minutes,
    )
    return replace(duty, **changes)


def working(*duties: PlannedDuty, name: str = "A1", **changes: object) -> Plan:
    """The plan with work on A1, unless said otherwise."""
    return with_row(make_plan(BASE), name, duties=duties, **changes)


PLAN = working(work())


def test_good_work_passes():
    """A1 is inspected from 615 to 625 and leaves at 640."""
    assert codes_of(PLAN, DAY) == []
    assert codes_of(working(work(630)), DAY) == []


@pytest.mark.parametrize(
    ("duties", "found"),
    [
        ((), Code.DUTY),
        ((work(minutes=9),), Code.DUTY),
        ((work(minutes=11),), Code.DUTY),
        ((work(614),), Code.DUTY_EARLY),
        ((work(631),), Code.DUTY_LATE),
        ((work(crew="tow crew"),), Code.CREW),
        ((work(crew=None),), Code.CREW),
        ((work(task=Task.WHEEL_CHANGE, crew=None), work()), Code.DUTY),
        ((work(), work(630)), Code.DUTY),
    ],
)
def test_one_fault_of_work(duties: tuple[PlannedDuty, ...], found: Code):
    """Work that is missing, misplaced or of nobody is refused for that."""
    assert codes_of(working(*duties), DAY) == [found]


@pytest.mark.parametrize(
    ("approach", "found"),
    [(615, []), (616, [Code.DUTY_APPROACH]), (None, [Code.DUTY_APPROACH])],
)
def test_nobody_works_beside_hot_brakes(approach: int | None, found: list[Code]):
    """Work sends people to a wheel: not before the figures meet the threshold."""
    assert codes_of(with_row(PLAN, "A1", approach_minute=approach), DAY) == found


@pytest.mark.parametrize(
    ("opens", "closes", "found"),
    [(615, 625, []), (616, 700, [Code.CREW_HOURS]), (600, 624, [Code.CREW_HOURS])],
)
def test_crew_hours(opens: int, closes: int, found: list[Code]):
    """A crew begins and ends within its hours."""
    crew = replace(LINE, from_minute=opens, to_minute=closes)
    assert codes_of(PLAN, looked_at("A1", crew=crew)) == found


@pytest.mark.parametrize(
    ("start", "count", "found"),
    [
        (630, 1, []),
        (629, 1, [Code.CREW_CAPACITY]),
        (629, 2, []),
        (615, 2, []),
        (615, 1, [Code.CREW_CAPACITY]),
    ],
)
def test_crew_capacity_counts_work_and_move(start: int, count: int, found: list[Code]):
    """The crew of A1 is at B2 five minutes after it is done."""
    day = looked_at("A1", "B2", crew=replace(LINE, count=count))
    plan = with_row(PLAN, "B2", duties=(work(start),))
    assert codes_of(plan, day) == found


def test_other_crews_do_not_count():
    """Two kinds of crew work at the same time."""
    other = replace(LINE, name="night")
    day = with_station(looked_at("A1", "B2"), crews=(LINE, other))
    plan = with_row(PLAN, "B2", duties=(work(crew="night"),))
    assert codes_of(plan, day) == []


def test_too_many_crews_are_told_once():
    """Three at work with two crews are one fault, at the minute of the third."""
    day = looked_at("B2", crew=replace(LINE, count=2))
    day = with_given(day, "A1", duties=(LOOK, LOOK))
    plan = with_row(working(work(), work(616)), "B2", duties=(work(617),))
    (fault,) = faults_of(plan, day)
    assert str(fault) == (
        "the day: crew line at 10:17: expected at most 2 at work or on the move, "
        "got 3 for A1, A1, B2 (crew capacity)"
    )


@pytest.mark.parametrize(("start", "found"), [(615, []), (616, [Code.DUTY])])
def test_work_that_no_crew_lists_starts_at_once(start: int, found: list[Code]):
    """Nobody is waited for where the station names no crew."""
    plan = working(work(start, crew=None))
    assert codes_of(plan, looked_at("A1", crew=None)) == found
    named = working(work(start))
    assert codes_of(named, looked_at("A1", crew=None)) == [Code.CREW]


def test_work_that_the_heat_asks_for_is_as_long_as_the_station_says():
    """A check that the day does not give is placed by approach and station."""
    check = work(610, 20, task=Task.PLUG_CHECK, crew=None)
    day = with_station(BASE, plug_check_minutes=20)
    assert codes_of(working(check), day) == []
    assert codes_of(working(replace(check, end_minute=629)), day) == [Code.DUTY]
    early = replace(check, start_minute=606, end_minute=626)
    assert codes_of(working(early), day) == [Code.DUTY_APPROACH]


def test_a_rejected_take_off_is_followed_by_an_inspection():
    """A1 had stopped on the runway: nobody leaves without a look or a logged check."""
    event = RejectedTakeOff(turnaround_id="A1", minute=595)
    day = replace(with_station(BASE, inspection_minutes=10), rejected=(event,))
    assert codes_of(working(), day) == [Code.DUTY]
    assert codes_of(working(work(crew=None)), day) == []
    for minute, found in ((595, []), (594, [Code.DUTY])):
        check = PlugCheck(turnaround_id="A1", minute=minute)
        assert codes_of(working(), replace(day, checks=(check,))) == found


def test_no_work_without_a_departure():
    """A held or departed aircraft has no crew."""
    plan = make_plan(BASE)
    assert codes_of(with_row(plan, "D4", duties=(work(),)), DAY) != []
    row = {"off_block_minute": None, "take_off_minute": None, "delay_minutes": None}
    held = with_row(
        plan,
        "E5",
        **row,
        brake_ready_minute=None,
        brake_ready_still_air_minute=None,
        relaxed=(Relaxation.HELD,),
        waits_for=WaitsFor.BRAKES,
    )
    held = claiming(held, 4, 30, 0, 51, status=Status.RELAXED)
    assert codes_of(held, BASE) == []
    assert codes_of(with_row(held, "E5", duties=(work(700),)), BASE) == [Code.DUTY]


@pytest.mark.parametrize(
    ("earliest", "reason"), [(635, WaitsFor.CHECK), (634, WaitsFor.CREW)]
)
def test_work_that_ends_with_off_block_is_waited_for(earliest: int, reason: WaitsFor):
    """A1 leaves at 645, when the inspection from 635 is done."""
    day = looked_at("A1", earliest_minute=earliest)
    plan = moved(working(work(635)), "A1", 645)
    plan = claiming(plan, 0, 45, 0, 51)
    for told in WaitsFor:
        found = [] if told is reason else [Code.WAITS_FOR]
        assert codes_of(with_row(plan, "A1", waits_for=told), day) == found


def test_held_where_it_may_wait_for_a_crew():
    """With crews, work may be why no minute was found; without, it is not."""
    row = {"off_block_minute": None, "take_off_minute": None, "delay_minutes": None}
    held = with_row(
        make_plan(BASE),
        "E5",
        **row,
        relaxed=(Relaxation.HELD,),
        waits_for=WaitsFor.BRAKES,
    )
    held = claiming(held, 4, 30, 0, 51, status=Status.RELAXED)
    assert codes_of(held, looked_at("E5")) == []
    assert codes_of(held, looked_at("E5", crew=None)) == [Code.HELD]
    late = looked_at("E5", crew=None, earliest_minute=791)
    assert codes_of(held, late) == []
    assert codes_of(held, looked_at("E5", crew=None, earliest_minute=790)) == [
        Code.HELD
    ]


def with_cart(**changes: object) -> Day:
    """The day with another cart; B2 takes two of two from 617 to 652."""
    cart, pit = BASE.station.fans
    return with_station(BASE, fans=(replace(cart, **changes), pit))


@pytest.mark.parametrize(
    ("start", "end", "found"),
    [
        (600, 617, []),
        (600, 618, [Code.FAN_CAPACITY]),
        (651, 660, [Code.FAN_CAPACITY]),
        (652, 660, []),
    ],
)
def test_units_out_of_service(start: int, end: int, found: list[Code]):
    """A unit that is out of service at a minute cannot be used at it."""
    outage = Outage(units=1, from_minute=start, to_minute=end)
    assert codes_of(make_plan(BASE), with_cart(outages=(outage,))) == found


@pytest.mark.parametrize(
    ("changes", "found"),
    [
        ({"brakes_per_unit": 2}, []),
        ({"brakes_per_unit": 4}, [Code.FAN_SET]),
        ({"brakes_per_unit": 2, "sets": (2,)}, []),
        ({"brakes_per_unit": 2, "sets": (1,)}, [Code.FAN_SET]),
    ],
)
def test_fan_sets(changes: dict[str, object], found: list[Code]):
    """B2 has four brakes and gets two units."""
    assert codes_of(make_plan(BASE), with_cart(**changes)) == found


def zoned(minutes: int, *, exact: bool = True, home: tuple = (("south", 2),)) -> Day:
    """The day with C3 (S1) in the north, B2 in the south, and a way between them."""
    cart, pit = BASE.station.fans
    stands = tuple(
        replace(one, zone="north" if one.name == "S1" else "south")
        for one in BASE.station.stands
    )
    return with_station(
        BASE,
        stands=stands,
        exact_moves=exact,
        zone_moves=tuple(
            ZoneMove(from_zone=a, to_zone=b, minutes=minutes)
            for a, b in (("south", "north"), ("north", "south"))
        ),
        fans=(replace(cart, home=home), replace(pit, home=(("south", 1),))),
    )


def two_jobs(units: int = 1) -> Plan:
    """The plan with the cart at C3 too: set up from 667, air 670 to 675."""
    job = make_job(units=units, start_minute=670, end_minute=675)
    plan = with_row(make_plan(BASE), "C3", fan_jobs=(job,))
    return claiming(plan, 0, 40, 0, 51 + 5 * units + 1)


@pytest.mark.parametrize(("minutes", "found"), [(20, []), (21, [Code.FAN_MOVES])])
def test_fan_moves_stand_by_stand(minutes: int, found: list[Code]):
    """The cart leaves B2 at 647 and has to be at C3 at 667."""
    assert codes_of(two_jobs(), zoned(minutes)) == found
    assert codes_of(two_jobs(2), zoned(minutes)) == found
    assert codes_of(two_jobs(2), zoned(minutes, exact=False)) == []


@pytest.mark.parametrize(("minutes", "found"), [(617, []), (618, [Code.FAN_MOVES])])
def test_fans_begin_the_day_at_home(minutes: int, found: list[Code]):
    """From midnight on a cart can come from the north to B2, set up there at 617."""
    far = zoned(minutes, home=(("north", 1), ("south", 1)))
    assert codes_of(make_plan(BASE), far) == found


@pytest.mark.parametrize(("exact", "found"), [(True, []), (False, [1])])
def test_exact_moves_need_no_mean(exact: bool, found: list[int]):
    """Where the mean is half an hour, twenty minutes between two stands still do."""
    day = zoned(20, exact=exact)
    cart, pit = day.station.fans
    day = with_station(day, fans=(replace(cart, move_minutes=30), pit))
    assert codes_of(two_jobs(2), day) == [Code.FAN_CAPACITY] * len(found)


@pytest.mark.parametrize(
    ("moves", "found"),
    [
        ((("south", "north", 21),), True),
        ((("north", "south", 21),), True),
        ((("north", "south", 21), ("south", "north", 20)), False),
        ((), True),
    ],
)
def test_a_way_is_as_long_back_as_there(moves: tuple, found: bool):
    """A way that is given once counts both ways; one that is not takes the mean."""
    day = with_station(
        zoned(0),
        zone_moves=tuple(
            ZoneMove(from_zone=a, to_zone=b, minutes=minutes) for a, b, minutes in moves
        ),
    )
    cart, pit = day.station.fans
    day = with_station(day, fans=(replace(cart, move_minutes=21), pit))
    assert codes_of(two_jobs(), day) == ([Code.FAN_MOVES] if found else [])


def test_too_many_at_once_is_no_matter_of_moves():
    """More units than there are is told as that and nothing else."""
    assert codes_of(two_jobs(3), zoned(0)) == [Code.FAN_CAPACITY]


@pytest.mark.parametrize("seed", range(60))
def test_exact_moves_agree_with_trying_every_unit(seed: int):
    """Jobs can be served if, and only if, some way to hand out the units does it."""
    rng = np.random.default_rng(seed)
    zones = ("north", "south", "west")
    day = with_station(
        BASE,
        exact_moves=True,
        zone_moves=tuple(
            ZoneMove(from_zone=a, to_zone=b, minutes=int(rng.integers(0, 12)))
            for a in zones
            for b in zones
            if rng.random() < 0.8
        ),
    )
    units = int(rng.integers(1, 4))
    homes = [zones[int(rng.integers(0, 3))] for _ in range(units)]
    fan = replace(
        BASE.station.fans[0],
        units=units,
        move_minutes=4,
        home=tuple((zone, homes.count(zone)) for zone in sorted(set(homes))),
    )
    stays = []
    for index in range(int(rng.integers(2, 6))):
        start = int(rng.integers(2, 42))
        stays.append(
            Stay(
                turnaround_id=f"T{index}",
                zone=zones[int(rng.integers(0, 3))],
                units=int(rng.integers(1, units + 1)),
                from_minute=start,
                to_minute=start + int(rng.integers(1, 10)),
            )
        )
    expected = _can_serve(day, fan, sorted(stays, key=lambda s: s.from_minute))
    assert (unserved(day, fan, stays) == ()) is expected


def _can_serve(day: Day, fan, stays: list[Stay]) -> bool:
    """Hand out the units job by job in every way."""
    moves = day.move_minutes()
    wanted = [stay for stay in stays for _ in range(stay.units)]
    start = [(zone, 0, True) for zone, count in fan.home for _ in range(count)]

    def go_on(index: int, where: list[tuple[str, int, bool]]) -> bool:
        if index == len(wanted):
            return True
        stay = wanted[index]
        for k, (zone, free, at_home) in enumerate(where):
            way = moves.get((zone, stay.zone), fan.move_minutes)
            if at_home and zone == stay.zone:
                way = 0
            if free + way <= stay.from_minute:
                after = [*where]
                after[k] = (stay.zone, stay.to_minute, False)
                if go_on(index + 1, after):
                    return True
        return False

    return go_on(0, start)

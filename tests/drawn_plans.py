"""Plans to draw, made up without heat or solver: every mark of the page is in them.

Curves are plain exponentials; names, times and limits are invented.
"""

from dataclasses import replace
from math import exp

from scheduler.day import Task
from scheduler.options import Limit
from scheduler.plan import (
    Action,
    BrakeHeat,
    Curve,
    FanFleet,
    FanJob,
    HeatSummary,
    LimitLine,
    Plan,
    PlannedDuty,
    PlannedTurnaround,
    Progress,
    Proof,
    Relaxation,
    Status,
    TradePoint,
    WaitsFor,
)
from scheduler.report.cautions import CAUTIONS

HOSTILE = (
    "<script>window.hacked = 1</script>",
    "\"quoted\" 'twice' & <b>bold</b> 100%25 #7",
    "\u202egnuh\u202c \u0645\u0637\u0627\u0631",
    "N" * 200,
    "\U0001f6ec\U0001f525 {{ 7 * 7 }} ${x}",
)
FLEET = FanFleet(
    name="cart",
    units=3,
    setup_minutes=3,
    removal_minutes=2,
    move_minutes=5,
    from_minute=240,
    to_minute=1380,
    remote=False,
)
LIMITS = (
    LimitLine(curve="stack", name="wheel-well limit", limit_c=400.0),
    LimitLine(curve="indicated", name="indicated limit", limit_c=300.0),
    LimitLine(curve="plug", name="plug limit", limit_c=170.0),
)
AFTER = (0, 5, 10, 15, 20, 30, 40, 50, 60, 75, 90, 120, 150, 180)
WAITS = (
    WaitsFor.NOTHING,
    WaitsFor.BRAKES,
    WaitsFor.FAN,
    WaitsFor.SLOT,
    WaitsFor.CHECK,
    WaitsFor.CREW,
    WaitsFor.STAND,
    WaitsFor.LOAD,
)


def drawn_plan(count: int = 10, now: int | None = None, brakes: int = 4) -> Plan:
    """Make a plan of so many turnarounds; every eighth is held where there are many."""
    rows = _traded([_row(k, count, now, brakes) for k in range(count)])
    return Plan(
        scenario="lake-bend",
        day="2026-07-14",
        status=Status.RELAXED,
        proof=Proof(
            objective=(4, 120, 0, 90),
            bound=(4, 110, 0, 0),
            gap=0.083,
            seconds=2.0,
            solver="CP-SAT 9.15",
        ),
        limit_confidence=0.99,
        seed=1,
        sample_count=512,
        turnarounds=rows,
        actions=tuple(action for row in rows for action in _actions(row)),
        cautions=CAUTIONS,
        notes=("weather: the last report is of 2026-07-14T12:20:00Z",),
        now_minute=now,
        time_zone="Europe/Madrid",
        data_minute=None if now is None else now - 22,
        program="heatslot 0",
        fans=(replace(FLEET, units=3 + count // 20),),
    )


def hostile_plan() -> Plan:
    """Make a plan whose names try to be more than text."""
    plan = drawn_plan(len(HOSTILE), 700)
    rows = []
    for row, name in zip(plan.turnarounds, HOSTILE, strict=True):
        jobs = tuple(replace(job, fan_type=name) for job in row.fan_jobs)
        rows.append(
            replace(row, id=f"F{name}", tail=name, stand=f"S{name}", fan_jobs=jobs)
        )
    actions = tuple(
        replace(one, what=name, who=name, stand=f"S{name}", turnaround_id=f"F{name}")
        for one, name in zip(plan.actions, HOSTILE, strict=False)
    )
    return replace(
        plan,
        scenario=HOSTILE[0],
        turnarounds=tuple(rows),
        actions=actions,
        notes=HOSTILE,
        fans=(),
    )


def _traded(rows: list[PlannedTurnaround]) -> tuple[PlannedTurnaround, ...]:
    """Give the first eight that their brakes make late a load trade."""
    cooling = (WaitsFor.BRAKES, WaitsFor.FAN)
    late = [row.id for row in rows if row.waits_for in cooling][:8]
    return tuple(
        replace(row, load_trade=_trade(row)) if row.id in late else row for row in rows
    )


def _trade(row: PlannedTurnaround) -> tuple[TradePoint, ...]:
    """Weights around 60 t; light ones wait alike, the heaviest for longer than seen."""
    ready = row.brake_ready_minute or row.target_off_block_minute
    return tuple(
        TradePoint(
            take_off_weight_kg=57_000.0 + 800.0 * k,
            earliest_off_block_minute=None if k > 7 else ready + 4 * (max(k, 1) - 5),
            binding_limit=Limit.INDICATED if k < 2 else Limit.STOPPING,
            planned=k == 5,
        )
        for k in range(9)
    )


def _row(k: int, count: int, now: int | None, brakes: int) -> PlannedTurnaround:
    in_block = 330 + k * 840 // max(count, 1)
    target = in_block + 50 + 5 * (k % 4)
    waits = WAITS[k % len(WAITS)]
    late = 0 if waits is WaitsFor.NOTHING else 3 + 4 * (k % 5)
    held = waits is WaitsFor.CHECK
    leaves = None if held else target + late
    job = FanJob(
        fan_type="cart", units=1, start_minute=in_block + 12, end_minute=in_block + 27
    )
    has_fan = waits in (WaitsFor.FAN, WaitsFor.SLOT)
    ready = None if held else target + late - (4 if waits is WaitsFor.SLOT else 0)
    heat = _heat(k, in_block, brakes)
    return PlannedTurnaround(
        id=f"LB{101 + k}",
        tail=f"Z9-{_letters(k)}",
        stand=str(1 + k % 24),
        in_block_minute=in_block,
        target_off_block_minute=target,
        brake_ready_minute=ready,
        brake_ready_still_air_minute=None if ready is None else ready + 30 * has_fan,
        binding_limit=Limit.PLUG_CHECK if held else Limit.STOPPING,
        waits_for=waits,
        approach_minute=in_block + 9,
        off_block_minute=leaves,
        take_off_minute=None if leaves is None else leaves + 9,
        delay_minutes=None if leaves is None else late,
        fan_jobs=(job,) if has_fan else (),
        relaxed=(Relaxation.HELD,) if held else (),
        heat=heat,
        duties=_duties(waits, in_block),
        progress=_progress(in_block, leaves, now),
        aircraft="Heron",
        landing_minute=in_block - 7,
        ctot_minute=None if leaves is None or k % 4 != 3 else leaves + 10,
        expected_ready_minute=None if ready is None else ready - 6,
        indication_minute=in_block + 6,
        indication_fan_minutes=10,
        limits=LIMITS,
        cooled=(_behind_fan(heat.curves[0], job),) if has_fan else (),
    )


def _letters(k: int) -> str:
    return "".join(chr(65 + k // 26**p % 26) for p in (2, 1, 0))


def _progress(in_block: int, leaves: int | None, now: int | None) -> Progress:
    if now is None or in_block > now:
        return Progress.EXPECTED
    return Progress.OFF_BLOCK if leaves and leaves < now else Progress.IN_BLOCK


def _duties(waits: WaitsFor, in_block: int) -> tuple[PlannedDuty, ...]:
    if waits is not WaitsFor.CREW:
        return ()
    return (
        PlannedDuty(
            task=Task.INSPECTION,
            crew="line",
            start_minute=in_block + 20,
            end_minute=in_block + 40,
            reason="hard stop",
        ),
    )


def _heat(k: int, in_block: int, brakes: int) -> HeatSummary:
    names = [f"{side}{n + 1}" for side in "LR" for n in range(brakes // 2)]
    curves = tuple(_curve(name, in_block, 300 + 23 * (k % 9)) for name in names)
    chance = (0.0, 0.0004, 0.02, 0.2)[k % 4 if k % 5 == 4 else 0]
    return HeatSummary(
        release_probability=chance,
        plug_peak_c=150.0 + k % 30,
        plug_peak_minute=in_block + 35,
        stack_peak_c=curves[0].stack_c[0],
        binding_position=names[0],
        binding_sample=7,
        brakes=tuple(
            BrakeHeat(
                position=name,
                energy_mj=21.4 + n,
                stack_peak_c=curves[n].stack_c[0] + n,
                wheel_peak_c=148.0,
                plug_peak_c=146.0,
                plug_peak_minute=in_block + 35,
                release_probability=chance,
            )
            for n, name in enumerate(names)
        ),
        curves=curves,
        assumed=("touchdown point: 300 to 750 m", "V1: 0.98 to 1.02")[: 1 + k % 2],
        most_valuable_input="touchdown point",
        inspection=(f"{names[0]}: stack above 600 °C",) if k % 10 == 3 else (),
    )


def _curve(position: str, in_block: int, peak_c: int) -> Curve:
    def falling(top: float, minutes: float) -> tuple[float, ...]:
        return tuple(round(20 + (top - 20) * exp(-t / minutes), 1) for t in AFTER)

    def rising(top: float) -> tuple[float, ...]:
        return tuple(
            round(20 + top * (1 - exp(-t / 15)) * exp(-t / 160), 1) for t in AFTER
        )

    return Curve(
        position=position,
        minutes=tuple(in_block + t for t in AFTER),
        stack_c=falling(peak_c, 70.0),
        wheel_c=rising(150.0),
        plug_c=rising(146.0),
        indicated_c=tuple(
            round(value * (1 - 0.5 * exp(-t / 3)), 1)
            for t, value in zip(AFTER, falling(peak_c - 40, 75.0), strict=True)
        ),
    )


def _behind_fan(curve: Curve, job: FanJob) -> Curve:
    minutes = tuple(range(job.start_minute, job.end_minute + 100, 5))

    def cooled(values: tuple[float, ...]) -> tuple[float, ...]:
        start = values[2] + (values[3] - values[2]) * 0.4
        return tuple(
            round(20 + (start - 20) * exp(-(m - job.start_minute) / 22), 1)
            for m in minutes
        )

    return Curve(
        position=curve.position,
        minutes=minutes,
        stack_c=cooled(curve.stack_c),
        wheel_c=cooled(curve.wheel_c),
        plug_c=cooled(curve.plug_c),
        indicated_c=cooled(curve.indicated_c),
    )


def _actions(row: PlannedTurnaround) -> tuple[Action, ...]:
    def action(minute: int, do_by: int, what: str, who: str) -> Action:
        return Action(
            minute=minute,
            do_by_minute=do_by,
            what=what,
            who=who,
            stand=row.stand,
            turnaround_id=row.id,
            missing_it="off-block 20 min later",
        )

    found = [
        action(job.start_minute - 3, job.start_minute, "Move 1 × cart", "fan crew")
        for job in row.fan_jobs
    ]
    found += [
        action(job.end_minute, job.end_minute + 2, "Take 1 × cart away", "fan crew")
        for job in row.fan_jobs
    ]
    if row.waits_for is not WaitsFor.NOTHING:
        target = row.target_off_block_minute
        told = f"Tell gate and load planner of {row.id}"
        found.append(action(row.in_block_minute, target, told, "controller"))
    return tuple(found)

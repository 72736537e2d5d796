"""What is asked about one aircraft → a day with this one turnaround.

Enters: minutes of the clock's day, SI, kelvin. Leaves: a `Day` whose station has
neutral values: level runway, sheltered stand, no wind, one fan.
"""

from dataclasses import dataclass, field, replace

from scheduler.clock import DAY_MINUTES, Clock
from scheduler.day import (
    ApproachRule,
    Basis,
    Day,
    Departure,
    FanType,
    Landing,
    PlugCheck,
    Reading,
    Runway,
    Stand,
    Station,
    Tail,
    Turnaround,
    WeatherRow,
)
from scheduler.errors import DayError
from thermal.air import isa_pressure_pa
from thermal.aircraft import Aircraft
from thermal.catalogue import load_aircraft
from thermal.units import kelvin

TURNAROUND = "single"
TAXI_IN_MINUTES = 5
TAXI_OUT_MINUTES = 10
HOLD_MINUTES = 360
FAN_SETUP_MINUTES = 5
FAN_REMOVAL_MINUTES = 3
FAN_AFTER_MINUTES = 10
_UNKNOWN_AIR_C, _UNKNOWN_SPREAD_K = 20.0, 6.0
_USUAL_MINUTES = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One landing, its readings, and the off-block that is hoped for.

    ``landed_minute`` is touchdown; the aircraft is in-block after the rollout, one
    minute, and the taxi-in. What is None in ``landing`` and ``departure``, and
    ``ambient_k`` and ``wear`` where they are None, is drawn from its range or taken
    at its worst. ``check_minute`` is a logged check of plugs and tyres.
    """

    clock: Clock
    aircraft: str
    landed_minute: int
    readings: tuple[Reading, ...] = ()
    off_block_minute: int | None = None
    landing: Landing = field(default_factory=Landing)
    departure: Departure = field(default_factory=Departure)
    ambient_k: float | None = None
    elevation_m: float = 0.0
    wear: float | None = None
    fan_from_minute: int | None = None
    fan_minutes: int = 30
    fan_m_per_s: float = 8.0
    fan_remote: bool = False
    check_minute: int | None = None

    def __post_init__(self) -> None:
        """Refuse times in an order that cannot be, and weights of another type."""
        aircraft = load_aircraft(self.aircraft)
        last = self.in_block_minute + HOLD_MINUTES
        for reading in self.readings:
            self._check("reading", reading.minute, self.landed_minute + 1, last)
        fan_last = last - self.fan_minutes - FAN_REMOVAL_MINUTES
        for label, minute, from_minute, to_minute in (
            ("off-block", self.off_block_minute, self.in_block_minute + 1, last),
            ("fan", self.fan_from_minute, self._fan_first_minute, fan_last),
            ("plug check", self.check_minute, self.in_block_minute, last),
        ):
            if minute is not None:
                self._check(label, minute, from_minute, to_minute)
        _check_weight("landing weight", self.landing.weight_kg, aircraft)
        _check_weight("take-off weight", self.departure.take_off_weight_kg, aircraft)

    def _check(self, label: str, minute: int, first: int, last: int) -> None:
        if not first <= minute <= last:
            short = self.clock.short
            raise DayError.of(
                f"{label} (landed {short(self.landed_minute)})",
                f"{short(first)} to {short(last)}",
                short(minute),
            )

    @property
    def taxi_in_minutes(self) -> int:
        """Taxi-in time, given or assumed."""
        given = self.landing.taxi_in_minutes
        return TAXI_IN_MINUTES if given is None else given

    @property
    def taxi_out_minutes(self) -> int:
        """Taxi-out time, given or assumed."""
        given = self.departure.taxi_out_minutes
        return TAXI_OUT_MINUTES if given is None else given

    @property
    def in_block_minute(self) -> int:
        """Minute at which the aircraft is on the stand."""
        return self.landed_minute + 1 + self.taxi_in_minutes

    @property
    def now_minute(self) -> int:
        """Minute of the last reading; in-block where there is none."""
        minutes = [item.minute for item in self.readings]
        return max(minutes) if minutes else self.in_block_minute

    @property
    def _fan_first_minute(self) -> int:
        """Nothing blows before in-block, or before the last reading was taken."""
        return max(self.in_block_minute, self.now_minute)

    @property
    def fan_span(self) -> tuple[int, int]:
        """First and last minute of air: as given, else ten minutes from now."""
        start = self.fan_from_minute
        if start is None:
            soon = self.now_minute + FAN_AFTER_MINUTES
            start = max(soon, self.in_block_minute + FAN_SETUP_MINUTES)
        return start, start + self.fan_minutes


def day_of(question: Question) -> Day:
    """Day of one turnaround at a station of neutral values."""
    aircraft = load_aircraft(question.aircraft)
    count, in_block = aircraft.brake_count, question.in_block_minute
    off_block = question.off_block_minute
    checks = () if question.check_minute is None else (question.check_minute,)
    return Day(
        name=TURNAROUND,
        clock=question.clock,
        station=_station(question),
        aircraft=(aircraft,),
        tails=(
            Tail(
                registration=TURNAROUND,
                aircraft=aircraft.name,
                positions=tuple(str(number + 1) for number in range(count)),
                wear=(question.wear,) * count,
            ),
        ),
        weather=(_weather(question),),
        turnarounds=(
            Turnaround(
                id=TURNAROUND,
                tail=TURNAROUND,
                stand=TURNAROUND,
                in_block_minute=in_block,
                in_block_basis=Basis.ACTUAL,
                target_off_block_minute=off_block or in_block + _USUAL_MINUTES,
                off_block_basis=Basis.ESTIMATED,
                landing=question.landing,
                departure=replace(
                    question.departure, taxi_out_minutes=question.taxi_out_minutes
                ),
            ),
        ),
        checks=tuple(
            PlugCheck(turnaround_id=TURNAROUND, minute=minute) for minute in checks
        ),
        readings=question.readings,
    )


def assumed_of(question: Question) -> tuple[str, ...]:
    """Name what the neutral values assume, beside what the landing's draws say."""
    found = []
    if question.ambient_k is None:
        reach = 2.5 * _UNKNOWN_SPREAD_K
        low, high = _UNKNOWN_AIR_C - reach, _UNKNOWN_AIR_C + reach
        found.append(f"air temperature: {low:g} to {high:g} °C")
    if question.landing.taxi_in_minutes is None:
        found.append(f"taxi-in: {TAXI_IN_MINUTES} minutes")
    if question.departure.taxi_out_minutes is None:
        found.append(f"taxi-out: {TAXI_OUT_MINUTES} minutes")
    found.append("runway level, no wind on the runway and none at the stand")
    if question.readings:
        found.append("reading: the highest of all brakes of this aircraft")
    return tuple(found)


def _station(question: Question) -> Station:
    fan = FanType(
        name="fan",
        units=1,
        air_speed_m_per_s=question.fan_m_per_s,
        setup_minutes=FAN_SETUP_MINUTES,
        removal_minutes=FAN_REMOVAL_MINUTES,
        move_minutes=0,
        from_minute=-DAY_MINUTES,
        to_minute=3 * DAY_MINUTES,
        remote=question.fan_remote,
    )
    return Station(
        name=TURNAROUND,
        elevation_m=question.elevation_m,
        time_zone="UTC",
        runways=(Runway(name=TURNAROUND, heading_deg=0.0, landing_distance_m=3000.0),),
        stands=(
            Stand(
                name=TURNAROUND,
                taxi_in_minutes=question.taxi_in_minutes,
                taxi_out_minutes=question.taxi_out_minutes,
            ),
        ),
        fans=(fan,),
        approach=ApproachRule(
            max_plug_k=float(kelvin(110.0)), max_stack_k=float(kelvin(350.0))
        ),
        hold_minutes=HOLD_MINUTES,
    )


def _weather(question: Question) -> WeatherRow:
    known = question.ambient_k
    return WeatherRow(
        minute=0,
        temperature_k=float(kelvin(_UNKNOWN_AIR_C)) if known is None else known,
        wind_m_per_s=0.0,
        wind_direction_deg=None,
        pressure_pa=float(isa_pressure_pa(question.elevation_m)),
        source="given" if known is not None else "assumed",
        spread_k=_UNKNOWN_SPREAD_K if known is None else 0.5,
    )


def _check_weight(label: str, weight_kg: float | None, aircraft: Aircraft) -> None:
    low, high = aircraft.operating_empty_kg, aircraft.maximum_take_off_kg
    if weight_kg is not None and not low <= weight_kg <= high:
        raise DayError.of(
            f"{label} of {aircraft.name}", f"{low:g} to {high:g} kg", f"{weight_kg:g}"
        )

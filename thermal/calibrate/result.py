"""What a calibration found, and whether it may be used."""

from dataclasses import dataclass

from thermal.arrays import FloatArray
from thermal.brake import Brake
from thermal.calibrate.parameters import Parameter

TOLD, PARTLY = 0.5, 0.8


@dataclass(frozen=True, slots=True, kw_only=True)
class FittedParameter:
    """One parameter after the fit.

    ``sd`` is its standard deviation with all others unknown, ``remaining`` what is left
    of that of the prior: near one the readings say nothing of it.
    """

    prior: Parameter
    value: float
    sd: float
    remaining: float
    at_bound: bool

    @property
    def verdict(self) -> str:
        """What the readings tell of it, in a word or two."""
        if self.remaining <= TOLD:
            return "told"
        return "partly told" if self.remaining <= PARTLY else "not told"

    @property
    def shift_sd(self) -> float:
        """How far it moved, in standard deviations of the prior."""
        return (self.value - self.prior.value) / self.prior.sd


@dataclass(frozen=True, slots=True, kw_only=True)
class Direction:
    """One direction of all parameters together, scaled by the prior.

    ``strength`` is its singular value: above one the readings say more of it than the
    prior does. ``parts`` names what it is mostly made of, with weights.
    """

    strength: float
    parts: tuple[tuple[str, float], ...]

    @property
    def is_told(self) -> bool:
        """Whether the readings at least halve its variance."""
        return self.strength >= 1.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Fit:
    """A brake fitted to recorded cool-downs.

    Attributes
    ----------
    parameters : tuple of FittedParameter
    directions : tuple of Direction
        From the best told on; heat of the landings unknown as stated.
    record, time_s, reading_k, foretold_k : arrays, shape (reading,)
        Number of the record of each reading, its time, what was read, what is foretold.
    heat_factor : array, shape (record,)
        Of each landing.
    noise_k : float
        Standard deviation of a reading that was assumed.
    refusals : tuple of str
        Why no catalogue file may be written; empty where one may.
    """

    brake: Brake
    parameters: tuple[FittedParameter, ...]
    directions: tuple[Direction, ...]
    record: FloatArray
    time_s: FloatArray
    reading_k: FloatArray
    foretold_k: FloatArray
    heat_factor: FloatArray
    noise_k: float
    refusals: tuple[str, ...]

    @property
    def residual_k(self) -> FloatArray:
        """Readings less what is foretold, shape (reading,)."""
        return self.reading_k - self.foretold_k

    @property
    def rms_k(self) -> float:
        """Root of the mean square of the residuals."""
        return float((self.residual_k**2).mean() ** 0.5)

    @property
    def not_told(self) -> tuple[str, ...]:
        """Keys of the parameters of which the readings tell nothing."""
        return tuple(
            one.prior.key for one in self.parameters if one.verdict == "not told"
        )

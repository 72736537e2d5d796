"""Oxidation of a carbon stack: a dose relative to one hour at a reference temperature.

Enters: temperatures over time, kelvin and seconds. Leaves: doses, pure numbers.

- Two regimes: chemical at low temperatures, diffusion in the pores above a transition,
  where about half of the activation energy is left; both meet at the transition.
- Runway de-icers (potassium, sodium and calcium salts) raise the rate by about an order
  of magnitude: a factor, given by whoever knows the fleet's history.

The dose orders one landing, one cooling or one brake against another. It is never a
life, a loss of mass or a limit: those need the maker's data for the very material.
"""

from dataclasses import dataclass

import numpy as np

from thermal.arrays import FloatArray, FloatLike, check_range
from thermal.errors import ParameterError

_GAS_CONSTANT_J_PER_MOL_K = 8.314462618
HOUR_S = 3600.0
# Parts of each interval: half a per cent of its dose where it spans up to 200 K.
_PARTS = 32


@dataclass(frozen=True, slots=True, kw_only=True)
class OxidationKinetics:
    """Arrhenius figures of carbon in air.

    Attributes
    ----------
    chemical_j_per_mol : float
        Activation energy below the transition: 160 to 200 kJ/mol without a catalyst,
        110 to 150 with one, from memory.
    diffusion_j_per_mol : float
        Above it: about half of the chemical one, from memory.
    transition_k : float
        650 °C: pore diffusion up to there, then towards the gas film (Chang and
        Rusnak, Carbon 17, 1979, abstract).
    reference_k : float
        Temperature at which an hour without de-icer is a dose of one; a convention.

    Raises
    ------
    ParameterError
        If a value is outside what carbon in air has.
    """

    chemical_j_per_mol: float = 170e3
    diffusion_j_per_mol: float = 85e3
    transition_k: float = 923.15
    reference_k: float = 873.15

    def __post_init__(self) -> None:
        """Refuse energies and temperatures that are no carbon's."""
        check_range(
            "chemical_j_per_mol", self.chemical_j_per_mol, 8e4, 3e5, "J per mole"
        )
        check_range(
            "diffusion_j_per_mol",
            self.diffusion_j_per_mol,
            2e4,
            self.chemical_j_per_mol,
            "J per mole",
        )
        check_range("transition_k", self.transition_k, 773.15, 1123.15, "K")
        check_range("reference_k", self.reference_k, 573.15, 1273.15, "K")


PLAIN_CARBON = OxidationKinetics()


def relative_oxidation_rate(
    temperature_k: FloatLike,
    *,
    deicer_factor: FloatLike = 1.0,
    kinetics: OxidationKinetics = PLAIN_CARBON,
) -> FloatArray:
    r"""Rate of oxidation against that at the reference temperature without de-icer.

    Parameters
    ----------
    temperature_k : float or array, shape (...)
    deicer_factor : float or array, broadcasts to (...)
        How much faster the contaminated material oxidises, 1 to 100; about 10 after
        runway de-icers (review, Carbon 2015, doi 10.1016/j.carbon.2015.08.100).
    kinetics : OxidationKinetics

    Returns
    -------
    rate : array, shape (...)

    Raises
    ------
    ParameterError
        If a temperature is not within 150 to 3500 K, or the factor not in its range.

    Notes
    -----
    .. math:: r = f \exp\left[-\frac{E}{R}\left(\frac1T - \frac1{T_t}\right)\right]
              / r_{ref}

    with :math:`E` the chemical energy below the transition :math:`T_t` and that of
    diffusion above. The factor counts in both regimes, although diffusion would let
    only its square root through: on the high side. So is the extrapolation beyond
    about 750 °C, where the gas film takes over. Damage has been seen from 400 °C on
    (Zhang et al., Carbon 108, 2016, abstract); below, the figure is an extrapolation.
    """
    check_range("temperature_k", temperature_k, 150.0, 3500.0, "K")
    check_range("deicer_factor", deicer_factor, 1.0, 100.0, "")
    temperature = np.asarray(temperature_k, dtype=np.float64)
    reference = _exponent(np.asarray(kinetics.reference_k), kinetics)
    rate = np.exp(_exponent(temperature, kinetics) - reference)
    return np.asarray(rate * np.asarray(deicer_factor, dtype=np.float64))


def oxidation_dose(
    time_s: FloatLike,
    temperature_k: FloatLike,
    *,
    deicer_factor: FloatLike = 1.0,
    kinetics: OxidationKinetics = PLAIN_CARBON,
) -> FloatArray:
    """Dose of a temperature history; 1 is one hour at the reference, no de-icer.

    A comparison, never a life. Temperatures run straight between the instants; each
    interval is cut into equal parts for the trapezoidal rule.

    Parameters
    ----------
    time_s : array, shape (time,)
        Rising instants.
    temperature_k : array, shape (..., time)
    deicer_factor : float or array, broadcasts to (...)
        As in `relative_oxidation_rate`.
    kinetics : OxidationKinetics

    Returns
    -------
    dose : array, shape (...)

    Raises
    ------
    ParameterError
        If instants do not rise, shapes differ or a value is out of range.
    """
    time = np.asarray(time_s, dtype=np.float64)
    history = np.asarray(temperature_k, dtype=np.float64)
    if time.ndim != 1 or not (time.size > 1 and (np.diff(time) > 0).all()):
        raise ParameterError.of("time_s", "two or more rising instants", time.shape)
    if history.shape[-1:] != time.shape:
        raise ParameterError.of(
            "temperature_k", f"{time.size} instants on the last axis", history.shape
        )
    low, high = history[..., :-1], history[..., 1:]
    rate = 0.5 * relative_oxidation_rate(low, kinetics=kinetics)
    rate += 0.5 * relative_oxidation_rate(high, kinetics=kinetics)
    for part in range(1, _PARTS):
        between = low + part / _PARTS * (high - low)
        rate += relative_oxidation_rate(between, kinetics=kinetics)
    check_range("deicer_factor", deicer_factor, 1.0, 100.0, "")
    plain = (rate * np.diff(time)).sum(axis=-1) / (_PARTS * HOUR_S)
    return np.asarray(plain * np.asarray(deicer_factor, dtype=np.float64))


def _exponent(temperature_k: FloatArray, kinetics: OxidationKinetics) -> FloatArray:
    """Logarithm of the rate against that at the transition."""
    energy = np.where(
        temperature_k < kinetics.transition_k,
        kinetics.chemical_j_per_mol,
        kinetics.diffusion_j_per_mol,
    )
    inverse = 1.0 / temperature_k - 1.0 / kinetics.transition_k
    return np.asarray(-energy / _GAS_CONSTANT_J_PER_MOL_K * inverse)

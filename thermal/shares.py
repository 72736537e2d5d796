"""How the brakes of an aircraft divide its heat among them.

In: which brakes serve and their share factors. Out: fractions that sum to one.
"""

import numpy as np

from thermal.arrays import FloatArray, FloatLike, check_range
from thermal.errors import ParameterError


def share_of_brakes(
    brake_count: int, serviceable: FloatLike, share_factors: FloatLike = 1.0
) -> FloatArray:
    """Fraction of the aircraft's brake heat that each brake takes.

    Parameters
    ----------
    brake_count : int
    serviceable : array of bool, shape (brake,) or (batch, brake), or True
        An inoperative brake takes nothing; the others take its share.
    share_factors : float or array, shape (brake,) or (batch, brake)
        Heat relative to an even share (unequal braking, axle position).

    Returns
    -------
    shares : array, shape (batch, brake) or (brake,)
        Not negative; each row sums to 1.

    Raises
    ------
    ParameterError
        If factors are negative or a row has no serviceable brake.
    """
    check_range("share_factors", share_factors, 0.0, 100.0, "")
    factors = np.asarray(share_factors, dtype=np.float64)
    parts = factors * np.asarray(serviceable, dtype=bool)
    try:
        parts = np.broadcast_to(parts, np.broadcast_shapes(parts.shape, (brake_count,)))
    except ValueError as error:
        raise ParameterError.of(
            "share_factors", f"last axis of {brake_count} brakes", parts.shape
        ) from error
    if parts.shape[-1] != brake_count:
        raise ParameterError.of("serviceable", f"{brake_count} brakes", parts.shape)
    totals = parts.sum(axis=-1, keepdims=True)
    if not (totals > 0).all():
        raise ParameterError.of("serviceable", "at least one brake in use", serviceable)
    return np.asarray(parts / totals, dtype=np.float64)

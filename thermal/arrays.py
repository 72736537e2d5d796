"""Array types, and the checks that every array field of a record passes."""

from dataclasses import fields
from typing import Any, ClassVar, Protocol

import numpy as np
import numpy.typing as npt

from thermal.errors import ParameterError

FloatArray = npt.NDArray[np.float64]
FloatLike = float | int | npt.ArrayLike


class Record(Protocol):
    """Any dataclass."""

    __dataclass_fields__: ClassVar[dict[str, Any]]


def frozen_array(field: str, values: FloatLike, shape: tuple[int, ...]) -> FloatArray:
    """Copy to a finite, read-only float64 array of the given shape.

    A negative number in ``shape`` leaves that axis free.

    Raises
    ------
    ParameterError
        If the shape differs or a value is not finite.
    """
    array = np.array(values, dtype=np.float64)
    fits = array.ndim == len(shape) and all(
        want < 0 or want == have for want, have in zip(shape, array.shape, strict=False)
    )
    if not fits:
        raise ParameterError.of(field, f"shape {shape}", array.shape)
    if not np.isfinite(array).all():
        raise ParameterError.of(field, "finite numbers", "NaN or infinity")
    array.setflags(write=False)
    return array


def check_range(
    field: str, value: FloatLike, low: float, high: float, unit: str
) -> None:
    """Refuse values outside ``low … high`` (NaN included).

    Raises
    ------
    ParameterError
        If any element is not within the closed range.
    """
    array = np.asarray(value, dtype=np.float64)
    if not ((array >= low) & (array <= high)).all():
        raise ParameterError.of(field, f"{low:g} to {high:g} {unit}".strip(), value)


def broadcast_columns(record: Record, **beside: FloatLike) -> dict[str, FloatArray]:
    """Broadcast a record's fields, and values beside them, to one shape (batch, 1).

    The last axis is there for nodes or times. The arrays are read-only views.

    Raises
    ------
    ParameterError
        If the fields do not broadcast to one shape.
    """
    given = {field.name: getattr(record, field.name) for field in fields(record)}
    given |= beside
    arrays = [np.asarray(value, dtype=np.float64) for value in given.values()]
    try:
        shape = np.broadcast_shapes(*(array.shape for array in arrays))
    except ValueError as error:
        shapes = sorted({array.shape for array in arrays})
        name = type(record).__name__
        raise ParameterError.of(name, "shapes that broadcast", shapes) from error
    return {
        name: np.broadcast_to(array, shape)[..., None]
        for name, array in zip(given, arrays, strict=True)
    }

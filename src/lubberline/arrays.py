"""Broadcasting, range checks and angles: what every function on arrays needs at its door.

All arrays inside the program are float64; a value that is not known is NaN and passes
every check here.
"""

from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lubberline.errors import RangeError, ShapeError

FloatArray: TypeAlias = NDArray[np.float64]
BoolArray: TypeAlias = NDArray[np.bool_]
IntArray: TypeAlias = NDArray[np.int64]


def broadcast(*values: ArrayLike) -> tuple[FloatArray, ...]:
    """The inputs as float64 arrays of their common shape (read-only views).

    Raises
    ------
    ShapeError
        If the inputs do not broadcast.
    """
    arrays = [np.asarray(value, dtype=np.float64) for value in values]
    try:
        return tuple(np.broadcast_arrays(*arrays))
    except ValueError as exc:
        shapes = ", ".join(str(array.shape) for array in arrays)
        raise ShapeError(f"cannot combine arrays of shapes {shapes}") from exc


def check_range(name: str, values: FloatArray, low: float, high: float, unit: str) -> None:
    """Raise RangeError naming the first value outside [low, high]; NaN passes."""
    bad = (values < low) | (values > high)
    if not bad.any():
        return
    first = int(np.flatnonzero(bad)[0])
    place = f"[{first}]" if values.ndim else ""
    raise RangeError(
        f"{name}{place} is {values.flat[first]:g} {unit};"
        f" expected {low:g} to {high:g} {unit}"
        f" ({int(bad.sum())} of {values.size} outside)"
    )


def median(values: FloatArray) -> float:
    """The median of a column; NaN if one of them is NaN, or there is none.

    In a fifth of the time that the library takes for a few hundred.
    """
    if values.size == 0:
        return float("nan")
    low, high = (values.size - 1) // 2, values.size // 2
    ordered = np.partition(values, (low, high, values.size - 1))
    return float("nan") if np.isnan(ordered[-1]) else float((ordered[low] + ordered[high]) / 2.0)


def wrap_360_deg(angle_deg: ArrayLike) -> FloatArray:
    """The same direction in [0, 360)."""
    angle_deg = np.asarray(angle_deg, dtype=np.float64)
    # Most directions are within a turn, where a sum is as exact as the slow remainder.
    turned_deg = angle_deg + 360.0 * ((angle_deg < 0.0) * 1.0 - (angle_deg >= 360.0))
    if (np.abs(turned_deg - 180.0) > 180.0).any():
        turned_deg = np.mod(angle_deg, 360.0)
    # The remainder of a tiny negative angle rounds up to 360 itself.
    return np.where(turned_deg >= 360.0, 0.0, turned_deg)


def wrap_180_deg(angle_deg: ArrayLike) -> FloatArray:
    """The same turn in [-180, 180): how far, and which way."""
    return wrap_360_deg(np.asarray(angle_deg, dtype=np.float64) + 180.0) - 180.0

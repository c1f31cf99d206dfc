"""Tabular sums of deviations: a small lasting change adds up until it shows.

One sum follows what lies above the center by more than a slack, one what lies below. Each
starts again from nothing whenever it would turn negative. A sum exactly at its limit is not a
signal.
"""

from dataclasses import dataclass
from math import exp, inf

import numpy as np
from numpy.typing import ArrayLike

from lubberline.arrays import FloatArray
from lubberline.errors import RangeError

SLACK_SIGMA_FACTOR = 0.5  # meets a lasting change of one scatter soonest: [NIST-EHB]_ 6.3.2.3
LIMIT_SIGMA_FACTOR = 5.0  # with it, one false signal in 465 values: [NIST-EHB]_ 6.3.2.3.1 (memory)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Sums:
    """The sums above and below, shape (..., n), and the limit; the unit is that of the values.

    ``first_index`` is where a sum first passes the limit, shape (...), -1 where none does.
    """

    above: FloatArray
    below: FloatArray
    limit: float

    @property
    def first_index(self) -> np.ndarray[tuple[int, ...], np.dtype[np.int64]]:
        """Index of the first value at which either sum is beyond the limit."""
        beyond = (self.above > self.limit) | (self.below > self.limit)
        return np.where(beyond.any(axis=-1), beyond.argmax(axis=-1), -1)


def tabular_sums(values: ArrayLike, *, center: float, slack: float, limit: float) -> Sums:
    """Sums of what lies beyond ``center`` by more than ``slack``, on either side.

    Parameters
    ----------
    values : array_like, shape (..., n)
        In order, oldest first. An unknown value is NaN and leaves both sums as they were.
    center, slack, limit : float
        In the unit of the values; slack and limit are not negative.

    Raises
    ------
    RangeError
        If slack or limit is negative.

    References
    ----------
    [NIST-EHB]_ 6.3.2.3, tabular form: S_hi = max(0, S_hi + x - m - k), S_lo = max(0, S_lo + m -
    k - x), a signal when either exceeds h.
    """
    if slack < 0.0 or limit < 0.0:
        raise RangeError(f"slack {slack:g} and limit {limit:g} must not be negative")
    beyond = np.nan_to_num(np.asarray(values, dtype=float) - center, nan=0.0)
    known = np.isfinite(np.asarray(values, dtype=float))
    above = _run(np.where(known, beyond - slack, 0.0))
    below = _run(np.where(known, -beyond - slack, 0.0))
    return Sums(above=above, below=below, limit=limit)


def run_length_count(shift: float, *, slack: float, limit: float) -> float:
    """How many values pass until the upper sum signals, on average; all in standard deviations.

    Siegmund's approximation for normal values, about 1 % off: (exp(-2 D b) + 2 D b - 1) / (2
    D^2) with b = limit + 1.166 and D = shift - slack (memory).
    """
    reach, drift = limit + 1.166, shift - slack
    if drift == 0.0:
        return reach**2
    exponent = -2.0 * drift * reach
    if exponent > 700.0:
        return inf
    return (exp(exponent) - exponent - 1.0) / (2.0 * drift**2)


def _run(steps: FloatArray) -> FloatArray:
    """The sum that starts again from nothing, along the last axis.

    A sum kept from falling below nothing is the plain sum less its lowest value so far.
    """
    total = np.cumsum(steps, axis=-1)
    lowest = np.minimum(np.minimum.accumulate(total, axis=-1), 0.0)
    return np.asarray(total - lowest)

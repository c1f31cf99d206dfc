"""Control charts of values in order: single values, their moving ranges, their moving average.

A chart is a row of plotted values with a center and two limits. The center and the spread come
from a stretch of values that is taken as usual; how long that must be, and what may be said
from a short one, is the business of ``verdict``. A point exactly on a limit is not a signal.
"""

from dataclasses import dataclass
from math import pi, sqrt
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from lubberline.arrays import BoolArray, FloatArray
from lubberline.drift import _kernel as kernel
from lubberline.errors import NoSolution, RangeError, ShapeError

MEAN_RANGE_FACTOR: Final = kernel.MEAN_RANGE_FACTOR
RANGE_LIMIT_FACTOR: Final = 1.0 + 3.0 * sqrt(2.0 - 4.0 / pi) / MEAN_RANGE_FACTOR  # D4 for pairs
SINGLE_WIDTH_FACTOR: Final = 3.0  # [NIST-EHB]_ 6.3.2.2
# With limits that have settled, this pair signals once in 250 flights that nothing changed in
# [CROWDER1989]_; the limits here widen from the first flight, which makes it somewhat oftener.
AVERAGE_WEIGHT_FACTOR: Final = 0.10
AVERAGE_WIDTH_FACTOR: Final = 2.55


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Chart:
    """Plotted values with their center and limits; columns of shape (n,), NaN where unknown."""

    values: FloatArray
    center: float
    low: FloatArray
    high: FloatArray

    def __post_init__(self) -> None:
        """Copy and lock the columns, which share one shape."""
        for name in ("values", "low", "high"):
            column = np.array(getattr(self, name), dtype=float)
            column.flags.writeable = False
            object.__setattr__(self, name, column)
        shapes = {self.values.shape, self.low.shape, self.high.shape}
        if len(shapes) != 1 or self.values.ndim != 1:
            raise ShapeError(f"chart columns must share one 1-d shape, got {sorted(shapes)}")

    @property
    def outside(self) -> BoolArray:
        """Which points lie beyond a limit, shape (n,); an unknown value never does."""
        return (self.values < self.low) | (self.values > self.high)


def individuals_chart(
    values: ArrayLike,
    *,
    baseline_count: int | None = None,
    width_factor: float = SINGLE_WIDTH_FACTOR,
    range_factor: float = MEAN_RANGE_FACTOR,
) -> Chart:
    """Chart of single values, with limits from the mean moving range.

    Parameters
    ----------
    values : array_like, shape (n,)
        Values in order, in one unit; NaN where unknown.
    baseline_count : int, optional
        How many values, from the first, give center and limits; all if not given.
    width_factor : float
        Half-width of the limits in standard deviations.
    range_factor : float
        Mean range of two in standard deviations: 2/sqrt(pi), which tables round to 1.128.

    Returns
    -------
    Chart, shape (n,)
        A moving range is taken between successive known values.

    Raises
    ------
    NoSolution
        If the baseline holds fewer than two known values.
    RangeError
        If a factor is not greater than 0.
    ShapeError
        If the values are not one-dimensional.

    References
    ----------
    [NIST-EHB]_ 6.3.2.2.

    Examples
    --------
    >>> chart = individuals_chart([4.0, 6.0, 5.0, 7.0, 5.0, 30.0], baseline_count=5)
    >>> chart.outside.tolist()
    [False, False, False, False, False, True]
    """
    column = _column(values)
    _check_factor("width_factor", width_factor)
    _check_factor("range_factor", range_factor)
    usual = _known(column[:baseline_count])
    center = float(usual.mean())
    half = width_factor * float(kernel.scatter(usual, range_factor=range_factor)[0])
    return _level_chart(column, center=center, low=center - half, high=center + half)


def moving_range_chart(values: ArrayLike, *, baseline_count: int | None = None) -> Chart:
    """Chart of the difference between successive known values, without sign.

    Parameters
    ----------
    values : array_like, shape (n,)
        Values in order, in one unit; NaN where unknown.
    baseline_count : int, optional
        How many values, from the first, give the center; all if not given.

    Returns
    -------
    Chart, shape (k - 1,)
        One range fewer than the k known values; the low limit is 0.

    Raises
    ------
    NoSolution
        If the baseline holds fewer than two known values.
    ShapeError
        If the values are not one-dimensional.

    References
    ----------
    [NIST-EHB]_ 6.3.2.2, with the exact factor for pairs (tables print 3.267).
    """
    column = _column(values)
    center = float(np.abs(np.diff(_known(column[:baseline_count]))).mean())
    ranges = np.abs(np.diff(_known(column)))
    return _level_chart(ranges, center=center, low=0.0, high=RANGE_LIMIT_FACTOR * center)


def ewma_chart(
    values: ArrayLike,
    *,
    center: float,
    sigma: ArrayLike,
    weight_factor: float = AVERAGE_WEIGHT_FACTOR,
    width_factor: float = AVERAGE_WIDTH_FACTOR,
) -> Chart:
    """Chart of the exponentially weighted moving average, with limits exact at every point.

    Parameters
    ----------
    values : array_like, shape (n,)
        Values in order, in one unit; NaN where unknown, which leaves the average as it was.
    center : float
        What the average starts from and is held against.
    sigma : array_like, scalar or shape (n,)
        Standard deviation of a value about the center, 0 or more.
    weight_factor : float
        Weight of the newest value, greater than 0 and at most 1.
    width_factor : float
        Half-width of the limits in standard deviations of the average.

    Returns
    -------
    Chart, shape (n,)
        The limits widen from ``weight_factor * width_factor * sigma`` at the first value.

    Raises
    ------
    RangeError
        If a factor or sigma is out of range, or the center is not finite.
    ShapeError
        If the values are not one-dimensional or sigma does not fit them.

    References
    ----------
    [NIST-EHB]_ 6.3.2.4 for the average and the settled limits, [JCGM100]_ 5.1.2 for their
    exact width early on, [CROWDER1989]_ for the default weight and width: 250 values between
    false signals where the limits have settled, fewer (see docs/science/drift.md) with these.

    Examples
    --------
    >>> chart = ewma_chart([12.0, 12.0, 12.0], center=10.0, sigma=1.0)
    >>> chart.values.round(3).tolist(), chart.high.round(3).tolist()
    ([10.2, 10.38, 10.542], [10.255, 10.343, 10.4])
    """
    column = _column(values)
    sigmas = _sigmas(sigma, column)
    _check_factor("weight_factor", weight_factor)
    _check_factor("width_factor", width_factor)
    if weight_factor > 1.0:
        raise RangeError(f"weight_factor is {weight_factor:g}; expected at most 1")
    if not np.isfinite(center):
        raise RangeError(f"center is {center}; expected a finite number")
    average = kernel.moving_average(column, target=center, weight_factor=weight_factor)
    spread = kernel.moving_average_sigma(
        np.where(np.isfinite(column), sigmas, np.nan), weight_factor=weight_factor
    )
    half = width_factor * spread
    return Chart(values=average, center=center, low=center - half, high=center + half)


def _column(values: ArrayLike) -> FloatArray:
    column = np.asarray(values, dtype=float)
    if column.ndim != 1:
        raise ShapeError(f"values must be one column, got shape {column.shape}")
    return column


def _known(column: FloatArray) -> FloatArray:
    known = column[np.isfinite(column)]
    if known.size < 2:
        raise NoSolution(f"a moving range needs 2 known values, got {known.size}")
    return known


def _sigmas(sigma: ArrayLike, column: FloatArray) -> FloatArray:
    sigmas = np.asarray(sigma, dtype=float)
    if sigmas.shape not in ((), column.shape):
        raise ShapeError(f"sigma has shape {sigmas.shape} but values have {column.shape}")
    bad = ~(np.isfinite(sigmas) & (sigmas >= 0.0))
    if bad.any():
        raise RangeError(f"sigma is {sigmas[bad].flat[0]:g}; expected a finite number, 0 or more")
    return np.broadcast_to(sigmas, column.shape)


def _check_factor(name: str, factor: float) -> None:
    if not (np.isfinite(factor) and factor > 0.0):
        raise RangeError(f"{name} is {factor:g}; expected a finite number greater than 0")


def _level_chart(column: FloatArray, *, center: float, low: float, high: float) -> Chart:
    """A chart whose limits are the same everywhere."""
    return Chart(
        values=column,
        center=center,
        low=np.full(column.shape, low),
        high=np.full(column.shape, high),
    )

"""Does a measure rise or fall over time, and by how much: ranks only, no shape assumed.

The test counts pairs of flights of which the later is larger, less those of which it is
smaller. The slope is the median of the slopes of all pairs. Neither is moved by a wild value.
Flights that resemble the ones before them say less than their number; the variance is widened
for that.
"""

from dataclasses import dataclass
from math import erfc, sqrt
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from lubberline.arrays import FloatArray
from lubberline.errors import RangeError, ShapeError

FEWEST_COUNT: Final = 5  # with four, no order of the values reaches 5 % on both sides: arithmetic


@dataclass(frozen=True, slots=True, kw_only=True)
class Trend:
    """A rank test and a slope with its interval.

    ``score`` is pairs that rise less pairs that fall; ``z_ratio`` its distance from 0 in
    standard deviations; ``p_ratio`` the two-sided chance of as much where nothing changes.
    ``slope``, ``low`` and ``high`` are in the unit of the values per unit of the times.
    """

    score: int
    variance: float
    z_ratio: float
    p_ratio: float
    slope: float
    low: float
    high: float
    intercept: float


def trend(
    times: ArrayLike,
    values: ArrayLike,
    *,
    confidence_fraction: float = 0.95,
    serial: bool = False,
) -> Trend:
    """The Mann-Kendall test with ties and Sen's slope with Gilbert's interval.

    Parameters
    ----------
    times, values : array_like, shape (n,)
        In order of time, n at least 5, all known, each time once.
    confidence_fraction : float
        Of the interval of the slope.
    serial : bool
        Widen the variance for neighbors that resemble each other.

    Raises
    ------
    ShapeError
        If the columns do not fit together or times do not increase.
    RangeError
        If there are fewer than 5 values, or any is not known.

    References
    ----------
    [EPA530R]_ 17.3.2 and 17.3.3; the exact chance without ties is the distribution of
    Kendall's tau. ``serial``: the factor of [ZWIERS1995]_ for a first-order process, applied
    to the variance of the score as [YUE2004]_ does.
    """
    times, values = _checked(times, values)
    count = values.size
    score = int(np.sign(values[None, :] - values[:, None])[np.triu_indices(count, 1)].sum())
    plain = _score_variance(values)
    slopes = pair_slopes(times, values)
    slope = float(np.median(slopes))
    widened = plain
    if serial:
        widened = plain * max(1.0, spread_factor(count, _resemblance(times, values, slope)))
    z_ratio = (score - np.sign(score)) / sqrt(widened) if widened > 0.0 else 0.0
    low, high = _slope_interval(slopes, widened, confidence_fraction)
    exact = widened == plain and np.unique(values).size == count and count <= 50
    return Trend(
        score=score,
        variance=widened,
        z_ratio=float(z_ratio),
        p_ratio=_exact_p(times, values) if exact else erfc(abs(z_ratio) / sqrt(2.0)),
        slope=slope,
        low=low,
        high=high,
        intercept=float(np.median(values) - slope * np.median(times)),
    )


def pair_slopes(times: FloatArray, values: FloatArray) -> FloatArray:
    """The slopes of all n (n - 1) / 2 pairs, smallest first."""
    earlier, later = np.triu_indices(times.size, 1)
    return np.sort((values[later] - values[earlier]) / (times[later] - times[earlier]))


def spread_factor(count: int, neighbor_ratio: float) -> float:
    """How much wider the variance of a mean is when neighbors correlate by ``neighbor_ratio``.

    1 + 2 sum over k of (1 - k/n) r^k, in closed form; n divided by it is the number of values
    that are worth as much without correlation [ZWIERS1995]_.
    """
    r = neighbor_ratio
    if not -1.0 < r < 1.0:
        raise RangeError(f"neighbor_ratio is {r:g}; a correlation lies between -1 and 1")
    return (1.0 + r) / (1.0 - r) - 2.0 * r * (1.0 - r**count) / (count * (1.0 - r) ** 2)


def neighbor_correlation_ratio(values: ArrayLike) -> float:
    """Correlation of each value with the next, with one mean and n in the denominator."""
    column = np.asarray(values, dtype=float)
    away = column - column.mean()
    whole = float((away**2).sum())
    return float((away[1:] * away[:-1]).sum()) / whole if whole > 0.0 else 0.0


def _checked(times: ArrayLike, values: ArrayLike) -> tuple[FloatArray, FloatArray]:
    times, values = np.asarray(times, dtype=float), np.asarray(values, dtype=float)
    if times.ndim != 1 or times.shape != values.shape:
        raise ShapeError(f"times {times.shape} and values {values.shape} must share one 1-d shape")
    if not (np.isfinite(times).all() and np.isfinite(values).all()):
        raise RangeError("leave out the flights whose value is not known")
    if values.size < FEWEST_COUNT:
        raise RangeError(f"{values.size} values; a trend needs at least {FEWEST_COUNT}")
    if not (np.diff(times) > 0.0).all():
        raise ShapeError("times must increase, each once")
    return times, values


def _score_variance(values: FloatArray) -> float:
    """[n(n-1)(2n+5) - sum over ties t(t-1)(2t+5)] / 18 [EPA530R]_."""
    count = values.size
    ties = np.unique(values, return_counts=True)[1]
    whole = count * (count - 1) * (2 * count + 5)
    return float(whole - (ties * (ties - 1) * (2 * ties + 5)).sum()) / 18.0


def _resemblance(times: FloatArray, values: FloatArray, slope: float) -> float:
    """Correlation of neighbors once the slope is taken out; none below zero is reckoned with."""
    ratio = neighbor_correlation_ratio(values - slope * times)
    return min(max(ratio, 0.0), 0.9)


def _slope_interval(
    slopes: FloatArray, variance: float, confidence_fraction: float
) -> tuple[float, float]:
    """Slopes at the ranks (N - C)/2 and (N + C)/2 + 1, between two by proportion [EPA530R]_."""
    from scipy.special import ndtri

    reach = float(ndtri(0.5 + 0.5 * confidence_fraction)) * sqrt(variance)
    ranks = np.arange(1.0, slopes.size + 1.0)
    low, high = np.interp(
        [(slopes.size - reach) / 2.0, (slopes.size + reach) / 2.0 + 1.0], ranks, slopes
    )
    return float(low), float(high)


def _exact_p(times: FloatArray, values: FloatArray) -> float:
    from scipy.stats import kendalltau

    return float(kendalltau(times, values, method="exact").pvalue)

"""Local parabolas through unevenly timed samples, for level, slope and curvature with their doubt.

Around each sample a parabola is fitted to a window of time by least squares, weighted by
1 - (away / half window)^2. Samples that come much faster than the window are averaged first, so
that the work grows with the time covered and not with the rate. Nothing reaches across a gap.
"""

from dataclasses import dataclass
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from lubberline.arrays import FloatArray, IntArray

# Sums and coefficients in the unit of the data and its powers.
Moments: TypeAlias = NDArray[np.float64]

BINS_PER_HALF_WINDOW: Final = 10.0  # own: finer averaging changes nothing that can be seen
STEPS_PER_HALF_WINDOW: Final = 2.5  # own: five or six samples carry a parabola
FEWEST_FOR_PARABOLA: Final = 4
FEWEST_FOR_LINE: Final = 3
NOISE_WINDOWS: Final = 6.0  # own: half windows over which the noise is taken as even


@dataclass(frozen=True, slots=True, eq=False)
class Bins:
    """Means of neighboring samples, shape (m,): time, value, how many, and which segment."""

    time_s: FloatArray
    column: FloatArray
    samples_count: FloatArray
    segment_index: IntArray


@dataclass(frozen=True, slots=True, eq=False)
class Fit:
    """Level, slope per second and curvature per second squared at each sample, with sigmas.

    In the unit of the data; NaN where the window holds too few samples. ``half_s`` is the half
    window that was used.
    """

    half_s: float

    values: Moments
    slope_values: Moments
    curve_values: Moments
    sigma_values: Moments
    slope_sigma_values: Moments
    curve_sigma_values: Moments


def local_fit(
    time_s: FloatArray, column: FloatArray, segment_index: IntArray, half_window_s: float
) -> Fit:
    """The fits at ``time_s``, shape (n,), from the samples of ``column`` that are known."""
    known = np.isfinite(column)
    if known.sum() < FEWEST_FOR_LINE:
        nothing = np.full(time_s.shape, np.nan)
        return Fit(half_window_s, *(nothing.copy() for _ in range(6)))
    step_s = _usual_step_s(time_s[known], segment_index[known])
    half_s = max(half_window_s, STEPS_PER_HALF_WINDOW * step_s)
    bins = _binned(time_s[known], column[known], segment_index[known], half_s)
    middle = np.float64(np.median(bins.column))  # differences before sums
    moments, sums = _moments(bins, bins.column - middle, half_s)
    inverse, coefficients = _solved(moments, sums)
    spread = _spread(bins, bins.column - middle, inverse, coefficients, half_s)
    spread = np.maximum(spread, _rounding_variance(column[known]))
    variances = _variances(inverse, moments, spread)
    return _at_samples(time_s, segment_index, bins, half_s, middle, coefficients, variances)


def _usual_step_s(time_s: FloatArray, segment_index: IntArray) -> float:
    inside = np.diff(time_s)[np.diff(segment_index) == 0]
    return float(np.median(inside)) if inside.size else 1.0


def _binned(time_s: FloatArray, column: FloatArray, segment_index: IntArray, half_s: float) -> Bins:
    width_s = half_s / BINS_PER_HALF_WINDOW
    starts = np.flatnonzero(np.diff(segment_index, prepend=segment_index[0] - 1) != 0)
    start_s = np.repeat(time_s[starts], np.diff(np.append(starts, time_s.size)))
    number = np.floor((time_s - start_s) / width_s + 1e-6)
    new = (np.diff(number, prepend=-1.0) != 0.0) | (np.diff(segment_index, prepend=-1) != 0)
    first = np.flatnonzero(new)
    count = np.diff(np.append(first, time_s.size)).astype(np.float64)
    origin_s = time_s[first]
    away_s = np.add.reduceat(time_s - np.repeat(origin_s, count.astype(int)), first) / count
    mean = np.add.reduceat(column - column[0], first) / count + column[0]
    return Bins(origin_s + away_s, mean, count, segment_index[first])


def _moments(bins: Bins, values: FloatArray, half_s: float) -> tuple[Moments, Moments]:
    """Weighted sums over each window, shape (11, m), and those with the values, shape (3, m).

    Time is counted in half windows from the middle. Rows 0 to 4 are sums of weight times time to
    that power, rows 5 to 9 the same of what the weights do to the noise, row 10 is how many
    means the window holds.
    """
    size = bins.time_s.size
    moments, sums = np.zeros((11, size)), np.zeros((3, size))
    reach = np.searchsorted(bins.time_s, bins.time_s + half_s) - np.arange(size)
    for offset in range(-int(reach.max()), int(reach.max()) + 1):
        here = slice(max(0, -offset), min(size, size - offset))
        there = slice(max(0, offset), min(size, size + offset))
        away = (bins.time_s[there] - bins.time_s[here]) / half_s
        inside = (np.abs(away) < 1.0) & (bins.segment_index[there] == bins.segment_index[here])
        shape = np.where(inside, 1.0 - away**2, 0.0)
        weight = shape * bins.samples_count[there]
        noise = shape * weight
        power = np.ones(away.shape)
        for row in range(5):
            moments[row, here] += weight * power
            moments[5 + row, here] += noise * power
            if row < 3:
                sums[row, here] += weight * power * values[there]
            power = power * away
        moments[10, here] += inside
    return moments, sums


def _solved(moments: Moments, sums: Moments) -> tuple[Moments, Moments]:
    """Inverse normal matrices (m, 3, 3) and coefficients (m, 3); NaN where samples are too few.

    Where only a line can be carried its curvature is 0 and has no variance of its own.
    """
    normal = _matrices(moments[:5])
    line = (moments[10] >= FEWEST_FOR_LINE) & (moments[10] < FEWEST_FOR_PARABOLA)
    normal[line, 2, :] = normal[line, :, 2] = 0.0
    normal[line, 2, 2] = 1.0
    right = sums.T.copy()
    right[line, 2] = 0.0
    good = moments[10] >= FEWEST_FOR_LINE
    good &= np.abs(np.linalg.det(normal)) > 1e-12 * np.maximum(moments[0], 1.0) ** 3
    inverse = np.full(normal.shape, np.nan)
    inverse[good] = np.linalg.inv(normal[good])
    return inverse, np.einsum("mij,mj->mi", inverse, right)


def _matrices(powers: Moments) -> Moments:
    row = np.arange(3)
    return np.array(np.moveaxis(powers[row[:, None] + row[None, :]], 2, 0))


def _spread(
    bins: Bins, values: FloatArray, inverse: Moments, coefficients: Moments, half_s: float
) -> Moments:
    """Variance of one sample around its fit, averaged over some windows nearby [BAYLEY]_.

    A residual is smaller than the noise by its own leverage; residuals that follow one another
    carry less, and the variance is widened by (1 + r) / (1 - r).
    """
    leverage = np.clip(bins.samples_count * inverse[:, 0, 0], 0.0, 0.95)
    residual = values - coefficients[:, 0]
    squares = bins.samples_count * residual**2 / (1.0 - leverage)
    known = np.isfinite(squares)
    total = np.concatenate([[0.0], np.cumsum(np.where(known, squares, 0.0))])
    count = np.concatenate([[0.0], np.cumsum(known)])
    low = np.searchsorted(bins.time_s, bins.time_s - NOISE_WINDOWS * half_s)
    high = np.searchsorted(bins.time_s, bins.time_s + NOISE_WINDOWS * half_s, side="right")
    mean = (total[high] - total[low]) / np.maximum(1.0, count[high] - count[low])
    pair = np.isfinite(residual[1:] * residual[:-1])
    whole = float((residual[known] ** 2).sum())
    following = float((residual[1:] * residual[:-1])[pair].sum()) / whole if whole > 0.0 else 0.0
    r = float(np.clip(following, 0.0, 0.9))
    return np.asarray(mean * (1.0 + r) / (1.0 - r))


def _rounding_variance(column: FloatArray) -> float:
    """What the last digit of the file hides: its step squared over 12 [JCGM100]_."""
    steps = np.abs(np.diff(column))
    steps = steps[steps > 0.0]
    return float(np.percentile(steps, 0.1)) ** 2 / 12.0 if steps.size else 0.0


def _variances(inverse: Moments, moments: Moments, spread: Moments) -> Moments:
    """Variances of level, slope and curvature coefficients, shape (m, 3)."""
    noise = _matrices(moments[5:10])
    factors = np.einsum("mij,mjk,mki->mi", inverse, noise, inverse)
    return np.asarray(factors * spread[:, None])


def _at_samples(
    time_s: FloatArray,
    segment_index: IntArray,
    bins: Bins,
    half_s: float,
    middle: np.float64,
    coefficients: Moments,
    variances: Moments,
) -> Fit:
    """The parabola of the nearest mean, evaluated at each sample; NaN outside its window."""
    after = np.clip(np.searchsorted(bins.time_s, time_s), 0, bins.time_s.size - 1)
    before = np.maximum(after - 1, 0)
    nearer = np.abs(bins.time_s[before] - time_s) <= np.abs(bins.time_s[after] - time_s)
    same_before = bins.segment_index[before] == segment_index
    same_after = bins.segment_index[after] == segment_index
    at = np.where((nearer & same_before) | ~same_after, before, after)
    away = (time_s - bins.time_s[at]) / half_s
    good = (bins.segment_index[at] == segment_index) & (np.abs(away) <= 1.0)
    level, slope, bend = np.where(good[:, None], coefficients[at], np.nan).T
    sigma, slope_sigma, bend_sigma = np.sqrt(np.where(good[:, None], variances[at], np.nan)).T
    return Fit(
        half_s=half_s,
        values=level + slope * away + bend * away**2 + middle,
        slope_values=(slope + 2.0 * bend * away) / half_s,
        curve_values=2.0 * bend / half_s**2,
        sigma_values=sigma,
        slope_sigma_values=slope_sigma / half_s,
        curve_sigma_values=2.0 * bend_sigma / half_s**2,
    )

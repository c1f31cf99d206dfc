"""Moving ranges, weighted moving averages and their spread; the last axis is flights in order.

The averages are recursions, so each flight needs the one before: a product with a triangular
matrix where flights are few, else a loop over flights, each step vectorized. Nothing
here checks its input; the public functions in ``chart`` and ``verdict`` do.
"""

from math import asin, pi, sqrt
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray

_SHORT_COUNT: Final = 256  # own: as a product of a matrix, quicker than a loop up to here

MEAN_RANGE_FACTOR: Final = 2.0 / sqrt(pi)  # d2 for pairs, exact; [NIST-EHB]_ 6.3.2.2 prints 1.128


def scatter(values: FloatArray, *, range_factor: float = MEAN_RANGE_FACTOR) -> FloatArray:
    """Standard deviation from the mean moving range, last axis kept with length 1 [NIST-EHB]_.

    Neighbors differ little where the level only drifts, so a trend hardly inflates it.
    """
    ranges = np.abs(np.diff(values, axis=-1))
    sigma: FloatArray = ranges.mean(axis=-1, keepdims=True) / range_factor
    return sigma


def scatter_freedom_count(flight_count: int) -> float:
    """Degrees of freedom that the scatter of so many flights is worth.

    A standard deviation with f degrees of freedom has relative variance 1/(2f) [JCGM100]_ E.4.3.
    The variance of a mean of moving ranges is exact: successive ranges share one flight, so
    their differences correlate by -1/2, and the product of two absolute normal values has the
    mean (2/pi)(sqrt(1 - r^2) + r asin r).
    """
    range_mean = MEAN_RANGE_FACTOR
    range_variance = 2.0 - range_mean**2
    neighbors = 2.0 * (2.0 / pi) * (sqrt(0.75) + 0.5 * asin(0.5)) - range_mean**2
    ranges = flight_count - 1
    variance = (ranges * range_variance + 2.0 * (ranges - 1) * neighbors) / ranges**2
    return range_mean**2 / (2.0 * variance)


def student_width_factor(freedom_count: float, *, width_factor: float) -> float:
    """Width with the chance that ``width_factor`` has where sigma is known [JCGM100]_ G.3.2."""
    from scipy.special import ndtr, stdtrit

    return float(stdtrit(freedom_count, ndtr(width_factor)))


def moving_average(
    values: FloatArray, *, target: FloatArray | float, weight_factor: float
) -> FloatArray:
    """z_t = w x_t + (1 - w) z_(t-1) with z_0 = target [NIST-EHB]_ 6.3.2.4."""
    return _recursion(weight_factor * values, target=target, keep_factor=1.0 - weight_factor)


def moving_average_sigma(sigmas: FloatArray, *, weight_factor: float) -> FloatArray:
    """Standard deviation of the moving average, widening from the first flight.

    The variance of a weighted sum of independent values [JCGM100]_ 5.1.2. With one sigma it is
    sigma^2 w/(2 - w) [1 - (1 - w)^(2t)], which settles to that of [NIST-EHB]_ 6.3.2.4.
    """
    variances = (weight_factor * sigmas) ** 2
    kept = (1.0 - weight_factor) ** 2
    return np.sqrt(_recursion(variances, target=0.0, keep_factor=kept))


def against_baseline(
    values: FloatArray,
    sigmas: FloatArray,
    *,
    baseline_count: int,
    weight_factor: float,
    width_factor: float,
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Center (..., 1), moving average and half-width of its limits (..., n - baseline).

    The half-width holds the scatter and the measurement doubt of the new flights, the doubt of
    a center that comes from few flights, and Student's factor for a scatter from few flights.
    """
    base, new = values[..., :baseline_count], values[..., baseline_count:]
    center = base.mean(axis=-1, keepdims=True)
    usual = scatter(base)
    base_doubt = np.sqrt(np.mean(sigmas[..., :baseline_count] ** 2, axis=-1, keepdims=True))
    center_sigma = np.hypot(usual, base_doubt) / sqrt(baseline_count)
    new_sigmas = np.hypot(usual, sigmas[..., baseline_count:])
    average = moving_average(new, target=center, weight_factor=weight_factor)
    moved = moving_average(np.ones_like(new), target=0.0, weight_factor=weight_factor)
    spread = np.hypot(
        moving_average_sigma(new_sigmas, weight_factor=weight_factor), moved * center_sigma
    )
    width = student_width_factor(scatter_freedom_count(baseline_count), width_factor=width_factor)
    return center, average, width * spread


def _recursion(values: FloatArray, *, target: FloatArray | float, keep_factor: float) -> FloatArray:
    """y_t = x_t + keep y_(t-1); a NaN leaves y where it was and is NaN in its own place."""
    count = values.shape[-1]
    if count <= _SHORT_COUNT and np.isfinite(values).all():
        ages = np.subtract.outer(np.arange(count), np.arange(count))
        powers = np.where(ages >= 0, keep_factor ** np.maximum(ages, 0), 0.0)
        start = np.zeros((*values.shape[:-1], 1)) + np.atleast_1d(target)
        return np.asarray(values @ powers.T + start * keep_factor ** np.arange(1, count + 1))
    level = np.zeros(values.shape[:-1]) + np.squeeze(np.atleast_1d(target), axis=-1)
    levels = np.empty_like(values)
    for index in range(values.shape[-1]):
        value = values[..., index]
        known = np.isfinite(value)
        level = np.where(known, value + keep_factor * level, level)
        levels[..., index] = np.where(known, level, np.nan)
    return levels

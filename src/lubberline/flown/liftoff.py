"""The moment at which the wheels leave the ground, or come back to it, from the height trace.

Criterion: height is level during the roll and leaves the level at the moment wanted. The model
is a level that turns into a straight climb, over a rounding of unknown length (rotation or
flare); every moment and rounding on a grid is fitted by least squares, and the moment is the
mean over the fits weighted by their likelihood, its doubt their spread, widened for residuals
that hang together. Only moments at which the airplane was rolling are asked. A wheel one foot
above the runway cannot be seen in any recorded height: a floor under the doubt says so.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray, median

GRID_S: Final = 0.25
LIFTOFF_ROUNDINGS_S: Final = (0.0, 2.0, 4.0, 6.0, 8.0, 10.0)
TOUCHDOWN_ROUNDINGS_S: Final = (0.0, 2.0, 4.0, 6.0, 8.0, 10.0)
LIFTOFF_FLOOR_S: Final = 1.5  # own: a wheel is off before the climb is one
TOUCHDOWN_FLOOR_S: Final = 2.0  # own: a float just above the runway looks like a roll
FEWEST_COUNT: Final = 5  # samples, for four unknowns


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """A time since the Unix epoch with its standard uncertainty."""

    time_s: float
    sigma_s: float


def liftoff(
    time_s: FloatArray, height_ft: FloatArray, *, earliest_s: float, latest_s: float
) -> Moment | None:
    """When the climb began.

    Parameters
    ----------
    time_s, height_ft : ndarray, shape (n,)
        Samples from the roll to about 150 ft above it [s], [ft]; NaN heights are left out.
    earliest_s, latest_s : float
        Between which the moment lies [s].

    Returns
    -------
    Moment or None
        None if the samples are too few to say.
    """
    return _bend(time_s, height_ft, (earliest_s, latest_s), LIFTOFF_ROUNDINGS_S, LIFTOFF_FLOOR_S)


def touchdown(
    time_s: FloatArray, height_ft: FloatArray, *, earliest_s: float, latest_s: float
) -> Moment | None:
    """When the descent ended: ``liftoff``, backward in time and with the roundings of a flare."""
    found = _bend(
        -time_s[::-1],
        height_ft[::-1],
        (-latest_s, -earliest_s),
        TOUCHDOWN_ROUNDINGS_S,
        TOUCHDOWN_FLOOR_S,
    )
    return None if found is None else Moment(time_s=-found.time_s, sigma_s=found.sigma_s)


def _bend(
    time_s: FloatArray,
    height_ft: FloatArray,
    between_s: tuple[float, float],
    roundings_s: tuple[float, ...],
    floor_s: float,
) -> Moment | None:
    known = np.isfinite(height_ft)
    time_s, height_ft = time_s[known], height_ft[known]
    moments_s = np.arange(between_s[0], between_s[1] + GRID_S, GRID_S)
    if time_s.size < FEWEST_COUNT or moments_s.size == 0:
        return None
    bends_s = np.repeat(moments_s, len(roundings_s))
    rounding_s = np.tile(np.array(roundings_s), moments_s.size)
    misfit, residual = _fits(time_s, height_ft, bends_s, rounding_s)
    best = int(np.argmin(misfit))
    if not np.isfinite(misfit[best]):
        return None
    step_s = median(np.diff(time_s))
    variance = misfit[best] / max(1, time_s.size - 4) * _together(residual[best])
    weight = np.exp(-(misfit - misfit[best]) / (2.0 * max(variance, 1e-6)))
    mean_s = float(np.average(bends_s, weights=weight))
    spread_s = float(np.sqrt(np.average((bends_s - mean_s) ** 2, weights=weight)))
    sigma_s = float(np.sqrt(spread_s**2 + floor_s**2 + step_s**2 / 12.0))
    return Moment(time_s=mean_s, sigma_s=sigma_s)


def _fits(
    time_s: FloatArray, height_ft: FloatArray, bends_s: FloatArray, rounding_s: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Sum of squares (k,) and residuals (k, n) of the best level and climb for each bend."""
    worth_s = ramp_s(time_s[None, :] - bends_s[:, None], rounding_s[:, None])
    rising = np.count_nonzero(worth_s, axis=1)
    centered_s = np.subtract(worth_s, worth_s.mean(axis=1, keepdims=True), out=worth_s)
    offset_ft = height_ft - height_ft.mean()
    squares = np.square(centered_s)
    size = squares.sum(axis=1)
    possible = (size > 0.0) & (rising >= 2) & (rising < time_s.size)
    rate = np.where(possible, centered_s @ offset_ft / np.where(size > 0.0, size, 1.0), 0.0)
    centered_s *= rate[:, None]
    residual_ft = np.subtract(offset_ft, centered_s, out=centered_s)
    misfit = np.square(residual_ft, out=squares).sum(axis=1)
    return np.where(possible & (rate > 0.0), misfit, np.inf), residual_ft


def ramp_s(after_s: FloatArray, rounding_s: FloatArray) -> FloatArray:
    """Time of full climb that the height gained is worth: quadratic in the rounding, then linear.

    The climb rate rises evenly from nothing over the rounding.
    """
    after_s = np.maximum(after_s, 0.0)
    inside = np.minimum(after_s, rounding_s)
    after_s -= inside
    inside *= inside
    inside /= 2.0 * np.where(rounding_s > 0.0, rounding_s, 1.0)
    after_s += inside
    return after_s


def correlation_factor(lag_1_fraction: float) -> float:
    """By how much a variance grows if residuals follow one another, (1 + r) / (1 - r) [ZVS1995]_.

    Parameters
    ----------
    lag_1_fraction : float
        Correlation r of neighboring residuals, below 1.
    """
    return (1.0 + lag_1_fraction) / (1.0 - lag_1_fraction)


def _together(residual_ft: FloatArray) -> float:
    """The factor for these residuals, their lag-1 correlation kept between 0 and 0.95."""
    total = float((residual_ft**2).sum())
    if total <= 0.0 or residual_ft.size < 3:
        return 1.0
    lag_1 = float((residual_ft[1:] * residual_ft[:-1]).sum()) / total
    return correlation_factor(min(max(lag_1, 0.0), 0.95))

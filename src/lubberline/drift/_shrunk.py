"""Shrunk regression of many series at once: what conditions explain of them, and the doubt of it.

Shapes: values (..., n), columns (..., n, k), course (n,). Nothing here checks its input.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray

_STEP_COUNT: Final = 60
_LARGEST_RATIO: Final = 1e3  # own: an effect of thirty scatters per condition is no longer shrunk
_NOTHING_RATIO: Final = 1e-12  # of the largest axis: what is below is rounding


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Taken:
    """Values with the effects taken out, (..., n), and what is in doubt by it.

    ``weights`` and ``variances``, (..., k), are of one scatter of a condition; ``scales`` the
    scatters, 0 where a condition never varies. ``shifts``, (..., n, k), are one-sigma columns.
    """

    values: FloatArray
    weights: FloatArray
    variances: FloatArray
    scales: FloatArray
    shifts: FloatArray
    used_count: FloatArray
    explained_fraction: FloatArray


def taken_out(values: FloatArray, columns: FloatArray, course: FloatArray | None) -> Taken:
    """Take out what the columns explain beside a level and the course, which stay in."""
    scaled, scales = _standardized(columns)
    free_count = 1 if course is None else 2
    left = beside(values[..., None], course)
    seen = beside(scaled, course)
    weights, root, used_count = _fitted(seen, left[..., 0], free_count)
    shifts = scaled @ root
    rest = left - seen @ weights[..., None]
    return Taken(
        values=values - (scaled @ weights[..., None])[..., 0],
        weights=weights,
        variances=(root**2).sum(axis=-1),
        scales=scales,
        shifts=shifts,
        used_count=used_count,
        explained_fraction=1.0 - (rest**2).sum(axis=(-2, -1)) / (left**2).sum(axis=(-2, -1)),
    )


def _standardized(columns: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Columns of mean 0 and scatter 1, and the scatters; unknown is usual, the unvaried is 0."""
    known = np.isfinite(columns)
    count = np.maximum(known.sum(axis=-2, keepdims=True), 1)
    mean = np.where(known, columns, 0.0).sum(axis=-2, keepdims=True) / count
    away = np.where(known, columns - mean, 0.0)
    scales = np.sqrt((away**2).sum(axis=-2, keepdims=True) / count)
    alike = scales <= 1e-9 * np.abs(mean)  # a mean of equal numbers is off by rounding
    scales = np.where(alike, 0.0, scales)
    return away / np.where(alike, np.inf, scales), scales[..., 0, :]


def beside(columns: FloatArray, course: FloatArray | None) -> FloatArray:
    """What is left of columns, (..., n, k), by least squares on a level and the course."""
    left: FloatArray = columns - columns.mean(axis=-2, keepdims=True)
    if course is None:
        return left
    along = (course - course.mean())[:, None]
    size = float((along**2).sum()) or np.inf
    return np.asarray(left - along * ((along * left).sum(axis=-2, keepdims=True) / size))


def _fitted(
    seen: FloatArray, left: FloatArray, free_count: int
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """The weights at the likeliest strength, a root of their covariance, and the freedom used.

    The values, once level and course are taken out, are normal with covariance sigma^2 (I +
    ratio X X'); sigma is at its best for each ratio, so one number is searched on a grid.
    """
    across = np.swapaxes(seen, -1, -2)
    squares, axes = np.linalg.eigh(across @ seen)
    squares = np.where(squares > _NOTHING_RATIO * squares[..., -1:], squares, 0.0)
    along = (np.swapaxes(axes, -1, -2) @ across @ left[..., None])[..., 0]
    along2 = along**2 / np.where(squares > 0.0, squares, np.inf)
    rest = (left**2).sum(axis=-1) - along2.sum(axis=-1)
    freedom = left.shape[-1] - free_count
    ratios = np.concatenate([[0.0], np.geomspace(1e-4, _LARGEST_RATIO, _STEP_COUNT)])
    grown = 1.0 + ratios[:, None] * squares[..., None, :]
    variances = rest[..., None] + (along2[..., None, :] / grown).sum(axis=-1)
    variances = np.maximum(variances, 1e-300) / freedom
    likelihood = -0.5 * (freedom * np.log(variances) + np.log(grown).sum(axis=-1))
    best = likelihood.argmax(axis=-1)[..., None]
    ratio = ratios[best]
    variance = np.take_along_axis(variances, best, axis=-1)
    shrunk = 1.0 + ratio * squares
    weights = (axes @ (ratio * along / shrunk)[..., None])[..., 0]
    root = axes * np.sqrt(ratio * variance / shrunk)[..., None, :]
    return np.asarray(weights), np.asarray(root), np.asarray((1.0 - 1.0 / shrunk).sum(axis=-1))

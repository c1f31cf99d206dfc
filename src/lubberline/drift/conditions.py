"""What of a measure is the day and not the pilot: wind, weight, runway, night, days not flown.

A small regression with shrinkage: every condition may explain something, but must pay for it,
and from few flights it explains little. So a windy month is taken out as far as the pilot's
own flights show what wind does, and no further. What is taken out adds to the doubt of what is
left.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from lubberline.arrays import FloatArray
from lubberline.errors import ShapeError

_STEP_COUNT: Final = 60
_LARGEST_RATIO: Final = 1e3  # own: an effect of thirty scatters per condition is no longer shrunk


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """What one unit of a condition adds to the measure, with its standard uncertainty."""

    name: str
    per_unit: float
    sigma: float


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Adjusted:
    """Values as they would have been in usual conditions, with the doubt that this adds, (n,).

    ``explained_fraction`` is the share of the scatter that the conditions account for.
    ``shifts``, shape (n, k), are one-sigma columns by which all values may be shifted together;
    ``used_count`` the degrees of freedom that the effects took.
    """

    values: FloatArray
    sigmas: FloatArray
    effects: tuple[Effect, ...]
    explained_fraction: float
    shifts: FloatArray
    used_count: float


def in_usual_conditions(
    values: ArrayLike, conditions: Mapping[str, ArrayLike], *, course: ArrayLike | None = None
) -> Adjusted:
    """Take out what the conditions explain; the usual is their mean over the flights.

    Parameters
    ----------
    values : array_like, shape (n,)
        All known.
    conditions : mapping of name to array_like, shape (n,)
        In any units; an unknown one is NaN and counts as usual.
    course : array_like, shape (n,), optional
        What else the values follow, such as the time: it is fitted beside the conditions, so
        that they do not explain it away, and left in.

    Returns
    -------
    Adjusted
        The values unchanged where there is no condition that varies.

    References
    ----------
    Ridge regression [HOERL1970]_ of standardized conditions; the strength of the shrinkage is
    the one under which the values are likeliest ([BISHOP2006]_ 3.5).
    """
    values = np.asarray(values, dtype=float)
    names, scaled, scales = _standardized(conditions, values.shape)
    free = _free_columns(values.size, course)
    left_over = values - free @ np.linalg.lstsq(free, values, rcond=None)[0]
    if not names or values.size < free.shape[1] + 3 or not left_over.any():
        return Adjusted(
            values=values,
            sigmas=np.zeros_like(values),
            effects=(),
            explained_fraction=0.0,
            shifts=np.zeros((values.size, 0)),
            used_count=0.0,
        )
    seen = scaled - free @ np.linalg.lstsq(free, scaled, rcond=None)[0]
    weights, root, used_count = _shrunk(seen, left_over, free.shape[1])
    taken = scaled @ weights
    shifts = scaled @ root
    explained = 1.0 - ((left_over - seen @ weights) ** 2).sum() / (left_over**2).sum()
    return Adjusted(
        values=values - taken,
        sigmas=np.sqrt((shifts**2).sum(axis=1)),
        effects=tuple(
            Effect(name=name, per_unit=float(w / scale), sigma=float(np.sqrt(variance) / scale))
            for name, w, variance, scale in zip(
                names, weights, (root**2).sum(axis=1), scales, strict=True
            )
        ),
        explained_fraction=float(explained),
        shifts=shifts,
        used_count=used_count,
    )


def _standardized(
    conditions: Mapping[str, ArrayLike], shape: tuple[int, ...]
) -> tuple[list[str], FloatArray, list[float]]:
    """Names, columns of mean 0 and scatter 1, and the scatters; what never varies is left out."""
    names, columns, scales = [], [], []
    for name, given in conditions.items():
        column = np.asarray(given, dtype=float)
        if column.shape != shape:
            raise ShapeError(f"{name} has shape {column.shape}, the values {shape}")
        known = np.isfinite(column)
        scale = float(column[known].std()) if known.any() else 0.0
        if scale > 0.0:
            names.append(name)
            columns.append(np.where(known, column - column[known].mean(), 0.0) / scale)
            scales.append(scale)
    return names, np.array(columns).T.reshape(shape[0], len(names)), scales


def _free_columns(count: int, course: ArrayLike | None) -> FloatArray:
    """What is fitted without shrinkage: the level, and the course if there is one."""
    level = np.ones((count, 1))
    if course is None:
        return level
    along = np.asarray(course, dtype=float)
    if along.shape != (count,):
        raise ShapeError(f"course has shape {along.shape}, the values ({count},)")
    return np.column_stack([level, along - along.mean()])


def _shrunk(
    seen: FloatArray, left: FloatArray, free_count: int
) -> tuple[FloatArray, FloatArray, float]:
    """The weights at the likeliest strength, a root of their covariance, and the freedom used.

    The values, once level and course are taken out, are normal with covariance sigma^2 (I +
    ratio X X'); sigma is at its best for each ratio, so one number is searched on a grid.
    """
    basis, sizes, right = np.linalg.svd(seen, full_matrices=False)
    along = basis.T @ left
    beside = float((left**2).sum() - (along**2).sum())
    freedom = left.size - free_count
    ratios = np.concatenate([[0.0], np.geomspace(1e-4, _LARGEST_RATIO, _STEP_COUNT)])
    grown = 1.0 + ratios[:, None] * sizes**2
    variance = np.maximum(beside + (along**2 / grown).sum(axis=1), 1e-300) / freedom
    likelihood = -0.5 * (freedom * np.log(variance) + np.log(grown).sum(axis=1))
    best = int(likelihood.argmax())
    ratio, sigma2 = ratios[best], variance[best]
    weights = right.T @ (ratio * sizes * along / grown[best])
    root = right.T * np.sqrt(ratio * sigma2 / grown[best])
    return np.asarray(weights), np.asarray(root), float((1.0 - 1.0 / grown[best]).sum())

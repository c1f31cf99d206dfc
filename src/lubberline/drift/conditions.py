"""What of a measure is the day and not the pilot: wind, weight, runway, night, days not flown.

A small regression with shrinkage: every condition may explain something, but must pay for it,
and from few flights it explains little. So a windy month is taken out as far as the pilot's
own flights show what wind does, and no further. What is taken out adds to the doubt of what is
left.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lubberline.arrays import FloatArray
from lubberline.drift import _shrunk as shrunk
from lubberline.errors import ShapeError


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
    varying = _varying(conditions, values.shape)
    along = None if course is None else _known_shape("course", course, values.shape)
    left = shrunk.beside(values[:, None], along)
    if not varying or values.size < (5 if along is not None else 4) or not left.any():
        return Adjusted(
            values=values,
            sigmas=np.zeros_like(values),
            effects=(),
            explained_fraction=0.0,
            shifts=np.zeros((values.size, 0)),
            used_count=0.0,
        )
    taken = shrunk.taken_out(values, np.column_stack(list(varying.values())), along)
    return Adjusted(
        values=taken.values,
        sigmas=np.sqrt((taken.shifts**2).sum(axis=1)),
        effects=tuple(
            Effect(name=name, per_unit=float(weight / scale), sigma=float(sigma / scale))
            for name, weight, sigma, scale in zip(
                varying, taken.weights, np.sqrt(taken.variances), taken.scales, strict=True
            )
        ),
        explained_fraction=float(taken.explained_fraction),
        shifts=taken.shifts,
        used_count=float(taken.used_count),
    )


def _varying(conditions: Mapping[str, ArrayLike], shape: tuple[int, ...]) -> dict[str, FloatArray]:
    """The conditions that are known of some flights and not alike on all of them."""
    columns = {name: _known_shape(name, given, shape) for name, given in conditions.items()}
    return {
        name: column
        for name, column in columns.items()
        if np.unique(column[np.isfinite(column)]).size > 1
    }


def _known_shape(name: str, given: ArrayLike, shape: tuple[int, ...]) -> FloatArray:
    column = np.asarray(given, dtype=float)
    if column.shape != shape:
        raise ShapeError(f"{name} has shape {column.shape}, the values {shape}")
    return column

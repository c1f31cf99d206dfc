"""Looking up a printed performance table: multilinear between its points, no answer beyond.

The last printed point of every axis belongs to the table. A cell that the manual leaves
blank (NaN) makes the cells around it unknown, but not the printed points beside it. What is
asked is given by axis name; a name that the table has no axis for is not looked at, because
a manual that prints for one weight means it for all.
"""

from collections.abc import Iterator, Mapping
from itertools import product

import numpy as np
from numpy.typing import ArrayLike

from lubberline.aircraft.model import Table
from lubberline.arrays import FloatArray, IntArray, broadcast
from lubberline.errors import RangeError
from lubberline.line import ROUNDING

_WORDS = {
    "weight_lb": "weight",
    "pressure_ft": "pressure height",
    "oat_degc": "temperature",
    "above_standard_degc": "above standard",
    "headwind_kt": "headwind",
    "slope_percent": "slope",
    "power_percent": "power",
    "mp_inhg": "manifold pressure",
    "agl_ft": "height",
}
_UNITS = {"lb": "lb", "ft": "ft", "degc": "°C", "kt": "kt", "percent": "%", "inhg": "inHg"}

_DECIMALS = {"slope_percent": 1, "mp_inhg": 1}


def look_up(table: Table, **axis_values: ArrayLike) -> FloatArray:
    """The table's figure at a place on its axes.

    Parameters
    ----------
    table : Table
        A table as printed.
    **axis_values : array_like, broadcast to S
        A value for each axis of the table, by axis name; other names are not looked at.

    Returns
    -------
    ndarray, shape S
        Figure in the table's unit. 0-d for scalars; NaN beyond the printed points of any
        axis, next to a blank cell, and where an input is NaN.

    Raises
    ------
    RangeError
        If an axis of the table is given no value.
    ShapeError
        If the inputs do not broadcast.

    References
    ----------
    [PHAK]_, chapter "Aircraft Performance": interpolation between printed figures. Float noise
    of a billionth beyond the last printed point counts as that point.

    Examples
    --------
    >>> roll = Table(
    ...     name="takeoff_roll_ft",
    ...     axes={"pressure_ft": np.array([2000.0, 3000.0])},
    ...     values=np.array([1115.0, 1230.0]),
    ... )
    >>> float(look_up(roll, pressure_ft=2500.0))
    1172.5
    """
    asked = broadcast(*(_asked(table, axis_values)))
    places = [_place(points, at) for points, at in zip(table.axes.values(), asked, strict=True)]
    corners = product((0, 1), repeat=len(places))
    figures = [
        table.values[tuple(cell + side for (cell, _), side in zip(places, corner, strict=True))]
        for corner in corners
    ]
    for _, part in reversed(places):  # the last axis turns fastest: its pairs are neighbors
        pairs = zip(figures[0::2], figures[1::2], strict=True)
        figures = [_between(low, high, part) for low, high in pairs]
    return figures[0]


def beyond(table: Table, **axis_values: float) -> str:
    """Which axis ran out and by how much, in words; empty where the place is on the table.

    Raises
    ------
    RangeError
        If an axis of the table is given no value.

    Examples
    --------
    >>> roll = Table(
    ...     name="takeoff_roll_ft",
    ...     axes={"weight_lb": np.array([2300.0, 2900.0])},
    ...     values=np.array([745.0, 1240.0]),
    ... )
    >>> beyond(roll, weight_lb=3000.0)
    'weight_lb 3000 is 100 beyond the last printed 2900'
    """
    return "; ".join(_run_out(table, _asked(table, axis_values)))


def before_first(table: Table, **axis_values: float) -> dict[str, float]:
    """The first printed point of each axis on which the place lies before it."""
    pairs = zip(table.axes.items(), _asked(table, axis_values), strict=True)
    return {axis: float(points[0]) for (axis, points), at in pairs if _before(points, at)}


def after_last(table: Table, **axis_values: float) -> dict[str, float]:
    """The last printed point of each axis on which the place lies beyond it."""
    pairs = zip(table.axes.items(), _asked(table, axis_values), strict=True)
    return {axis: float(points[-1]) for (axis, points), at in pairs if _after(points, at)}


def place_words(table: Table, **axis_values: float) -> str:
    """The place on the table's axes as a pilot says it: "weight 2,650 lb, temperature 12 °C"."""
    pairs = zip(table.axes, _asked(table, axis_values), strict=True)
    return ", ".join(
        f"{_WORDS.get(axis, axis)} {at:,.{_DECIMALS.get(axis, 0)}f}"
        f" {_UNITS.get(axis.rpartition('_')[2], '')}".strip()
        for axis, at in pairs
    )


def printed_around(table: Table, **axis_values: float) -> tuple[str, ...]:
    """The printed figures that the table's answer rests on, with the share of each, in words.

    Empty where the table has no answer.
    """
    asked = broadcast(*_asked(table, axis_values))
    places = [_place(points, at) for points, at in zip(table.axes.values(), asked, strict=True)]
    return tuple(_printed(table, places))


def _printed(table: Table, places: list[tuple[IntArray, FloatArray]]) -> Iterator[str]:
    """Corners of the cell that have a share in the answer."""
    for corner in product((0, 1), repeat=len(places)):
        sides = zip(places, corner, strict=True)
        share = float(np.prod([part if side else 1.0 - part for (_, part), side in sides]))
        index = tuple(int(cell) + side for (cell, _), side in zip(places, corner, strict=True))
        if share > 0.0:  # False for NaN: beyond the table
            pairs = zip(table.axes.items(), index, strict=True)
            at = {axis: float(points[here]) for (axis, points), here in pairs}
            whole = "" if share == 1.0 else f", share {share:.3f}"
            yield f"printed at {place_words(table, **at)}: {table.values[index]:,g}{whole}"


def _asked(table: Table, axis_values: Mapping[str, ArrayLike]) -> list[ArrayLike]:
    """Values in the order of the table's axes."""
    absent = [axis for axis in table.axes if axis not in axis_values]
    if absent:
        raise RangeError(f"{table.name} needs {', '.join(absent)}; got {', '.join(axis_values)}")
    return [axis_values[axis] for axis in table.axes]


def _place(points: FloatArray, at: FloatArray) -> tuple[IntArray, FloatArray]:
    """Index of the cell and the part of it, 0 to 1; the part is NaN beyond the points."""
    first, last = points[0], points[-1]
    noise = ROUNDING * max(abs(first), abs(last))
    known = (at >= first - noise) & (at <= last + noise)  # False for NaN
    inside = np.minimum(np.maximum(np.where(known, at, first), first), last)
    cell = np.minimum(points.searchsorted(inside, side="right") - 1, points.size - 2)
    part = (inside - points[cell]) / (points[cell + 1] - points[cell])
    return cell, np.where(known, part, np.nan)


def _between(low: FloatArray, high: FloatArray, part: FloatArray) -> FloatArray:
    """Linear between two figures; a blank one does not blank the printed one beside it."""
    blend = (1.0 - part) * low + part * high
    return np.where(part == 0.0, low, np.where(part == 1.0, high, blend))


def _before(points: FloatArray, at: ArrayLike) -> bool:
    value = np.asarray(at, dtype=np.float64)
    return bool(value < points[0] and np.isnan(_place(points, value)[1]))


def _after(points: FloatArray, at: ArrayLike) -> bool:
    value = np.asarray(at, dtype=np.float64)
    return bool(value > points[-1] and np.isnan(_place(points, value)[1]))


def _run_out(table: Table, asked: list[ArrayLike]) -> Iterator[str]:
    for (axis, points), value in zip(table.axes.items(), asked, strict=True):
        at = np.asarray(value, dtype=np.float64)
        first, last = points[0], points[-1]
        if np.isnan(at):
            yield f"{axis} is not known"
        elif _before(points, at):
            yield f"{axis} {at:.6g} is {first - at:.6g} before the first printed {first:g}"
        elif _after(points, at):
            yield f"{axis} {at:.6g} is {at - last:.6g} beyond the last printed {last:g}"

"""Whether two ways are much the same to the one who flies them."""

from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.ways.model import Way

SAME_NM: Final = 1.5  # own: tracks nowhere further apart than this are one way
SAME_FT: Final = 600.0  # own: at heights that differ no more


def alike(way: Way, other: Way) -> bool:
    """Whether two tracks nowhere part by much, at much the same heights."""
    one, two = _evenly(way), _evenly(other)
    apart_nm = np.hypot(*(one[:, :2] - two[:, :2]).T)
    return bool(apart_nm.max() <= SAME_NM and np.median(np.abs(one[:, 2] - two[:, 2])) <= SAME_FT)


def _evenly(way: Way) -> FloatArray:
    """Places [NM, roughly] and heights at even shares of the distance, (64, 3)."""
    east_nm = (way.path[:, 1] - way.path[0, 1]) * 60.0 * np.cos(np.radians(way.path[0, 0]))
    north_nm = (way.path[:, 0] - way.path[0, 0]) * 60.0
    along = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(east_nm), np.diff(north_nm)))])
    at = np.linspace(0.0, along[-1], 64)
    return np.column_stack([np.interp(at, along, c) for c in (east_nm, north_nm, way.path[:, 2])])

"""Straight runs of a path: rows that lie on one line make one.

So a climb cut into pieces has one course, as a pilot measures it on a chart.
"""

from typing import Final

import numpy as np

from lubberline.arrays import FloatArray, IntArray

STRAIGHT_NM: Final = 0.002  # own: rows nearer to a line than four meters lie on it


def straight_runs(east_nm: FloatArray, north_nm: FloatArray) -> IntArray:
    """Rows at which straight runs begin and end, from the first row to the last."""
    ends = [0]
    row = 1
    while row < east_nm.size:
        if row > ends[-1] + 1 and not _is_straight(east_nm, north_nm, ends[-1], row):
            ends.append(row - 1)
        else:
            row += 1
    return np.array([*ends, east_nm.size - 1], dtype=np.int64)


def _is_straight(east_nm: FloatArray, north_nm: FloatArray, first: int, last: int) -> bool:
    """Whether the rows between two lie on the line that joins them, in order."""
    east = east_nm[first : last + 1] - east_nm[first]
    north = north_nm[first : last + 1] - north_nm[first]
    length_nm = float(np.hypot(east[-1], north[-1]))
    if length_nm == 0.0:
        return bool((np.hypot(east, north) <= STRAIGHT_NM).all())
    along = (east * east[-1] + north * north[-1]) / length_nm
    across = (east * north[-1] - north * east[-1]) / length_nm
    onward = np.diff(along) >= -STRAIGHT_NM
    return bool(onward.all() and (np.abs(across) <= STRAIGHT_NM).all())

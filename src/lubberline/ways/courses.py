"""Straight runs of a path and their courses, as a pilot measures them on a chart.

Rows that lie on one line make one run, so that a climb cut into pieces has one course. The
course is that of the geodesic at the middle of the run.
"""

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from lubberline.arrays import FloatArray, IntArray
from lubberline.earth import course_and_distance, destination_point

STRAIGHT_NM: Final = 0.002  # own: rows nearer to a line than four meters lie on it


def middle_course_deg(
    from_lat_deg: ArrayLike, from_lon_deg: ArrayLike, to_lat_deg: ArrayLike, to_lon_deg: ArrayLike
) -> FloatArray:
    """True course [deg] at the middle of the geodesic between places; NaN if they are one."""
    start_deg, apart_nm = course_and_distance(from_lat_deg, from_lon_deg, to_lat_deg, to_lon_deg)
    toward_deg = np.nan_to_num(start_deg)
    lat_deg, lon_deg = destination_point(from_lat_deg, from_lon_deg, toward_deg, apart_nm / 2.0)
    return course_and_distance(lat_deg, lon_deg, to_lat_deg, to_lon_deg)[0]


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

"""A path as columns in the problem's plane, with the ground beneath, as the checks look at it.

Rows of a path are joined by straight lines in the plane, linear in height and time. Sampling
adds rows so that no two are more than 0.1 NM apart, without changing the path; between samples
the ground is taken as linear.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.earth import LocalPlane
from lubberline.errors import RangeError, ShapeError
from lubberline.ways.model import Spot
from lubberline.ways.problem import WaysProblem

SAMPLE_NM: Final = 0.1  # the problem's definition: ground is looked up at least this often


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Samples:
    """Rows of a path; columns of shape (n,). ``ground_ft`` is NaN where it is not known.

    ``row_index`` is the place among the path's own rows: 2.5 is halfway from row 2 to row 3.
    """

    plane: LocalPlane
    row_index: FloatArray
    east_nm: FloatArray
    north_nm: FloatArray
    msl_ft: FloatArray
    after_min: FloatArray
    ground_ft: FloatArray

    @property
    def agl_ft(self) -> FloatArray:
        """Height above the ground; NaN where that is not known."""
        return self.msl_ft - self.ground_ft

    def spot(self, row: int) -> Spot:
        """Place and moment of one row."""
        lat_deg, lon_deg = self.plane.to_degrees(self.east_nm[row], self.north_nm[row])
        return Spot(
            after_min=float(self.after_min[row]),
            lat_deg=float(lat_deg),
            lon_deg=float(lon_deg),
            msl_ft=float(self.msl_ft[row]),
        )


def path_samples(problem: WaysProblem, path: FloatArray) -> Samples:
    """The rows of a path, each checked.

    Parameters
    ----------
    problem : WaysProblem
    path : ndarray, shape (m, 4), m at least 2
        Latitude [deg], longitude [deg], height [ft MSL], minutes after take-off.

    Raises
    ------
    ShapeError
        If the path has another shape.
    RangeError
        If a number is not finite, a place is none, or time runs backwards.
    """
    rows = np.asarray(path, dtype=np.float64)
    if rows.ndim != 2 or rows.shape[1] != 4 or rows.shape[0] < 2:
        raise ShapeError(f"a path has shape (m, 4) with 2 rows or more, not {rows.shape}")
    if not np.isfinite(rows).all():
        row, column = (int(index) for index in np.argwhere(~np.isfinite(rows))[0])
        raise RangeError(f"path[{row}, {column}] is {rows[row, column]}; expected a number")
    backwards = np.flatnonzero(np.diff(rows[:, 3]) < 0.0)
    if backwards.size:
        row = int(backwards[0])
        raise RangeError(
            f"path[{row + 1}] is {rows[row + 1, 3]:g} min after take-off, the row before"
            f" {rows[row, 3]:g} min; expected time that does not run backwards"
        )
    lat_deg, lon_deg, msl_ft, after_min = rows.T
    east_nm, north_nm = problem.plane.to_plane_nm(lat_deg, lon_deg)
    return Samples(
        plane=problem.plane,
        row_index=np.arange(rows.shape[0], dtype=np.float64),
        east_nm=east_nm,
        north_nm=north_nm,
        msl_ft=msl_ft,
        after_min=after_min,
        ground_ft=problem.terrain.ground_ft(lat_deg, lon_deg),
    )


def densified(problem: WaysProblem, rows: Samples, *, apart_nm: float = SAMPLE_NM) -> Samples:
    """The same path with rows at most so far apart."""
    steps_nm = np.hypot(np.diff(rows.east_nm), np.diff(rows.north_nm))
    counts = np.maximum(np.ceil(steps_nm / apart_nm), 1.0).astype(np.int64)
    ends = np.concatenate([[0], np.cumsum(counts)])
    row_index = np.interp(np.arange(ends[-1] + 1), ends, np.arange(ends.size))

    def between(column: FloatArray) -> FloatArray:
        return np.asarray(np.interp(row_index, np.arange(column.size), column))

    east_nm, north_nm = between(rows.east_nm), between(rows.north_nm)
    return Samples(
        plane=rows.plane,
        row_index=row_index,
        east_nm=east_nm,
        north_nm=north_nm,
        msl_ft=between(rows.msl_ft),
        after_min=between(rows.after_min),
        ground_ft=_ground_ft(problem, east_nm, north_nm),
    )


def _ground_ft(problem: WaysProblem, east_nm: FloatArray, north_nm: FloatArray) -> FloatArray:
    """Ground at places of the plane; which ones does not matter where it is level."""
    level_ft = problem.terrain.level_ft
    if level_ft is not None:
        return np.full_like(east_nm, level_ft)
    return problem.terrain.ground_ft(*problem.plane.to_degrees(east_nm, north_nm))

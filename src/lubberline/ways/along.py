"""A way as closely spaced samples: where, how high, over what ground, and in what words.

Between rows of the path a way is straight and linear in height and time; sampling changes
nothing of that, so whatever is asked along the way is asked of these columns.
"""

from dataclasses import dataclass
from math import ceil
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray, wrap_180_deg
from lubberline.earth import LocalPlane, Terrain
from lubberline.ways.model import Spot, Way

EVERY_NM: Final = 0.25  # own: some six seconds in cruise
EVERY_MIN: Final = 0.25  # own: where it circles


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Along:
    """Columns of shape (n,); ``ground_ft`` is NaN where it is not known."""

    way: Way
    plane: LocalPlane
    along_nm: FloatArray
    after_min: FloatArray
    east_nm: FloatArray
    north_nm: FloatArray
    lat_deg: FloatArray
    lon_deg: FloatArray
    msl_ft: FloatArray
    ground_ft: FloatArray

    def spot(self, after_min: float) -> Spot:
        """Place and height at a moment."""
        lon_deg = np.interp(after_min, self.after_min, np.unwrap(self.lon_deg, period=360.0))
        return Spot(
            after_min=after_min,
            lat_deg=float(np.interp(after_min, self.after_min, self.lat_deg)),
            lon_deg=float(wrap_180_deg(lon_deg)),
            msl_ft=float(np.interp(after_min, self.after_min, self.msl_ft)),
        )

    def away_nm(self, lat_deg: float, lon_deg: float) -> FloatArray:
        """Distance of each sample from a place."""
        east_nm, north_nm = self.plane.to_plane_nm(lat_deg, lon_deg)
        return np.asarray(np.hypot(self.east_nm - east_nm, self.north_nm - north_nm))

    def words(self, after_min: float) -> str:
        """How far before the next named point, rounded up; the point itself when over it."""
        away, name = self.next_point(after_min)
        return f"{away} NM before {name}" if away else name

    def next_point(self, after_min: float) -> tuple[str, str]:
        """Distance to the next named point [NM], tenths rounded up, "" when over it; its name."""
        rows_min, names = self.way.path[:, 3], self.way.point_names
        first = min(int(np.searchsorted(rows_min, after_min - 1e-9)), len(names) - 1)
        ahead = next(n for n in range(first, len(names)) if names[n] or n == len(names) - 1)
        here_nm, there_nm = np.interp(
            [after_min, rows_min[ahead]], self.after_min, self.along_nm
        ).tolist()
        tenths = ceil(round((there_nm - here_nm) * 10.0, 3))
        return f"{tenths / 10.0:.1f}" if tenths > 0 else "", names[ahead]


def along_way(way: Way, terrain: Terrain, *, every_nm: float = EVERY_NM) -> Along:
    """The samples of a way, never farther apart than so many miles or a quarter of a minute."""
    middle = way.path[len(way.path) // 2]
    plane = LocalPlane(float(middle[0]), float(middle[1]))
    rows_east_nm, rows_north_nm = plane.to_plane_nm(way.path[:, 0], way.path[:, 1])
    steps_nm = np.hypot(np.diff(rows_east_nm), np.diff(rows_north_nm))
    pieces = np.maximum(steps_nm / every_nm, np.diff(way.path[:, 3]) / EVERY_MIN)
    ends = np.concatenate([[0], np.cumsum(np.maximum(np.ceil(pieces), 1.0))])
    place = np.interp(np.arange(int(ends[-1]) + 1), ends, np.arange(ends.size))

    def between(column: FloatArray) -> FloatArray:
        return np.asarray(np.interp(place, np.arange(column.size), column))

    east_nm, north_nm = between(rows_east_nm), between(rows_north_nm)
    lat_deg, lon_deg = plane.to_degrees(east_nm, north_nm)
    return Along(
        way=way,
        plane=plane,
        along_nm=between(np.concatenate([[0.0], np.cumsum(steps_nm)])),
        after_min=between(way.path[:, 3]),
        east_nm=east_nm,
        north_nm=north_nm,
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        msl_ft=between(way.path[:, 2]),
        ground_ft=terrain.ground_ft(lat_deg, lon_deg),
    )

"""Where along a way something is, told by the named point ahead."""

from dataclasses import dataclass
from functools import cached_property
from math import ceil

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.card.rows import short
from lubberline.earth import LocalPlane
from lubberline.ways import Way


@dataclass(frozen=True)
class Track:
    """A way by its moments."""

    way: Way

    @cached_property
    def along_nm(self) -> FloatArray:
        """Distance along the way to each row of the path."""
        path = self.way.path
        middle = path[len(path) // 2]
        plane = LocalPlane(float(middle[0]), float(middle[1]))  # in it the way is nearly straight
        east_nm, north_nm = plane.to_plane_nm(path[:, 0], path[:, 1])
        steps_nm = np.hypot(np.diff(east_nm), np.diff(north_nm))
        return np.concatenate([[0.0], np.cumsum(steps_nm)])

    def degrees(self, after_min: float) -> tuple[float, float]:
        """Latitude and longitude at a moment after take-off, straight between rows of the path."""
        lat_deg, lon_deg = (
            float(np.interp(after_min, self.way.path[:, 3], self.way.path[:, column]))
            for column in (0, 1)
        )
        return lat_deg, lon_deg

    def height_ft(self, after_min: float) -> float:
        """Height above sea level at a moment after take-off."""
        return float(np.interp(after_min, self.way.path[:, 3], self.way.path[:, 2]))

    def words(self, after_min: float) -> str:
        """How far before the next named point; tenths rounded up, to the early side."""
        away, name = self.next_point(after_min)
        return f"{away} NM before {name}"

    def next_point(self, after_min: float) -> tuple[str, str]:
        """The distance to the next named point [NM], and its name."""
        at_min, names = self.way.path[:, 3], self.way.point_names
        first = min(int(np.searchsorted(at_min, after_min)), len(names) - 1)
        ahead = next(n for n in range(first, len(names)) if names[n] or n == len(names) - 1)
        away_nm = float(self.along_nm[ahead] - np.interp(after_min, at_min, self.along_nm))
        return f"{ceil(round(away_nm * 10.0, 3)) / 10.0:.1f}", short(names[ahead])

"""Where along a way something is, told by the named point ahead, in a card's short words."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from lubberline.card.rows import short
from lubberline.earth import Terrain
from lubberline.ways import Along, Way, along_way


@dataclass(frozen=True)
class Track:
    """A way by the moment or by the mile; the ground beneath is not asked."""

    way: Way

    @cached_property
    def _along(self) -> Along:
        return along_way(self.way, Terrain(tiles=()))

    def before_end_min(self, before_nm: float) -> float:
        """Minutes after take-off at so many miles before the end."""
        along_nm = self._along.along_nm
        return float(np.interp(along_nm[-1] - before_nm, along_nm, self._along.after_min))

    @property
    def halfway_min(self) -> float:
        """Minutes after take-off in the middle of the way."""
        return self.before_end_min(float(self._along.along_nm[-1]) / 2.0)

    def degrees(self, after_min: float) -> tuple[float, float]:
        """Latitude and longitude at a moment after take-off."""
        spot = self._along.spot(after_min)
        return spot.lat_deg, spot.lon_deg

    def height_ft(self, after_min: float) -> float:
        """Height above sea level at a moment after take-off."""
        return self._along.spot(after_min).msl_ft

    def words(self, after_min: float) -> str:
        """How far before the next named point; tenths rounded up, to the early side."""
        away, name = self.next_point(after_min)
        return f"{away} NM before {name}"

    def next_point(self, after_min: float) -> tuple[str, str]:
        """The distance to the next named point [NM], and its name."""
        away, name = self._along.next_point(after_min)
        return away or "0.0", short(name)

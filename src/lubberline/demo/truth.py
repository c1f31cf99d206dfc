"""How an invented flight departs from its plan, and what then really happened."""

from dataclasses import dataclass
from typing import Literal

from lubberline.arrays import FloatArray

Join = Literal["downwind", "base", "final"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Faults:
    """How a flight differs from its plan; the defaults are a clean flight.

    ``height_swing_ft`` is the size of a slow swing about the cruising height, which grows to
    ``height_swing_growth_factor`` times that by the end of the cruise; ``height_bias_ft`` is a
    level held wrongly, ``track_swing_nm`` a slow weave about the route, ``start_down_late_nm``
    how late the descent begins, ``takeoff_late_min`` time lost at the hold, ``final_fast_kt``
    speed carried down the final.
    """

    height_swing_ft: float = 25.0
    height_swing_growth_factor: float = 1.0
    height_bias_ft: float = 0.0
    track_swing_nm: float = 0.03
    start_down_late_nm: float = 0.0
    takeoff_late_min: float = 0.0
    final_fast_kt: float = 0.0


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Stretch:
    """A part of a flight; columns of shape (m,), seconds count from its own start."""

    time_s: FloatArray
    east_nm: FloatArray
    north_nm: FloatArray
    msl_ft: FloatArray
    tas_kt: FloatArray
    heading_true_deg: FloatArray

    @property
    def length_s(self) -> float:
        """How long it lasts."""
        return float(self.time_s[-1])


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Truth:
    """What really happened, one row a second, shape (n,); seconds count from off block.

    ``cruise_worst_ft`` is the greatest deviation from the planned cruising height between the
    level-off and the start down, with its sign.
    """

    time_s: FloatArray
    lat_deg: FloatArray
    lon_deg: FloatArray
    msl_ft: FloatArray
    tas_kt: FloatArray
    heading_true_deg: FloatArray
    liftoff_s: float
    touchdown_s: float
    on_block_s: float
    cruise_worst_ft: float

"""A recording without any position: speed and direction from the channels that hold them."""

from collections.abc import Sequence
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.recording import Track

SPEEDS: Final = ("ground_kt", "tas_kt", "ias_kt")  # without positions, the best first
DIRECTIONS: Final = ("track_true_deg", "heading_true_deg", "heading_mag_deg", "heading_deg")


def is_placed(track: Track) -> bool:
    """Whether any position was recorded."""
    return bool(np.isfinite(track.lat_deg).any() and np.isfinite(track.lon_deg).any())


def recorded_velocity_kt(track: Track) -> dict[str, FloatArray]:
    """Speed and direction as recorded, the best first; without a direction all to the north."""
    speed_kt = _first_known(track, SPEEDS)
    along_deg = _first_known(track, DIRECTIONS)
    along_rad = np.radians(np.where(np.isfinite(along_deg), along_deg, 0.0))
    return {"east_kt": speed_kt * np.sin(along_rad), "north_kt": speed_kt * np.cos(along_rad)}


def _first_known(track: Track, names: Sequence[str]) -> FloatArray:
    for name in names:
        column = track.channels.get(name)
        if column is not None and np.isfinite(column).any():
            return column
    return np.full(track.time_s.shape, np.nan)

"""A transponder's silence on the ground: it sends its height only in the air [DO-260]_.

It knows that by the wheels, so the change from positions without a height to positions with one,
or back, is a take-off or a landing.
"""

from dataclasses import replace
from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray
from lubberline.flown.liftoff import Moment
from lubberline.recording import Track

HEARD_S: Final = 2.0  # own: how late a transponder may notice that the wheels are off
QUIET_S: Final = 20.0  # so long without a height, though with positions, was on the ground
QUIET_COUNT: Final = 5


def first_heard(track: Track, from_s: float, to_s: float) -> Moment | None:
    """The change from positions without a height to positions with one, if it begins so."""
    return _silence_ends(track.time_s, _height_known(track), from_s - HEARD_S, to_s)


def last_heard(track: Track, from_s: float, to_s: float) -> Moment | None:
    """The change to positions without a height: ``first_heard``, backward in time."""
    known = _height_known(track)[::-1]
    found = _silence_ends(-track.time_s[::-1], known, -to_s - HEARD_S, -from_s)
    return None if found is None else replace(found, time_s=-found.time_s)


def _height_known(track: Track) -> BoolArray:
    return np.isfinite(track.pressure_ft) | np.isfinite(track.gnss_ft)


def _silence_ends(
    time_s: FloatArray, known: BoolArray, from_s: float, to_s: float
) -> Moment | None:
    """The first known height after a quiet time without any, and how long that was unsure."""
    heard = np.flatnonzero(known & (time_s >= from_s) & (time_s <= to_s))
    if not heard.size:
        return None
    first = int(heard[0])
    quiet = (time_s < time_s[first]) & (time_s >= time_s[first] - QUIET_S)
    if quiet.sum() < QUIET_COUNT or known[quiet].any():
        return None
    unsure_s = float(time_s[first] - time_s[first - 1])
    middle_s = float(time_s[first]) - unsure_s / 2.0
    return Moment(time_s=middle_s, sigma_s=float(np.hypot(unsure_s / np.sqrt(12.0), HEARD_S)))

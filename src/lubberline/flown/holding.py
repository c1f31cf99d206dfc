"""Holding: turns of half a circle, all the same way, that bring the airplane back over one place.

A standard pattern has legs of a minute [AIM5-3-8]_; a pilot's own may be shorter or longer. Three
half turns in a row are asked for, and after two of them the same place: one lap alone may have been
flown for spacing. Circles without straight legs are none.
"""

from typing import Final

import numpy as np

from lubberline.arrays import FloatArray, wrap_180_deg
from lubberline.flown.even import EvenTrack, runs

TURNING_DEGPS: Final = 0.8
HALF_DEG: Final = (145.0, 220.0)  # own: half a circle with its drift
LEG_S: Final = (15.0, 240.0)  # own
BACK_NM: Final = 1.0  # own
HALVES_COUNT: Final = 3
LEVEL_FT: Final = 600.0  # own: within a lap


def holdings(
    even: EvenTrack, smooth_ft: FloatArray, start: int, stop: int
) -> list[tuple[int, int]]:
    """First and one past the last step of each holding between two steps."""
    found: list[tuple[int, int]] = []
    row: list[tuple[int, int, float]] = []
    for turn in [*_turns(even, start, stop), (stop, stop, 0.0)]:
        if row and _goes_on(even, smooth_ft, row, turn):
            row.append(turn)
            continue
        if len(row) >= HALVES_COUNT:
            found.append((row[0][0], row[-1][1]))
        row = [turn] if HALF_DEG[0] <= abs(turn[2]) <= HALF_DEG[1] else []
    return found


def _turns(even: EvenTrack, start: int, stop: int) -> list[tuple[int, int, float]]:
    """Begin, end and degrees (right is positive) of every turn, in order of time."""
    part = slice(start, stop)
    off_deg = np.diff(even.turning_true_deg[part], append=np.nan)
    rate_degps = np.nan_to_num(wrap_180_deg(off_deg)) / even.step_s
    segment = even.segment_index[part]
    found = [
        (start + first, start + last, float(rate_degps[first:last].sum()) * even.step_s)
        for side in (1.0, -1.0)
        for first, last in runs(side * rate_degps >= TURNING_DEGPS, segment)
    ]
    return sorted(turn for turn in found if abs(turn[2]) >= 30.0)


def _goes_on(
    even: EvenTrack,
    smooth_ft: FloatArray,
    row: list[tuple[int, int, float]],
    turn: tuple[int, int, float],
) -> bool:
    """Whether another half turn the same way follows, after a leg, where it must."""
    leg_s = (turn[0] - row[-1][1]) * even.step_s
    half = HALF_DEG[0] <= abs(turn[2]) <= HALF_DEG[1] and turn[2] * row[-1][2] > 0.0
    if not half or not LEG_S[0] <= leg_s <= LEG_S[1]:
        return False
    lap = smooth_ft[row[-1][0] : turn[1]]
    if not np.ptp(lap) <= LEVEL_FT:
        return False
    return len(row) < 2 or bool(even.apart_nm(row[-2][0], turn[0]) <= BACK_NM)

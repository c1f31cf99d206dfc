"""Climbs, cruises and descents: the straight pieces of a height trace, named by their slope.

The trace is cut by Douglas-Peucker, so that a wavering height stays one cruise; a short excursion
that comes back to its level belongs to the cruise.
"""

from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.flown.even import EvenTrack
from lubberline.flown.model import PhaseName
from lubberline.units import S_PER_MIN

LEVEL_FPM: Final = 150.0  # own: slower than this is a cruise
PIECE_FT: Final = 200.0  # own: how far the straight pieces may lie from the trace
PIECE_S: Final = 5.0
WAVER_FT: Final = 500.0  # own: a height that wavers within this band is one level
EXCURSION_FT: Final = 500.0  # own: a departure from a level that comes back ...
EXCURSION_S: Final = 360.0  # ... this soon is not a climb or a descent


def levels(
    even: EvenTrack, smooth_ft: FloatArray, start: int, stop: int
) -> list[tuple[int, int, PhaseName]]:
    """Climbs, cruises and descents from start to stop, in order, the last up to stop."""
    every = np.arange(start, stop, even.steps(PIECE_S))
    every = every[np.isfinite(smooth_ft[every])]
    if every.size < 2:
        return [(start, stop, "cruise")]
    corners = every[pieces(even.time_s[every], smooth_ft[every], PIECE_FT)]
    corners[0], corners[-1] = start, stop - 1
    found: list[tuple[int, int, PhaseName]] = []
    for first, last in _level_joined(even, smooth_ft, corners.tolist()):
        name = _slope_name(even, smooth_ft, first, last)
        if found and found[-1][2] == name:
            found[-1] = (found[-1][0], last, name)
        else:
            found.append((first, last, name))
    found[-1] = (found[-1][0], stop, found[-1][2])
    return _without_excursions(even, smooth_ft, found)


def _level_joined(
    even: EvenTrack, smooth_ft: FloatArray, corners: list[int]
) -> list[tuple[int, int]]:
    """Pieces between corners; those that together waver about one level are one piece."""
    joined: list[tuple[int, int]] = []
    k = 0
    while k < len(corners) - 1:
        first, end = corners[k], k + 1
        for other in range(k + 2, len(corners)):
            if not np.ptp(smooth_ft[first : corners[other] + 1]) <= WAVER_FT:
                break
            level = _slope_name(even, smooth_ft, first, corners[other]) == "cruise"
            end = other if level else end
        joined.append((first, corners[end]))
        k = end
    return joined


def _slope_name(even: EvenTrack, smooth_ft: FloatArray, first: int, last: int) -> PhaseName:
    minutes = float(even.time_s[last] - even.time_s[first]) / S_PER_MIN
    climb_fpm = float(smooth_ft[last] - smooth_ft[first]) / max(minutes, 1e-3)
    if not abs(climb_fpm) >= LEVEL_FPM:
        return "cruise"
    return "climb" if climb_fpm > 0.0 else "descent"


def _without_excursions(
    even: EvenTrack, smooth_ft: FloatArray, found: list[tuple[int, int, PhaseName]]
) -> list[tuple[int, int, PhaseName]]:
    """The same, with two cruises at one level joined over what briefly left it."""
    joined: list[tuple[int, int, PhaseName]] = []
    for piece in found:
        joined.append(piece)
        earlier = [k for k in range(len(joined) - 1) if joined[k][2] == "cruise"]
        if piece[2] != "cruise" or not earlier:
            continue
        before = joined[earlier[-1]]
        level_ft = float(np.nanmedian(smooth_ft[before[0] : before[1]]))
        again_ft = float(np.nanmedian(smooth_ft[piece[0] : piece[1]]))
        between_ft = smooth_ft[before[1] : piece[0] + 1]
        brief = even.time_s[piece[0]] - even.time_s[before[1]] <= EXCURSION_S
        near = bool((np.abs(between_ft - level_ft) <= EXCURSION_FT).all())
        if brief and near and abs(again_ft - level_ft) <= PIECE_FT:
            joined[earlier[-1] :] = [(before[0], piece[1], "cruise")]
    return joined


def pieces(time_s: FloatArray, height_ft: FloatArray, within_ft: float) -> list[int]:
    """Corners of the polyline through the samples that stays this near to them [DP1973]_."""
    corners = {0, time_s.size - 1}
    open_pieces = [(0, time_s.size - 1)]
    while open_pieces:
        start, stop = open_pieces.pop()
        if stop - start < 2:
            continue
        line_ft = np.interp(time_s[start:stop], time_s[[start, stop]], height_ft[[start, stop]])
        away_ft = np.abs(height_ft[start:stop] - line_ft)
        farthest = start + int(np.argmax(away_ft))
        if away_ft[farthest - start] > within_ft:
            corners.add(farthest)
            open_pieces += [(start, farthest), (farthest, stop)]
    return sorted(corners)

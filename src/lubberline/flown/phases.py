"""Phases of a recording: what was done from when to when.

On the ground an airplane is parked or taxies, by its speed. A flight is cut into straight pieces
of its height trace (Douglas-Peucker), each a climb, a cruise or a descent by its slope, so that
a wavering height stays one cruise; a short excursion that comes back to its level belongs to
the cruise. Take-off runs from the start of the roll to 50 ft, landing from 50 ft to the end of
the roll, approach from the pattern height down. Gaps of the recording are phases too.
"""

from typing import Final

import numpy as np

from lubberline.arrays import FloatArray, IntArray
from lubberline.flown.even import EvenTrack, local_line, runs, segment_bounds
from lubberline.flown.model import Movement, Phase, PhaseName
from lubberline.flown.movements import Airborne
from lubberline.places import Places
from lubberline.units import S_PER_MIN

NAMES: Final[tuple[PhaseName, ...]] = (
    *("parked", "taxi", "take-off", "climb", "cruise", "descent", "approach", "landing"),
)
PARKED_KT: Final = 2.0  # own
PARKED_S: Final = 10.0
ROLLING_KT: Final = 15.0  # own: the roll begins above taxi speed
SCREEN_FT: Final = 50.0  # take-off and landing distances are given over 50 ft: 14 CFR 23.2115
PATTERN_FT: Final = 1_000.0  # above the aerodrome unless published otherwise [AIM4-3-3]_
PATTERN_BAND_FT: Final = 100.0
APPROACH_NM: Final = 5.0  # own: no pattern is flown farther away
LEVEL_FPM: Final = 150.0  # own: slower than this is a cruise
PIECE_FT: Final = 200.0  # own: how far the straight pieces may lie from the trace
PIECE_S: Final = 5.0
WAVER_FT: Final = 500.0  # own: a height that wavers within this band is one level
EXCURSION_FT: Final = 500.0  # own: a departure from a level that comes back ...
EXCURSION_S: Final = 360.0  # ... this soon is not a climb or a descent
SMOOTH_S: Final = 8.0


def phases(even: EvenTrack, flights: tuple[Airborne, ...], places: Places) -> tuple[Phase, ...]:
    """All phases in order of time, without overlap; gaps between segments included."""
    code = _on_ground(even)
    smooth_ft, _ = local_line(even.height_ft, even.segment_index, even.steps(SMOOTH_S))
    for flight in flights:
        _name_flight(code, even, smooth_ft, flight, places)
    found: list[Phase] = []
    for start, stop in segment_bounds(even.segment_index):
        if found:
            gap = Phase(name="gap", start_s=found[-1].end_s, end_s=float(even.time_s[start]))
            found.append(gap)
        found += _named(code, even, start, stop)
    return tuple(found)


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


def _on_ground(even: EvenTrack) -> IntArray:
    """Parked or taxi everywhere; flights are written over it."""
    code = np.full(len(even), NAMES.index("taxi"), dtype=np.int64)
    for start, stop in runs(even.steady_kt < PARKED_KT, even.segment_index):
        if stop - start >= even.steps(PARKED_S):
            code[start:stop] = NAMES.index("parked")
    return code


def _name_flight(
    code: IntArray, even: EvenTrack, smooth_ft: FloatArray, flight: Airborne, places: Places
) -> None:
    """Write the phases of one flight over its steps."""
    start, stop = flight.stretch.start, flight.stretch.stop
    start = start if flight.takeoff is None else _index(even, flight.takeoff)
    stop = stop if flight.landing is None else _index(even, flight.landing)
    for first, last, name in _levels(even, smooth_ft, start, stop):
        code[first:last] = NAMES.index(name)
    if flight.landing is not None:
        at = _index(even, flight.landing)
        since = max([start, *(_index(even, touch) for touch in flight.touches)])
        pattern_ft = _pattern_ft(flight.landing, places)
        low = _approach_start(even, smooth_ft, since, at, pattern_ft)
        code[low:at] = NAMES.index("approach")
        code[_screen(smooth_ft, at, start) + 1 : _roll_end(even, at)] = NAMES.index("landing")
    if flight.takeoff is not None:
        at = _index(even, flight.takeoff)
        code[_roll_start(even, at) : _screen(smooth_ft, at, stop - 1)] = NAMES.index("take-off")
    for touch in flight.touches:
        at = _index(even, touch)
        code[_screen(smooth_ft, at, start) + 1 : at] = NAMES.index("landing")
        code[at : _screen(smooth_ft, at, stop - 1)] = NAMES.index("take-off")


def _levels(
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


def _pattern_ft(landing: Movement, places: Places) -> float:
    aerodrome = places.aerodromes.get(landing.aerodrome_id or "")
    return PATTERN_FT if aerodrome is None else aerodrome.pattern_agl_ft


def _approach_start(
    even: EvenTrack, smooth_ft: FloatArray, start: int, at: int, pattern_ft: float
) -> int:
    """First step of the last stay near the landing place and not above the pattern."""
    part = slice(start, at)
    north_nm = (even.lat_deg[part] - even.lat_deg[at]) * 60.0
    east_nm = (even.lon_deg[part] - even.lon_deg[at]) * 60.0
    away_nm = np.hypot(north_nm, east_nm * np.cos(np.radians(even.lat_deg[at])))
    above_ft = np.nan_to_num(smooth_ft[part] - smooth_ft[at])
    not_yet = np.flatnonzero((above_ft > pattern_ft + PATTERN_BAND_FT) | (away_nm > APPROACH_NM))
    if not_yet.size:
        return start + int(not_yet[-1]) + 1
    return start + int(np.argmax(above_ft)) if above_ft.size else at


def _screen(smooth_ft: FloatArray, at: int, limit: int) -> int:
    """The step nearest to a movement, in the direction of the limit, that is 50 ft up."""
    step = 1 if limit >= at else -1
    way = np.arange(at, limit + step, step)
    high = np.flatnonzero(smooth_ft[way] - smooth_ft[at] >= SCREEN_FT)
    return int(way[high[0]]) if high.size else limit


def _roll_start(even: EvenTrack, at: int) -> int:
    slow = np.flatnonzero(even.ground_kt[: at + 1] < ROLLING_KT)
    first = int(np.searchsorted(even.segment_index, even.segment_index[at], side="left"))
    return max(first, int(slow[-1]) + 1) if slow.size else first


def _roll_end(even: EvenTrack, at: int) -> int:
    slow = np.flatnonzero(even.ground_kt[at:] < ROLLING_KT)
    last = int(np.searchsorted(even.segment_index, even.segment_index[at], side="right"))
    return min(last, at + int(slow[0])) if slow.size else last


def _index(even: EvenTrack, movement: Movement) -> int:
    return int(np.argmin(np.abs(even.time_s - movement.time_s)))


def _named(code: IntArray, even: EvenTrack, start: int, stop: int) -> list[Phase]:
    cuts = [0, *(np.flatnonzero(np.diff(code[start:stop])) + 1).tolist()]
    ends = [*cuts[1:], stop - start - 1]
    return [
        Phase(
            name=NAMES[int(code[start + cut])],
            start_s=float(even.time_s[start + cut]),
            end_s=float(even.time_s[start + end]),
        )
        for cut, end in zip(cuts, ends, strict=True)
        if end > cut
    ]

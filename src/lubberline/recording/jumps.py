"""Samples that cannot belong to one movement: teleports, spikes, and positions that stand still.

A jump is a step that no aircraft could have flown, judged by the fastest sustained speed of the
same recording and, within what is physically possible, by the curvature of the path. Between
jumps lie stretches; the longest chain of stretches that can be reached from one another is kept.
All limits are our own and stand below.
"""

from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, IntArray
from lubberline.units import FPM_PER_MPS

EARTH_M: Final = 6_371_008.8  # mean radius; good to 0.5 % here [WGS84]
FASTEST_MPS: Final = 450.0  # 875 kt over the ground: an airliner in a jet stream stays under 700
SPARE_MPS: Final = 30.0
SPARE_FACTOR: Final = 1.5
SLACK_M: Final = 50.0
SLACK_FACTOR: Final = 6.0  # times what nine in ten fixes keep: noise of fixes and of their clock
CLOCK_S: Final = 5.0  # by which the clock of relayed positions may be off ...
UNSTEADY_S: Final = 0.2  # ... if nine in ten fixes only keep time this well
SUSTAINED_COUNT: Final = 11
CLIMB_MPS: Final = 30_000.0 / FPM_PER_MPS  # 30,000 fpm
CLIMB_SLACK_M: Final = 300.0  # heights that were stale for some seconds catch up
SPIKE_M: Final = 30.0
SPIKE_FACTOR: Final = 4.0  # times what nine in ten fixes keep
SPIKE_MPS2: Final = 50.0  # 5 g sideways
SPIKE_HEIGHT_M: Final = 60.0
SPIKE_HEIGHT_MPS2: Final = 30.0
SPIKE_PASSES: Final = 5
SILENCE_S: Final = 60.0
MOST_STRETCHES: Final = 4_000
STALE_STEP_S: Final = 15.0
STALE_M: Final = 10.0
STALE_MPS: Final = 10.0


def jumped_positions(time_s: FloatArray, lat_deg: FloatArray, lon_deg: FloatArray) -> BoolArray:
    """Which samples, shape (n,), lie off the path; False where the position is not known."""
    known = np.isfinite(lat_deg) & np.isfinite(lon_deg)
    place_m = earth_fixed_m(lat_deg[known], lon_deg[known])
    at_s = time_s[known]
    off = np.zeros(known.shape, dtype=bool)
    usual_m, sustained_mps = _usual_m(at_s, place_m), _sustained_mps(at_s, place_m)
    reach_mps = min(FASTEST_MPS, SPARE_FACTOR * sustained_mps + SPARE_MPS)
    unsteady = min(1.0, usual_m / max(1.0, sustained_mps) / UNSTEADY_S)
    slack_m = SLACK_M + SLACK_FACTOR * usual_m + unsteady * CLOCK_S * sustained_mps
    off[known] = _off_chain(at_s, place_m, reach_mps, slack_m)
    spike_m = max(SPIKE_M, SPIKE_FACTOR * usual_m)
    off[known] |= _spikes(at_s, place_m, ~off[known], spike_m, SPIKE_MPS2)
    return off


def jumped_heights(time_s: FloatArray, height_m: FloatArray) -> BoolArray:
    """Which heights, shape (n,), cannot be reached from the others; False where not known.

    A height that repeats may be an old one, so only its first sample says when it was true.
    """
    known = np.flatnonzero(np.isfinite(height_m))
    moved = np.diff(height_m[known], prepend=np.nan) != 0.0
    at_s, column_m = time_s[known[moved]], height_m[known[moved], None]
    first_off = _off_chain(at_s, column_m, CLIMB_MPS, CLIMB_SLACK_M)
    spike_m = max(SPIKE_HEIGHT_M, SPIKE_FACTOR * _usual_m(at_s, column_m))
    first_off |= _spikes(at_s, column_m, ~first_off, spike_m, SPIKE_HEIGHT_MPS2)
    off = np.zeros(height_m.shape, dtype=bool)
    if known.size:
        off[known] = first_off[np.cumsum(moved) - 1]
    return off


def stale_positions(time_s: FloatArray, lat_deg: FloatArray, lon_deg: FloatArray) -> BoolArray:
    """Repeats of a position that the aircraft had already left, shape (n,).

    A run of equal positions is stale if the fix after it lies so far on that the mean speed since
    the run began is that of flight. A parked aircraft does not leave its place at such a speed.
    """
    known = np.flatnonzero(np.isfinite(lat_deg) & np.isfinite(lon_deg))
    stale = np.zeros(time_s.shape, dtype=bool)
    if known.size < 3:
        return stale
    lat, lon, at_s = lat_deg[known], lon_deg[known], time_s[known]
    moved = np.concatenate([[True], (np.diff(lat) != 0.0) | (np.diff(lon) != 0.0)])
    starts = np.flatnonzero(moved)
    ends = np.append(starts[1:], 0)[:-1]
    away_m = _chord_m(lat[starts[:-1]], lon[starts[:-1]], lat[ends], lon[ends])
    lasted_s = at_s[ends] - at_s[starts[:-1]]
    steps_s = lasted_s / (ends - starts[:-1])
    least_m = max(STALE_M, 5.0 * _resolution_m(lat, lon))
    bad = (away_m > least_m) & (away_m > STALE_MPS * lasted_s) & (steps_s <= STALE_STEP_S)
    run_of = np.cumsum(moved) - 1
    in_bad_run = np.append(bad, False)[run_of]
    stale[known] = in_bad_run & ~moved
    return stale


def earth_fixed_m(lat_deg: FloatArray, lon_deg: FloatArray) -> FloatArray:
    """Places on a sphere, shape (n, 3), for distances that need no care at the date line."""
    lat_rad, lon_rad = np.radians(lat_deg), np.radians(lon_deg)
    return EARTH_M * np.column_stack(
        [np.cos(lat_rad) * np.cos(lon_rad), np.cos(lat_rad) * np.sin(lon_rad), np.sin(lat_rad)]
    )


def _sustained_mps(time_s: FloatArray, place_m: FloatArray) -> float:
    """The greatest speed that was kept for some fixes; the greatest there is if fixes are few."""
    number = np.floor(time_s - time_s[:1])  # at most one fix per second
    first = np.flatnonzero(np.diff(number, prepend=-1.0) > 0.0)
    if first.size < SUSTAINED_COUNT + 1:
        return FASTEST_MPS
    step_m = np.linalg.norm(np.diff(place_m[first], axis=0), axis=1)
    speed_mps = step_m / np.diff(time_s[first])
    windows = np.lib.stride_tricks.sliding_window_view(speed_mps, SUSTAINED_COUNT)
    return float(np.median(windows, axis=1).max())


def _off_chain(
    time_s: FloatArray, place_m: FloatArray, reach_mps: float, slack_m: float
) -> BoolArray:
    """Samples outside the longest chain of stretches that are within reach of one another."""
    if time_s.size < 2:
        return np.zeros(time_s.shape, dtype=bool)
    step_m = np.linalg.norm(np.diff(place_m, axis=0), axis=1)
    step_s = np.diff(time_s)
    cuts = np.flatnonzero(step_m > _farthest_m(step_s, reach_mps) + slack_m) + 1
    starts = np.concatenate([[0], cuts]).astype(np.int64)
    ends = np.concatenate([cuts, [time_s.size]]).astype(np.int64) - 1
    if starts.size > MOST_STRETCHES:
        return np.ones(time_s.shape, dtype=bool)
    kept = _best_chain(time_s, place_m, starts, ends, reach_mps, slack_m)
    off = np.ones(time_s.shape, dtype=bool)
    for one in kept:
        off[starts[one] : ends[one] + 1] = False
    return off


def _farthest_m(gap_s: FloatArray, reach_mps: float) -> FloatArray:
    """How far one can come in a time; over a long silence, as far as anything that flies."""
    return np.where(gap_s > SILENCE_S, FASTEST_MPS, reach_mps) * gap_s


def _best_chain(
    time_s: FloatArray,
    place_m: FloatArray,
    starts: IntArray,
    ends: IntArray,
    reach_mps: float,
    slack_m: float,
) -> list[int]:
    """The stretches of the chain with most samples, in order."""
    weight = (ends - starts + 1).astype(np.float64)
    best = weight.copy()
    before = np.full(starts.size, -1, dtype=np.int64)
    for one in range(1, starts.size):
        gap_s = time_s[starts[one]] - time_s[ends[:one]]
        gap_m = np.linalg.norm(place_m[starts[one]] - place_m[ends[:one]], axis=1)
        reachable = gap_m <= _farthest_m(gap_s, reach_mps) + slack_m
        total = np.where(reachable, best[:one], -np.inf)
        chosen = int(np.argmax(total))
        if total[chosen] > 0.0:
            best[one] += total[chosen]
            before[one] = chosen
    chain = [int(np.argmax(best))]
    while before[chain[-1]] >= 0:
        chain.append(int(before[chain[-1]]))
    return chain[::-1]


def _spikes(
    time_s: FloatArray, place_m: FloatArray, good: BoolArray, least_m: float, most_mps2: float
) -> BoolArray:
    """Single samples so far from the line between their neighbors that no turn explains it."""
    found = np.zeros(time_s.shape, dtype=bool)
    for _ in range(SPIKE_PASSES):
        left = np.flatnonzero(good & ~found)
        if left.size < 3:
            break
        ratio = _curvature_ratio(time_s[left], place_m[left], least_m, most_mps2)
        neighbors = np.maximum(np.append(ratio[1:], 0.0), np.append(0.0, ratio[:-1]))
        worst = (ratio > 1.0) & (ratio >= neighbors)
        if not worst.any():
            break
        found[left[worst]] = True
    return found


def _curvature_ratio(
    time_s: FloatArray, place_m: FloatArray, least_m: float, most_mps2: float
) -> FloatArray:
    """Distance from the line between the neighbors, as a multiple of what may be; ends 0."""
    before_s, after_s = time_s[1:-1] - time_s[:-2], time_s[2:] - time_s[1:-1]
    allowed_m = np.maximum(least_m, 0.5 * most_mps2 * before_s * after_s)
    return np.concatenate([[0.0], _off_line_m(time_s, place_m) / allowed_m, [0.0]])


def _usual_m(time_s: FloatArray, place_m: FloatArray) -> float:
    """How far from the line between their neighbors nine in ten samples stay."""
    if time_s.size < 3:
        return 0.0
    return float(np.percentile(_off_line_m(time_s, place_m), 90.0))


def _off_line_m(time_s: FloatArray, place_m: FloatArray) -> FloatArray:
    """Distance of each sample but the ends from the line between its neighbors, shape (n - 2,)."""
    before_s, after_s = time_s[1:-1] - time_s[:-2], time_s[2:] - time_s[1:-1]
    share = (before_s / (before_s + after_s))[:, None]
    line_m = place_m[:-2] * (1.0 - share) + place_m[2:] * share
    return np.asarray(np.linalg.norm(place_m[1:-1] - line_m, axis=1))


def _chord_m(
    lat1_deg: FloatArray, lon1_deg: FloatArray, lat2_deg: FloatArray, lon2_deg: FloatArray
) -> FloatArray:
    apart_m = earth_fixed_m(lat1_deg, lon1_deg) - earth_fixed_m(lat2_deg, lon2_deg)
    return np.asarray(np.linalg.norm(apart_m, axis=1))


def _resolution_m(lat_deg: FloatArray, lon_deg: FloatArray) -> float:
    """The smallest step that the file's digits allow, taken from the steps themselves."""
    steps_deg = np.abs(np.concatenate([np.diff(lat_deg), np.diff(lon_deg)]))
    steps_deg = steps_deg[steps_deg > 0.0]
    if steps_deg.size == 0:
        return 0.0
    return float(np.radians(np.percentile(steps_deg, 0.1))) * EARTH_M

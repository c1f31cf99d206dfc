"""Samples that cannot belong to one movement: teleports, spikes, and positions that stand still.

A jump is a step that no aircraft could have flown, judged by the fastest speed that the same
recording sustains and by how steady its fixes and their clock are; ``chain`` decides which side
of a jump is right. A spike is a single sample that no turn or pull-up explains. All limits are
our own and stand below.
"""

from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, IntArray
from lubberline.recording.chain import FASTEST_MPS, Jumps, Reach, follow
from lubberline.units import FPM_PER_MPS

EARTH_M: Final = 6_371_008.8  # mean radius; good to 0.5 % here [WGS84]
SPARE_MPS: Final = 30.0
SPARE_FACTOR: Final = 1.5
SLACK_M: Final = 50.0
SLACK_FACTOR: Final = 6.0  # times what nine in ten fixes keep: noise of fixes and of their clock
CLOCK_S: Final = 5.0  # by which the clock of relayed positions may be off ...
UNSTEADY_S: Final = 0.2  # ... if nine in ten fixes only keep time this well
SUSTAINED_COUNT: Final = 11
MOST_UNUSUAL_M: Final = 1_000.0  # fixes less steady than this are not a track
PRICE_COUNT: Final = 100  # fixes that a jump must be worth; a tenth of a short recording
HEIGHT_PRICE_COUNT: Final = 20  # the same for heights, of which only changes count
CLIMB_MPS: Final = 30_000.0 / FPM_PER_MPS  # 30,000 fpm
CLIMB_SLACK_M: Final = 300.0  # heights that were stale for some seconds catch up
SPIKE_M: Final = 30.0
SPIKE_FACTOR: Final = 4.0  # times what nine in ten fixes keep
SPIKE_MPS2: Final = 50.0  # 5 g sideways
SPIKE_HEIGHT_M: Final = 60.0
SPIKE_HEIGHT_MPS2: Final = 30.0
SPIKE_PASSES: Final = 5
STALE_STEP_S: Final = 15.0
MOVING_KT: Final = 30.0  # own: nothing repeats its place at this speed
STILL_S: Final = 4.0  # own: shorter repeats come from rounding
STALE_M: Final = 10.0
STALE_MPS: Final = 10.0
FEW_BENDS_FRACTION: Final = 0.05  # fewer than this are events, not digits
ARITHMETIC_DEG: Final = 1e-10  # noise of float arithmetic, a hundredth of a millimeter


def jumped_positions(time_s: FloatArray, lat_deg: FloatArray, lon_deg: FloatArray) -> Jumps:
    """Which samples, shape (n,), lie off the path; False where the position is not known."""
    known = np.flatnonzero(np.isfinite(lat_deg) & np.isfinite(lon_deg))
    place_m, at_s = earth_fixed_m(lat_deg[known], lon_deg[known]), time_s[known]
    off_line_m = _off_line_m(at_s, place_m)
    usual_m, sustained_mps = _usual_m(off_line_m), _sustained_mps(at_s, place_m)
    unsteady = min(1.0, usual_m / max(1.0, sustained_mps) / UNSTEADY_S)
    reach = Reach(
        speed_mps=min(FASTEST_MPS, SPARE_FACTOR * sustained_mps + SPARE_MPS),
        slack_m=SLACK_M + SLACK_FACTOR * usual_m + unsteady * CLOCK_S * sustained_mps,
        price_count=_price(at_s.size, PRICE_COUNT),
    )
    found = follow(at_s, place_m, reach)
    spike_m = max(SPIKE_M, SPIKE_FACTOR * usual_m)
    if found.off.any() or (off_line_m > spike_m).any():
        found = _without_spikes(at_s, place_m, found, spike_m, SPIKE_MPS2)
    return _all(time_s.shape, known, found)


def jumped_heights(time_s: FloatArray, height_m: FloatArray) -> Jumps:
    """Which heights, shape (n,), cannot be reached from the others; False where not known.

    A height that repeats may be an old one, so only its first sample says when it was true.
    """
    known = np.flatnonzero(np.isfinite(height_m))
    moved = np.diff(height_m[known], prepend=np.nan) != 0.0
    first = known[moved]
    at_s, column_m = time_s[first], height_m[None, first]
    price_count = _price(at_s.size, HEIGHT_PRICE_COUNT)
    reach = Reach(speed_mps=CLIMB_MPS, slack_m=CLIMB_SLACK_M, price_count=price_count)
    off_line_m = _off_line_m(at_s, column_m)
    spike_m = max(SPIKE_HEIGHT_M, SPIKE_FACTOR * _usual_m(off_line_m))
    found = follow(at_s, column_m, reach)
    if found.off.any() or (off_line_m > spike_m).any():
        found = _without_spikes(at_s, column_m, found, spike_m, SPIKE_HEIGHT_MPS2)
    off = np.zeros(height_m.shape, dtype=bool)
    if known.size:
        off[known] = found.off[np.cumsum(moved) - 1]
    return Jumps(off=off, after_jump=_all(time_s.shape, first, found).after_jump)


def _without_spikes(
    time_s: FloatArray, place_m: FloatArray, found: Jumps, spike_m: float, spike_mps2: float
) -> Jumps:
    spikes = _spikes(time_s, place_m, found, spike_m, spike_mps2)
    return Jumps(off=found.off | spikes, after_jump=found.after_jump)


def _price(count: int, most_count: int) -> int:
    """How many samples one impossible step must be worth."""
    return max(2, min(most_count, count // 10))


def _all(shape: tuple[int, ...], known: IntArray, found: Jumps) -> Jumps:
    """The same for all samples, of which only some were known."""
    off, after_jump = np.zeros(shape, dtype=bool), np.zeros(shape, dtype=bool)
    off[known], after_jump[known] = found.off, found.after_jump
    return Jumps(off=off, after_jump=after_jump)


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
    if moved.all():
        return stale
    starts = np.flatnonzero(moved)
    repeated = np.flatnonzero(np.diff(starts) > 1)  # runs of more than one fix
    first, after = starts[repeated], starts[repeated + 1]
    away_m = _chord_m(lat[first], lon[first], lat[after], lon[after])
    lasted_s = at_s[after] - at_s[first]
    steps_s = lasted_s / (after - first)
    least_m = max(STALE_M, 5.0 * _resolution_m(lat, lon))
    bad = np.zeros(starts.shape, dtype=bool)
    bad[repeated] = (away_m > STALE_MPS * lasted_s) & (steps_s <= STALE_STEP_S) & (away_m > least_m)
    stale[known] = bad[np.cumsum(moved) - 1] & ~moved
    return stale


def still_while_moving(
    time_s: FloatArray, lat_deg: FloatArray, lon_deg: FloatArray, ground_kt: FloatArray
) -> BoolArray:
    """Repeats of a position while the recorder itself says that it moves, shape (n,).

    A receiver that hears nothing more goes on with the last state: position, height and speed
    stand still together, often to the end of the file. Short repeats are rounding.
    """
    same = np.concatenate([[False], (np.diff(lat_deg) == 0.0) & (np.diff(lon_deg) == 0.0)])
    repeats = same & (ground_kt >= MOVING_KT)
    run_index = np.cumsum(~repeats)
    run_starts = np.flatnonzero(~repeats)
    begun_s = np.concatenate([[np.nan], time_s[run_starts]])[run_index]
    run_ends = np.append(run_starts[1:], time_s.size) - 1
    lasted_s = np.concatenate([[0.0], time_s[run_ends] - time_s[run_starts]])[run_index]
    return repeats & (lasted_s >= STILL_S) & (time_s > begun_s)


def earth_fixed_m(lat_deg: FloatArray, lon_deg: FloatArray) -> FloatArray:
    """Places on a sphere, shape (3, n), for distances that need no care at the date line."""
    lat_rad, lon_rad = np.radians(lat_deg), np.radians(lon_deg)
    out = np.cos(lat_rad)
    return EARTH_M * np.stack([out * np.cos(lon_rad), out * np.sin(lon_rad), np.sin(lat_rad)])


def _sustained_mps(time_s: FloatArray, place_m: FloatArray) -> float:
    """The greatest speed that was kept for some fixes; the greatest there is if fixes are few."""
    number = np.floor(time_s - time_s[:1])  # at most one fix per second
    first = np.flatnonzero(np.diff(number, prepend=-1.0) > 0.0)
    if first.size < SUSTAINED_COUNT + 1:
        return FASTEST_MPS
    speed_mps = np.linalg.norm(np.diff(place_m[:, first]), axis=0) / np.diff(time_s[first])
    windows = np.lib.stride_tricks.sliding_window_view(speed_mps, SUSTAINED_COUNT)
    middle = SUSTAINED_COUNT // 2
    return float(np.partition(windows, middle, axis=1)[:, middle].max())


def _spikes(
    time_s: FloatArray, place_m: FloatArray, chain: Jumps, least_m: float, most_mps2: float
) -> BoolArray:
    """Single samples so far from the line between their neighbors that no turn explains it.

    Beside a jump that the chain holds the neighbors say nothing.
    """
    found = np.zeros(time_s.shape, dtype=bool)
    for _ in range(SPIKE_PASSES):
        left = np.flatnonzero(~chain.off & ~found)
        if left.size < 3:
            break
        ratio = _curvature_ratio(time_s[left], place_m[:, left], least_m, most_mps2)
        jumped = chain.after_jump[left]
        ratio[jumped | np.append(jumped[1:], False)] = 0.0
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


def _usual_m(off_line_m: FloatArray) -> float:
    """How far from the line between their neighbors nine in ten samples stay."""
    return min(MOST_UNUSUAL_M, float(np.percentile(off_line_m, 90.0))) if off_line_m.size else 0.0


def _off_line_m(time_s: FloatArray, place_m: FloatArray) -> FloatArray:
    """Distance of each sample but the ends from the line between its neighbors, shape (n - 2,)."""
    before_s, after_s = time_s[1:-1] - time_s[:-2], time_s[2:] - time_s[1:-1]
    share = before_s / (before_s + after_s)
    line_m = place_m[:, :-2] * (1.0 - share) + place_m[:, 2:] * share
    return np.asarray(np.linalg.norm(place_m[:, 1:-1] - line_m, axis=0))


def _chord_m(
    lat1_deg: FloatArray, lon1_deg: FloatArray, lat2_deg: FloatArray, lon2_deg: FloatArray
) -> FloatArray:
    apart_m = earth_fixed_m(lat1_deg, lon1_deg) - earth_fixed_m(lat2_deg, lon2_deg)
    return np.asarray(np.linalg.norm(apart_m, axis=0))


def _resolution_m(lat_deg: FloatArray, lon_deg: FloatArray) -> float:
    """The smallest step that the file's digits allow.

    Taken from second differences, which even motion does not fill; 0 where the digits are fine.
    """
    bends_deg = np.abs(np.concatenate([np.diff(lat_deg, 2), np.diff(lon_deg, 2)]))
    steps_deg = bends_deg[bends_deg > ARITHMETIC_DEG]
    if steps_deg.size <= FEW_BENDS_FRACTION * bends_deg.size:
        return 0.0
    return float(np.radians(np.percentile(steps_deg, 0.1))) * EARTH_M

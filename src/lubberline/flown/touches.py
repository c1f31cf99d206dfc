"""Touch-and-goes: where a flight came down to a runway that it also used, and left it again.

Narrow on purpose. The height has to reach, within the noise, the level that the movements of the
same recording nearby show for that moment, stay there, and the speed has to fall on it by a share
that no low pass gives up, and rise again. With heights as rough as most satellite heights a low
pass and a touch cannot be told apart, and nothing is reported, unless the airplane rolled to a
stop.
"""

from collections.abc import Sequence
from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, median
from lubberline.flown.even import (
    NM_PER_DEG,
    EvenTrack,
    local_line,
    runs,
    speed_kt,
    step_noise,
)
from lubberline.flown.model import Movement
from lubberline.flown.runways import runway_under
from lubberline.flown.stretches import FAST_KT, Stretch
from lubberline.flown.strip import rise_ft
from lubberline.places import Places
from lubberline.units import FT_PER_NM, S_PER_MIN

LEVEL_FT: Final = 15.0  # own: slope of an unpublished runway, drift of the pressure in hours
DRIFT_FT: Final = 5.0  # own: pressure at the wheels, on the roll and just above it
DRIFT_FPMIN: Final = 0.5  # own: of the pressure where no movement follows, or none went before
NOISE_FACTOR: Final = 2.0  # of the noise that is left in a smoothed height
WANDER_FT: Final = 25.0  # own: likewise, of satellite heights over some minutes
STOP_LEVEL_FT: Final = 40.0  # own: satellite heights wander so; who rolls to a stop is down
NEAR_NM: Final = 1.5
ROUGH_FT: Final = 6.0  # own: noise beyond which nothing is said
LEAST_S: Final = 5.0
AROUND_S: Final = 60.0
AROUND_FT: Final = 100.0
SLOWED_KT: Final = 5.0
SLOWED_FRACTION: Final = 0.10  # own: of the speed at those last feet; a flare gives up less
WANDER_FRACTION: Final = 0.15  # own: of that at the last 25 ft, which satellite heights need
REGAINED_S: Final = 10.0  # own: and so much of the climb, to have the speed again
QUICK_S: Final = 2.0  # half window of the speed on the roll, where fixes are fine
FINE_FIX_FT: Final = 4.0  # own: so fine
ROLLS_S: Final = 4.0  # off a movement, on the roll
STOPPED_KT: Final = 6.0  # own: so slow over 9 s, it stood in between
SMOOTH_S: Final = 3.0


def touch_and_goes(
    even: EvenTrack,
    flown: Sequence[Stretch],
    movements: tuple[Movement, ...],
    places: Places,
) -> list[tuple[Movement, ...]]:
    """The touch-and-goes within each stretch that was flown, in order of time."""
    smooth_ft, _ = local_line(even.height_ft, even.segment_index, even.steps(SMOOTH_S))
    ground_ft, doubt_ft = _ground(even, smooth_ft, movements, places)
    above_ft = smooth_ft - ground_ft
    levels = np.abs(above_ft) <= doubt_ft, np.abs(above_ft) <= STOP_LEVEL_FT
    roll_kt = _roll_kt(even)
    return [_within(even, roll_kt, levels, stretch, places) for stretch in flown]


def _ground(
    even: EvenTrack, smooth_ft: FloatArray, movements: tuple[Movement, ...], places: Places
) -> tuple[FloatArray, FloatArray]:
    """What the heights would read on the runway at each step, and how sure that is.

    From the movements nearby before and after, in between on a straight line of time, and along
    the runway's slope. NaN where no movement is near.
    """
    order = sorted(movements, key=lambda one: one.time_s)
    before_ft, before_s, before_sure = _carried(even, smooth_ft, order, places, onward=True)
    after_ft, after_s, after_sure = _carried(even, smooth_ft, order[::-1], places, onward=False)
    share = (even.time_s - before_s) / np.maximum(after_s - before_s, even.step_s)
    both_ft = before_ft + (after_ft - before_ft) * np.clip(share, 0.0, 1.0)
    ground_ft = np.where(np.isfinite(both_ft), both_ft, np.fmax(before_ft, after_ft))
    if not even.by_pressure:
        return ground_ft, np.full(len(even), WANDER_FT)
    lone_min = np.fmin(even.time_s - before_s, after_s - even.time_s) / S_PER_MIN
    drift_ft = DRIFT_FT + np.where(np.isfinite(both_ft), 0.0, DRIFT_FPMIN * lone_min)
    drift_ft = np.where(np.fmin(before_sure, after_sure) > 0.0, drift_ft, LEVEL_FT)
    sensors = even.sensors
    noise_ft = NOISE_FACTOR * sensors.pressure_noise_ft / (2.0 * SMOOTH_S + 1.0) ** 0.5
    return ground_ft, np.fmin(drift_ft, LEVEL_FT) + noise_ft + sensors.pressure_step_ft / 2.0


def _carried(
    even: EvenTrack,
    smooth_ft: FloatArray,
    order: Sequence[Movement],
    places: Places,
    *,
    onward: bool,
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """At each step the ground, the time and a 1 for a published runway, by the last one nearby.

    Carried from a movement onward in time, or back, in this order of movements.
    """
    ground_ft, from_s, sure = (np.full(len(even), np.nan) for _ in range(3))
    for one in order:
        at = even.nearest(one.time_s + (ROLLS_S if one.kind == "landing" else -ROLLS_S))
        rise = rise_ft(even, places, at)
        near = even.away_nm(one.lat_deg, one.lon_deg) <= NEAR_NM
        near &= (even.time_s >= one.time_s) == onward
        ground_ft[near] = (smooth_ft[at] - rise[at] + rise)[near]
        from_s[near], sure[near] = one.time_s, float(one.runway is not None)
    return ground_ft, from_s, sure


def _roll_kt(even: EvenTrack) -> FloatArray:
    """Ground speed as quick as the fixes allow: a roll between touch and lift-off is short."""
    fix_ft = step_noise(even.lat_deg) * NM_PER_DEG * FT_PER_NM
    return speed_kt(even, QUICK_S) if fix_ft <= FINE_FIX_FT else even.ground_kt


def _within(
    even: EvenTrack,
    roll_kt: FloatArray,
    levels: tuple[BoolArray, BoolArray],
    stretch: Stretch,
    places: Places,
) -> tuple[Movement, ...]:
    """The touch-and-goes of one stretch, away from its own ends."""
    low, near = levels
    inner = slice(stretch.start + 1, stretch.stop - 1)
    if not near[inner].any():
        return ()
    runs_low = _inner_runs(even, low, inner) if _fine(even, inner) else []
    stops = [run for run in _inner_runs(even, near, inner) if _rolled_to_a_stop(even, run)]
    apart = [run for run in runs_low if not any(a < run[1] and run[0] < b for a, b in stops)]
    return tuple(
        _touch(even, run, places)
        for run in sorted([*apart, *stops])
        if _is_touch(even, roll_kt, run)
    )


def _inner_runs(even: EvenTrack, mask: BoolArray, inner: slice) -> list[tuple[int, int]]:
    """Runs within a part that do not reach its ends."""
    return [
        (first + inner.start, last + inner.start)
        for first, last in runs(mask[inner], even.segment_index[inner])
        if first > 0 and last < inner.stop - inner.start
    ]


def _rolled_to_a_stop(even: EvenTrack, run: tuple[int, int]) -> bool:
    """Whether it came at flying speed and stood: so is no low pass, however rough the heights."""
    ground_kt = even.ground_kt[slice(*run)]
    return bool(ground_kt[0] >= FAST_KT and np.nanmin(ground_kt) < STOPPED_KT)


def _fine(even: EvenTrack, part: slice) -> bool:
    smooth_ft, _ = local_line(even.height_ft[part], even.segment_index[part], even.steps(SMOOTH_S))
    rough_ft = np.abs(even.height_ft[part] - smooth_ft)
    known = np.isfinite(rough_ft)
    return bool(known.any()) and 1.48 * median(rough_ft[known]) <= ROUGH_FT


def _is_touch(even: EvenTrack, roll_kt: FloatArray, run: tuple[int, int]) -> bool:
    start, stop = run
    if stop - start < even.steps(LEAST_S):
        return False
    around = even.steps(AROUND_S)
    level_ft = float(np.nanmedian(even.height_ft[start:stop]))
    before_ft = _highest(even.height_ft[max(0, start - around) : start])
    after_ft = _highest(even.height_ft[stop : stop + around])
    slowest = start + int(np.nanargmin(roll_kt[start:stop]))
    came_kt, slowest_kt = float(np.nanmax(roll_kt[start : slowest + 1])), roll_kt[slowest]
    by_pressure = even.by_pressure
    share = SLOWED_FRACTION if by_pressure else WANDER_FRACTION
    slowed = came_kt - slowest_kt >= max(SLOWED_KT, share * came_kt)
    until = stop + even.steps(REGAINED_S)
    regained = np.nanmax(roll_kt[slowest:until]) - slowest_kt >= SLOWED_KT
    left = min(before_ft, after_ft) - level_ft >= AROUND_FT
    return bool(slowed and regained and left)


def _highest(height_ft: FloatArray) -> float:
    known = height_ft[np.isfinite(height_ft)]
    return float(known.max()) if known.size else -np.inf


def _touch(even: EvenTrack, run: tuple[int, int], places: Places) -> Movement:
    """The middle of the stay on the runway, with the whole of it as doubt; whether it stopped."""
    middle = (run[0] + run[1]) // 2
    lat_deg, lon_deg = float(even.lat_deg[middle]), float(even.lon_deg[middle])
    aerodrome, end = runway_under(
        places, lat_deg, lon_deg, along_true_deg=float(even.track_true_deg[middle])
    )
    return Movement(
        kind="touch-and-go",
        time_s=float(even.time_s[middle]),
        sigma_s=(run[1] - run[0]) * even.step_s / float(np.sqrt(12.0)),
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        aerodrome_id=None if aerodrome is None else aerodrome.id,
        runway=None if end is None else end.name,
        stop_and_go=bool(np.nanmin(even.ground_kt[run[0] : run[1]]) < STOPPED_KT),
    )

"""Touch-and-goes: where a flight came down to a runway that it also used, and left it again.

Narrow on purpose. The height has to reach, within the noise, the level of a take-off or landing
of the same recording nearby, stay there, and the speed has to fall on it and rise again: a low
pass keeps or gains speed. With heights as rough as most satellite heights a low pass and a touch
cannot be told apart, and nothing is reported, unless the airplane rolled to a stop.
"""

from collections.abc import Sequence
from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray
from lubberline.flown.even import EvenTrack, local_line, runs
from lubberline.flown.model import Movement
from lubberline.flown.runways import runway_under
from lubberline.flown.stretches import FAST_KT, Stretch
from lubberline.places import Places

LEVEL_FT: Final = 15.0  # own: slope of a runway, drift of the pressure
WANDER_FT: Final = 25.0  # own: likewise, of satellite heights over some minutes
STOP_LEVEL_FT: Final = 40.0  # own: satellite heights wander so; who rolls to a stop is down
NEAR_NM: Final = 1.5
ROUGH_FT: Final = 6.0  # own: noise beyond which nothing is said
LEAST_S: Final = 5.0
AROUND_S: Final = 60.0
AROUND_FT: Final = 100.0
SLOWED_KT: Final = 5.0
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
    low, near = np.zeros(len(even), dtype=bool), np.zeros(len(even), dtype=bool)
    level_ft = LEVEL_FT if even.height_ft is even.pressure_ft else WANDER_FT
    for movement in movements:
        low |= _at_level(even, smooth_ft, movement, level_ft)
        near |= _at_level(even, smooth_ft, movement, STOP_LEVEL_FT)
    return [_within(even, smooth_ft, (low, near), stretch, places) for stretch in flown]


def _within(
    even: EvenTrack,
    smooth_ft: FloatArray,
    levels: tuple[BoolArray, BoolArray],
    stretch: Stretch,
    places: Places,
) -> tuple[Movement, ...]:
    """The touch-and-goes of one stretch, away from its own ends."""
    low, near = levels
    inner = slice(stretch.start + 1, stretch.stop - 1)
    if not near[inner].any():
        return ()
    runs_low = _inner_runs(even, low, inner) if _fine(even, smooth_ft, inner) else []
    stops = [run for run in _inner_runs(even, near, inner) if _rolled_to_a_stop(even, run)]
    apart = [run for run in runs_low if not any(a < run[1] and run[0] < b for a, b in stops)]
    return tuple(
        _touch(even, run, places)
        for run in sorted([*apart, *stops])
        if _is_touch(even, smooth_ft, run)
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


def _fine(even: EvenTrack, smooth_ft: FloatArray, part: slice) -> bool:
    rough_ft = np.abs(even.height_ft[part] - smooth_ft[part])
    known = np.isfinite(rough_ft)
    return bool(known.any()) and 1.48 * float(np.median(rough_ft[known])) <= ROUGH_FT


def _at_level(
    even: EvenTrack, smooth_ft: FloatArray, movement: Movement, level_ft: float
) -> BoolArray:
    """True near a movement and as high as the ground there."""
    ground_ft = smooth_ft[even.nearest(movement.time_s)]
    near = even.away_nm(movement.lat_deg, movement.lon_deg) <= NEAR_NM
    return np.asarray(near & (np.abs(smooth_ft - ground_ft) <= level_ft))


def _is_touch(even: EvenTrack, smooth_ft: FloatArray, run: tuple[int, int]) -> bool:
    start, stop = run
    if stop - start < even.steps(LEAST_S):
        return False
    around = even.steps(AROUND_S)
    level_ft = float(np.nanmedian(smooth_ft[start:stop]))
    before_ft = _highest(smooth_ft[max(0, start - around) : start])
    after_ft = _highest(smooth_ft[stop : stop + around])
    slowest = start + int(np.nanargmin(even.ground_kt[start:stop]))
    slowest_kt = even.ground_kt[slowest]
    slowed = np.nanmax(even.ground_kt[start : slowest + 1]) - slowest_kt >= SLOWED_KT
    regained = np.nanmax(even.ground_kt[slowest:stop]) - slowest_kt >= SLOWED_KT
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

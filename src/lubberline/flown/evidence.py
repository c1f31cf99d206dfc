"""What only an airplane does: the proof without which nothing is called a flight.

A walk, a car on a pass, a train and a parked recorder all move, climb and stop. A stretch of
movement counts as flown only if it holds something that roads and rails do not: a steep path at
speed, a fast and steep one, three full circles in a row, a ground roll followed at once by a
straight climb and ended by a straight descent into a straight roll-out, or an end on the axis
of a known runway. All thresholds are our own; each says what it keeps out. A flight that shows
none of these is missed, and that is the intended side to err on.
"""

from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, IntArray, wrap_180_deg
from lubberline.flown.even import QUICK_S, EvenTrack, gradient_fraction, local_line, runs
from lubberline.units import FT_PER_NM, S_PER_H, S_PER_MIN

STEEP_FRACTION: Final = 0.10  # roads for traffic at 60 kt stay under 8 %
STEEP_KT: Final = 60.0
STEEPER_FRACTION: Final = 0.14  # climbing a 14 % road at 35 kt takes a race
STEEPER_KT: Final = 35.0
STEEP_S: Final = 20.0
LAUNCH_FPM: Final = 1_500.0  # up, and not in a lift: a winch launch into the wind
LAUNCH_KT: Final = 15.0
LAUNCH_S: Final = 20.0  # longer than a jump of the heights is smeared by the fit
LONG_FRACTION: Final = 0.085  # no road holds this over 1,000 ft of height at 55 kt
LONG_FT: Final = 1_000.0
LONG_KT: Final = 55.0
LONG_S: Final = 180.0
FAST_KT: Final = 100.0  # faster than nearly all cars ...
FAST_FRACTION: Final = 0.05  # ... and steeper than railways for fast trains
FAST_S: Final = 30.0
TOO_FAST_S: Final = 60.0
TRAVEL_KT: Final = 75.0
TRAVEL_S: Final = 180.0
TRAVEL_FT: Final = 1_000.0
CIRCLES_DEG: Final = 1_080.0  # three circles without a turn back: no road is made so
CIRCLES_DEGPS: Final = 1.5
CIRCLES_KT: Final = 35.0

LEAVE_FT: Final = 100.0  # a take-off gains, and a landing loses, this much
LEAVE_S: Final = 120.0
LEAVE_FRACTION: Final = 0.03  # and somewhere on that way is this steep ...
LEAVE_HELD_S: Final = 15.0  # ... for this long
STRAIGHT_DEG: Final = 12.0
STRAIGHT_FT: Final = 100.0
CLIMB_FRACTION: Final = 0.05  # a straight climb-out
DESCENT_FRACTION: Final = 0.03  # a straight final
ROLL_KT: Final = 20.0
FLYING_KT: Final = 30.0  # on a road, height begins to change before this
BEND_S: Final = 25.0  # a road takes longer from level to steep
BEND_UP_FT: Final = 100.0
BEND_DOWN_FT: Final = 60.0


def flown_for_certain(even: EvenTrack, start: int, stop: int) -> bool:
    """Whether the steps from start to stop hold what only an airplane does, away from its ends."""
    part = slice(start, stop)
    ground_kt = even.ground_kt[part]
    gradient = gradient_fraction(even.climb_fpm[part], ground_kt)
    steep = (np.abs(gradient) >= STEEP_FRACTION) & (ground_kt >= STEEP_KT)
    steep |= (gradient >= STEEPER_FRACTION) & (ground_kt >= STEEPER_KT)
    launched = (_quick_climb_fpm(even, part) >= LAUNCH_FPM) & (ground_kt >= LAUNCH_KT)
    fast = (np.abs(gradient) >= FAST_FRACTION) & (ground_kt >= FAST_KT)
    return (
        held(steep, even.steps(STEEP_S))
        or held(launched, even.steps(LAUNCH_S))
        or held(fast, even.steps(FAST_S))
        or _long_climb(even, part)
        or _circled(even, part)
    )


def too_fast_for_a_road(even: EvenTrack, start: int, stop: int) -> bool:
    """Whether the speed alone says that this is no car; a fast train would say so too."""
    return held(even.ground_kt[start:stop] >= FAST_KT, even.steps(TOO_FAST_S))


def travels(even: EvenTrack, start: int, stop: int) -> bool:
    """Whether it kept the speed of a cruise for minutes, over heights that no fast road spans.

    Not proof alone: a straight climb-out or a straight final has to come with it.
    """
    height_ft = even.height_ft[start:stop]
    known_ft = height_ft[np.isfinite(height_ft)]
    tall = known_ft.size > 0 and float(np.ptp(known_ft)) >= TRAVEL_FT
    return tall and held(even.ground_kt[start:stop] >= TRAVEL_KT, even.steps(TRAVEL_S))


def departs(even: EvenTrack, start: int, stop: int) -> bool:
    """Whether the steps after start leave the ground: a gain of height on a climbing path."""
    end = min(stop, start + even.steps(LEAVE_S))
    height_ft = even.height_ft[start:end]
    if not np.isfinite(height_ft).any():
        return False
    gradient = gradient_fraction(even.climb_fpm[start:end], even.ground_kt[start:end])
    gained = float(np.nanmax(height_ft)) - _first_known(height_ft) >= LEAVE_FT
    return gained and held(gradient >= LEAVE_FRACTION, even.steps(LEAVE_HELD_S))


def arrives(even: EvenTrack, start: int, stop: int) -> bool:
    """Whether the steps before stop come down to the ground: ``departs``, backward in time."""
    begin = max(start, stop - even.steps(LEAVE_S))
    height_ft = even.height_ft[begin:stop]
    if not np.isfinite(height_ft).any():
        return False
    gradient = gradient_fraction(even.climb_fpm[begin:stop], even.ground_kt[begin:stop])
    lost = float(np.nanmax(height_ft)) - _first_known(height_ft[::-1]) >= LEAVE_FT
    return lost and held(gradient <= -LEAVE_FRACTION, even.steps(LEAVE_HELD_S))


def climbs_straight_out(even: EvenTrack, start: int, stop: int) -> bool:
    """Whether one line leads from the ground roll through the first 100 ft of a steady climb."""
    end = min(stop, start + even.steps(LEAVE_S))
    return _straight(even, np.arange(start, end), CLIMB_FRACTION)


def descends_straight_in(even: EvenTrack, start: int, stop: int) -> bool:
    """Whether one line leads through the last 100 ft of a steady descent into the roll-out."""
    begin = max(start, stop - even.steps(LEAVE_S))
    return _straight(even, np.arange(stop - 1, begin - 1, -1), DESCENT_FRACTION)


def climbs_at_once(even: EvenTrack, takeoff_s: float) -> bool:
    """Whether the climb is steep from the bend at lift-off, which roads are not."""
    gained_ft = _height_ft(even, takeoff_s + BEND_S) - _height_ft(even, takeoff_s)
    return gained_ft >= BEND_UP_FT


def descends_to_the_last(even: EvenTrack, landing_s: float) -> bool:
    """Whether the descent is steep until the bend at touchdown."""
    lost_ft = _height_ft(even, landing_s - BEND_S) - _height_ft(even, landing_s)
    return lost_ft >= BEND_DOWN_FT


def _height_ft(even: EvenTrack, at_s: float) -> float:
    around_s = at_s + np.arange(-3.0, 4.0)
    return float(np.interp(around_s, even.time_s, even.height_ft).mean())


def _straight(even: EvenTrack, order: IntArray, steep_fraction: float) -> bool:
    """The same question for both ends: ``order`` runs away from the ground."""
    order = order[even.ground_kt[order] >= ROLL_KT]
    height_ft = even.height_ft[order]
    if order.size == 0 or not np.isfinite(height_ft).any():
        return False
    above_ft = height_ft - _first_known(height_ft)
    low = order[: int(np.argmax(above_ft >= STRAIGHT_FT))]
    if low.size < even.steps(5.0):
        return False
    away = np.abs(wrap_180_deg(even.track_true_deg[low] - even.track_true_deg[low[-1]]))
    gradient = np.abs(gradient_fraction(even.climb_fpm[order], even.ground_kt[order]))
    steady = held(gradient >= steep_fraction, even.steps(STEEP_S))
    return bool((away <= STRAIGHT_DEG).all()) and steady


def held(mask: BoolArray, count: int) -> bool:
    """Whether the mask is true for this many steps in a row."""
    if mask.size < count:
        return False
    total = np.concatenate([[0], np.cumsum(mask)])
    return bool((total[count:] - total[:-count] == count).any())


def _quick_climb_fpm(even: EvenTrack, part: slice) -> FloatArray:
    slope = local_line(even.height_ft[part], even.segment_index[part], even.steps(QUICK_S))[1]
    return slope / even.step_s * S_PER_MIN


def _long_climb(even: EvenTrack, part: slice) -> bool:
    """Whether some 3 min gained so much height as only a climb out of the ground's reach does."""
    height_ft, ground_kt = even.height_ft[part], even.ground_kt[part]
    count = even.steps(LONG_S)
    if height_ft.size <= count:
        return False
    gained_ft = height_ft[count:] - height_ft[:-count]
    hours = even.step_s / S_PER_H
    along_nm = np.concatenate([[0.0], np.cumsum(np.nan_to_num(ground_kt)) * hours])
    covered_nm = (along_nm[count:] - along_nm[:-count])[: gained_ft.size]
    steep = gained_ft >= LONG_FRACTION * covered_nm * FT_PER_NM
    quick = covered_nm >= LONG_KT * count * hours
    return bool((steep & quick & (gained_ft >= LONG_FT)).any())


def _circled(even: EvenTrack, part: slice) -> bool:
    """Whether three full circles were flown the same way round without slowing to a crawl."""
    turn_deg = np.nan_to_num(wrap_180_deg(np.diff(even.turning_true_deg[part])))
    turned_deg = np.concatenate([[0.0], np.cumsum(turn_deg)])
    covered = np.concatenate([[0.0], np.cumsum(np.nan_to_num(even.ground_kt[part]))])
    least_deg = CIRCLES_DEGPS * even.step_s
    zero = np.zeros(turn_deg.size, dtype=np.int64)
    for turning in (turn_deg >= least_deg, turn_deg <= -least_deg):
        for first, last in runs(turning, zero):
            mean_kt = (covered[last] - covered[first]) / (last - first)
            if abs(turned_deg[last] - turned_deg[first]) >= CIRCLES_DEG and mean_kt >= CIRCLES_KT:
                return True
    return False


def _first_known(values: FloatArray) -> float:
    return float(values[np.isfinite(values)][0])

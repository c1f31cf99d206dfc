"""Phases on the ground: parked, taxi, run-up, line-up, taxi-in.

An airplane is parked under 2 kt, else it taxies. Lined up it is on the runway, slow, and does not
taxi back, from where it came onto the runway, or from 300 ft before the roll. A run-up shows in
the engine's speed alone: where none is recorded a stop stays a stop. What follows a landing up to
the stand is taxi-in.
"""

from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, IntArray, median, wrap_180_deg
from lubberline.flown.even import STEADY_S, EvenTrack, runs
from lubberline.flown.model import PHASE_NAMES
from lubberline.flown.strip import Strip
from lubberline.units import FT_PER_NM

PARKED, TAXI, RUN_UP, LINE_UP, TAXI_IN = (
    PHASE_NAMES.index(name) for name in ("parked", "taxi", "run-up", "line-up", "taxi-in")
)
PARKED_KT: Final = 2.0  # own
PARKED_S: Final = 10.0
LEFT_FT: Final = 6.0  # own: so far from its place the airplane has moved
STAND_S: Final = 60.0  # own: a shorter stop after a landing is no stand
ON_RUNWAY_FT: Final = 75.0  # own: half of a usual width, and a fix's doubt
EDGE_FT: Final = 15.0  # own: the same doubt where the width is known
AHEAD_FT: Final = 300.0  # own: farther along the runway it taxies
MOVING_KT: Final = 3.0
BACK_DEG: Final = 100.0  # own: who moves more against the runway than along it taxies back
WAIT_S: Final = 300.0  # own: a longer stand on the line is no waiting for a take-off
RUN_UP_FRACTION: Final = 0.55  # own: of the highest recorded, as 1,500 of 2,700
FULL_FRACTION: Final = 0.90  # own: from here on it is a take-off, or a rotor at its speed
RAISED_FACTOR: Final = 1.3  # own: over the engine's usual speed on the ground
RUN_UP_S: Final = 8.0
DIP_S: Final = 30.0  # own: magnetos, propeller and idle are checked in between


def parked_or_taxi(even: EvenTrack) -> IntArray:
    """Parked or taxi everywhere; the other phases are written over it."""
    code = np.full(len(even), TAXI, dtype=np.int64)
    for run in runs(even.steady_kt < PARKED_KT, even.segment_index):
        start, stop = _stood(even, *run)
        if stop - start >= even.steps(PARKED_S):
            code[start:stop] = PARKED
    return code


def _stood(even: EvenTrack, start: int, stop: int) -> tuple[int, int]:
    """A stop from when the airplane had come to its place to when it left it.

    The speed of 21 s is slow to tell; places are quicker, within the scatter of the stop's own.
    """
    first, last = (
        int(np.searchsorted(even.segment_index, even.segment_index[start], side=side))
        for side in ("left", "right")
    )
    begin = max(first, start - even.steps(STEADY_S))
    end = min(last, stop + even.steps(STEADY_S))
    lat_deg, lon_deg = (median(one[start:stop]) for one in (even.lat_deg, even.lon_deg))
    away_ft = FT_PER_NM * even.away_nm(lat_deg, lon_deg, slice(begin, end))
    own_ft = away_ft[start - begin : stop - begin]
    there = away_ft <= max(LEFT_FT, 3.0 * median(own_ft))
    before = np.flatnonzero(~there[: start - begin])
    after = np.flatnonzero(~there[stop - begin :])
    return (
        begin + int(before[-1]) + 1 if before.size else begin,
        stop + int(after[0]) if after.size else end,
    )


def line_up(code: IntArray, even: EvenTrack, roll: int, strip: Strip) -> None:
    """Name the steps before a roll, back to where the airplane came onto its runway.

    A recording that never shows it anywhere else, and a stand of minutes, are left as they are.
    """
    first = int(np.searchsorted(even.segment_index, even.segment_index[roll], side="left"))
    off = np.flatnonzero(~_lined_up(even, slice(first, roll), strip))
    if not off.size:
        return
    begin = first + int(off[-1]) + 1
    taxied = np.flatnonzero((code[begin:roll] != PARKED) & (code[begin:roll] != TAXI))
    begin += int(taxied[-1]) + 1 if taxied.size else 0
    if even.time_s[roll] - even.time_s[begin] <= WAIT_S:
        code[begin:roll] = LINE_UP


def _lined_up(even: EvenTrack, part: slice, strip: Strip) -> BoolArray:
    """On the runway, near where the roll begins, and not going back."""
    along_ft, right_ft = strip.along_right_ft(even.lat_deg[part], even.lon_deg[part])
    return _on_width(even, part, strip, right_ft) & (along_ft >= along_ft[-1:] - AHEAD_FT)


def on_runway(even: EvenTrack, part: slice, strip: Strip) -> BoolArray:
    """True on the runway's width (or near its line) where it does not taxi back."""
    _, right_ft = strip.along_right_ft(even.lat_deg[part], even.lon_deg[part])
    return _on_width(even, part, strip, right_ft)


def _on_width(even: EvenTrack, part: slice, strip: Strip, right_ft: FloatArray) -> BoolArray:
    half_ft = strip.width_ft / 2.0 + EDGE_FT if np.isfinite(strip.width_ft) else ON_RUNWAY_FT
    off_deg = np.abs(wrap_180_deg(even.turning_true_deg[part] - strip.true_deg))
    back = (even.ground_kt[part] > MOVING_KT) & (off_deg > BACK_DEG)
    return np.asarray((np.abs(right_ft) <= half_ft) & ~back)


def run_up(code: IntArray, even: EvenTrack, engine_rpm: FloatArray | None) -> None:
    """Name the part of a stop on the ground in which the engine ran well above idle."""
    if engine_rpm is None or not np.isfinite(engine_rpm).any():
        return
    fraction = np.nan_to_num(engine_rpm / float(np.nanmax(engine_rpm)))
    grounded = (code == PARKED) | (code == TAXI) | (code == LINE_UP)
    running = grounded & (fraction > 0.1)
    if not running.any():
        return
    usual = median(fraction[running])
    least = max(RUN_UP_FRACTION, RAISED_FACTOR * usual)
    high = (fraction >= least) & (fraction < FULL_FRACTION)
    for start, stop in runs(grounded & (even.steady_kt < PARKED_KT), even.segment_index):
        raised = np.flatnonzero(high[start:stop]) + start
        groups = np.split(raised, np.flatnonzero(np.diff(raised) > even.steps(DIP_S)) + 1)
        for group in groups:
            if group.size >= even.steps(RUN_UP_S):
                code[group[0] : group[-1] + 1] = RUN_UP


def taxi_in(code: IntArray, even: EvenTrack, down: int, until: int) -> None:
    """Name the taxi from a landing to the stand: to the longest stop before the next roll.

    A short stop is no stand; without any the airplane taxies back for another take-off.
    """
    part = code[down:until]
    stops = runs(part == PARKED, even.segment_index[down:until])
    longest = max(stops, key=lambda one: one[1] - one[0], default=None)
    if longest is not None and longest[1] - longest[0] >= even.steps(STAND_S):
        end = longest[0]
    elif until == len(even):
        end = longest[0] if longest is not None and longest[1] == part.size else part.size
    else:
        return
    part[:end][part[:end] == TAXI] = TAXI_IN

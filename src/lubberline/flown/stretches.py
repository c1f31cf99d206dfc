"""On the ground or not: the stretches of a recording between which take-offs and landings lie.

A stretch is on the ground if the recorder stands still there on level ground, or rolls slowly
on it near a place where it stood still. Slow is not enough: a glider in the wind is slow, and in
wave it may stand; but then it comes from below or leaves downward. What is left between two such
stretches is a candidate for a flight; whether it is one, ``evidence`` decides.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, median
from lubberline.flown.even import EvenTrack, runs

SLOW_KT: Final = 25.0  # own: under this a stretch becomes slow ...
FAST_KT: Final = 35.0  # own: ... and over this it is no longer
ROLL_KT: Final = 12.0  # own: a taxiing airplane is at times slower than this
REST_KT: Final = 3.0  # own: standing, with the noise of the fixes
LEVEL_FPM: Final = 100.0  # own: a taxiway is level within this at taxi speed
REST_S: Final = 20.0  # a rest that vouches for its place, or a roll beside one
EDGE_S: Final = 10.0  # a rest or roll with which the recording begins or ends
NEAR_NM: Final = 3.0
NEAR_FT: Final = 150.0  # pressure drifts over a day's flying
BELOW_FT: Final = 100.0  # own: who was or gets this far below within a minute was not standing
BELOW_S: Final = 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """Steps ``start`` to ``stop`` (one past the last), and whether they are on the ground.

    ``from_ground`` and ``to_ground`` say that a ground stretch adjoins without a gap.
    """

    start: int
    stop: int
    on_ground: bool
    from_ground: bool = False
    to_ground: bool = False


def stretches(even: EvenTrack) -> list[Stretch]:
    """The whole recording in stretches, in order of time, gaps between them."""
    on_ground = _ground(even)
    whole = [(start, stop, True) for start, stop in runs(on_ground, even.segment_index)]
    whole += [(start, stop, False) for start, stop in runs(~on_ground, even.segment_index)]
    return [
        Stretch(
            start=start,
            stop=stop,
            on_ground=ground,
            from_ground=not ground and _ground_beside(even, on_ground, start, start - 1),
            to_ground=not ground and _ground_beside(even, on_ground, stop - 1, stop),
        )
        for start, stop, ground in sorted(whole)
    ]


def fast_mask(even: EvenTrack) -> BoolArray:
    """True where the ground speed has last passed 35 kt, until it falls under 25 kt."""
    fast = np.zeros(len(even), dtype=bool)
    for start, stop in runs(np.ones(len(even), dtype=bool), even.segment_index):
        ground_kt = even.ground_kt[start:stop]
        known = np.where(ground_kt >= FAST_KT, 1, np.where(ground_kt < SLOW_KT, 0, -1))
        known[0] = 1 if known[0] == -1 and ground_kt[0] >= (SLOW_KT + FAST_KT) / 2 else known[0]
        last = np.maximum.accumulate(np.where(known >= 0, np.arange(known.size), 0))
        fast[start:stop] = known[last] == 1
    return fast


def _ground(even: EvenTrack) -> BoolArray:
    """True on the steps that are surely on the ground."""
    level = ~(np.abs(even.climb_fpm) > LEVEL_FPM)  # transponders send no height on the ground
    still = level & (even.steady_kt < REST_KT)
    rests = [rest for rest in runs(still, even.segment_index) if _vouches(even, rest)]
    vouched = np.zeros(len(even), dtype=bool)
    for start, stop in rests:
        vouched[start:stop] = True
    anchors = [(start + stop) // 2 for start, stop in rests]
    on_ground = np.zeros(len(even), dtype=bool)
    for slow in runs(~fast_mask(even), even.segment_index):
        start, stop = _ground_part(even, slow, level, still, (vouched, anchors))
        on_ground[start:stop] = True
    return on_ground


def _vouches(even: EvenTrack, rest: tuple[int, int]) -> bool:
    """A rest that is long, or with which the recording begins or ends."""
    at_edge = rest[0] == 0 or rest[1] == len(even)
    return rest[1] - rest[0] >= even.steps(EDGE_S if at_edge else REST_S)


def _ground_part(
    even: EvenTrack,
    slow: tuple[int, int],
    level: BoolArray,
    still: BoolArray,
    sure: tuple[BoolArray, list[int]],
) -> tuple[int, int]:
    """The part of a slow stretch that is on the ground: from its first to its last rest or roll.

    A slow airplane may be in the air at the ends of the stretch, climbing out or coming in
    against the wind; it is cut off there, where it is no longer level with the ground.
    """
    start, stop = slow
    vouched, anchors = sure
    rolling = still[start:stop] | (level[start:stop] & (even.ground_kt[start:stop] < ROLL_KT))
    ground_ft = _ground_ft(even, slow, rolling, anchors)
    if ground_ft is None:
        return start, start
    if _was_below(even, slow, ground_ft):
        return start, start
    core = rolling & ~(np.abs(even.height_ft[start:stop] - ground_ft) > NEAR_FT)
    core |= vouched[start:stop]
    if not core.any():
        return start, start
    first, last = (int(k) for k in np.flatnonzero(core)[[0, -1]])
    before = np.flatnonzero(~level[start : start + first])
    after = np.flatnonzero(~level[start + last : stop])
    begin = start + (int(before[-1]) + 1 if before.size else 0)
    return begin, start + last + int(after[0]) if after.size else stop


def _ground_ft(
    even: EvenTrack, slow: tuple[int, int], rolling: BoolArray, anchors: list[int]
) -> float | None:
    """Height of the ground under a slow stretch, None if nothing shows that it is ground.

    A rest that vouches for itself shows it; so does a shorter rest or roll beside one and as
    high, and a roll with which the recording begins or ends.
    """
    start, stop = slow
    inside = [anchor for anchor in anchors if start <= anchor < stop]
    if inside:
        return float(even.height_ft[inside].mean())
    longest_s = _longest(rolling) * even.step_s
    if not rolling.any():
        return None
    own_ft = median(even.height_ft[start:stop][rolling])
    if start == 0 or stop == len(even):
        return own_ft if longest_s >= EDGE_S else None
    if longest_s < REST_S:
        return None
    middle = start + int(np.flatnonzero(rolling)[rolling.sum() // 2])
    near = (anchor for anchor in anchors if even.apart_nm(middle, anchor) <= NEAR_NM)
    high = any(abs(float(even.height_ft[anchor]) - own_ft) <= NEAR_FT for anchor in near)
    return own_ft if high else None


def _was_below(even: EvenTrack, slow: tuple[int, int], ground_ft: float) -> bool:
    """Whether the minute before or after a slow stretch lies below its ground: so does no field."""
    start, stop = slow
    around = even.steps(BELOW_S)
    beside = np.r_[max(0, start - around) : start, stop : min(len(even), stop + around)]
    segment = even.segment_index[start]
    beside = beside[even.segment_index[beside] == segment]
    return bool((even.height_ft[beside] < ground_ft - BELOW_FT).any())


def _ground_beside(even: EvenTrack, on_ground: BoolArray, own: int, other: int) -> bool:
    if not 0 <= other < len(even):
        return False
    joined = even.segment_index[own] == even.segment_index[other]
    return bool(joined and on_ground[other])


def _longest(mask: BoolArray) -> int:
    """Length of the longest stretch of True."""
    padded = np.concatenate([[False], mask, [False]]).astype(np.int8)
    edges = np.flatnonzero(np.diff(padded))
    return int(np.max(edges[1::2] - edges[::2], initial=0))

"""Maneuvers of training recognized in a flight: each must look like itself and like nothing else.

Turns are stretches in which the heading runs one way. What a turn is follows from how far it
went, how steeply, and what became of height and airspeed; all thresholds are our own. A turn
that is steep or goes round and fits none is named "unknown". Slow flight and stalls need a recorded
indicated airspeed and the stall speed of the airplane; without them none is claimed. Turns of
take-off, pattern and landing are no maneuvers.
"""

from collections.abc import Iterator
from typing import Final

import numpy as np

from lubberline.arrays import BoolArray
from lubberline.flown.airwork import Airwork, turned_deg
from lubberline.flown.even import runs
from lubberline.flown.model import ON_GROUND, PATTERN_LEGS, Maneuver, ManeuverName, Phase
from lubberline.flown.pylons import pylon_eights
from lubberline.flown.round_a_point import holds_a_radius
from lubberline.flown.steep_descent import SPIRAL_DEG, emergency_descents

TURNING_DEGPS: Final = 1.5  # under this a heading wanders
BEGUN_DEGPS: Final = 0.4  # and here the turn began, or has ended
BRIDGED_S: Final = 4.0
LEAST_TURN_DEG: Final = 60.0
STEEP_DEG: Final = 37.0  # 45 less the tolerance and 3 degrees of doubt
ROUND_DEG: Final = 300.0
SPIRAL_FT: Final = 800.0
LEVEL_FT: Final = 250.0
CLIMBED_FT: Final = 200.0
SLOWED_KT: Final = 15.0
HALF_DEG: Final = (140.0, 220.0)  # half a circle, as a learner flies it
EIGHT_FT: Final = 100.0
PAUSE_S: Final = 15.0  # between the halves of a lazy eight
LOW_FT: Final = 1_200.0  # above ground: ground reference is flown under this
SLOW_FACTOR: Final = 1.25  # of the clean stall speed
SLOW_S: Final = 30.0
SLOW_FPM: Final = 400.0
STALL_FACTOR: Final = 1.08
STALL_S: Final = 15.0  # a stall is left sooner than slow flight
RECOVER_S: Final = 20.0
RECOVER_KT: Final = 10.0
IDLE_FRACTION: Final = 0.5  # of the highest power recorded
POWER_FRACTION: Final = 0.65  # CA.VII.C.S4: not less than 65 percent
ACCELERATED_DEG: Final = 35.0
ELSEWHERE: Final = (
    *ON_GROUND,
    *PATTERN_LEGS,
    "take-off",
    "go-around",
    "holding",
    "approach",
    "landing",
)


def maneuvers(
    work: Airwork, phases: tuple[Phase, ...], stall_ias_kt: float | None
) -> tuple[Maneuver, ...]:
    """All that is recognized, in order of time."""
    slow = list(_slow(work, stall_ias_kt))
    stalls = [one for one in slow if one.name.endswith("stall")]
    eights = [_made(work, "eights on pylons", *run) for run in pylon_eights(work, turn_runs(work))]
    down = [_made(work, "emergency descent", *run) for run in emergency_descents(work)]
    instead = [*stalls, *eights, *down]
    turns = [one for one in _turns(work) if not any(_meet(one, other) for other in instead)]
    kept = [one for one in (*turns, *slow, *eights, *down) if not _elsewhere(one, phases)]
    return tuple(sorted(kept, key=lambda one: one.start_s))


def _meet(one: Maneuver, other: Maneuver) -> bool:
    return one.start_s < other.end_s and other.start_s < one.end_s


def _elsewhere(one: Maneuver, phases: tuple[Phase, ...]) -> bool:
    middle_s = (one.start_s + one.end_s) / 2.0
    return any(
        phase.name in ELSEWHERE and phase.start_s <= middle_s <= phase.end_s for phase in phases
    )


def _made(work: Airwork, name: ManeuverName, start: int, stop: int) -> Maneuver:
    return Maneuver(
        name=name, start_s=float(work.time_s[start]), end_s=float(work.time_s[stop - 1])
    )


def turn_runs(work: Airwork) -> list[tuple[int, int]]:
    """First and one past the last step of each turn, in order of time."""
    found: list[tuple[int, int]] = []
    for side in (1.0, -1.0):
        rate = np.nan_to_num(side * work.turn_degps)
        turning = _bridged(rate >= TURNING_DEGPS, rate >= BEGUN_DEGPS, work)
        found += [_whole(rate, start, stop, work) for start, stop in turning]
    return sorted(run for run in found if abs(turned_deg(work, *run)) >= LEAST_TURN_DEG)


def _bridged(turning: BoolArray, still: BoolArray, work: Airwork) -> list[tuple[int, int]]:
    """Runs of turning, joined where the turn only slackened for a moment."""
    joined: list[tuple[int, int]] = []
    for start, stop in runs(turning, work.segment_index):
        if joined and start - joined[-1][1] <= work.steps(BRIDGED_S):
            between = slice(joined[-1][1], start)
            if still[between].all():
                joined[-1] = (joined[-1][0], stop)
                continue
        joined.append((start, stop))
    return joined


def _whole(rate_degps: np.ndarray, start: int, stop: int, work: Airwork) -> tuple[int, int]:
    """The same turn from where it began to where it had ended, within its segment."""
    segment = work.segment_index
    turning = rate_degps > BEGUN_DEGPS
    while start > 0 and segment[start - 1] == segment[start] and turning[start - 1]:
        start -= 1
    while stop < len(work) and segment[stop] == segment[stop - 1] and turning[stop]:
        stop += 1
    return start, stop


def _turns(work: Airwork) -> Iterator[Maneuver]:
    turns = turn_runs(work)
    number = 0
    while number < len(turns):
        pair = turns[number : number + 2]
        if len(pair) == 2 and _is_lazy_eight(work, *pair):
            yield _made(work, "lazy eight", pair[0][0], pair[1][1])
            number += 2
            continue
        name = turn_name(work, *turns[number])
        if name is not None:
            yield _made(work, name, *turns[number])
        number += 1


def turn_name(work: Airwork, start: int, stop: int) -> ManeuverName | None:
    """What one turn is; "unknown" if it is steep or goes round and fits nothing."""
    turned = abs(turned_deg(work, start, stop))
    height_ft = work.height_ft[start:stop]
    if not np.isfinite(height_ft).all():
        return "unknown" if turned >= ROUND_DEG else None
    rose_ft = float(height_ft[-1] - height_ft[0])
    away_ft = float(np.abs(height_ft - height_ft[0]).max())
    bank_deg = steady_bank_deg(work, start, stop)
    if turned >= SPIRAL_DEG and rose_ft <= -SPIRAL_FT:
        return "steep spiral"
    if turned >= ROUND_DEG and away_ft <= 2.0 * LEVEL_FT:
        if bank_deg >= STEEP_DEG:
            return "steep turn"
        if _low(work, start) and holds_a_radius(work, start, stop):
            return "ground reference"
    if _is_chandelle(work, start, stop, turned, rose_ft):
        return "chandelle"
    if away_ft <= LEVEL_FT and bank_deg < STEEP_DEG:
        return "level turn"
    return "unknown" if bank_deg >= STEEP_DEG or turned >= ROUND_DEG else None


def steady_bank_deg(work: Airwork, start: int, stop: int) -> float:
    """Median bank without rolling in and out; 0 if not known."""
    bank_deg = np.abs(work.bank_deg[start:stop])
    bank_deg = bank_deg[np.isfinite(bank_deg)]
    if not bank_deg.size:
        return 0.0
    return float(np.median(bank_deg[bank_deg >= 0.8 * np.percentile(bank_deg, 90)]))


def _low(work: Airwork, start: int) -> bool:
    return bool(work.agl_ft[start] <= LOW_FT)


def _is_chandelle(work: Airwork, start: int, stop: int, turned_deg: float, rose_ft: float) -> bool:
    """Half a circle that climbs to its end, gives up speed, and rolls out where it was steepest."""
    if not HALF_DEG[0] <= turned_deg <= HALF_DEG[1] or rose_ft < CLIMBED_FT:
        return False
    middle = (start + stop) // 2
    bank_deg = np.abs(work.bank_deg)
    eases = np.nanmean(bank_deg[start:middle]) > np.nanmean(bank_deg[middle:stop])
    at_top = float(work.height_ft[start:stop].max() - work.height_ft[stop - 1]) <= 80.0
    speed_kt = work.air_kt if np.isnan(work.ias_kt[[start, stop - 1]]).any() else work.ias_kt
    slowed = speed_kt[start] - speed_kt[stop - 1] >= SLOWED_KT
    return bool(eases and at_top and slowed)


def _is_lazy_eight(work: Airwork, first: tuple[int, int], second: tuple[int, int]) -> bool:
    """Two half circles against each other, each over a hill of its own."""
    one_deg, other_deg = turned_deg(work, *first), turned_deg(work, *second)
    near = second[0] - first[1] <= work.steps(PAUSE_S)
    same = work.segment_index[first[0]] == work.segment_index[second[1] - 1]
    halves = all(HALF_DEG[0] <= abs(one) <= HALF_DEG[1] for one in (one_deg, other_deg))
    return (
        near
        and bool(same)
        and halves
        and one_deg * other_deg < 0.0
        and _over_a_hill(work, *first)
        and _over_a_hill(work, *second)
    )


def _over_a_hill(work: Airwork, start: int, stop: int) -> bool:
    height_ft = work.height_ft[start:stop]
    if not np.isfinite(height_ft).all():
        return False
    top = int(np.argmax(height_ft))
    gained_ft = height_ft[top] - max(height_ft[0], height_ft[-1])
    turned = abs(turned_deg(work, start, start + top + 1)) if top else 0.0
    return bool(gained_ft >= EIGHT_FT and 30.0 <= turned <= 150.0)


def _slow(work: Airwork, stall_ias_kt: float | None) -> Iterator[Maneuver]:
    """Slow flight, and the stalls that break off from it or stand alone."""
    if stall_ias_kt is None or not np.isfinite(work.ias_kt).any():
        return
    ias_kt = np.where(np.isfinite(work.ias_kt), work.ias_kt, np.inf)
    stalls = list(_stalls(work, ias_kt <= STALL_FACTOR * stall_ias_kt))
    yield from stalls
    slow = (ias_kt <= SLOW_FACTOR * stall_ias_kt) & (np.abs(work.climb_fpm) <= SLOW_FPM)
    for one in stalls:
        slow &= (work.time_s < one.start_s) | (work.time_s > one.end_s)
    for start, stop in runs(slow, work.segment_index):
        if stop - start >= work.steps(SLOW_S):
            yield _made(work, "slow flight", start, stop)


def _stalls(work: Airwork, stalled: BoolArray) -> Iterator[Maneuver]:
    for start, stop in runs(stalled, work.segment_index):
        if stop - start > work.steps(STALL_S):
            continue
        end = min(stop + work.steps(RECOVER_S), len(work))
        least_kt = float(work.ias_kt[start:stop].min())
        back = np.flatnonzero(work.ias_kt[stop:end] >= least_kt + RECOVER_KT)
        sank = work.height_ft[start:end].max() - work.height_ft[start:end].min() >= 30.0
        if back.size and sank:
            begin = max(0, start - work.steps(STALL_S))
            name = _stall_name(work, begin, start)
            yield _made(work, name, start, stop + int(back[0]) + 1)


def _stall_name(work: Airwork, begin: int, start: int) -> ManeuverName:
    """By bank and power before it; just "stall" where no power is recorded."""
    bank_deg = np.abs(work.bank_deg[begin : start + 1])
    power = work.power_fraction[begin : start + 1]
    if np.isfinite(bank_deg).any() and np.nanmedian(bank_deg) >= ACCELERATED_DEG:
        return "accelerated stall"
    if not np.isfinite(power).any():
        return "stall"
    middle = float(np.nanmedian(power))
    if middle >= POWER_FRACTION:
        return "power-on stall"
    return "power-off stall" if middle <= IDLE_FRACTION else "stall"

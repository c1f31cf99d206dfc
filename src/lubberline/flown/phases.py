"""Phases of a recording: what was done from when to when, and how sure each beginning is.

On the ground ``taxiing`` tells them apart; a flight is cut by its heights (``levels``). Take-off
runs from the start of the roll to 50 ft, landing from 50 ft to the end of the roll, approach from
the pattern height down; a round of the pattern is named by its ``legs``, a go-around from where the
descent was given up to 500 ft. Gaps of the recording are phases too.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray, IntArray, wrap_180_deg
from lubberline.flown.boundaries import with_doubt
from lubberline.flown.even import EvenTrack, local_line, segment_bounds
from lubberline.flown.go_around import GoAround
from lubberline.flown.holding import holdings
from lubberline.flown.legs import Round, name_legs
from lubberline.flown.levels import levels
from lubberline.flown.model import PHASE_NAMES, Movement, Phase, PhaseName, Side
from lubberline.flown.movements import Airborne
from lubberline.flown.strip import Strip, strip_under
from lubberline.flown.taxiing import line_up, parked_or_taxi, run_up, taxi_in
from lubberline.places import Places
from lubberline.units import FT_PER_NM

FAST_KT: Final = 60.0  # own: nothing taxies this fast
ROLLING_KT: Final = 15.0  # own: the roll begins above taxi speed
SCREEN_FT: Final = 50.0  # take-off and landing distances are given over 50 ft: 14 CFR 23.2115
PATTERN_FT: Final = 1_000.0  # above the aerodrome unless published otherwise [AIM4-3-3]_
PATTERN_BAND_FT: Final = 100.0
APPROACH_NM: Final = 5.0  # own: no pattern is flown farther away
GONE_FT: Final = 500.0  # own: here a go-around has become an upwind leg or a climb
SAME_LINE_NM: Final = 1.5  # own: two movements this near are on one runway ...
SAME_LINE_DEG: Final = 25.0  # ... if they went the same way
SMOOTH_S: Final = 8.0
SIDES: Final[tuple[Side, ...]] = ("", "right", "left")  # by the sign of a side: 0, 1, -1


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Scene:
    """What the phases are told from: steps, smoothed heights, places; codes fill as they are."""

    even: EvenTrack
    smooth_ft: FloatArray
    places: Places
    code: IntArray
    side: IntArray

    def at(self, time_s: float) -> int:
        """The step nearest to a moment."""
        return self.even.nearest(time_s)

    def name(self, begin: int, end: int, name: PhaseName) -> None:
        """Write one phase."""
        self.code[begin:end] = PHASE_NAMES.index(name)
        self.side[begin:end] = 0

    def strip(self, movement: Movement) -> Strip:
        """The runway of a movement."""
        track_deg = float(self.even.track_true_deg[self.at(movement.time_s)])
        return strip_under(movement, self.places, track_true_deg=track_deg)


def phases(
    even: EvenTrack,
    flights: tuple[Airborne, ...],
    places: Places,
    *,
    broken_off: tuple[GoAround, ...] = (),
    engine_rpm: FloatArray | None = None,
) -> tuple[Phase, ...]:
    """All phases in order of time, without overlap; gaps between segments included.

    Parameters
    ----------
    even : EvenTrack
        The steps.
    flights : tuple of Airborne
        What was flown, with its movements.
    places : Places
        Where runways and pattern heights are looked up.
    broken_off : tuple of GoAround
        Approaches that ended in a climb.
    engine_rpm : ndarray, shape (m,), optional
        Speed of the engine at the steps; without it no run-up is found.
    """
    smooth_ft, _ = local_line(even.height_ft, even.segment_index, even.steps(SMOOTH_S))
    scene = _Scene(
        even=even, smooth_ft=smooth_ft, places=places,
        code=parked_or_taxi(even), side=np.zeros(len(even), dtype=np.int64),
    )  # fmt: skip
    for flight in flights:
        _name_flight(scene, flight, broken_off)
    if not flights and bool((even.steady_kt >= FAST_KT).any()):
        return ()  # it went somewhere, and nothing shows how
    _name_ground(scene, flights)
    run_up(scene.code, even, engine_rpm)
    found: list[Phase] = []
    for start, stop in segment_bounds(even.segment_index):
        if found:
            gap = Phase(name="gap", start_s=found[-1].end_s, end_s=float(even.time_s[start]))
            found.append(gap)
        found += _named(scene, start, stop)
    return with_doubt(found, even)


def _name_flight(scene: _Scene, flight: Airborne, broken_off: Sequence[GoAround]) -> None:
    """Write the phases of one flight over its steps."""
    even, stretch = scene.even, flight.stretch
    start = stretch.start if flight.takeoff is None else scene.at(flight.takeoff.time_s)
    stop = stretch.stop if flight.landing is None else scene.at(flight.landing.time_s)
    for first, last, name in levels(even, scene.smooth_ft, start, stop):
        scene.name(first, last, name)
    inside = [one for one in broken_off if even.time_s[start] < one.time_s < even.time_s[stop - 1]]
    ends: list[Movement | GoAround] = [*flight.movements, *inside]
    ends.sort(key=lambda one: one.time_s)
    for first, last in holdings(even, scene.smooth_ft, start, stop):
        if not any(even.time_s[first] < one.time_s < even.time_s[last - 1] for one in ends):
            scene.name(first, last, "holding")
    since: Movement | GoAround | None = None
    for end in ends:
        if isinstance(end, GoAround):
            _name_broken_off(scene, since, end, start)
        elif end.kind == "take-off":
            _name_takeoff(scene, since, end, stop)
        else:
            _name_arrival(scene, since, end, (start, stop))
        since = end


def _name_takeoff(
    scene: _Scene, since: Movement | GoAround | None, end: Movement, stop: int
) -> None:
    """The take-off, and the stop on the runway before it if it follows a landing."""
    at = scene.at(end.time_s)
    roll = _roll_start(scene.even, at)
    if isinstance(since, Movement):
        stood = slice(_roll_end(scene.even, scene.at(since.time_s)), roll)
        scene.code[stood] = parked_or_taxi(scene.even)[stood]
    scene.name(roll, _screen(scene.smooth_ft, at, stop - 1), "take-off")


def _name_arrival(
    scene: _Scene, since: Movement | GoAround | None, end: Movement, within: tuple[int, int]
) -> None:
    """Approach, pattern and landing; the take-off too if the wheels only touched."""
    at = scene.at(end.time_s)
    begin = _left(scene, since, within[0])
    strip = scene.strip(end)
    _name_round(scene, since, (begin, at), strip, end.aerodrome_id)
    down = _screen(scene.smooth_ft, at, begin) + 1
    if end.kind == "touch-and-go":
        scene.name(down, at, "landing")
        scene.name(at, _screen(scene.smooth_ft, at, within[1] - 1), "take-off")
    else:
        scene.name(down, _roll_end(scene.even, at), "landing")


def _name_broken_off(
    scene: _Scene, since: Movement | GoAround | None, end: GoAround, start: int
) -> None:
    """Approach and pattern before a go-around, and the go-around itself if it is one for sure."""
    at, lowest = scene.at(end.time_s), scene.at(end.lowest_s)
    begin = _left(scene, since, start)
    _name_round(scene, since, (begin, lowest), end.strip, None)
    if not end.note:
        scene.name(at, max(_gone(scene, end), at + 1), "go-around")


def _gone(scene: _Scene, one: GoAround) -> int:
    """The step at which a go-around is 500 ft up."""
    lowest = scene.at(one.lowest_s)
    above_ft = scene.smooth_ft[lowest:] - scene.smooth_ft[lowest] + one.lowest_ft
    high = np.flatnonzero(above_ft >= GONE_FT)
    return lowest + int(high[0]) if high.size else lowest


def _left(scene: _Scene, since: Movement | GoAround | None, start: int) -> int:
    """The step from which a new round may begin."""
    if since is None:
        return start
    if isinstance(since, GoAround):
        return _gone(scene, since) if not since.note else scene.at(since.lowest_s)
    return _screen(scene.smooth_ft, scene.at(since.time_s), scene.code.size - 1)


def _name_round(
    scene: _Scene,
    since: Movement | GoAround | None,
    steps: tuple[int, int],
    strip: Strip,
    aerodrome_id: str | None,
) -> None:
    """The approach to a runway, and over it the legs of its pattern."""
    begin, at = steps
    aerodrome = scene.places.aerodromes.get(aerodrome_id or "")
    pattern_ft = strip.pattern_agl_ft if np.isfinite(strip.pattern_agl_ft) else PATTERN_FT
    pattern_ft = pattern_ft if aerodrome is None else aerodrome.pattern_agl_ft
    low = _approach_start(scene.even, scene.smooth_ft, begin, at, pattern_ft)
    scene.name(low, at, "approach")
    flown = Round(
        since=begin, at=at, strip=strip, pattern_ft=pattern_ft,
        from_runway=since is not None and _same_line(scene, since, strip),
    )  # fmt: skip
    name_legs(scene.code, scene.side, scene.even, scene.smooth_ft, flown)


def _same_line(scene: _Scene, since: Movement | GoAround, strip: Strip) -> bool:
    """Whether a round began on the runway to which it leads."""
    before = since.strip if isinstance(since, GoAround) else scene.strip(since)
    off_deg = abs(wrap_180_deg(before.true_deg - strip.true_deg))
    away_ft = np.hypot(*strip.along_right_ft(before.lat_deg, before.lon_deg))
    return bool(off_deg <= SAME_LINE_DEG and away_ft <= SAME_LINE_NM * FT_PER_NM)


def _name_ground(scene: _Scene, flights: tuple[Airborne, ...]) -> None:
    """Line-up before each roll; taxi-in after each flight's landing."""
    moves = [one for flight in flights for one in flight.movements]
    for number, one in enumerate(moves):
        at = scene.at(one.time_s)
        if one.kind == "take-off":
            roll = _roll_start(scene.even, at)
            line_up(scene.code, scene.even, roll, scene.strip(one))
        elif one.kind == "landing" and not one.stop_and_go:
            after = moves[number + 1 : number + 2]
            until = _roll_start(scene.even, scene.at(after[0].time_s)) if after else len(scene.even)
            taxi_in(scene.code, scene.even, _roll_end(scene.even, at), until)


def _approach_start(
    even: EvenTrack, smooth_ft: FloatArray, start: int, at: int, pattern_ft: float
) -> int:
    """First step of the last stay near the landing place and not above the pattern."""
    part = slice(start, at)
    away_nm = even.apart_nm(at, part)
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


def _named(scene: _Scene, start: int, stop: int) -> list[Phase]:
    what = scene.code[start:stop] * 3 + scene.side[start:stop]
    cuts = [0, *(np.flatnonzero(np.diff(what)) + 1).tolist()]
    ends = [*cuts[1:], stop - start - 1]
    return [
        Phase(
            name=PHASE_NAMES[int(scene.code[start + cut])],
            start_s=float(scene.even.time_s[start + cut]),
            end_s=float(scene.even.time_s[start + end]),
            side=SIDES[int(scene.side[start + cut])],
        )
        for cut, end in zip(cuts, ends, strict=True)
        if end > cut
    ]

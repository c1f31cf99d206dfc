"""Take-offs and landings: when, how sure, where, and on which runway.

A movement needs a candidate flight between stretches on the ground, a departure or arrival that
leaves or meets the ground, and proof that it was a flight at all (``evidence``); an end on the
axis of a known runway is such proof. The moment comes from ``liftoff``. Nothing is reported
where the recording has a gap at that moment, or no heights.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final, Literal

import numpy as np

from lubberline.arrays import BoolArray, FloatArray
from lubberline.flown import evidence
from lubberline.flown.even import EvenTrack
from lubberline.flown.liftoff import Moment, liftoff, touchdown
from lubberline.flown.model import Movement
from lubberline.flown.runways import runway_under
from lubberline.flown.stretches import Stretch, stretches
from lubberline.flown.strip import strip_under
from lubberline.flown.taxiing import WAIT_S, on_runway
from lubberline.flown.touches import touch_and_goes
from lubberline.flown.wheels import AROUND_S, fine_liftoff, fine_touchdown
from lubberline.places import Places
from lubberline.recording import Track

LOW_FT: Final = 150.0  # the moment is sought in the trace up to this height
ROLL_S: Final = 30.0  # and in so much of the roll
ROLLING_KT: Final = 12.0  # own: slower than this nothing lifts off or touches down
BRIDGED_S: Final = 600.0  # own: over a longer gap anything may have happened
SLOW_S: Final = 2.0
BRIDGED_SLOW_S: Final = 120.0  # own: a slow one can have landed, and not yet left again
HEARD_S: Final = 2.0  # own: how late a transponder may notice that the wheels are off
QUIET_S: Final = 20.0  # so long without a height, though with positions, was on the ground
QUIET_COUNT: Final = 5
TOUCH_FT: Final = 2.0  # own: on the runway, or as good as
TOUCH_S: Final = 2.5  # own: how far that may be from the moment of touch
RATE_S: Final = 0.5  # a finer height trace than this is averaged


@dataclass(frozen=True, slots=True, kw_only=True)
class Airborne:
    """A stretch that was flown, with the movements at its ends where they could be timed."""

    stretch: Stretch
    takeoff: Movement | None
    landing: Movement | None
    touches: tuple[Movement, ...] = ()

    @property
    def movements(self) -> tuple[Movement, ...]:
        """All of them in order of time."""
        ends = (self.takeoff, *self.touches, self.landing)
        return tuple(one for one in ends if one is not None)


def airborne(even: EvenTrack, track: Track, places: Places) -> tuple[Airborne, ...]:
    """The stretches that were flown for certain, in order of time."""
    candidates = [_Candidate(even, track, places, one) for one in stretches(even)]
    sure = [one.is_flight() for one in candidates]
    for order in (range(1, len(sure)), range(len(sure) - 2, -1, -1)):
        for k in order:
            beside = k - 1 if order.step > 0 else k + 1
            first, second = sorted((k, beside))
            sure[k] |= sure[beside] and _goes_on(even, candidates[first], candidates[second])
    flights = [one.flight() for one, flown in zip(candidates, sure, strict=True) if flown]
    ends = tuple(movement for flight in flights for movement in flight.movements)
    touches = touch_and_goes(even, [one.stretch for one in flights], ends, places)
    whole = [
        replace(flight, touches=tuple(part for one in found for part in _timed(one, track, even)))
        for flight, found in zip(flights, touches, strict=True)
    ]
    for number, (flight, later) in enumerate(pairwise(whole)):
        if flight.landing is not None and _goes_again(even, places, flight, later):
            whole[number] = replace(flight, landing=replace(flight.landing, stop_and_go=True))
    return tuple(whole)


def _goes_again(even: EvenTrack, places: Places, first: Airborne, second: Airborne) -> bool:
    """Whether a take-off began where the landing before it had stopped, on the runway."""
    down, up = first.landing, second.takeoff
    if down is None or up is None or up.time_s - down.time_s > WAIT_S:
        return False
    part = slice(*(int(k) for k in np.searchsorted(even.time_s, [down.time_s, up.time_s])))
    track_deg = float(even.track_true_deg[part.start])
    strip = strip_under(down, places, track_true_deg=track_deg)
    together = even.segment_index[part.start] == even.segment_index[part.stop - 1]
    return bool(together and on_runway(even, part, strip).all())


class _Candidate:
    """A stretch with what may be its movements, before it is known whether it is a flight."""

    def __init__(self, even: EvenTrack, track: Track, places: Places, stretch: Stretch) -> None:
        start, stop = stretch.start, stretch.stop
        self.even, self.stretch = even, stretch
        self.takeoff: Movement | None = None
        self.landing: Movement | None = None
        if stretch.from_ground and evidence.departs(even, start, stop):
            self.takeoff = _takeoff(even, track, places, stretch)
        if stretch.to_ground and evidence.arrives(even, start, stop):
            self.landing = _landing(even, track, places, stretch)

    def is_flight(self) -> bool:
        """Whether this was flown, judged alone."""
        stretch, even = self.stretch, self.even
        if stretch.on_ground:
            return False
        ends_kt = even.ground_kt[[stretch.start, stretch.stop - 1]]
        cut_off = not (stretch.from_ground or stretch.to_ground)
        return (
            any(one is not None and one.runway for one in (self.takeoff, self.landing))
            or evidence.flown_for_certain(even, stretch.start, stretch.stop)
            or self._straight_at_its_ends()
            or (
                cut_off
                and bool((ends_kt >= evidence.FLYING_KT).all())
                and evidence.too_fast_for_a_road(even, stretch.start, stretch.stop)
            )
        )

    def _straight_at_its_ends(self) -> bool:
        """A straight climb-out and a straight final; a cruise for one of them if it is cut off."""
        even, stretch = self.even, self.stretch
        travels = evidence.travels(even, stretch.start, stretch.stop)
        out = not stretch.from_ground and travels
        home = not stretch.to_ground and travels
        if self.takeoff is not None:
            out = _straight_out(even, stretch, self.takeoff)
        if self.landing is not None:
            home = _straight_in(even, stretch, self.landing)
        return out and home and (self.takeoff is not None or self.landing is not None)

    def flight(self) -> Airborne:
        return Airborne(stretch=self.stretch, takeoff=self.takeoff, landing=self.landing)


def _goes_on(even: EvenTrack, first: _Candidate, second: _Candidate) -> bool:
    """Whether two stretches are one flight with a gap in the recording between them."""
    before, after = first.stretch, second.stretch
    if before.on_ground or after.on_ground or before.to_ground or after.from_ground:
        return False
    gap_s = even.time_s[after.start] - even.time_s[before.stop - 1]
    ends_kt = even.ground_kt[[before.stop - 1, after.start]]
    fast = bool((ends_kt >= evidence.FLYING_KT).all())
    return bool(gap_s <= (BRIDGED_S if fast else BRIDGED_SLOW_S))


def _straight_out(even: EvenTrack, stretch: Stretch, takeoff: Movement) -> bool:
    """A straight roll and climb, the height moving only at flying speed and then at once."""
    return (
        float(np.interp(takeoff.time_s, even.time_s, even.ground_kt)) >= evidence.FLYING_KT
        and evidence.climbs_straight_out(even, stretch.start, stretch.stop)
        and evidence.climbs_at_once(even, takeoff.time_s)
    )


def _straight_in(even: EvenTrack, stretch: Stretch, landing: Movement) -> bool:
    """A straight descent and roll, the height moving only at flying speed and to the last."""
    return (
        float(np.interp(landing.time_s, even.time_s, even.ground_kt)) >= evidence.FLYING_KT
        and evidence.descends_straight_in(even, stretch.start, stretch.stop)
        and evidence.descends_to_the_last(even, landing.time_s)
    )


def _takeoff(even: EvenTrack, track: Track, places: Places, stretch: Stretch) -> Movement | None:
    """The movement at the start of a stretch: level before, climbing after."""
    begin = max(_segment_start(even, stretch.start), stretch.start - even.steps(ROLL_S))
    rolling = even.ground_kt[begin : stretch.start] >= ROLLING_KT
    slow = np.flatnonzero(~rolling)
    earliest = begin + (int(slow[-1]) + 1 if slow.size else 0)
    level_ft = even.height_ft[begin : stretch.start]
    high = _first_above(even.height_ft[stretch.start : stretch.stop], level_ft)
    most = even.steps(evidence.LEAVE_S)
    latest = min(stretch.start + min(high, most), stretch.stop - 1)
    window_s = (even.time_s[begin], even.time_s[latest] + _few_samples_s(track))
    moment = liftoff(
        *_trace(track, even, window_s),
        earliest_s=float(even.time_s[min(earliest, latest)]),
        latest_s=float(even.time_s[latest]),
    )
    if moment is not None:
        moment = fine_liftoff(*_trace(track, even, _around_s(moment)), moment)
    else:
        moment = _first_heard(track, even.time_s[stretch.start], even.time_s[stretch.stop - 1])
    return None if moment is None else _movement("take-off", moment, even, places)


def _landing(even: EvenTrack, track: Track, places: Places, stretch: Stretch) -> Movement | None:
    """The movement at the end of a stretch: descending before, level after."""
    last = _segment_stop(even, stretch.stop - 1)
    end = min(last, stretch.stop + even.steps(ROLL_S))
    slow = np.flatnonzero(even.ground_kt[stretch.stop : end] < ROLLING_KT)
    latest = stretch.stop + (int(slow[0]) if slow.size else end - stretch.stop - 1)
    level_ft = even.height_ft[stretch.stop : end]
    high = _first_above(even.height_ft[stretch.start : stretch.stop][::-1], level_ft)
    most = even.steps(evidence.LEAVE_S)
    earliest = max(stretch.stop - 1 - min(high, most), stretch.start)
    window_s = (even.time_s[earliest] - _few_samples_s(track), even.time_s[end - 1])
    moment = touchdown(
        *_trace(track, even, window_s),
        earliest_s=float(even.time_s[earliest]),
        latest_s=float(even.time_s[min(max(latest, earliest), end - 1)]),
    )
    if moment is not None:
        moment = fine_touchdown(*_trace(track, even, _around_s(moment)), moment)
    else:
        moment = _last_heard(track, even.time_s[stretch.start], even.time_s[stretch.stop - 1])
    return None if moment is None else _movement("landing", moment, even, places)


def _first_heard(track: Track, from_s: float, to_s: float) -> Moment | None:
    """The change from positions without a height to positions with one, if that is how it begins.

    A transponder sends its height only in the air [DO-260]_; it knows that by the wheels.
    """
    return _silence_ends(track.time_s, _height_known(track), from_s - HEARD_S, to_s)


def _last_heard(track: Track, from_s: float, to_s: float) -> Moment | None:
    """The change to positions without a height: ``_first_heard``, backward in time."""
    known = _height_known(track)[::-1]
    found = _silence_ends(-track.time_s[::-1], known, -to_s - HEARD_S, -from_s)
    return None if found is None else replace(found, time_s=-found.time_s)


def _height_known(track: Track) -> BoolArray:
    return np.isfinite(track.pressure_ft) | np.isfinite(track.gnss_ft)


def _silence_ends(
    time_s: FloatArray, known: BoolArray, from_s: float, to_s: float
) -> Moment | None:
    """The first known height after a quiet time without any, and how long that was unsure."""
    heard = np.flatnonzero(known & (time_s >= from_s) & (time_s <= to_s))
    if not heard.size:
        return None
    first = int(heard[0])
    quiet = (time_s < time_s[first]) & (time_s >= time_s[first] - QUIET_S)
    if quiet.sum() < QUIET_COUNT or known[quiet].any():
        return None
    unsure_s = float(time_s[first] - time_s[first - 1])
    middle_s = float(time_s[first]) - unsure_s / 2.0
    return Moment(time_s=middle_s, sigma_s=float(np.hypot(unsure_s / np.sqrt(12.0), HEARD_S)))


def _movement(
    kind: Literal["take-off", "landing"], moment: Moment, even: EvenTrack, places: Places
) -> Movement:
    index = even.nearest(moment.time_s)
    lat_deg, lon_deg = float(even.lat_deg[index]), float(even.lon_deg[index])
    found = Movement(
        kind=kind,
        time_s=moment.time_s,
        sigma_s=moment.sigma_s,
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        aerodrome_id=None,
        runway=None,
    )
    aerodrome, end = runway_under(
        places, lat_deg, lon_deg, along_true_deg=float(even.track_true_deg[index])
    )
    return replace(
        found,
        aerodrome_id=None if aerodrome is None else aerodrome.id,
        runway=None if end is None else end.name,
    )


def _around_s(moment: Moment) -> tuple[float, float]:
    return moment.time_s - AROUND_S, moment.time_s + AROUND_S


def _timed(touch: Movement, track: Track, even: EvenTrack) -> tuple[Movement, ...]:
    """A touch-and-go at its touchdown, with its lift-off, where the heights show them.

    One that stood in between is a landing and a take-off.
    """
    span_s = touch.sigma_s * float(np.sqrt(3.0))  # half of the stay: its doubt was an even one
    window_s = touch.time_s - span_s - AROUND_S, touch.time_s + span_s + AROUND_S
    time_s, height_ft = _trace(track, even, window_s)
    stay = np.abs(time_s - touch.time_s) <= span_s
    if not stay.any():
        return (touch,)
    level_ft = float(np.quantile(height_ft[stay], 0.2))
    down_s = time_s[stay & (height_ft - level_ft <= TOUCH_FT)]
    middle_s = float(np.median(down_s))
    before, after = time_s <= middle_s + TOUCH_S, time_s >= middle_s - TOUCH_S
    first = Moment(time_s=float(down_s[0]), sigma_s=TOUCH_S)
    last = Moment(time_s=float(down_s[-1]), sigma_s=TOUCH_S)
    if touch.stop_and_go:
        first = _bend(touchdown, time_s[before], height_ft[before], first)
        last = _bend(liftoff, time_s[after], height_ft[after], last)
    first = fine_touchdown(time_s[before], height_ft[before], first)
    last = fine_liftoff(time_s[after], height_ft[after], last)
    if not touch.stop_and_go:
        timed = replace(touch, time_s=first.time_s, sigma_s=first.sigma_s, until_s=last.time_s)
        return (timed,)
    return (
        _at(replace(touch, kind="landing"), first, even),
        _at(replace(touch, kind="take-off", stop_and_go=False), last, even),
    )


def _bend(
    bend: Callable[..., Moment | None], time_s: FloatArray, height_ft: FloatArray, near: Moment
) -> Moment:
    """A moment found again by the whole climb or descent beside it."""
    found = bend(
        time_s, height_ft, earliest_s=near.time_s - AROUND_S, latest_s=near.time_s + AROUND_S
    )
    return near if found is None else found


def _at(movement: Movement, moment: Moment, even: EvenTrack) -> Movement:
    """A movement at another moment, and at the place of then."""
    k = even.nearest(moment.time_s)
    return replace(
        movement,
        time_s=moment.time_s,
        sigma_s=moment.sigma_s,
        lat_deg=float(even.lat_deg[k]),
        lon_deg=float(even.lon_deg[k]),
    )


def _first_above(height_ft: FloatArray, level_ft: FloatArray) -> int:
    """How many steps away from the ground the trace passes the low height."""
    if not np.isfinite(level_ft).any():
        return 0
    above = np.flatnonzero(height_ft - float(np.nanmedian(level_ft)) >= LOW_FT)
    return int(above[0]) if above.size else max(0, height_ft.size - 1)


def _trace(
    track: Track, even: EvenTrack, window_s: tuple[float, float]
) -> tuple[FloatArray, FloatArray]:
    """The raw heights in a window, averaged where they come faster than twice a second."""
    start, stop = np.searchsorted(track.time_s, [window_s[0], window_s[1] + 1e-6])
    use_pressure = even.height_ft is even.pressure_ft
    height_ft = (track.pressure_ft if use_pressure else track.gnss_ft)[start:stop]
    time_s = track.time_s[start:stop]
    known = np.isfinite(height_ft)
    time_s, height_ft = time_s[known], height_ft[known]
    if time_s.size < 2 or float(np.median(np.diff(time_s))) >= RATE_S:
        return time_s, height_ft
    number = np.floor((time_s - time_s[0]) / RATE_S).astype(np.int64)
    starts = np.flatnonzero(np.concatenate([[True], np.diff(number) > 0]))
    count = np.diff(np.append(starts, number.size))
    away_s = np.add.reduceat(time_s - time_s[0], starts) / count
    return time_s[0] + away_s, np.add.reduceat(height_ft, starts) / count


def _few_samples_s(track: Track) -> float:
    """So much longer a window has to be for a slow recorder to have samples on the slope."""
    usual_s = float(np.median(np.diff(track.time_s)))
    return 2.5 * usual_s if usual_s > SLOW_S else 0.0


def _segment_start(even: EvenTrack, index: int) -> int:
    return int(np.searchsorted(even.segment_index, even.segment_index[index], side="left"))


def _segment_stop(even: EvenTrack, index: int) -> int:
    return int(np.searchsorted(even.segment_index, even.segment_index[index], side="right"))

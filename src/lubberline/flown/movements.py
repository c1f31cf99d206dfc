"""Take-offs and landings: when, how sure, where, and on which runway.

A movement needs a candidate flight between stretches on the ground, a departure or arrival that
leaves or meets the ground, and proof that it was a flight at all (``evidence``); an end on the
axis of a known runway is such proof. The moment comes from ``moments``. Nothing is reported
where the recording has a gap at that moment, or no heights.
"""

from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

import numpy as np

from lubberline.flown import evidence
from lubberline.flown.even import EvenTrack
from lubberline.flown.model import Movement
from lubberline.flown.moments import landing_of, takeoff_of, touch_of
from lubberline.flown.stretches import Stretch, stretches
from lubberline.flown.strip import strip_under
from lubberline.flown.taxiing import WAIT_S, on_runway
from lubberline.flown.touches import touch_and_goes
from lubberline.places import Places
from lubberline.recording import Track

BRIDGED_S: Final = 600.0  # own: over a longer gap anything may have happened
BRIDGED_SLOW_S: Final = 120.0  # own: a slow one can have landed, and not yet left again


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
        replace(
            flight,
            touches=tuple(part for one in found for part in touch_of(one, even, track, places)),
        )
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
            self.takeoff = takeoff_of(even, track, places, stretch)
        if stretch.to_ground and evidence.arrives(even, start, stop):
            self.landing = landing_of(even, track, places, stretch)

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

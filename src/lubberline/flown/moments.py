"""When a take-off, a landing or a touch was: from the raw heights around it, coarse and then fine.

Heights are taken above the runway's own slope where it is published. A recorder that sends
heights only in the air tells by their silence (``silence``).
"""

from collections.abc import Callable
from dataclasses import replace
from typing import Final, Literal

import numpy as np

from lubberline.arrays import FloatArray, median
from lubberline.flown.even import EvenTrack
from lubberline.flown.evidence import LEAVE_S
from lubberline.flown.liftoff import Moment, liftoff, touchdown
from lubberline.flown.model import Movement
from lubberline.flown.runways import runway_under
from lubberline.flown.silence import first_heard, last_heard
from lubberline.flown.stretches import Stretch
from lubberline.flown.strip import rise_ft
from lubberline.flown.wheels import AROUND_S, fine_liftoff, fine_touchdown
from lubberline.places import Places
from lubberline.recording import Track

LOW_FT: Final = 150.0  # the moment is sought in the trace up to this height
ROLL_S: Final = 30.0  # and in so much of the roll
ROLLING_KT: Final = 12.0  # own: slower than this nothing lifts off or touches down
SLOW_S: Final = 2.0
TOUCH_FT: Final = 2.0  # own: on the runway, or as good as
TOUCH_S: Final = 2.5  # own: how far that may be from the moment of touch
STEP_FPS: Final = 8.0  # own: a flare's sink and climb, 2.5 ft/s, by the root of 12 of an even doubt
WANDER_FT: Final = 3.0  # own: satellite heights, within the half minute of a roll
GAP_FACTOR: Final = 2.5  # own: times the usual time between samples
RATE_S: Final = 0.5  # a finer height trace than this is averaged


class Heights:
    """The heights of a recording above the slope of the runway at one of its steps."""

    def __init__(self, even: EvenTrack, track: Track, places: Places, at: int) -> None:
        self.even, self.track = even, track
        self.rise_ft = rise_ft(even, places, at)
        self.flat_ft = even.height_ft - self.rise_ft

    @property
    def grain_ft(self) -> float:
        """The least difference that says anything: a last digit, and what satellites wander."""
        return float(np.hypot(self.even.grain_ft, 0.0 if self.even.by_pressure else WANDER_FT))

    def raw(self, from_s: float, to_s: float) -> tuple[FloatArray, FloatArray]:
        """The raw ones in a window, averaged where they come faster than twice a second."""
        track, even = self.track, self.even
        start, stop = np.searchsorted(track.time_s, [from_s, to_s + 1e-6])
        height_ft = (track.pressure_ft if even.by_pressure else track.gnss_ft)[start:stop]
        time_s = track.time_s[start:stop]
        known = np.isfinite(height_ft)
        time_s = time_s[known]
        height_ft = height_ft[known] - np.interp(time_s, even.time_s, self.rise_ft)
        if time_s.size < 2 or median(np.diff(time_s)) >= RATE_S:
            return time_s, height_ft
        number = np.floor((time_s - time_s[0]) / RATE_S).astype(np.int64)
        starts = np.flatnonzero(np.concatenate([[True], np.diff(number) > 0]))
        count = np.diff(np.append(starts, number.size))
        away_s = np.add.reduceat(time_s - time_s[0], starts) / count
        return time_s[0] + away_s, np.add.reduceat(height_ft, starts) / count

    def around(self, moment: Moment) -> tuple[FloatArray, FloatArray]:
        """The raw ones near a moment."""
        return self.raw(moment.time_s - AROUND_S, moment.time_s + AROUND_S)


def takeoff_of(even: EvenTrack, track: Track, places: Places, stretch: Stretch) -> Movement | None:
    """The movement at the start of a stretch: level before, climbing after."""
    heights = Heights(even, track, places, stretch.start)
    begin = max(_segment_start(even, stretch.start), stretch.start - even.steps(ROLL_S))
    rolling = even.ground_kt[begin : stretch.start] >= ROLLING_KT
    slow = np.flatnonzero(~rolling)
    earliest = begin + (int(slow[-1]) + 1 if slow.size else 0)
    level_ft = heights.flat_ft[begin : stretch.start]
    high = _first_above(heights.flat_ft[stretch.start : stretch.stop], level_ft)
    most = even.steps(LEAVE_S)
    latest = min(stretch.start + min(high, most), stretch.stop - 1)
    moment = liftoff(
        *heights.raw(even.time_s[begin], even.time_s[latest] + _few_samples_s(track)),
        earliest_s=float(even.time_s[min(earliest, latest)]),
        latest_s=float(even.time_s[latest]),
    )
    if moment is not None:
        moment = fine_liftoff(*heights.around(moment), moment, heights.grain_ft)
    else:
        moment = first_heard(track, even.time_s[stretch.start], even.time_s[stretch.stop - 1])
    return None if moment is None else _movement("take-off", moment, even, track, places)


def landing_of(even: EvenTrack, track: Track, places: Places, stretch: Stretch) -> Movement | None:
    """The movement at the end of a stretch: descending before, level after."""
    heights = Heights(even, track, places, stretch.stop - 1)
    last = _segment_stop(even, stretch.stop - 1)
    end = min(last, stretch.stop + even.steps(ROLL_S))
    slow = np.flatnonzero(even.ground_kt[stretch.stop : end] < ROLLING_KT)
    latest = stretch.stop + (int(slow[0]) if slow.size else end - stretch.stop - 1)
    level_ft = heights.flat_ft[stretch.stop : end]
    high = _first_above(heights.flat_ft[stretch.start : stretch.stop][::-1], level_ft)
    most = even.steps(LEAVE_S)
    earliest = max(stretch.stop - 1 - min(high, most), stretch.start)
    moment = touchdown(
        *heights.raw(even.time_s[earliest] - _few_samples_s(track), even.time_s[end - 1]),
        earliest_s=float(even.time_s[earliest]),
        latest_s=float(even.time_s[min(max(latest, earliest), end - 1)]),
    )
    if moment is not None:
        moment = fine_touchdown(*heights.around(moment), moment, heights.grain_ft)
    else:
        moment = last_heard(track, even.time_s[stretch.start], even.time_s[stretch.stop - 1])
    return None if moment is None else _movement("landing", moment, even, track, places)


def touch_of(
    touch: Movement, even: EvenTrack, track: Track, places: Places
) -> tuple[Movement, ...]:
    """A touch-and-go at its touchdown, with its lift-off, where the heights show them.

    One that stood in between is a landing and a take-off.
    """
    heights = Heights(even, track, places, even.nearest(touch.time_s))
    span_s = touch.sigma_s * float(np.sqrt(3.0))  # half of the stay: its doubt was an even one
    time_s, height_ft = heights.raw(
        touch.time_s - span_s - AROUND_S, touch.time_s + span_s + AROUND_S
    )
    stay = np.abs(time_s - touch.time_s) <= span_s
    if not stay.any():
        return (touch,)
    level_ft = float(np.quantile(height_ft[stay], 0.2))
    down_s = time_s[stay & (height_ft - level_ft <= TOUCH_FT)]
    middle_s = median(down_s)
    before, after = time_s <= middle_s + TOUCH_S, time_s >= middle_s - TOUCH_S
    apart_s = median(np.diff(time_s))  # it touched between two samples
    stepped_s = even.grain_ft / STEP_FPS
    doubt_s = float(np.linalg.norm([TOUCH_S, apart_s / np.sqrt(3.0), stepped_s]))
    first = Moment(time_s=float(down_s[0]) - apart_s / 2.0, sigma_s=doubt_s)
    last = Moment(time_s=float(down_s[-1]) + apart_s / 2.0, sigma_s=doubt_s)
    if touch.stop_and_go:
        first = _bend(touchdown, time_s[before], height_ft[before], first)
        last = _bend(liftoff, time_s[after], height_ft[after], last)
    first = fine_touchdown(time_s[before], height_ft[before], first, heights.grain_ft)
    last = fine_liftoff(time_s[after], height_ft[after], last, heights.grain_ft)
    if not touch.stop_and_go:
        return (_at(replace(touch, until_s=last.time_s), first, even),)
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


def _movement(
    kind: Literal["take-off", "landing"],
    moment: Moment,
    even: EvenTrack,
    track: Track,
    places: Places,
) -> Movement:
    moment = _open(moment, track)
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


def _open(moment: Moment, track: Track) -> Moment:
    """The moment with the doubt of a gap in which it lies."""
    after = int(np.searchsorted(track.time_s, moment.time_s))
    if not 0 < after < track.time_s.size:
        return moment
    apart_s = float(track.time_s[after] - track.time_s[after - 1])
    usual_s = median(np.diff(track.time_s))
    gap_s = apart_s if apart_s > GAP_FACTOR * usual_s else 0.0
    return replace(moment, sigma_s=float(np.hypot(moment.sigma_s, gap_s / np.sqrt(12.0))))


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


def _few_samples_s(track: Track) -> float:
    """So much longer a window has to be for a slow recorder to have samples on the slope."""
    usual_s = median(np.diff(track.time_s))
    return 2.5 * usual_s if usual_s > SLOW_S else 0.0


def _segment_start(even: EvenTrack, index: int) -> int:
    return int(np.searchsorted(even.segment_index, even.segment_index[index], side="left"))


def _segment_stop(even: EvenTrack, index: int) -> int:
    return int(np.searchsorted(even.segment_index, even.segment_index[index], side="right"))

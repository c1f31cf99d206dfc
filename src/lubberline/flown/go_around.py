"""Go-arounds: approaches that came low over a runway's line and were broken off into a climb.

Found are the lowest points between movements: on the line of a runway that is published or that
this recording itself used, low, with a descent before and a climb after. A low pass is one, too:
a recording does not know why. A touch of the wheels in between is a touch-and-go; where heights
are too rough to tell the two apart, ``note`` says so and nothing is claimed.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.aircraft import Aircraft
from lubberline.arrays import FloatArray, wrap_180_deg
from lubberline.flown.case import Case, clock
from lubberline.flown.even import lowest_of
from lubberline.flown.gauge import Gauge, Reading
from lubberline.flown.landing import IAS_SIGMA_KT
from lubberline.flown.model import Movement
from lubberline.flown.motion import FlownMotion
from lubberline.flown.runways import nearest_aerodrome
from lubberline.flown.strip import Strip, published_strip, strip_under
from lubberline.units import FT_PER_NM, S_PER_MIN

LOW_FT: Final = 600.0  # own: broken off higher, it was a change of mind
GAIN_FT: Final = 200.0  # and climbs again by this
BEGUN_S: Final = 1.75  # own: how sure the moment is at which a descent was given up
LEAST_SINK_FPM: Final = 300.0
SLOW_S: Final = 2.0  # samples farther apart there leave out the lowest point
GAIN_S: Final = 90.0
LOST_FT: Final = 200.0  # having come down by this
LEAST_S: Final = 30  # own: lower than all this long before and after
LOST_S: Final = 150.0
LINE_DEG: Final = 25.0
LINED_S: Final = (0.0, 10.0, 20.0)  # after the lowest point
BESIDE_FT: Final = 1_000.0
BEFORE_NM: Final = 2.0  # ahead of the threshold, at the lowest point
APART_S: Final = 45.0  # from any movement
ABOVE_FT: Final = 20.0  # so high above the lowest point the approach still sank ...
SINK_S: Final = 5.0  # ... as in these seconds before
DECIDED_FRACTION: Final = 0.6  # of that sink: the descent is no longer kept
DRIFT_FT: Final = 5.0  # own: pressure, between a movement and the go-around
WANDER_FT: Final = 12.0  # own: satellite heights, likewise
ROLLS_S: Final = 5.0  # off a movement, on the roll
NEAR_FT: Final = 15_000.0  # own: a movement along the same line
ROUGH_FT: Final = 25.0  # own: lower than this over rough heights, the wheels may have touched

DECISION: Final = Gauge(name="go_around_decision", label="go-around begun at, above the runway",
                        unit="ft", why="early enough not to touch", low=10.0)  # fmt: skip
LOWEST: Final = Gauge(name="go_around_lowest", label="go-around, lowest above the runway",
                      unit="ft", why="the wheels stay off", low=5.0)  # fmt: skip
CLIMB: Final = Gauge(name="go_around_climb", label="climb in the go-around", unit="ft/min",
                     why="a positive rate at once", low=200.0)  # fmt: skip
SPEED: Final = Gauge(name="go_around_airspeed", label="airspeed in the go-around, off best rate",
                     unit="kt", why="as the published standard", low=-5.0, high=10.0,
                     tolerance="go_around_airspeed_kt")  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class GoAround:
    """A go-around: begun, lowest, on which runway; heights above it [ft]."""

    time_s: float
    sigma_s: float
    lowest_s: float
    strip: Strip
    begun_ft: float
    lowest_ft: float
    sigma_ft: float
    climb_fpm: float
    sink_fpm: float
    note: str = ""

    @property
    def runway(self) -> str:
        """The name of the runway."""
        return self.strip.name


def go_arounds(
    case: Case, motion: FlownMotion, movements: tuple[Movement, ...]
) -> tuple[GoAround, ...]:
    """All go-arounds, in order of time."""
    strips = _used(case, motion, movements)
    found = []
    for k in _lowest_rows(motion):
        lowest_s = float(motion.time_s[k])
        if any(_near(lowest_s, one) for one in movements):
            continue
        strip = _strip_there(case, motion, k, strips)
        if strip is not None:
            one = _measured(case, motion, k, strip, movements)
            if one is not None:
                found.append(one)
    return tuple(found)


def go_around_readings(case: Case, one: GoAround, aircraft: Aircraft | None) -> list[Reading]:
    """All measures of one go-around."""
    where = f"{clock(one.time_s)} on {one.runway}"
    begun_sigma_ft = float(np.hypot(one.sigma_ft, one.sigma_s * one.sink_fpm / S_PER_MIN))
    return [
        Reading(gauge=DECISION, value=one.begun_ft, sigma=begun_sigma_ft,
                where=where, note=one.note),
        Reading(gauge=LOWEST, value=one.lowest_ft, sigma=one.sigma_ft,
                where=clock(one.lowest_s), note=one.note),
        Reading(gauge=CLIMB, value=one.climb_fpm, sigma=60.0, note="mean over 30 s"),
        _speed(case, one, aircraft),
    ]  # fmt: skip


def _speed(case: Case, one: GoAround, aircraft: Aircraft | None) -> Reading:
    """Median airspeed from 10 to 40 s after the lowest point."""
    ias_kt = case.track.channels.get("ias_kt")
    since_s = case.track.time_s - one.lowest_s
    value = np.nan
    if ias_kt is not None and aircraft is not None:
        climbing = (since_s >= 10.0) & (since_s <= 40.0) & np.isfinite(ias_kt)
        if climbing.any():
            value = float(np.median(ias_kt[climbing])) - aircraft.speeds.best_rate_kt
    return Reading(gauge=SPEED, value=value, sigma=IAS_SIGMA_KT, note="median of 30 s",
                   missing="indicated airspeed (ias_kt) and the airplane")  # fmt: skip


def _lowest_rows(motion: FlownMotion) -> list[int]:
    """Rows lower than all within the time of the descent before and the climb after."""
    height_ft, time_s = motion.height_ft, motion.time_s
    if time_s.size < 10 or not np.isfinite(height_ft).any():
        return []
    every_s = np.arange(time_s[0], time_s[-1], 1.0)
    even_ft = np.interp(every_s, time_s, height_ft)
    around_ft = np.pad(even_ft, LEAST_S, constant_values=np.inf)
    rows = np.flatnonzero(even_ft <= lowest_of(around_ft, 2 * LEAST_S + 1) + 1e-9)
    before_ft = _around(even_ft, int(LOST_S) - 1, 1)[rows].max(axis=1)
    after_ft = _around(even_ft, 1, int(GAIN_S) - 1)[rows].max(axis=1)
    low = (before_ft - even_ft[rows] >= LOST_FT) & (after_ft - even_ft[rows] >= GAIN_FT)
    rows = rows[low]
    if not rows.size:
        return []
    groups = np.split(rows, np.flatnonzero(np.diff(rows) > 30) + 1)
    return [int(np.searchsorted(time_s, every_s[group[len(group) // 2]])) for group in groups]


def _around(height_ft: FloatArray, behind: int, ahead: int) -> FloatArray:
    """The heights from so many before each one to so many from it on, below all beyond the ends."""
    padded_ft = np.pad(height_ft, (behind, ahead - 1), constant_values=-np.inf)
    return np.lib.stride_tricks.sliding_window_view(padded_ft, behind + ahead)


def _near(lowest_s: float, movement: Movement) -> bool:
    ends_s = movement.until_s or movement.time_s
    return movement.time_s - APART_S <= lowest_s <= ends_s + APART_S


def _used(case: Case, motion: FlownMotion, movements: tuple[Movement, ...]) -> list[Strip]:
    """The lines of this recording's own movements."""
    return [
        strip_under(one, case.places, track_true_deg=_track_deg(motion, one.time_s))
        for one in movements
    ]


def _track_deg(motion: FlownMotion, time_s: float) -> float:
    k = min(int(np.searchsorted(motion.time_s, time_s)), motion.time_s.size - 1)
    return float(motion.part(slice(k, k + 1)).track_true_deg[0])


def _strip_there(case: Case, motion: FlownMotion, k: int, used: list[Strip]) -> Strip | None:
    """The runway on whose line the lowest point lies: a published one nearby, else one used.

    Broken off in the turn onto final, it is the one along which it then climbed.
    """
    lat_deg, lon_deg = float(motion.lat_deg[k]), float(motion.lon_deg[k])
    aerodrome = nearest_aerodrome(case.places, lat_deg, lon_deg)
    ends = aerodrome.runway_ends() if aerodrome is not None else ()
    nearby = [
        published_strip(runway, end, aerodrome.id, aerodrome.pattern_agl_ft)
        for runway, end in ends
        if aerodrome is not None
    ]
    rows = [int(np.searchsorted(motion.time_s, motion.time_s[k] + after_s)) for after_s in LINED_S]
    fits = [(beside, strip) for row in rows if row < motion.time_s.size
            for strip in (*nearby, *used)
            if (beside := _beside_ft(motion, row, strip)) is not None]  # fmt: skip
    return min(fits, key=lambda fit: fit[0])[1] if fits else None


def _beside_ft(motion: FlownMotion, k: int, strip: Strip) -> float | None:
    off_deg = abs(wrap_180_deg(motion.part(slice(k, k + 1)).track_true_deg[0] - strip.true_deg))
    along, right = strip.along_right_ft(motion.lat_deg[k], motion.lon_deg[k])
    end_ft = strip.length_ft if strip.published else 4_000.0
    on_line = -BEFORE_NM * FT_PER_NM <= float(along) <= end_ft + 1_000.0
    beside_ft = abs(float(right))
    return beside_ft if off_deg <= LINE_DEG and on_line and beside_ft <= BESIDE_FT else None


def _measured(
    case: Case, motion: FlownMotion, k: int, strip: Strip, movements: tuple[Movement, ...]
) -> GoAround | None:
    """Heights above the runway, and when the descent was given up; None if not low."""
    ground_ft, sigma_ft = _ground_ft(case, motion, strip, movements, float(motion.time_s[k]))
    ground_ft += strip.slope_fraction * _along_ft(strip, motion.lat_deg[k], motion.lon_deg[k])
    lowest_s = float(motion.time_s[k])
    lowest_ft = float(motion.height_ft[k]) - ground_ft
    if not lowest_ft <= LOW_FT:
        return None
    coming = (motion.time_s >= lowest_s - LOST_S) & (motion.time_s <= lowest_s)
    high = np.flatnonzero(coming & (motion.height_ft - float(motion.height_ft[k]) >= ABOVE_FT))
    leaves_s = float(motion.time_s[high[-1]]) if high.size else lowest_s
    sinking = (motion.time_s >= leaves_s - SINK_S) & (motion.time_s <= leaves_s)
    sink_fpm = float(np.median(motion.climb_fpm[sinking]))
    kept = np.flatnonzero(coming & (motion.climb_fpm <= DECIDED_FRACTION * sink_fpm))
    begun = int(kept[-1]) if kept.size and sink_fpm < 0.0 else k
    after_s = min(lowest_s + 30.0, float(motion.time_s[-1]))
    gained_ft = motion.at("height_ft", after_s) - float(motion.height_ft[k])
    sink_fpm = min(sink_fpm, -LEAST_SINK_FPM)
    apart_s = float(np.diff(motion.time_s[max(k - 1, 0) : k + 2]).max())
    noise_ft = 0.0 if case.by_pressure else 3.0 * case.even.sensors.gnss_noise_ft
    between_ft = -sink_fpm / S_PER_MIN * apart_s / 2.0 if apart_s > SLOW_S else 0.0
    doubtful = lowest_ft < min(ROUGH_FT, noise_ft + 2.0 * sigma_ft) + between_ft
    return GoAround(
        time_s=float(motion.time_s[begun]), sigma_s=float(np.hypot(BEGUN_S, apart_s)),
        lowest_s=lowest_s, strip=strip,
        begun_ft=float(motion.height_ft[begun]) - ground_ft, lowest_ft=lowest_ft,
        sigma_ft=float(np.hypot(sigma_ft, motion.height_sigma_ft[k])),
        climb_fpm=gained_ft / max(after_s - lowest_s, 1.0) * S_PER_MIN,
        sink_fpm=-sink_fpm,
        note="these heights do not show whether the wheels touched" if doubtful else "",
    )  # fmt: skip


def _ground_ft(
    case: Case,
    motion: FlownMotion,
    strip: Strip,
    movements: tuple[Movement, ...],
    lowest_s: float,
) -> tuple[float, float]:
    """What the recorder would read at the threshold: from the nearest movement there in time.

    Without one, from the altimeter settings.
    """
    for one in sorted(movements, key=lambda one: abs(one.time_s - lowest_s)):
        if abs(_along_ft(strip, one.lat_deg, one.lon_deg)) <= NEAR_FT:
            rolls_s = one.time_s + (ROLLS_S if one.kind == "landing" else -ROLLS_S)
            if one.until_s is not None:
                rolls_s = (one.time_s + one.until_s) / 2.0
            place = motion.at("lat_deg", rolls_s), motion.at("lon_deg", rolls_s)
            rise_ft = strip.slope_fraction * _along_ft(strip, *place)
            sigma_ft = DRIFT_FT if case.by_pressure else WANDER_FT
            return motion.at("height_ft", rolls_s) - rise_ft, sigma_ft
    shown_ft = case.height.indicated_ft - case.even.height_ft
    known = np.isfinite(shown_ft)
    if not known.any() or not np.isfinite(strip.elev_msl_ft):
        return np.nan, np.nan
    return strip.elev_msl_ft - float(np.median(shown_ft[known])), 25.0


def _along_ft(strip: Strip, lat_deg: float, lon_deg: float) -> float:
    return float(strip.along_right_ft(lat_deg, lon_deg)[0])

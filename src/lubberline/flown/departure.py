"""A take-off measured: the run, where it left the runway, the line, the speed of the climb."""

from typing import Final

import numpy as np

from lubberline.aircraft import Aircraft
from lubberline.arrays import median
from lubberline.flown.case import Case, clock
from lubberline.flown.gauge import PLACE_COMMON_FT, Gauge, Reading, channel_at
from lubberline.flown.landing import FT_PER_KT_S, IAS_SIGMA_KT
from lubberline.flown.model import Movement
from lubberline.flown.motion import FlownMotion
from lubberline.flown.strip import NO_RUNWAY, strip_under

RUN: Final = Gauge(name="takeoff_run", label="take-off run", unit="ft",
                   why="the runway that lay ahead")  # fmt: skip
LIFTOFF: Final = Gauge(name="liftoff_point", label="lift-off past the threshold", unit="ft",
                       why="in the first two thirds of the runway")  # fmt: skip
CENTER: Final = Gauge(name="takeoff_centerline", label="right of the centerline on the run, worst",
                      unit="ft", why="within a quarter of the runway's width",
                      tolerance="takeoff_centerline_ft")  # fmt: skip
SPEED: Final = Gauge(name="liftoff_airspeed", label="airspeed at lift-off, off that to rotate",
                     unit="kt", why="lift-off follows the rotation", low=-5.0,
                     high=15.0)  # fmt: skip
CLIMB: Final = Gauge(name="climb_airspeed", label="airspeed in the climb, off best rate, worst",
                     unit="kt", why="as the published standard", low=-5.0, high=10.0,
                     tolerance="climb_airspeed_kt")  # fmt: skip
ROLL_KT: Final = 15.0  # the run begins above taxi speed
FROM_FT, TO_FT = 200.0, 700.0  # own: settled in the climb, and not yet levelling off at a pattern
RUN_S: Final = 120.0


def takeoff_readings(
    case: Case, motion: FlownMotion, move: Movement, aircraft: Aircraft | None
) -> list[Reading]:
    """All measures of one take-off."""
    start, stop = np.searchsorted(motion.time_s, [move.time_s - RUN_S, move.time_s + 180.0])
    near = motion.part(slice(int(start), int(stop)))
    time_s, ground_kt = near.time_s, near.ground_kt
    track_deg = float(np.interp(move.time_s, time_s, near.track_true_deg))
    strip = strip_under(move, case.places, track_true_deg=track_deg)
    along_ft, right_ft = strip.along_right_ft(near.lat_deg, near.lon_deg)
    slow = np.flatnonzero((ground_kt < ROLL_KT) & (time_s < move.time_s))
    run = (time_s <= move.time_s) & (np.arange(time_s.size) > (slow[-1] if slow.size else -1))
    place_ft = float(np.hypot(median(near.place_sigma_ft), PLACE_COMMON_FT))
    off_ft = float(np.interp(move.time_s, time_s, along_ft))
    speed_kt = float(np.interp(move.time_s, time_s, ground_kt))
    sigma_ft = float(np.hypot(speed_kt * FT_PER_KT_S * move.sigma_s, place_ft))
    begun_ft = float(along_ft[run][0]) if slow.size and run.any() else np.nan
    worst = int(np.argmax(np.abs(right_ft[run]))) if run.any() else 0
    lost = "" if strip.published else NO_RUNWAY
    known = 1.0 if strip.published else np.nan
    quarter_ft = strip.quarter_ft
    ahead_ft = strip.length_ft - (begun_ft if np.isfinite(begun_ft) else 0.0)
    where = f"{clock(move.time_s)} on {strip.name}"
    return [
        Reading(gauge=RUN.limited(high=_known(ahead_ft)),
                value=off_ft - begun_ft, sigma=sigma_ft, note=f"from {ROLL_KT:g} kt",
                missing="a run that begins in the recording"),
        Reading(gauge=LIFTOFF.limited(high=_known(strip.length_ft * 2.0 / 3.0)),
                value=off_ft * known, sigma=sigma_ft, where=where, missing=lost),
        Reading(gauge=CENTER.limited(low=-quarter_ft, high=quarter_ft),
                value=float(right_ft[run][worst]) * known if run.any() else np.nan,
                sigma=place_ft, missing=lost),
        _speed(case, move, aircraft),
        _climb(case, motion, move, aircraft),
    ]  # fmt: skip


def _known(length_ft: float) -> float | None:
    """A limit in whole feet, None where the runway is not known."""
    return float(np.floor(length_ft)) if np.isfinite(length_ft) else None


def _speed(case: Case, move: Movement, aircraft: Aircraft | None) -> Reading:
    target_kt = np.nan if aircraft is None else aircraft.speeds.rotate_kt
    ias_kt = channel_at(case, "ias_kt", move.time_s)
    return Reading(gauge=SPEED, value=ias_kt - target_kt,
                   sigma=float(np.hypot(IAS_SIGMA_KT, 2.0 * move.sigma_s)),
                   missing="indicated airspeed (ias_kt) and the airplane")  # fmt: skip


def _climb(case: Case, motion: FlownMotion, move: Movement, aircraft: Aircraft | None) -> Reading:
    missing = "indicated airspeed (ias_kt), the airplane, and a climb to 700 ft"
    lost = Reading(gauge=CLIMB, value=np.nan, sigma=0.0, missing=missing)
    ias_kt = case.track.channels.get("ias_kt")
    ground_ft = motion.at("height_ft", move.time_s)
    after = np.flatnonzero((motion.time_s > move.time_s) & (motion.time_s < move.time_s + 180.0))
    above_ft = motion.height_ft[after] - ground_ft
    low, high = np.flatnonzero(above_ft >= FROM_FT), np.flatnonzero(above_ft >= TO_FT)
    if ias_kt is None or aircraft is None or not low.size or not high.size:
        return lost
    from_s, to_s = motion.time_s[after[low[0]]], motion.time_s[after[high[0]]]
    climbing = (case.track.time_s >= from_s) & (case.track.time_s <= to_s) & np.isfinite(ias_kt)
    off_kt = ias_kt[climbing] - aircraft.speeds.best_rate_kt
    if not off_kt.size:
        return lost
    limit = CLIMB.limit(case.standard)
    worst = min(range(off_kt.size), key=lambda k: limit.margin(float(off_kt[k])))
    return Reading(gauge=CLIMB, value=float(off_kt[worst]), sigma=IAS_SIGMA_KT,
                   where=clock(float(case.track.time_s[climbing][worst])),
                   note=f"{FROM_FT:g} to {TO_FT:g} ft, mean {off_kt.mean():+.0f} kt")  # fmt: skip

"""Airspeed on final approach, where the recording holds an airspeed at all.

Ground speed is no airspeed: without an ``ias_kt`` channel the finding is unknown, whatever the
wind was thought to be. The target is the pilot's; no recording tells which speed was meant.
"""

from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray
from lubberline.flown.case import Case, Measure, limit_for, measured, not_known
from lubberline.flown.model import HeldSpan, Movement
from lubberline.flown.movements import Airborne
from lubberline.line import Finding

AIRSPEED: Final = Measure(
    name="approach_airspeed",
    label="airspeed on final, worst",
    unit="kt",
    tolerances=("approach_airspeed_kt",),
)
IAS_CHANNEL: Final = "ias_kt"
IAS_SIGMA_KT: Final = 2.0  # own: instrument and position error near the approach speed
HIGH_FT: Final = 500.0  # above the landing: established by then
LOW_FT: Final = 50.0  # above the landing: the flare is near


def final_span(
    case: Case, flights: tuple[Airborne, ...], target_ias_kt: float | None
) -> tuple[HeldSpan, ...]:
    """The airspeeds that ``approach_airspeed`` judges, with their tolerance; none if not known."""
    ias_kt, landing = case.track.channels.get(IAS_CHANNEL), _last_landing(case, flights)
    if ias_kt is None or landing is None or target_ias_kt is None:
        return ()
    judged = _final(case, landing) & np.isfinite(ias_kt)
    if not judged.any():
        return ()
    limit = limit_for(AIRSPEED, case.standard)
    return (
        HeldSpan(
            name="approach_airspeed",
            label="airspeed on final",
            unit="kt",
            time_s=case.track.time_s[judged],
            values=ias_kt[judged] - target_ias_kt,
            low=limit.low,
            high=limit.high,
            target=target_ias_kt,
        ),
    )


def approach_airspeed(
    case: Case, flights: tuple[Airborne, ...], target_ias_kt: float | None
) -> Finding:
    """The worst airspeed between 500 and 50 ft above the last landing, less the target."""
    ias_kt = case.track.channels.get(IAS_CHANNEL)
    landing = _last_landing(case, flights)
    if ias_kt is None or not np.isfinite(ias_kt).any():
        missing = "a recording with indicated airspeed (ias_kt); ground speed is none"
    elif landing is None:
        missing = "a recording that holds the landing"
    elif target_ias_kt is None:
        missing = "the approach speed that was aimed at"
    else:
        off_kt = ias_kt[_final(case, landing)] - target_ias_kt
        off_kt = off_kt[np.isfinite(off_kt)]
        if off_kt.size:
            return _worst(case, off_kt, target_ias_kt)
        missing = "indicated airspeed and heights from 500 ft down"
    return not_known(AIRSPEED, case.standard, missing)


def _last_landing(case: Case, flights: tuple[Airborne, ...]) -> Movement | None:
    """The pledged landing, else the last one."""
    return case.landing or next(
        (one.landing for one in reversed(flights) if one.landing is not None), None
    )


def _final(case: Case, landing: Movement) -> BoolArray:
    """True at the samples of the track between 500 and 50 ft above the landing."""
    at = case.even.nearest(landing.time_s)
    above_ft = case.even.height_ft[:at] - case.even.height_ft[at]
    high, low = np.flatnonzero(above_ft > HIGH_FT), np.flatnonzero(above_ft >= LOW_FT)
    if not high.size or not low.size:
        return np.zeros(len(case.track), dtype=bool)
    start_s, stop_s = case.even.time_s[[int(high[-1]), int(low[-1])]]
    return np.asarray((case.track.time_s >= start_s) & (case.track.time_s <= stop_s))


def _worst(case: Case, off_kt: FloatArray, target_ias_kt: float) -> Finding:
    limit = limit_for(AIRSPEED, case.standard)
    ends_kt = (float(off_kt.min()), float(off_kt.max()))
    return measured(
        AIRSPEED,
        case.standard,
        min(ends_kt, key=lambda kt: (limit.margin(kt), -abs(kt))),
        sigma=IAS_SIGMA_KT,
        note=f"from {HIGH_FT:g} to {LOW_FT:g} ft above the landing, aimed at {target_ias_kt:g} kt",
    )

"""Airspeed on final approach, where the recording holds an airspeed at all.

Ground speed is no airspeed: without an ``ias_kt`` channel the finding is unknown, whatever the
wind was thought to be. The target is the pilot's; no recording tells which speed was meant.
"""

from typing import Final

import numpy as np

from lubberline.flown.case import Case, Measure, limit_for, measured, not_known
from lubberline.flown.movements import Airborne
from lubberline.line import Finding

AIRSPEED: Final = Measure(
    name="approach_airspeed",
    label="worst airspeed on final against the one aimed at",
    unit="kt",
    tolerances=("approach_airspeed_kt",),
)
IAS_CHANNEL: Final = "ias_kt"
IAS_SIGMA_KT: Final = 2.0  # own: instrument and position error near the approach speed
HIGH_FT: Final = 500.0  # above the landing: established by then
LOW_FT: Final = 50.0  # above the landing: the flare is near


def approach_airspeed(
    case: Case, flights: tuple[Airborne, ...], target_ias_kt: float | None
) -> Finding:
    """The worst airspeed between 500 and 50 ft above the last landing, less the target."""
    ias_kt = case.track.channels.get(IAS_CHANNEL)
    if ias_kt is None or not np.isfinite(ias_kt).any():
        missing = "a recording with indicated airspeed (ias_kt); ground speed is none"
        return not_known(AIRSPEED, case.standard, missing)
    landing = case.landing or next(
        (one.landing for one in reversed(flights) if one.landing is not None), None
    )
    if landing is None:
        return not_known(AIRSPEED, case.standard, "a recording that holds the landing")
    if target_ias_kt is None:
        return not_known(AIRSPEED, case.standard, "the approach speed that was aimed at")
    at = int(np.argmin(np.abs(case.even.time_s - landing.time_s)))
    above_ft = case.even.height_ft[:at] - case.even.height_ft[at]
    first = np.flatnonzero(above_ft > HIGH_FT)
    last = np.flatnonzero(above_ft >= LOW_FT)
    if not first.size or not last.size:
        return not_known(AIRSPEED, case.standard, "an approach from 500 ft with its heights")
    start_s, stop_s = case.even.time_s[[int(first[-1]), int(last[-1])]]
    final = (case.track.time_s >= start_s) & (case.track.time_s <= stop_s) & np.isfinite(ias_kt)
    if not final.any():
        return not_known(AIRSPEED, case.standard, "indicated airspeed on final")
    off_kt = ias_kt[final] - target_ias_kt
    limit = limit_for(AIRSPEED, case.standard)
    worst = min(off_kt.tolist(), key=limit.margin)
    return measured(
        AIRSPEED,
        case.standard,
        worst,
        sigma=IAS_SIGMA_KT,
        note=f"from {HIGH_FT:g} to {LOW_FT:g} ft above the landing, aimed at {target_ias_kt:g} kt",
    )

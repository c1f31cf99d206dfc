"""The final and its gates: path, line and speed, by which height all was settled.

The gate's height is the pilot's choice, 500 ft above the runway unless they choose another. The
aim point of the path is where the straight line through the flown final meets the runway: no
recording tells which point the pilot looked at.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from lubberline.aircraft import Aircraft
from lubberline.arrays import BoolArray, FloatArray, median
from lubberline.flown.arrival import Arrival
from lubberline.flown.case import Case, clock
from lubberline.flown.gauge import Gauge, Reading, channel_at
from lubberline.flown.landing import IAS_SIGMA_KT
from lubberline.units import S_PER_MIN

GATE_FT: Final = 500.0  # own, unless the pilot chooses another
TOP_FT: Final = 1_000.0
LOW_FT: Final = 50.0
PATH_DEG: Final = (2.0, 4.5)  # own: what is neither flat nor steep, instant by instant
SINK_FPM: Final = 1_000.0
BANK_DEG: Final = 15.0
SLOW_KT, FAST_KT = -5.0, 10.0  # own, as the published standard has them on final
LINE_FT, LINE_FRACTION = 60.0, 0.05  # own: half a runway, and 3 degrees of the way to go
MOVING_FRACTION: Final = 0.03
STANDING_KT: Final = 30.0
FLAP_CHANNELS: Final = ("flap_deg", "flap_percent", "flaps_deg", "flaps_percent")
GEAR_CHANNELS: Final = ("gear_fraction", "gear_down_fraction", "gear_percent")

ANGLE: Final = Gauge(
    name="path_angle", label="path angle on final", unit="deg",
    why="3 degrees and one to either side", low=2.0, high=4.0,
)  # fmt: skip
DEVIATION: Final = Gauge(
    name="path_deviation", label="off the straight path on final, worst", unit="ft",
    why="half of the height at the end of it", low=-50.0, high=50.0,
)  # fmt: skip
SIDEWAYS: Final = Gauge(
    name="final_centerline", label="right of the centerline on final, worst", unit="ft",
    why="as wide as a large runway", low=-100.0, high=100.0,
)  # fmt: skip
GATE_SPEED: Final = Gauge(
    name="gate_airspeed", label="airspeed at the gate, off the target", unit="kt",
    why="as on final", low=SLOW_KT, high=FAST_KT, tolerance="approach_airspeed_kt",
)  # fmt: skip
STABLE: Final = Gauge(name="stable_by", label="all stable by, above the runway", unit="ft",
                      why="the gate, which the pilot chooses")  # fmt: skip
ON_SPEED: Final = Gauge(name="on_speed_by", label="on speed by, above the runway", unit="ft",
                        why="the gate, which the pilot chooses")  # fmt: skip
CONFIGURED: Final = Gauge(name="configured_by", label="configured by, above the runway",
                          unit="ft", why="the gate, which the pilot chooses")  # fmt: skip
FLAP_SPEED: Final = Gauge(name="flap_speed", label="airspeed over that for flaps, worst",
                          unit="kt", why="flight manual", high=0.0, basis="manual")  # fmt: skip
GEAR_SPEED: Final = Gauge(name="gear_speed", label="airspeed over that for the gear, worst",
                          unit="kt", why="flight manual", high=0.0, basis="manual")  # fmt: skip


def final_readings(
    case: Case, flown: Arrival, *, target_ias_kt: float | None, gate_ft: float
) -> list[Reading]:
    """Path, line, and the gates of one approach."""
    line = _straight(flown)
    return [
        *_path(flown, line),
        _gate_speed(case, flown, target_ias_kt, gate_ft),
        *_gates(case, flown, line, target_ias_kt, gate_ft),
    ]


def limit_speed_readings(case: Case, aircraft: Aircraft | None) -> list[Reading]:
    """Flaps and gear, anywhere in the flight, against the speeds of the manual."""
    if aircraft is None:
        return []
    speeds, name = aircraft.speeds, aircraft.name
    found = [_over(case, FLAP_SPEED, FLAP_CHANNELS, (speeds.flaps_kt, name), None)]
    if aircraft.retractable and speeds.gear_extended_kt is not None:
        gear = (speeds.gear_extended_kt, name)
        found.append(_over(case, GEAR_SPEED, GEAR_CHANNELS, gear, speeds.gear_operate_kt))
    return found


def _straight(flown: Arrival) -> tuple[float, float] | None:
    """Slope and the aim point of the straight line through the final, feet along."""
    rows = flown.between(GATE_FT, 60.0)
    if rows.sum() < 5 or np.ptp(flown.along_ft[rows]) < 1000.0:
        return None
    slope, level_ft = np.polyfit(flown.along_ft[rows], flown.above_ft[rows], 1)
    return (float(slope), float(-level_ft / slope)) if slope < 0.0 else None


def _path(flown: Arrival, line: tuple[float, float] | None) -> list[Reading]:
    rows = flown.between(GATE_FT, LOW_FT + 10.0)
    if line is None:
        missing = f"a straight final from {GATE_FT:g} ft down"
        return [Reading(gauge=one, value=np.nan, sigma=0.0, missing=missing)
                for one in (ANGLE, DEVIATION, SIDEWAYS)]  # fmt: skip
    off_ft = flown.above_ft[rows] - line[0] * (flown.along_ft[rows] - line[1])
    worst = int(np.argmax(np.abs(off_ft)))
    right_ft = flown.right_ft[flown.between(300.0, LOW_FT)]
    aside = int(np.argmax(np.abs(right_ft))) if right_ft.size else 0
    length_ft = float(np.ptp(flown.along_ft[rows]))
    angle_sigma = np.degrees(2.0 * flown.height_sigma_ft / length_ft)
    past = f"the path led to {line[1]:.0f} ft past the threshold" if flown.strip.published else ""
    return [
        Reading(gauge=ANGLE, value=float(np.degrees(np.arctan(-line[0]))),
                sigma=float(np.hypot(angle_sigma, 0.05)), note=past),
        Reading(gauge=DEVIATION, value=float(off_ft[worst]), sigma=flown.height_sigma_ft * 1.5,
                where=clock(float(flown.time_s[rows][worst])),
                note=f"from {GATE_FT:g} to {LOW_FT + 10:g} ft, its own straight line"),
        Reading(gauge=SIDEWAYS, value=float(right_ft[aside]) if right_ft.size else np.nan,
                sigma=float(np.hypot(flown.place_sigma_ft, 7.0)), note="from 300 to 50 ft"),
    ]  # fmt: skip


def passed_s(flown: Arrival, height_ft: float) -> float:
    """The last moment at which the final came down through a height; NaN if never."""
    before = flown.time_s < flown.movement.time_s
    high = np.flatnonzero(before & (flown.above_ft > height_ft))
    if not high.size or high[-1] + 1 >= flown.time_s.size:
        return float("nan")
    rows = slice(int(high[-1]), int(high[-1]) + 2)
    return float(np.interp(-height_ft, -flown.above_ft[rows], flown.time_s[rows]))


def _gate_speed(case: Case, flown: Arrival, target_ias_kt: float | None, gate_ft: float) -> Reading:
    at_s = passed_s(flown, gate_ft)
    known = np.isfinite(at_s) and target_ias_kt is not None
    ias_kt = channel_at(case, "ias_kt", at_s) if known else np.nan
    return Reading(
        gauge=GATE_SPEED, value=ias_kt - (target_ias_kt or np.nan), sigma=IAS_SIGMA_KT,
        where=clock(at_s) if np.isfinite(at_s) else "",
        note=f"{ias_kt:.0f} kt at {gate_ft:g} ft, the gate" if np.isfinite(ias_kt) else "",
        missing="indicated airspeed, the target speed, and a descent through the gate",
    )  # fmt: skip


def _gates(
    case: Case,
    flown: Arrival,
    line: tuple[float, float] | None,
    target_ias_kt: float | None,
    gate_ft: float,
) -> list[Reading]:
    """From which height down nothing was amiss any more: all, speed, configuration."""
    speed = _off_speed(case, flown, target_ias_kt)
    moved = _moving(case, flown)
    wrong = [one for one in (_off_line(flown, line), speed, moved) if one is not None]
    low = None if gate_ft is None else gate_ft
    seen = ", ".join(
        word for word, one in (("speed", speed), ("flaps and gear", moved)) if one is None
    )
    note = f"not seen: {seen}" if seen else ""
    return [
        _settled(flown, STABLE.limited(low=low), wrong if line is not None else [], note,
                 "a straight final"),
        _settled(flown, ON_SPEED.limited(low=low), [] if speed is None else [speed], "",
                 "indicated airspeed and the target speed"),
        _settled(flown, CONFIGURED.limited(low=low), [] if moved is None else [moved], "",
                 "a channel of flaps or gear (flap_deg, gear_fraction)"),
    ]  # fmt: skip


def _settled(
    flown: Arrival, gauge: Gauge, wrong: Sequence[BoolArray], note: str, missing: str
) -> Reading:
    """The height at which the last of these ended; 1,000 ft if none was seen below it."""
    if not wrong:
        return Reading(gauge=gauge, value=np.nan, sigma=0.0, missing=missing)
    watched = (flown.above_ft <= TOP_FT) & (flown.above_ft >= LOW_FT)
    watched &= flown.time_s < flown.movement.time_s
    late = np.flatnonzero(np.logical_or.reduce(wrong) & watched)
    sink_fpm = max(median(-flown.climb_fpm[watched]) if watched.any() else 0.0, 0.0)
    sigma_ft = float(np.hypot(flown.height_sigma_ft, sink_fpm / S_PER_MIN))
    if not late.size:
        return Reading(gauge=gauge, value=TOP_FT, sigma=sigma_ft, note=note or "or higher")
    k = min(int(late[-1]) + 1, flown.time_s.size - 1)
    return Reading(
        gauge=gauge, value=float(np.clip(flown.above_ft[k], LOW_FT, TOP_FT)), sigma=sigma_ft,
        where=clock(float(flown.time_s[k])), note=note,
    )  # fmt: skip


def _off_line(flown: Arrival, line: tuple[float, float] | None) -> BoolArray:
    """Path, line, sink or bank amiss."""
    aim_ft = 1000.0 if line is None else line[1]
    to_go_ft = np.maximum(aim_ft - flown.along_ft, 1.0)
    angle_deg = np.degrees(np.arctan(flown.above_ft / to_go_ft))
    off = ~flown.final | (flown.climb_fpm < -SINK_FPM) | (np.abs(flown.bank_deg) > BANK_DEG)
    far = to_go_ft > 1500.0
    off |= far & ((angle_deg < PATH_DEG[0]) | (angle_deg > PATH_DEG[1]))
    return np.asarray(off | (np.abs(flown.right_ft) > LINE_FT + LINE_FRACTION * to_go_ft))


def _off_speed(case: Case, flown: Arrival, target_ias_kt: float | None) -> BoolArray | None:
    ias_kt = _column(case, flown.time_s, ("ias_kt",))
    if ias_kt is None or target_ias_kt is None:
        return None
    off_kt = ias_kt - target_ias_kt
    return np.asarray((off_kt < SLOW_KT) | (off_kt > FAST_KT))


def _moving(case: Case, flown: Arrival) -> BoolArray | None:
    """True until flaps and gear have come to where they stay."""
    amiss = None
    for names in (FLAP_CHANNELS, GEAR_CHANNELS):
        column = _column(case, flown.time_s, names)
        if column is None:
            continue
        before = (flown.time_s < flown.movement.time_s - 2.0) & np.isfinite(column)
        full = float(np.ptp(column[before])) if before.any() else 0.0
        last = float(column[before][-1]) if before.any() else 0.0
        moving = np.abs(column - last) > max(MOVING_FRACTION * full, 0.5 * (full > 2.0))
        amiss = moving if amiss is None else amiss | moving
    return amiss


def _column(case: Case, time_s: FloatArray, names: Sequence[str]) -> FloatArray | None:
    """The first of these channels that was recorded, at these moments."""
    for name in names:
        column = case.track.channels.get(name)
        if column is not None and np.isfinite(column).any():
            known = np.isfinite(column)
            return np.interp(time_s, case.track.time_s[known], column[known])
    return None


def _over(
    case: Case,
    gauge: Gauge,
    names: Sequence[str],
    limit: tuple[float, str],
    moving_kt: float | None,
) -> Reading:
    """The worst airspeed over the manual's while a thing was out, or on its way."""
    out = _column(case, case.track.time_s, names)
    ias_kt = case.track.channels.get("ias_kt")
    manual = replace(gauge, why=f"flight manual of {limit[1]}")
    if out is None or ias_kt is None:
        missing = f"recorded airspeed, and a channel such as {names[0]}"
        return Reading(gauge=manual, value=np.nan, sigma=0.0, missing=missing)
    lowest, top = float(np.nanmin(out)), float(np.nanmax(out))
    is_out = out > lowest + MOVING_FRACTION * (top - lowest)
    limit_kt = np.full(out.shape, limit[0])
    if moving_kt is not None:
        on_its_way = is_out & (out < top - MOVING_FRACTION * (top - lowest))
        limit_kt = np.where(on_its_way, min(moving_kt, limit[0]), limit_kt)
    over_kt = np.where(is_out & (ias_kt > STANDING_KT), ias_kt - limit_kt, np.nan)
    if not np.isfinite(over_kt).any():
        return Reading(gauge=manual, value=np.nan, sigma=0.0, missing="a flight in which it moves")
    k = int(np.nanargmax(over_kt))
    return Reading(
        gauge=manual,
        value=float(over_kt[k]),
        sigma=IAS_SIGMA_KT,
        where=clock(float(case.track.time_s[k])),
        note=f"{ias_kt[k]:.0f} kt against {limit_kt[k]:.0f} kt",
    )

"""One landing measured: where and how it met the runway, the flare before, the roll after."""

from typing import Final

import numpy as np

from lubberline.arrays import median, wrap_180_deg
from lubberline.flown.arrival import Arrival
from lubberline.flown.case import Case, clock
from lubberline.flown.channels import true_heading_at
from lubberline.flown.gauge import PLACE_COMMON_FT, Gauge, Reading, channel_at
from lubberline.flown.strip import NO_RUNWAY
from lubberline.units import FT_PER_NM, S_PER_H, S_PER_MIN

PAST_AIM: Final = Gauge(
    name="touchdown", label="touchdown past the point aimed at", unit="ft",
    why="on the point or within 400 ft beyond it", low=0.0, high=400.0, tolerance="touchdown_ft",
)  # fmt: skip
PAST_THRESHOLD: Final = Gauge(
    name="touchdown_threshold", label="touchdown past the threshold", unit="ft",
    why="in the first third of the runway",
)  # fmt: skip
OFF_CENTER: Final = Gauge(
    name="touchdown_centerline", label="touchdown right of the centerline", unit="ft",
    why="within a quarter of the runway's width",
    tolerance="touchdown_centerline_ft",
)  # fmt: skip
SINK: Final = Gauge(
    name="touchdown_sink", label="sink at touchdown", unit="ft/min",
    why="a firm landing and no more", high=300.0,
)  # fmt: skip
SPEED: Final = Gauge(
    name="touchdown_airspeed", label="airspeed at touchdown", unit="kt",
    why="slower than the speed of the final",
)  # fmt: skip
CRAB: Final = Gauge(
    name="touchdown_crab", label="nose right of the path at touchdown", unit="deg",
    why="wheels along the path, tires unharmed", low=-5.0, high=5.0,
)  # fmt: skip
THRESHOLD: Final = Gauge(
    name="threshold_height", label="height over the threshold", unit="ft",
    why="landing distances are given from 50 ft", low=15.0, high=80.0,
)  # fmt: skip
FLARE: Final = Gauge(
    name="flare_height", label="flare begun at", unit="ft",
    why="10 to 20 ft in the handbook, twice that at most", high=40.0,
)  # fmt: skip
FLOAT: Final = Gauge(
    name="float_time", label="from 10 ft to touchdown", unit="s",
    why="a longer float was begun too fast", high=8.0,
)  # fmt: skip
ROLLOUT: Final = Gauge(
    name="rollout", label="from touchdown to taxi speed", unit="ft",
    why="the runway that was left",
)  # fmt: skip
BRAKING: Final = Gauge(
    name="braking", label="deceleration on the roll", unit="ft/s²",
    why="brakes as for a normal stop", high=10.0,
)  # fmt: skip

TAXI_KT: Final = 15.0
SINK_S: Final = 2.5  # of descent before touchdown
FLARE_FPS2: Final = 0.7  # own: how fast the sink fades in a flare, where its end is not sure
FLOAT_FT: Final = 10.0
FLARED_FRACTION: Final = 0.75  # of the sink on final: less is a flare
FT_PER_KT_S: Final = FT_PER_NM / S_PER_H
HEADING_SIGMA_DEG: Final = 2.0  # own: a heading sensor and its alignment
IAS_SIGMA_KT: Final = 2.0  # own: instrument and position error near the approach speed


def landing_readings(
    case: Case, flown: Arrival, *, aim_ft: float | None, target_ias_kt: float | None
) -> list[Reading]:
    """All measures of one landing, in the order in which they happen."""
    return [
        *_before(case, flown),
        *_touch(flown, aim_ft),
        _sink(case, flown),
        _airspeed(case, flown, target_ias_kt),
        _crab(case, flown),
        *_roll(flown),
    ]


def _before(case: Case, flown: Arrival) -> list[Reading]:
    """Height over the threshold, flare, float."""
    touch_s = flown.movement.time_s
    crossed = flown.first(flown.final & (flown.along_ft >= 0.0))
    height_ft, over_s, missing = np.nan, touch_s, "a final that crosses the threshold"
    if not flown.strip.published:
        missing = NO_RUNWAY
    elif crossed:
        over_s = float(
            np.interp(0.0, flown.along_ft[crossed - 1 : crossed + 1],
                      flown.time_s[crossed - 1 : crossed + 1])
        )  # fmt: skip
        height_ft = flown.at(flown.above_ft, over_s)
    along_sigma_ft = np.hypot(flown.place_sigma_ft, PLACE_COMMON_FT) * 0.0524
    sigma_ft = float(np.hypot(flown.height_sigma_ft, along_sigma_ft))
    steady = flown.between(200.0, 60.0)
    flared_ft = np.nan
    if steady.any():
        sink_fpm = median(flown.climb_fpm[steady])
        slower = flown.climb_fpm > FLARED_FRACTION * sink_fpm
        steep = np.flatnonzero(~slower & flown.final & (flown.above_ft < 200.0))
        flared_ft = float(flown.above_ft[steep[-1]]) if steep.size and sink_fpm < 0.0 else np.nan
    high = np.flatnonzero((flown.above_ft > FLOAT_FT) & (flown.time_s < touch_s))
    float_s = np.nan
    if high.size and high[-1] + 1 < flown.time_s.size:
        k = int(high[-1])
        rows = slice(k, k + 2)
        passed_s = np.interp(-FLOAT_FT, -flown.above_ft[rows], flown.time_s[rows])
        float_s = max(touch_s - float(passed_s), 0.0)
    sink_fps = 4.0  # own: from ten feet down, about
    return [
        Reading(gauge=THRESHOLD, value=height_ft, sigma=sigma_ft, where=clock(over_s),
                missing=missing),
        Reading(gauge=FLARE, value=flared_ft, sigma=sigma_ft + 5.0,
                note="where the sink fell below three quarters of that on final"),
        Reading(gauge=FLOAT, value=float_s,
                sigma=float(np.hypot(flown.movement.sigma_s, sigma_ft / sink_fps))),
    ]  # fmt: skip


def _touch(flown: Arrival, aim_ft: float | None) -> list[Reading]:
    """Where the wheels met the runway."""
    move, strip = flown.movement, flown.strip
    past_ft = flown.at(flown.along_ft, move.time_s)
    place_ft = float(np.hypot(flown.place_sigma_ft, PLACE_COMMON_FT))
    speed_kt = flown.at(flown.ground_kt, move.time_s)
    sigma_ft = float(np.hypot(speed_kt * FT_PER_KT_S * move.sigma_s, place_ft))
    where = f"{clock(move.time_s)} on {strip.name}"
    lost = "" if strip.published else NO_RUNWAY
    aim_lost = lost or "the point aimed at, in feet past the threshold (--aim)"
    known = 1.0 if strip.published else np.nan
    quarter_ft = strip.quarter_ft
    return [
        Reading(gauge=PAST_AIM, value=past_ft * known - (np.nan if aim_ft is None else aim_ft),
                sigma=sigma_ft, where=where, missing=aim_lost),
        Reading(gauge=PAST_THRESHOLD.limited(low=0.0, high=_known(strip.length_ft / 3.0)),
                value=past_ft * known, sigma=sigma_ft, where=where, missing=lost),
        Reading(gauge=OFF_CENTER.limited(low=-quarter_ft, high=quarter_ft),
                value=flown.at(flown.right_ft, move.time_s) * known, sigma=place_ft,
                where=where, missing=lost),
    ]  # fmt: skip


def _known(value: float) -> float | None:
    return float(np.floor(value)) if np.isfinite(value) else None


def _sink(case: Case, flown: Arrival) -> Reading:
    """Slope of a straight line through the heights of the last seconds."""
    touch_s = flown.movement.time_s
    track = case.track
    height_ft = track.pressure_ft if case.by_pressure else track.gnss_ft
    near = (track.time_s >= touch_s - SINK_S) & (track.time_s <= touch_s) & np.isfinite(height_ft)
    if near.sum() < 2:
        return Reading(gauge=SINK, value=np.nan, sigma=0.0,
                       missing="two heights in the last 2.5 s before touchdown")  # fmt: skip
    since_s = track.time_s[near] - touch_s
    level_ft = height_ft[near] - flown.strip.slope_fraction * np.interp(
        track.time_s[near], flown.time_s, flown.along_ft
    )
    slope_fps = float(np.polyfit(since_s, level_ft, 1)[0])
    sensors = case.even.sensors
    noise_ft = sensors.pressure_noise_ft if case.by_pressure else 1.5 * sensors.gnss_noise_ft
    noise_ft = float(np.hypot(max(noise_ft, 0.3), sensors.pressure_step_ft / np.sqrt(12.0)))
    spread_s = float(np.sqrt(((since_s - since_s.mean()) ** 2).sum()))
    return Reading(
        gauge=SINK, value=-slope_fps * S_PER_MIN,
        sigma=float(
            np.linalg.norm(
                [noise_ft / max(spread_s, 0.5), 0.5, FLARE_FPS2 * flown.movement.sigma_s]
            )
        )
        * S_PER_MIN,
        note=f"mean over the last {SINK_S:g} s",
    )  # fmt: skip


def _airspeed(case: Case, flown: Arrival, target_ias_kt: float | None) -> Reading:
    touch_s = flown.movement.time_s
    return Reading(
        gauge=SPEED.limited(high=target_ias_kt), value=channel_at(case, "ias_kt", touch_s),
        sigma=IAS_SIGMA_KT, note=f"{flown.at(flown.ground_kt, touch_s):.0f} kt over the ground",
        missing="a recording with indicated airspeed (ias_kt); ground speed is none",
    )  # fmt: skip


def _crab(case: Case, flown: Arrival) -> Reading:
    """Heading less track over the ground just before the wheels touch."""
    at_s = flown.movement.time_s - 0.5
    heading_deg = true_heading_at(case, at_s)
    off_deg = float(wrap_180_deg(heading_deg - flown.at(flown.track_true_deg, at_s)))
    return Reading(gauge=CRAB, value=off_deg, sigma=HEADING_SIGMA_DEG,
                   missing="a heading that says its north (heading_mag_deg)")  # fmt: skip


def _roll(flown: Arrival) -> list[Reading]:
    """Distance and mean deceleration down to taxi speed; unknown after a touch-and-go.

    So it is where nothing rolled: a helicopter comes down at taxi speed or slower.
    """
    move, strip = flown.movement, flown.strip
    missing = "a roll to taxi speed"
    speed_kt = flown.at(flown.ground_kt, move.time_s)
    after = flown.time_s > move.time_s
    slow = flown.first(after & (flown.ground_kt <= TAXI_KT))
    if slow is None or speed_kt <= TAXI_KT or move.kind == "touch-and-go":
        return [Reading(gauge=one, value=np.nan, sigma=0.0, missing=missing)
                for one in (ROLLOUT, BRAKING)]  # fmt: skip
    down_ft = flown.at(flown.along_ft, move.time_s)
    run_ft = float(flown.along_ft[slow]) - down_ft
    taken_s = float(flown.time_s[slow]) - move.time_s
    left_ft = _known(strip.length_ft - down_ft) if strip.published else None
    sigma_ft = speed_kt * FT_PER_KT_S * move.sigma_s + flown.place_sigma_ft
    slowing = (speed_kt - TAXI_KT) * FT_PER_KT_S / max(taken_s, 1.0)
    return [
        Reading(gauge=ROLLOUT.limited(high=left_ft), value=run_ft, sigma=sigma_ft,
                note=f"to {TAXI_KT:g} kt"),
        Reading(gauge=BRAKING, value=slowing,
                sigma=slowing * (move.sigma_s / max(taken_s, 1.0) + 0.05)),
    ]  # fmt: skip

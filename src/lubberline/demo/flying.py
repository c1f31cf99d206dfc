"""Invented flights: a planned way flown second by second by a point-mass airplane with faults.

The path on the ground is laid out first (taxi, runway, route, pattern, runway, taxi), each
stretch gets its speed, the wind turns airspeed into ground speed, and the whole is sampled once
a second. Heights are what the altimeter shows; the air is taken to be standard, so that they
are true heights, too. Faults are added on top. Seeded: the same flight is flown each time.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.air import wind_triangle
from lubberline.arrays import FloatArray
from lubberline.earth import LocalPlane
from lubberline.fit import settings
from lubberline.flight import Plan
from lubberline.places import RunwayEnd
from lubberline.units import FT_PER_NM, KT_PER_MPS, S_PER_H, S_PER_MIN
from lubberline.ways import Way
from lubberline.weather import wind_at

STEP_NM: Final = 0.01
ROUNDING_NM: Final = 0.35  # turns are as wide as this in the air
TAXI_KT: Final = 11.0
LIFTOFF_KT: Final = 68.0
ROLL_MPS2: Final = 1.75
BRAKING_MPS2: Final = 1.4
CLIMB_TAS_KT: Final = 98.0
CRUISE_TAS_KT: Final = 140.0
DESCENT_TAS_KT: Final = 146.0
PATTERN_TAS_KT: Final = 92.0
FINAL_TAS_KT: Final = 76.0
DESCENT_FT_PER_NM: Final = 215.0
TOUCHDOWN_FT: Final = 650.0  # past the threshold
PATTERN_OFFSET_NM: Final = 0.9


@dataclass(frozen=True, slots=True, kw_only=True)
class Faults:
    """How this flight differs from the plan; zeros are a clean flight.

    ``height_swing_ft`` is the size of a slow swing in cruise, ``height_bias_ft`` a level held
    wrongly, ``track_swing_nm`` a slow weave about the route, ``start_down_late_nm`` how late the
    descent begins, ``takeoff_late_min`` time lost on the ground, ``final_fast_kt`` speed
    carried on final.
    """

    height_swing_ft: float = 30.0
    height_bias_ft: float = 0.0
    track_swing_nm: float = 0.05
    start_down_late_nm: float = 0.0
    takeoff_late_min: float = 0.0
    final_fast_kt: float = 0.0


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Truth:
    """What really happened, one row a second, shape (n,); seconds count from off block."""

    time_s: FloatArray
    lat_deg: FloatArray
    lon_deg: FloatArray
    msl_ft: FloatArray
    tas_kt: FloatArray
    heading_true_deg: FloatArray
    liftoff_s: float
    touchdown_s: float


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Stretch:
    """Rows of a part of the flight: seconds from its start, place in the plane, height, speed."""

    time_s: FloatArray
    east_nm: FloatArray
    north_nm: FloatArray
    msl_ft: FloatArray
    tas_kt: FloatArray
    heading_deg: FloatArray


def fly(plan: Plan, way: Way, faults: Faults, *, seed: int) -> Truth:
    """The flight from off block to parking, one row a second."""
    plane = LocalPlane(plan.departure.lat_deg, plan.departure.lon_deg)
    out, into = (setting.end for setting in settings(plan, way))
    out_ft, into_ft = plan.departure.elev_msl_ft, plan.destination.elev_msl_ft
    ramp, line_up = _beside(plane, out, 250.0, -600.0), _beside(plane, out, 30.0, 0.0)
    taxi = _rolled([ramp, _beside(plane, out, -80.0, -260.0), line_up], out_ft)
    waits_s = plan.flight.taxi_out_min * S_PER_MIN + faults.takeoff_late_min * S_PER_MIN
    roll = _run(plane, out, out_ft, from_ft=30.0, speeds_kt=(0.0, LIFTOFF_KT), mps2=ROLL_MPS2)
    air = _airborne(plan, way, faults, plane, out, into, np.random.default_rng(seed))
    from_ft = into.displaced_ft + TOUCHDOWN_FT
    fast_kt = FINAL_TAS_KT - 8.0 + faults.final_fast_kt
    stop = _run(
        plane, into, into_ft, from_ft=from_ft, speeds_kt=(fast_kt, TAXI_KT), mps2=BRAKING_MPS2
    )
    at = stop.east_nm[-1], stop.north_nm[-1]
    side = 1.0 if into.pattern_side == "right" else -1.0
    home = _rolled(
        [at, (at[0] + 0.03, at[1] + side * 0.07), (at[0] - 0.1, at[1] + side * 0.1)], into_ft
    )
    parts = [
        _parked(taxi, 0, max(30.0, waits_s - taxi.time_s[-1] - 10.0)),
        taxi,
        _parked(taxi, -1, 10.0),
        roll,
        air,
        stop,
        home,
        _parked(home, -1, 60.0),
    ]
    ends_s = np.cumsum([part.time_s[-1] for part in parts])
    return _sampled(parts, plane, liftoff_s=float(ends_s[3]), touchdown_s=float(ends_s[4]))


def _sampled(
    parts: list[_Stretch], plane: LocalPlane, *, liftoff_s: float, touchdown_s: float
) -> Truth:
    """All stretches one after another, sampled once a second."""
    starts_s = np.concatenate([[0.0], np.cumsum([part.time_s[-1] for part in parts])])
    time_s = np.concatenate([p.time_s + s for p, s in zip(parts, starts_s, strict=False)])
    second_s = np.arange(0.0, np.floor(starts_s[-1]) + 1.0)

    def column(name: str) -> FloatArray:
        return np.interp(second_s, time_s, np.concatenate([getattr(p, name) for p in parts]))

    turned_rad = np.radians(np.concatenate([part.heading_deg for part in parts]))
    heading_rad = np.interp(second_s, time_s, np.unwrap(turned_rad))
    lat_deg, lon_deg = plane.to_degrees(column("east_nm"), column("north_nm"))
    return Truth(
        time_s=second_s,
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        msl_ft=column("msl_ft"),
        tas_kt=column("tas_kt"),
        heading_true_deg=np.mod(np.degrees(heading_rad), 360.0),
        liftoff_s=liftoff_s,
        touchdown_s=touchdown_s,
    )


def _beside(
    plane: LocalPlane, end: RunwayEnd, along_ft: float, right_ft: float
) -> tuple[float, float]:
    """A place along a runway from its threshold and to the right of its centerline."""
    east_nm, north_nm = plane.to_plane_nm(end.lat_deg, end.lon_deg)
    course_rad = np.radians(end.true_deg)
    along_nm, right_nm = along_ft / FT_PER_NM, right_ft / FT_PER_NM
    return (
        float(east_nm + np.sin(course_rad) * along_nm + np.cos(course_rad) * right_nm),
        float(north_nm + np.cos(course_rad) * along_nm - np.sin(course_rad) * right_nm),
    )


def _parked(beside: _Stretch, index: int, length_s: float) -> _Stretch:
    """Standing still where another stretch begins or ends."""
    stand = {
        name: np.repeat(getattr(beside, name)[index], 2)
        for name in ("east_nm", "north_nm", "msl_ft", "heading_deg")
    }
    return _Stretch(time_s=np.array([0.0, length_s]), tas_kt=np.zeros(2), **stand)


def _rolled(corners: list[tuple[float, float]], elev_ft: float) -> _Stretch:
    """Taxi along corners at walking pace."""
    east_nm, north_nm = _polyline(np.array(corners), 0.01)
    time_s = _along_nm(east_nm, north_nm) / TAXI_KT * S_PER_H
    return _Stretch(
        time_s=time_s,
        east_nm=east_nm,
        north_nm=north_nm,
        msl_ft=np.full_like(time_s, elev_ft),
        tas_kt=np.full_like(time_s, TAXI_KT),
        heading_deg=_course_deg(east_nm, north_nm),
    )


def _run(
    plane: LocalPlane,
    end: RunwayEnd,
    elev_ft: float,
    *,
    from_ft: float,
    speeds_kt: tuple[float, float],
    mps2: float,
) -> _Stretch:
    """Straight along the runway, speeding up or slowing down evenly."""
    first_kt, last_kt = speeds_kt
    per_s_kt = np.sign(last_kt - first_kt) * mps2 * KT_PER_MPS
    time_s = np.linspace(0.0, (last_kt - first_kt) / per_s_kt, 60)
    gone_nm = (first_kt * time_s + per_s_kt * time_s**2 / 2.0) / S_PER_H
    places = [_beside(plane, end, from_ft + nm * FT_PER_NM, 0.0) for nm in gone_nm]
    return _Stretch(
        time_s=time_s,
        east_nm=np.array([place[0] for place in places]),
        north_nm=np.array([place[1] for place in places]),
        msl_ft=np.full_like(time_s, elev_ft),
        tas_kt=first_kt + per_s_kt * time_s,
        heading_deg=np.full_like(time_s, end.true_deg),
    )


def _airborne(
    plan: Plan,
    way: Way,
    faults: Faults,
    plane: LocalPlane,
    out: RunwayEnd,
    into: RunwayEnd,
    random: np.random.Generator,
) -> _Stretch:
    """From lift-off over the route and round the pattern to the touchdown."""
    roll_ft = (LIFTOFF_KT / KT_PER_MPS) ** 2 / (2.0 * ROLL_MPS2) * 3.28084
    lifted = [
        _beside(plane, out, 30.0 + roll_ft, 0.0),
        _beside(plane, out, 30.0 + roll_ft + 5_500.0, 0.0),
    ]
    route = _route(way, plane)
    pattern = _pattern(plane, into)
    east_nm, north_nm = _polyline(np.array([*lifted, *route, *pattern]), ROUNDING_NM)
    along_nm = _along_nm(east_nm, north_nm)
    left_nm = along_nm[-1] - along_nm
    pattern_nm = _along_nm(*np.array(pattern).T)[-1]
    msl_ft, level = _heights(plan, way, faults, along_nm, left_nm, pattern_nm=pattern_nm)
    tas_kt = _speeds(msl_ft, level, left_nm, faults, pattern_nm=pattern_nm)
    course_deg = _course_deg(east_nm, north_nm)
    wind_from_deg, wind_kt, _ = wind_at(plan.weather.aloft, msl_ft)
    correction_deg, ground_kt = wind_triangle(
        course_deg, tas_kt, wind_from_true_deg=wind_from_deg, wind_kt=wind_kt
    )
    time_s = np.concatenate([[0.0], np.cumsum(np.diff(along_nm) / ground_kt[1:] * S_PER_H)])
    weave_nm = faults.track_swing_nm * _swing(time_s, 300.0, random) * level
    course_rad = np.radians(course_deg)
    return _Stretch(
        time_s=time_s,
        east_nm=east_nm + np.cos(course_rad) * weave_nm,
        north_nm=north_nm - np.sin(course_rad) * weave_nm,
        msl_ft=msl_ft + faults.height_swing_ft * _swing(time_s, 170.0, random) * level,
        tas_kt=tas_kt,
        heading_deg=course_deg + correction_deg,
    )


def _route(way: Way, plane: LocalPlane) -> list[tuple[float, float]]:
    """The named places of the way between its ends that it turns at."""
    east_nm, north_nm = plane.to_plane_nm(way.path[:, 0], way.path[:, 1])
    course_deg = np.degrees(np.arctan2(np.diff(east_nm), np.diff(north_nm)))
    turns = np.flatnonzero(np.abs(np.diff(course_deg)) > 0.5) + 1
    return [(float(east_nm[index]), float(north_nm[index])) for index in turns]


def _pattern(plane: LocalPlane, end: RunwayEnd) -> list[tuple[float, float]]:
    """Downwind, base and final to the touchdown, on the end's own side."""
    side = 1.0 if end.pattern_side == "right" else -1.0
    beside_ft = side * PATTERN_OFFSET_NM * FT_PER_NM
    touchdown_ft = end.displaced_ft + TOUCHDOWN_FT
    rows = ((9_000.0, beside_ft), (-5_500.0, beside_ft), (-5_500.0, 0.0), (touchdown_ft, 0.0))
    return [_beside(plane, end, along_ft, right_ft) for along_ft, right_ft in rows]


def _heights(
    plan: Plan,
    way: Way,
    faults: Faults,
    along_nm: FloatArray,
    left_nm: FloatArray,
    *,
    pattern_nm: float,
) -> tuple[FloatArray, FloatArray]:
    """Height along the path, and 0 to 1 for how much of it is level cruise."""
    elev_ft = plan.destination.elev_msl_ft
    pattern_ft = elev_ft + plan.destination.pattern_agl_ft
    cruise_ft = way.cruise_msl_ft + faults.height_bias_ft
    path_east_nm, path_north_nm = LocalPlane(*way.path[0, :2]).to_plane_nm(*way.path[:, :2].T)
    planned_nm = _along_nm(path_east_nm, path_north_nm)
    top = int(np.argmax(way.path[:, 2]))
    climb_ft = np.interp(along_nm + 0.1, planned_nm[: top + 1], way.path[: top + 1, 2])
    climb_ft = np.where(climb_ft >= way.cruise_msl_ft - 1.0, np.inf, climb_ft)
    entry_nm = np.maximum(left_nm - pattern_nm, 0.0)
    down_nm = (cruise_ft - pattern_ft) / DESCENT_FT_PER_NM
    slope_ft_per_nm = (cruise_ft - pattern_ft) / max(down_nm - faults.start_down_late_nm, 2.0)
    descent_ft = pattern_ft + entry_nm * slope_ft_per_nm
    final_nm = 2.6  # abeam the threshold: from here it is downhill all the way
    final_ft = elev_ft + (pattern_ft - elev_ft) * np.minimum(left_nm / final_nm, 1.0) ** 1.08
    msl_ft = np.minimum.reduce(
        [
            climb_ft,
            np.full_like(along_nm, cruise_ft),
            descent_ft,
            final_ft + 0.0 * along_nm + np.where(left_nm > final_nm, np.inf, 0.0),
        ]
    )
    cruising = (msl_ft >= cruise_ft - 0.5).astype(float)
    width = max(int(1.0 / STEP_NM), 1)
    level = np.convolve(np.pad(cruising, width, mode="edge"), np.ones(2 * width + 1), "valid")
    return msl_ft, np.clip(level / (2 * width + 1) * 2.0 - 1.0, 0.0, 1.0)


def _speeds(
    msl_ft: FloatArray,
    level: FloatArray,
    left_nm: FloatArray,
    faults: Faults,
    *,
    pattern_nm: float,
) -> FloatArray:
    """True airspeed along the path, changing over about two miles."""
    climbing = np.gradient(msl_ft) > 0.5
    tas_kt = np.where(climbing, CLIMB_TAS_KT, np.where(level > 0.0, CRUISE_TAS_KT, DESCENT_TAS_KT))
    tas_kt = np.where(left_nm < pattern_nm + 1.5, PATTERN_TAS_KT, tas_kt)
    width = int(1.0 / STEP_NM)
    smooth_kt = np.convolve(
        np.pad(tas_kt, (width, width), mode="edge"), np.ones(2 * width + 1), "valid"
    ) / (2 * width + 1)
    end_kt = FINAL_TAS_KT + faults.final_fast_kt - 8.0 * np.exp(-left_nm / 0.06)
    final_share = np.clip((left_nm - 0.9) / 1.2, 0.0, 1.0)
    smooth_kt = smooth_kt * final_share + end_kt * (1.0 - final_share)
    return np.maximum(smooth_kt, LIFTOFF_KT - 10.0)


def _polyline(corners: FloatArray, rounding_nm: float) -> tuple[FloatArray, FloatArray]:
    """Places every hundredth of a mile along corners, with the corners rounded off."""
    corner_nm = _along_nm(corners[:, 0], corners[:, 1])
    count = max(int(corner_nm[-1] / STEP_NM), 2) + 1
    at_nm = np.linspace(0.0, corner_nm[-1], count)
    width = max(1, min(int(rounding_nm / STEP_NM), (count - 1) // 4))
    share = np.ones(2 * width + 1) / (2 * width + 1)
    east_nm, north_nm = (
        np.convolve(
            np.pad(
                np.interp(at_nm, corner_nm, corners[:, side]), width, "reflect", reflect_type="odd"
            ),
            share,
            "valid",
        )
        for side in (0, 1)
    )
    return east_nm, north_nm


def _along_nm(east_nm: FloatArray, north_nm: FloatArray) -> FloatArray:
    return np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(east_nm), np.diff(north_nm)))])


def _course_deg(east_nm: FloatArray, north_nm: FloatArray) -> FloatArray:
    return np.mod(np.degrees(np.arctan2(np.gradient(east_nm), np.gradient(north_nm))), 360.0)


def _swing(time_s: FloatArray, period_s: float, random: np.random.Generator) -> FloatArray:
    """A slow swing of size 1 with a little irregularity."""
    phase_rad = random.uniform(0.0, 2.0 * np.pi, 3)
    periods_s = period_s * np.array([1.0, 0.61, 2.3])
    sizes = np.array([0.75, 0.2, 0.3])
    waves = np.sin(2.0 * np.pi * time_s[:, None] / periods_s + phase_rad) * sizes
    return np.asarray(waves.sum(axis=1))

"""Invented flights: a planned way flown second by second by a point-mass airplane with faults.

Taxi, hold and roll, the track through the air and the way to the stand follow one another
without a jump in place, height or speed. Heights are what the altimeter shows; the air is taken
to be standard, so that they are true heights, too. All of it happens on the flat map on which the
way is straight, whose north is true within half a degree. Seeded: the same flight is flown each
time.
"""

from dataclasses import replace
from typing import Final

import numpy as np

from lubberline.air import wind_components_kt, wind_triangle
from lubberline.demo.ground import parked, rolled_out, taxied, took_off
from lubberline.demo.heights import Levels, drawn_wave, weave_nm
from lubberline.demo.line_on_map import Spot, beside_runway
from lubberline.demo.profile import LIFTOFF_TAS_KT, Profile, lay_profile
from lubberline.demo.route import AirTrack, air_track, weaving
from lubberline.demo.truth import Faults, Join, Stretch, Truth
from lubberline.demo.winds import Winds
from lubberline.earth import LocalPlane
from lubberline.fit import Setting, settings
from lubberline.flight import Plan
from lubberline.units import FT_PER_M, KT_PER_MPS, S_PER_MIN
from lubberline.ways import Way, problem_from_plan

ROLL_MPS2: Final = 1.6
BRAKING_MPS2: Final = 1.5
TOUCHDOWN_FT: Final = 500.0  # past the threshold
FLOAT_FT_PER_KT: Final = 40.0
EXIT_FT: Final = 1_250.0  # from the touchdown
STAND_FT, TAXIWAY_FT, HOLD_FT = 700.0, 300.0, 160.0  # beside the runway
LINE_UP_FT: Final = 100.0  # from the end
LINED_UP_S: Final = 8.0
PARKED_S: Final = 90.0  # recorded before off block and after on block


def fly(plan: Plan, way: Way, faults: Faults, *, join: Join, seed: int) -> Truth:
    """The flight from parking to parking, one row a second, lifting off as planned or late."""
    problem = problem_from_plan(plan, way.cruise_msl_ft)
    plane = problem.plane
    departure, destination = settings(plan, way)
    liftoff_s = (plan.flight.taxi_out_min + faults.takeoff_late_min) * S_PER_MIN
    before = _before(plane, departure, liftoff_s=liftoff_s)
    liftoff = float(before[-1].east_nm[-1]), float(before[-1].north_nm[-1])
    touchdown_ft = _touchdown_ft(destination, fast_kt=faults.final_fast_kt)
    waves = [drawn_wave(np.random.default_rng([seed, kind])) for kind in range(2)]
    ends = departure.end, destination.end
    track = air_track(way, plane, ends, liftoff=liftoff, touchdown_ft=touchdown_ft, join=join)
    track = weaving(track, weave_nm(track, faults, waves[0]))
    profile = lay_profile(
        track,
        _levels(departure, destination, way.cruise_msl_ft),
        problem.motion,
        winds=Winds(departure=departure, destination=destination, aloft=plan.weather.aloft),
        faults=faults,
        wave=waves[1],
    )
    speed_kt = float(profile.ground_kt[-1])
    after = _after(plane, destination, touchdown_ft=touchdown_ft, touchdown_kt=speed_kt)
    return _truth(
        plane,
        [*before, _airborne(track, profile), *after],
        liftoff_s=liftoff_s,
        touchdown_s=liftoff_s + float(profile.time_s[-1]),
        cruise_worst_ft=_worst_ft(profile, way.cruise_msl_ft),
    )


def _before(plane: LocalPlane, setting: Setting, *, liftoff_s: float) -> list[Stretch]:
    """Parked, taxi, hold, line up and roll; the hold is as long as is left until lift-off."""
    side, middle_ft = _stand_side(setting), setting.runway.length_ft / 2.0
    liftoff_kt = _liftoff_kt(setting)
    roll_ft = (liftoff_kt / KT_PER_MPS) ** 2 / (2.0 * ROLL_MPS2) * FT_PER_M

    def spot(along_ft: float, right_ft: float) -> Spot:
        return beside_runway(plane, setting.end, along_ft=along_ft, right_ft=side * right_ft)

    stand, taxiway = spot(middle_ft, STAND_FT), spot(middle_ft, TAXIWAY_FT)
    corner, hold, entry = spot(0.0, TAXIWAY_FT), spot(0.0, HOLD_FT), spot(0.0, 0.0)
    lined_up, liftoff = spot(LINE_UP_FT, 0.0), spot(LINE_UP_FT + roll_ft, 0.0)
    msl_ft = _runway_msl_ft(setting)
    out = taxied([stand, taxiway, corner, hold], msl_ft=msl_ft)
    line_up = taxied([hold, entry, lined_up], msl_ft=msl_ft)
    roll = took_off([lined_up, liftoff], msl_ft=msl_ft, liftoff_kt=liftoff_kt)
    held_s = liftoff_s - out.length_s - line_up.length_s - LINED_UP_S - roll.length_s
    return [
        parked(out, 0, length_s=PARKED_S),
        out,
        parked(out, -1, length_s=held_s),
        line_up,
        parked(line_up, -1, length_s=LINED_UP_S),
        replace(roll, tas_kt=roll.tas_kt + _headwind_kt(setting)),
    ]


def _after(
    plane: LocalPlane, setting: Setting, *, touchdown_ft: float, touchdown_kt: float
) -> list[Stretch]:
    """Landing roll, taxi to the stand, parked."""
    side, middle_ft = _stand_side(setting), setting.runway.length_ft / 2.0
    places = [
        (touchdown_ft, 0.0),
        (touchdown_ft + EXIT_FT, 0.0),
        (touchdown_ft + EXIT_FT, TAXIWAY_FT),
        (middle_ft, TAXIWAY_FT),
        (middle_ft, STAND_FT),
    ]
    corners = [
        beside_runway(plane, setting.end, along_ft=along_ft, right_ft=side * right_ft)
        for along_ft, right_ft in places
    ]
    home = rolled_out(
        corners, msl_ft=_runway_msl_ft(setting), touchdown_kt=touchdown_kt, mps2=BRAKING_MPS2
    )
    stand = parked(home, -1, length_s=PARKED_S)
    return [replace(home, tas_kt=home.tas_kt + _headwind_kt(setting)), stand]


def _airborne(track: AirTrack, profile: Profile) -> Stretch:
    return Stretch(
        time_s=profile.time_s,
        east_nm=track.line.east_nm,
        north_nm=track.line.north_nm,
        msl_ft=profile.msl_ft,
        tas_kt=profile.tas_kt,
        heading_true_deg=track.line.course_true_deg + profile.correction_deg,
    )


def _truth(
    plane: LocalPlane,
    parts: list[Stretch],
    *,
    liftoff_s: float,
    touchdown_s: float,
    cruise_worst_ft: float,
) -> Truth:
    """All parts one after another, the first one before off block, sampled once a second."""
    starts_s = np.cumsum([-PARKED_S, *(part.length_s for part in parts)])
    time_s = np.concatenate([p.time_s + s for p, s in zip(parts, starts_s[:-1], strict=True)])
    second_s = np.arange(-PARKED_S, np.floor(starts_s[-1]) + 1.0)
    heading_rad = np.unwrap(np.radians(np.concatenate([p.heading_true_deg for p in parts])))
    east_nm, north_nm, msl_ft, tas_kt = (
        np.interp(second_s, time_s, np.concatenate([getattr(part, name) for part in parts]))
        for name in ("east_nm", "north_nm", "msl_ft", "tas_kt")
    )
    lat_deg, lon_deg = plane.to_degrees(east_nm, north_nm)
    return Truth(
        time_s=second_s,
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        msl_ft=msl_ft,
        tas_kt=tas_kt,
        heading_true_deg=np.mod(np.degrees(np.interp(second_s, time_s, heading_rad)), 360.0),
        liftoff_s=liftoff_s,
        touchdown_s=touchdown_s,
        on_block_s=float(starts_s[-2]),
        cruise_worst_ft=cruise_worst_ft,
    )


def _levels(departure: Setting, destination: Setting, cruise_msl_ft: float) -> Levels:
    field = destination.aerodrome
    return Levels(
        departure_msl_ft=_runway_msl_ft(departure),
        destination_msl_ft=_runway_msl_ft(destination),
        cruise_msl_ft=cruise_msl_ft,
        pattern_msl_ft=field.elev_msl_ft + field.pattern_agl_ft,
    )


def _worst_ft(profile: Profile, cruise_msl_ft: float) -> float:
    """The greatest deviation from the cruising height, with its sign."""
    off_ft = profile.msl_ft[profile.level] - cruise_msl_ft
    return float(off_ft[np.argmax(np.abs(off_ft))])


def _touchdown_ft(setting: Setting, *, fast_kt: float) -> float:
    """Where the wheels touch, along the runway from its end; speed carried on floats farther."""
    return setting.end.displaced_ft + TOUCHDOWN_FT + FLOAT_FT_PER_KT * fast_kt


def _runway_msl_ft(setting: Setting) -> float:
    """Height of the middle of the runway; invented runways are level."""
    return sum(end.elev_msl_ft for end in setting.runway.ends) / 2.0


def _stand_side(setting: Setting) -> float:
    """The stand is to the right of the runway's first end, so to the left of its other one."""
    return 1.0 if setting.end == setting.runway.ends[0] else -1.0


def _headwind_kt(setting: Setting) -> float:
    wind = setting.wind
    if wind is None or wind.from_true_deg is None:
        return 0.0
    head_kt, _ = wind_components_kt(
        setting.end.true_deg, wind_from_true_deg=wind.from_true_deg, wind_kt=wind.mean_kt
    )
    return float(head_kt)


def _liftoff_kt(setting: Setting) -> float:
    """Ground speed along the runway at lift-off."""
    wind = setting.wind
    if wind is None or wind.from_true_deg is None:
        return LIFTOFF_TAS_KT
    _, ground_kt = wind_triangle(
        setting.end.true_deg,
        LIFTOFF_TAS_KT,
        wind_from_true_deg=wind.from_true_deg,
        wind_kt=wind.mean_kt,
    )
    return float(ground_kt)

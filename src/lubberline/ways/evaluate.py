"""The exact evaluation of one of the pilot's own routes: path, legs, price, and its check."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from lubberline.air import wind_from_east_north
from lubberline.arrays import FloatArray, IntArray, wrap_360_deg
from lubberline.earth import middle_course_deg
from lubberline.units import MIN_PER_H
from lubberline.ways.checker import check
from lubberline.ways.model import Leg, LegPhase, Way
from lubberline.ways.motion import Flown, fly, require_flyable
from lubberline.ways.problem import WaysProblem
from lubberline.ways.profile import lay_profile
from lubberline.ways.slow_airspace import SlowAirspace
from lubberline.ways.slowing import fly_within_limits, limit_places
from lubberline.ways.track import Place, make_track


def evaluate(
    problem: WaysProblem,
    name: str,
    *,
    via: Sequence[Place],
    cruise_msl_ft: float,
    permissions: frozenset[str],
) -> Way:
    """One route at one cruising height, with times, fuel, encounters and findings.

    Parameters
    ----------
    problem : WaysProblem
    name : str
        What the way is called.
    via : sequence of places
        Points between the aerodromes, in order.
    cruise_msl_ft : float
        Cruising height [ft MSL]; a short way has a lower top.
    permissions : frozenset of str
        Groups whose volumes may be entered.

    Raises
    ------
    RangeError
        If the cruising height is not above both aerodromes.
    NoSolution
        If the wind does not let the airplane fly the route.
    """
    track = make_track(problem, via)
    profile = lay_profile(problem, track, cruise_msl_ft=cruise_msl_ft)
    east_nm, north_nm = track.place_nm(profile.along_nm)
    flown = fly(
        problem.motion, problem.wind, east_nm=east_nm, north_nm=north_nm, msl_ft=profile.msl_ft
    )
    require_flyable(flown, msl_ft=profile.msl_ft, aloft=problem.wind)
    return way_of_rows(
        problem, name, Rows(east_nm, north_nm, profile.msl_ft, profile.names), permissions,
        cruise_msl_ft=cruise_msl_ft, flown=flown,
    )  # fmt: skip


class Rows(NamedTuple):
    """Rows of a path in the problem's plane, (m,) each, with a name per row or ""."""

    east_nm: FloatArray
    north_nm: FloatArray
    msl_ft: FloatArray
    names: tuple[str, ...]


def way_of_rows(
    problem: WaysProblem,
    name: str,
    rows: Rows,
    permissions: frozenset[str],
    *,
    cruise_msl_ft: float,
    flown: Flown,
) -> Way:
    """Rows that are flown become a way: its legs, its price, and its check.

    Where the law limits the speed they are flown slower than ``flown`` says.
    """
    if problem.slow is not None:
        rows, flown = slowed(problem, problem.slow, rows)
    path = _path(problem, rows.east_nm, rows.north_nm, rows.msl_ft, flown)
    report = check(problem, path, permissions)
    steps_nm = np.hypot(np.diff(rows.east_nm), np.diff(rows.north_nm))
    return Way(
        name=name,
        permissions=permissions,
        path=path,
        point_names=rows.names,
        legs=_legs(problem, path, rows, flown, steps_nm=steps_nm),
        time_min=float(path[-1, 3]),
        fuel_gal=float(flown.fuel_gal.sum()),
        distance_nm=float(steps_nm.sum()),
        cruise_msl_ft=cruise_msl_ft,
        encounters=report.encounters,
        findings=report.findings,
        violations=report.violations,
    )


def slowed(problem: WaysProblem, slow: SlowAirspace, rows: Rows) -> tuple[Rows, Flown]:
    """Rows with one where a limit begins or ends, and how they are flown within it."""
    place, limited = limit_places(
        problem, slow, east_nm=rows.east_nm, north_nm=rows.north_nm, msl_ft=rows.msl_ft
    )
    old = np.arange(len(rows.names), dtype=float)
    east_nm, north_nm, msl_ft = (np.interp(place, old, column) for column in rows[:3])
    names = tuple(rows.names[int(one)] if one == int(one) else "" for one in place)
    flown = fly_within_limits(problem, limited, east_nm=east_nm, north_nm=north_nm, msl_ft=msl_ft)
    require_flyable(flown, msl_ft=msl_ft, aloft=problem.wind)
    return Rows(east_nm, north_nm, msl_ft, names), flown


def _path(
    problem: WaysProblem,
    east_nm: FloatArray,
    north_nm: FloatArray,
    msl_ft: FloatArray,
    flown: Flown,
) -> FloatArray:
    lat_deg, lon_deg = problem.plane.to_degrees(east_nm, north_nm)
    after_min = np.concatenate([[0.0], np.cumsum(flown.time_min)])
    return np.column_stack([lat_deg, lon_deg, msl_ft, after_min])


def _legs(
    problem: WaysProblem,
    path: FloatArray,
    rows: Rows,
    flown: Flown,
    *,
    steps_nm: FloatArray,
) -> tuple[Leg, ...]:
    """The pieces between named rows, each straight and of one phase."""
    names = rows.names
    ends = np.flatnonzero([bool(name) for name in names])
    first, last = ends[:-1], ends[1:]
    sums = {
        "distance_nm": _sums(steps_nm, first),
        "time_min": _sums(flown.time_min, first),
        "fuel_gal": _sums(flown.fuel_gal, first),
    }
    air_nm = _sums(flown.air_nm, first)
    drift = _sums(flown.drift_east_nm, first), _sums(flown.drift_north_nm, first)
    hours = np.maximum(sums["time_min"], 1e-12) / MIN_PER_H
    wind_from_deg, wind_kt = wind_from_east_north(drift[0] / hours, drift[1] / hours)
    true_deg = np.nan_to_num(middle_course_deg(*path[first, :2].T, *path[last, :2].T))
    correction_deg = _correction_deg(rows, first, last, drift)
    columns = {
        "true_deg": wrap_360_deg(true_deg),
        "mag_deg": wrap_360_deg(true_deg - problem.rules.variation_deg),
        "heading_mag_deg": wrap_360_deg(true_deg + correction_deg - problem.rules.variation_deg),
        "from_msl_ft": path[first, 2],
        "to_msl_ft": path[last, 2],
        "wind_from_true_deg": wind_from_deg,
        "wind_kt": wind_kt,
        "tas_kt": air_nm / hours,
        "ground_kt": sums["distance_nm"] / hours,
        **sums,
    }
    legs = zip(*(column.tolist() for column in columns.values()), strict=True)
    return tuple(
        Leg(
            from_name=names[start],
            to_name=names[end],
            phase=_phase(float(path[start, 2]), float(path[end, 2])),
            **dict(zip(columns, leg, strict=True)),
        )
        for start, end, leg in zip(first.tolist(), last.tolist(), legs, strict=True)
    )


def _sums(column: FloatArray, first: IntArray) -> FloatArray:
    return np.add.reduceat(column, first)


def _phase(from_msl_ft: float, to_msl_ft: float) -> LegPhase:
    if abs(to_msl_ft - from_msl_ft) < 1e-6:  # rounding
        return "cruise"
    return "climb" if to_msl_ft > from_msl_ft else "descent"


def _correction_deg(
    rows: Rows, first: IntArray, last: IntArray, drift_nm: tuple[FloatArray, FloatArray]
) -> FloatArray:
    """Angle from the track to the mean motion through the air, positive to the right."""
    run_east = rows.east_nm[last] - rows.east_nm[first]
    run_north = rows.north_nm[last] - rows.north_nm[first]
    air_east, air_north = run_east - drift_nm[0], run_north - drift_nm[1]
    turn = np.arctan2(
        air_east * run_north - air_north * run_east, air_east * run_east + air_north * run_north
    )
    return np.degrees(turn)

"""The planned track on the map: how far from it the flight was, and which course belongs where.

The pledge's points are joined by straight lines in a local plane around their middle. The course
of a leg is that of the geodesic, which turns a little along the way. A place belongs to the leg
it is nearest to; where two legs are about as near (an out-and-back), to the one that is flown
in its own direction.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, IntArray, wrap_180_deg, wrap_360_deg
from lubberline.earth import LocalPlane, course_and_distance
from lubberline.flight import Pledge
from lubberline.flown.case import NO_PLEDGE, NOT_PLACED, Case, Measure, clock, measured, not_known
from lubberline.flown.even import EvenTrack
from lubberline.line import Finding
from lubberline.units import S_PER_H

DISTANCE: Final = Measure(
    name="track_distance",
    label="off the planned track",
    unit="NM",
    tolerances=("route_distance_nm",),
)
FIX_SIGMA_NM: Final = 0.01  # own: a fix, its projection, and a straight line between two fixes
SHORT_LEG_NM: Final = 0.01  # two points at one place make no leg
AS_NEAR_NM: Final = 0.5
LONG_GAP_S: Final = 60.0  # own: shorter gaps are passed over
NO_AIR: Final = "a recording that holds the flight"


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Route:
    """Legs of the planned track; columns of shape (l,), places of both ends in the plane."""

    plane: LocalPlane
    from_east_nm: FloatArray
    from_north_nm: FloatArray
    to_east_nm: FloatArray
    to_north_nm: FloatArray
    first_true_deg: FloatArray
    last_true_deg: FloatArray


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class OnRoute:
    """For each of some steps, shape (k,): distance, leg, course there, distance to a turn."""

    distance_nm: FloatArray
    leg_index: IntArray
    course_true_deg: FloatArray
    to_turn_nm: FloatArray


def route_of(pledge: Pledge) -> Route | None:
    """The planned track, None if all its points are at one place."""
    lat_deg = np.array([point.lat_deg for point in pledge.points])
    lon_deg = np.array([point.lon_deg for point in pledge.points])
    lon_deg = np.unwrap(lon_deg, period=360.0)
    middle_deg = (float(lon_deg.min()) + float(lon_deg.max())) / 2.0
    plane = LocalPlane(
        lat_deg=(float(lat_deg.min()) + float(lat_deg.max())) / 2.0,
        lon_deg=float(wrap_180_deg(middle_deg)),
    )
    east_nm, north_nm = plane.to_plane_nm(lat_deg, lon_deg)
    legs = np.hypot(np.diff(east_nm), np.diff(north_nm)) > SHORT_LEG_NM
    if not legs.any():
        return None
    first_deg, _ = course_and_distance(lat_deg[:-1], lon_deg[:-1], lat_deg[1:], lon_deg[1:])
    back_deg, _ = course_and_distance(lat_deg[1:], lon_deg[1:], lat_deg[:-1], lon_deg[:-1])
    return Route(
        plane=plane,
        from_east_nm=east_nm[:-1][legs],
        from_north_nm=north_nm[:-1][legs],
        to_east_nm=east_nm[1:][legs],
        to_north_nm=north_nm[1:][legs],
        first_true_deg=first_deg[legs],
        last_true_deg=wrap_360_deg(back_deg[legs] + 180.0),
    )


def on_route(route: Route, even: EvenTrack, index: IntArray, *, turn_deg: float) -> OnRoute:
    """Where steps lie on the route; turns are points where the course changes by more."""
    east_nm, north_nm = route.plane.to_plane_nm(even.lat_deg[index], even.lon_deg[index])
    away_nm, along = _to_legs(route, east_nm, north_nm)
    swing_deg = wrap_180_deg(route.last_true_deg - route.first_true_deg)
    course_deg = wrap_360_deg(route.first_true_deg + along * swing_deg)
    known_nm = np.where(np.isfinite(away_nm), away_nm, np.inf)
    least_nm = known_nm.min(axis=1, keepdims=True)
    off_deg = np.abs(wrap_180_deg(even.track_true_deg[index][:, None] - course_deg))
    rival = known_nm <= least_nm + AS_NEAR_NM
    leg_index = np.argmin(np.where(rival, np.nan_to_num(off_deg, nan=180.0), np.inf), axis=1)
    rows = np.arange(index.size)
    return OnRoute(
        distance_nm=np.where(np.isfinite(east_nm), least_nm[:, 0], np.nan),
        leg_index=leg_index.astype(np.int64),
        course_true_deg=course_deg[rows, leg_index],
        to_turn_nm=_to_turn_nm(route, east_nm, north_nm, turn_deg),
    )


def track_distance(case: Case) -> list[Finding]:
    """The greatest distance from the planned track, from take-off to landing."""
    route = None if case.pledge is None else route_of(case.pledge)
    if case.pledge is None or route is None:
        missing = NO_PLEDGE if case.pledge is None else "a pledge with a way between two places"
        return [not_known(DISTANCE, case.standard, missing)]
    if case.aloft_index.size == 0:
        return [not_known(DISTANCE, case.standard, NO_AIR)]
    placed = on_route(route, case.even, case.aloft_index, turn_deg=180.0)
    worst = int(np.argmax(np.nan_to_num(placed.distance_nm, nan=-1.0)))
    value_nm = float(placed.distance_nm[worst])
    if not np.isfinite(value_nm):
        return [not_known(DISTANCE, case.standard, NOT_PLACED)]
    found = measured(
        DISTANCE,
        case.standard,
        value_nm,
        sigma=FIX_SIGMA_NM,
        where=case.where(int(case.aloft_index[worst])),
    )
    return [_with_gaps(case, found, placed.distance_nm)]


def long_gaps(case: Case) -> list[tuple[int, int, float]]:
    """Gaps in flight: positions in ``aloft_index`` before and after, and the length [s]."""
    time_s = case.even.time_s[case.aloft_index]
    wide_s = np.diff(time_s)
    return [(int(k), int(k) + 1, float(wide_s[k])) for k in np.flatnonzero(wide_s > LONG_GAP_S)]


def reach_nm(case: Case, gap_s: float) -> float:
    """How far the airplane can have flown in a gap: at the fastest that it flew."""
    return float(np.nanmax(case.even.ground_kt[case.aloft_index])) * gap_s / S_PER_H


def _with_gaps(case: Case, found: Finding, distance_nm: FloatArray) -> Finding:
    """The finding, unknown if it can have been outside in a gap and nothing else was."""
    limit = found.limit.high
    if limit is None or (found.value is not None and found.value > limit):
        return found
    for before, after, gap_s in long_gaps(case):
        # On a path of length L from a to b nothing is farther away than (a + b + L) / 2.
        ends_nm = float(distance_nm[before] + distance_nm[after])
        if (ends_nm + reach_nm(case, gap_s)) / 2.0 > limit:
            start_s, end_s = case.even.time_s[case.aloft_index[[before, after]]]
            missing = f"the track from {clock(float(start_s))} to {clock(float(end_s))}"
            note = f"elsewhere at most {found.value:.2f} NM"
            return not_known(DISTANCE, case.standard, missing, note=note)
    return found


def _to_legs(
    route: Route, east_nm: FloatArray, north_nm: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Distance to each leg (k, l), and how far along it the nearest place lies, 0 to 1."""
    leg_east_nm = route.to_east_nm - route.from_east_nm
    leg_north_nm = route.to_north_nm - route.from_north_nm
    off_east_nm = east_nm[:, None] - route.from_east_nm
    off_north_nm = north_nm[:, None] - route.from_north_nm
    along_nm2 = off_east_nm * leg_east_nm + off_north_nm * leg_north_nm
    along = np.clip(along_nm2 / (leg_east_nm**2 + leg_north_nm**2), 0.0, 1.0)
    away_nm = np.hypot(off_east_nm - along * leg_east_nm, off_north_nm - along * leg_north_nm)
    return away_nm, along


def _to_turn_nm(
    route: Route, east_nm: FloatArray, north_nm: FloatArray, turn_deg: float
) -> FloatArray:
    """Distance to the nearest point where the course changes; infinite if there is none."""
    turn = np.abs(wrap_180_deg(route.first_true_deg[1:] - route.last_true_deg[:-1]))
    turns: BoolArray = turn > turn_deg
    if not turns.any():
        return np.full(east_nm.shape, np.inf)
    away_nm = np.hypot(
        east_nm[:, None] - route.to_east_nm[:-1][turns],
        north_nm[:, None] - route.to_north_nm[:-1][turns],
    )
    return np.asarray(away_nm.min(axis=1))

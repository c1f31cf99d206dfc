"""The independent check of any path against a problem: exact, and judge of every search.

It knows nothing of how a path was found: it gets rows and permissions, and looks at every
volume, the ground, the levels, the ceiling, the ends and the airplane's motion. No path is
shown as a way without its report.
"""

from collections.abc import Iterator
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.line import Finding, Limit, unknown
from lubberline.ways.airspace import check_airspace
from lubberline.ways.heights import check_ceiling, check_terrain
from lubberline.ways.levels import check_levels, check_turns
from lubberline.ways.model import CheckReport, Violation
from lubberline.ways.motion import fly, wind_toward_kt
from lubberline.ways.problem import WayEnd, WaysProblem
from lubberline.ways.samples import Samples, densified, path_samples
from lubberline.ways.slowing import fly_within_limits, limit_places
from lubberline.ways.tolerance import LATERAL_TOLERANCE_NM, VERTICAL_TOLERANCE_FT, Kept

# Own: a path given in rounded numbers may seem this much quicker than the airplane.
LEG_TOLERANCE_MIN: Final = 0.02
PATH_TOLERANCE_FRACTION: Final = 0.001
PATH_TOLERANCE_MIN: Final = 0.05


def check(problem: WaysProblem, path: FloatArray, permissions: frozenset[str]) -> CheckReport:
    """What an exact check of one path comes to.

    Parameters
    ----------
    problem : WaysProblem
        What is asked of a path.
    path : ndarray, shape (m, 4), m at least 2
        Latitude [deg], longitude [deg], height [ft MSL], minutes after take-off; straight in
        the problem's plane, linear in height and time between rows.
    permissions : frozenset of str
        Groups whose volumes may be entered.

    Returns
    -------
    CheckReport
        ``clean`` only if nothing is broken and nothing is left undecided.

    Raises
    ------
    ShapeError, RangeError
        If the path is none: wrong shape, not finite, time running backwards.
    """
    rows = path_samples(problem, path)
    sampled = densified(problem, rows)
    airspace = check_airspace(problem, rows, sampled, permissions)
    parts = [
        airspace.kept,
        check_terrain(problem, sampled),
        check_ceiling(problem, rows),
        check_levels(problem, rows, sampled),
        check_turns(problem, rows),
        *_off_ends(problem, rows),
        check_motion(problem, rows),
    ]
    violations = [violation for part in parts for violation in part.violations]
    return CheckReport(
        encounters=airspace.encounters,
        violations=tuple(sorted(violations, key=lambda one: one.spot.after_min)),
        findings=tuple(finding for part in parts for finding in part.findings),
    )


def check_motion(problem: WaysProblem, rows: Samples) -> Kept:
    """Whether the airplane can keep the path's times; unknown where no wind is on file.

    Slower is allowed: a path may wait.
    """
    needed_min = _needed_min(problem, rows)
    still = problem.wind.msl_ft.size == 0
    guess = unknown(_wind_limit(problem), "winds aloft", note="reckoned in still air")
    findings = (guess,) if still else ()
    if np.isnan(needed_min).any():
        return _unflyable(problem, rows, int(np.argmax(np.isnan(needed_min))))
    lack_min = needed_min - np.diff(rows.after_min)
    worst, total_min = int(np.argmax(lack_min)), float(lack_min.sum())
    allowed_min = PATH_TOLERANCE_MIN + PATH_TOLERANCE_FRACTION * float(rows.after_min[-1])
    if lack_min[worst] <= LEG_TOLERANCE_MIN and total_min <= allowed_min:
        return Kept(findings=findings)
    spot, short_min = rows.spot(worst), max(float(lack_min[worst]), total_min)
    what = "faster than the airplane flies"
    violation = Violation(rule="motion", what=what, spot=spot, short_min=short_min)
    finding = Finding(limit=_motion_limit(), value=short_min, where=spot.words)
    return Kept(violations=(violation,), findings=(*findings, finding))


def _needed_min(problem: WaysProblem, rows: Samples) -> FloatArray:
    """What the airplane needs for each leg, no faster than allowed; NaN where it cannot."""
    columns = {"east_nm": rows.east_nm, "north_nm": rows.north_nm, "msl_ft": rows.msl_ft}
    if problem.slow is None:
        return fly(problem.motion, problem.wind, **columns).time_min
    place, limited = limit_places(problem, problem.slow, **columns)
    split = {key: np.interp(place, rows.row_index, column) for key, column in columns.items()}
    flown = fly_within_limits(problem, limited, **split)
    return np.asarray(np.bincount(place[:-1].astype(np.int64), weights=flown.time_min))


def _unflyable(problem: WaysProblem, rows: Samples, leg: int) -> Kept:
    """A leg that no heading holds: the wind there outruns the airplane."""
    spot, what = rows.spot(leg), "not flyable in this wind"
    wind_kt = float(np.hypot(*wind_toward_kt(problem.wind, spot.msl_ft)))
    finding = Finding(limit=_wind_limit(problem), value=wind_kt, where=spot.words)
    violation = Violation(rule="motion", what=what, spot=spot)
    return Kept(violations=(violation,), findings=(finding,))


def _off_ends(problem: WaysProblem, rows: Samples) -> Iterator[Kept]:
    """Both ends of the path against their aerodromes."""
    ends = (problem.departure, problem.destination)
    ends_nm = problem.plane.to_plane_nm(
        [one.lat_deg for one in ends], [one.lon_deg for one in ends]
    )
    off_nm = np.hypot(rows.east_nm[[0, -1]] - ends_nm[0], rows.north_nm[[0, -1]] - ends_nm[1])
    for end, row, away_nm in zip(ends, (0, -1), off_nm.tolist(), strict=True):
        yield _off_end(rows, end, row, away_nm)


def _off_end(rows: Samples, end: WayEnd, row: int, off_nm: float) -> Kept:
    """One end of the path against its aerodrome; nothing to tell if it is there."""
    off_ft = abs(float(rows.msl_ft[row]) - end.elev_msl_ft)
    findings = [
        Finding(limit=_end_limit(end, unit, tolerance), value=value, where=rows.spot(row).words)
        for unit, value, tolerance in (
            ("NM", off_nm, LATERAL_TOLERANCE_NM),
            ("ft", off_ft, VERTICAL_TOLERANCE_FT),
        )
        if value > tolerance
    ]
    if not findings:
        return Kept()
    violation = Violation(
        rule="ends",
        what=f"does not {'begin' if row == 0 else 'end'} at {end.id}",
        spot=rows.spot(row),
        short_nm=off_nm,
        short_ft=off_ft,
    )
    return Kept(violations=(violation,), findings=tuple(findings))


def _end_limit(end: WayEnd, unit: str, tolerance: float) -> Limit:
    return Limit(
        key=f"ways.end.{end.id}",
        label=f"distance from {end.id}",
        unit=unit,
        high=tolerance,
        basis="own",
        source="own: a way begins and ends on its aerodromes",
    )


def _motion_limit() -> Limit:
    return Limit(
        key="ways.motion",
        label="time the airplane would need longer",
        unit="min",
        high=LEG_TOLERANCE_MIN,
        basis="manual",
        source="speeds and rates of the airplane, as its file or the problem gives them",
    )


def _wind_limit(problem: WaysProblem) -> Limit:
    return Limit(
        key="ways.wind",
        label="wind against cruising airspeed",
        unit="kt",
        high=problem.motion.cruise_tas_kt,
        basis="manual",
        source="cruising airspeed of the airplane, as its file or the problem gives it",
    )

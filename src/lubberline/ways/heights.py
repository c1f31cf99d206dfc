"""Heights a path must keep: above the ground, and under the airplane's ceiling.

The height above ground that is asked for falls linearly to nothing at the two aerodromes.
Where the ground is not known, neither is the height above it.
"""

from math import inf
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.line import Finding, Limit, unknown
from lubberline.ways.model import Violation
from lubberline.ways.problem import WaysProblem
from lubberline.ways.samples import Samples
from lubberline.ways.tolerance import VERTICAL_TOLERANCE_FT, Kept, at_least, at_most, stretches

TERRAIN_DATA: Final = "terrain data for the ground along the way"
_LAW_FT: Final = 500.0  # [14CFR91.119]_


def check_terrain(problem: WaysProblem, sampled: Samples) -> Kept:
    """Height above the ground against what is asked for, ramped to 0 at the aerodromes."""
    least_ft = problem.rules.min_agl_ft
    share_ratio, ground_ft = ramp(problem, sampled.east_nm, sampled.north_nm, sampled.ground_ft)
    # What the height comes to where all of the limit is asked for.
    kept_ft = sampled.msl_ft - ground_ft + least_ft * (1.0 - share_ratio)
    short = kept_ft < least_ft - VERTICAL_TOLERANCE_FT
    violations = tuple(
        Violation(
            rule="terrain",
            what="too near to the ground",
            spot=sampled.spot(rows.start),
            short_ft=float(np.max(least_ft - kept_ft[rows])),
        )
        for rows in stretches(short)
    )
    finding = _terrain_finding(sampled, kept_ft, share_ratio, _terrain_limit(least_ft))
    return Kept(violations=violations, findings=(finding,))


def check_ceiling(problem: WaysProblem, rows: Samples) -> Kept:
    """The greatest height against the airplane's ceiling."""
    limit = Limit(
        key="ways.ceiling",
        label="greatest height",
        unit="ft",
        high=problem.motion.ceiling_ft,
        tolerance=1_000.0,
        basis="manual",
        source="ceiling of the airplane, as its file or the problem gives it",
    )
    highest = int(np.argmax(rows.msl_ft))
    spot = rows.spot(highest)
    finding = at_most(limit, spot.msl_ft, VERTICAL_TOLERANCE_FT, where=spot.words)
    above_ft = spot.msl_ft - problem.motion.ceiling_ft
    if above_ft <= VERTICAL_TOLERANCE_FT:
        return Kept(findings=(finding,))
    what = "above the airplane's ceiling"
    violation = Violation(rule="ceiling", what=what, spot=spot, short_ft=above_ft)
    return Kept(violations=(violation,), findings=(finding,))


def _terrain_finding(
    sampled: Samples, kept_ft: FloatArray, share_ratio: FloatArray, limit: Limit
) -> Finding:
    """The least height outside the ramps, unless a ramp is broken; unknown over unknown ground."""
    missing = np.flatnonzero(np.isnan(kept_ft))
    if missing.size:
        return unknown(limit, TERRAIN_DATA, where=sampled.spot(int(missing[0])).words)
    told = share_ratio >= 1.0 if (share_ratio >= 1.0).any() else share_ratio > 0.0
    told |= kept_ft < (limit.low or 0.0) - VERTICAL_TOLERANCE_FT
    lowest = int(np.argmin(np.where(told, kept_ft, inf)))
    where = sampled.spot(lowest).words
    return at_least(limit, float(kept_ft[lowest]), VERTICAL_TOLERANCE_FT, where=where)


def _terrain_limit(least_ft: float) -> Limit:
    by_law = least_ft <= _LAW_FT
    named = "14 CFR 91.119(c), read 2026-11-25" if by_law else "own terrain clearance"
    return Limit(
        key="ways.terrain",
        label="height above ground",
        unit="ft",
        low=least_ft,
        tolerance=least_ft or _LAW_FT,
        basis="law" if by_law else "own",
        source=f"{named}: {least_ft:g} ft, falling to nothing at the aerodromes",
    )


def least_over_ground_ft(
    problem: WaysProblem, lat_deg: FloatArray, lon_deg: FloatArray
) -> FloatArray:
    """The least height above mean sea level over the ground of places; NaN over unknown ground."""
    ground_ft = problem.terrain.ground_ft(lat_deg, lon_deg)
    share_ratio, ground_ft = ramp(problem, *problem.plane.to_plane_nm(lat_deg, lon_deg), ground_ft)
    return np.asarray(ground_ft + problem.rules.min_agl_ft * share_ratio)


def ramp(
    problem: WaysProblem, east_nm: FloatArray, north_nm: FloatArray, ground_ft: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Share of the least height that is asked for at places of the plane, and the ground there.

    Terrain data that stand above a field's own elevation are lowered by the difference there,
    fading over the aerodrome's radius: the field is where its survey says.
    """
    ends = (problem.departure, problem.destination)
    ends_deg = [one.lat_deg for one in ends], [one.lon_deg for one in ends]
    excess_ft = problem.terrain.ground_ft(*ends_deg) - [one.elev_msl_ft for one in ends]
    ends_nm = zip(*problem.plane.to_plane_nm(*ends_deg), strict=True)
    share_ratio = np.ones_like(ground_ft)
    for at_nm, too_high_ft in zip(ends_nm, excess_ft.tolist(), strict=True):
        away_nm = np.hypot(east_nm - at_nm[0], north_nm - at_nm[1])
        share = np.minimum(away_nm / problem.rules.aerodrome_radius_nm, 1.0)
        ground_ft = ground_ft - (1.0 - share) * np.fmax(too_high_ft, 0.0)
        share_ratio = np.minimum(share_ratio, share)
    return share_ratio, ground_ft

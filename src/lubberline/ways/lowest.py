"""The lowest and highest of a way, and the least height above ground away from the fields."""

from dataclasses import dataclass

import numpy as np

from lubberline.ways.along import Along
from lubberline.ways.model import Spot
from lubberline.ways.problem import WaysProblem


@dataclass(frozen=True, slots=True, kw_only=True)
class Extremes:
    """Heights away from the two fields; ``least_agl_ft`` None where the ground is not known."""

    lowest_msl_ft: float
    highest_msl_ft: float
    least_agl_ft: float | None
    least_agl_at: Spot | None


def extremes(problem: WaysProblem, along: Along) -> Extremes:
    """Lowest and highest height farther from both fields than the aerodrome radius."""
    radius_nm = problem.rules.aerodrome_radius_nm
    away = np.ones(along.msl_ft.size, dtype=bool)
    for end in (problem.departure, problem.destination):
        away &= along.away_nm(end.lat_deg, end.lon_deg) >= radius_nm
    rows = np.flatnonzero(away) if away.any() else np.arange(away.size)
    agl_ft = (along.msl_ft - along.ground_ft)[rows]
    known = not np.isnan(agl_ft).any()
    least = int(rows[int(np.argmin(agl_ft))])
    return Extremes(
        lowest_msl_ft=float(along.msl_ft[rows].min()),
        highest_msl_ft=float(along.msl_ft.max()),
        least_agl_ft=float(agl_ft.min()) if known else None,
        least_agl_at=along.spot(float(along.after_min[least])) if known else None,
    )

"""The ways problem: everything a search or a check of ways needs, and nothing else.

One value, so that its answers can be compared with anything else that solves the same
problem. The file form is read in ``problem_file``; a plan becomes a problem in ``from_plan``.
"""

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.earth import LocalPlane, Terrain, course_and_distance, destination_point
from lubberline.places import Aerodrome, VisualPoint, Volume
from lubberline.ways.slow_airspace import SlowAirspace
from lubberline.weather import WindsAloft

PATTERN_AGL_FT: Final = 1_000.0  # common practice for propeller airplanes: AIM 4-3-3 (memory)


@dataclass(frozen=True, slots=True, kw_only=True)
class WayEnd:
    """Where ways begin or end; the pattern height is that above the field."""

    id: str
    lat_deg: float
    lon_deg: float
    elev_msl_ft: float
    pattern_agl_ft: float = PATTERN_AGL_FT


@dataclass(frozen=True, slots=True, kw_only=True)
class Motion:
    """How the airplane moves: airspeeds, rates and fuel by phase.

    Rate of climb falls linearly from ``climb_fpm`` at sea level to nothing at
    ``zero_climb_ft`` and never under 100 fpm; ``zero_climb_ft`` 0 means a constant rate.
    """

    climb_fpm: float
    zero_climb_ft: float
    descent_fpm: float
    climb_tas_kt: float
    cruise_tas_kt: float
    descent_tas_kt: float
    ceiling_ft: float
    glide_ratio: float
    climb_gph: float
    cruise_gph: float
    descent_gph: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Margins:
    """Distance to keep from volumes not entered: beside, or above and below, and why the latter."""

    lateral_nm: float
    vertical_ft: float
    vertical_source: str = "own: vertical margin to airspace not entered"


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """Heights to keep: above the ground, and in level cruise by direction (14 CFR 91.159)."""

    min_agl_ft: float
    aerodrome_radius_nm: float
    hemispheric: bool
    hemispheric_above_agl_ft: float
    variation_deg: float
    level_fpm: float


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class WaysProblem:
    """Two aerodromes, an airplane, wind, terrain and airspace.

    ``land_deg`` are polygons (m, 2) of latitude and longitude; empty means land everywhere. A
    found way goes over the points of ``via``, in order. ``slow`` is where 200 kt indicated are the
    limit, None where the airplane is no faster or the limit is not asked. ``wished``
    bounds heights as the pilot wishes; no check asks it.
    """

    name: str
    description: str
    departure: WayEnd
    destination: WayEnd
    motion: Motion
    wind: WindsAloft
    margins: Margins
    rules: Rules
    terrain: Terrain
    land_deg: tuple[FloatArray, ...]
    volumes: tuple[Volume, ...]
    points: tuple[VisualPoint, ...]
    via: tuple[VisualPoint, ...] = ()
    slow: SlowAirspace | None = None
    wished: tuple[Volume, ...] = ()

    @property
    def plane(self) -> LocalPlane:
        """The plane in which legs and edges are straight, centered halfway between the ends."""
        return _plane_between(self.departure, self.destination)


@lru_cache(maxsize=64)
def _plane_between(start: WayEnd, end: WayEnd) -> LocalPlane:
    return LocalPlane(*midway_deg(start, end))


def midway_deg(start: WayEnd | Aerodrome, end: WayEnd | Aerodrome) -> tuple[float, float]:
    """Latitude and longitude halfway along the geodesic between two ends."""
    course_deg, apart_nm = course_and_distance(
        start.lat_deg, start.lon_deg, end.lat_deg, end.lon_deg
    )
    toward_deg = np.nan_to_num(course_deg)  # no course leads from a place to itself
    lat_deg, lon_deg = destination_point(start.lat_deg, start.lon_deg, toward_deg, apart_nm / 2.0)
    return float(lat_deg), float(lon_deg)

"""The ways problem: everything a search or a check of ways needs, and nothing else.

One value, so that its answers can be compared with anything else that solves the same
problem. The file form is read in ``problem_file``; a plan becomes a problem in ``from_plan``.
"""

from dataclasses import dataclass

from lubberline.arrays import FloatArray
from lubberline.earth import Terrain
from lubberline.places import VisualPoint, Volume
from lubberline.weather import WindsAloft


@dataclass(frozen=True, slots=True, kw_only=True)
class WayEnd:
    """Where ways begin or end."""

    id: str
    lat_deg: float
    lon_deg: float
    elev_msl_ft: float


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
    """Distance to keep from volumes not entered: beside, or above and below."""

    lateral_nm: float
    vertical_ft: float


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

    ``land_deg`` are polygons (m, 2) of latitude and longitude; empty means land everywhere.
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

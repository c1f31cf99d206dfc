"""Where things are: geodesics, magnetic variation, the sun, terrain."""

from lubberline.earth.geodesic import (
    LocalPlane,
    course_and_distance,
    destination_point,
    middle_course_deg,
)
from lubberline.earth.magnetic import decimal_year, variation_deg, variation_sigma_deg
from lubberline.earth.sun import SunTimes, sun_position, sun_times
from lubberline.earth.terrain import Terrain, Tile, flat_terrain

__all__ = [
    "LocalPlane",
    "SunTimes",
    "Terrain",
    "Tile",
    "course_and_distance",
    "decimal_year",
    "destination_point",
    "flat_terrain",
    "middle_course_deg",
    "sun_position",
    "sun_times",
    "variation_deg",
    "variation_sigma_deg",
]

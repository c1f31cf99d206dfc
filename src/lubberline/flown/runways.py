"""Which aerodrome and which runway lie under a take-off or a landing.

The aerodrome is the nearest one within 3 NM. The runway is the one of its directions that the
airplane went along, on its strip and in line with it; of parallel ones, the nearest. If none
fits, the runway is not known.
"""

from typing import Final

import numpy as np

from lubberline.arrays import wrap_180_deg
from lubberline.earth import LocalPlane, course_and_distance
from lubberline.places import Aerodrome, Places, Runway, RunwayEnd
from lubberline.units import FT_PER_NM

AERODROME_NM: Final = 3.0
IN_LINE_DEG: Final = 20.0  # own: crab, a bend of the track near the ground, its noise
BESIDE_FT: Final = 150.0  # own: fixes and published coordinates, beyond half the width
BEYOND_FT: Final = 1_500.0  # own: a lift-off may be timed late, an end may be displaced


def nearest_aerodrome(
    places: Places, lat_deg: float, lon_deg: float, *, within_nm: float = AERODROME_NM
) -> Aerodrome | None:
    """The nearest aerodrome, None if it is farther away than that."""
    aerodromes = list(places.aerodromes.values())
    if not aerodromes:
        return None
    _, away_nm = course_and_distance(
        np.full(len(aerodromes), lat_deg),
        np.full(len(aerodromes), lon_deg),
        [one.lat_deg for one in aerodromes],
        [one.lon_deg for one in aerodromes],
    )
    nearest = int(np.argmin(away_nm))
    return aerodromes[nearest] if away_nm[nearest] <= within_nm else None


def runway_under(
    places: Places, lat_deg: float, lon_deg: float, *, along_true_deg: float
) -> tuple[Aerodrome | None, RunwayEnd | None]:
    """The aerodrome at a place and the runway direction in use there, None where none fits."""
    aerodrome = nearest_aerodrome(places, lat_deg, lon_deg)
    if aerodrome is None:
        return None, None
    fits = [
        (beside_ft, end)
        for runway, end in aerodrome.runway_ends()
        if abs(float(wrap_180_deg(along_true_deg - end.true_deg))) <= IN_LINE_DEG
        and (beside_ft := _beside_ft(runway, end, lat_deg, lon_deg)) is not None
    ]
    return aerodrome, min(fits, key=lambda fit: fit[0])[1] if fits else None


def _beside_ft(runway: Runway, end: RunwayEnd, lat_deg: float, lon_deg: float) -> float | None:
    """Distance from the centerline, None off the strip."""
    plane = LocalPlane(lat_deg=end.lat_deg, lon_deg=end.lon_deg)
    east_nm, north_nm = plane.to_plane_nm(lat_deg, lon_deg)
    course_rad = np.radians(end.true_deg)
    along_nm = east_nm * np.sin(course_rad) + north_nm * np.cos(course_rad)
    across_nm = east_nm * np.cos(course_rad) - north_nm * np.sin(course_rad)
    along_ft, beside_ft = float(along_nm) * FT_PER_NM, abs(float(across_nm)) * FT_PER_NM
    on_strip = -BEYOND_FT <= along_ft <= runway.length_ft + BEYOND_FT
    return beside_ft if on_strip and beside_ft <= runway.width_ft / 2.0 + BESIDE_FT else None

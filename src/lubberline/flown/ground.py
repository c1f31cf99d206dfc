"""The ground under a flight: from terrain, else from an aerodrome near it, else not known."""

from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.earth import course_and_distance
from lubberline.flown.case import Case
from lubberline.places import Places

COARSE_S: Final = 20.0  # first look, before every step is measured
GROUND_SIGMA_FT: Final = 100.0  # own: height of the ground taken from an aerodrome nearby
GROUND_NM: Final = 10.0


def ground_below(case: Case) -> tuple[FloatArray, float]:
    """Height of the ground at the steps aloft above mean sea level, and its shared doubt."""
    index = case.aloft_index
    lat_deg, lon_deg = case.even.lat_deg[index], case.even.lon_deg[index]
    if case.terrain is not None and case.terrain.tiles:
        return case.terrain.ground_ft(lat_deg, lon_deg), 0.0
    every = case.even.steps(COARSE_S)
    lat_deg, lon_deg = lat_deg[::every], lon_deg[::every]
    known = np.flatnonzero(np.isfinite(lat_deg + lon_deg))
    ground_ft = np.full(lat_deg.size, np.nan)
    ground_ft[known] = _aerodrome_ft(case.places, lat_deg[known], lon_deg[known])
    return np.repeat(ground_ft, every)[: index.size], GROUND_SIGMA_FT


def _aerodrome_ft(places: Places, lat_deg: FloatArray, lon_deg: FloatArray) -> FloatArray:
    """Height of the nearest aerodrome around each place, NaN where there is none."""
    south_deg, north_deg = np.min(lat_deg, initial=90.0), np.max(lat_deg, initial=-90.0)
    beside_deg = GROUND_NM / 59.0  # a degree of latitude is longer than 59 NM everywhere
    near = [
        one for one in places.aerodromes.values()
        if south_deg - beside_deg <= one.lat_deg <= north_deg + beside_deg
    ]  # fmt: skip
    if not near:
        return np.full(lat_deg.shape, np.nan)
    there = np.array([(one.lat_deg, one.lon_deg, one.elev_msl_ft) for one in near]).T
    _, away_nm = course_and_distance(lat_deg[:, None], lon_deg[:, None], there[0], there[1])
    nearest = np.argmin(away_nm, axis=1)
    return np.where(away_nm.min(axis=1) <= GROUND_NM, there[2][nearest], np.nan)

"""The ground under a flight: from terrain, else from an aerodrome near it, else not known."""

from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.flown.case import Case
from lubberline.flown.runways import nearest_aerodrome

COARSE_S: Final = 20.0  # first look, before every step is measured
GROUND_SIGMA_FT: Final = 100.0  # own: height of the ground taken from an aerodrome nearby
GROUND_NM: Final = 10.0


def ground_below(case: Case) -> tuple[FloatArray, float]:
    """Height of the ground at the steps aloft above mean sea level, and its shared doubt."""
    index = case.aloft_index
    lat_deg, lon_deg = case.even.lat_deg[index], case.even.lon_deg[index]
    if case.terrain is not None and case.terrain.tiles:
        return case.terrain.ground_ft(lat_deg, lon_deg), 0.0
    ground_ft = np.full(index.size, np.nan)
    every = case.even.steps(COARSE_S)
    for start in range(0, index.size, every):
        if not np.isfinite(lat_deg[start] + lon_deg[start]):
            continue
        nearest = nearest_aerodrome(
            case.places, float(lat_deg[start]), float(lon_deg[start]), within_nm=GROUND_NM
        )
        if nearest is not None:
            ground_ft[start : start + every] = nearest.elev_msl_ft
    return ground_ft, GROUND_SIGMA_FT

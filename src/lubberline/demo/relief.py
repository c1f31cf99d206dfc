"""The ground of the invented region: where it lies above the sea, and how high.

Ridges and hills are Gaussian across and along a line, set into low rolling land. The ground
sinks to the sea at the shore, which is the land of the places file, and is level at field
elevation round each aerodrome. Nothing is random: the same places give the same tiles.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.places import Places
from lubberline.units import M_PER_FT

NM_PER_DEG_LAT, NM_PER_DEG_LON = 60.0, 45.4  # about 41 N; an invented relief needs no more
LEVEL_NM: Final = 1.7  # round an aerodrome
SLOPE_NM: Final = 1.5  # from there to the relief as it would be
BEACH_NM: Final = 0.15
COAST_NM: Final = 1.5  # from the shore to the full relief
SIZE: Final = 1_201  # rows and columns of a 3-arc-second tile
FINER: Final = 4  # cells between two computed crossings; linear between them


@dataclass(frozen=True, slots=True, kw_only=True)
class Rise:
    """A ridge between two places, or a hill where both are the same."""

    start_deg: tuple[float, float]
    end_deg: tuple[float, float]
    top_ft: float
    width_nm: float


RISES: Final = (
    Rise(
        start_deg=(41.092, -131.132), end_deg=(41.137, -130.901), top_ft=3_250, width_nm=2.1
    ),  # the ridge
    Rise(
        start_deg=(41.137, -130.901), end_deg=(41.358, -130.856), top_ft=2_900, width_nm=2.1
    ),  # its arm to the north shore
    Rise(
        start_deg=(40.941, -130.659), end_deg=(41.002, -130.551), top_ft=1_900, width_nm=1.1
    ),  # Tarn Hills
    Rise(
        start_deg=(40.773, -131.691), end_deg=(40.761, -131.711), top_ft=620, width_nm=1.2
    ),  # the knoll of Wren Island
    Rise(
        start_deg=(41.386, -130.218), end_deg=(41.346, -130.192), top_ft=1_200, width_nm=2.6
    ),  # behind Gannet
    Rise(
        start_deg=(41.019, -130.163), end_deg=(41.160, -130.104), top_ft=1_500, width_nm=2.0
    ),  # behind Marl
)


def write_relief(folder: Path, places: Places) -> tuple[Path, ...]:
    """Write the SRTM tiles of every degree square that holds land; their paths."""
    folder.mkdir(parents=True, exist_ok=True)
    corners_deg = np.vstack(places.land_deg)
    south_deg, west_deg = np.floor(corners_deg.min(axis=0)).astype(int)
    north_deg, east_deg = np.ceil(corners_deg.max(axis=0)).astype(int)
    paths = []
    for south in range(south_deg, north_deg):
        for west in range(west_deg, east_deg):
            path = folder / _tile_name(south, west)
            write_hgt(path, tile_ft(places, float(south), float(west)) * M_PER_FT)
            paths.append(path)
    return tuple(paths)


def write_hgt(path: Path, ground_m: FloatArray) -> None:
    """Write a tile as SRTM does: big-endian whole meters, north row first [SRTM]_.

    ``ground_m`` has its south row first; what is not known becomes a void.
    """
    whole_m = np.where(np.isnan(ground_m), -32_768, np.rint(ground_m))
    whole_m[::-1].astype(">i2").tofile(path)


def tile_ft(places: Places, south_deg: float, west_deg: float) -> FloatArray:
    """Ground of one degree square, south row first, shape (1201, 1201)."""
    steps = np.linspace(0.0, 1.0, (SIZE - 1) // FINER + 1)
    north_nm = (south_deg + steps)[:, None] * NM_PER_DEG_LAT
    east_nm = (west_deg + steps)[None, :] * NM_PER_DEG_LON
    north_nm, east_nm = np.broadcast_arrays(north_nm, east_nm)
    shore_nm = _from_shore_nm(places.land_deg, east_nm, north_nm)
    rises_ft = np.max([_rise_ft(rise, east_nm, north_nm) for rise in RISES], axis=0)
    ground_ft = (_rolling_ft(east_nm, north_nm) + rises_ft) * _smooth(shore_nm / COAST_NM)
    for field in places.aerodromes.values():
        away_nm = np.hypot(
            north_nm - field.lat_deg * NM_PER_DEG_LAT, east_nm - field.lon_deg * NM_PER_DEG_LON
        )
        share = _smooth((away_nm - LEVEL_NM) / SLOPE_NM)
        ground_ft = share * ground_ft + (1.0 - share) * field.elev_msl_ft
    beach = np.clip(_finer(shore_nm) / BEACH_NM, 0.0, 1.0)
    return np.asarray(_finer(ground_ft) * beach)


def _from_shore_nm(
    land_deg: Sequence[FloatArray], east_nm: FloatArray, north_nm: FloatArray
) -> FloatArray:
    """Distance from the nearest shore, negative at sea."""
    import shapely

    scale = np.array([NM_PER_DEG_LON, NM_PER_DEG_LAT])
    land = shapely.union_all([shapely.Polygon(ring[:, ::-1] * scale) for ring in land_deg])
    shapely.prepare(land)
    distance_nm = shapely.distance(land.boundary, shapely.points(east_nm, north_nm))
    return np.where(shapely.contains_xy(land, east_nm, north_nm), distance_nm, -distance_nm)


def _rise_ft(rise: Rise, east_nm: FloatArray, north_nm: FloatArray) -> FloatArray:
    """Height that a ridge adds: the top along its line, Gaussian away from it."""
    start_north, start_east = np.multiply(rise.start_deg, (NM_PER_DEG_LAT, NM_PER_DEG_LON))
    end_north, end_east = np.multiply(rise.end_deg, (NM_PER_DEG_LAT, NM_PER_DEG_LON))
    along_east, along_north = end_east - start_east, end_north - start_north
    length_sq = max(along_east**2 + along_north**2, 1e-12)
    share = (east_nm - start_east) * along_east + (north_nm - start_north) * along_north
    share = np.clip(share / length_sq, 0.0, 1.0)
    away_sq = (east_nm - start_east - share * along_east) ** 2
    away_sq = away_sq + (north_nm - start_north - share * along_north) ** 2
    return np.asarray(rise.top_ft * np.exp(-0.5 * away_sq / rise.width_nm**2))


def _rolling_ft(east_nm: FloatArray, north_nm: FloatArray) -> FloatArray:
    """Low land, 40 to 240 ft."""
    waves = np.sin(0.9 * east_nm + 0.4 * north_nm) + np.sin(0.35 * east_nm - 0.8 * north_nm)
    return np.asarray(140.0 + 50.0 * waves)


def _smooth(share: FloatArray) -> FloatArray:
    """From 0 to 1 without a kink."""
    held = np.clip(share, 0.0, 1.0)
    return np.asarray(held * held * (3.0 - 2.0 * held))


def _finer(values: FloatArray) -> FloatArray:
    """Linear between the crossings of a grid, ``FINER`` cells for each."""
    place = np.arange(FINER * (len(values) - 1) + 1) / FINER
    lower = np.minimum(place.astype(int), len(values) - 2)
    share = place - lower
    rows = values[lower] + share[:, None] * (values[lower + 1] - values[lower])
    return np.asarray(rows[:, lower] + share * (rows[:, lower + 1] - rows[:, lower]))


def _tile_name(south: int, west: int) -> str:
    """Tile name after its south-west corner [SRTM]_."""
    return f"{'NS'[south < 0]}{abs(south):02d}{'EW'[west < 0]}{abs(west):03d}.hgt"

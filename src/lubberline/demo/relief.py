"""The ground of the invented region: where it lies above the sea, and how high.

Ridges are Gaussian away from a line and stand on low rolling land. The ground
sinks to the sea at the shore, which is the land of the places file, and is level at field
elevation round each aerodrome. Nothing is random: the same places give the same tiles.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.places import Aerodrome, Places
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
    """A ridge along the line between two places: Gaussian away from it."""

    name: str
    start_deg: tuple[float, float]
    end_deg: tuple[float, float]
    top_ft: float
    width_nm: float


def _rise(name: str, *line_deg: tuple[float, float], top_ft: float, width_nm: float) -> Rise:
    return Rise(
        name=name, start_deg=line_deg[0], end_deg=line_deg[1], top_ft=top_ft, width_nm=width_nm
    )


RISES: Final = (
    _rise("ridge", (41.092, -131.132), (41.137, -130.900), top_ft=3_250, width_nm=2.1),
    _rise("its north arm", (41.137, -130.900), (41.358, -130.856), top_ft=2_900, width_nm=2.1),
    _rise("Tarn Hills", (40.941, -130.659), (41.002, -130.551), top_ft=1_900, width_nm=1.1),
    _rise("Wren knoll", (40.774, -131.691), (40.762, -131.711), top_ft=620, width_nm=1.2),
    _rise("behind Gannet", (41.386, -130.220), (41.346, -130.194), top_ft=1_200, width_nm=2.6),
    _rise("behind Marl", (41.019, -130.163), (41.160, -130.104), top_ft=1_500, width_nm=2.0),
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
    lat_deg, lon_deg = np.meshgrid(south_deg + steps, west_deg + steps, indexing="ij")
    shore_nm = _from_shore_nm(places.land_deg, lat_deg, lon_deg)
    rises_ft = np.max([_rise_ft(rise, lat_deg, lon_deg) for rise in RISES], axis=0)
    ground_ft = (_rolling_ft(lat_deg, lon_deg) + rises_ft) * _smooth(shore_nm / COAST_NM)
    for field in places.aerodromes.values():
        ground_ft = _leveled_ft(ground_ft, field, lat_deg, lon_deg)
    beach = np.clip(_finer(shore_nm) / BEACH_NM, 0.0, 1.0)
    return np.asarray(_finer(ground_ft) * beach)


def _from_shore_nm(
    land_deg: Sequence[FloatArray], lat_deg: FloatArray, lon_deg: FloatArray
) -> FloatArray:
    """Distance from the nearest shore, negative at sea."""
    import shapely

    corners = [np.column_stack(_flat_nm(ring[:, 0], ring[:, 1])) for ring in land_deg]
    land = shapely.union_all([shapely.Polygon(ring) for ring in corners])
    shapely.prepare(land)
    east_nm, north_nm = _flat_nm(lat_deg, lon_deg)
    distance_nm = shapely.distance(land.boundary, shapely.points(east_nm, north_nm))
    ashore = shapely.contains_xy(land, east_nm, north_nm)
    return np.asarray(np.where(ashore, distance_nm, -distance_nm))


def _rise_ft(rise: Rise, lat_deg: FloatArray, lon_deg: FloatArray) -> FloatArray:
    """Height of a ridge: its top along the line, less away from it."""
    east_nm, north_nm = _flat_nm(lat_deg - rise.start_deg[0], lon_deg - rise.start_deg[1])
    end_east_nm, end_north_nm = _flat_nm(*np.subtract(rise.end_deg, rise.start_deg))
    share = (east_nm * end_east_nm + north_nm * end_north_nm) / (end_east_nm**2 + end_north_nm**2)
    share = np.clip(share, 0.0, 1.0)
    away_nm = np.hypot(east_nm - share * end_east_nm, north_nm - share * end_north_nm)
    return np.asarray(rise.top_ft * np.exp(-0.5 * (away_nm / rise.width_nm) ** 2))


def _rolling_ft(lat_deg: FloatArray, lon_deg: FloatArray) -> FloatArray:
    """Low land, 40 to 240 ft."""
    east_nm, north_nm = _flat_nm(lat_deg, lon_deg)
    waves = np.sin(0.9 * east_nm + 0.4 * north_nm) + np.sin(0.35 * east_nm - 0.8 * north_nm)
    return np.asarray(140.0 + 50.0 * waves)


def _leveled_ft(
    ground_ft: FloatArray, field: Aerodrome, lat_deg: FloatArray, lon_deg: FloatArray
) -> FloatArray:
    """The ground made level round an aerodrome."""
    away_nm = np.hypot(*_flat_nm(lat_deg - field.lat_deg, lon_deg - field.lon_deg))
    share = _smooth((away_nm - LEVEL_NM) / SLOPE_NM)
    return share * ground_ft + (1.0 - share) * field.elev_msl_ft


def _flat_nm(lat_deg: FloatArray, lon_deg: FloatArray) -> tuple[FloatArray, FloatArray]:
    """East and north as if the region were flat."""
    return lon_deg * NM_PER_DEG_LON, lat_deg * NM_PER_DEG_LAT


def _smooth(share_fraction: FloatArray) -> FloatArray:
    """From 0 to 1 without a kink, held outside."""
    held = np.clip(share_fraction, 0.0, 1.0)
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

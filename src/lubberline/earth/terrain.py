"""Ground height over a region, sampled in one call; unknown where no tile covers the place.

Each tile is a grid of heights at the crossings of latitudes and longitudes, bilinear between
them. A place that no tile covers, or a void in a tile, gives NaN, never zero.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lubberline.arrays import FloatArray, broadcast


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Tile:
    """Heights from a south-west corner: rows south to north, columns west to east."""

    south_deg: float
    west_deg: float
    step_lat_deg: float
    step_lon_deg: float
    ground_ft: FloatArray


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Terrain:
    """Tiles of ground height. ``clamped`` holds the edge value outside, as a ways problem asks."""

    tiles: tuple[Tile, ...] = ()
    clamped: bool = False

    def ground_ft(self, lat_deg: ArrayLike, lon_deg: ArrayLike) -> FloatArray:
        """Ground height above mean sea level [ft], broadcast shape; NaN where not known."""
        north_deg, east_deg = broadcast(lat_deg, lon_deg)
        ground_ft = np.full(north_deg.shape, np.nan)
        for tile in self.tiles:
            sampled_ft = _sample_ft(tile, north_deg, east_deg, clamped=self.clamped)
            ground_ft = np.where(np.isnan(ground_ft), sampled_ft, ground_ft)
        return ground_ft


def flat_terrain(ground_ft: float) -> Terrain:
    """The same height everywhere."""
    tile = Tile(
        south_deg=-90.0,
        west_deg=-180.0,
        step_lat_deg=180.0,
        step_lon_deg=360.0,
        ground_ft=np.full((2, 2), ground_ft),
    )
    return Terrain(tiles=(tile,), clamped=True)


def _sample_ft(
    tile: Tile, lat_deg: FloatArray, lon_deg: FloatArray, *, clamped: bool
) -> FloatArray:
    rows, columns = tile.ground_ft.shape
    # A tile may reach over the date line: take the longitude of each place that lies nearer.
    off_deg = lon_deg - (tile.west_deg + (columns - 1) * tile.step_lon_deg / 2.0)
    lon_deg = lon_deg - 360.0 * (off_deg > 180.0) + 360.0 * (off_deg < -180.0)
    row = (lat_deg - tile.south_deg) / tile.step_lat_deg
    column = (lon_deg - tile.west_deg) / tile.step_lon_deg
    inside = (row >= 0) & (row <= rows - 1) & (column >= 0) & (column <= columns - 1)
    row = np.nan_to_num(np.clip(row, 0, rows - 1))
    column = np.nan_to_num(np.clip(column, 0, columns - 1))
    south = np.minimum(row.astype(np.int64), rows - 2)
    west = np.minimum(column.astype(np.int64), columns - 2)
    up, right = row - south, column - west
    ground = tile.ground_ft
    value = (1 - up) * ((1 - right) * ground[south, west] + right * ground[south, west + 1])
    value += up * ((1 - right) * ground[south + 1, west] + right * ground[south + 1, west + 1])
    known = np.isfinite(lat_deg) & np.isfinite(lon_deg)
    return np.where(known & (inside | clamped), value, np.nan)

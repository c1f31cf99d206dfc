"""Ground height over a region, sampled in one call; unknown where no tile covers the place.

Each tile is a grid of heights at the crossings of latitudes and longitudes, bilinear between
them. A place that no tile covers, or a void in a tile, gives NaN, never zero.
"""

from dataclasses import dataclass
from typing import Any, Protocol

import numpy as np
from numpy.typing import ArrayLike

from lubberline.arrays import BoolArray, FloatArray, broadcast


class Heights(Protocol):
    """Heights [ft] by row and column, like an array of them; read when they are asked for."""

    @property
    def shape(self) -> tuple[int, ...]:
        """Rows and columns."""

    def __getitem__(self, where: Any) -> FloatArray:
        """Heights of some rows and columns, NaN where not known."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Tile:
    """Heights from a south-west corner: rows south to north, columns west to east.

    ``edge_fraction`` is how far the outermost heights hold beyond themselves, in samples: half
    a sample where each stands for an area, so that tiles side by side leave no gap.
    """

    south_deg: float
    west_deg: float
    step_lat_deg: float
    step_lon_deg: float
    ground_ft: Heights
    edge_fraction: float = 0.0

    def place(self, lat_deg: FloatArray, lon_deg: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Row and column of places, with fractions; a tile may reach over the date line."""
        middle_deg = self.west_deg + (self.ground_ft.shape[1] - 1) * self.step_lon_deg / 2.0
        off_deg = lon_deg - middle_deg
        beyond = np.abs(off_deg) > 180.0
        if beyond.any():
            lon_deg = lon_deg - 360.0 * beyond * np.sign(off_deg)
        row_index = (lat_deg - self.south_deg) / self.step_lat_deg
        return row_index, (lon_deg - self.west_deg) / self.step_lon_deg

    def holds(self, row_index: FloatArray, column_index: FloatArray) -> BoolArray:
        """Which rows and columns the tile covers."""
        rows, columns = self.ground_ft.shape
        edge = self.edge_fraction
        inside = (row_index >= -edge) & (row_index <= rows - 1 + edge)
        return np.asarray(inside & (column_index >= -edge) & (column_index <= columns - 1 + edge))


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Terrain:
    """Tiles of ground height. ``clamped`` holds the edge value outside, as a ways problem asks."""

    tiles: tuple[Tile, ...] = ()
    clamped: bool = False

    def ground_ft(self, lat_deg: ArrayLike, lon_deg: ArrayLike) -> FloatArray:
        """Ground height above mean sea level [ft], broadcast shape; NaN where not known."""
        north_deg, east_deg = broadcast(lat_deg, lon_deg)
        level_ft = self.level_ft
        if level_ft is not None:
            return np.where(np.isfinite(north_deg) & np.isfinite(east_deg), level_ft, np.nan)
        ground_ft = np.full(north_deg.shape, np.nan)
        for tile in self.tiles:
            row_index, column_index = tile.place(north_deg, east_deg)
            here = np.isnan(ground_ft) & np.isfinite(row_index + column_index)
            if not self.clamped:
                here &= tile.holds(row_index, column_index)
            if here.any():
                ground_ft[here] = _between_ft(tile.ground_ft, row_index[here], column_index[here])
        return ground_ft

    @property
    def level_ft(self) -> float | None:
        """The height of ground that is the same everywhere, else None."""
        if len(self.tiles) != 1 or not self.clamped:
            return None
        ground_ft = self.tiles[0].ground_ft
        if not isinstance(ground_ft, np.ndarray):
            return None
        first_ft = float(ground_ft[0, 0])
        # The first row spares looking at all of a tile that is not level.
        same = all(bool((part == first_ft).all()) for part in (ground_ft[0], ground_ft))
        return first_ft if same else None


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


def _between_ft(ground: Heights, row_index: FloatArray, column_index: FloatArray) -> FloatArray:
    """Bilinear between the four crossings around; the edge beyond it."""
    rows, columns = ground.shape
    row_index = np.minimum(np.maximum(row_index, 0.0), rows - 1)
    column_index = np.minimum(np.maximum(column_index, 0.0), columns - 1)
    south = np.minimum(row_index.astype(np.int64), rows - 2)
    west = np.minimum(column_index.astype(np.int64), columns - 2)
    up, right = row_index - south, column_index - west
    value = (1 - up) * ((1 - right) * ground[south, west] + right * ground[south, west + 1])
    value += up * ((1 - right) * ground[south + 1, west] + right * ground[south + 1, west + 1])
    return value

"""Heights that stay on disk until they are asked for, and the highest ground beside a route."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, Final

import numpy as np

from lubberline.arrays import FloatArray, IntArray, wrap_180_deg
from lubberline.earth import Terrain, Tile
from lubberline.places.corridor import Corridor

BLOCK_NM: Final = 0.25  # own: the highest ground is looked for in squares of this size
_NM_PER_DEG: Final = 60.0
_MOST: Final = 1_000


class Stored:
    """Heights as a file holds them: numbers of any kind, a factor to feet, a number for voids."""

    def __init__(
        self,
        shape: tuple[int, int],
        load: Callable[[], Any],
        feet_factor: float,
        *,
        void: int | None,
    ) -> None:
        self.shape = shape
        self._load = load
        self._feet_factor = feet_factor
        self._void = void

    @cached_property
    def _stored(self) -> Any:
        return self._load()

    def __getitem__(self, where: Any) -> FloatArray:
        """Heights of some rows and columns [ft], NaN where they are void."""
        stored = np.asarray(self._stored[where], dtype=np.float64)
        ground_ft = stored * self._feet_factor
        return (
            ground_ft if self._void is None else np.where(stored == self._void, np.nan, ground_ft)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class HighestGround:
    """The highest ground in a corridor, NaN if none is known, and how much of it is not known."""

    msl_ft: float
    unknown_fraction: float


def highest_ground(terrain: Terrain, corridor: Corridor) -> HighestGround:
    """The highest sample within a corridor, in squares of 0.25 NM that count as a whole.

    Nothing inside is missed; ground up to 0.5 NM outside may count. ``unknown_fraction`` is the
    share of squares that hold a void or that no tile covers; only with 0 is the height certain.
    """
    wider = replace(corridor, half_width_nm=corridor.half_width_nm + 0.75 * BLOCK_NM)
    found = [_highest(tile, wider) for tile in terrain.tiles if is_near(tile, wider)]
    squares_deg = _squares_deg(corridor)
    bare = np.ones(len(squares_deg), dtype=bool)
    for tile in terrain.tiles:
        bare &= ~tile.holds(*tile.place(*squares_deg.T))
    voids = sum(void_fraction for _, void_fraction in found) / max(len(found), 1)
    return HighestGround(
        msl_ft=float(np.fmax.reduce([msl_ft for msl_ft, _ in found], initial=np.nan)),
        unknown_fraction=min(1.0, float(bare.mean()) + voids),
    )


def is_near(tile: Tile, corridor: Corridor) -> bool:
    """Whether any of a tile may lie in a corridor."""
    rows, columns = tile.ground_ft.shape
    high_deg, wide_deg = rows * tile.step_lat_deg, columns * tile.step_lon_deg
    middle_deg = tile.west_deg + wide_deg / 2.0
    box_deg = [tile.south_deg, tile.south_deg + high_deg, middle_deg, wide_deg / 2.0]
    return bool(len(corridor.in_box(np.array([box_deg]))))


def _highest(tile: Tile, corridor: Corridor) -> tuple[float, float]:
    """Highest sample of the squares of a tile that are near, and how many of them have a void."""
    rows, lat_deg = _cut(tile.south_deg, tile.step_lat_deg, tile.ground_ft.shape[0], 1.0)
    level = max(float(np.cos(np.radians(lat_deg.mean()))), 0.01)
    columns, lon_deg = _cut(tile.west_deg, tile.step_lon_deg, tile.ground_ft.shape[1], level)
    near = corridor.near(lat_deg[:, None], lon_deg[None, :])
    tops_ft, void_count = [np.nan], 0
    for row in np.flatnonzero(near.any(axis=1)):
        first, last = np.flatnonzero(near[row])[[0, -1]]
        within = near[row, first : last + 1]
        starts = columns[first : last + 1] - columns[first]
        strip_ft = tile.ground_ft[slice(*rows[row : row + 2]), columns[first] : columns[last + 1]]
        tops_ft += list(np.fmax.reduceat(np.fmax.reduce(strip_ft), starts)[within])
        voids = np.logical_or.reduceat(np.isnan(strip_ft).any(axis=0), starts)
        void_count += int(voids[within].sum())
    return float(np.fmax.reduce(tops_ft)), void_count / max(int(near.sum()), 1)


def _cut(
    start_deg: float, step_deg: float, count: int, level_ratio: float
) -> tuple[IntArray, FloatArray]:
    """Where squares begin along one side of a tile, and the end of it; their middles [deg]."""
    each = max(1, int(BLOCK_NM / _NM_PER_DEG / level_ratio / step_deg))
    edges = np.append(np.arange(0, count, each), count)
    return edges, start_deg + (edges[:-1] + (each - 1) / 2.0) * step_deg


def _squares_deg(corridor: Corridor) -> FloatArray:
    """Middles of squares all over a corridor, at most a thousand to a side; shape (n, 2)."""
    south_deg, north_deg, middle_deg, half_deg = corridor.box_deg
    level = max(float(np.cos(np.radians((south_deg + north_deg) / 2.0))), 0.01)
    high = min(_MOST, int((north_deg - south_deg) * _NM_PER_DEG / BLOCK_NM) + 2)
    wide = min(_MOST, int(2.0 * half_deg * level * _NM_PER_DEG / BLOCK_NM) + 2)
    lat_deg, lon_deg = np.meshgrid(
        np.linspace(max(south_deg, -90.0), min(north_deg, 90.0), high),
        wrap_180_deg(middle_deg + np.linspace(-half_deg, half_deg, wide)),
    )
    near = corridor.near(lat_deg, lon_deg)
    return np.column_stack([lat_deg[near], lon_deg[near]])

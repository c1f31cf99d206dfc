"""The fastest legal heights along a fixed ground track, and the path that comes of them."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray, IntArray, wrap_360_deg
from lubberline.earth import middle_course_deg
from lubberline.ways.motion import Flown, fly
from lubberline.ways.search._cells import close_cells, cut_track, meetings
from lubberline.ways.search._profile import Cells, fastest_heights
from lubberline.ways.search._scene import Scene
from lubberline.ways.search._speed import leg_tables
from lubberline.ways.search.scene import UNKNOWN_FT, Prepared

SLOW_FACTOR: Final = 1.15  # own: slopes keep so far above the rate that counts as level
GUESS_FACTOR: Final = 1.004
GUESS_MIN: Final = 0.2
SUB: Final = 5  # own: samples of uneven ground within a cell


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Laid:
    """A track with its heights: rows (m,) of a path, how it is flown; corners (c, 2) it came from.

    ``limited_min`` is what it takes where the law limits the speed, 0 if nothing does.
    """

    corner_nm: FloatArray
    east_nm: FloatArray
    north_nm: FloatArray
    msl_ft: FloatArray
    flown: Flown
    limited_min: float = 0.0

    @property
    def time_min(self) -> float:
        """Minutes from departure to destination."""
        return max(float(self.flown.time_min.sum()), self.limited_min)


def lay(
    prepared: Prepared,
    scene: Scene,
    corner_nm: FloatArray,
    *,
    step_nm: float,
    guess_min: float = np.inf,
    most_min: float = np.inf,
) -> Laid | None:
    """The fastest legal path over a track of corners (c, 2); None where none is found.

    Parameters
    ----------
    prepared, scene
        The problem and the permissions it is searched with.
    corner_nm : ndarray, shape (c, 2)
        East and north of the corners, no two successive ones alike.
    step_nm : float
        Longest cell [NM].
    guess_min, most_min : float, optional
        What it may take: heights so quick are looked for first, since they are few; slower
        ones than ``most_min`` never.
    """
    steps_nm = np.hypot(*np.diff(corner_nm, axis=0).T)
    along_nm = np.concatenate([[0.0], np.cumsum(steps_nm)])
    met = meetings(scene, corner_nm)
    cells, cell_nm = _cells(prepared, scene, corner_nm, along_nm, met, step_nm)
    ends = (scene.start_layer, scene.end_layer)
    first_min = min(guess_min * GUESS_FACTOR + GUESS_MIN, most_min)
    _, rows = fastest_heights(cells, scene.air, ends, first_min)
    if len(rows) == 0 and first_min < most_min:
        _, rows = fastest_heights(cells, scene.air, ends, most_min)
    if len(rows) == 0:
        return None
    return _flown(
        prepared, corner_nm, along_nm, cell_nm[rows[:, 0]], scene.air.layer_ft[rows[:, 1]]
    )


def _cells(
    prepared: Prepared,
    scene: Scene,
    corner_nm: FloatArray,
    along_nm: FloatArray,
    met: FloatArray,
    step_nm: float,
) -> tuple[Cells, FloatArray]:
    radius_nm = prepared.ground.radius_nm
    marks_nm = np.array([radius_nm, along_nm[-1] - radius_nm])
    cell_nm = cut_track(
        along_nm, met, marks_nm[(marks_nm > 0.0) & (marks_nm < along_nm[-1])], step_nm
    )
    leg = np.searchsorted(along_nm, (cell_nm[:-1] + cell_nm[1:]) / 2.0, side="right") - 1
    low_ft, high_ft, need_ft = _ground_along(prepared, corner_nm, along_nm, cell_nm)
    layers, bands = close_cells(scene, cell_nm, met, low_ft, high_ft)
    units = np.diff(corner_nm, axis=0) / np.diff(along_nm)[:, None]
    high = np.zeros(leg.size, dtype=np.int64)
    if scene.levels.asked:
        limit_ft = low_ft + prepared.ground.level_agl_ft
        above = scene.air.layer_ft[None, :] > limit_ft[:, None]
        high = above @ (1 << np.arange(scene.air.layer_ft.size, dtype=np.int64))
        layers = layers | (high & ~_legal(prepared, scene, corner_nm)[leg])
    level_speed, slope = leg_tables(scene.air, units)
    cells = Cells(
        along_nm=cell_nm,
        leg=leg,
        closed_layers=layers,
        closed_bands=bands,
        need_start_ft=np.ascontiguousarray(need_ft[:, 0]),
        need_end_ft=np.ascontiguousarray(need_ft[:, 1]),
        high=high,
        level_speed=level_speed,
        slope=slope,
        least_fpm=prepared.problem.rules.level_fpm * SLOW_FACTOR,
        asked=scene.levels.asked,
    )
    return cells, cell_nm


def _legal(prepared: Prepared, scene: Scene, corner_nm: FloatArray) -> IntArray:
    """Bits of the layers that are legal levels on each leg's course."""
    lat_deg, lon_deg = prepared.plane.to_degrees(corner_nm[:, 0], corner_nm[:, 1])
    true_deg = middle_course_deg(lat_deg[:-1], lon_deg[:-1], lat_deg[1:], lon_deg[1:])
    mag_deg = wrap_360_deg(true_deg - scene.levels.variation_deg + 0.01)
    return np.where(mag_deg < 180.0, scene.levels.east_bits, scene.levels.west_bits)


def _ground_along(
    prepared: Prepared, corner_nm: FloatArray, along_nm: FloatArray, cell_nm: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Least and greatest ground of each cell, and heights needed at its ends, (k, 2)."""
    share = np.linspace(0.0, 1.0, SUB + 1)
    at_nm = cell_nm[:-1, None] + share * np.diff(cell_nm)[:, None]
    east_nm = np.interp(at_nm, along_nm, corner_nm[:, 0])
    north_nm = np.interp(at_nm, along_nm, corner_nm[:, 1])
    ground, ends_nm = prepared.ground, prepared.ends_nm
    if ground.flat:
        ground_ft = np.full_like(at_nm, ground.ground_ft[0, 0])
    else:
        lat_deg, lon_deg = prepared.plane.to_degrees(east_nm, north_nm)
        ground_ft = prepared.problem.terrain.ground_ft(lat_deg, lon_deg)
        ground_ft = np.nan_to_num(ground_ft, nan=UNKNOWN_FT)
    least_share, floor_ft = np.ones_like(at_nm), ground_ft
    for end in range(2):
        away_nm = np.hypot(east_nm - ends_nm[end, 0], north_nm - ends_nm[end, 1])
        part = np.minimum(away_nm / ground.radius_nm, 1.0)
        floor_ft = floor_ft - (1.0 - part) * max(float(prepared.excess_ft[end]), 0.0)
        least_share = np.minimum(least_share, part)
    need_ft = floor_ft + ground.least_agl_ft * least_share
    line_ft = need_ft[:, :1] + share * (need_ft[:, -1:] - need_ft[:, :1])
    over_ft = (need_ft - line_ft).max(axis=1, keepdims=True)
    return ground_ft.min(axis=1), ground_ft.max(axis=1), need_ft[:, [0, -1]] + over_ft


def _flown(
    prepared: Prepared,
    corner_nm: FloatArray,
    along_nm: FloatArray,
    row_nm: FloatArray,
    row_ft: FloatArray,
) -> Laid | None:
    """The path of a profile, with rows at the track's corners and no idle ones.

    Circling over a field is two rows at one place.
    """
    first = int(row_nm[0] == row_nm[1])
    last = len(row_nm) - int(row_nm[-1] == row_nm[-2])
    grid_nm = np.union1d(row_nm, along_nm)
    grid_nm = grid_nm[np.append(True, np.diff(grid_nm) > 1e-7)]
    grid_ft = np.interp(grid_nm, row_nm[first:last], row_ft[first:last])
    kept = _bends(grid_nm, grid_ft, along_nm)
    place_nm = np.concatenate([row_nm[:first], grid_nm[kept], row_nm[last:]])
    msl_ft = np.concatenate([row_ft[:first], grid_ft[kept], row_ft[last:]])
    east_nm, north_nm = (np.interp(place_nm, along_nm, one) for one in corner_nm.T)
    problem = prepared.problem
    flown = fly(problem.motion, problem.wind, east_nm=east_nm, north_nm=north_nm, msl_ft=msl_ft)
    if np.isnan(flown.time_min).any():
        return None
    return Laid(corner_nm=corner_nm, east_nm=east_nm, north_nm=north_nm, msl_ft=msl_ft, flown=flown)


def _bends(grid_nm: FloatArray, grid_ft: FloatArray, along_nm: FloatArray) -> FloatArray:
    """Which rows are corners of the track or changes between level flight and slopes."""
    slope = np.diff(grid_ft) / np.diff(grid_nm)
    bend = np.abs(np.diff(slope)) > 1e-6
    corner = np.min(np.abs(grid_nm[1:-1, None] - along_nm), axis=1) < 1e-7
    return np.concatenate([[True], bend | corner, [True]])

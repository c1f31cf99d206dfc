"""Places to turn at between mountains, for one problem."""

from itertools import pairwise
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.ways.search._ground import ground_between
from lubberline.ways.search._passes import needs, pulled_straight, shortest_path
from lubberline.ways.search.scene import Prepared

_MOST_HEIGHTS: Final = 30  # own: heights at which ways between mountains are sought
_ACROSS: Final = 120  # own: crossings of the raster along its longer side


def passes_nm(prepared: Prepared) -> FloatArray:
    """Where ways between mountains turn, (p, 2), at heights too low to go straight over; once."""
    if not prepared.passes:
        prepared.passes.append(_passes_nm(prepared))
    return prepared.passes[0]


def _passes_nm(prepared: Prepared) -> FloatArray:
    route_nm, layer_ft = prepared.route_nm, prepared.air.layer_ft
    none_nm = np.zeros((0, 2))
    if prepared.ground.flat:
        return none_nm
    over_ft = max(
        ground_between(prepared.ground, (*start, *end))[2] for start, end in pairwise(route_nm)
    )
    low = max(prepared.start_layer, prepared.end_layer) + 1
    high = min(int(np.searchsorted(layer_ft, over_ft)), layer_ft.size)
    if high <= low:
        return none_nm
    heights = np.unique(np.linspace(low, high - 1, _MOST_HEIGHTS).astype(np.int64))
    east_nm, north_nm = _axes(route_nm)
    need_ft = needs(prepared.ground, east_nm, north_nm)
    found = [none_nm]
    for start_nm, end_nm in pairwise(route_nm):
        ends = [_crossing(one, east_nm, north_nm) for one in (start_nm, end_nm)]
        for height in heights:
            cells = shortest_path(need_ft > layer_ft[height], *ends)
            rows, columns = np.divmod(cells, east_nm.size)
            path_nm = np.column_stack([east_nm[columns], north_nm[rows]])
            if len(path_nm) > 2:
                path_nm[0], path_nm[-1] = start_nm, end_nm
                found.append(pulled_straight(prepared.ground, path_nm, float(layer_ft[height])))
    return np.unique(np.round(np.concatenate(found), 3), axis=0)


def _axes(route_nm: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Easts and norths of a raster round a route."""
    spread_nm = max(0.4 * float(np.hypot(*np.ptp(route_nm, axis=0))), 15.0)
    low, high = route_nm.min(axis=0) - spread_nm, route_nm.max(axis=0) + spread_nm
    step_nm = float((high - low).max()) / _ACROSS
    return np.arange(low[0], high[0], step_nm), np.arange(low[1], high[1], step_nm)


def _crossing(place_nm: FloatArray, east_nm: FloatArray, north_nm: FloatArray) -> int:
    """The crossing of a raster next to a place."""
    row = int(np.argmin(np.abs(north_nm - place_nm[1])))
    return row * east_nm.size + int(np.argmin(np.abs(east_nm - place_nm[0])))

"""The fastest heights along a fixed track: an exact shortest path over distance and layer.

The track is cut into cells. From the start of a cell the airplane flies level through it, or
climbs or descends straight to another layer, as steeply as it can: over the first distance
among the cell ends that its rate allows, or circling within one cell. With levels asked for,
a second set of states stands for having just descended where level flight is due before a climb.
"""

from typing import NamedTuple

import numpy as np

from lubberline.arrays import FloatArray, IntArray
from lubberline.ways.search._compiled import compiled, leaf
from lubberline.ways.search._speed import Air, vertical_costs

WAIT_MIN = 0.51  # half a minute of level flight between a descent and a climb, and to spare
REACH_FT = 2_600.0  # a straight climb or descent goes no farther; more are strung together


class Cells(NamedTuple):
    """Cells of a track, k of them: bits of closed layers and bands, heights needed at both ends.

    ``high`` are the layers where levels are asked for; ``level_speed`` (legs, l) in NM/min and
    ``slope`` (legs, l, 4) as in ``slope_table``.
    """

    along_nm: FloatArray
    leg: IntArray
    closed_layers: IntArray
    closed_bands: IntArray
    need_start_ft: FloatArray
    need_end_ft: FloatArray
    high: IntArray
    level_speed: FloatArray
    slope: FloatArray
    least_fpm: float
    asked: bool


@leaf
def slope_is_free(
    cells: Cells, layer_ft: FloatArray, first: int, last: int, ends: tuple[int, int]
) -> bool:
    """Whether a straight change from one layer to another over cells first to last - 1 is free."""
    low, high = min(ends[0], ends[1]), max(ends[0], ends[1])
    start_nm, start_ft = cells.along_nm[first], layer_ft[ends[0]]
    steep = (layer_ft[ends[1]] - start_ft) / (cells.along_nm[last] - start_nm)
    height, passed = start_ft, (1 << high) - (1 << low)
    for cell in range(first, last):
        after = start_ft + steep * (cells.along_nm[cell + 1] - start_nm)
        if height < cells.need_start_ft[cell] - 0.01 or after < cells.need_end_ft[cell] - 0.01:
            return False
        bits = cells.closed_bands[cell] & passed
        if bits:
            least, most = min(height, after) + 0.01, max(height, after) - 0.01
            for band in range(low, high):
                overlaps = layer_ft[band] < most and layer_ft[band + 1] > least
                if overlaps and (bits >> band) & 1:
                    return False
        height = after
    return True


@leaf
def is_slow(cells: Cells, first: int, last: int, climb: tuple[int, int], rate_fpm: float) -> bool:
    """Whether a slope counts as level flight where levels are asked for."""
    if not cells.asked or rate_fpm >= cells.least_fpm:
        return False
    low, high = min(climb[0], climb[1]), max(climb[0], climb[1])
    bits = cells.high[first] | cells.high[last - 1]
    for layer in range(low, high + 1):
        if (bits >> layer) & 1:
            return True
    return False


@leaf
def try_state(
    best: FloatArray, parent: IntArray, here: tuple[int, int, int], time: float, origin: int
) -> None:
    """Keep a time for a state if it is the least so far."""
    if time < best[here[0], here[1], here[2]]:
        best[here[0], here[1], here[2]] = time
        parent[here[0], here[1], here[2]] = origin


@leaf
def go_level(
    cells: Cells, layer_ft: FloatArray, best: FloatArray, parent: IntArray, at: tuple[int, int, int]
) -> None:
    """Level through one cell; after a descent also through as many as the wait takes."""
    cell, layer, mode = at
    origin = (cell * layer_ft.size + layer) * 2 + mode
    start, waited = best[cell, layer, mode], 0.0
    while cell < cells.leg.size:
        speed = cells.level_speed[cells.leg[cell], layer]
        height = layer_ft[layer]
        shut = (cells.closed_layers[cell] >> layer) & 1
        if (
            shut
            or speed <= 0.0
            or height < max(cells.need_start_ft[cell], cells.need_end_ft[cell]) - 0.01
        ):
            return
        waited += (cells.along_nm[cell + 1] - cells.along_nm[cell]) / speed
        cell += 1
        if cell == at[0] + 1:
            try_state(best, parent, (cell, layer, mode), start + waited, origin)
        if mode == 0:
            return
        if waited >= WAIT_MIN:
            try_state(best, parent, (cell, layer, 0), start + waited, origin)
            return


@leaf
def go_slope(
    cells: Cells,
    air: Air,
    best: FloatArray,
    parent: IntArray,
    at: tuple[int, int, int],
    step: int,
    alone: FloatArray,
    limit: float,
) -> None:
    """Up (step 1) or down (step -1) to every layer within reach."""
    cell, layer, mode = at
    leg, last, layer_ft = cells.leg[cell], cell + 1, air.layer_ft
    column = 0 if step > 0 else 1
    start, origin = best[cell, layer, mode], (cell * layer_ft.size + layer) * 2 + mode
    target = layer + step
    while 0 <= target < layer_ft.size and abs(layer_ft[target] - layer_ft[layer]) <= REACH_FT:
        run = abs(cells.slope[leg, target, column] - cells.slope[leg, layer, column])
        spent = abs(cells.slope[leg, target, column + 2] - cells.slope[leg, layer, column + 2])
        if not start + spent + alone[target] < limit:
            return  # what leads on from there takes more, and so from all beyond
        while last < cells.leg.size and cells.along_nm[last] - cells.along_nm[cell] < run:
            last += 1
        for option in range(2):
            end = last if option == 0 else cell + 1
            if option == 1 and end == last:
                break
            after = 0
            if step < 0 and cells.asked:
                bits = cells.high[end - 1] | cells.high[min(end, cells.leg.size - 1)]
                after = (bits >> target) & 1
            if start + spent + 1e-5 >= best[end, target, after]:
                continue
            time, spare = spent, cells.along_nm[end] - cells.along_nm[cell] - run
            if spare > 0.0:
                speed = cells.level_speed[leg, (layer + target) // 2]
                if speed <= 0.0:
                    continue
                time = spent + spare / speed
            later = start + time + 1e-5
            if later >= best[end, target, after]:
                continue
            rate = abs(layer_ft[target] - layer_ft[layer]) / time
            if is_slow(cells, cell, end, (layer, target), rate):
                continue
            if slope_is_free(cells, layer_ft, cell, end, (layer, target)):
                best[end, target, after], parent[end, target, after] = later, origin
        target += step


@leaf
def circling_min(cells: Cells, cell: int, low: int, high: int) -> tuple[float, float]:
    """Minutes to climb and to descend in place between two layers; infinite where closed."""
    bits = cells.closed_bands[cell]
    for band in range(low, high):
        if (bits >> band) & 1:
            return np.inf, np.inf
    table = cells.slope[cells.leg[cell]]
    return table[high, 2] - table[low, 2], table[high, 3] - table[low, 3]


@compiled
def circle(cells: Cells, best: FloatArray, parent: IntArray, cell: int, start: int) -> None:
    """Circle over the departure to every other layer."""
    for layer in range(best.shape[1]):
        if layer != start:
            up, down = circling_min(cells, cell, min(start, layer), max(start, layer))
            time = up if layer > start else down
            try_state(best, parent, (0, layer, 0), time + 1e-5, start * 2)


@compiled
def land(cells: Cells, best: FloatArray, parent: IntArray, layer: int, end: int) -> None:
    """Circle over the destination from a layer to the field."""
    count = cells.leg.size
    up, down = circling_min(cells, count - 1, min(layer, end), max(layer, end))
    mode = 0 if best[count, layer, 0] <= best[count, layer, 1] else 1
    time = best[count, layer, mode] + (down if layer > end else up) + 1e-5
    origin = (count * best.shape[1] + layer) * 2 + mode
    try_state(best, parent, (count, end, 0), time, origin)


@compiled
def least_left(cells: Cells, air: Air, end: int) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Least minutes from each cell's start on; what is left of height costs more, and takes.

    The last holds by itself, wherever that height is flown.
    """
    count, layers = cells.leg.size, air.layer_ft.size
    along, costs = np.zeros(count + 1), vertical_costs(air)
    faster = max(1.0, max(air.descent_nm, air.climb_nm) / air.cruise_nm)
    for cell in range(count - 1, -1, -1):
        speed = cells.level_speed[cells.leg[cell]].max() * faster
        length = cells.along_nm[cell + 1] - cells.along_nm[cell]
        along[cell] = along[cell + 1] + (length / speed if speed > 0.0 else 0.0)
    height, alone = np.zeros(layers), np.zeros(layers)
    for layer in range(end + 1, layers):
        height[layer] = height[layer - 1] + costs[layer - 1, 1]
        alone[layer] = alone[layer - 1] + air.down_min[layer - 1]
    for layer in range(end - 1, -1, -1):
        height[layer] = height[layer + 1] + costs[layer, 0]
        alone[layer] = alone[layer + 1] + air.up_min[layer]
    return along, height, alone


@compiled
def fastest_heights(
    cells: Cells, air: Air, ends: tuple[int, int], limit: float
) -> tuple[float, IntArray]:
    """Least time from layer to layer if under a limit; rows of cell end and layer, (m, 2)."""
    start, end = ends
    count, layers = cells.leg.size, air.layer_ft.size
    along_left, height_left, alone_left = least_left(cells, air, end)
    best = np.full((count + 1, layers, 2), np.inf)
    parent = np.full((count + 1, layers, 2), -1, dtype=np.int64)
    best[0, start, 0] = 0.0
    circle(cells, best, parent, 0, start)
    for cell in range(count):
        for layer in range(layers):
            for mode in range(2):
                left = max(along_left[cell] + height_left[layer], alone_left[layer])
                if not best[cell, layer, mode] + left < limit:
                    continue
                if mode == 1 and best[cell, layer, 0] <= best[cell, layer, 1]:
                    continue  # who may climb at once can do all that others can
                at = (cell, layer, mode)
                go_level(cells, air.layer_ft, best, parent, at)
                if mode == 0:
                    go_slope(cells, air, best, parent, at, 1, alone_left, limit)
                go_slope(cells, air, best, parent, at, -1, alone_left, limit)
    for layer in range(layers):
        if layer != end and best[count, layer].min() < best[count, end].min():
            land(cells, best, parent, layer, end)
    mode = 0 if best[count, end, 0] <= best[count, end, 1] else 1
    time = best[count, end, mode]
    rows = np.empty((count + 3, 2), dtype=np.int64)
    if not time < limit:  # what is over it was made of what is under it, and is not the least
        return np.inf, rows[:0]
    size, cell, layer = 0, count, end
    while cell >= 0:
        rows[size, 0], rows[size, 1] = cell, layer
        size += 1
        origin = parent[cell, layer, mode]
        if origin < 0:
            break
        cell, layer, mode = origin // 2 // layers, origin // 2 % layers, origin % 2
    return time, rows[:size][::-1].copy()

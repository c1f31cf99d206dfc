"""Ways between mountains: shortest paths over a raster of the ground, at one height each.

Ground has no corners to turn at as volumes do. What rises above a height is a wall at that
height; the shortest path round the walls, drawn straight where ground leaves a straight line
free, turns at the passes. Heights, volumes and winds are left to the search.
"""

import heapq

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, IntArray
from lubberline.ways.search._compiled import compiled
from lubberline.ways.search._ground import Ground, ground_between, need_at
from lubberline.ways.search._shapes import length_of


@compiled
def needs(ground: Ground, east_nm: FloatArray, north_nm: FloatArray) -> FloatArray:
    """Least height above mean sea level at the crossings of a raster, (n, e)."""
    out = np.empty((north_nm.size, east_nm.size))
    for row in range(north_nm.size):
        for column in range(east_nm.size):
            out[row, column] = need_at(ground, east_nm[column], north_nm[row])
    return out


@compiled
def shortest_path(closed: BoolArray, start: int, end: int) -> IntArray:
    """Crossings of a raster from one to another by their eight neighbors; none if walled off."""
    rows, columns = closed.shape
    best = np.full(rows * columns, np.inf)
    parent = np.full(rows * columns, -1)
    end_row, end_column = end // columns, end % columns
    best[start], heap = 0.0, [(0.0, start)]
    while heap:
        _, at = heapq.heappop(heap)
        if at == end:
            break
        row, column = at // columns, at % columns
        for down in range(-1, 2):
            for right in range(-1, 2):
                below, beside = row + down, column + right
                if below < 0 or beside < 0 or below >= rows or beside >= columns:
                    continue
                other = below * columns + beside
                if closed[below, beside] and other != end:
                    continue
                later = best[at] + length_of(down, right)
                if later < best[other] - 1e-9:
                    best[other], parent[other] = later, at
                    left = length_of(end_row - below, end_column - beside)
                    heapq.heappush(heap, (later + left, other))
    count, at = 0, end if best[end] < np.inf else -1
    while at >= 0:
        count, at = count + 1, parent[at]
    out, at = np.empty(count, dtype=np.int64), end
    for place in range(count - 1, -1, -1):
        out[place], at = at, parent[at]
    return out


@compiled
def pulled_straight(ground: Ground, path_nm: FloatArray, msl_ft: float) -> FloatArray:
    """Where a path (p, 2) has to turn so that every straight line clears the ground, (m, 2)."""
    kept, count, last = np.empty_like(path_nm), 0, path_nm.shape[0] - 1
    here = 0
    while here < last:
        onward = here + 1
        for there in range(last, here + 1, -1):
            line_nm = (path_nm[here, 0], path_nm[here, 1], path_nm[there, 0], path_nm[there, 1])
            if ground_between(ground, line_nm)[2] <= msl_ft:
                onward = there
                break
        here = onward
        if here < last:
            kept[count] = path_nm[here]
            count += 1
    return kept[:count]

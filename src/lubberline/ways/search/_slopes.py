"""Climbs from the departure and descents to the destination, along one line."""

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.ways.search._compiled import compiled, leaf
from lubberline.ways.search._ground import closed_span_ft, need_at
from lubberline.ways.search._levels import legal_bits
from lubberline.ways.search._scene import Scene, too_high
from lubberline.ways.search._shapes import Line, length_of, misses_box, spans
from lubberline.ways.search._speed import level_speeds, slope_table


@compiled
def blocks_on(scene: Scene, line_nm: Line) -> FloatArray:
    """What stands on a line: (m, 4) of distance from, distance to, lowest and highest closed."""
    length = length_of(line_nm[2] - line_nm[0], line_nm[3] - line_nm[1])
    out, count = np.empty((16, 4)), 0
    for volume in scene.active:
        if misses_box(scene.sky, volume, line_nm):
            continue
        near = spans(scene.sky, volume, line_nm)
        if near.shape[0] == 0:
            continue
        low_ft, high_ft = closed_span_ft(scene.sky, scene.ground, volume, line_nm)
        for place in range(near.shape[0]):
            if count == out.shape[0]:
                out = np.concatenate((out, np.empty_like(out)))
            out[count, 0], out[count, 1] = near[place, 0] * length, near[place, 1] * length
            out[count, 2], out[count, 3] = low_ft, high_ft
            count += 1
    return out[:count]


@leaf
def height_after(
    layer_ft: FloatArray, run_nm: FloatArray, ends: tuple[int, int], along_nm: float
) -> float:
    """Height so far along a change of layer that begins at once, then level."""
    step = 1 if ends[1] > ends[0] else -1
    layer = ends[0]
    while layer != ends[1]:
        before = abs(run_nm[layer] - run_nm[ends[0]])
        after = abs(run_nm[layer + step] - run_nm[ends[0]])
        if along_nm < after:
            share = (along_nm - before) / (after - before)
            return float(layer_ft[layer] + share * (layer_ft[layer + step] - layer_ft[layer]))
        layer += step
    return float(layer_ft[ends[1]])


@leaf
def slope_column(layer: int, anchor: int, backward: bool) -> int:
    """Column of the slope table: 0 for a climb from or to the anchor, 1 for a descent."""
    return 0 if (layer > anchor) != backward else 1


@leaf
def slope_clears(
    scene: Scene,
    line_nm: Line,
    blocks: FloatArray,
    run_nm: FloatArray,
    ends: tuple[int, int],
    backward: bool,
) -> bool:
    """Whether a change of layer at the start of a line (or its end, seen backward) is clear."""
    length = length_of(line_nm[2] - line_nm[0], line_nm[3] - line_nm[1])
    layer_ft = scene.air.layer_ft
    for place in range(blocks.shape[0]):
        first, last = blocks[place, 0], blocks[place, 1]
        if backward:
            first, last = length - last, length - first
        one = height_after(layer_ft, run_nm, ends, first)
        other = height_after(layer_ft, run_nm, ends, last)
        if min(one, other) < blocks[place, 3] and max(one, other) > blocks[place, 2]:
            return False
    reach = length  # over level ground only the places near a field ask for anything
    if scene.ground.flat:
        reach = min(length, scene.ground.radius_nm)
    count = max(int(reach / 0.7) + 1, 2)
    for place in range(1, count):
        along = reach * place / count
        share = 1.0 - along / length if backward else along / length
        x = line_nm[0] + (line_nm[2] - line_nm[0]) * share
        y = line_nm[1] + (line_nm[3] - line_nm[1]) * share
        if height_after(layer_ft, run_nm, ends, along) < need_at(scene.ground, x, y) - 5.0:
            return False
    return True


@compiled
def slope_times(scene: Scene, line_nm: Line, anchor: int, backward: bool) -> FloatArray:
    """Time of a line with a change from (backward: to) a layer at its end, per other layer.

    Infinite where that is not free, not legal or does not fit.
    """
    layer_ft = scene.air.layer_ft
    out = np.full(layer_ft.size, np.inf)
    run_x, run_y = line_nm[2] - line_nm[0], line_nm[3] - line_nm[1]
    length = length_of(run_x, run_y)
    unit_x, unit_y = run_x / length, run_y / length
    table = slope_table(scene.air, unit_x, unit_y)
    speeds = level_speeds(scene.air, unit_x, unit_y)
    blocks = blocks_on(scene, line_nm)
    illegal = 0
    if scene.levels.asked:
        legal = legal_bits(scene.levels, unit_x, unit_y, (line_nm[0] + line_nm[2]) / 2.0)
        illegal = too_high(scene, line_nm) & ~legal
    for layer in range(layer_ft.size):
        column = slope_column(layer, anchor, backward)
        run = abs(table[layer, column] - table[anchor, column])
        if run > length or speeds[layer] <= 0.0:
            continue
        if (illegal >> layer) & 1 and run < length - 2.0:
            continue
        if slope_clears(scene, line_nm, blocks, table[:, column], (anchor, layer), backward):
            spent = abs(table[layer, column + 2] - table[anchor, column + 2])
            out[layer] = spent + (length - run) / speeds[layer]
    return out

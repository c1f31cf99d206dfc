"""Climbs from the departure and descents to the destination, along one line."""

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.ways.search._compiled import compiled, leaf
from lubberline.ways.search._ground import closed_span_ft, need_at
from lubberline.ways.search._levels import legal_bits
from lubberline.ways.search._scene import Scene, too_high
from lubberline.ways.search._shapes import Line, length_of, misses_box, most_spans, put_spans
from lubberline.ways.search._speed import level_speeds, slope_table


@leaf
def put_blocks(scene: Scene, volume: int, line_nm: Line, out: FloatArray, begin: int) -> int:
    """Where one volume stands on a line, as in `blocks_on`, from a row on; the row after them."""
    end = put_spans(scene.sky, volume, line_nm, out, begin)
    if end > begin:
        length = length_of(line_nm[2] - line_nm[0], line_nm[3] - line_nm[1])
        low_ft, high_ft = closed_span_ft(scene.sky, scene.ground, volume, line_nm)
        for row in range(begin, end):
            out[row, 0], out[row, 1] = out[row, 0] * length, out[row, 1] * length
            out[row, 2], out[row, 3] = low_ft, high_ft
    return end


@compiled
def blocks_on(scene: Scene, line_nm: Line) -> FloatArray:
    """What stands on a line: (m, 4) of distance from, distance to, lowest and highest closed."""
    out, count = np.empty((16, 4)), 0
    for volume in scene.active:
        if misses_box(scene.sky, volume, line_nm):
            continue
        while count + most_spans(scene.sky, volume) > out.shape[0]:
            out = np.concatenate((out, np.empty_like(out)))
        count = put_blocks(scene, volume, line_nm, out, count)
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
def clears_blocks(
    layer_ft: FloatArray,
    blocks: FloatArray,
    length: float,
    run_nm: FloatArray,
    ends: tuple[int, int],
    backward: bool,
) -> bool:
    """Whether a change of layer at the start of a line (or its end, seen backward) meets none."""
    for row in range(blocks.shape[0]):
        first, last = blocks[row, 0], blocks[row, 1]
        if backward:
            first, last = length - last, length - first
        one = height_after(layer_ft, run_nm, ends, first)
        other = height_after(layer_ft, run_nm, ends, last)
        if min(one, other) < blocks[row, 3] and max(one, other) > blocks[row, 2]:
            return False
    return True


@leaf
def clears_ground(
    scene: Scene, line_nm: Line, run_nm: FloatArray, ends: tuple[int, int], backward: bool
) -> bool:
    """Whether such a change of layer keeps high enough."""
    length = length_of(line_nm[2] - line_nm[0], line_nm[3] - line_nm[1])
    reach = length  # over level ground only the places near a field ask for anything
    if scene.ground.flat:
        reach = min(length, scene.ground.radius_nm)
    count = max(int(reach / 0.7) + 1, 2)
    for place in range(1, count):
        along = reach * place / count
        share = 1.0 - along / length if backward else along / length
        x = line_nm[0] + (line_nm[2] - line_nm[0]) * share
        y = line_nm[1] + (line_nm[3] - line_nm[1]) * share
        need = need_at(scene.ground, x, y) - 5.0
        if height_after(scene.air.layer_ft, run_nm, ends, along) < need:
            return False
    return True


@compiled
def slope_times(
    scene: Scene, line_nm: Line, anchor: int, backward: bool, enough: int
) -> FloatArray:
    """Time of a line with a change from (backward: to) a layer at its end, per other layer.

    Infinite where that is not free, not legal or does not fit, and where it is not asked for
    (``enough``).
    """
    layer_ft = scene.air.layer_ft
    run_x, run_y = line_nm[2] - line_nm[0], line_nm[3] - line_nm[1]
    length = length_of(run_x, run_y)
    unit_x, unit_y = run_x / length, run_y / length
    speeds = level_speeds(scene.air, unit_x, unit_y)
    table = slope_table(scene.air, unit_x, unit_y)
    illegal = 0
    if scene.levels.asked:
        legal = legal_bits(scene.levels, unit_x, unit_y, (line_nm[0] + line_nm[2]) / 2.0)
        illegal = too_high(scene, line_nm) & ~legal
    out = np.full(layer_ft.size, np.inf)
    for layer in range(layer_ft.size):
        column = slope_column(layer, anchor, backward)
        run = abs(table[layer, column] - table[anchor, column])
        if not (enough >> layer) & 1 or run > length or speeds[layer] <= 0.0:
            continue
        if (illegal >> layer) & 1 and run < length - 2.0:
            continue
        spent = abs(table[layer, column + 2] - table[anchor, column + 2])
        out[layer] = spent + (length - run) / speeds[layer]
    keep_clear(scene, line_nm, anchor, backward, 0, out)
    for layer in range(layer_ft.size):
        if out[layer] < np.inf:
            run_nm = table[:, slope_column(layer, anchor, backward)]
            if not clears_ground(scene, line_nm, run_nm, (anchor, layer), backward):
                out[layer] = np.inf
    return out


@compiled
def keep_clear(
    scene: Scene, line_nm: Line, anchor: int, backward: bool, held: int, out: FloatArray
) -> None:
    """Put infinite in ``out`` (l,) where a volume, the first ``held`` left out, is in the way.

    Volumes are looked at only as long as any layer is left.
    """
    left, layers = 0, out.size
    for layer in range(layers):
        if out[layer] < np.inf:
            left |= 1 << layer
    run_x, run_y = line_nm[2] - line_nm[0], line_nm[3] - line_nm[1]
    length = length_of(run_x, run_y)
    table = slope_table(scene.air, run_x / length, run_y / length)
    run_nm, blocks = (table[:, 0], table[:, 1]), np.empty((16, 4))
    for volume in scene.active[held:]:
        if left == 0:
            break
        if misses_box(scene.sky, volume, line_nm):
            continue
        if most_spans(scene.sky, volume) > blocks.shape[0]:
            blocks = np.empty((most_spans(scene.sky, volume), 4))
        here = blocks[: put_blocks(scene, volume, line_nm, blocks, 0)]
        for layer in range(layers):
            slope_nm = run_nm[slope_column(layer, anchor, backward)]
            if (left >> layer) & 1 and not clears_blocks(
                scene.air.layer_ft, here, length, slope_nm, (anchor, layer), backward
            ):
                left, out[layer] = left & ~(1 << layer), np.inf

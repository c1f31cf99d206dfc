"""Which volumes a track of places and layers meets that were left out when it was found."""

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, IntArray
from lubberline.ways.search._compiled import compiled
from lubberline.ways.search._ground import closed_span_ft, part_near
from lubberline.ways.search._scene import Nodes, Scene, line_of
from lubberline.ways.search._shapes import Line, length_of, misses_box, spans
from lubberline.ways.search._slopes import height_after, slope_column
from lubberline.ways.search._speed import slope_table


@compiled
def met_on_track(
    scene: Scene, nodes: Nodes, track: IntArray, known: BoolArray, sloped: bool
) -> BoolArray:
    """Volumes in the way of a track (m, 2) of places and layers, those known left out.

    Where it is sloped, a change of layer may lie anywhere on its line.
    """
    met = np.zeros(known.size, dtype=np.bool_)
    for move in range(track.shape[0] - 1):
        start, layer = track[move]
        end, other = track[move + 1]
        line_nm = line_of(nodes, start, end)
        for volume in scene.active:
            if known[volume] or met[volume] or misses_box(scene.sky, volume, line_nm):
                continue
            near = spans(scene.sky, volume, line_nm)
            if near.shape[0] == 0:
                continue
            if start != end and layer != other and not sloped:
                down = end == 1 and other == scene.end_layer
                changed = layer if down else other
                met[volume] = stands_in_slope(scene, volume, line_nm, near, changed, down)
            else:
                low_ft, high_ft = closed_span_ft(
                    scene.sky, scene.ground, volume, part_near(scene.sky, volume, line_nm)
                )
                lowest = scene.air.layer_ft[min(layer, other)]
                highest = scene.air.layer_ft[max(layer, other)]
                met[volume] = low_ft < highest and lowest < high_ft
    return met


@compiled
def stands_in_slope(
    scene: Scene, volume: int, line_nm: Line, near: FloatArray, layer: int, backward: bool
) -> bool:
    """Whether a volume is in the way of the climb (backward: the descent) at a line's end."""
    run_x, run_y = line_nm[2] - line_nm[0], line_nm[3] - line_nm[1]
    length = length_of(run_x, run_y)
    anchor = scene.end_layer if backward else scene.start_layer
    column = slope_column(layer, anchor, backward)
    run_nm = slope_table(scene.air, run_x / length, run_y / length)[:, column]
    low_ft, high_ft = closed_span_ft(scene.sky, scene.ground, volume, line_nm)
    for place in range(near.shape[0]):
        first, last = near[place, 0] * length, near[place, 1] * length
        if backward:
            first, last = length - last, length - first
        one = height_after(scene.air.layer_ft, run_nm, (anchor, layer), first)
        two = height_after(scene.air.layer_ft, run_nm, (anchor, layer), last)
        if min(one, two) < high_ft and max(one, two) > low_ft:
            return True
    return False

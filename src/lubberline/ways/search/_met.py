"""Which volumes a track of places and layers meets that were left out when it was found."""

import numpy as np

from lubberline.arrays import BoolArray, IntArray
from lubberline.ways.search._compiled import compiled
from lubberline.ways.search._ground import closed_span_ft, part_near
from lubberline.ways.search._scene import Nodes, Scene, line_of
from lubberline.ways.search._shapes import Line, length_of, most_spans, touches
from lubberline.ways.search._slopes import clears_blocks, put_blocks, slope_column
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
            if known[volume] or met[volume] or not touches(scene.sky, volume, line_nm):
                continue
            if start != end and layer != other and not sloped:
                down = end == 1 and other == scene.end_layer
                changed = layer if down else other
                met[volume] = stands_in_slope(scene, volume, line_nm, changed, down)
            else:
                low_ft, high_ft = closed_span_ft(
                    scene.sky, scene.ground, volume, part_near(scene.sky, volume, line_nm)
                )
                lowest = scene.air.layer_ft[min(layer, other)]
                highest = scene.air.layer_ft[max(layer, other)]
                met[volume] = low_ft < highest and lowest < high_ft
    return met


@compiled
def stands_in_slope(scene: Scene, volume: int, line_nm: Line, layer: int, backward: bool) -> bool:
    """Whether a volume is in the way of the climb (backward: the descent) at a line's end."""
    run_x, run_y = line_nm[2] - line_nm[0], line_nm[3] - line_nm[1]
    length = length_of(run_x, run_y)
    anchor = scene.end_layer if backward else scene.start_layer
    column = slope_column(layer, anchor, backward)
    run_nm = slope_table(scene.air, run_x / length, run_y / length)[:, column]
    blocks = np.empty((most_spans(scene.sky, volume), 4))
    blocks = blocks[: put_blocks(scene, volume, line_nm, blocks, 0)]
    ends = (anchor, layer)
    return not clears_blocks(scene.air.layer_ft, blocks, length, run_nm, ends, backward)

"""What the compiled search looks at: places to turn at, and everything that may close them."""

from typing import NamedTuple

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, IntArray
from lubberline.ways.search._compiled import compiled, leaf
from lubberline.ways.search._ground import (
    Ground,
    bands_between,
    closed_span_ft,
    follows,
    layers_between,
    need_at,
)
from lubberline.ways.search._levels import Levels
from lubberline.ways.search._shapes import Line, Sky, touches
from lubberline.ways.search._speed import Air


class Nodes(NamedTuple):
    """Places to turn at: departure, destination, then corners, n in all.

    ``beside_nm`` (n, 4) are the corners before and after on the same outline; ``free`` places
    may be flown through in any direction. ``layers`` are the layers open at a place and
    ``bands`` the bands that are.

    With points to go over, every place is there once per stage: ``stage`` counts the points
    already behind, ``twin`` is where the next stage begins, -1 where it does not. ``target``
    (stages,) is the place at which each ends, ``onward_nm`` what is left from there at least.
    """

    place_nm: FloatArray
    beside_nm: FloatArray
    free: BoolArray
    layers: IntArray
    bands: IntArray
    stage: IntArray
    twin: IntArray
    target: IntArray
    onward_nm: FloatArray


class Scene(NamedTuple):
    """All that the search looks at."""

    sky: Sky
    ground: Ground
    air: Air
    levels: Levels
    active: IntArray
    level_bits: IntArray
    band_bits: IntArray
    start_layer: int
    end_layer: int


@leaf
def too_high(scene: Scene, line_nm: Line) -> int:
    """Bits of the layers so high above some ground under a line that levels are asked for."""
    low = 1e9
    count = 1 if scene.ground.flat else 8
    for place in range(count + 1):
        x = line_nm[0] + (line_nm[2] - line_nm[0]) * place / count
        y = line_nm[1] + (line_nm[3] - line_nm[1]) * place / count
        low = min(low, need_at(scene.ground, x, y) - scene.ground.least_agl_ft)
    bits = 0
    for layer in range(scene.air.layer_ft.size):
        if scene.air.layer_ft[layer] > low + scene.ground.level_agl_ft:
            bits |= 1 << layer
    return bits


@leaf
def line_of(nodes: Nodes, start: int, end: int) -> Line:
    """The line from one place to another."""
    place_nm = nodes.place_nm
    return place_nm[start, 0], place_nm[start, 1], place_nm[end, 0], place_nm[end, 1]


@compiled
def open_at(
    scene: Scene, place_nm: FloatArray, known: int = 0, held: int = 0
) -> tuple[IntArray, IntArray]:
    """Bits of the layers and bands open at places; of the bands only where any layer is.

    The first ``known`` places are not held against the first ``held`` volumes.
    """
    total = place_nm.shape[0]
    layers, bands = np.empty(total, dtype=np.int64), np.empty(total, dtype=np.int64)
    layer_ft, sky = scene.air.layer_ft, scene.sky
    every = (1 << layer_ft.size) - 1
    for node in range(total):
        x, y = place_nm[node, 0], place_nm[node, 1]
        point_nm = (x, y, x, y)
        shut, shut_bands = layers_between(layer_ft, -1e9, need_at(scene.ground, x, y)), 0
        for place in range(held if node < known else 0, scene.active.size):
            if shut == every:
                break
            volume = scene.active[place]
            level_bits, band_bits = scene.level_bits[volume], scene.band_bits[volume]
            moving = follows(sky, volume)
            if not moving and level_bits & ~shut == 0 and band_bits & ~shut_bands == 0:
                continue
            if not touches(sky, volume, point_nm):
                continue
            if moving:
                low_ft, high_ft = closed_span_ft(sky, scene.ground, volume, point_nm)
                level_bits = layers_between(layer_ft, low_ft, high_ft)
                band_bits = bands_between(layer_ft, low_ft, high_ft)
            shut, shut_bands = shut | level_bits, shut_bands | band_bits
        layers[node], bands[node] = every & ~shut, every & ~shut_bands
    return layers, bands

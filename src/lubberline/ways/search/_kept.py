"""What a search learned of its lines, kept for the next with more volumes and more places.

A track is sought again each time that it met volumes which were left out. Places and volumes
keep their order then, new ones follow; so a line that was looked at has to be held against the
new volumes only, and a place only be joined with the new places.
"""

from typing import NamedTuple

import numpy as np

from lubberline.arrays import FloatArray, IntArray
from lubberline.ways.search._compiled import compiled, leaf
from lubberline.ways.search._ground import (
    closed_span_ft,
    follows,
    ground_between,
    layers_between,
    part_near,
)
from lubberline.ways.search._levels import legal_bits
from lubberline.ways.search._scene import Nodes, Scene, line_of, too_high
from lubberline.ways.search._shapes import Line, length_of, row_of, touches
from lubberline.ways.search._slopes import keep_clear, slope_times

TOUCH = 1e-7


class Kept(NamedTuple):
    """Lines between places, a row each, and slopes between places and the fields.

    ``lines`` (m, 3) are where a line leads, bits of the layers that may be open, and how many
    volumes it was held against, -1 before it was looked at; those of a place are ``many`` rows
    from ``first`` on, chosen out of as many places as ``known`` says. ``used`` (1,) rows are in
    use. ``slope_min`` (2, n, l) are climbs from the departure and descents to the destination,
    infinite where they are not free, held against ``slope_held`` (2, n) volumes.
    """

    lines: IntArray
    first: IntArray
    many: IntArray
    known: IntArray
    used: IntArray
    slope_min: FloatArray
    slope_held: IntArray


def nothing_kept(layers: int, room: int = 256) -> Kept:
    """Before the first search, with room for some places."""
    none = np.zeros(room, dtype=np.int64)
    return Kept(
        lines=np.empty((room, 3), dtype=np.int64),
        first=none,
        many=none.copy(),
        known=none.copy(),
        used=np.zeros(1, dtype=np.int64),
        slope_min=np.empty((2, room, layers)),
        slope_held=np.full((2, room), -1),
    )


def with_room(kept: Kept, total: int) -> Kept:
    """With room for so many places."""
    room = kept.first.size
    if total <= room:
        return kept
    wide = nothing_kept(kept.slope_min.shape[2], max(total, 2 * room))
    for before, after in zip(kept[1:4], wide[1:4], strict=True):
        after[:room] = before
    wide.slope_min[:, :room], wide.slope_held[:, :room] = kept.slope_min, kept.slope_held
    return wide._replace(lines=kept.lines, used=kept.used)


@leaf
def is_tangent(nodes: Nodes, node: int, unit_x: float, unit_y: float) -> bool:
    """Whether a line through a corner leaves its outline on one side."""
    if nodes.free[node]:
        return True
    x, y = nodes.place_nm[node, 0], nodes.place_nm[node, 1]
    before_x, before_y, after_x, after_y = row_of(nodes.beside_nm, node)
    before = unit_x * (before_y - y) - unit_y * (before_x - x)
    after = unit_x * (after_y - y) - unit_y * (after_x - x)
    return bool(before * after >= -TOUCH)


@compiled
def tangents_from(nodes: Nodes, node: int, known: int) -> IntArray:
    """Places, those known left out, that a line from a place may go to: tangent at both ends."""
    count, total = 0, nodes.place_nm.shape[0]
    seen = np.empty(total, dtype=np.int64)
    for other in range(max(known, 1), total):
        if other == node or nodes.stage[other] != nodes.stage[node]:
            continue
        if nodes.layers[node] & nodes.layers[other] == 0:
            continue
        line_nm = line_of(nodes, node, other)
        run_x, run_y = line_nm[2] - line_nm[0], line_nm[3] - line_nm[1]
        length = length_of(run_x, run_y)
        if length < 1e-6:
            continue
        unit_x, unit_y = run_x / length, run_y / length
        if is_tangent(nodes, node, unit_x, unit_y) and is_tangent(nodes, other, unit_x, unit_y):
            seen[count] = other
            count += 1
    return seen[:count].copy()


@compiled
def with_lines_from(kept: Kept, lines: IntArray, nodes: Nodes, node: int) -> IntArray:
    """Lines with those from a place to all others; a longer table if there was no room."""
    first, many = kept.first[node], kept.many[node]
    fresh = tangents_from(nodes, node, kept.known[node])
    kept.known[node] = nodes.place_nm.shape[0]
    if fresh.size == 0:
        return lines
    start = kept.used[0]
    end = start + many + fresh.size
    while end > lines.shape[0]:
        lines = np.concatenate((lines, np.empty_like(lines)))
    lines[start : start + many] = lines[first : first + many]
    for place in range(fresh.size):
        row = start + many + place
        lines[row, 0], lines[row, 1], lines[row, 2] = fresh[place], -1, -1
    kept.first[node], kept.many[node], kept.used[0] = start, many + fresh.size, end
    return lines


@leaf
def open_layers(scene: Scene, line_nm: Line, enough: int, held: int) -> int:
    """Bits of those layers, of some, in which a line may be flown level.

    It was held against the ground and the first ``held`` volumes before, or -1.
    """
    bits = enough
    if held < 0:
        layer_ft = scene.air.layer_ft
        _, _, need = ground_between(scene.ground, line_nm)
        bits &= ~layers_between(layer_ft, -1e9, need)
        if scene.levels.asked:
            run_x, run_y = line_nm[2] - line_nm[0], line_nm[3] - line_nm[1]
            length = length_of(run_x, run_y)
            legal = legal_bits(
                scene.levels, run_x / length, run_y / length, (line_nm[0] + line_nm[2]) / 2.0
            )
            bits &= legal | ~too_high(scene, line_nm)
    for place in range(max(held, 0), scene.active.size):
        if bits == 0:
            break
        volume = scene.active[place]
        moving = follows(scene.sky, volume)
        if not moving and scene.level_bits[volume] & bits == 0:
            continue
        if not touches(scene.sky, volume, line_nm):
            continue
        if moving:
            part_nm = part_near(scene.sky, volume, line_nm)
            low_ft, high_ft = closed_span_ft(scene.sky, scene.ground, volume, part_nm)
            bits &= ~layers_between(scene.air.layer_ft, low_ft, high_ft)
        else:
            bits &= ~scene.level_bits[volume]
    return bits


@leaf
def see_line(scene: Scene, nodes: Nodes, lines: IntArray, row: int, node: int) -> int:
    """The open layers of a line from a place, which is looked at if that is due."""
    if lines[row, 2] < scene.active.size:
        other = lines[row, 0]
        enough = lines[row, 1] & nodes.layers[node] & nodes.layers[other]
        lines[row, 1] = open_layers(scene, line_of(nodes, node, other), enough, lines[row, 2])
        lines[row, 2] = scene.active.size
    return int(lines[row, 1])


@compiled
def see_slope(scene: Scene, nodes: Nodes, kept: Kept, node: int, to_end: bool) -> FloatArray:
    """Minutes of the climb to a place, or of the descent from it, per layer, (l,)."""
    side = 1 if to_end else 0
    out: FloatArray = kept.slope_min[side, node]
    held = kept.slope_held[side, node]
    if held < scene.active.size:
        line_nm = line_of(nodes, node, 1) if to_end else line_of(nodes, 0, node)
        anchor = scene.end_layer if to_end else scene.start_layer
        if held < 0:
            enough = nodes.layers[node] | (1 << scene.end_layer if node == 1 else 0)
            out[:] = slope_times(scene, line_nm, anchor, to_end, enough)
        else:
            keep_clear(scene, line_nm, anchor, to_end, held, out)
        kept.slope_held[side, node] = scene.active.size
    return out

"""Layered visibility graph: corners of the closed volumes by layers, searched by A* [HART1968]_.

Level lines join corners that they touch without cutting in; layers change at corners. From the
departure the airplane climbs along the line at its rate, to the destination it descends so; or
it circles over either field. Changes of layer at corners are simplified: they take the distance
flown before them, and circle where that is too short. The exact profile is laid afterwards.
"""

import heapq
from typing import NamedTuple

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, IntArray
from lubberline.ways.search._compiled import compiled, leaf
from lubberline.ways.search._kept import Kept, is_tangent, see_line, see_slope, with_lines_from
from lubberline.ways.search._scene import Nodes, Scene, line_of
from lubberline.ways.search._shapes import length_of
from lubberline.ways.search._speed import Air, over_ground, vertical_costs


@compiled
def lower_bounds(scene: Scene, nodes: Nodes) -> FloatArray:
    """Least minutes from each place to the destination, at the best layer all the way."""
    out = np.zeros(nodes.place_nm.shape[0])
    most_nm = scene.air.cruise_nm + np.sqrt((scene.air.wind_nm**2).sum(axis=1)).max()
    for node in range(out.size):
        target = nodes.target[nodes.stage[node]]
        out[node] = nodes.onward_nm[nodes.stage[node]] / most_nm
        run_x = nodes.place_nm[target, 0] - nodes.place_nm[node, 0]
        run_y = nodes.place_nm[target, 1] - nodes.place_nm[node, 1]
        length = length_of(run_x, run_y)
        if length > 0.0:
            fastest = 1e-9
            for layer in range(scene.air.layer_ft.size):
                fastest = max(
                    fastest,
                    over_ground(
                        scene.air.wind_nm,
                        layer,
                        scene.air.cruise_nm,
                        run_x / length,
                        run_y / length,
                    ),
                )
            out[node] += length / fastest
    return out


class Search(NamedTuple):
    """Where a search stands: states (s,) are places by layers.

    ``spare_nm`` is the distance flown that no change of layer has used, ``far`` (n,) the least
    minutes from a place to the destination.
    """

    best: FloatArray
    parent: IntArray
    done: BoolArray
    spare_nm: FloatArray
    far: FloatArray
    goal: int


class Steps(NamedTuple):
    """Steps to the next layer up and down, (l - 1, 2) each.

    Minutes beside level flight, minutes in a circle, and the distance that it takes.
    """

    beside_min: FloatArray
    circling_min: FloatArray
    run_nm: FloatArray


@leaf
def improve(
    search: Search, state: int, before: int, later: float, left: float, spare_nm: float
) -> bool:
    """Reach a state from another if that is quicker and may still come to the best way."""
    if later >= search.best[state] or later + left >= search.best[search.goal]:
        return False
    search.best[state], search.parent[state] = later, before
    search.spare_nm[state] = spare_nm
    return True


@leaf
def change_layers(
    nodes: Nodes, search: Search, steps: Steps, ends: tuple[int, int], found: IntArray
) -> int:
    """Change from a place and layer to the next layers; how many are quicker, in ``found``."""
    node, layer = ends
    layers, count = steps.run_nm.shape[0] + 1, 0
    state = node * layers + layer
    spare_nm = search.spare_nm[state]
    for column in range(2):
        step = 1 - 2 * column
        other, band = layer + step, layer - column
        if other < 0 or other >= layers or search.done[state + step]:
            continue
        if not (nodes.layers[node] >> other) & 1 or not (nodes.bands[node] >> band) & 1:
            continue
        beside, run_nm = steps.beside_min[band, column], steps.run_nm[band, column]
        lack = 1.0 - min(spare_nm / run_nm, 1.0)
        spent = beside + lack * (steps.circling_min[band, column] - beside) + 1e-4
        left = max(spare_nm - run_nm, 0.0)
        if improve(search, state + step, state, search.best[state] + spent, search.far[node], left):
            found[count] = state + step
            count += 1
    return count


@leaf
def fly_level(
    scene: Scene,
    nodes: Nodes,
    search: Search,
    lines: IntArray,
    rows: tuple[int, int],
    ends: tuple[int, int],
    found: IntArray,
) -> int:
    """Fly from a place along some lines; how many states are reached quicker, in ``found``."""
    node, layer = ends
    layers, count = scene.air.layer_ft.size, 0
    state = node * layers + layer
    now, spare_nm = search.best[state], search.spare_nm[state]
    x, y = nodes.place_nm[node, 0], nodes.place_nm[node, 1]
    for row in range(rows[0], rows[1]):
        if not (lines[row, 1] >> layer) & 1:
            continue
        other = lines[row, 0]
        reached = other * layers + layer
        if search.done[reached] or not (nodes.layers[other] >> layer) & 1:
            continue
        run_x, run_y = nodes.place_nm[other, 0] - x, nodes.place_nm[other, 1] - y
        length = length_of(run_x, run_y)
        speed = over_ground(
            scene.air.wind_nm, layer, scene.air.cruise_nm, run_x / length, run_y / length
        )
        if speed <= 0.0:
            continue
        later, left = now + length / speed + 1e-5, search.far[other]
        if later >= search.best[reached] or later + left >= search.best[search.goal]:
            continue
        if (see_line(scene, nodes, lines, row, node) >> layer) & 1:
            improve(search, reached, state, later, left, spare_nm + length)
            found[count] = reached
            count += 1
    return count


@compiled
def climb_away(
    scene: Scene, nodes: Nodes, kept: Kept, search: Search, heap: list[tuple[float, int]]
) -> None:
    """Climb from the departure along the lines to all places of the first stage."""
    layers = scene.air.layer_ft.size
    for node in range(1, nodes.place_nm.shape[0]):
        if nodes.stage[node] > 0 or (nodes.layers[node] == 0 and node != 1):
            continue
        line_nm = line_of(nodes, 0, node)
        run_x, run_y = line_nm[2] - line_nm[0], line_nm[3] - line_nm[1]
        length = length_of(run_x, run_y)
        if length < 1e-6 or not is_tangent(nodes, node, run_x / length, run_y / length):
            continue
        times = see_slope(scene, nodes, kept, node, False)
        left = search.far[node]
        for layer in range(layers):
            state = node * layers + layer
            usable = (nodes.layers[node] >> layer) & 1 or state == search.goal
            if usable and improve(search, state, scene.start_layer, times[layer], left, length):
                heapq.heappush(heap, (times[layer] + left, state))


@compiled
def steps_of(air: Air) -> Steps:
    """Steps between the layers of an air."""
    circling_min = np.column_stack((air.up_min, air.down_min))
    return Steps(
        vertical_costs(air), circling_min, circling_min * np.array([air.climb_nm, air.descent_nm])
    )


@compiled
def fastest_track(
    scene: Scene, nodes: Nodes, kept: Kept, limit: float
) -> tuple[float, IntArray, IntArray]:
    """Least time if under a limit and the places and layers passed, (m, 2), departure first.

    Whether a line is free is looked at when it would be the quickest to where it leads. What
    was learned goes into ``kept``, all but the lines, which come back.
    """
    layers, total = scene.air.layer_ft.size, nodes.place_nm.shape[0]
    best, parent = np.full(total * layers, np.inf), np.full(total * layers, -1)
    done, spare_nm = np.zeros(total * layers, dtype=np.bool_), np.zeros(total * layers)
    far, steps = lower_bounds(scene, nodes), steps_of(scene.air)
    goal, origin = layers + scene.end_layer, scene.start_layer
    search = Search(best, parent, done, spare_nm, far, goal)
    best[origin], best[goal] = 0.0, limit
    heap, found, lines = [(far[0], origin)], np.empty(total + 2, dtype=np.int64), kept.lines
    climb_away(scene, nodes, kept, search, heap)
    while heap:
        _, state = heapq.heappop(heap)
        if done[state]:
            continue
        done[state] = True
        if state == goal:
            break
        node, layer = state // layers, state % layers
        count = change_layers(nodes, search, steps, (node, layer), found)
        if node != 1:
            if nodes.stage[node] == nodes.stage[1]:
                home_min = best[state] + see_slope(scene, nodes, kept, node, True)[layer]
                if improve(search, goal, state, home_min, 0.0, 0.0):
                    heapq.heappush(heap, (home_min, goal))
            elif nodes.twin[node] >= 0:
                reached, left = nodes.twin[node] * layers + layer, far[nodes.twin[node]]
                if improve(search, reached, state, best[state], left, spare_nm[state]):
                    heapq.heappush(heap, (best[state] + left, reached))
            if kept.known[node] < total:
                lines = with_lines_from(kept, lines, nodes, node)
            rows = (kept.first[node], kept.first[node] + kept.many[node])
            count += fly_level(scene, nodes, search, lines, rows, (node, layer), found[count:])
        for place in range(count):
            reached = found[place]
            heapq.heappush(heap, (best[reached] + far[reached // layers], reached))
    if parent[goal] < 0:
        return np.inf, path_back(parent, -1, layers), lines
    return best[goal], path_back(parent, goal, layers), lines


@compiled
def path_back(parent: IntArray, goal: int, layers: int) -> IntArray:
    """Places and layers from the start to a state."""
    count, state = 0, goal
    while state >= 0:
        count += 1
        state = parent[state]
    out = np.empty((count, 2), dtype=np.int64)
    state = goal
    for place in range(count - 1, -1, -1):
        out[place, 0], out[place, 1] = state // layers, state % layers
        state = parent[state]
    return out

"""Layered visibility graph: corners of the closed volumes by layers, searched by A* [HART1968]_.

Level lines join corners that they touch without cutting in; layers change at corners. From the
departure the airplane climbs along the line at its rate, to the destination it descends so; or
it circles over either field. Changes of layer at corners are simplified: they take the distance
flown before them, and circle where that is too short. The exact profile is laid afterwards.
"""

import heapq

import numpy as np

from lubberline.arrays import FloatArray, IntArray
from lubberline.ways.search._compiled import compiled
from lubberline.ways.search._kept import Kept, is_tangent, see_line, see_slope, with_lines_from
from lubberline.ways.search._scene import Nodes, Scene, line_of
from lubberline.ways.search._shapes import length_of
from lubberline.ways.search._speed import over_ground, vertical_costs


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


@compiled
def fastest_track(
    scene: Scene, nodes: Nodes, kept: Kept, limit: float
) -> tuple[float, IntArray, IntArray]:
    """Least time if under a limit and the places and layers passed, (m, 2), departure first.

    Whether a line is free is looked at when it would be the quickest to where it leads. What
    was learned goes into ``kept``, all but the lines, which come back.
    """
    layers, total = scene.air.layer_ft.size, nodes.place_nm.shape[0]
    best = np.full(total * layers, np.inf)
    parent = np.full(total * layers, -1, dtype=np.int64)
    done = np.zeros(total * layers, dtype=np.bool_)
    far, cost = lower_bounds(scene, nodes), vertical_costs(scene.air)
    circling = np.column_stack((scene.air.up_min, scene.air.down_min))
    run = circling * np.array([scene.air.climb_nm, scene.air.descent_nm])
    lines = kept.lines
    spare = np.zeros(total * layers)
    goal, origin = layers + scene.end_layer, scene.start_layer
    heap = [(far[0], origin)]
    best[origin], best[goal] = 0.0, limit
    for node in range(1, total):
        if nodes.stage[node] > 0 or (nodes.layers[node] == 0 and node != 1):
            continue
        line_nm = line_of(nodes, 0, node)
        length = length_of(line_nm[2] - line_nm[0], line_nm[3] - line_nm[1])
        if length < 1e-6 or not is_tangent(
            nodes, node, (line_nm[2] - line_nm[0]) / length, (line_nm[3] - line_nm[1]) / length
        ):
            continue
        times = see_slope(scene, nodes, kept, node, False)
        for layer in range(layers):
            state = node * layers + layer
            if not (nodes.layers[node] >> layer) & 1 and state != goal:
                continue
            if times[layer] < best[state] and times[layer] + far[node] < limit:
                best[state], parent[state] = times[layer], origin
                spare[state] = length
                heapq.heappush(heap, (times[layer] + far[node], state))
    while heap:
        _, state = heapq.heappop(heap)
        if done[state]:
            continue
        done[state] = True
        if state == goal:
            break
        node, layer = state // layers, state % layers
        now = best[state]
        for step in range(-1, 2, 2):
            other = layer + step
            if other < 0 or other >= layers or done[state + step]:
                continue
            if not (nodes.layers[node] >> other) & 1:
                continue
            band = min(layer, other)
            if not (nodes.bands[node] >> band) & 1:
                continue
            column = 0 if step > 0 else 1
            lack = 1.0 - min(spare[state] / run[band, column], 1.0)
            later = now + cost[band, column] + lack * (circling[band, column] - cost[band, column])
            later += 1e-4
            if later < best[state + step] and later + far[node] < best[goal]:
                best[state + step], parent[state + step] = later, state
                spare[state + step] = max(spare[state] - run[band, column], 0.0)
                heapq.heappush(heap, (later + far[node], state + step))
        if node == 1:
            continue
        if nodes.stage[node] == nodes.stage[1]:
            later = now + see_slope(scene, nodes, kept, node, True)[layer]
            if later < best[goal]:
                best[goal], parent[goal] = later, state
                heapq.heappush(heap, (later, goal))
        elif nodes.twin[node] >= 0:
            reached = nodes.twin[node] * layers + layer
            if now < best[reached]:
                best[reached], parent[reached], spare[reached] = now, state, spare[state]
                heapq.heappush(heap, (now + far[nodes.twin[node]], reached))
        if kept.known[node] < total:
            lines = with_lines_from(kept, lines, nodes, node)
        x, y = nodes.place_nm[node, 0], nodes.place_nm[node, 1]
        for row in range(kept.first[node], kept.first[node] + kept.many[node]):
            if not (lines[row, 1] >> layer) & 1:
                continue
            other = lines[row, 0]
            reached = other * layers + layer
            if done[reached] or not (nodes.layers[other] >> layer) & 1:
                continue
            run_x, run_y = nodes.place_nm[other, 0] - x, nodes.place_nm[other, 1] - y
            length = length_of(run_x, run_y)
            speed = over_ground(
                scene.air.wind_nm, layer, scene.air.cruise_nm, run_x / length, run_y / length
            )
            if speed <= 0.0:
                continue
            later = now + length / speed + 1e-5
            if later >= best[reached] or later + far[other] >= best[goal]:
                continue
            if (see_line(scene, nodes, lines, row, node) >> layer) & 1:
                best[reached], parent[reached] = later, state
                spare[reached] = spare[state] + length
                heapq.heappush(heap, (later + far[other], reached))
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

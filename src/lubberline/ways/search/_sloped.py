"""The graph with climbs and descents along its lines as they are flown; A* [HART1968]_.

Changes of layer at corners are quicker to search and mostly near the truth. They are not where
volumes or ground leave room for a change at one place only; there this is asked. A line begins
or ends with one change of layer and is level for the rest of it. Lines are taken up when the
least that they can lead to is due, so that most never are.
"""

import heapq
from typing import NamedTuple

import numpy as np

from lubberline.arrays import FloatArray, IntArray
from lubberline.ways.search._compiled import compiled, leaf
from lubberline.ways.search._graph import lower_bounds, path_back
from lubberline.ways.search._ground import bands_between, need_at
from lubberline.ways.search._kept import tangents_from
from lubberline.ways.search._levels import legal_bits
from lubberline.ways.search._profile import REACH_FT
from lubberline.ways.search._scene import Nodes, Scene, line_of, too_high
from lubberline.ways.search._shapes import Line, length_of, row_of
from lubberline.ways.search._slopes import blocks_on, clears_blocks, clears_ground
from lubberline.ways.search._speed import level_speeds, slope_table

SAME_NM = 0.01
SLOW_NM = 2.0  # as far as a layer that is no legal level may be kept beside a change
LOOK_NM = 0.7  # own: the ground under a line is looked at so often
MOST_LINES = 14_000  # own: a search that looks at more lines than this is given up


# Columns of what holds along a line, per layer: free so far from its start, free from there to
# its end, distance of a climb and of a descent from the lowest layer, minutes for a mile.
UNTIL, SINCE, CLIMB, SINK, PACE = range(5)


class Lines(NamedTuple):
    """Lines that were looked at, a row each.

    ``along`` (rows, 5, l) has the columns above, ``line_nm`` (rows, 4) the ends, ``size``
    (rows, 2) length and greatest height needed, ``bits`` (rows, 2) the bands closed anywhere and
    the layers that are no levels; ``blocks`` from ``first`` (rows + 1,) on stand on a line.
    """

    along: FloatArray
    line_nm: FloatArray
    size: FloatArray
    bits: IntArray
    first: IntArray
    blocks: FloatArray


class Search(NamedTuple):
    """Where a search stands: states (s,) are places by layers; see ``fastest_sloped``."""

    best: FloatArray
    parent: IntArray
    far: FloatArray
    height_left: FloatArray
    spent_min: FloatArray
    goal: int


@compiled
def look_along(
    scene: Scene, line_nm: Line, along: FloatArray
) -> tuple[FloatArray, float, int, int]:
    """All that the search asks of a line: fills its rows of ``along`` (5, l).

    Returns what stands on it, the greatest height needed, and the bits of closed bands and of
    layers that are no levels.
    """
    layer_ft = scene.air.layer_ft
    run_x, run_y = line_nm[2] - line_nm[0], line_nm[3] - line_nm[1]
    length = length_of(run_x, run_y)
    unit_x, unit_y = run_x / length, run_y / length
    along[UNTIL], along[SINCE] = length, 0.0
    along[CLIMB : SINK + 1] = slope_table(scene.air, unit_x, unit_y)[:, :2].T
    along[PACE] = 1.0 / level_speeds(scene.air, unit_x, unit_y)
    blocks, shut = blocks_on(scene, line_nm), 0
    for row in range(blocks.shape[0]):
        shut |= bands_between(layer_ft, blocks[row, 2], blocks[row, 3])
        for layer in range(layer_ft.size):
            if blocks[row, 2] < layer_ft[layer] < blocks[row, 3]:
                along[UNTIL, layer] = min(along[UNTIL, layer], blocks[row, 0])
                along[SINCE, layer] = max(along[SINCE, layer], blocks[row, 1])
    most, count = -1e9, max(int(length / LOOK_NM) + 1, 2)
    for place in range(count + 1):
        at_nm = length * place / count
        need = need_at(scene.ground, line_nm[0] + unit_x * at_nm, line_nm[1] + unit_y * at_nm)
        most = max(most, need)
        for layer in range(layer_ft.size):
            if layer_ft[layer] >= need - 0.01:
                break
            along[UNTIL, layer], along[SINCE, layer] = min(along[UNTIL, layer], at_nm), at_nm
    illegal = 0
    if scene.levels.asked:
        middle = (line_nm[0] + line_nm[2]) / 2.0
        illegal = too_high(scene, line_nm) & ~legal_bits(scene.levels, unit_x, unit_y, middle)
    return blocks, most, shut, illegal


@leaf
def is_free(
    scene: Scene, lines: Lines, row: int, ends: tuple[int, int], run: float, late: bool
) -> bool:
    """Whether a line may be flown with a change of layer over a run at its start, or at its end."""
    layer, target = ends
    rest = lines.size[row, 0] - run
    if late:
        if lines.along[row, UNTIL, layer] < rest - SAME_NM:
            return False
    elif lines.along[row, SINCE, target] > run + SAME_NM:
        return False
    if (lines.bits[row, 1] >> (layer if late else target)) & 1 and rest > SLOW_NM:
        return False
    low, high = min(layer, target), max(layer, target)
    between = ((1 << (high - low)) - 1) << low
    if scene.air.layer_ft[low] >= lines.size[row, 1] and lines.bits[row, 0] & between == 0:
        return True
    run_nm = lines.along[row, CLIMB if target > layer else SINK]
    seen = (target, layer) if late else (layer, target)
    blocks = lines.blocks[lines.first[row] : lines.first[row + 1]]
    if not clears_blocks(scene.air.layer_ft, blocks, lines.size[row, 0], run_nm, seen, late):
        return False
    return clears_ground(scene, row_of(lines.line_nm, row), run_nm, seen, late)


@leaf
def fly_line(
    scene: Scene,
    nodes: Nodes,
    lines: Lines,
    search: Search,
    row: int,
    state: int,
    other: int,
    found: IntArray,
) -> int:
    """Improve the states of a place that a line leads to; how many, and which, in ``found``."""
    layers, layer_ft, count = scene.air.layer_ft.size, scene.air.layer_ft, 0
    layer, now, along = state % layers, search.best[state], lines.along
    length, far = lines.size[row, 0], search.far[other]
    reached = other * layers + layer
    later = now + length * along[row, PACE, layer] + 1e-5
    most = min(search.best[reached], search.best[search.goal] - max(far, search.height_left[layer]))
    shut = lines.bits[row, 1] | ~nodes.layers[other]
    if later < most and not (shut >> layer) & 1 and along[row, UNTIL, layer] >= length:
        search.best[reached], search.parent[reached] = later, state
        found[count] = reached
        count += 1
    for column in range(2):
        step, target = 1 - 2 * column, layer
        while 0 <= target + step < layers:
            target += step
            run = abs(along[row, CLIMB + column, target] - along[row, CLIMB + column, layer])
            if run > length or abs(layer_ft[target] - layer_ft[layer]) > REACH_FT:
                break
            reached = other * layers + target
            if not (nodes.layers[other] >> target) & 1 and reached != search.goal:
                continue
            spent = abs(search.spent_min[target, column] - search.spent_min[layer, column])
            left = max(far, search.height_left[target])
            most = min(search.best[reached], search.best[search.goal] - left)
            better = False
            for late in range(2):
                level = layer if late else target
                later = now + spent + along[row, PACE, level] * (length - run) + 1e-4
                if later < most and is_free(scene, lines, row, (layer, target), run, late == 1):
                    most, better = later, True
            if better:
                search.best[reached], search.parent[reached] = most, state
                found[count] = reached
                count += 1
    return count


@compiled
def circled_min(scene: Scene, nodes: Nodes, node: int, ends: tuple[int, int]) -> float:
    """Minutes to change layer over a field; infinite where a band is closed."""
    low, high = min(ends[0], ends[1]), max(ends[0], ends[1])
    spent = 1e-4
    for band in range(low, high):
        if not (nodes.bands[node] >> band) & 1:
            return np.inf
        spent += scene.air.up_min[band] if ends[1] > ends[0] else scene.air.down_min[band]
    return spent


@compiled
def height_left_min(scene: Scene) -> FloatArray:
    """Least minutes from each layer to the destination's, wherever that is flown."""
    out, end = np.zeros(scene.air.layer_ft.size), scene.end_layer
    for layer in range(end + 1, out.size):
        out[layer] = out[layer - 1] + scene.air.down_min[layer - 1]
    for layer in range(end - 1, -1, -1):
        out[layer] = out[layer + 1] + scene.air.up_min[layer]
    return out


@compiled
def lines_from(
    scene: Scene,
    nodes: Nodes,
    far: FloatArray,
    haste: float,
    node: int,
    seen: IntArray,
    least: FloatArray,
) -> int:
    """Places that a line from a place may go to, and least minutes by each, ascending; how many."""
    found = tangents_from(nodes, node, 0)
    wind_nm = np.sqrt((scene.air.wind_nm**2).sum(axis=1)).max()
    most_nm = max(scene.air.cruise_nm, scene.air.descent_nm, scene.air.climb_nm) + wind_nm
    by_min = np.empty(found.size)
    for place in range(found.size):
        line_nm = line_of(nodes, node, found[place])
        length = length_of(line_nm[2] - line_nm[0], line_nm[3] - line_nm[1])
        by_min[place] = length / most_nm + haste * far[found[place]]
    order = np.argsort(by_min)
    seen[: found.size], least[: found.size] = found[order], by_min[order]
    return found.size


@compiled
def fastest_sloped(
    scene: Scene, nodes: Nodes, limit: float, haste: float
) -> tuple[float, IntArray]:
    """Least time if under a limit and the places and layers passed, (m, 2), departure first.

    What is left counts ``haste`` times, so that fewer lines are looked at and the track may be
    that much slower. None in a sky so dense that it would take seconds.
    """
    total, layers = nodes.place_nm.shape[0], scene.air.layer_ft.size
    states, origin, goal = total * layers, scene.start_layer, layers + scene.end_layer
    best, done = np.full(states, np.inf), np.zeros(states, dtype=np.bool_)
    parent, found = np.full(states, -1, dtype=np.int64), np.empty(layers, dtype=np.int64)
    far, height_left = lower_bounds(scene, nodes), height_left_min(scene)
    spent_min = np.zeros((layers, 2))
    spent_min[1:, 0] = scene.air.up_min.cumsum()
    spent_min[1:, 1] = scene.air.down_min.cumsum()
    search = Search(best, parent, far, height_left, spent_min, goal)
    seen, least = np.empty((total, total), dtype=np.int64), np.empty((total, total))
    seen_count, line_at = np.full(total, -1), np.full((total, total), -1)
    along, line_nm, size = np.empty((256, 5, layers)), np.empty((256, 4)), np.empty((256, 2))
    bits, first = np.empty((256, 2), dtype=np.int64), np.zeros(257, dtype=np.int64)
    blocks, lines_count = np.empty((256, 4)), 0
    lines = Lines(along, line_nm, size, bits, first, blocks)
    best[origin], best[goal] = 0.0, limit
    heap = [(haste * far[0], origin)]
    for layer in range(layers):
        spent = circled_min(scene, nodes, 0, (scene.start_layer, layer))
        if layer != scene.start_layer and spent < limit:
            best[layer], parent[layer] = spent, origin
            heapq.heappush(heap, (spent + haste * max(far[0], height_left[layer]), layer))
    while heap and lines_count < MOST_LINES:
        _, event = heapq.heappop(heap)
        state, turn = event % states, event // states
        node, layer = state // layers, state % layers
        now = best[state]
        if turn == 0:
            if done[state]:
                continue
            done[state] = True
            if state == goal:
                break
            if node == 1:
                later = now + circled_min(scene, nodes, 1, (layer, scene.end_layer))
                if later < best[goal]:
                    best[goal], parent[goal] = later, state
                    heapq.heappush(heap, (later, goal))
                continue
            if nodes.twin[node] >= 0:
                reached = nodes.twin[node] * layers + layer
                if now < best[reached]:
                    best[reached], parent[reached] = now, state
                    left = max(far[nodes.twin[node]], height_left[layer])
                    heapq.heappush(heap, (now + haste * left, reached))
            if seen_count[node] < 0:
                seen_count[node] = lines_from(
                    scene, nodes, far, haste, node, seen[node], least[node]
                )
        if turn < seen_count[node] and now + least[node, turn] / haste < best[goal]:
            heapq.heappush(heap, (now + least[node, turn], (turn + 1) * states + state))
        if turn == 0:
            continue
        other = seen[node, turn - 1]
        row = line_at[node, other]
        if row < 0:
            row = lines_count
            if row == size.shape[0]:
                along = np.concatenate((along, np.empty_like(along)))
                line_nm = np.concatenate((line_nm, np.empty_like(line_nm)))
                size = np.concatenate((size, np.empty_like(size)))
                bits = np.concatenate((bits, np.empty_like(bits)))
                first = np.concatenate((first, np.empty_like(bits[:, 0])))
            line = line_of(nodes, node, other)
            stands, need, shut, illegal = look_along(scene, line, along[row])
            while first[row] + stands.shape[0] > blocks.shape[0]:
                blocks = np.concatenate((blocks, np.empty_like(blocks)))
            blocks[first[row] : first[row] + stands.shape[0]] = stands
            first[row + 1] = first[row] + stands.shape[0]
            line_nm[row] = np.array(line)
            size[row, 0], size[row, 1] = length_of(line[2] - line[0], line[3] - line[1]), need
            bits[row, 0], bits[row, 1] = shut, illegal
            line_at[node, other] = row
            lines_count += 1
            lines = Lines(along, line_nm, size, bits, first, blocks)
        for place in range(fly_line(scene, nodes, lines, search, row, state, other, found)):
            reached = found[place]
            left = max(far[other], height_left[reached % layers])
            heapq.heappush(heap, (best[reached] + haste * left, reached))
    if parent[goal] < 0 or lines_count == MOST_LINES:
        return np.inf, path_back(parent, -1, layers)
    return best[goal], path_back(parent, goal, layers)

"""The search against general-purpose shortest paths on the very same lattice.

Run as a program: it prints a table. The lattice is the one the search walks: places to turn at by
layers, level lines between corners that touch both outlines, slopes from and to the fields, changes
of layer at corners. Every cost is made by the same kernels. One thing differs from a real search:
climbs and descents at corners are done in place, because what they cost there depends on the way
that led to them, which no plain graph can hold.

The whole time counts from the places to the answer. The others need the finished graph: its edges,
made by the same compiled kernels, and their own form of it; what they take once they have it is
told as well. The search makes only the edges that it walks. All have to come to the same minutes.
"""

import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Final, NamedTuple, TypeVar

import networkx as nx
import numba
import numpy as np
import rustworkx as rx
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "ways"))

from random_skies import random_sky

from lubberline.arrays import FloatArray, IntArray
from lubberline.ways.search._graph import fastest_track, lower_bounds
from lubberline.ways.search._kept import nothing_kept, open_layers, tangents_from, with_room
from lubberline.ways.search._scene import Nodes, Scene, line_of
from lubberline.ways.search._slopes import slope_times
from lubberline.ways.search._speed import over_ground
from lubberline.ways.search.places import (
    USUAL,
    corners_of,
    crossings,
    fields_and_free,
    with_corners,
)
from lubberline.ways.search.scene import prepare

Made = TypeVar("Made")
SAME_MIN: Final = 1e-6  # answers no further apart are the same
IN_PLACE_NM: Final = 1e-9  # airspeed of climbs and descents: they gain no distance
SEEDS: Final = (1, 2, 6)
SIZES: Final = (10, 50, 200)


class Graph(NamedTuple):
    """Edges of the lattice, from and to states with their minutes; ``least`` to go from each."""

    start: IntArray
    end: IntArray
    cost_min: FloatArray
    least_min: FloatArray
    origin: int
    goal: int


@numba.njit(error_model="numpy")
def edges_of(scene: Scene, nodes: Nodes) -> tuple[IntArray, IntArray, FloatArray]:
    """Every edge of the lattice with the costs that the search reckons."""
    layers, total = scene.air.layer_ft.size, nodes.place_nm.shape[0]
    goal, origin = layers + scene.end_layer, scene.start_layer
    starts, ends, costs = [0], [0], [0.0]
    every = (1 << layers) - 1
    for node in range(total):
        for layer in range(layers - 1):
            if (nodes.bands[node] >> layer) & 1:
                for low, high, cost in (
                    (layer, layer + 1, scene.air.up_min[layer]),
                    (layer + 1, layer, scene.air.down_min[layer]),
                ):
                    if (nodes.layers[node] >> high) & 1:
                        starts.append(node * layers + low)
                        ends.append(node * layers + high)
                        costs.append(cost + 1e-4)
        if node == 1:
            continue
        to_end = slope_times(scene, line_of(nodes, node, 1), scene.end_layer, True, every)
        for layer in range(layers):
            starts.append(node * layers + layer)
            ends.append(goal)
            costs.append(to_end[layer])
        seen = tangents_from(nodes, node, 0)
        for other in seen:
            line_nm = line_of(nodes, node, other)
            if node == 0:
                enough = every if other == 1 else nodes.layers[other]
                times = slope_times(scene, line_nm, scene.start_layer, False, enough)
                for layer in range(layers):
                    starts.append(origin)
                    ends.append(other * layers + layer)
                    costs.append(times[layer])
            run_x, run_y = line_nm[2] - line_nm[0], line_nm[3] - line_nm[1]
            length = np.hypot(run_x, run_y)
            bits = open_layers(scene, line_nm, nodes.layers[node] & nodes.layers[other], -1)
            for layer in range(layers):
                speed = over_ground(
                    scene.air.wind_nm, layer, scene.air.cruise_nm, run_x / length, run_y / length
                )
                if (bits >> layer) & 1 and speed > 0.0:
                    starts.append(node * layers + layer)
                    ends.append(other * layers + layer)
                    costs.append(length / speed + 1e-5)
    return np.array(starts[1:]), np.array(ends[1:]), np.array(costs[1:])


def lattice(seed: int, count: int) -> tuple[Scene, Nodes]:
    """The lattice of one sky with all its volumes and no permission."""
    prepared = prepare(random_sky(seed, count=count))
    scene = prepared.scene_for(frozenset())
    air = scene.air._replace(climb_nm=IN_PLACE_NM, descent_nm=IN_PLACE_NM)
    scene = scene._replace(air=air)
    outlines = [corners_of(prepared, int(volume), USUAL.coarse) for volume in scene.active]
    nodes = fields_and_free(prepared, scene, crossings(scene, prepared.route_nm))
    return scene, with_corners(scene, nodes, outlines)


def graph_of(scene: Scene, nodes: Nodes) -> Graph:
    """The same as edges, of several between two states the quickest."""
    start, end, cost_min = edges_of(scene, nodes)
    layers = scene.air.layer_ft.size
    usable = np.isfinite(cost_min) & (end // layers != start)
    start, end, cost_min = start[usable], end[usable], cost_min[usable]
    order = np.lexsort((cost_min, end, start))
    start, end, cost_min = start[order], end[order], cost_min[order]
    first = np.concatenate([[True], (np.diff(start) != 0) | (np.diff(end) != 0)])
    return Graph(
        start=start[first],
        end=end[first],
        cost_min=cost_min[first],
        least_min=np.repeat(lower_bounds(scene, nodes), layers),
        origin=scene.start_layer,
        goal=layers + scene.end_layer,
    )


Asking = Callable[[], float]


def by_networkx(graph: Graph) -> Asking:
    """A* with the bound that the search has."""
    made = nx.DiGraph()
    made.add_weighted_edges_from(
        zip(graph.start.tolist(), graph.end.tolist(), graph.cost_min.tolist(), strict=True)
    )
    least = graph.least_min.tolist()
    return lambda: float(
        nx.astar_path_length(made, graph.origin, graph.goal, lambda state, _: least[state])
    )


def by_rustworkx(graph: Graph) -> Asking:
    """Dijkstra up to the goal; its A* asks Python for every bound and is slower."""
    made = rx.PyDiGraph(multigraph=False)
    made.add_nodes_from(range(graph.least_min.size))
    made.add_edges_from(
        list(zip(graph.start.tolist(), graph.end.tolist(), graph.cost_min.tolist(), strict=True))
    )
    return lambda: float(
        rx.dijkstra_shortest_path_lengths(made, graph.origin, float, goal=graph.goal)[graph.goal]
    )


def by_scipy(graph: Graph) -> Asking:
    """Dijkstra from the origin to everywhere; it takes no goal."""
    size = graph.least_min.size
    made = csr_array((graph.cost_min, (graph.start, graph.end)), shape=(size, size))
    return lambda: float(dijkstra(made, indices=graph.origin)[graph.goal])


OTHERS: Final[dict[str, Callable[[Graph], Asking]]] = {
    "networkx": by_networkx,
    "rustworkx": by_rustworkx,
    "scipy": by_scipy,
}


def timed(asked: Asking, *, times: int) -> tuple[float, float]:
    """What is answered, and the least processor time that it takes [ms]."""
    spent_ms = []
    for _ in range(times):
        start_s = time.process_time()
        answer = asked()
        spent_ms.append((time.process_time() - start_s) * 1e3)
    return answer, min(spent_ms)


def compare(seed: int, count: int) -> None:
    """Print one sky's row."""
    scene, nodes = lattice(seed, count)
    best_min, own_ms = timed(lambda: _searched(scene, nodes), times=5)
    graph, edges_ms = _made(lambda: graph_of(scene, nodes))
    cells = [f"{count}", f"{graph.least_min.size:,}", f"{graph.start.size:,}", f"{own_ms:.1f}"]
    for name, make in OTHERS.items():
        asked, made_ms = _made(lambda make=make: make(graph))  # type: ignore[misc]
        answer_min, alone_ms = timed(asked, times=3)
        if not abs(answer_min - best_min) <= SAME_MIN:
            raise SystemExit(f"sky {seed}, {count}: {name} {answer_min} min, search {best_min} min")
        whole_ms = edges_ms + made_ms + alone_ms
        cells.append(f"{whole_ms:.0f} (x {whole_ms / own_ms:.1f}), {alone_ms:.1f} of it asking")
    print(f"| {' | '.join(cells)} |", flush=True)


def _searched(scene: Scene, nodes: Nodes) -> float:
    kept = with_room(nothing_kept(scene.air.layer_ft.size), len(nodes.place_nm))
    return float(fastest_track(scene, nodes, kept, np.inf)[0])


def _made(make: Callable[[], Made]) -> tuple[Made, float]:
    """What is made, and the processor time of it [ms]."""
    start_s = time.process_time()
    made = make()
    return made, (time.process_time() - start_s) * 1e3


if __name__ == "__main__":
    first = lattice(1, 10)
    _searched(*first)
    graph_of(*first)
    heads = ["volumes", "states", "edges", "search [ms]", *(f"{name} [ms]" for name in OTHERS)]
    print(f"| {' | '.join(heads)} |\n|{'---|' * len(heads)}")
    for count in SIZES:
        for seed in SEEDS:
            compare(seed, count)
    print("all came to the same minutes")

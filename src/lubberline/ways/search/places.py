"""The places a search may turn at, for one scene: ends, corners of what is closed, crossings."""

from dataclasses import dataclass
from math import pi
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray, IntArray
from lubberline.places import Circle
from lubberline.ways.search._cells import meetings
from lubberline.ways.search._scene import Nodes, Scene, open_at
from lubberline.ways.search.corners import Corners, Fineness, ring_corners, round_corners
from lubberline.ways.search.scene import Prepared

_MOST_CROSSINGS: Final = 24  # own: of the places where a track meets volumes
_COARSE: Final = Fineness(round_count=16, step_rad=pi / 3.0)
_FINE: Final = Fineness(round_count=72, step_rad=pi / 12.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """How closely a search looks: outlines at first and beside a track, tops, cells of a profile.

    Cells are ``step_nm`` long, longer on tracks that would have more than ``cell_count`` of
    them. ``free_count`` places on a raster are always added to the corners.
    """

    coarse: Fineness = _COARSE
    fine: Fineness = _FINE
    tops_count: int = 4
    step_nm: float = 0.5
    cell_count: int = 120
    free_count: int = 0


USUAL = Effort()


def corners_of(prepared: Prepared, volume: int, fineness: Fineness) -> Corners:
    """Corners round one volume with its margin, drawn once."""
    key = (volume, fineness)
    if key not in prepared.drawn:
        prepared.drawn[key] = _drawn(prepared, volume, fineness)
    return prepared.drawn[key]


def _drawn(prepared: Prepared, volume: int, fineness: Fineness) -> Corners:
    rings, sky = prepared.rings_nm[volume], prepared.sky
    if isinstance(prepared.volumes[volume].footprint, Circle):
        east_nm, north_nm = (float(value) for value in rings[0][0])
        outer_nm = float(sky.round_nm[volume, 2])
        return round_corners(east_nm, north_nm, outer_nm, count=fineness.round_count)
    margin_nm = float(sky.margin_nm[volume])
    parts = [ring_corners(ring, margin_nm, step_rad=fineness.step_rad) for ring in rings]
    return Corners(
        place_nm=np.concatenate([part.place_nm for part in parts]),
        beside_nm=np.concatenate([part.beside_nm for part in parts]),
    )


def fields_and_free(prepared: Prepared, scene: Scene, free_nm: FloatArray) -> Nodes:
    """Both fields, points to go over, and places that may be flown through in any direction."""
    via = np.arange(len(prepared.via_nm))
    fields_nm = np.concatenate([prepared.ends_nm, prepared.via_nm, prepared.via_nm])
    fields = Nodes(
        place_nm=fields_nm,
        beside_nm=np.zeros((len(fields_nm), 4)),
        free=np.ones(len(fields_nm), dtype=np.bool_),
        layers=_all_open(len(fields_nm)),
        bands=_all_open(len(fields_nm)),
        stage=np.concatenate([[0, via.size], via, via + 1]),
        twin=np.concatenate([[-1, -1], 2 + via.size + via, np.full(via.size, -1)]),
        target=np.append(2 + via, 1),
        onward_nm=_onward_nm(prepared.route_nm),
    )
    free = Corners(place_nm=free_nm, beside_nm=np.zeros((len(free_nm), 4)))
    return with_corners(scene, fields, [free], free=True)


def with_corners(
    scene: Scene, nodes: Nodes, outlines: list[Corners], *, held: int = 0, free: bool = False
) -> Nodes:
    """Places, held against some volumes before, and corners where any layer is open.

    Those that are there keep their order; new ones follow, each once per stage.
    """
    count, stages = len(nodes.place_nm), nodes.target.size
    corner_nm = np.concatenate([one.place_nm for one in outlines])
    place_nm = np.concatenate([nodes.place_nm, corner_nm])
    layers, bands = open_at(scene, place_nm, count, held)
    kept = np.flatnonzero(layers[count:])
    each = np.repeat(kept, stages)
    return Nodes(
        place_nm=np.concatenate([nodes.place_nm, corner_nm[each]]),
        beside_nm=np.concatenate(
            [nodes.beside_nm, np.concatenate([one.beside_nm for one in outlines])[each]]
        ),
        free=np.concatenate([nodes.free, np.full(each.size, free)]),
        layers=np.concatenate([nodes.layers & layers[:count], layers[count:][each]]),
        bands=np.concatenate([nodes.bands & bands[:count], bands[count:][each]]),
        stage=np.concatenate([nodes.stage, np.tile(np.arange(stages), kept.size)]),
        twin=np.concatenate([nodes.twin, np.full(each.size, -1)]),
        target=nodes.target,
        onward_nm=nodes.onward_nm,
    )


def _all_open(count: int) -> IntArray:
    return np.full(count, -1, dtype=np.int64)


def _onward_nm(route_nm: FloatArray) -> FloatArray:
    """What is left from the end of each stage of a route (s + 1, 2), straight on."""
    steps_nm = np.hypot(*np.diff(route_nm, axis=0).T)
    return np.asarray(steps_nm[::-1].cumsum()[::-1] - steps_nm)


def crossings(scene: Scene, corner_nm: FloatArray) -> FloatArray:
    """Places on a track just outside the volumes it meets, and the middles of its legs."""
    steps_nm = np.hypot(*np.diff(corner_nm, axis=0).T)
    along_nm = np.concatenate([[0.0], np.cumsum(steps_nm)])
    met = meetings(scene, corner_nm)
    at_nm = np.concatenate([met[:, 0] - 0.02, met[:, 1] + 0.02])
    at_nm = np.unique(np.round(at_nm[(at_nm > 0.05) & (at_nm < along_nm[-1] - 0.05)], 2))
    if at_nm.size > _MOST_CROSSINGS:
        at_nm = at_nm[np.linspace(0, at_nm.size - 1, _MOST_CROSSINGS).astype(np.int64)]
    at_nm = np.union1d(at_nm, (along_nm[:-1] + along_nm[1:]) / 2.0)
    return np.column_stack([np.interp(at_nm, along_nm, corner_nm[:, column]) for column in (0, 1)])

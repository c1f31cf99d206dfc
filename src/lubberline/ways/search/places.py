"""The places a search may turn at, for one scene: ends, corners of what is closed, crossings."""

from dataclasses import dataclass
from math import pi
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
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


def nodes_for(
    prepared: Prepared, scene: Scene, outlines: list[Corners], free_nm: FloatArray
) -> Nodes:
    """Ends, places that may be flown through freely, and corners, where any layer is open.

    Where points are to be gone over, all of them once per stage, between its ends.
    """
    stages = len(prepared.via_nm) + 1
    turn_nm = np.concatenate([free_nm, *(one.place_nm for one in outlines)])
    beside_nm = [np.zeros((len(free_nm), 4)), *(one.beside_nm for one in outlines)]
    is_free = np.arange(len(turn_nm)) < len(free_nm)
    ends = 2 * stages  # departure, destination; where stages end; where the next ones begin
    via = np.arange(stages - 1)
    place_nm = np.concatenate(
        [prepared.ends_nm, prepared.via_nm, prepared.via_nm, np.tile(turn_nm, (stages, 1))]
    )
    stage = np.concatenate(
        [[0, stages - 1], via, via + 1, np.repeat(np.arange(stages), len(turn_nm))]
    )
    twin = np.full(len(place_nm), -1, dtype=np.int64)
    twin[2 + via] = 2 + via + len(via)
    layers, bands = open_at(scene, place_nm)
    kept = (layers != 0) | (np.arange(len(place_nm)) < ends)
    return Nodes(
        place_nm=place_nm[kept],
        beside_nm=np.concatenate([np.zeros((ends, 4)), *beside_nm * stages])[kept],
        free=np.concatenate([np.ones(ends, dtype=np.bool_), np.tile(is_free, stages)])[kept],
        layers=layers[kept],
        bands=bands[kept],
        stage=stage[kept],
        twin=twin[kept],
        target=np.append(2 + via, 1),
        onward_nm=_onward_nm(prepared.route_nm),
    )


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

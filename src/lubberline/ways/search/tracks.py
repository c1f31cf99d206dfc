"""Ground tracks worth laying heights over, for one scene: from the graph, under several tops.

The graph changes layers at corners only and knows little of uneven ground; so it is asked
under several ceilings of its own, and where nothing comes of that, with a raster of free places
between the fields. Most volumes are never in the way: a track is sought as if there were none,
then again with those that it met, until it meets no other. As long as some are left out the
track can only be too quick, so that the last one is the fastest with all of them.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, IntArray
from lubberline.ways.search._graph import fastest_track
from lubberline.ways.search._kept import Kept, nothing_kept, with_room
from lubberline.ways.search._met import met_on_track
from lubberline.ways.search._scene import Nodes, Scene
from lubberline.ways.search._sloped import fastest_sloped
from lubberline.ways.search.corners import Corners
from lubberline.ways.search.passes import passes_nm
from lubberline.ways.search.places import (
    USUAL,
    Effort,
    corners_of,
    crossings,
    fields_and_free,
    with_corners,
)
from lubberline.ways.search.scene import Prepared

_EVERY: Final = (1 << 62) - 1  # all layers
_NEAR_NM: Final = 1.0  # own: close corners are drawn this near a track, and where a volume is big
_NEAR_FRACTION: Final = 0.15  # own: within this part of its size
_RINGS_NM: Final = (0.7, 2.0)  # own: where a turn between mountains may be better placed
_HASTE: Final = 1.05  # own: with changes of layer along lines; what is left counts so much more
_GREAT_HASTE: Final = 1.3  # own: where any way will do at first
Outliner = Callable[[int], Corners]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Track:
    """Corners (c, 2) of a track, the time that the graph gives it, and its layers.

    ``top_layer`` is the highest used, ``mask`` the bits of those it might use.
    """

    corner_nm: FloatArray
    time_min: float
    top_layer: int
    mask: int


@dataclass(slots=True, eq=False)
class Lattice:
    """Places to turn at among the volumes met so far, and what searches learned of their lines.

    The layers that a search may use must be among those of the search before it. Changes of
    layer lie along lines if there is a ``haste`` for them, see ``fastest_sloped``.
    """

    scene: Scene
    nodes: Nodes
    outline: Outliner
    haste: float = 0.0
    kept: Kept | None = None

    def meet(self, volumes: IntArray) -> None:
        """Put up some more volumes."""
        if volumes.size:
            held = self.scene.active.size
            active = np.concatenate([self.scene.active, volumes])
            self.scene = self.scene._replace(active=active)
            outlines = [self.outline(int(one)) for one in volumes]
            self.nodes = with_corners(self.scene, self.nodes, outlines, held=held)

    def under(self, mask: int) -> Nodes:
        """The places, with some layers only."""
        nodes = self.nodes
        return nodes._replace(layers=nodes.layers & mask, bands=nodes.bands & mask)

    def fastest(self, nodes: Nodes, limit_min: float) -> tuple[float, IntArray]:
        """Least time, and places and layers passed."""
        if self.haste:
            return fastest_sloped(self.scene, nodes, limit_min, self.haste)
        kept = self.kept or nothing_kept(self.scene.air.layer_ft.size)
        kept = with_room(kept, len(nodes.place_nm))
        time_min, rows, lines = fastest_track(self.scene, nodes, kept, limit_min)
        self.kept = kept._replace(lines=lines)
        return time_min, rows


@dataclass(slots=True, eq=False)
class Sought:
    """One scene, which of its volumes were met so far, and the time that is to be beaten."""

    prepared: Prepared
    scene: Scene
    effort: Effort = USUAL
    limit_min: float = np.inf
    met: BoolArray = field(default_factory=lambda: np.zeros(0, dtype=np.bool_))

    def __post_init__(self) -> None:
        """At first none."""
        if not self.met.size:
            self.met = np.zeros(len(self.prepared.volumes), dtype=np.bool_)

    def coarse(self) -> Iterator[Track]:
        """The fastest tracks under several tops, the highest first."""
        lattice = self._lattice(self._free_nm(self.prepared.route_nm), self._coarse)
        top_layer = self.scene.air.layer_ft.size
        for top in _tops(self.scene, self.effort.tops_count):
            if top >= top_layer:
                continue  # the last track stayed below this top already
            track = self._sought(lattice, (1 << (top + 1)) - 1)
            if track is None:
                return
            yield track
            top_layer = track.top_layer

    def fine(self, near: Track) -> Iterator[Track]:
        """The track with close outlines and free places beside one that met or rounded anything."""
        free_nm = self._free_nm(near.corner_nm)
        turned = len(passes_nm(self.prepared)) > 0 and len(near.corner_nm) > 2
        if turned:
            free_nm = np.concatenate([free_nm, _round_about(near.corner_nm[1:-1])])
        if turned or self.met.any():
            lattice = self._lattice(free_nm, lambda volume: self._close(volume, near.corner_nm))
            track = self._sought(lattice, near.mask)
            if track is not None:
                yield track

    def sloped(self, near: list[FloatArray], *, raster_count: int = 0) -> Iterator[Track]:
        """The track with changes of layer along its lines, then again with close outlines.

        ``near`` are tracks on whose crossings layers may change; so may they on a raster.
        """
        free_nm = np.concatenate([self._free_nm(one) for one in (self.prepared.route_nm, *near)])
        if raster_count:
            free_nm = np.concatenate([free_nm, _raster(self.prepared.ends_nm, raster_count)])
        haste = _HASTE if raster_count == 0 else _GREAT_HASTE
        track = self._sought(self._lattice(free_nm, self._coarse, haste=haste), _EVERY)
        if track is None:
            return
        yield track
        close = track.corner_nm
        lattice = self._lattice(
            self._free_nm(close), lambda volume: self._close(volume, close), haste=_HASTE
        )
        track = self._sought(lattice, _EVERY)
        if track is not None:
            yield track

    def _free_nm(self, near_nm: FloatArray) -> FloatArray:
        """Places along a track to change layers at, between mountains, and what the effort adds."""
        free_nm = np.concatenate([crossings(self.scene, near_nm), passes_nm(self.prepared)])
        if self.effort.free_count == 0:
            return free_nm
        return np.concatenate([free_nm, _raster(self.prepared.ends_nm, self.effort.free_count)])

    def _coarse(self, volume: int) -> Corners:
        return corners_of(self.prepared, volume, self.effort.coarse)

    def _close(self, volume: int, near_nm: FloatArray) -> Corners:
        """Coarse corners of a volume, and close ones where the track passes."""
        box_nm = self.prepared.sky.box_nm[volume]
        near = max(_NEAR_NM, _NEAR_FRACTION * float((box_nm[2:] - box_nm[:2]).max()))
        coarse = self._coarse(volume)
        if _away_nm(box_nm.reshape(2, 2).mean(axis=0)[None], near_nm)[0] > near * 8.0:
            return coarse
        fine = corners_of(self.prepared, volume, self.effort.fine)
        kept = _away_nm(fine.place_nm, near_nm) <= near
        return Corners(
            place_nm=np.concatenate([coarse.place_nm, fine.place_nm[kept]]),
            beside_nm=np.concatenate([coarse.beside_nm, fine.beside_nm[kept]]),
        )

    def _lattice(self, free_nm: FloatArray, outline: Outliner, *, haste: float = 0.0) -> Lattice:
        nobody = self.scene._replace(active=self.scene.active[:0])
        nodes = fields_and_free(self.prepared, nobody, free_nm)
        return Lattice(scene=nobody, nodes=nodes, outline=outline, haste=haste)

    def _sought(self, lattice: Lattice, mask: int) -> Track | None:
        """The fastest track through some layers that meets no volume; None if there is none."""
        while True:
            active = self.scene.active[self.met[self.scene.active]]
            lattice.meet(np.setdiff1d(active, lattice.scene.active))
            nodes = lattice.under(mask)
            time_min, rows = lattice.fastest(nodes, self.limit_min)
            if not np.isfinite(time_min):
                return None
            met = met_on_track(self.scene, nodes, rows, self.met, lattice.haste > 0.0)
            if not met.any():
                corner_nm = without_idle(nodes.place_nm[rows[:, 0]])
                top_layer = int(rows[:, 1].max())
                return Track(corner_nm=corner_nm, time_min=time_min, top_layer=top_layer, mask=mask)
            self.met |= met


def _tops(scene: Scene, count: int) -> list[int]:
    """Layers to stay under, the highest first."""
    highest, lowest = scene.air.layer_ft.size - 1, max(scene.start_layer, scene.end_layer)
    tops: IntArray = np.unique(np.linspace(highest, min(lowest + 3, highest), count).astype(int))
    return [int(top) for top in tops[::-1]]


def _round_about(place_nm: FloatArray) -> FloatArray:
    """Places and eight more round each, near and farther."""
    turn_rad = np.arange(8) * np.pi / 4.0
    ring = np.column_stack([np.cos(turn_rad), np.sin(turn_rad)])
    rings_nm = np.concatenate([np.zeros((1, 2)), *(radius * ring for radius in _RINGS_NM)])
    return np.asarray((place_nm[:, None] + rings_nm).reshape(-1, 2))


def _raster(ends_nm: FloatArray, count: int) -> FloatArray:
    """Places within an ellipse round both fields."""
    middle, run = ends_nm.mean(axis=0), ends_nm[1] - ends_nm[0]
    half_nm = 0.5 * float(np.hypot(*run))
    along, across = run / (2.0 * half_nm), np.array([-run[1], run[0]]) / (2.0 * half_nm)
    long_nm, broad_nm = half_nm + 4.0, max(0.55 * half_nm, 10.0)
    step_nm = np.sqrt(np.pi * long_nm * broad_nm / count)
    a, b = np.meshgrid(
        np.arange(-long_nm, long_nm + step_nm, step_nm),
        np.arange(-broad_nm, broad_nm + step_nm, step_nm),
    )
    kept = (a / long_nm) ** 2 + (b / broad_nm) ** 2 <= 1.0
    return np.asarray(middle + a[kept][:, None] * along + b[kept][:, None] * across)


def _away_nm(place_nm: FloatArray, track_nm: FloatArray) -> FloatArray:
    """How far each place lies from a track."""
    start, run = track_nm[:-1], np.diff(track_nm, axis=0)
    off = place_nm[:, None] - start
    share = np.clip((off * run).sum(axis=2) / (run * run).sum(axis=1), 0.0, 1.0)
    return np.asarray(np.hypot(*np.moveaxis(off - share[:, :, None] * run, 2, 0)).min(axis=1))


def without_idle(corner_nm: FloatArray) -> FloatArray:
    """Corners without repetitions."""
    apart = np.hypot(*np.diff(corner_nm, axis=0).T) > 1e-6
    return np.asarray(corner_nm[np.concatenate([[True], apart])])

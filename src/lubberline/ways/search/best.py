"""The best way for one set of permissions, checked before it is handed on."""

import logging
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.ways.evaluate import Rows, slowed, way_of_rows
from lubberline.ways.model import Way
from lubberline.ways.problem import WaysProblem
from lubberline.ways.search._scene import Scene, open_at
from lubberline.ways.search.laying import Laid, lay
from lubberline.ways.search.naming import row_names
from lubberline.ways.search.places import USUAL, Effort
from lubberline.ways.search.scene import Prepared
from lubberline.ways.search.tracks import Sought, Track

FAR_FACTOR: Final = 1.025  # own: so much slower than promised, heights are sought with the track
_KEPT_FACTOR: Final = 1.001  # own: heights so near what was promised leave the direct way nothing
_RASTER_COUNT: Final = 60  # own: places to change layers at beside corners and crossings
_ENOUGH_FACTOR: Final = 1.3  # own: heights slower than this are looked for only if all else fails

log = logging.getLogger(__name__)


def best_way(prepared: Prepared, permissions: frozenset[str], effort: Effort = USUAL) -> Way | None:
    """The fastest legal way that is found; None if there is none.

    Every candidate passes the independent check before it counts; one that does not is a
    defect of the search and is logged.
    """
    scene = prepared.scene_for(permissions)
    if not _ends_are_open(prepared, scene):
        return None
    sought, found = Sought(prepared, scene, effort), Found(prepared, scene, effort)
    best = found.lay_all(sought, sought.coarse())
    if found.time_min > found.least_min * _KEPT_FACTOR:
        found.lay(prepared.route_nm)
    if best is not None:
        found.lay_all(sought, sought.fine(best))
    if found.least_min * FAR_FACTOR < found.time_min:
        raster_count = 0 if found.laid else _RASTER_COUNT
        found.lay_all(sought, sought.sloped(found.corners_nm, raster_count=raster_count))
    way = _first_clean(prepared, permissions, found.laid)
    if way is not None or not found.tracks:
        return way
    closer = replace(effort, step_nm=effort.step_nm / 2.0, cell_count=effort.cell_count * 2)
    again = Sought(prepared, scene, effort, met=sought.met)
    last = Found(prepared, scene, closer, patient=True)
    last.lay_all(again, found.tracks)
    last.lay_all(again, again.sloped(found.corners_nm, raster_count=2 * _RASTER_COUNT))
    return _first_clean(prepared, permissions, last.laid)


def _ends_are_open(prepared: Prepared, scene: Scene) -> bool:
    """Whether neither field lies in what is closed at its own height."""
    layers, _ = open_at(scene, prepared.ends_nm)
    return bool((layers[0] >> scene.start_layer) & 1 and (layers[1] >> scene.end_layer) & 1)


@dataclass(slots=True, eq=False)
class Found:
    """Tracks with their heights; unless patient, only heights not much slower than promised."""

    prepared: Prepared
    scene: Scene
    effort: Effort
    laid: list[Laid] = field(default_factory=list)
    tracks: list[Track] = field(default_factory=list)
    seen: set[bytes] = field(default_factory=set)
    patient: bool = False

    @property
    def fastest(self) -> Laid:
        """The fastest so far."""
        return min(self.laid, key=_order)

    @property
    def time_min(self) -> float:
        """Minutes of the fastest so far; infinite before the first."""
        return self.fastest.time_min if self.laid else np.inf

    @property
    def least_min(self) -> float:
        """What the tracks promised at best."""
        return min((one.time_min for one in self.tracks), default=0.0)

    @property
    def _enough_min(self) -> float:
        return self.least_min * _ENOUGH_FACTOR + 2.0 if self.tracks else np.inf

    @property
    def corners_nm(self) -> list[FloatArray]:
        """Corners of the tracks."""
        return [one.corner_nm for one in self.tracks]

    def lay(self, corner_nm: FloatArray, guess_min: float = np.inf) -> None:
        """Lay heights over a track, once."""
        key = np.round(corner_nm, 3).tobytes()
        if key not in self.seen:
            self.seen.add(key)
            length_nm = float(np.hypot(*np.diff(corner_nm, axis=0).T).sum())
            laid = lay(
                self.prepared,
                self.scene,
                corner_nm,
                step_nm=max(self.effort.step_nm, length_nm / self.effort.cell_count),
                guess_min=guess_min,
                most_min=min(self.time_min, np.inf if self.patient else self._enough_min),
            )
            if laid is not None:
                self.laid.append(_within_limits(self.prepared.problem, laid))

    def lay_all(self, sought: Sought, tracks: Iterable[Track]) -> Track | None:
        """Lay heights over tracks as they are found; each has to beat the fastest so far."""
        best = None
        for track in tracks:
            self.tracks.append(track)
            before = len(self.laid)
            self.lay(track.corner_nm, track.time_min)
            if len(self.laid) > before and self.fastest is self.laid[-1]:
                best = track
            sought.limit_min = self.time_min
        return best


def _within_limits(problem: WaysProblem, laid: Laid) -> Laid:
    """With the time that it takes where the law limits the speed."""
    if problem.slow is None:
        return laid
    unnamed = ("",) * laid.msl_ft.size
    rows = Rows(laid.east_nm, laid.north_nm, laid.msl_ft, unnamed)
    limited_min = slowed(problem, problem.slow, rows)[1].time_min.sum()
    return replace(laid, limited_min=float(limited_min))


def _order(laid: Laid) -> tuple[float, int]:
    return round(laid.time_min, 6), len(laid.corner_nm)


def _first_clean(prepared: Prepared, permissions: frozenset[str], laid: list[Laid]) -> Way | None:
    """The fastest that keeps every rule; those that break one are logged."""
    for one in sorted(laid, key=_order):
        way = _way(prepared, one, permissions)
        if not way.violations:
            return way
        broken = way.violations[0]
        log.warning("%s: %s (%s)", prepared.problem.name, broken.what, broken.spot.words)
    return None


def _way(prepared: Prepared, laid: Laid, permissions: frozenset[str]) -> Way:
    rows = Rows(laid.east_nm, laid.north_nm, laid.msl_ft, row_names(prepared, laid))
    return way_of_rows(
        prepared.problem,
        "",
        rows,
        permissions,
        cruise_msl_ft=float(laid.msl_ft.max()),
        flown=laid.flown,
    )

"""A problem as columns in its plane: all that is prepared once, before any search.

Every volume that may close something is here; which of them do, for given permissions, is
decided when a scene is taken (``scene_for``).
"""

import itertools
from dataclasses import dataclass, field
from functools import lru_cache
from typing import TYPE_CHECKING, Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, IntArray
from lubberline.earth import LocalPlane, Terrain
from lubberline.places import Circle, Height, Volume, all_rings_nm
from lubberline.units import MIN_PER_H
from lubberline.ways.motion import slope_rate_fpm, wind_toward_kt
from lubberline.ways.problem import WaysProblem
from lubberline.ways.search._ground import Ground, ground_at
from lubberline.ways.search._levels import Levels
from lubberline.ways.search._scene import Scene
from lubberline.ways.search._shapes import Sky
from lubberline.ways.search._speed import Air
from lubberline.ways.search.layers import choose_layers
from lubberline.ways.search.raster import raster_degrees

if TYPE_CHECKING:
    from lubberline.ways.search.corners import Corners, Fineness

CLEAR_NM: Final = 0.001  # own: lines keep so much more than the margin
UNKNOWN_FT: Final = 60_000.0  # own: ground that is not known is not flown over
_SURFACE_FT: Final = -1e6  # below any flight
_NEVER: Final = -1


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Prepared:
    """One problem, prepared. ``rings_nm`` are a polygon's rings, the volume on their left.

    ``excess_ft`` (2,) is how far the terrain stands above each field. ``drawn`` keeps outlines
    for the next search, ``passes`` where ways between mountains turn.
    """

    problem: WaysProblem
    plane: LocalPlane
    ends_nm: FloatArray
    via_nm: FloatArray
    volumes: tuple[Volume, ...]
    rings_nm: tuple[tuple[FloatArray, ...], ...]
    groups: tuple[str, ...]
    group_index: IntArray
    sky: Sky
    ground: Ground
    excess_ft: FloatArray
    air: Air
    levels: Levels
    level_bits: IntArray
    band_bits: IntArray
    start_layer: int
    end_layer: int
    drawn: dict[tuple[int, "Fineness"], "Corners"] = field(default_factory=dict)
    passes: list[FloatArray] = field(default_factory=list)

    @property
    def route_nm(self) -> FloatArray:
        """The fields, and between them the points to go over."""
        return np.concatenate([self.ends_nm[:1], self.via_nm, self.ends_nm[1:]])

    def scene_for(self, permissions: frozenset[str], without: BoolArray | None = None) -> Scene:
        """The scene in which these permissions are had, and some volumes may be left out."""
        shut = np.array(
            [
                index == _NEVER or self.groups[index] not in permissions
                for index in self.group_index
            ],
            dtype=np.bool_,
        )
        if without is not None:
            shut &= ~without
        return Scene(
            sky=self.sky,
            ground=self.ground,
            air=self.air,
            levels=self.levels,
            active=np.flatnonzero(shut),
            level_bits=self.level_bits,
            band_bits=self.band_bits,
            start_layer=self.start_layer,
            end_layer=self.end_layer,
        )


def prepare(problem: WaysProblem) -> Prepared:
    """The problem as columns."""
    plane = problem.plane
    volumes = tuple(one for one in problem.volumes if one.airspace_class in tuple("ABCDRP"))
    ends = (problem.departure, problem.destination)
    ends_nm = np.column_stack(
        plane.to_plane_nm([end.lat_deg for end in ends], [end.lon_deg for end in ends])
    )
    rings_nm = _rings(plane, volumes)
    sky = _sky(problem, volumes, rings_nm)
    ends_ft = problem.terrain.ground_ft(
        [end.lat_deg for end in ends], [end.lon_deg for end in ends]
    )
    ground = _ground(problem, plane, ends_nm, ends_ft)
    if ground.flat:
        sky = _level_sky(sky, float(ground.ground_ft[0, 0]))
    length_nm = float(np.hypot(*(ends_nm[1] - ends_nm[0])))
    known = ground.ground_ft[ground.ground_ft < UNKNOWN_FT]
    ground_ft = np.array([known.min(initial=0.0), known.max(initial=0.0)])
    if known.size:
        ground_ft = np.array([known.min(), known.max()])
    bounds_ft = _bounds(sky)
    layer_ft = choose_layers(problem, length_nm=length_nm, ground_ft=ground_ft, bounds_ft=bounds_ft)
    groups = tuple(sorted({one.group for one in volumes if one.airspace_class in tuple("BCD")}))
    group_index = [
        groups.index(one.group) if one.airspace_class in tuple("BCD") else _NEVER for one in volumes
    ]
    return Prepared(
        problem=problem,
        plane=plane,
        ends_nm=ends_nm,
        via_nm=_via_nm(problem, plane),
        volumes=volumes,
        rings_nm=rings_nm,
        groups=groups,
        group_index=np.array(group_index, dtype=np.int64),
        sky=sky,
        ground=ground,
        excess_ft=np.nan_to_num(ends_ft - _fields_ft(problem)),
        air=_air(problem, layer_ft),
        levels=_levels(problem, plane, layer_ft),
        level_bits=_words(_between(layer_ft, layer_ft, sky)),
        band_bits=_words(_between(layer_ft[:-1], layer_ft[1:], sky)),
        start_layer=int(np.searchsorted(layer_ft, problem.departure.elev_msl_ft)),
        end_layer=int(np.searchsorted(layer_ft, problem.destination.elev_msl_ft)),
    )


def _via_nm(problem: WaysProblem, plane: LocalPlane) -> FloatArray:
    if not problem.via:
        return np.zeros((0, 2))
    lat_deg, lon_deg = zip(*((one.lat_deg, one.lon_deg) for one in problem.via), strict=True)
    return np.column_stack(plane.to_plane_nm(lat_deg, lon_deg))


def _rings(plane: LocalPlane, volumes: tuple[Volume, ...]) -> tuple[tuple[FloatArray, ...], ...]:
    """Rings of every polygon, without repeated corners, the volume on their left.

    Of a circle its center.
    """
    drawn = all_rings_nm([one.footprint for one in volumes], plane)
    if not drawn:
        return ()
    rings = [ring for one in drawn for ring in one]
    corners_nm, onward = np.concatenate(rings), _onward(rings)
    x, y = corners_nm.T
    counts = [len(ring) for ring in rings]
    stops = np.cumsum(counts)
    area = np.add.reduceat(x * y[onward] - x[onward] * y, stops - np.array(counts))
    alone = onward == np.arange(onward.size)
    kept = alone | (np.hypot(x[onward] - x, y[onward] - y) > 1e-6)
    turned = (
        ring[kept[stop - len(ring) : stop]][:: 1 if outside == (twice_area > 0.0) else -1]
        for ring, stop, twice_area, outside in zip(
            rings,
            stops.tolist(),
            area.tolist(),
            (place == 0 for one in drawn for place in range(len(one))),
            strict=True,
        )
    )
    return tuple(tuple(itertools.islice(turned, len(one))) for one in drawn)


def _onward(rings: list[FloatArray]) -> IntArray:
    """The place of the corner after each, of rings one after the other."""
    counts = np.array([len(ring) for ring in rings])
    stops = np.cumsum(counts)
    onward = np.arange(1, stops[-1] + 1)
    onward[stops - 1] = stops - counts
    return onward


def _sky(
    problem: WaysProblem,
    volumes: tuple[Volume, ...],
    rings_nm: tuple[tuple[FloatArray, ...], ...],
) -> Sky:
    margins = np.array([_margins(problem, one) for one in volumes]).reshape(-1, 2)
    margin_nm, up_ft = margins[:, 0] + CLEAR_NM, margins[:, 1].tolist()
    low = [_floor(one.floor, ft) for one, ft in zip(volumes, up_ft, strict=True)]
    high = [_ceiling(one.ceiling, ft) for one, ft in zip(volumes, up_ft, strict=True)]
    round_nm = np.zeros((len(volumes), 4))
    edged: list[FloatArray] = []
    first_edge = np.zeros(len(volumes) + 1, dtype=np.int64)
    for place, (one, rings) in enumerate(zip(volumes, rings_nm, strict=True)):
        count = 0
        if isinstance(one.footprint, Circle):
            outer_nm = one.footprint.radius_nm + margin_nm[place]
            inner_nm = max(one.footprint.inner_nm - margin_nm[place], 0.0)
            round_nm[place] = (*rings[0][0], outer_nm, inner_nm)
        else:
            edged += rings
            count = sum(map(len, rings))
        first_edge[place + 1] = first_edge[place] + count
    reach_nm = np.where(round_nm[:, 2] > 0.0, round_nm[:, 2], margin_nm)[:, None]
    return Sky(
        box_nm=_boxes([rings[0] for rings in rings_nm]) + reach_nm * [-1.0, -1.0, 1.0, 1.0],
        round_nm=round_nm,
        first_edge=first_edge,
        edges_nm=_edges(edged),
        margin_nm=margin_nm,
        low_ft=np.array([ft for ft, _ in low], dtype=np.float64),
        high_ft=np.array([ft for ft, _ in high], dtype=np.float64),
        low_follows=np.array([follows for _, follows in low], dtype=np.bool_),
        high_follows=np.array([follows for _, follows in high], dtype=np.bool_),
    )


def _boxes(rings: list[FloatArray]) -> FloatArray:
    """West, south, east and north end of rings, (r, 4)."""
    if not rings:
        return np.zeros((0, 4))
    corners_nm, start = np.concatenate(rings), np.cumsum([0, *map(len, rings[:-1])])
    return np.hstack([one.reduceat(corners_nm, start) for one in (np.minimum, np.maximum)])


def _edges(rings: list[FloatArray]) -> FloatArray:
    """Where each edge of rings begins, and how far it goes, (e, 4)."""
    if not rings:
        return np.zeros((0, 4))
    corners_nm = np.concatenate(rings)
    return np.hstack([corners_nm, corners_nm[_onward(rings)] - corners_nm])


def _margins(problem: WaysProblem, volume: Volume) -> tuple[float, float]:
    """Margin beside and above; class A is only not entered (14 CFR 91.135)."""
    if volume.airspace_class == "A":
        return 0.0, 0.0
    own_nm = volume.lateral_margin_nm
    lateral_nm = problem.margins.lateral_nm if own_nm is None else own_nm
    return lateral_nm, problem.margins.vertical_ft


def _floor(floor: Height, margin_ft: float) -> tuple[float, bool]:
    if floor.reference != "MSL" and floor.ft == 0.0:
        return _SURFACE_FT, False
    return floor.ft - margin_ft, floor.reference != "MSL"


def _ceiling(ceiling: Height, margin_ft: float) -> tuple[float, bool]:
    return ceiling.ft + margin_ft, ceiling.reference != "MSL"


def _level_sky(sky: Sky, ground_ft: float) -> Sky:
    """Over level ground every height is one above mean sea level."""
    still = np.zeros_like(sky.low_follows)
    return sky._replace(
        low_ft=sky.low_ft + ground_ft * sky.low_follows,
        high_ft=sky.high_ft + ground_ft * sky.high_follows,
        low_follows=still,
        high_follows=still,
    )


def _ground(
    problem: WaysProblem, plane: LocalPlane, ends_nm: FloatArray, ends_ft: FloatArray
) -> Ground:
    """The ground, level or on a raster; ``ends_ft`` is what the terrain gives at the fields."""
    flat_ft = problem.terrain.level_ft
    if np.isnan(ends_ft).all():
        flat_ft = min(problem.departure.elev_msl_ft, problem.destination.elev_msl_ft)
    raster_nm, ground_ft = np.zeros(3), np.full((1, 1), flat_ft if flat_ft is not None else 0.0)
    if flat_ft is None:
        raster_nm, ground_ft = _raster(problem.terrain, plane, tuple(ends_nm.ravel().tolist()))
    ground = Ground(
        flat=flat_ft is not None,
        raster_nm=raster_nm,
        ground_ft=ground_ft,
        ends_nm=ends_nm,
        excess_ft=np.zeros(2),
        radius_nm=problem.rules.aerodrome_radius_nm,
        least_agl_ft=problem.rules.min_agl_ft,
        level_agl_ft=problem.rules.hemispheric_above_agl_ft,
    )
    drawn_ft = np.array([ground_at(ground, x, y) for x, y in ends_nm])
    drawn_ft[drawn_ft >= UNKNOWN_FT / 2.0] = -np.inf
    return ground._replace(excess_ft=drawn_ft - _fields_ft(problem))


def _fields_ft(problem: WaysProblem) -> FloatArray:
    return np.array([problem.departure.elev_msl_ft, problem.destination.elev_msl_ft])


@lru_cache(maxsize=4)  # the same ground is searched with other volumes
def _raster(
    terrain: Terrain, plane: LocalPlane, route_nm: tuple[float, ...]
) -> tuple[FloatArray, FloatArray]:
    """Ground at even places of the plane round both ends, given as east and north of each."""
    ends_nm = np.array(route_nm).reshape(2, 2)
    apart_nm = float(np.hypot(*(ends_nm[1] - ends_nm[0])))
    spread_nm = max(0.6 * apart_nm, 20.0)
    low, high = ends_nm.min(axis=0) - spread_nm, ends_nm.max(axis=0) + spread_nm
    step_nm = max(float((high - low).max()) / 160.0, 0.4)
    east_nm = np.arange(low[0], high[0] + step_nm, step_nm)
    north_nm = np.arange(low[1], high[1] + step_nm, step_nm)
    lat_deg, lon_deg = raster_degrees(plane, east_nm, north_nm)
    ground_ft = terrain.ground_ft(lat_deg, lon_deg)
    return np.array([low[0], low[1], step_nm]), np.nan_to_num(ground_ft, nan=UNKNOWN_FT)


def _bounds(sky: Sky) -> FloatArray:
    """Heights at which volumes are passed, where these do not follow the ground."""
    fixed = [sky.low_ft[~sky.low_follows], sky.high_ft[~sky.high_follows]]
    heights_ft = np.concatenate(fixed)
    return np.unique(np.round(heights_ft[heights_ft > _SURFACE_FT], 3))


def _between(lower_ft: FloatArray, upper_ft: FloatArray, sky: Sky) -> BoolArray:
    """Which layers lie strictly within the heights of each volume, or which bands overlap them."""
    return (sky.low_ft[:, None] < upper_ft) & (lower_ft < sky.high_ft[:, None])


def _air(problem: WaysProblem, layer_ft: FloatArray) -> Air:
    motion = problem.motion
    middle_ft = (layer_ft[:-1] + layer_ft[1:]) / 2.0
    rise_ft = np.diff(layer_ft)
    climb_fpm = slope_rate_fpm(motion, middle_ft, climbing=True)
    heights_ft = np.concatenate([layer_ft, middle_ft])
    wind_nm = np.column_stack(wind_toward_kt(problem.wind, heights_ft)) / MIN_PER_H
    return Air(
        layer_ft=layer_ft,
        wind_nm=wind_nm[: layer_ft.size],
        step_wind_nm=wind_nm[layer_ft.size :],
        up_min=rise_ft / climb_fpm,
        down_min=rise_ft / motion.descent_fpm,
        cruise_nm=motion.cruise_tas_kt / MIN_PER_H,
        climb_nm=motion.climb_tas_kt / MIN_PER_H,
        descent_nm=motion.descent_tas_kt / MIN_PER_H,
    )


def _levels(problem: WaysProblem, plane: LocalPlane, layer_ft: FloatArray) -> Levels:
    off_ft = np.mod(layer_ft, 2_000.0)
    east, west = np.abs(off_ft - 1_500.0) < 1.0, np.abs(off_ft - 500.0) < 1.0
    lat_deg, lon_deg = plane.to_degrees(30.0, 0.0)
    away = plane.to_plane_nm(float(lat_deg) + 0.05, float(lon_deg))
    turn_rad = np.arctan2(float(away[0]) - 30.0, float(away[1]))
    return Levels(
        asked=problem.rules.hemispheric,
        east_bits=int(_words(east)),
        west_bits=int(_words(west)),
        turn_deg=-float(np.degrees(turn_rad)) / 30.0,
        variation_deg=problem.rules.variation_deg,
    )


def _words(chosen: BoolArray) -> IntArray:
    """One bit for each of the chosen, along the last axis."""
    return np.asarray(chosen @ (1 << np.arange(chosen.shape[-1], dtype=np.int64)))

"""A problem as columns in its plane: all that is prepared once, before any search.

Every volume that may close something is here; which of them do, for given permissions, is
decided when a scene is taken (``scene_for``).
"""

from dataclasses import dataclass, field
from functools import lru_cache
from typing import TYPE_CHECKING, Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, IntArray
from lubberline.earth import LocalPlane, Terrain
from lubberline.places import Circle, Height, Polygon, Volume
from lubberline.units import MIN_PER_H
from lubberline.ways.motion import slope_rate_fpm, wind_toward_kt
from lubberline.ways.problem import WaysProblem
from lubberline.ways.search._ground import Ground, bands_between, ground_at, layers_between
from lubberline.ways.search._levels import Levels
from lubberline.ways.search._scene import Scene
from lubberline.ways.search._shapes import Sky
from lubberline.ways.search._speed import Air
from lubberline.ways.search.layers import choose_layers

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
    for the next search.
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
    bits = [_bits(sky, layer_ft, volume) for volume in range(len(volumes))]
    level_bits, band_bits = np.array(bits, dtype=np.int64).reshape(-1, 2).T
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
        level_bits=np.ascontiguousarray(level_bits),
        band_bits=np.ascontiguousarray(band_bits),
        start_layer=int(np.searchsorted(layer_ft, problem.departure.elev_msl_ft)),
        end_layer=int(np.searchsorted(layer_ft, problem.destination.elev_msl_ft)),
    )


def _via_nm(problem: WaysProblem, plane: LocalPlane) -> FloatArray:
    if not problem.via:
        return np.zeros((0, 2))
    lat_deg, lon_deg = zip(*((one.lat_deg, one.lon_deg) for one in problem.via), strict=True)
    return np.column_stack(plane.to_plane_nm(lat_deg, lon_deg))


def _rings(plane: LocalPlane, volumes: tuple[Volume, ...]) -> tuple[tuple[FloatArray, ...], ...]:
    """Rings of every polygon (center of every circle), projected in one call."""
    parts: list[FloatArray] = []
    for one in volumes:
        if isinstance(one.footprint, Circle):
            parts.append(np.array([[one.footprint.lat_deg, one.footprint.lon_deg]]))
        else:
            parts += [one.footprint.corners_deg, *one.footprint.holes_deg]
    if not parts:
        return ()
    corners_deg = np.concatenate(parts)
    corners_nm = np.column_stack(plane.to_plane_nm(corners_deg[:, 0], corners_deg[:, 1]))
    rings = iter(np.split(corners_nm, np.cumsum([len(part) for part in parts])[:-1]))
    out = []
    for one in volumes:
        if isinstance(one.footprint, Polygon):
            shell, *holes = (next(rings) for _ in range(1 + len(one.footprint.holes_deg)))
            out.append((_turned(shell, 1.0), *(_turned(hole, -1.0) for hole in holes)))
        else:
            out.append((next(rings),))
    return tuple(out)


def _turned(ring_nm: FloatArray, sense: float) -> FloatArray:
    """The ring without repeated corners, counterclockwise (sense 1) or clockwise (-1)."""
    apart = np.hypot(*(np.roll(ring_nm, -1, axis=0) - ring_nm).T) > 1e-6
    ring_nm = ring_nm[apart]
    x, y = ring_nm.T
    area = float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))
    return ring_nm if area * sense > 0.0 else ring_nm[::-1]


def _sky(
    problem: WaysProblem,
    volumes: tuple[Volume, ...],
    rings_nm: tuple[tuple[FloatArray, ...], ...],
) -> Sky:
    count = len(volumes)
    box_nm, round_nm = np.zeros((count, 4)), np.zeros((count, 4))
    margin_nm, heights = np.zeros(count), np.zeros((count, 2))
    moving = np.zeros((count, 2), dtype=np.bool_)
    edges, first_edge = [], np.zeros(count + 1, dtype=np.int64)
    for place, (one, rings) in enumerate(zip(volumes, rings_nm, strict=True)):
        margin_nm[place], up_ft = _margins(problem, one)
        margin_nm[place] += CLEAR_NM
        heights[place, 0], moving[place, 0] = _floor(one.floor, up_ft)
        heights[place, 1], moving[place, 1] = _ceiling(one.ceiling, up_ft)
        if isinstance(one.footprint, Circle):
            outer_nm = one.footprint.radius_nm + margin_nm[place]
            inner_nm = max(one.footprint.inner_nm - margin_nm[place], 0.0)
            round_nm[place] = (*rings[0][0], outer_nm, inner_nm)
            low, high = rings[0][0] - outer_nm, rings[0][0] + outer_nm
        else:
            for ring in rings:
                edges.append(np.concatenate([ring, np.roll(ring, -1, axis=0) - ring], axis=1))
            low = rings[0].min(axis=0) - margin_nm[place]
            high = rings[0].max(axis=0) + margin_nm[place]
        box_nm[place] = (*low, *high)
        first_edge[place + 1] = sum(len(part) for part in edges) if edges else 0
    return Sky(
        box_nm=box_nm,
        round_nm=round_nm,
        first_edge=first_edge,
        edges_nm=np.concatenate(edges) if edges else np.zeros((0, 4)),
        margin_nm=margin_nm,
        low_ft=np.ascontiguousarray(heights[:, 0]),
        high_ft=np.ascontiguousarray(heights[:, 1]),
        low_follows=np.ascontiguousarray(moving[:, 0]),
        high_follows=np.ascontiguousarray(moving[:, 1]),
    )


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
    flat_ft = _flat_ft(problem)
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


def _flat_ft(problem: WaysProblem) -> float | None:
    """The height of ground that is level everywhere, else None."""
    tiles = problem.terrain.tiles
    if len(tiles) != 1 or not problem.terrain.clamped:
        return None
    if not isinstance(tiles[0].ground_ft, np.ndarray):
        return None
    low, high = float(np.min(tiles[0].ground_ft)), float(np.max(tiles[0].ground_ft))
    return low if low == high else None


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
    lat_deg, lon_deg = plane.to_degrees(*np.meshgrid(east_nm, north_nm))
    ground_ft = terrain.ground_ft(lat_deg, lon_deg)
    return np.array([low[0], low[1], step_nm]), np.nan_to_num(ground_ft, nan=UNKNOWN_FT)


def _bounds(sky: Sky) -> FloatArray:
    """Heights at which volumes are passed, where these do not follow the ground."""
    fixed = [sky.low_ft[~sky.low_follows], sky.high_ft[~sky.high_follows]]
    heights_ft = np.concatenate(fixed)
    return np.unique(np.round(heights_ft[heights_ft > _SURFACE_FT], 3))


def _bits(sky: Sky, layer_ft: FloatArray, volume: int) -> tuple[int, int]:
    low_ft, high_ft = float(sky.low_ft[volume]), float(sky.high_ft[volume])
    return layers_between(layer_ft, low_ft, high_ft), bands_between(layer_ft, low_ft, high_ft)


def _air(problem: WaysProblem, layer_ft: FloatArray) -> Air:
    motion = problem.motion
    middle_ft = (layer_ft[:-1] + layer_ft[1:]) / 2.0
    rise_ft = np.diff(layer_ft)
    climb_fpm = slope_rate_fpm(motion, middle_ft, climbing=True)
    return Air(
        layer_ft=layer_ft,
        wind_nm=np.column_stack(wind_toward_kt(problem.wind, layer_ft)) / MIN_PER_H,
        step_wind_nm=np.column_stack(wind_toward_kt(problem.wind, middle_ft)) / MIN_PER_H,
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
        east_bits=_word(east),
        west_bits=_word(west),
        turn_deg=-float(np.degrees(turn_rad)) / 30.0,
        variation_deg=problem.rules.variation_deg,
    )


def _word(chosen: BoolArray) -> int:
    return int(sum(1 << int(place) for place in np.flatnonzero(chosen)))

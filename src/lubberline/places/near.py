"""What lies round one place: how far and in which direction, nearest first."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Generic, TypeVar

import numpy as np

from lubberline.earth import LocalPlane, course_and_distance
from lubberline.places.footprint import distance_nm
from lubberline.places.model import Aerodrome, Places, VisualPoint, Volume, Waypoint

MOST_OBSTACLES: Final = 1_000  # own: of a large region as many, the tallest

Item = TypeVar("Item")
_Spot = TypeVar("_Spot", Aerodrome, VisualPoint, Waypoint)


@dataclass(frozen=True, slots=True, kw_only=True)
class Obstacle:
    """One obstacle of the columns."""

    kind: str
    top_msl_ft: float
    top_agl_ft: float
    lit: bool
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Around(Generic[Item]):
    """An item, its distance, and the true course to it; NaN where none leads there.

    Of airspace the distance is that to its edge, negative inside, and no course is told.
    """

    item: Item
    away_nm: float
    true_deg: float = np.nan


@dataclass(frozen=True, slots=True, kw_only=True)
class Nearby:
    """All within a distance, nearest first; overhead from below, obstacles the tallest first."""

    aerodromes: tuple[Around[Aerodrome], ...]
    volumes: tuple[Around[Volume], ...]
    waypoints: tuple[Around[Waypoint], ...]
    points: tuple[Around[VisualPoint], ...]
    obstacles: tuple[Around[Obstacle], ...]
    obstacle_count: int


def nearby(places: Places, lat_deg: float, lon_deg: float, within_nm: float) -> Nearby:
    """What of some places lies within a distance of one."""
    here_deg = (lat_deg, lon_deg)
    obstacles = _obstacles(places, here_deg, within_nm)
    return Nearby(
        aerodromes=_spots([*places.aerodromes.values()], here_deg, within_nm),
        volumes=_volumes(places.volumes, here_deg, within_nm),
        waypoints=_spots(places.waypoints, here_deg, within_nm),
        points=_spots([*places.points.values()], here_deg, within_nm),
        obstacles=tuple(obstacles[:MOST_OBSTACLES]),
        obstacle_count=len(obstacles),
    )


def _spots(
    items: Sequence[_Spot], here_deg: tuple[float, float], within_nm: float
) -> tuple[Around[_Spot], ...]:
    places_deg = np.array([(one.lat_deg, one.lon_deg) for one in items]).reshape(-1, 2)
    true_deg, away_nm = course_and_distance(*here_deg, *places_deg.T)
    near = [n for n in np.argsort(away_nm) if away_nm[n] <= within_nm]
    return tuple(
        Around(item=items[n], away_nm=float(away_nm[n]), true_deg=float(true_deg[n])) for n in near
    )


def _volumes(
    volumes: Sequence[Volume], here_deg: tuple[float, float], within_nm: float
) -> tuple[Around[Volume], ...]:
    plane = LocalPlane(*here_deg)
    away_nm = [float(distance_nm(one.footprint, plane, 0.0, 0.0)) for one in volumes]
    found = [
        Around(item=one, away_nm=away)
        for one, away in zip(volumes, away_nm, strict=True)
        if away <= within_nm
    ]
    return tuple(sorted(found, key=lambda one: (max(one.away_nm, 0.0), one.item.floor.ft)))


def _obstacles(
    places: Places, here_deg: tuple[float, float], within_nm: float
) -> list[Around[Obstacle]]:
    found = []
    for source, some in places.obstacles.items():
        true_deg, away_nm = course_and_distance(*here_deg, some.lat_deg, some.lon_deg)
        for n in np.flatnonzero(away_nm <= within_nm):
            obstacle = Obstacle(
                kind=str(some.kind[n]),
                top_msl_ft=float(some.top_msl_ft[n]),
                top_agl_ft=float(some.top_agl_ft[n]),
                lit=bool(some.lit[n]),
                source=source,
            )
            away, true = float(away_nm[n]), float(true_deg[n])
            found.append(Around(item=obstacle, away_nm=away, true_deg=true))
    return sorted(found, key=lambda one: -np.nan_to_num(one.item.top_agl_ft))

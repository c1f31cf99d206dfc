"""Names: of the rows of a found path, and of a found way by what it does."""

from math import inf
from typing import Final

import numpy as np

from lubberline.earth import LocalPlane
from lubberline.places import Polygon, Volume, distance_nm
from lubberline.ways.model import Encounter, Way
from lubberline.ways.search.laying import Laid
from lubberline.ways.search.scene import Prepared
from lubberline.ways.wishes import WISH

POINT_NM: Final = 0.3  # own: a row so near a visual point has its name
ASIDE_NM: Final = 1.5  # own: a track that is nowhere farther from the straight line is direct
PASSED_NM: Final = 3.0  # own: passed sideways nearer than this, too
SECTORS: Final = (
    "north",
    "north-east",
    "east",
    "south-east",
    "south",
    "south-west",
    "west",
    "north-west",
)
_CHANGES: Final = ("turn", "top of climb", "start down", "over ")
_SAMPLES: Final = 400
_AS_NEAR_NM: Final = 0.1  # own: along an edge all of the track is as near, and its middle tells
_BEHIND_FT: Final = 1_500.0  # own: passed nearer than this, a volume tells a way


def row_names(prepared: Prepared, laid: Laid) -> tuple[str, ...]:
    """One name per row: fields, visual points, turns, and where height begins or ends to change."""
    problem = prepared.problem
    near = _near_points(prepared, laid)
    names, turns = [problem.departure.id], 0
    slope = np.sign(np.round(np.diff(laid.msl_ft), 3)).tolist()
    turned = _turned(laid)
    for row in range(1, len(laid.msl_ft) - 1):
        if row in near:
            names.append(near[row])
        elif row == 1 and _is_over(laid, row, 0):
            names.append(f"over {problem.departure.id}")
        elif row == len(laid.msl_ft) - 2 and _is_over(laid, row, -1):
            names.append(f"over {problem.destination.id}")
        elif slope[row - 1] > 0.0 >= slope[row]:
            names.append("top of climb")
        elif slope[row] < 0.0 <= slope[row - 1]:
            names.append("start down")
        elif turned[row - 1]:
            turns += 1
            names.append(f"turn {turns}")
        else:
            names.append("")
    return (*_once(names), problem.destination.id)


def _near_points(prepared: Prepared, laid: Laid) -> dict[int, str]:
    """The visual point at each row that has one, the first if several."""
    points = (*prepared.problem.via, *prepared.problem.points)
    if not points:
        return {}
    places_deg = zip(*((point.lat_deg, point.lon_deg) for point in points), strict=True)
    east_nm, north_nm = prepared.plane.to_plane_nm(*places_deg)
    away_nm = np.hypot(laid.east_nm[:, None] - east_nm, laid.north_nm[:, None] - north_nm)
    row, point = np.nonzero(away_nm <= POINT_NM)
    return {
        r: points[p].name for r, p in zip(row[::-1].tolist(), point[::-1].tolist(), strict=True)
    }


def way_name(way: Way) -> str:
    """What a way does: through whom, under or over whom, else which side of whom, else direct."""
    through = [one.volume.name for one in _in_order(way) if one.entered and one.needs != "nothing"]
    parts = [f"through {' and '.join(dict.fromkeys(through))}"] if through else []
    met = [one for one in way.encounters if one.volume.kind != WISH and not one.entered]
    shelves = [one for one in met if _tells(one)]
    if shelves:
        closest = min(shelves, key=lambda one: (one.vertical_ft, one.volume.name))
        parts.append(f"{closest.side} {closest.volume.name}")
    beside = [o for o in met if o.needs != "nothing" and 0.0 < o.lateral_nm < PASSED_NM]
    if beside:
        closest = min(beside, key=lambda one: (one.lateral_nm, one.volume.name))
        parts.append(f"{_direction(way, closest.volume)} of {closest.volume.name}")
    return ", ".join(parts) or about(way)


def about(way: Way) -> str:
    """Over which named points, else how far beside the straight line, else direct."""
    points = [one for one in way.point_names[1:-1] if one and not one.startswith(_CHANGES)]
    if points:
        return f"by {' and '.join(dict.fromkeys(points))}"
    plane = LocalPlane(*way.path[0, :2].tolist())
    east_nm, north_nm = plane.to_plane_nm(way.path[:, 0], way.path[:, 1])
    length_nm = float(np.hypot(east_nm[-1], north_nm[-1]))
    if length_nm == 0.0:
        return "direct"
    across = (east_nm * north_nm[-1] - north_nm * east_nm[-1]) / length_nm  # positive to the right
    farthest = int(np.argmax(np.abs(across)))
    if abs(across[farthest]) < ASIDE_NM:
        return "direct"
    toward_deg = np.degrees(np.arctan2(east_nm[-1], north_nm[-1]))
    toward_deg += 90.0 if across[farthest] > 0.0 else -90.0
    away = f"{abs(across[farthest]):.0f} NM {SECTORS[round(toward_deg / 45.0) % 8]}"
    return f"{away} of the straight line"


def _direction(way: Way, volume: Volume) -> str:
    """Where the track is nearest to a volume, seen from its middle: north, south-east and so on."""
    footprint = volume.footprint
    if isinstance(footprint, Polygon):
        lat_deg, lon_deg = footprint.corners_deg.T
    else:
        lat_deg, lon_deg = footprint.lat_deg, footprint.lon_deg
    plane = LocalPlane(*way.path[len(way.path) // 2, :2].tolist())
    middle_nm = np.array(
        [(xy.min() + xy.max()) / 2.0 for xy in plane.to_plane_nm(lat_deg, lon_deg)]
    )
    rows_nm = np.column_stack(plane.to_plane_nm(way.path[:, 0], way.path[:, 1]))
    along_nm = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(rows_nm, axis=0).T))])
    at_nm = np.linspace(0.0, along_nm[-1], _SAMPLES)
    track_nm = np.column_stack([np.interp(at_nm, along_nm, column) for column in rows_nm.T])
    away_nm = distance_nm(footprint, plane, track_nm[:, 0], track_nm[:, 1])
    near = np.flatnonzero(away_nm <= away_nm.min() + _AS_NEAR_NM)
    east_nm, north_nm = track_nm[near[near.size // 2]] - middle_nm
    return SECTORS[round(np.degrees(np.arctan2(east_nm, north_nm)) / 45.0) % 8]


def _in_order(way: Way) -> list[Encounter]:
    return sorted(way.encounters, key=lambda one: (one.entry_min or 0.0, one.volume.name))


def _tells(one: Encounter) -> bool:
    """Whether a way goes over or under it, and not beside; at the margin it never is beside."""
    beside = 0.0 < one.lateral_nm < inf
    return one.needs != "nothing" and not beside and one.vertical_ft <= _BEHIND_FT


def _is_over(laid: Laid, row: int, field: int) -> bool:
    """Whether a row is at the place of a field: it circles up or down there."""
    apart = (laid.east_nm[row] - laid.east_nm[field], laid.north_nm[row] - laid.north_nm[field])
    return float(np.hypot(*apart)) < 1e-6


def _turned(laid: Laid) -> list[bool]:
    """Whether the track turns at each row between the first and the last."""
    east, north = np.diff(laid.east_nm), np.diff(laid.north_nm)
    length = np.hypot(east, north)
    cross = east[:-1] * north[1:] - north[:-1] * east[1:]
    turned: list[bool] = (np.abs(cross) > 1e-3 * length[:-1] * length[1:]).tolist()
    return turned


def _once(names: list[str]) -> list[str]:
    """Each name once: a second climb ends at "top of climb 2"."""
    seen: dict[str, int] = {}
    out = []
    for name in names:
        seen[name] = seen.get(name, 0) + 1
        out.append(name if not name or seen[name] == 1 else f"{name} {seen[name]}")
    return out

"""All the genuinely different ways: over sets of permissions, and over sides of obstacles.

The fastest way with every permission says whom it needs; leaving those out one at a time gives
the next sets to ask for. A way that is nearly another one is not shown, and one that asks for
more facilities than ``MOST_FACILITIES`` only if nothing else leads there faster.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.errors import NoSolution, RangeError
from lubberline.places import Height, Polygon, Volume
from lubberline.ways.likeness import alike
from lubberline.ways.model import Encounter, Way
from lubberline.ways.problem import WaysProblem
from lubberline.ways.search.best import best_way
from lubberline.ways.search.limits import quickest_way
from lubberline.ways.search.naming import about, way_name
from lubberline.ways.search.scene import Prepared, prepare
from lubberline.ways.wishes import has_other_side

MOST_FACILITIES: Final = 3
MOST_WAYS: Final = 8
MOST_SETS: Final = 24  # own: in a dense sky the sets would be endless
PRICE_MIN: Final = 1.0  # own: what asking one more facility must save to be worth telling
_MOST_WALLS: Final = 3
_FAR_FACTOR: Final = 2.0  # own: the other side is no choice if it takes longer than this
_TOP_FT: Final = 60_000.0
_MOST_DOORS: Final = 12  # own: volumes that are looked at one by one
_MOST_NAMED: Final = 5
_SAME_NM: Final = 0.01  # own: nobody flies from one end of a runway to the other


def find_way(problem: WaysProblem, permissions: frozenset[str]) -> Way:
    """The best way for exactly these permissions.

    Raises
    ------
    NoSolution
        If there is none; the message names what closes the last door.
    RangeError
        If a permission is for no volume of the problem.
    """
    prepared = _prepared(problem)
    unknown = sorted(permissions - frozenset(prepared.groups))
    if unknown:
        known = ", ".join(prepared.groups) or "none"
        raise RangeError(f"no airspace is opened by {', '.join(unknown)}; groups here: {known}")
    way = quickest_way(prepared, permissions)
    if way is None:
        raise NoSolution(_last_door(prepared, permissions))
    return replace(way, name=way_name(way))


def find_ways(problem: WaysProblem) -> tuple[Way, ...]:
    """The different ways, fastest first; the one without any permission among them if it is.

    Raises
    ------
    NoSolution
        If nothing leads there with any permission.
    """
    prepared = _prepared(problem)
    by_set = _over_permissions(prepared)
    found = [way for way in by_set.values() if way is not None]
    if not found:
        raise NoSolution(_last_door(prepared, frozenset(prepared.groups)))
    fastest = min(found, key=_order)
    talkless = by_set[frozenset()]
    found += _other_sides(prepared, fastest)
    if talkless is not None and talkless is not fastest:
        found += _other_sides(prepared, talkless)
    return different_ways(found)


def _prepared(problem: WaysProblem) -> Prepared:
    """The problem prepared; refused where nothing lies between its two ends."""
    prepared = prepare(problem)
    if np.hypot(*np.diff(prepared.route_nm, axis=0).T).min() < _SAME_NM:
        names = [problem.departure.id, *(one.name for one in problem.via), problem.destination.id]
        raise NoSolution(
            f"no way from {names[0]} to {names[-1]}: two successive places of {', '.join(names)}"
            " are one; name a point between them to go over"
        )
    return prepared


def different_ways(found: Iterable[Way]) -> tuple[Way, ...]:
    """The ways worth telling of one or more that were found, fastest first, with names."""
    ranked = sorted(found, key=_order)
    talkless = next((way for way in ranked if not way.permissions), None)
    kept = _different(ranked, always=[ranked[0], talkless])
    return tuple(replace(way, name=name) for way, name in zip(kept, _names(kept), strict=True))


def _over_permissions(prepared: Prepared) -> dict[frozenset[str], Way | None]:
    """The best way for every set worth asking for."""
    nobody: frozenset[str] = frozenset()
    known: dict[frozenset[str], Way | None] = {nobody: quickest_way(prepared, nobody)}
    open_sets = [frozenset(prepared.groups)]
    while open_sets and len(known) < MOST_SETS:
        asked = open_sets.pop(0)
        if asked in known:
            continue
        way = quickest_way(prepared, asked)
        known[asked] = way
        talkless = known[nobody]
        if way is None:
            continue
        used = way.asks
        known[used] = replace(way, permissions=used)
        # With fewer permissions nothing gets quicker: where asking saves nothing, look no further.
        if talkless is None or way.time_min < talkless.time_min - PRICE_MIN:
            open_sets += [asked - {one} for one in sorted(used)]
    return known


def _other_sides(prepared: Prepared, way: Way) -> list[Way]:
    """Ways round the other side of what this one turns at: a wall is put where it passes."""
    east_nm, north_nm = prepared.plane.to_plane_nm(way.path[:, 0], way.path[:, 1])
    found: list[Way] = []
    for one in _turned_at(way)[:_MOST_WALLS]:
        wall = _wall(prepared, one.volume, np.column_stack([east_nm, north_nm]))
        if wall is None:
            continue
        walled = prepare(replace(prepared.problem, volumes=(*prepared.problem.volumes, wall)))
        walled = replace(walled, passes=prepared.passes)  # a wall moves no mountain
        other = best_way(walled, way.permissions)
        if other is not None and other.time_min <= way.time_min * _FAR_FACTOR:
            encounters = tuple(each for each in other.encounters if each.volume is not wall)
            found.append(replace(other, permissions=other.asks, encounters=encounters))
    return found


def _turned_at(way: Way) -> list[Encounter]:
    """Neighbors passed closely beside, the closest first."""
    near = [
        one
        for one in way.encounters
        if not one.entered
        and 0.0 < one.lateral_nm < 2.5
        and one.needs != "nothing"
        and has_other_side(one.volume)
    ]
    return sorted(near, key=lambda one: (one.lateral_nm, one.volume.name))


def _wall(prepared: Prepared, volume: Volume, track_nm: FloatArray) -> Volume | None:
    """A thin wall from a volume outward over the side on which a track passes it."""
    place = next((n for n, one in enumerate(prepared.volumes) if one is volume), None)
    if place is None:
        return None
    box = prepared.sky.box_nm[place]
    middle = np.array([(box[0] + box[2]) / 2.0, (box[1] + box[3]) / 2.0])
    share = np.linspace(0.0, 1.0, 400)
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(track_nm, axis=0).T))])
    dense = np.column_stack(
        [np.interp(share * along[-1], along, track_nm[:, column]) for column in (0, 1)]
    )
    away = dense - middle
    nearest = away[int(np.argmin(np.hypot(*away.T)))]
    length = float(np.hypot(*nearest))
    if length < 1e-6:
        return None
    unit = nearest / length
    side = np.array([-unit[1], unit[0]]) * 0.05
    far = middle + unit * (length + 60.0)
    corners = np.array([middle - side, far - side, far + side, middle + side])
    lat_deg, lon_deg = prepared.plane.to_degrees(corners[:, 0], corners[:, 1])
    return Volume(
        id="WALL",
        name="wall",
        airspace_class="P",
        group="",
        facility="",
        floor=Height(reference="SFC", ft=0.0),
        ceiling=Height(reference="MSL", ft=_TOP_FT),
        footprint=Polygon(corners_deg=np.column_stack([lat_deg, lon_deg])),
        lateral_margin_nm=0.0,
    )


def _different(ways: list[Way], *, always: list[Way | None]) -> list[Way]:
    """The ways worth telling, fastest first: no near-copies, no price that buys nothing."""
    kept = [way for way in always if way is not None]
    kept = kept[:1] if len(kept) == 2 and alike(kept[0], kept[1]) and not kept[0].asks else kept
    for way in ways:
        if len(kept) >= MOST_WAYS:
            break
        if len(way.permissions) > MOST_FACILITIES or any(_same(way, one) for one in kept):
            continue
        if not any(_buys_nothing(way, one) for one in kept):
            kept.append(way)
    unique: list[Way] = []
    for way in sorted(kept, key=_order):
        if not any(alike(way, one) and way.permissions == one.permissions for one in unique):
            unique.append(way)
    return unique


def _same(way: Way, other: Way) -> bool:
    """Whether a way is much the same as another, and asks for no less."""
    return alike(way, other) and not way.permissions < other.permissions


def _buys_nothing(way: Way, other: Way) -> bool:
    """Whether another is as quick within the price and asks for no more, on the same track."""
    more = len(way.permissions - other.permissions)
    return (
        other.permissions <= way.permissions
        and more > 0
        and way.time_min > other.time_min - PRICE_MIN * more
    )


def _order(way: Way) -> tuple[float, int, int, str]:
    """Time, then fewer facilities, then fewer turns: the same list every time."""
    return round(way.time_min, 4), len(way.permissions), len(way.path), way.name


def _names(ways: list[Way]) -> list[str]:
    """What each does; those alike are told apart by track, whom they ask, height or number."""
    names = [way_name(way) for way in ways]
    told: list[str] = []
    for way, name in zip(ways, names, strict=True):
        same = [other for other, its in zip(ways, names, strict=True) if its == name]
        if len(same) > 1:
            mark = next(
                (mark for mark in _MARKS if len(set(map(mark, same))) == len(same)), _height
            )
            name = name if mark(way) == name else f"{name}, {mark(way)}"
        while name in told:
            name += ", again"
        told.append(name)
    return told


def _asking(way: Way) -> str:
    return f"asking {' and '.join(sorted(way.permissions)) or 'nobody'}"


def _height(way: Way) -> str:
    return f"at {way.cruise_msl_ft:,.0f} ft"


def _track_and_height(way: Way) -> str:
    return f"{about(way)}, {_height(way)}"


_MARKS: Final = (about, _asking, _height, _track_and_height)


def _last_door(prepared: Prepared, permissions: frozenset[str]) -> str:
    """What closes the way: a permission that is not had, volumes, a rule, or performance."""
    problem, groups = prepared.problem, frozenset(prepared.groups)
    no_way = f"no way from {problem.departure.id} to {problem.destination.id}"
    for group in sorted(groups - permissions):
        if best_way(prepared, permissions | {group}) is not None:
            return f"{no_way} without {group}"
    if best_way(prepared, groups) is not None:
        return f"{no_way} without several of {', '.join(prepared.groups)}"
    shut = _in_the_way(prepared)
    for volume in shut[:_MOST_DOORS]:
        if _opens(problem, permissions, without=[volume]):
            return f"{no_way}: {volume.name} closes the last door"
    if _opens(problem, groups, without=shut):
        names = list(dict.fromkeys(one.name for one in shut))
        if len(names) == 1:
            return f"{no_way}: {names[0]} closes the last door"
        named = ", ".join(names[:_MOST_NAMED]) + " and others" * (len(names) > _MOST_NAMED)
        return f"{no_way}: several volumes together close the last door: {named}"
    rules, free = problem.rules, replace(problem, volumes=())
    for words, changed in (
        ("the levels for the course (14 CFR 91.159)", {"rules": replace(rules, hemispheric=False)}),
        (f"{rules.min_agl_ft:,.0f} ft above ground", {"rules": replace(rules, min_agl_ft=0.0)}),
        (
            f"the greatest height, {problem.motion.ceiling_ft:,.0f} ft,",
            {"motion": replace(problem.motion, ceiling_ft=_TOP_FT)},
        ),
        ("the wind", {"wind": replace(problem.wind, wind_kt=problem.wind.wind_kt * 0.0)}),
    ):
        if _opens(replace(free, **changed), permissions):
            return f"{no_way}: {words} closes the last door"
    return f"{no_way}: ground, levels and performance together close the last door"


def _opens(
    problem: WaysProblem, permissions: frozenset[str], *, without: Sequence[Volume] = ()
) -> bool:
    """Whether there is a way once some volumes are gone."""
    left = tuple(one for one in problem.volumes if not any(one is gone for gone in without))
    return best_way(prepare(replace(problem, volumes=left)), permissions) is not None


def _in_the_way(prepared: Prepared) -> list[Volume]:
    """Volumes that no permission opens, those near the line between the fields first."""
    shut = [n for n, index in enumerate(prepared.group_index) if index < 0]
    middle = prepared.ends_nm.mean(axis=0)
    centers = (prepared.sky.box_nm[:, :2] + prepared.sky.box_nm[:, 2:]) / 2.0
    shut.sort(key=lambda n: float(np.hypot(*(centers[n] - middle))))
    return [prepared.volumes[n] for n in shut]

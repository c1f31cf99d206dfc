"""The ways that the search finds for a plan, made flyable as the pilot's own routes are.

A found track becomes points at its corners, moved onto named visual points where that costs
next to nothing, and one cruising height. So it is evaluated by the same profile as the pilot's
own routes: level at pattern height before the pattern, and times that compare. Where that
profile breaks a rule that the found heights keep, the found heights stay.
"""

from contextlib import suppress
from dataclasses import replace
from typing import Final

import numpy as np

from lubberline.errors import NoSolution, RangeError
from lubberline.flight import Plan, RoutePoint
from lubberline.places import VisualPoint
from lubberline.units import MIN_PER_H
from lubberline.ways.evaluate import Rows, evaluate, way_of_rows
from lubberline.ways.from_plan import longest_nm, problem_from_plan, tabulated_ft
from lubberline.ways.hours import at_its_hours, at_passage, before_better, same_sky
from lubberline.ways.model import Way
from lubberline.ways.motion import fly
from lubberline.ways.problem import WaysProblem
from lubberline.ways.wishes import TOP_FT, wishes

GUESS_ABOVE_FT: Final = 3_000.0  # own: where no own route gives a cruising height
SNAP_NM: Final = 2.0  # own: a corner may be moved so far onto a named point
SNAP_FACTOR: Final = 1.01  # own: if the time grows no more than this
SETTLED_FACTOR: Final = 1.05  # own: the usual profile may take so much longer than the found one


def search_problem(plan: Plan) -> WaysProblem:
    """The problem that is searched: with what the pilot wants to avoid, and how high to go."""
    guess_ft = _guess_ft(plan)
    problem = problem_from_plan(plan, guess_ft)
    asked = plan.flight.search
    if asked is None:
        return problem
    top_ft = min(tabulated_ft(plan, guess_ft), asked.not_above_msl_ft or TOP_FT)
    return replace(
        problem,
        volumes=(*problem.volumes, *wishes(plan, problem)),
        motion=replace(problem.motion, ceiling_ft=top_ft),
        via=tuple(
            VisualPoint(name=one.name, lat_deg=one.lat_deg, lon_deg=one.lon_deg)
            for one in asked.via
        ),
    )


def sought_ways(plan: Plan, problem: WaysProblem) -> tuple[Way, ...]:
    """The ways that a search finds, settled, each checked at the hours at which it passes.

    Where volumes keep hours a way is first sought with all that are in force at any time of the
    flight, and again without those that are not while a quicker one could pass.

    Raises
    ------
    NoSolution
        If nothing leads there with any permission.
    """
    from lubberline.ways.search import different_ways, find_ways

    ways: tuple[Way, ...] = ()
    closed: NoSolution | None = None
    try:
        ways = find_ways(problem)
    except NoSolution as exc:
        closed = exc
    again: list[Way] = []
    for sky in _later_skies(plan, problem, ways):
        with suppress(NoSolution):
            again += (at_its_hours(plan, way, problem) for way in find_ways(sky))
    quicker = [way for way in again if not way.violations]
    if quicker:
        left = (way for way in ways if not any(_replaces(one, way) for one in quicker))
        ways = different_ways([*left, *quicker])
    if not ways and closed is not None:
        raise closed
    return tuple(sorted((_shown(plan, problem, way) for way in ways), key=lambda w: w.time_min))


def _later_skies(plan: Plan, problem: WaysProblem, ways: tuple[Way, ...]) -> list[WaysProblem]:
    """What else a quicker way for the permissions of each would meet, each sky once."""
    least_min = {way.permissions: way.time_min for way in reversed(ways)}
    # Where nothing leads without permission, what it would take at best.
    straight_min = longest_nm(plan) / problem.motion.cruise_tas_kt * MIN_PER_H
    least_min.setdefault(frozenset(), straight_min)
    skies = [problem]
    for most_min in sorted(set(least_min.values())):
        sky = before_better(plan, problem, most_min)
        if not any(same_sky(sky, one) for one in skies):
            skies.append(sky)
    return skies[1:]


def _replaces(quicker: Way, way: Way) -> bool:
    return quicker.permissions <= way.permissions and quicker.time_min < way.time_min


def _shown(plan: Plan, problem: WaysProblem, way: Way) -> Way:
    """A way settled among what is in force when it passes; as found if that breaks a rule."""
    best = at_its_hours(plan, settled(plan, at_passage(plan, problem, way.path), way))
    return at_its_hours(plan, way, problem) if best.violations else best


def settled(plan: Plan, problem: WaysProblem, way: Way) -> Way:
    """A found way with the profile of the pilot's own routes if that keeps every rule."""
    cruise_ft = _cruise_ft(way)
    corners = _corners(problem, way)
    try:
        usual = problem_from_plan(plan, cruise_ft)
        standing = replace(problem, motion=usual.motion, slow=usual.slow)
        best = evaluate(
            standing, way.name, via=corners, cruise_msl_ft=cruise_ft, permissions=way.permissions
        )
    except (NoSolution, RangeError):
        return way
    if best.violations or best.time_min > way.time_min * SETTLED_FACTOR:
        return refly(standing, way)
    for place, corner in enumerate(corners):
        for point in _near(problem, corner):
            moved = [*corners[:place], point, *corners[place + 1 :]]
            tried = evaluate(
                standing, way.name, via=moved, cruise_msl_ft=cruise_ft, permissions=way.permissions
            )
            if not tried.violations and tried.time_min <= best.time_min * SNAP_FACTOR:
                corners, best = moved, tried
                break
    return best


def refly(problem: WaysProblem, way: Way) -> Way:
    """The same rows at the speeds of its own cruising height; as found if they break a rule."""
    east_nm, north_nm = problem.plane.to_plane_nm(way.path[:, 0], way.path[:, 1])
    flown = fly(
        problem.motion, problem.wind, east_nm=east_nm, north_nm=north_nm, msl_ft=way.path[:, 2]
    )
    if np.isnan(flown.time_min).any():
        return way
    again = way_of_rows(
        problem,
        way.name,
        Rows(east_nm, north_nm, way.path[:, 2], way.point_names),
        way.permissions,
        cruise_msl_ft=way.cruise_msl_ft,
        flown=flown,
    )
    return way if again.violations else again


def _guess_ft(plan: Plan) -> float:
    """The height whose speeds the search takes: the middle one of the pilot's own routes."""
    own_ft = sorted(one.cruise_msl_ft for one in plan.flight.candidates)
    if own_ft:
        return own_ft[len(own_ft) // 2]
    fields_ft = max(plan.departure.elev_msl_ft, plan.destination.elev_msl_ft)
    return float(min(fields_ft + GUESS_ABOVE_FT, plan.aircraft.ceiling_ft))


def _cruise_ft(way: Way) -> float:
    """The height at which most of the distance is flown."""
    steps_ft = np.round((way.path[:-1, 2] + way.path[1:, 2]) / 2.0)
    level = np.abs(np.diff(way.path[:, 2])) < 1.0
    lengths = np.array([leg.distance_nm for leg in way.legs])
    if not level.any() or lengths.size != level.size:
        return float(way.path[:, 2].max())
    heights_ft = np.unique(steps_ft[level])
    flown_nm = [lengths[level & (steps_ft == height)].sum() for height in heights_ft]
    return float(heights_ft[int(np.argmax(flown_nm))])


def _corners(problem: WaysProblem, way: Way) -> list[RoutePoint]:
    """Where the track turns, and the points that were asked for, in order."""
    asked = {one.name for one in problem.via}
    return [
        RoutePoint(name=name, lat_deg=float(row[0]), lon_deg=float(row[1]))
        for name, row in zip(way.point_names[1:-1], way.path[1:-1], strict=True)
        if name.startswith("turn") or name in asked or _is_point(problem, name)
    ]


def _is_point(problem: WaysProblem, name: str) -> bool:
    return any(point.name == name for point in problem.points)


def _near(problem: WaysProblem, corner: RoutePoint) -> list[RoutePoint]:
    """Named visual points near a corner, the nearest first; none for one that is a point."""
    if not corner.name.startswith("turn"):
        return []
    east_nm, north_nm = problem.plane.to_plane_nm(corner.lat_deg, corner.lon_deg)
    near: list[tuple[float, str, VisualPoint]] = []
    for point in problem.points:
        x_nm, y_nm = problem.plane.to_plane_nm(point.lat_deg, point.lon_deg)
        away_nm = float(np.hypot(x_nm - east_nm, y_nm - north_nm))
        if away_nm <= SNAP_NM:
            near.append((away_nm, point.name, point))
    return [
        RoutePoint(name=point.name, lat_deg=point.lat_deg, lon_deg=point.lon_deg)
        for _, _, point in sorted(near, key=lambda one: one[:2])
    ]

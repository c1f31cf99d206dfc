"""Volumes that keep hours, as one way meets them: in force if they are when it passes.

Before a way is known, a volume counts if it is active at any moment of the flight, reckoned slow
and late; once one is, if it is active while a quicker one could pass. Along a way it counts if it
is active from a little before the way first comes near it to a while after it last is: a flight
may be late, and hardly early.
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Final, TypeAlias

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.flight import Plan
from lubberline.places import Volume, distance_nm, in_force
from lubberline.units import MIN_PER_H
from lubberline.ways.airspace import need_of
from lubberline.ways.checker import check
from lubberline.ways.from_plan import flight_span, problem_from_plan
from lubberline.ways.meeting import NEAR_NM
from lubberline.ways.model import Encounter, Way
from lubberline.ways.problem import WaysProblem
from lubberline.ways.samples import Samples, densified, path_samples
from lubberline.ways.wishes import WISH, height_wishes

EARLY: Final = timedelta(minutes=5)  # own: a tailwind, a short taxi
LATE: Final = timedelta(minutes=30)  # own: a flight is late

_Span: TypeAlias = tuple[datetime, datetime]


def problem_of(plan: Plan, way: Way) -> WaysProblem:
    """The problem of a plan for one of its ways, with the volumes in force when it passes."""
    problem = problem_from_plan(plan, way.cruise_msl_ft)
    return replace(at_passage(plan, problem, way.path), wished=tuple(height_wishes(plan, problem)))


def at_its_hours(plan: Plan, way: Way, problem: WaysProblem | None = None) -> Way:
    """A way checked against the volumes in force when it passes, if those are fewer."""
    if not any(one.schedule is not None for one in plan.places.volumes):
        return way
    asked = problem or problem_from_plan(plan, way.cruise_msl_ft)
    report = check(at_passage(plan, asked, way.path), way.path, way.permissions)
    return replace(
        way,
        encounters=report.encounters,
        findings=report.findings,
        violations=report.violations,
    )


def at_passage(plan: Plan, problem: WaysProblem, path: FloatArray) -> WaysProblem:
    """A problem with the volumes in force when a path of shape (m, 4) passes; far ones at any time.

    A volume that keeps hours is passed from when the path comes as near to its outline as is told
    of neighbors until it is farther again.
    """
    sampled = densified(problem, path_samples(problem, path), apart_nm=1.0)
    return _held(plan, problem, lambda one: _passed(plan, problem, sampled, one))


def resting(plan: Plan, way: Way) -> tuple[Encounter, ...]:
    """What a way would enter or pass too near to, were it not outside its hours when it passes."""
    timed = [one for one in plan.places.volumes if one.schedule and need_of(one) != "nothing"]
    if not timed:
        return ()
    problem = problem_from_plan(plan, way.cruise_msl_ft)
    awake = _sky(at_passage(plan, problem, way.path))
    asleep = tuple(one for one in timed if (one.id, one.airspace_class) not in awake)
    met = check(replace(problem, volumes=asleep), way.path, frozenset()).encounters
    return tuple(one for one in met if one.within_margins)


def before_better(plan: Plan, problem: WaysProblem, most_min: float) -> WaysProblem:
    """A problem with the volumes in force while a way of fewer minutes could pass them."""
    return _held(plan, problem, lambda one: _passable(plan, problem, one, most_min))


def same_sky(problem: WaysProblem, other: WaysProblem) -> bool:
    """Whether two problems of one plan have the same volumes, as the same classes."""
    return _sky(problem) == _sky(other)


def _sky(problem: WaysProblem) -> list[tuple[str, str]]:
    return [(one.id, one.airspace_class) for one in problem.volumes]


def _held(
    plan: Plan, problem: WaysProblem, span_of: Callable[[Volume], _Span | None]
) -> WaysProblem:
    """A problem with each volume that keeps hours as it is in its span, others as in the flight."""
    always = flight_span(plan, problem.motion)
    held: list[Volume] = []
    for one in plan.places.volumes:
        span = None if one.schedule is None else span_of(one)
        held += in_force((one,), *(span or always))
    held += (one for one in problem.volumes if one.kind == WISH)
    return replace(problem, volumes=tuple(held))


def _passed(plan: Plan, problem: WaysProblem, sampled: Samples, volume: Volume) -> _Span | None:
    """From when to when a path is near a volume, early and late; None if it never is."""
    away_nm = distance_nm(volume.footprint, problem.plane, sampled.east_nm, sampled.north_nm)
    near = np.flatnonzero(away_nm <= _near_nm(problem, volume) + 1.0)  # samples are a mile apart
    if not near.size:
        return None
    return _span(plan, *sampled.after_min[near[[0, -1]]].tolist())


def _passable(plan: Plan, problem: WaysProblem, volume: Volume, most_min: float) -> _Span | None:
    """From when to when a way may be near a volume and yet take less; None if it cannot."""
    motion = problem.motion
    fastest_kt = max(motion.climb_tas_kt, motion.cruise_tas_kt, motion.descent_tas_kt)
    fastest_kt += float(np.max(problem.wind.wind_kt, initial=0.0))
    ends = [(one.lat_deg, one.lon_deg) for one in (problem.departure, problem.destination)]
    ends_nm = problem.plane.to_plane_nm(*np.transpose(ends))
    away_nm = distance_nm(volume.footprint, problem.plane, *ends_nm) - _near_nm(problem, volume)
    before_min, after_min = (np.maximum(away_nm, 0.0) / fastest_kt * MIN_PER_H).tolist()
    if before_min + after_min >= most_min:
        return None
    return _span(plan, before_min, most_min - after_min)


def _near_nm(problem: WaysProblem, volume: Volume) -> float:
    """As near as is told of neighbors."""
    own_nm = volume.lateral_margin_nm
    return (problem.margins.lateral_nm if own_nm is None else own_nm) + NEAR_NM


def _span(plan: Plan, first_min: float, last_min: float) -> _Span:
    """Minutes after take-off as times, early and late."""
    takeoff_utc = plan.flight.off_block_utc + timedelta(minutes=plan.flight.taxi_out_min)
    first, last = (takeoff_utc + timedelta(minutes=one) for one in (first_min, last_min))
    return first - EARLY, last + LATE

"""Volumes that keep hours, as one way meets them: in force if they are when it passes.

Before a way is known, a volume counts if it is active at any moment of the flight, reckoned slow
and late. Along a way it counts if it is active from a little before the way first comes near it
to a while after it last is: a flight may be late, and hardly early.
"""

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.flight import Plan
from lubberline.places import Volume, distance_nm, in_force
from lubberline.ways.checker import check
from lubberline.ways.from_plan import flight_span, problem_from_plan
from lubberline.ways.meeting import NEAR_NM
from lubberline.ways.model import Way
from lubberline.ways.problem import WaysProblem
from lubberline.ways.samples import Samples, densified, path_samples

EARLY: Final = timedelta(minutes=5)  # own: a tailwind, a short taxi
LATE: Final = timedelta(minutes=30)  # own: a flight is late


def problem_of(plan: Plan, way: Way) -> WaysProblem:
    """The problem of a plan for one of its ways, with the volumes in force when it passes."""
    problem = problem_from_plan(plan, way.cruise_msl_ft)
    return replace(problem, volumes=volumes_at_passage(plan, problem, way.path))


def at_its_hours(plan: Plan, way: Way) -> Way:
    """A way checked against the volumes in force when it passes, if those are fewer."""
    if not any(one.schedule is not None for one in plan.places.volumes):
        return way
    report = check(problem_of(plan, way), way.path, way.permissions)
    return replace(
        way,
        encounters=report.encounters,
        findings=report.findings,
        violations=report.violations,
    )


def volumes_at_passage(plan: Plan, problem: WaysProblem, path: FloatArray) -> tuple[Volume, ...]:
    """The plan's volumes in force when a path of shape (m, 4) passes; far ones at any time.

    A volume that keeps hours is passed from when the path comes as near to its outline as is told
    of neighbors until it is farther again.
    """
    takeoff_utc = plan.flight.off_block_utc + timedelta(minutes=plan.flight.taxi_out_min)
    sampled = densified(problem, path_samples(problem, path), apart_nm=1.0)
    found: list[Volume] = []
    for one in plan.places.volumes:
        span = _passed(problem, sampled, one, takeoff_utc) or flight_span(plan, problem.motion)
        found += in_force((one,), *span)
    return tuple(found)


def _passed(
    problem: WaysProblem, sampled: Samples, volume: Volume, takeoff_utc: datetime
) -> tuple[datetime, datetime] | None:
    """From when to when a path is near a volume, early and late; None where hours do not matter."""
    if volume.schedule is None:
        return None
    away_nm = distance_nm(volume.footprint, problem.plane, sampled.east_nm, sampled.north_nm)
    margin_nm = problem.margins.lateral_nm
    if volume.lateral_margin_nm is not None:
        margin_nm = volume.lateral_margin_nm
    near = np.flatnonzero(away_nm <= margin_nm + NEAR_NM + 1.0)  # samples are a mile apart
    if not near.size:
        return None
    first, last = (
        takeoff_utc + timedelta(minutes=float(sampled.after_min[row])) for row in near[[0, -1]]
    )
    return first - EARLY, last + LATE

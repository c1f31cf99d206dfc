"""A volume that keeps hours is in force for a way if it is active when the way passes."""

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from lubberline.flight import Plan
from lubberline.loop import Prepared, account_words, way_account
from lubberline.places import Circle, Height, Schedule, Volume, WeeklySpan
from lubberline.ways import Way, problem_of, resting
from lubberline.ways.from_plan import flight_span, problem_from_plan
from lubberline.ways.hours import EARLY, LATE, at_its_hours, at_passage


@pytest.fixture
def way(prepared: Prepared) -> Way:
    return next(one for one in prepared.ways if one.name == "south round by the gap")


def shut_from_to(plan: Plan, way: Way, from_min: float, until_min: float) -> Plan:
    """A restricted area over the middle of the way, active so long after take-off."""
    middle = way.path[int(np.argmin(np.abs(way.path[:, 3] - way.time_min / 2.0)))]
    takeoff_utc = plan.flight.off_block_utc + timedelta(minutes=plan.flight.taxi_out_min)
    midnight_utc = takeoff_utc.replace(hour=0, minute=0)
    start_min, stop_min = (
        round((takeoff_utc - midnight_utc) / timedelta(minutes=1) + one)
        for one in (from_min, until_min)
    )
    span = WeeklySpan(weekdays=tuple(range(7)), from_min=start_min, until_min=stop_min, zone="UTC")
    area = Volume(
        id="QR-1",
        name="Range",
        airspace_class="R",
        group="",
        facility="",
        floor=Height(reference="SFC", ft=0.0),
        ceiling=Height(reference="MSL", ft=9_000.0),
        footprint=Circle(lat_deg=float(middle[0]), lon_deg=float(middle[1]), radius_nm=1.0),
        schedule=Schedule(text="made up", spans=(span,)),
    )
    return replace(plan, places=replace(plan.places, volumes=(*plan.places.volumes, area)))


def meets(plan: Plan, way: Way) -> bool:
    return any(one.volume.id == "QR-1" for one in at_its_hours(plan, way).encounters)


def passage_min(plan: Plan, way: Way) -> tuple[float, float]:
    """First and last minute within a mile of the middle plus what is told of neighbors."""
    report = at_its_hours(shut_from_to(plan, way, -60.0, 600.0), way)
    one = next(e for e in report.encounters if e.volume.id == "QR-1")
    assert one.entry_min is not None
    assert one.exit_min is not None
    return one.entry_min, one.exit_min


def test_what_opens_long_after_the_passage_is_not_met(prepared: Prepared, way: Way) -> None:
    _, exit_min = passage_min(prepared.plan, way)
    late_min = LATE / timedelta(minutes=1)
    assert not meets(shut_from_to(prepared.plan, way, exit_min + late_min + 5.0, 600.0), way)
    assert meets(shut_from_to(prepared.plan, way, exit_min + late_min - 5.0, 600.0), way)


def test_what_closes_well_before_the_passage_is_not_met(prepared: Prepared, way: Way) -> None:
    entry_min, _ = passage_min(prepared.plan, way)
    early_min = EARLY / timedelta(minutes=1)
    far_min = 4.0  # some miles before it the area is a neighbor already
    gone = shut_from_to(prepared.plan, way, -60.0, entry_min - early_min - far_min)
    assert not meets(gone, way)
    assert meets(shut_from_to(prepared.plan, way, -60.0, entry_min - 1.0), way)


def test_what_is_asleep_at_the_passage_is_told_and_no_more_once_it_is_awake(
    prepared: Prepared, way: Way
) -> None:
    entry_min, exit_min = passage_min(prepared.plan, way)
    asleep = shut_from_to(prepared.plan, way, exit_min + 60.0, 600.0)
    (one,) = resting(asleep, way)
    assert (one.volume.id, one.entered) == ("QR-1", True)
    assert not resting(shut_from_to(prepared.plan, way, entry_min, exit_min), way)
    assert not resting(prepared.plan, way)
    (said,) = (
        words
        for words in dict(account_words(way_account(replace(prepared, plan=asleep), way)))[
            "Who lets you in"
        ]
        if words.startswith("Range (R)")
    )
    assert said == "Range (R): entered outside its hours, made up; early or late it may be active"


def test_an_area_with_a_gap_at_the_passage_is_open(prepared: Prepared, way: Way) -> None:
    entry_min, exit_min = passage_min(prepared.plan, way)
    gone = shut_from_to(prepared.plan, way, -60.0, entry_min - 10.0)
    area = gone.places.volumes[-1]
    later = shut_from_to(prepared.plan, way, exit_min + 40.0, 600.0).places.volumes[-1]
    assert area.schedule is not None
    assert later.schedule is not None
    assert area.schedule.spans is not None
    assert later.schedule.spans is not None
    both = Schedule(text="twice", spans=(*area.schedule.spans, *later.schedule.spans))
    places = replace(
        gone.places, volumes=(*prepared.plan.places.volumes, replace(area, schedule=both))
    )
    assert not meets(replace(gone, places=places), way)


def test_hours_that_nobody_understood_are_always(prepared: Prepared, way: Way) -> None:
    plan = shut_from_to(prepared.plan, way, 500.0, 600.0)
    area = replace(plan.places.volumes[-1], schedule=Schedule(text="by notice", spans=None))
    places = replace(plan.places, volumes=(*plan.places.volumes[:-1], area))
    assert meets(replace(plan, places=places), way)


def test_volumes_without_hours_are_those_of_the_flight(prepared: Prepared, way: Way) -> None:
    problem = problem_from_plan(prepared.plan, way.cruise_msl_ft)
    assert at_passage(prepared.plan, problem, way.path).volumes == problem.volumes
    assert problem_of(prepared.plan, way).volumes == problem.volumes


def test_a_round_trip_lasts_as_long_as_its_points_ask(prepared: Prepared) -> None:
    flight = replace(prepared.plan.flight, destination_id=prepared.plan.flight.departure_id)
    plan = replace(prepared.plan, flight=flight)
    motion = problem_from_plan(prepared.plan, 3_500.0).motion
    off_utc, end_utc = flight_span(plan, motion)
    longest_nm = 60.0  # to the gap by Marl and back, at least
    assert end_utc - off_utc > timedelta(hours=longest_nm / motion.cruise_tas_kt) + LATE

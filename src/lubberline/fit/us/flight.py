"""What the United States rules ask of pilot and airplane for one flight."""

from collections.abc import Iterator
from datetime import date, timedelta

from lubberline.aircraft import Use
from lubberline.fit.daylight import local_day
from lubberline.fit.fitness import fitness_findings
from lubberline.fit.operation import operation_of
from lubberline.fit.setting import times_utc
from lubberline.fit.upkeep import Occasion
from lubberline.fit.us.aloft import lights_finding, oxygen_findings
from lubberline.fit.us.certificates import certificate_findings
from lubberline.fit.us.equipment import Scene, equipment_findings
from lubberline.fit.us.instructor import instructor_findings, instructor_recency
from lubberline.fit.us.medical import MedicalScene, medical_dates, medical_findings
from lubberline.fit.us.night import is_night
from lubberline.fit.us.pilot import flight_review
from lubberline.fit.us.recency import (
    Carriage,
    in_recency_night,
    recency_dates,
    recency_findings,
)
from lubberline.fit.us.sky import sky_findings
from lubberline.fit.us.upkeep import upkeep_findings
from lubberline.fit.us.water import water_findings
from lubberline.flight import Plan
from lubberline.line import Finding
from lubberline.pilot import Lesson, Pilot
from lubberline.places import surface_class
from lubberline.ways import Way


def pilot_findings(plan: Plan, way: Way) -> Iterator[Finding]:
    """Fitness, medical, review, ratings, recency, instructing and oxygen, in a fixed order."""
    aircraft, pilot, day = plan.aircraft, plan.pilot, _day(plan)
    yield from fitness_findings(plan, way)
    yield from medical_findings(aircraft, pilot, _medical_scene(plan, way, day))
    yield flight_review(pilot, day)
    yield from certificate_findings(aircraft, pilot)
    yield from recency_findings(aircraft, pilot, _carriage(plan, way, day))
    if plan.flight.hire == "instruction":
        yield from instructor_findings(pilot, day, _lesson(plan, way))
    yield from oxygen_findings(plan, way)


def airplane_findings(plan: Plan, way: Way) -> Iterator[Finding]:
    """What comes due on the airplane, and what must work, in a fixed order."""
    aircraft, day = plan.aircraft, _day(plan)
    operation = operation_of(plan.flight)
    yield from upkeep_findings(aircraft, operation, _occasion(plan, way, day))
    yield from equipment_findings(aircraft, _scene(plan, way, day))
    yield lights_finding(plan, way)
    yield from sky_findings(plan, way)
    yield from water_findings(plan, way)


def pilot_dates(pilot: Pilot, today: date) -> Iterator[Finding]:
    """Everything of a pilot that comes due by the calendar."""
    yield from medical_dates(pilot, today)
    yield flight_review(pilot, today)
    if pilot.instructor:
        yield instructor_recency(pilot, today)
    yield from recency_dates(pilot, today)


def _day(plan: Plan) -> date:
    return local_day(plan.departure.lon_deg, plan.flight.off_block_utc)


def _occasion(plan: Plan, way: Way, day: date) -> Occasion:
    """What the flight adds to the clocks: the tach may run as long as the engine does."""
    takeoff_utc, landing_utc, on_block_utc = times_utc(plan, way)
    block_h = (on_block_utc - plan.flight.off_block_utc) / timedelta(hours=1)
    in_service_h = (landing_utc - takeoff_utc) / timedelta(hours=1)
    own = plan.pilot.own
    return Occasion(
        day=day,
        clocks=plan.aircraft.clocks,
        use=Use(tach_h=block_h, hobbs_h=block_h, in_service_h=in_service_h, cycles=1),
        buffer_days=own.due_buffer_days,
        buffer_h=own.due_buffer_h,
    )


def _lesson(plan: Plan, way: Way) -> Lesson:
    """The flight as a lesson."""
    takeoff_utc, landing_utc, _ = times_utc(plan, way)
    return Lesson(from_utc=takeoff_utc, flight_h=(landing_utc - takeoff_utc) / timedelta(hours=1))


def _medical_scene(plan: Plan, way: Way, day: date) -> MedicalScene:
    """What of the flight decides which medical serves."""
    top_msl_ft = float(way.path[:, 2].max())
    return MedicalScene(day=day, hire=plan.flight.hire, top_msl_ft=top_msl_ft)


def _carriage(plan: Plan, way: Way, day: date) -> Carriage:
    """Who is carried, and whether any of it is in the night of recency at either end."""
    takeoff_utc, landing_utc, _ = times_utc(plan, way)
    ends = (plan.departure, plan.destination)
    return Carriage(
        day=day,
        carries_persons=plan.flight.carries_persons,
        in_night=any(in_recency_night(end, takeoff_utc, landing_utc) for end in ends),
    )


def _scene(plan: Plan, way: Way, day: date) -> Scene:
    """Light, use and airspace that the flight meets; dark at either end is a night flight."""
    takeoff_utc, landing_utc, _ = times_utc(plan, way)
    ends = ((plan.departure, takeoff_utc), (plan.destination, landing_utc))
    surfaces = {surface_class(plan.places, aerodrome) for aerodrome, _ in ends}
    return Scene(
        day=day,
        night=any(is_night(aerodrome, when_utc) for aerodrome, when_utc in ends),
        operation=operation_of(plan.flight),
        classes=frozenset(surfaces | {volume.airspace_class for volume in way.entered}),
        top_msl_ft=float(way.path[:, 2].max()),
    )

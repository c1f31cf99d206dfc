"""Everything that can be decided about one flight today, as findings.

``check_fit`` asks every rule and returns its findings in a fixed order. What is not asked at all
is listed in ``NOT_CHECKED``, so that silence never reads as consent.
"""

from datetime import date, timedelta
from typing import Final

from lubberline.aircraft import Use
from lubberline.fit import us
from lubberline.fit.data_age import data_findings
from lubberline.fit.daylight import local_day
from lubberline.fit.flying import flight_findings
from lubberline.fit.fuel import trip_gal
from lubberline.fit.loading import loading_findings
from lubberline.fit.operation import operation_of
from lubberline.fit.setting import times_utc
from lubberline.fit.upkeep import Occasion
from lubberline.flight import Plan
from lubberline.line import Finding
from lubberline.pilot import Lesson
from lubberline.places import surface_class
from lubberline.ways import Way

NOT_CHECKED: Final = (
    "type ratings; notices, temporary restrictions and hours of operation;"
    " weather and visibility between the ends; slope and wet runways; obstacles; oxygen;"
    " illness and fatigue"
)


def check_fit(plan: Plan, way: Way) -> tuple[Finding, ...]:
    """Findings on pilot, airplane and flight for one way, in a fixed order."""
    flight, aircraft, pilot = plan.flight, plan.aircraft, plan.pilot
    day = local_day(plan.departure.lon_deg, flight.off_block_utc)
    loading = loading_findings(aircraft, flight, trip_gal=trip_gal(plan, way))
    weights = {one.limit.key: one.value or 0.0 for one in loading}
    findings: list[Finding] = [
        *us.medical_findings(aircraft, pilot, _medical_scene(plan, way, day)),
        us.flight_review(pilot, day),
        *us.certificate_findings(aircraft, pilot),
        *us.recency_findings(aircraft, pilot, _carriage(plan, way, day)),
        *_instruction(plan, way, day),
        *us.upkeep_findings(aircraft, operation_of(flight), _occasion(plan, way, day)),
        *us.equipment_findings(aircraft, _scene(plan, way, day)),
        *loading,
    ]
    findings += flight_findings(
        plan,
        way,
        takeoff_lb=weights["airplane.weight_takeoff"],
        landing_lb=weights["airplane.weight_landing"],
    )
    findings += data_findings(plan, way)
    return tuple(findings)


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


def _instruction(plan: Plan, way: Way, day: date) -> tuple[Finding, ...]:
    """What instructing asks, where the flight is for that."""
    if plan.flight.hire != "instruction":
        return ()
    takeoff_utc, landing_utc, _ = times_utc(plan, way)
    hours_h = (landing_utc - takeoff_utc) / timedelta(hours=1)
    lesson = Lesson(from_utc=takeoff_utc, flight_h=hours_h)
    return tuple(us.instructor_findings(plan.pilot, day, lesson))


def _medical_scene(plan: Plan, way: Way, day: date) -> us.MedicalScene:
    """What of the flight decides which medical serves."""
    top_msl_ft = float(way.path[:, 2].max())
    return us.MedicalScene(day=day, hire=plan.flight.hire, top_msl_ft=top_msl_ft)


def _carriage(plan: Plan, way: Way, day: date) -> us.Carriage:
    """Who is carried, and whether any of it is in the night of recency at either end."""
    takeoff_utc, landing_utc, _ = times_utc(plan, way)
    ends = (plan.departure, plan.destination)
    return us.Carriage(
        day=day,
        carries_persons=plan.flight.carries_persons,
        in_night=any(us.in_recency_night(end, takeoff_utc, landing_utc) for end in ends),
    )


def _scene(plan: Plan, way: Way, day: date) -> us.Scene:
    """Light, use and airspace that the flight meets; dark at either end is a night flight."""
    takeoff_utc, landing_utc, _ = times_utc(plan, way)
    ends = ((plan.departure, takeoff_utc), (plan.destination, landing_utc))
    surfaces = {surface_class(plan.places, aerodrome) for aerodrome, _ in ends}
    return us.Scene(
        day=day,
        night=any(us.is_night(aerodrome, when_utc) for aerodrome, when_utc in ends),
        operation=operation_of(plan.flight),
        classes=frozenset(surfaces | {volume.airspace_class for volume in way.entered}),
        top_msl_ft=float(way.path[:, 2].max()),
    )

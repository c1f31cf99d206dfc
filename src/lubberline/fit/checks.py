"""Everything that can be decided about one flight today, as findings.

``settings`` resolves what the air does at either end at the time of use; ``check_fit`` asks
every rule and returns its findings in a fixed order. What is not asked at all is listed in
``NOT_CHECKED``, so that silence never reads as consent.
"""

from datetime import date, datetime, timedelta
from typing import Final

from lubberline.aircraft import Use
from lubberline.fit import us
from lubberline.fit.appointment import appointment_finding, draw
from lubberline.fit.daylight import daylight_finding, local_day
from lubberline.fit.fuel import fuel_findings, trip_gal
from lubberline.fit.loading import loading_findings
from lubberline.fit.operation import operation_of
from lubberline.fit.own import own_weather_findings
from lubberline.fit.runway import (
    Setting,
    choose_runway,
    density_finding,
    distance_findings,
    wind_findings,
)
from lubberline.fit.upkeep import Occasion
from lubberline.flight import Plan
from lubberline.line import Finding
from lubberline.pilot import Lesson
from lubberline.places import Aerodrome, surface_class
from lubberline.ways import Way
from lubberline.weather import Conditions, altimeter_at, conditions_at, temperature_at, worst_at

NOT_CHECKED: Final = (
    "type ratings; notices, temporary restrictions and hours of operation;"
    " weather between the stations; obstacles; oxygen; illness and fatigue"
)


def times_utc(plan: Plan, way: Way) -> tuple[datetime, datetime, datetime]:
    """Take-off, landing and on-block times of a way."""
    takeoff = plan.flight.off_block_utc + timedelta(minutes=plan.flight.taxi_out_min)
    landing = takeoff + timedelta(minutes=way.time_min + plan.flight.pattern_min)
    return takeoff, landing, landing + timedelta(minutes=plan.flight.taxi_in_min)


def settings(plan: Plan, way: Way) -> tuple[Setting, Setting]:
    """Departure and destination at the times of take-off and landing."""
    takeoff_utc, landing_utc, _ = times_utc(plan, way)
    flight = plan.flight
    return (
        _setting(plan, "departure", plan.departure, takeoff_utc, flight.departure_runway),
        _setting(plan, "destination", plan.destination, landing_utc, flight.destination_runway),
    )


def check_fit(plan: Plan, way: Way) -> tuple[Finding, ...]:
    """Findings on pilot, airplane and flight for one way, in a fixed order."""
    flight, aircraft, pilot = plan.flight, plan.aircraft, plan.pilot
    _, landing_utc, _ = times_utc(plan, way)
    ends = settings(plan, way)
    day = local_day(plan.departure.lon_deg, flight.off_block_utc)
    night = us.is_night(plan.destination, landing_utc)
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
    for end, weight in zip(ends, ("takeoff", "landing"), strict=True):
        weight_lb = weights[f"airplane.weight_{weight}"]
        findings += distance_findings(end, aircraft, pilot, weight_lb=weight_lb)
        findings += wind_findings(end, aircraft, pilot.own)
        findings.append(density_finding(end, pilot.own))
    findings += _weather(plan, way, night=night)
    draws = draw(plan, way)
    findings += fuel_findings(
        plan,
        way,
        legal=us.fuel_reserve_min(night=night),
        weight_lb=weights["airplane.weight_takeoff"],
        used_sigma_gal=draws.used_sigma_gal,
    )
    findings.append(daylight_finding(plan.destination, landing_utc))
    if flight.arrive_by_utc is not None:
        findings.append(appointment_finding(plan, draws, flight.arrive_by_utc))
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


def _setting(
    plan: Plan, place: str, aerodrome: Aerodrome, when_utc: datetime, asked: str | None
) -> Setting:
    conditions = conditions_at(plan.weather, aerodrome.id, when_utc)
    wind = conditions.wind if conditions is not None else None
    runway, end = choose_runway(aerodrome, wind, asked)
    return Setting(
        place=place,
        aerodrome=aerodrome,
        runway=runway,
        end=end,
        wind=wind,
        altimeter_inhg=altimeter_at(plan.weather, aerodrome.id),
        temperature_degc=temperature_at(plan.weather, aerodrome.id),
    )


def _weather(plan: Plan, way: Way, *, night: bool) -> list[Finding]:
    takeoff_utc, landing_utc, _ = times_utc(plan, way)
    findings: list[Finding] = []
    ceilings_msl_ft: dict[str, float | None] = {}
    for place, aerodrome, when_utc in (
        ("departure", plan.departure, takeoff_utc),
        ("destination", plan.destination, landing_utc),
    ):
        conditions = worst_at(plan.weather, aerodrome.id, when_utc)
        dark = night if place == "destination" else us.is_night(aerodrome, when_utc)
        findings += us.weather_findings(
            place,
            aerodrome.id,
            surface_class(plan.places, aerodrome),
            conditions,
            night=dark,
        )
        findings += own_weather_findings(
            place, aerodrome.id, plan.pilot.own, conditions, night=dark
        )
        ceilings_msl_ft[aerodrome.id] = _ceiling_msl_ft(aerodrome, conditions)
    return [*findings, us.cloud_finding(way.cruise_msl_ft, ceilings_msl_ft)]


def _ceiling_msl_ft(aerodrome: Aerodrome, conditions: Conditions | None) -> float | None:
    if conditions is None or conditions.ceiling_agl_ft is None:
        return None
    return aerodrome.elev_msl_ft + min(conditions.ceiling_agl_ft, us.NO_CEILING_AGL_FT)

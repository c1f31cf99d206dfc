"""Small changes of the demo's plan, and the finding that they are made for."""

from dataclasses import replace
from typing import Any

from lubberline.fit import check_fit
from lubberline.flight import Plan
from lubberline.line import Finding
from lubberline.loop import Prepared
from lubberline.places import Aerodrome
from lubberline.weather import Weather, read_weather_text


def found(plan: Plan, one: Prepared, key: str) -> Finding:
    """The finding with that key for the way of the demo."""
    (finding,) = (each for each in check_fit(plan, one.way) if each.limit.key == key)
    return finding


def keys(plan: Plan, one: Prepared) -> set[str]:
    """Keys of everything that is found."""
    return {each.limit.key for each in check_fit(plan, one.way)}


def with_flight(plan: Plan, **changes: Any) -> Plan:
    """The plan with parts of its flight replaced."""
    return replace(plan, flight=replace(plan.flight, **changes))


def with_own(plan: Plan, **changes: Any) -> Plan:
    """The plan of a pilot with other minimums."""
    return replace(plan, pilot=replace(plan.pilot, own=replace(plan.pilot.own, **changes)))


def with_aircraft(plan: Plan, **changes: Any) -> Plan:
    """The plan with parts of its airplane replaced."""
    return replace(plan, aircraft=replace(plan.aircraft, **changes))


def with_weather(plan: Plan, text: str) -> Plan:
    """The plan under other reports and forecasts, with its own winds aloft."""
    reports, forecasts = read_weather_text(text, near_utc=plan.flight.off_block_utc)
    aloft = plan.weather.aloft
    return replace(plan, weather=Weather(reports=reports, forecasts=forecasts, aloft=aloft))


def with_aerodrome(plan: Plan, aerodrome_id: str, **changes: Any) -> Plan:
    """The plan with parts of one aerodrome replaced."""
    aerodromes = dict(plan.places.aerodromes)
    aerodromes[aerodrome_id] = replace(aerodromes[aerodrome_id], **changes)
    return replace(plan, places=replace(plan.places, aerodromes=aerodromes))


def with_runway(plan: Plan, aerodrome_id: str, *, ends: Any = None, **changes: Any) -> Plan:
    """The plan with its aerodrome's first runway replaced; ``ends`` are changes of both ends."""
    aerodrome: Aerodrome = plan.places.aerodromes[aerodrome_id]
    runway = replace(aerodrome.runways[0], **changes)
    if ends is not None:
        first, second = runway.ends
        runway = replace(runway, ends=(replace(first, **ends), replace(second, **ends)))
    return with_aerodrome(plan, aerodrome_id, runways=(runway,))

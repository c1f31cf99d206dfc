"""A judged flight as the store keeps it: with its conditions, samples and files as they were."""

from collections.abc import Iterator
from dataclasses import fields
from datetime import UTC, datetime
from io import BytesIO
from math import isfinite
from pathlib import Path

import numpy as np

from lubberline.air import wind_components_kt
from lubberline.aircraft import burned, loaded
from lubberline.errors import RangeError
from lubberline.fit import rules_of
from lubberline.flight import Plan, Pledge
from lubberline.flown import Flown, Movement, at_utc
from lubberline.loop.debriefing_numbers import observed_numbers
from lubberline.loop.debriefing_word import OwnWord
from lubberline.places import Runway, RunwayEnd
from lubberline.store import FlightConditions, KeptFile, NewFlight, Observed, StoredMovement
from lubberline.weather import Conditions, Wind, conditions_at


def new_flight(
    plan: Plan,
    recording_path: Path,
    flown: Flown,
    pledge: Pledge | None,
    *,
    word: OwnWord,
    role: str | None,
) -> NewFlight:
    """Everything that is kept of one judged flight.

    A recording without positions tells nothing of taxiing, places and the ground covered: no
    movement and no number is kept of it, its findings are.
    """
    placed = bool(np.isfinite(flown.recording.track.lat_deg).any())
    return NewFlight(
        flown_utc=datetime.fromtimestamp(float(flown.recording.track.time_s[0]), UTC),
        title=plan.flight.title,
        departure_id=plan.flight.departure_id,
        destination_id=plan.flight.destination_id,
        aircraft=plan.aircraft.call_sign,
        pilot=plan.pilot.name,
        movement_count=len(flown.movements) if placed else 0,
        recording_name=recording_path.name,
        recording=recording_path.read_bytes(),
        findings=flown.findings,
        pledge=pledge.canonical() if pledge is not None else None,
        type_name=plan.aircraft.type_name,
        category_class=plan.aircraft.category_class,
        tailwheel=plan.aircraft.tailwheel,
        role=role,
        movements=tuple(stored_movement(one) for one in flown.movements) if placed else (),
        conditions=flown_conditions(plan, flown),
        marks=word.marks,
        observed=(
            *(observed_numbers(plan, flown, pledge) if placed else ()),
            *_fuel_used(plan, pledge, word),
        ),
        files=(*_files(plan), samples(flown)),
    )


def flown_conditions(plan: Plan, flown: Flown) -> FlightConditions:
    """Weight at take-off, and wind, runway and light at the last landing; None: not known."""
    placed = [one for one in flown.movements if isfinite(one.lat_deg)]
    landings = [one for one in placed if one.kind != "take-off"]
    landing = landings[-1] if landings else None
    runway, end = (None, None) if landing is None else _landed_on(plan, landing)
    weather = None if landing is None else _weather(plan, landing)
    wind = None if weather is None else weather.wind
    crosswind_kt = None
    if wind is not None and end is not None:
        crosswind_kt = _across_kt(end, wind)
    return FlightConditions(
        wind_kt=None if wind is None else wind.mean_kt,
        crosswind_kt=crosswind_kt,
        gust_kt=None if wind is None else wind.gust_kt,
        weight_lb=_takeoff_lb(plan),
        runway_length_ft=None if runway is None else runway.length_ft,
        night=None if landing is None else rules_of(plan).is_night(landing, at_utc(landing.time_s)),
    )


def samples(flown: Flown) -> KeptFile:
    """The judged samples in the air as a compressed Parquet file."""
    import polars

    track = flown.track
    columns = {one.name: getattr(track, one.name) for one in fields(track)}
    content = BytesIO()
    polars.DataFrame(columns).write_parquet(content, compression="zstd", statistics=False)
    return KeptFile(role="samples", name="samples.parquet", content=content.getvalue())


def _files(plan: Plan) -> Iterator[KeptFile]:
    """The airplane's and the pilot's file as they are today."""
    for path in plan.inputs:
        if path.name == "pilot.toml":
            yield KeptFile(role="pilot", name=path.name, content=path.read_bytes())
        elif path.parent.name == "aircraft" and path.suffix == ".toml":
            yield KeptFile(role="airplane", name=path.name, content=path.read_bytes())


def _fuel_used(plan: Plan, pledge: Pledge | None, word: OwnWord) -> Iterator[Observed]:
    """Fuel filled up after the flight, beside what the pledge had for it with taxi."""
    if word.fuel_used_gal is None:
        return
    target = None
    if pledge is not None:
        target = sum(plan.flight.fuel_gal.values()) - pledge.points[-1].fuel_left_gal
    yield Observed(
        key="fuel_used_gal", unit="gal", value=word.fuel_used_gal, sigma=0.5, target=target
    )


def _across_kt(end: RunwayEnd, wind: Wind) -> float:
    """To either side; a variable wind may stand across with its whole speed."""
    if wind.from_true_deg is None:
        return wind.mean_kt
    _, across_kt = wind_components_kt(
        end.true_deg, wind_from_true_deg=wind.from_true_deg, wind_kt=wind.mean_kt
    )
    return abs(float(across_kt))


def _landed_on(plan: Plan, landing: Movement) -> tuple[Runway | None, RunwayEnd | None]:
    field = None
    if landing.aerodrome_id is not None:
        field = plan.places.aerodrome(landing.aerodrome_id)
    ends = () if field is None else field.runway_ends()
    return next((pair for pair in ends if pair[1].name == landing.runway), (None, None))


def _weather(plan: Plan, landing: Movement) -> Conditions | None:
    if landing.aerodrome_id is None:
        return None
    return conditions_at(plan.weather, landing.aerodrome_id, at_utc(landing.time_s))


def _takeoff_lb(plan: Plan) -> float | None:
    """Weight at take-off; None where the load as written cannot be aboard."""
    flight, aircraft = plan.flight, plan.aircraft
    try:
        fuel_gal = burned(flight.fuel_gal, aircraft.taxi_gal, order=aircraft.loading.burn_order)
        here = loaded(aircraft.loading, load_lb=flight.load_lb, fuel_gal=fuel_gal)
    except RangeError:
        return None
    return here.weight_lb


def stored_movement(one: Movement) -> StoredMovement:
    """A movement as the store keeps it."""
    return StoredMovement(
        kind=one.kind, at_utc=at_utc(one.time_s), lat_deg=one.lat_deg, lon_deg=one.lon_deg
    )

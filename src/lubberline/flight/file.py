"""Reads ``flight.toml`` and everything it names: airplane, pilot, places, weather, terrain.

A pilot's folder holds ``pilot.toml``, ``aircraft/``, ``standards/``, ``places/`` and
``flights/NAME/flight.toml``. Each file is checked by its own room; what is checked here is that
the flight's names exist in them.
"""

from collections.abc import Iterator, Mapping
from datetime import UTC
from pathlib import Path
from typing import Annotated, Any

import numpy as np
from pydantic import AwareDatetime, Field

from lubberline.aircraft import Aircraft, read_aircraft
from lubberline.arrays import FloatArray
from lubberline.errors import BadFile, Problem
from lubberline.flight.model import Candidate, Flight, Hire, Plan, RoutePoint
from lubberline.pilot import read_pilot
from lubberline.places import Places, read_places, read_terrain
from lubberline.tomlfile import Location, Schema, lines_of, read_text, read_toml
from lubberline.weather import Weather, WindsAloft, read_weather_text, unread_weather

FLIGHT_FILE = "flight.toml"

_Place = str | tuple[float, float]
_Dangling = tuple[Location, str, str, str]  # place in the file, found, expected, example

_Latitude = Annotated[float, Field(ge=-90, le=90)]
_Longitude = Annotated[float, Field(ge=-180, le=180)]


class _WindAloft(Schema):
    msl_ft: Annotated[float, Field(ge=0, le=60_000, examples=[3000])]
    from_true_deg: Annotated[float, Field(ge=0, le=360, examples=[250])]
    wind_kt: Annotated[float, Field(ge=0, le=250, examples=[18])]
    oat_degc: Annotated[float, Field(ge=-90, le=60, examples=[8])]


class _Way(Schema):
    name: Annotated[str, Field(min_length=1, examples=["'under the shelf'"])]
    cruise_msl_ft: Annotated[float, Field(gt=0, le=60_000, examples=[4500])]
    via: Annotated[
        tuple[str | tuple[_Latitude, _Longitude], ...],
        Field(examples=["['Split Rock', [41.10, -131.25]]"]),
    ] = ()
    permissions: Annotated[tuple[str, ...], Field(examples=["['marl-tower']"])] = ()


class _FlightFile(Schema):
    """The file format. Keys, units and bounds here are the pilot's contract."""

    title: Annotated[str, Field(min_length=1, examples=["'Wren Island to Marl'"])]
    departure: Annotated[str, Field(min_length=1, examples=["'QWRN'"])]
    destination: Annotated[str, Field(min_length=1, examples=["'QMRL'"])]
    off_block_utc: Annotated[AwareDatetime, Field(examples=["2026-11-25T21:00:00Z"])]
    arrive_by_utc: Annotated[AwareDatetime | None, Field(examples=["2026-11-25T22:15:00Z"])] = None
    aircraft: Annotated[str, Field(pattern=r"^[\w.-]+$", examples=["'heron'"])]
    standard: Annotated[str, Field(pattern=r"^[\w.-]+$", examples=["'commercial'"])] = "private"
    taxi_out_min: Annotated[float, Field(ge=0, le=120, examples=[8])]
    taxi_in_min: Annotated[float, Field(ge=0, le=120, examples=[5])]
    pattern_min: Annotated[float, Field(ge=0, le=60, examples=[3])] = 0.0
    carries_persons: Annotated[bool, Field(examples=["false"])] = False
    hire: Annotated[Hire | None, Field(examples=["'rental'"])] = None
    to_inspection: Annotated[bool, Field(examples=["false"])] = False
    departure_runway: Annotated[str | None, Field(examples=["'24'"])] = None
    destination_runway: Annotated[str | None, Field(examples=["'27'"])] = None
    load_lb: Annotated[
        dict[str, Annotated[float, Field(ge=0, le=5_000)]], Field(examples=["{ front = 175 }"])
    ]
    fuel_gal: Annotated[
        dict[str, Annotated[float, Field(ge=0, le=1_000)]], Field(examples=["{ left = 20 }"])
    ]
    weather: Annotated[str | None, Field(pattern=r"^[\w.-]+$", examples=["'weather.txt'"])] = None
    wind_aloft: tuple[_WindAloft, ...] = ()
    way: Annotated[tuple[_Way, ...], Field(min_length=1)]


def read_plan(path: Path) -> Plan:
    """The plan of a flight, from its folder or its ``flight.toml``.

    Raises
    ------
    BadFile
        If a file is missing or wrong, or the flight names something that no file has: all
        problems of the first wrong file together.
    """
    flight_path = path / FLIGHT_FILE if path.is_dir() else path
    asked = read_toml(flight_path, _FlightFile)
    home = folder_of(flight_path)
    aircraft_path = home / "aircraft" / f"{asked.aircraft}.toml"
    pilot_path = home / "pilot.toml"
    aircraft, pilot = read_aircraft(aircraft_path), read_pilot(pilot_path)
    places = read_places(home / "places")
    _refuse(flight_path, list(_dangling(asked, aircraft, places)))
    weather_path = flight_path.parent / asked.weather if asked.weather else None
    inputs = [flight_path, aircraft_path, pilot_path, *sorted((home / "places").glob("*.toml"))]
    return Plan(
        flight=_flight(asked, places),
        folder=flight_path.parent,
        aircraft=aircraft,
        pilot=pilot,
        places=places,
        weather=_weather(asked, weather_path),
        terrain=read_terrain(home / "places"),
        inputs=tuple(inputs + ([weather_path] if weather_path else [])),
    )


def folder_of(flight_path: Path) -> Path:
    """The pilot's folder: the nearest one above the flight that has a ``pilot.toml``."""
    parents = flight_path.resolve().parents
    for parent in parents:
        if (parent / "pilot.toml").exists():
            return parent
    missing = Problem(
        key="folder",
        found="no pilot.toml in any folder above",
        expected="a flight inside a pilot's folder",
        example="lubberline init myfolder",
    )
    raise BadFile(flight_path, [missing])


def _weather(asked: _FlightFile, weather_path: Path | None) -> Weather:
    levels = sorted(asked.wind_aloft, key=lambda level: level.msl_ft)
    aloft = WindsAloft(
        msl_ft=_column([level.msl_ft for level in levels]),
        from_true_deg=_column([level.from_true_deg for level in levels]),
        wind_kt=_column([level.wind_kt for level in levels]),
        oat_degc=_column([level.oat_degc for level in levels]),
    )
    if weather_path is None:
        return Weather(reports={}, forecasts={}, aloft=aloft)
    text = read_text(weather_path, "a text file with METAR and TAF")
    reports, forecasts = read_weather_text(text, near_utc=asked.off_block_utc)
    unread = unread_weather(text, near_utc=asked.off_block_utc)
    return Weather(reports=reports, forecasts=forecasts, aloft=aloft, unread=unread)


def _flight(asked: _FlightFile, places: Places) -> Flight:
    return Flight(
        title=asked.title,
        departure_id=asked.departure,
        destination_id=asked.destination,
        off_block_utc=asked.off_block_utc.astimezone(UTC),
        arrive_by_utc=asked.arrive_by_utc.astimezone(UTC) if asked.arrive_by_utc else None,
        taxi_out_min=asked.taxi_out_min,
        taxi_in_min=asked.taxi_in_min,
        pattern_min=asked.pattern_min,
        load_lb=asked.load_lb,
        fuel_gal=asked.fuel_gal,
        candidates=tuple(_candidate(way, places) for way in asked.way),
        departure_runway=asked.departure_runway,
        destination_runway=asked.destination_runway,
        standard=asked.standard,
        carries_persons=asked.carries_persons,
        hire=asked.hire,
        to_inspection=asked.to_inspection,
    )


def _candidate(way: _Way, places: Places) -> Candidate:
    return Candidate(
        name=way.name,
        cruise_msl_ft=way.cruise_msl_ft,
        via=tuple(_route_point(place, places) for place in way.via),
        permissions=frozenset(way.permissions),
    )


def _route_point(place: _Place, places: Places) -> RoutePoint:
    if isinstance(place, tuple):
        lat_deg, lon_deg = place
        return RoutePoint(name=f"{lat_deg:.3f} {lon_deg:.3f}", lat_deg=lat_deg, lon_deg=lon_deg)
    known = places.points.get(place) or places.aerodromes[place]
    return RoutePoint(name=place, lat_deg=known.lat_deg, lon_deg=known.lon_deg)


def _dangling(asked: _FlightFile, aircraft: Aircraft, places: Places) -> Iterator[_Dangling]:
    """Every name in the flight that its airplane or its places do not have."""
    aerodromes = set(places.aerodromes)
    yield from _unknown_names({("departure",): asked.departure}, aerodromes)
    yield from _unknown_names({("destination",): asked.destination}, aerodromes)
    for key, aerodrome_id in (
        ("departure_runway", asked.departure),
        ("destination_runway", asked.destination),
    ):
        runway, aerodrome = getattr(asked, key), places.aerodromes.get(aerodrome_id)
        if runway is not None and aerodrome is not None:
            ends = {end.name for _, end in aerodrome.runway_ends()}
            yield from _unknown_names({(key,): runway}, ends)
    stations = {station.name for station in aircraft.loading.stations}
    yield from _unknown_names({("load_lb", name): name for name in asked.load_lb}, stations)
    tanks = {tank.name: tank.usable_gal for tank in aircraft.loading.tanks}
    yield from _unknown_names({("fuel_gal", name): name for name in asked.fuel_gal}, set(tanks))
    for name, fuel_gal in asked.fuel_gal.items():
        if fuel_gal > tanks.get(name, fuel_gal):
            yield ("fuel_gal", name), f"{fuel_gal:g}", f"at most {tanks[name]:g} usable", ""
    groups = {volume.group for volume in places.volumes}
    for index, way in enumerate(asked.way):
        named = {("way", index, "via", n): p for n, p in enumerate(way.via) if isinstance(p, str)}
        yield from _unknown_names(named, aerodromes | set(places.points))
        permissions = {("way", index, "permissions", n): p for n, p in enumerate(way.permissions)}
        yield from _unknown_names(permissions, groups)


def _unknown_names(named: Mapping[Any, str], known: set[str]) -> Iterator[_Dangling]:
    for location, name in named.items():
        if name not in known:
            shown = ", ".join(sorted(known)) or "none on file"
            example = f"{sorted(known)[0]!r}" if known else ""
            yield location, repr(name), f"one of: {shown}", example


def _refuse(path: Path, dangling: list[_Dangling]) -> None:
    if not dangling:
        return
    lines = lines_of(path)
    raise BadFile(
        path,
        [
            Problem(
                line=lines.get(location),
                key=".".join(str(part) for part in location),
                found=found,
                expected=expected,
                example=example,
            )
            for location, found, expected, example in dangling
        ],
    )


def _column(values: list[float]) -> FloatArray:
    return np.array(values, dtype=np.float64)

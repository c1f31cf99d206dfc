"""Reads ``flight.toml`` and everything it names: airplane, pilot, places, weather, terrain.

A pilot's folder holds ``pilot.toml``, ``aircraft/``, ``standards/``, ``places/`` and
``flights/NAME/flight.toml``. Each file is checked by its own room; what is checked here is that
the flight's names exist in them.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, timedelta
from pathlib import Path
from typing import Final

import numpy as np

from lubberline.aircraft import read_aircraft
from lubberline.earth import Terrain
from lubberline.errors import BadFile, Problem
from lubberline.flight._names import Dangling, dangling_files, dangling_load, dangling_places
from lubberline.flight._route_schema import PlaceForm, SearchForm, WayForm
from lubberline.flight._schema import FlightForm
from lubberline.flight.locate import locator
from lubberline.flight.model import Avoid, Candidate, Flight, Plan, RoutePoint, Search
from lubberline.flight.region import TERRAIN_NM, corridor_of, region_of
from lubberline.pilot import read_pilot
from lubberline.places import Aerodrome, Places, read_tiles
from lubberline.tomlfile import lines_of, read_text, read_toml
from lubberline.weather import Weather, WindsAloft, read_briefing, winds_along

FLIGHT_FILE = "flight.toml"
HALF_FLIGHT: Final = timedelta(minutes=45)  # own: where no time of arrival is asked for

_NO_FLIGHT = Problem(
    key="file",
    found="nothing",
    expected=f"a flight's folder, or its {FLIGHT_FILE}",
    example="flights/2026-11-25-QWRN-QMRL",
)


def read_plan(path: Path) -> Plan:
    """The plan of a flight, from its folder or its ``flight.toml``.

    Raises
    ------
    BadFile
        If a file is missing or wrong, or the flight names something that no file has: all
        problems of the first wrong file together, missing files first.
    """
    flight_path = path / FLIGHT_FILE if path.is_dir() else path
    if not flight_path.exists():
        raise BadFile(flight_path, [_NO_FLIGHT])
    asked = read_toml(flight_path, FlightForm)
    home, folder = folder_of(flight_path), flight_path.parent
    aircraft_path, pilot_path = home / "aircraft" / f"{asked.aircraft}.toml", home / "pilot.toml"
    _refuse(flight_path, list(dangling_files(asked, home, folder)))
    places, place_files = region_of(asked, home / "places")
    aircraft = read_aircraft(aircraft_path)
    pilot = read_pilot(pilot_path)
    _refuse(flight_path, [*dangling_places(asked, places), *dangling_load(asked, aircraft)])
    weather_path = folder / asked.weather if asked.weather else None
    tiles = read_tiles(home / "places", corridor_of(asked, places.place, TERRAIN_NM))
    inputs = [flight_path, aircraft_path, pilot_path, *sorted([*place_files, *tiles])]
    return Plan(
        flight=_flight(asked, places),
        folder=folder,
        aircraft=aircraft,
        pilot=pilot,
        places=places,
        weather=_weather(asked, weather_path, places),
        terrain=Terrain(tiles=tuple(tiles.values())),
        inputs=tuple(inputs + ([weather_path] if weather_path else [])),
    )


def flight_folder_of(path: Path) -> Path:
    """The flight's folder, from it or from a file in it."""
    return path if path.is_dir() else path.parent


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


def _weather(asked: FlightForm, weather_path: Path | None, places: Places) -> Weather:
    """What the flight's text tells; winds aloft by its own rows, else by the text's tables."""
    levels = sorted(asked.wind_aloft, key=lambda level: level.msl_ft)
    aloft = WindsAloft(
        msl_ft=np.array([level.msl_ft for level in levels]),
        from_true_deg=np.array([level.from_true_deg for level in levels]),
        wind_kt=np.array([level.wind_kt for level in levels]),
        oat_degc=np.array([level.oat_degc for level in levels]),
    )
    if weather_path is None:
        return Weather(reports={}, forecasts={}, aloft=aloft)
    text = read_text(weather_path, "a text file with METAR and TAF")
    locate = locator(asked, places)
    weather = read_briefing(text, near_utc=asked.off_block_utc, aloft=aloft, locate=locate)
    if levels or not weather.tables:
        return weather
    half_way_utc = asked.off_block_utc + _half(asked)
    ends = [_known(name, places) for name in (asked.departure, asked.destination)]
    spots = [(one.lat_deg, one.lon_deg) for one in ends]
    return replace(weather, aloft=winds_along(weather.tables, spots, when_utc=half_way_utc))


def _half(asked: FlightForm) -> timedelta:
    """From off block to the middle of the flight, by the time to be there if that is given."""
    if asked.arrive_by_utc is None:
        return HALF_FLIGHT
    return (asked.arrive_by_utc - asked.off_block_utc) / 2


def _flight(asked: FlightForm, places: Places) -> Flight:
    return Flight(
        title=asked.title,
        departure_id=_known(asked.departure, places).id,
        destination_id=_known(asked.destination, places).id,
        off_block_utc=asked.off_block_utc.astimezone(UTC),
        arrive_by_utc=asked.arrive_by_utc.astimezone(UTC) if asked.arrive_by_utc else None,
        closes_utc=asked.closes_utc.astimezone(UTC) if asked.closes_utc else None,
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
        role=asked.role,
        hire=asked.hire,
        to_inspection=asked.to_inspection,
        night_landing=asked.night_landing,
        flight_following=asked.flight_following,
        alternate_ids=tuple(_known(name, places).id for name in asked.alternates),
        cost=asked.cost.to_model() if asked.cost else None,
        watch=asked.watch.to_model() if asked.watch else None,
        filing=asked.filing.to_model() if asked.filing else None,
        search=_search(asked.search, places) if asked.search else None,
        aircraft_file=f"aircraft/{asked.aircraft}.toml",
        weather_file=asked.weather,
    )


def _known(name: str, places: Places) -> Aerodrome:
    """The aerodrome of that name; names that lead nowhere were refused before."""
    return places.aerodrome(name) or places.aerodromes[name]


def _candidate(way: WayForm, places: Places) -> Candidate:
    return Candidate(
        name=way.name,
        cruise_msl_ft=way.cruise_msl_ft,
        via=tuple(_route_point(place, places) for place in way.via),
        permissions=frozenset(way.permissions),
    )


def _search(search: SearchForm, places: Places) -> Search:
    return Search(
        via=tuple(_route_point(place, places) for place in search.via),
        avoid=tuple(
            Avoid(point=_route_point(one.place, places), radius_nm=one.radius_nm)
            for one in search.avoid
        ),
        not_above_msl_ft=search.not_above_msl_ft,
        not_below_msl_ft=search.not_below_msl_ft,
        near_landing_nm=search.near_landing_nm,
        glide_to_land=search.glide_to_land,
    )


def _route_point(place: PlaceForm, places: Places) -> RoutePoint:
    if isinstance(place, tuple):
        lat_deg, lon_deg = place
        return RoutePoint(name=f"{lat_deg:.3f} {lon_deg:.3f}", lat_deg=lat_deg, lon_deg=lon_deg)
    known = places.place(place) or _known(place, places)
    return RoutePoint(name=place, lat_deg=known.lat_deg, lon_deg=known.lon_deg)


def _refuse(path: Path, dangling: Sequence[Dangling]) -> None:
    """One error with every name that leads nowhere, in the order of the file."""
    if dangling:
        lines = lines_of(path)
        problems = [one.problem(lines) for one in dangling]
        raise BadFile(path, sorted(problems, key=lambda problem: problem.line or 0))

"""Working code of ``lubberline places near``: what lies round a place, as text or JSON."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from datetime import UTC, datetime
from math import isnan
from typing import Any, Final

import numpy as np
import typer

from lubberline.cli.output import document, hanging
from lubberline.cli.places_work import kept_data, show_rows
from lubberline.errors import NoSolution, RangeError
from lubberline.places import (
    Aerodrome,
    Around,
    Asked,
    Corridor,
    Height,
    Nearby,
    Obstacle,
    Places,
    Volume,
    asked,
    nearby,
)
from lubberline.wording import direction_text

INDENT: Final = 15  # columns of distance and direction
_PLACE: Final = re.compile(r"\s*([-+]?[\d.]+)\s*[, ]\s*([-+]?[\d.]+)\s*")


def near(place: str, *, within_nm: float, every: bool, as_json: bool) -> None:
    """Fields, airspace, waypoints and obstacles round a place.

    Raises
    ------
    NoSolution
        If no data set has a place of that name.
    RangeError
        If it is no place on earth.
    """
    sets = asked(kept_data(), ["all"], datetime.now(UTC))
    name, lat_deg, lon_deg = _found(place, sets)
    lat_column, lon_column = np.array([lat_deg]), np.array([lon_deg])
    here = Corridor(lat_deg=lat_column, lon_deg=lon_column, half_width_nm=within_nm)
    places = sets.along(here)
    found = nearby(places, lat_deg, lon_deg, within_nm)
    if as_json:
        _document(name, lat_deg, lon_deg, places, found)
        return
    typer.echo(f"NEAR  {name}, {lat_deg:.4f} {lon_deg:.4f}, within {within_nm:g} NM")
    hanging(f"from {'; '.join(places.sources) or 'nothing: no data set was added'}")
    for title, rows in _sections(places, found):
        if rows:
            typer.echo(f"\n{title}")
            show_rows(rows, len(rows), every=every, hang=INDENT)


def _found(place: str, sets: Asked) -> tuple[str, float, float]:
    """Name and position of what was asked for."""
    match = _PLACE.fullmatch(place)
    if match:
        lat_deg, lon_deg = float(match[1]), float(match[2])
        if not (abs(lat_deg) <= 90.0 and abs(lon_deg) <= 180.0):
            raise RangeError(f"{place} is no place; expected LAT,LON such as 41.1,-130.5")
        return "this place", lat_deg, lon_deg
    spot = next((one for one in sets.called(place) if not isnan(one.lat_deg)), None)
    if spot is None:
        raise NoSolution(f"no data set has a place {place!r}; see: lubberline places list")
    return f"{getattr(spot, 'id', '')} {spot.name}".strip(), spot.lat_deg, spot.lon_deg


def _sections(places: Places, found: Nearby) -> Iterator[tuple[str, Sequence[str]]]:
    yield "Aerodromes", ["\n".join(_aerodrome_rows(one)) for one in found.aerodromes]
    yield "Airspace", [_volume_row(one) for one in found.volumes]
    yield "Points", [f"{_away(one)}  {one.item.name}" for one in found.points]
    yield (
        "Waypoints",
        [
            f"{_away(one)}  {one.item.id} {one.item.kind} {one.item.name}"
            + (f" {one.item.frequency_mhz:g}" if one.item.frequency_mhz else "")
            for one in found.waypoints
        ],
    )
    title = f"Obstacles, the tallest of {found.obstacle_count:,} first"
    yield title, [_obstacle_row(one) for one in found.obstacles]
    yield "Sources that disagree", [f"{one}" for one in places.conflicts]


def _away(one: Around[Any]) -> str:
    true = "    " if isnan(one.true_deg) else f"{direction_text(one.true_deg)}°"
    return f"{one.away_nm:5.1f} NM {true}"


def _aerodrome_rows(one: Around[Aerodrome]) -> Iterator[str]:
    field = one.item
    yield f"{_away(one)}  {field.id} {field.name}, {_feet(field.elev_msl_ft)}"
    for runway in field.runways:
        names = "/".join(end.name for end in runway.ends)
        yield f"{'':{INDENT}}{names} {_feet(runway.length_ft)} {runway.surface}"
    for radio in field.radios:
        service = f"{radio.facility} ({radio.use}) {radio.hours}".rstrip()
        yield f"{'':{INDENT}}{radio.frequency_mhz:7.3f} {service}"


def _volume_row(one: Around[Volume]) -> str:
    volume = one.item
    away = "overhead     " if one.away_nm <= 0.0 else _away(one)
    heights = f"{_height(volume.floor)} to {_height(volume.ceiling)}"
    radio = f", {volume.facility} {volume.frequency_mhz or ''}" if volume.facility else ""
    hours = f", {volume.schedule.text}" if volume.schedule else ""
    return f"{away}  {volume.airspace_class} {volume.name}: {heights}{radio.rstrip()}{hours}"


def _obstacle_row(one: Around[Obstacle]) -> str:
    top = one.item
    lit = "lit" if top.lit else "not lit"
    return (
        f"{_away(one)}  {top.kind}, {_feet(top.top_msl_ft)} MSL, {_feet(top.top_agl_ft)} AGL, {lit}"
    )


def _feet(height_ft: float) -> str:
    return "height not known" if isnan(height_ft) else f"{height_ft:,.0f} ft"


def _height(height: Height) -> str:
    return "SFC" if height.reference == "SFC" else f"{height.ft:,.0f} {height.reference}"


def _document(name: str, lat_deg: float, lon_deg: float, places: Places, found: Nearby) -> None:
    document(
        name=name,
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        sources=places.sources,
        **asdict(found),
        conflicts=[asdict(one) for one in places.conflicts],
    )

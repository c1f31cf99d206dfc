"""Reads a ways problem from its JSON file, so that other solvers' answers can be compared."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
from pydantic import ValidationError

from lubberline.arrays import FloatArray
from lubberline.earth import Terrain, Tile, flat_terrain
from lubberline.errors import BadFile, Problem
from lubberline.places import Circle, Footprint, Height, Polygon, VisualPoint, Volume
from lubberline.tomlfile import problems_of, read_text
from lubberline.ways._schema import (
    AircraftForm,
    CircleForm,
    EndForm,
    FlatForm,
    GridForm,
    PolygonForm,
    ProblemForm,
    RulesForm,
    VolumeForm,
    WindForm,
)
from lubberline.ways.problem import Margins, Motion, Rules, WayEnd, WaysProblem
from lubberline.weather import WindsAloft


def read_problem(path: Path) -> WaysProblem:
    """The ways problem that a JSON file states.

    A file states a problem completely: without a row of wind the air is calm, without land
    there is land everywhere.

    Raises
    ------
    BadFile
        If the file is missing, not text, not JSON, or does not fit the format: all problems of
        the file together, each with its key.
    """
    text = read_text(path, "a JSON file")
    try:
        form = ProblemForm.model_validate_json(text)
    except ValidationError as exc:
        if exc.errors()[0]["type"] == "json_invalid":
            raise BadFile(path, [_syntax_problem(text)]) from exc
        raise BadFile(path, [_in_json(one) for one in problems_of(exc, ProblemForm)]) from exc
    return WaysProblem(
        name=form.name,
        description=form.description,
        departure=_end(form.departure),
        destination=_end(form.destination),
        motion=_motion(form.aircraft),
        wind=_wind(form.wind),
        margins=Margins(**form.margins.model_dump()),
        rules=_rules(form.rules),
        terrain=_terrain(form.terrain),
        land_deg=tuple(np.array(ring) for ring in form.land),
        volumes=tuple(_volume(volume) for volume in form.volumes),
        points=tuple(VisualPoint(name=p.name, lat_deg=p.lat, lon_deg=p.lon) for p in form.points),
    )


def _syntax_problem(text: str) -> Problem:
    """Where the text stops being JSON."""
    line, reason = None, "nested too deeply"
    try:
        json.loads(text)
    except json.JSONDecodeError as exc:
        line, reason = exc.lineno, exc.msg.lower()
    except (RecursionError, ValueError):
        pass
    return Problem(line=line, key="syntax", found=reason, expected="JSON", example='"key": 1.5')


def _in_json(problem: Problem) -> Problem:
    """The problem with its example as it would stand in JSON."""
    key, equals, value = problem.example.partition(" = ")
    return replace(problem, example=f'"{key}": {value}') if equals else problem


def _end(form: EndForm) -> WayEnd:
    return WayEnd(id=form.id, lat_deg=form.lat, lon_deg=form.lon, elev_msl_ft=form.elev_ft)


def _motion(form: AircraftForm) -> Motion:
    fuel = form.fuel_gph
    return Motion(
        climb_gph=fuel.climb,
        cruise_gph=fuel.cruise,
        descent_gph=fuel.descent,
        **form.model_dump(exclude={"fuel_gph"}),
    )


def _wind(rows: tuple[WindForm, ...]) -> WindsAloft:
    ascending = sorted(rows, key=lambda row: row.alt_ft) or [WindForm(alt_ft=0, from_deg=0, kt=0)]
    return WindsAloft(
        msl_ft=_column([row.alt_ft for row in ascending]),
        from_true_deg=_column([row.from_deg for row in ascending]),
        wind_kt=_column([row.kt for row in ascending]),
        oat_degc=np.full(len(ascending), np.nan),
    )


def _rules(form: RulesForm) -> Rules:
    known = form.model_dump(exclude={"magvar_deg", "level_vs_fpm"})
    return Rules(variation_deg=form.magvar_deg, level_fpm=form.level_vs_fpm, **known)


def _terrain(form: FlatForm | GridForm) -> Terrain:
    if isinstance(form, FlatForm):
        return flat_terrain(form.ft)
    tile = Tile(
        south_deg=form.lat0,
        west_deg=form.lon0,
        step_lat_deg=form.dlat,
        step_lon_deg=form.dlon,
        ground_ft=np.array(form.ft, dtype=np.float64),
    )
    return Terrain(tiles=(tile,), clamped=True)


def _volume(form: VolumeForm) -> Volume:
    return Volume(
        id=form.id,
        name=form.name or form.id,
        airspace_class=form.airspace_class,
        group=form.group,
        facility=form.facility,
        floor=Height(reference=form.floor.ref, ft=form.floor.ft),
        ceiling=Height(reference=form.ceiling.ref, ft=form.ceiling.ft),
        footprint=_footprint(form.shape),
        lateral_margin_nm=form.lateral_margin_nm,
    )


def _footprint(form: CircleForm | PolygonForm) -> Footprint:
    if isinstance(form, PolygonForm):
        return Polygon(
            corners_deg=np.array(form.points), holes_deg=tuple(np.array(h) for h in form.holes)
        )
    lat_deg, lon_deg = form.center
    return Circle(
        lat_deg=lat_deg, lon_deg=lon_deg, radius_nm=form.radius_nm, inner_nm=form.inner_nm
    )


def _column(values: list[float]) -> FloatArray:
    return np.array(values, dtype=np.float64)

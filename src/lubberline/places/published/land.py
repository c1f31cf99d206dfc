"""Land: polygons of a shapefile or of GeoJSON, whatever their table says.

Lakes are holes in the land; as a piece of land has none here, the land round a lake is cut into
pieces that leave it out.
"""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.places.dataset import DataSet
from lubberline.places.published._account import Accounting, Unfit, refusal
from lubberline.places.published._cycle import source_of
from lubberline.places.published._footprints import footprints
from lubberline.places.published._shapes import records
from lubberline.places.published._table import decoded
from lubberline.places.published.zips import (
    Files,
    Member,
    Progress,
    open_files,
)

if TYPE_CHECKING:
    from shapely import Geometry, Polygon

FORM: Final = "land polygons"
ITEMS: Final = "records of land"


def read_land(path: Path, progress: Progress | None = None) -> DataSet:
    """The land of a file; what none of its polygons covers is water.

    Raises
    ------
    BadFile
        If it holds no polygons.
    """
    account = Accounting()
    with open_files(path, nested="land|shape", progress=progress) as files:
        shapes, texts = files.ending(".shp"), files.ending(".json", ".geojson")
        files.expect(*shapes, *texts)
        found = [land for one in shapes for land in _of_shapes(files, one, account)]
        found += [land for one in texts for land in _of_json(files, one, account)]
        pieces = [piece for land in found for piece in _pieces(land)]
        if not pieces:
            raise refusal(path, "no polygons", "land as a shapefile or GeoJSON")
        source = source_of(files, FORM)
    return DataSet(source=source, account=account.done(), land_deg=tuple(pieces))


def _of_shapes(files: Files, shapes: Member, account: Accounting) -> Iterator["Geometry"]:
    import shapely

    stem = shapes.name[: -len(".shp")].lower()
    table = next((one for one in files.members if one.name.lower() == f"{stem}.dbf"), None)
    if table is None:
        account.leave_out(shapes.name, None, "the whole file", "no table (.dbf) beside it")
        return iter(())

    def make(record: tuple[tuple[FloatArray, ...] | Unfit, Any]) -> "Geometry":
        rings, _ = record
        if isinstance(rings, Unfit):
            raise rings
        shells = [(one.corners_deg[:, ::-1], one.holes_deg) for one in footprints(rings)]
        return shapely.MultiPolygon([(s, [h[:, ::-1] for h in holes]) for s, holes in shells])

    return account.made(ITEMS, shapes.name, records(files, shapes, table, account), make)


def _of_json(files: Files, member: Member, account: Accounting) -> Iterator["Geometry"]:
    import shapely

    with files.open(member) as stream:
        try:
            features = json.loads(decoded(stream.read()))["features"]
            texts = [json.dumps(one["geometry"]) for one in features]
        except (ValueError, TypeError, KeyError, RecursionError) as exc:
            raise refusal(files.path, f"{member.name}: {exc}", "GeoJSON with features") from exc

    def make(text: str) -> "Geometry":
        try:
            land = shapely.make_valid(shapely.from_geojson(text))
        except (shapely.GEOSException, TypeError) as exc:
            raise Unfit(f"{exc}") from exc
        west, south, east, north = land.bounds if not land.is_empty else (0.0,) * 4
        if not land.area:
            raise Unfit("no polygon")
        if west < -180.0 or south < -90.0 or east > 180.0 or north > 90.0:
            raise Unfit("a corner that is no place on earth")
        return land

    return account.made(ITEMS, member.name, enumerate(texts, start=1), make)


def _pieces(land: "Geometry") -> Iterator[FloatArray]:
    """Outer edges of parts without lakes, as latitude and longitude."""
    import shapely

    for part in shapely.get_parts(land):
        if part.geom_type == "MultiPolygon":
            yield from _pieces(part)
        elif part.geom_type == "Polygon":
            for one in _without_lakes(part):
                yield np.ascontiguousarray(shapely.get_coordinates(one.exterior)[:-1, ::-1])


def _without_lakes(land: "Polygon") -> Iterator["Polygon"]:
    """Halves on both sides of a lake's middle, until no piece has a lake."""
    import shapely

    if not land.interiors:
        yield land
        return
    middle = float(np.mean(land.interiors[0].bounds[::2]))
    west, south, east, north = land.bounds
    for half in (shapely.box(west, south, middle, north), shapely.box(middle, south, east, north)):
        for part in shapely.get_parts(land.intersection(half)):
            if part.geom_type == "Polygon":
                yield from _without_lakes(part)

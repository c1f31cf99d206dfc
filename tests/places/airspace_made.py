"""Shapefiles of airspace with the published attributes, invented in the open ocean."""

import io
import json
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any, Final

import nasr_made
import numpy as np
import shapefile
import shapely

NAMES: Final = (
    *("IDENT", "NAME", "CLASS", "LOCAL_TYPE", "TYPE_CODE", "UPPER_DESC", "UPPER_VAL", "UPPER_UOM"),
    *("UPPER_CODE", "LOWER_DESC", "LOWER_VAL", "LOWER_UOM", "LOWER_CODE", "LEVEL_CODE", "CITY"),
    *("STATE", "COUNTRY", "SECTOR", "ONSHORE", "EXCLUSION", "WKHR_CODE", "WKHR_RMK", "DST_CODE"),
    *("GMTOFFSET", "CONT_AGENT", "COMM_NAME", "TIMESOFUSE", "REMARKS", "GLOBAL_ID"),
)
WGS84: Final = 'GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984"]]'
TO_3000: Final = {"UPPER_VAL": "3000", "UPPER_UOM": "FT", "UPPER_CODE": "MSL"}
FROM_GROUND: Final = {"LOWER_VAL": "0", "LOWER_UOM": "FT", "LOWER_CODE": "SFC"}
FROM_1200: Final = {"LOWER_VAL": "1200", "LOWER_UOM": "FT", "LOWER_CODE": "MSL"}
NO_TOP: Final = {"UPPER_VAL": "-9998", "UPPER_UOM": "", "UPPER_CODE": ""}

Row = tuple[Mapping[str, str], shapely.Geometry]


def disk(lat_deg: float, lon_deg: float, radius_deg: float, corners: int = 36) -> shapely.Polygon:
    """A round polygon, its edge clockwise as shapefiles have it."""
    turn = -np.arange(corners) * 2.0 * np.pi / corners
    east_deg = radius_deg / np.cos(np.radians(lat_deg))
    return shapely.Polygon(
        np.column_stack([lon_deg + east_deg * np.cos(turn), lat_deg + radius_deg * np.sin(turn)])
    )


def ring(lat_deg: float, lon_deg: float, inner_deg: float, outer_deg: float) -> shapely.Polygon:
    """What lies between two of them."""
    return shapely.Polygon(
        disk(lat_deg, lon_deg, outer_deg).exterior.coords,
        [disk(lat_deg, lon_deg, inner_deg).exterior.coords[::-1]],
    )


def of_class(kind: str, name: str, ident: str = "QMR", **more: str) -> dict[str, str]:
    """Attributes of airspace of a class."""
    letter = kind.removeprefix("CLASS_")[:1] if kind.startswith("CLASS") else ""
    return {"IDENT": ident, "NAME": name, "CLASS": letter, "LOCAL_TYPE": kind} | {
        "TYPE_CODE": "CLASS",
        **more,
    }


CORE: Final = disk(41.1, -130.5, 0.083)
SHELF: Final = ring(41.1, -130.5, 0.083, 0.167)
TWO: Final = shapely.MultiPolygon([disk(41.0, -131.0, 0.1), disk(41.5, -131.5, 0.1)])
BOX: Final = shapely.box(-131.4, 40.6, -131.0, 40.9)

CLASSES: Final[tuple[Row, ...]] = (
    (of_class("CLASS_C", "MARL CLASS C") | TO_3000 | FROM_GROUND, CORE),
    (of_class("CLASS_C", "MARL CLASS C", SECTOR="OUTER") | TO_3000 | FROM_1200, SHELF),
    (
        of_class("CLASS_D", "GANNET, CLASS D", "QGN", WKHR_CODE="TIMSH")
        | {"WKHR_RMK": "0700-2100; OTHER TIMES CLASS G"}
        | TO_3000
        | FROM_GROUND,
        disk(41.4, -130.2, 0.07),
    ),
    (of_class("CLASS_E2", "MARL CLASS E2") | NO_TOP | FROM_GROUND, CORE),
    (
        of_class("CLASS_E5", "MARL CLASS E5", "")
        | NO_TOP
        | {"LOWER_VAL": "700", "LOWER_UOM": "FT", "LOWER_CODE": "SFC"},
        disk(41.1, -130.5, 0.2),
    ),
    (of_class("CLASS_B", "PETREL CLASS B", "QPT") | TO_3000 | FROM_GROUND, TWO),
    (of_class("MODE C", "PETREL MODE C", "QPT") | TO_3000 | FROM_GROUND, disk(41, -131, 0.5)),
)
SPECIAL: Final[tuple[Row, ...]] = (
    (
        {"NAME": "R-Q901 SKUA", "TYPE_CODE": "R", "CONT_AGENT": "QUIVER ARTCC"}
        | {"TIMESOFUSE": "0800-1700 MON-FRI", "UPPER_VAL": "180", "UPPER_UOM": "FL"}
        | {"UPPER_CODE": "STD"}
        | FROM_GROUND,
        BOX,
    ),
    (
        {"NAME": "SHEARWATER MOA", "TYPE_CODE": "MOA", "CONT_AGENT": "QUIVER ARTCC"}
        | {"TIMESOFUSE": "INTERMITTENT BY NOTAM", "LOWER_VAL": "500", "LOWER_UOM": "FT"}
        | {"LOWER_CODE": "SFC", "UPPER_VAL": "UNLTD"},
        disk(40.5, -130.0, 0.3),
    ),
)


def write_parts(rows: Iterable[Row], names: Sequence[str] = NAMES) -> dict[str, bytes]:
    """The files of a shapefile by their endings."""
    shp, shx, dbf = io.BytesIO(), io.BytesIO(), io.BytesIO()
    with shapefile.Writer(shp=shp, shx=shx, dbf=dbf, shapeType=shapefile.POLYGON) as writer:
        for name in names:
            writer.field(name, "C", size=100)
        for attributes, shape in rows:
            writer.poly(_rings(shape))
            writer.record(*(attributes.get(name, "") for name in names))
    parts = {"shp": shp.getvalue(), "shx": shx.getvalue(), "dbf": dbf.getvalue()}
    return parts | {"prj": WGS84.encode()}


def _rings(shape: shapely.Geometry) -> list[Any]:
    """Edges clockwise, holes the other way, as the published description wants it."""
    oriented = (shapely.orient_polygons(one, exterior_cw=True) for one in shapely.get_parts(shape))
    return [
        [list(place) for place in line.coords]
        for one in oriented
        for line in (one.exterior, *one.interiors)
    ]


def write_shapefile(path: Path, rows: Iterable[Row]) -> Path:
    """A shapefile of that name (``x.shp``) in its folder."""
    for ending, content in write_parts(rows).items():
        path.with_suffix(f".{ending}").write_bytes(content)
    return path


def write_zip(path: Path, rows: Iterable[Row]) -> Path:
    """The zip file that the subscription offers, its folder inside."""
    parts = write_parts(rows)
    names = {f"Shape_Files/Class_Airspace.{end}": content for end, content in parts.items()}
    path.write_bytes(nasr_made.zip_of(names))
    return path


def geojson(rows: Iterable[Row]) -> str:
    """The same rows as a collection of features."""
    features = [
        {
            "type": "Feature",
            "properties": dict(attributes),
            "geometry": json.loads(shapely.to_geojson(shape)),
        }
        for attributes, shape in rows
    ]
    return json.dumps({"type": "FeatureCollection", "features": features})

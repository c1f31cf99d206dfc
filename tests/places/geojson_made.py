"""GeoJSON in our own properties, invented in the open ocean."""

import json
from typing import Any, Final

SQUARE: Final = [[-131.0, 41.0], [-131.0, 41.1], [-130.9, 41.1], [-130.9, 41.0], [-131.0, 41.0]]
HOLE: Final = [[-130.97, 41.03], [-130.97, 41.07], [-130.93, 41.07], [-130.97, 41.03]]
MARL: Final[dict[str, Any]] = {
    "id": "QMR-D",
    "name": "Marl",
    "class": "D",
    "type": "CTR",
    "floor": "SFC",
    "ceiling": "2500 MSL",
    "facility": "Marl Tower",
    "frequency_mhz": 118.3,
    "hours": "0700-2100 DAILY",
    "otherwise_class": "G",
    "note": "gliders on Sundays",
    "valid_from": "2026-11-01",
    "valid_until": "2026-12-01T00:00:00Z",
}


def polygon(*rings: Any) -> dict[str, Any]:
    """A geometry."""
    return {"type": "Polygon", "coordinates": list(rings)}


def feature(properties: Any, geometry: Any) -> dict[str, Any]:
    """A feature."""
    return {"type": "Feature", "properties": properties, "geometry": geometry}


def collection(*features: Any, **more: Any) -> str:
    """A whole text."""
    return json.dumps({"type": "FeatureCollection", **more, "features": list(features)}, indent=1)


POINT: Final = feature(
    {"name": "Gasworks", "note": "chimney, report here"},
    {"type": "Point", "coordinates": [-130.515, 41.0917]},
)
DISK: Final = feature(
    {"name": "Skua", "class": "R", "floor": "FL 65", "ceiling": "UNL", "radius_nm": 5},
    {"type": "Point", "coordinates": [-130.5, 41.1]},
)
LAND: Final = feature({"land": True}, polygon(SQUARE))
ALL: Final = collection(feature(MARL, polygon(SQUARE, HOLE)), POINT, DISK, LAND)

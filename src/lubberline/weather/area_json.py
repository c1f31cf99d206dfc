"""Reads areas in the published JSON and GeoJSON of the aviation weather service [NWS-API]_.

SIGMET come with heights in feet and a list of corners; graphical AIRMET as snapshots with heights
in hundreds of feet, each of which stands for ``SNAPSHOT_HOLDS`` round its time. Lines, such as the
freezing level, are no areas and have no corners.
"""

import json
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime, timedelta
from typing import Any, Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.weather.advice import SURFACE, UNLIMITED, Area, Level
from lubberline.weather.area_text import GROUND_HAZARDS, LOW_HAZARDS, LOW_TOP
from lubberline.weather.model import UnreadableText

SNAPSHOT_HOLDS: Final = timedelta(minutes=90)  # own: half of the 3 h between two snapshots
HUNDREDS_UP_TO: Final = 600.0  # own: a greater number is feet
_FIRST_YEAR: Final = 1970


def read_areas_json(text: str | bytes) -> tuple[Area, ...]:
    """The areas of a JSON list of areas, or of a GeoJSON collection, in its order.

    Raises
    ------
    UnreadableText
        If it is no JSON of that form.
    """
    try:
        document = json.loads(text)
    except (ValueError, RecursionError) as exc:
        raise UnreadableText(str(text[:40]), f"no JSON: {exc}") from exc
    rows = document.get("features") if isinstance(document, Mapping) else document
    if not isinstance(rows, list) or not all(isinstance(row, Mapping) for row in rows):
        raise UnreadableText(str(document)[:40], "expected a list of areas or a FeatureCollection")
    return tuple(area for row in rows for area in _areas(row))


def _areas(row: Mapping[str, Any]) -> list[Area]:
    """One area for each outer ring of a row."""
    inner = row.get("properties")
    said = inner if isinstance(inner, Mapping) else row
    rings = _rings(row)
    return [_area(said, ring) for ring in rings] or [_area(said, None)]


def _area(said: Mapping[str, Any], outline_deg: FloatArray | None) -> Area:
    from_utc, until_utc = _times(said)
    hazard = str(said.get("hazard") or "").upper().replace("_", " ")
    low, high = _heights(said, hazard)
    is_area = str(said.get("geometryType") or "AREA").upper() in {"AREA", "POLYGON", "MULTIPOLYGON"}
    corners_deg = outline_deg if is_area else None
    undecoded = [
        *(["its outline"] if corners_deg is None else []),
        *(["its times"] if from_utc is None or until_utc is None else []),
        *(["its heights"] if low is None or high is None else []),
    ]
    return Area(
        kind=_kind(said, hazard),
        name=str(said.get("seriesId") or said.get("tag") or said.get("alphaChar") or ""),
        hazard=hazard,
        from_utc=from_utc,
        until_utc=until_utc,
        low=low,
        high=high,
        corners_deg=corners_deg,
        text=_text(said),
        undecoded=tuple(undecoded),
    )


def _kind(said: Mapping[str, Any], hazard: str) -> str:
    if "product" in said:
        return "G-AIRMET"
    kind = str(said.get("airSigmetType") or "SIGMET").upper()
    return "CONVECTIVE SIGMET" if kind == "SIGMET" and hazard.startswith("CONV") else kind


def _text(said: Mapping[str, Any]) -> str:
    """The text as issued where there is one, else everything it says but its corners."""
    raw = said.get("rawAirSigmet") or said.get("rawSigmet") or said.get("rawText")
    if isinstance(raw, str) and raw.strip():
        return raw
    return json.dumps({k: v for k, v in said.items() if k not in {"coords", "geom"}}, default=str)


def _times(said: Mapping[str, Any]) -> tuple[datetime | None, datetime | None]:
    from_utc, until_utc = _time(said.get("validTimeFrom")), _time(said.get("validTimeTo"))
    snapshot_utc = _time(said.get("validTime"))
    if snapshot_utc is not None and from_utc is None and until_utc is None:
        return snapshot_utc - SNAPSHOT_HOLDS, snapshot_utc + SNAPSHOT_HOLDS
    return from_utc, until_utc


def _time(value: Any) -> datetime | None:
    """Seconds since the epoch, or ISO 8601."""
    try:
        if isinstance(value, int | float) and not isinstance(value, bool):
            time = datetime.fromtimestamp(value, UTC)
        elif isinstance(value, str):
            time = datetime.fromisoformat(value)
            time = time.replace(tzinfo=time.tzinfo or UTC).astimezone(UTC)
        else:
            return None
    except (ValueError, OverflowError, OSError):
        return None
    return time if _FIRST_YEAR < time.year < 9999 else None


def _heights(said: Mapping[str, Any], hazard: str) -> tuple[Level | None, Level | None]:
    """Lowest and highest that are told; the ground where the hazard is of the ground."""
    lows = [_level(said.get(key)) for key in ("altitudeLow1", "altitudeLow2", "base")]
    highs = [_level(said.get(key)) for key in ("altitudeHi1", "altitudeHi2", "top", "tops")]
    low = min((one for one in lows if one), key=lambda one: one.ft, default=None)
    high = max((one for one in highs if one), key=lambda one: one.ft, default=None)
    if hazard.startswith(("MT OBSC", *GROUND_HAZARDS)):
        return low or SURFACE, high or UNLIMITED
    if hazard.startswith(LOW_HAZARDS):
        return low or SURFACE, high or LOW_TOP
    if low is None and str(said.get("base") or "").upper().startswith("FZL"):
        low = _level(said.get("fzlbase"))
    return low or (SURFACE if hazard.startswith("CONV") else None), high


def _level(value: Any) -> Level | None:
    """Feet, hundreds of feet or SFC; None for anything else."""
    if isinstance(value, str) and value.upper() == "SFC":
        return SURFACE
    try:
        number = float(value)
    except (TypeError, ValueError):
        return None
    if isinstance(value, bool) or not 0.0 <= number <= 100_000.0:
        return None
    return Level(ft=number * 100.0 if number <= HUNDREDS_UP_TO else number)


def _rings(row: Mapping[str, Any]) -> list[FloatArray]:
    """Outer rings of a row; none where it has no outline that can be believed."""
    geometry = row.get("geometry")
    if isinstance(geometry, Mapping):
        shape, coordinates = geometry.get("type"), geometry.get("coordinates")
        polygons = [coordinates] if shape == "Polygon" else coordinates
        if shape not in {"Polygon", "MultiPolygon"} or not isinstance(polygons, list):
            return []
        outer = [one[0] for one in polygons if isinstance(one, list) and one]
        rings = [
            _ring([(spot[1], spot[0]) for spot in ring if _pair(spot)], ring) for ring in outer
        ]
    else:
        corners = row.get("coords")
        if not isinstance(corners, list):
            return []
        spots = [(one.get("lat"), one.get("lon")) for one in corners if isinstance(one, Mapping)]
        rings = [_ring(spots, corners)]
    return [ring for ring in rings if ring is not None]


def _pair(spot: Any) -> bool:
    return isinstance(spot, Sequence) and len(spot) >= 2


def _ring(spots: Sequence[tuple[Any, Any]], said: Any) -> FloatArray | None:
    """Corners, the last not repeated; None if one of them is no place or they are too few."""
    try:
        corners_deg = np.array(spots, dtype=np.float64)
    except (TypeError, ValueError):
        return None
    if len(corners_deg) != len(said) or len(corners_deg) < 3 or corners_deg.ndim != 2:
        return None
    within = (np.abs(corners_deg) <= [90.0, 180.0]).all()
    if (corners_deg[0] == corners_deg[-1]).all():
        corners_deg = corners_deg[:-1]
    return corners_deg if within and len(corners_deg) >= 3 else None

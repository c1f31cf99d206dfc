"""Airspace, points and land as GeoJSON: in our own properties, or in the US government's.

Positions are longitude, latitude in degrees and lines straight in degrees. Which way a ring runs
does not matter: the first one is the edge, the others are holes. Rings may cross the date line.
"""

from collections.abc import Iterator, Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Final

import numpy as np

from lubberline.arrays import FloatArray, wrap_180_deg
from lubberline.places.dataset import DataSet
from lubberline.places.hours import schedule_of
from lubberline.places.model import Circle, Footprint, Polygon, VisualPoint, Volume
from lubberline.places.published._account import Accounting, Unfit, refusal
from lubberline.places.published._chosen import chosen
from lubberline.places.published._cycle import source_of
from lubberline.places.published._faa_airspace import volumes_of
from lubberline.places.published._identified import identified
from lubberline.places.published._json import Feature, NotRead, features
from lubberline.places.published._letters import PERMITTED, letter_of
from lubberline.places.published._limits import doubts_in, limit_of, limits_of
from lubberline.places.published._outline import footprints_of, straight_in_degrees
from lubberline.places.published._table import joined, words_of
from lubberline.places.published.nasr_radio import HIGH_MHZ, LOW_MHZ
from lubberline.places.published.zips import Files, Member, Progress, open_files

FORM: Final = "GeoJSON"
GOVERNMENT: Final = frozenset(("NAME", "UPPER_VAL", "LOWER_VAL"))
OURS: Final = frozenset(
    (
        *("id", "name", "class", "type", "floor", "ceiling", "group", "facility", "frequency_mhz"),
        *("hours", "otherwise_class", "lateral_margin_nm", "radius_nm", "inner_nm", "note"),
        *("valid_from", "valid_until"),
    )
)
_FARTHEST_DEG: Final = 540.0


def read_geojson(path: Path, progress: Progress | None = None) -> DataSet:
    """All airspace, points and land of GeoJSON files.

    Parameters
    ----------
    path : Path
        The file, or a zip file or folder with several.
    progress : callable, optional
        Called with the bytes read and the bytes in all.

    Raises
    ------
    BadFile
        If a file is no collection of features, or not in degrees.

    References
    ----------
    [RFC7946]_, form; [FAA-AIRSPACE]_, attributes of the government's export.
    """
    account = Accounting()
    found = _Found(account, path.name)
    with open_files(path, nested="json|airspace", progress=progress) as files:
        members = chosen(files, ".json", ".geojson")
        files.expect(*members)
        for member in members:
            _read(files, member, found)
        source = source_of(files, FORM)
    return DataSet(
        source=source,
        volumes=identified(found.volumes),
        points=tuple(found.points),
        land_deg=tuple(found.land_deg),
        account=account.done(),
    )


def _read(files: Files, member: Member, found: "_Found") -> None:
    with files.open(member) as stream:
        try:
            for line, feature in features(stream):
                try:
                    doubts = found.take(feature)
                except Unfit as exc:
                    found.account.leave_out(member.name, line, _name_of(feature), str(exc))
                    continue
                for doubt in doubts:
                    item = f"part of {_name_of(feature)}"
                    found.account.leave_out(member.name, line, item, doubt)
        except NotRead as exc:
            raise refusal(files.path, f"{member.name}: {exc}", "GeoJSON with features") from exc


class _Found:
    """What a file gave so far."""

    def __init__(self, account: Accounting, source: str) -> None:
        self.account, self._source = account, source
        self.volumes: list[Volume] = []
        self.points: list[VisualPoint] = []
        self.land_deg: list[FloatArray] = []

    def take(self, feature: Feature) -> list[str]:
        """Add what a feature is; what is doubtful about it is given back."""
        told, geometry = _object(feature, "properties"), _object(feature, "geometry")
        attributes = {key.upper(): _text(value) for key, value in told.items()}
        if set(attributes) >= GOVERNMENT:
            parts = [one for one in _footprints(geometry) if isinstance(one, Polygon)]
            return self._add(list(volumes_of(attributes, parts, self._source)), [])
        if "class" in told or "floor" in told:
            unknown = [f"property {name[:40]!r} is not known" for name in told if name not in OURS]
            return self._add(list(_volumes(told, geometry, self._source)), unknown)
        if geometry.get("type") == "Point":
            self.points.append(_point(told, geometry, self._source))
            self.account.read("points")
        elif told.get("land") is True or attributes.get("FEATURECLA", "").upper() == "LAND":
            land_deg = list(_land(geometry))
            self.land_deg += land_deg
            self.account.read("pieces of land", len(land_deg))
        else:
            raise Unfit("neither airspace (class, floor, ceiling) nor a point nor land")
        return []

    def _add(self, volumes: list[Volume], doubts: list[str]) -> list[str]:
        self.volumes += volumes
        self.account.read("volumes", len(volumes))
        return doubts + doubts_in(volumes[0].note if volumes else "")


def _object(feature: Feature, name: str) -> dict[str, Any]:
    value = feature.get(name)
    return value if isinstance(value, dict) else {}


def _volumes(told: Mapping[str, Any], geometry: Feature, source: str) -> Iterator[Volume]:
    """Airspace in our own properties."""
    said = {name: _text(told.get(name)) for name in OURS}
    missing = [name for name in ("name", "class", "floor", "ceiling") if not said[name]]
    if missing:
        raise Unfit(f"no {', '.join(missing)}")
    lower, upper = limit_of(said["floor"], upper=False), limit_of(said["ceiling"], upper=True)
    floor, ceiling, heights = limits_of(lower, upper)
    letter, assumed = said["class"].upper(), ""
    if len(letter) > 1:  # a type, where no class is published
        letter, assumed = letter_of("", letter)
    group = said["group"] or said["facility"] or said["name"]
    for footprint in _footprints(geometry, told):
        yield Volume(
            id=said["id"] or "-".join(words_of(said["name"])) or "AIRSPACE",
            name=said["name"],
            airspace_class=letter,
            group=group if letter in PERMITTED or said["group"] else said["name"],
            facility=said["facility"],
            floor=floor,
            ceiling=ceiling,
            footprint=footprint,
            frequency_mhz=_number(told, "frequency_mhz", LOW_MHZ, HIGH_MHZ),
            lateral_margin_nm=_number(told, "lateral_margin_nm", 0.0, 100.0),
            schedule=schedule_of(said["hours"]),
            otherwise_class=said["otherwise_class"].upper(),
            kind=said["type"],
            note=joined(heights, assumed, said["note"]),
            source=source,
            valid_from_utc=_time_utc(said["valid_from"]),
            valid_until_utc=_time_utc(said["valid_until"]),
        )


def _point(told: Mapping[str, Any], geometry: Feature, source: str) -> VisualPoint:
    name = _text(told.get("name"))
    if not name:
        raise Unfit("a point without name")
    lat_deg, lon_deg = _places([geometry.get("coordinates")])[0]
    note = _text(told.get("note"))
    return VisualPoint(name=name, lat_deg=lat_deg, lon_deg=lon_deg, note=note, source=source)


def _land(geometry: Feature) -> Iterator[FloatArray]:
    for one in _footprints(geometry):
        if not isinstance(one, Polygon) or one.holes_deg:
            raise Unfit("land with a lake, or round a point: only a file of land alone may have it")
        yield one.corners_deg


def _footprints(geometry: Feature, told: Mapping[str, Any] | None = None) -> Iterator[Footprint]:
    """What a geometry covers; a point with a radius is a circle, or a ring."""
    kind, coordinates = geometry.get("type"), geometry.get("coordinates")
    radius_nm = _number(told or {}, "radius_nm", 0.001, 1_000.0)
    if kind == "Point" and radius_nm is not None:
        (place,) = _places([coordinates])
        inner_nm = _number(told or {}, "inner_nm", 0.0, radius_nm) or 0.0
        yield Circle(lat_deg=place[0], lon_deg=place[1], radius_nm=radius_nm, inner_nm=inner_nm)
    elif kind in ("Polygon", "MultiPolygon") and isinstance(coordinates, list) and coordinates:
        for rings in [coordinates] if kind == "Polygon" else coordinates:
            if not isinstance(rings, list) or not rings:
                raise Unfit("a polygon without rings")
            outer, *holes = (list(straight_in_degrees(_places(ring))) for ring in rings)
            yield from footprints_of(outer, holes)
    else:
        raise Unfit(f"a geometry of kind {str(kind)[:40]!r} without area")


def _places(positions: Any) -> list[tuple[float, float]]:
    """Latitude and longitude of positions, which have the longitude first."""
    try:
        values = np.array([one[:2] for one in positions], dtype=np.float64).reshape(-1, 2)
    except (TypeError, ValueError, OverflowError) as exc:
        raise Unfit("positions that are none") from exc
    if not len(values) or not (np.abs(values) <= [_FARTHEST_DEG, 90.0]).all():
        raise Unfit("a corner that is no place on earth")
    lon_deg = np.where(np.abs(values[:, 0]) > 180.0, wrap_180_deg(values[:, 0]), values[:, 0])
    return list(zip(values[:, 1].tolist(), lon_deg.tolist(), strict=True))


def _number(told: Mapping[str, Any], name: str, low: float, high: float) -> float | None:
    value = told.get(name)
    if value is None or value == "":
        return None
    if isinstance(value, bool) or not isinstance(value, int | float) or not low <= value <= high:
        raise Unfit(f"{name} {str(value)[:20]!r}, expected {low:g} to {high:g}")
    return float(value)


def _time_utc(text: str) -> datetime | None:
    if not text:
        return None
    try:
        time = datetime.fromisoformat(text)
    except ValueError as exc:
        raise Unfit(f"{text[:40]!r} is no time") from exc
    return time.replace(tzinfo=UTC) if time.tzinfo is None else time.astimezone(UTC)


def _name_of(feature: Feature) -> str:
    told = _object(feature, "properties")
    return _text(told.get("name", told.get("NAME"))) or "feature"


def _text(value: Any) -> str:
    """A value as it would be written; whole numbers without a fraction."""
    if value is None or isinstance(value, dict | list):
        return ""
    whole = isinstance(value, float) and value.is_integer()
    return str(int(value) if whole else value).strip()

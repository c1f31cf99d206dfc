"""GPX 1.1 and 1.0 tracks [GPX]_.

A track holds segments, a segment holds points; a new segment says that recording stopped and
began again. Points carry latitude and longitude, and may carry a height in meters, of which the
schema does not say above what, and a time in UTC. Elements of other namespaces are not read.
"""

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Final
from xml.etree import ElementTree

import numpy as np

from lubberline.arrays import FloatArray, IntArray
from lubberline.errors import BadFile
from lubberline.recording.model import Clock
from lubberline.recording.raw import RawTrack, bad_file, counted
from lubberline.recording.xml import local_name
from lubberline.units import FT_PER_M, KT_PER_MPS

_FEWEST_TIMED_FRACTION: Final = 0.5  # own: with fewer it is a drawing with some times in it

# Elements of a point: our name, and the factor from the schema's unit to ours.
_VALUES: Final = {
    "ele": ("gnss_ft", FT_PER_M),
    "speed": ("ground_kt", KT_PER_MPS),  # GPX 1.0 only
    "course": ("track_true_deg", 1.0),  # GPX 1.0 only
    "hdop": ("hdop_ratio", 1.0),
    "vdop": ("vdop_ratio", 1.0),
    "sat": ("satellites_count", 1.0),
}


def read_gpx(path: Path, root: ElementTree.Element, clock: Clock | None = None) -> RawTrack:
    """The track points of a GPX document in file order.

    Raises
    ------
    BadFile
        If it has no track point, or if most points have no time.

    References
    ----------
    [GPX]_, elements trkType, trksegType and wptType.
    """
    account: list[str] = []
    points = list(_points(root))
    if not points:
        raise _no_points(path, root)
    segment_index = np.array([segment for segment, _ in points], dtype=np.int64)
    rows = [point for _, point in points]
    columns = _numbers(rows, account)
    columns["time_s"] = _times_s(path, rows, account, clock)
    _respect_fix_kind(rows, columns, account)
    _say_structure(root, segment_index, account)
    fixed = ("time_s", "lat_deg", "lon_deg", "gnss_ft")
    return RawTrack(
        **{name: columns.pop(name) for name in fixed},
        pressure_ft=np.full(segment_index.shape, np.nan),
        channels=columns,
        segment_index=segment_index,
        gnss_reference="unknown",
        format_name=f"GPX {root.get('version', 'of no stated version')}",
        account=tuple(account),
    )


def _points(root: ElementTree.Element) -> Iterator[tuple[int, dict[str, str]]]:
    """Every track point with the number of its segment, as text by element name."""
    space = root.tag[: root.tag.index("}") + 1] if root.tag.startswith("{") else ""
    skip = len(space)
    number = 0
    for track in root.iterfind(f"{space}trk"):
        for segment in track.iterfind(f"{space}trkseg"):
            for point in segment.iterfind(f"{space}trkpt"):
                values = {
                    child.tag[skip:]: child.text.strip()
                    for child in point
                    if child.text and isinstance(child.tag, str) and child.tag.startswith(space)
                }
                values["lat"], values["lon"] = point.get("lat", ""), point.get("lon", "")
                yield number, values
            number += 1


def _no_points(path: Path, root: ElementTree.Element) -> BadFile:
    kinds = [local_name(child.tag) for child in root]
    routes, waypoints = kinds.count("rte"), kinds.count("wpt")
    found = "no track point"
    if routes or waypoints:
        found += f", but {counted(routes, 'route')} and {counted(waypoints, 'waypoint')}"
    return bad_file(path, "trkpt", found, "a recorded track (trk, trkseg, trkpt)")


def _numbers(rows: list[dict[str, str]], account: list[str]) -> dict[str, FloatArray]:
    columns = {"lat_deg": _column(rows, "lat"), "lon_deg": _column(rows, "lon")}
    bad = int((np.isnan(columns["lat_deg"]) | np.isnan(columns["lon_deg"])).sum())
    if bad:
        account.append(f"{counted(bad, 'point')} without a readable lat and lon.")
    for element, (name, scale) in _VALUES.items():
        values = _column(rows, element) * scale
        if name == "gnss_ft" or np.isfinite(values).any():
            columns[name] = values
    known = np.isfinite(columns["gnss_ft"])
    if not known.any():
        account.append("No point has a height.")
        return columns
    if not columns["gnss_ft"][known].any():
        columns["gnss_ft"] = np.full(known.shape, np.nan)
        account.append("Every height is 0: taken as not measured.")
    else:
        account.append("GPX does not say above what its heights are measured: reference unknown.")
    return columns


def _column(rows: list[dict[str, str]], element: str) -> FloatArray:
    return np.array([_float(row.get(element)) for row in rows])


def _float(text: str | None) -> float:
    if not text:
        return np.nan
    try:
        value = float(text)
    except ValueError:
        return np.nan
    return value if np.isfinite(value) else np.nan


def _times_s(
    path: Path, rows: list[dict[str, str]], account: list[str], clock: Clock | None
) -> FloatArray:
    """Seconds since the epoch; NaN where a point has no time that can be read."""
    if clock is not None and clock.every_s is not None and not any("time" in row for row in rows):
        account.append(clock.said())
        return clock.times_s(len(rows))
    moments = [_moment(row.get("time")) for row in rows]
    timed = [one for one in moments if one is not None]
    if len(timed) < _FEWEST_TIMED_FRACTION * len(rows) or not timed:
        raise bad_file(
            path,
            "time",
            f"{len(timed):,} of {counted(len(rows), 'track point')} with a time",
            "a recorded track; a drawn or stripped one has no times (if it was recorded, --start"
            " and --every say them)",
            example="<time>2026-06-01T14:02:10Z</time>",
        )
    naive = sum(one.tzinfo is None for one in timed)
    if naive:
        account.append(f"{counted(naive, 'time')} without a zone: taken as UTC, as GPX prescribes.")
    utc = (one if one is None or one.tzinfo else one.replace(tzinfo=UTC) for one in moments)
    return np.array([np.nan if one is None else one.timestamp() for one in utc])


def _moment(text: str | None) -> datetime | None:
    try:
        return datetime.fromisoformat(text) if text else None
    except ValueError:
        return None


def _respect_fix_kind(
    rows: list[dict[str, str]], columns: dict[str, FloatArray], account: list[str]
) -> None:
    """A point without a fix has no position, one with a flat fix no height."""
    kind = np.array([row.get("fix", "") for row in rows])
    none, flat = kind == "none", kind == "2d"
    for name in ("lat_deg", "lon_deg", "gnss_ft"):
        columns[name] = np.where(none, np.nan, columns[name])
    columns["gnss_ft"] = np.where(flat, np.nan, columns["gnss_ft"])
    if none.any():
        account.append(f"{counted(int(none.sum()), 'point')} marked as having no fix: no position.")
    if flat.any():
        account.append(f"{counted(int(flat.sum()), 'point')} marked as two-dimensional: no height.")


def _say_structure(root: ElementTree.Element, segments: IntArray, account: list[str]) -> None:
    tracks = sum(local_name(child.tag) == "trk" for child in root)
    used = int(np.unique(segments).size)
    if tracks > 1 or used > 1:
        account.append(f"{counted(tracks, 'track')} with {counted(used, 'segment')} of points.")

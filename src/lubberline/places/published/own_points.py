"""The pilot's own points with notes: a table (CSV), or waypoints as GPX.

The table has the columns ``name``, ``lat`` and ``lon``, and ``note`` if there is anything to say.
Positions are degrees ("41.0917", "-130.5150") or degrees and minutes, with seconds or without, and
the hemisphere ("41 05.5N", "130 30 54 W").
"""

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Final
from xml.etree.ElementTree import Element

from lubberline.places.dataset import DataSet
from lubberline.places.model import VisualPoint
from lubberline.places.published._account import Accounting, Unfit, refusal
from lubberline.places.published._coordinates import angle_deg
from lubberline.places.published._cycle import source_of
from lubberline.places.published._table import Row, joined, rows
from lubberline.places.published._xml import LINE, NotRead, features, said
from lubberline.places.published.zips import Files, Member, Progress, open_files

FORM: Final = "own points"
NEEDED: Final = ("name", "lat", "lon")
_ITEMS: Final = "points"


def read_own_points(path: Path, progress: Progress | None = None) -> DataSet:
    """All points of tables and of GPX files.

    Parameters
    ----------
    path : Path
        The file, or a folder or zip file with several.
    progress : callable, optional
        Called with the bytes read and the bytes in all.

    Raises
    ------
    BadFile
        If a table lacks a column, or a GPX file is no XML.

    References
    ----------
    [GPX]_, wptType: name, cmt and desc.
    """
    account = Accounting()
    with open_files(path, progress=progress) as files:
        tables, tracks = files.ending(".csv", ".txt"), files.ending(".gpx")
        if not tables and not tracks:
            raise refusal(path, "no such file", "points as a table (.csv) or GPX (.gpx)")
        files.expect(*tables, *tracks)
        make = _Points(path.name)
        points = [
            point
            for member in tables
            for point in account.made(
                _ITEMS,
                member.name,
                rows(files, member, account, needed=NEEDED, wanted=("note",)),
                make.of_row,
            )
        ]
        points += [
            point
            for member in tracks
            for point in account.made(_ITEMS, member.name, _waypoints(files, member), make.of_gpx)
        ]
        source = source_of(files, FORM)
    return DataSet(source=source, points=tuple(points), account=account.done())


class _Points:
    """Makes points; a name is taken once."""

    def __init__(self, source: str) -> None:
        self._source = source
        self._taken: set[str] = set()

    def of_row(self, row: Row) -> VisualPoint:
        return self._point(row["name"], row["lat"], row["lon"], [row["note"]])

    def of_gpx(self, waypoint: Element) -> VisualPoint:
        told = (said(waypoint, name) for name in ("desc", "cmt"))
        lat, lon = waypoint.get("lat", ""), waypoint.get("lon", "")
        return self._point(said(waypoint, "name"), lat, lon, told)

    def _point(self, name: str, lat: str, lon: str, notes: Iterable[str]) -> VisualPoint:
        if not name:
            raise Unfit("no name")
        if name in self._taken:
            raise Unfit(f"a second {name[:40]!r}")
        point = VisualPoint(
            name=name,
            lat_deg=angle_deg(lat, "NS"),
            lon_deg=angle_deg(lon, "EW"),
            note=joined(*notes),
            source=self._source,
        )
        self._taken.add(name)
        return point


def _waypoints(files: Files, member: Member) -> Iterator[tuple[int, Element]]:
    with files.open(member) as stream:
        try:
            for one in features(stream, ["wpt"]):
                yield int(one.get(LINE, "0")), one
        except NotRead as exc:
            raise refusal(files.path, f"{member.name}: {exc}", "a GPX file") from exc

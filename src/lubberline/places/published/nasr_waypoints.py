"""Radio aids and fixes of the US subscription; VFR waypoints are visual points as well."""

from collections.abc import Iterable, Iterator
from itertools import chain
from math import isnan
from typing import Final

from lubberline.places.model import VisualPoint, Waypoint
from lubberline.places.published._account import Accounting, Unfit
from lubberline.places.published._table import Row, joined, number, position_deg, rows
from lubberline.places.published.zips import Files, Member

WAYPOINT_TABLES: Final = ("NAV_BASE.csv", "FIX_BASE.csv")
VFR: Final = "VFR"  # use of a fix that is a point to be seen
KHZ_PER_MHZ: Final = 1_000.0
_IN_KHZ: Final = ("NDB", "MARINE NDB", "NDB/DME", "UHF/NDB", "CONSOLAN")
_OFF: Final = "SHUTDOWN"
_PLACE: Final = ("LAT_DECIMAL", "LONG_DECIMAL")
_AID_NEEDED: Final = ("NAV_ID", "NAV_TYPE", *_PLACE)
_AID_WANTED: Final = ("NAME", "FREQ", "CHAN", "NAV_STATUS", "OPER_HOURS")
_FIX_NEEDED: Final = ("FIX_ID", *_PLACE)
_FIX_WANTED: Final = ("FIX_USE_CODE", "CHARTING_REMARK")


def waypoints(
    files: Files, tables: dict[str, Member], account: Accounting, source: str
) -> Iterator[Waypoint]:
    """Every radio aid in service, then every fix."""
    if (member := tables.get("NAV_BASE.csv")) is not None:
        found = rows(files, member, account, needed=_AID_NEEDED, wanted=_AID_WANTED)
        yield from account.made("radio aids", member.name, found, lambda row: _aid(row, source))
    if (member := tables.get("FIX_BASE.csv")) is not None:
        found = rows(files, member, account, needed=_FIX_NEEDED, wanted=_FIX_WANTED)
        yield from account.made("fixes", member.name, found, lambda row: _fix(row, source))


def visual_points(found: Iterable[Waypoint], account: Accounting) -> tuple[VisualPoint, ...]:
    """The VFR waypoints as points that can be named in a flight."""
    points = tuple(
        VisualPoint(
            name=one.id,
            lat_deg=one.lat_deg,
            lon_deg=one.lon_deg,
            note=joined("VFR waypoint", one.note),
            source=one.source,
        )
        for one in found
        if one.kind == VFR
    )
    account.read("visual points", len(points))
    return points


def _aid(row: Row, source: str) -> Waypoint:
    if _OFF in row["NAV_STATUS"].upper():
        raise Unfit("shut down")
    lat_deg, lon_deg = position_deg(row["LAT_DECIMAL"], row["LONG_DECIMAL"])
    kind, frequency = row["NAV_TYPE"], number(row["FREQ"])
    in_khz = kind in _IN_KHZ
    hours = row["OPER_HOURS"]
    return Waypoint(
        id=_named(row["NAV_ID"]),
        kind=kind,
        name=row["NAME"],
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        frequency_mhz=None if isnan(frequency) else frequency / (KHZ_PER_MHZ if in_khz else 1.0),
        note=joined(
            *chain(
                [f"channel {row['CHAN']}"] if row["CHAN"] else [],
                [row["NAV_STATUS"]] if "RESTRICTED" in row["NAV_STATUS"].upper() else [],
                [f"hours {hours}"] if hours not in ("", "24") else [],
            )
        ),
        source=source,
    )


def _fix(row: Row, source: str) -> Waypoint:
    lat_deg, lon_deg = position_deg(row["LAT_DECIMAL"], row["LONG_DECIMAL"])
    return Waypoint(
        id=_named(row["FIX_ID"]),
        kind=row["FIX_USE_CODE"],
        name="",
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        note=row["CHARTING_REMARK"],
        source=source,
    )


def _named(name: str) -> str:
    if not name:
        raise Unfit("no identifier")
    return name

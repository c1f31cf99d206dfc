"""The US 28-day subscription in CSV form: aerodromes, radio services, radio aids and fixes.

The subscription comes as a zip file that holds another with the tables; either of them, or a
folder they were unpacked to, is read. One cycle is read at a time: tables of two cycles in one
place are refused, since what fits one need not fit the other.
"""

from datetime import date, datetime
from pathlib import Path
from typing import Final

from lubberline.places.dataset import DataSet
from lubberline.places.published._account import Accounting, refusal
from lubberline.places.published._cycle import source_of
from lubberline.places.published._table import rows
from lubberline.places.published.nasr_airports import AIRPORT_TABLES, aerodromes
from lubberline.places.published.nasr_waypoints import WAYPOINT_TABLES, visual_points, waypoints
from lubberline.places.published.zips import Files, Member, Progress, open_files

FORM: Final = "NASR CSV"
_TABLES: Final = (*AIRPORT_TABLES, *WAYPOINT_TABLES)
_MAIN: Final = ("APT_BASE.csv", "NAV_BASE.csv", "FIX_BASE.csv")


def read_nasr(path: Path, progress: Progress | None = None) -> DataSet:
    """Everything the tables at a path say that this program knows how to use.

    Parameters
    ----------
    path : Path
        The subscription's zip file, the one of its tables, or a folder with them.
    progress : callable, optional
        Called with the bytes read and the bytes in all.

    Raises
    ------
    BadFile
        If there are no such tables, if a table lacks a column without which it means nothing,
        or if they are of two cycles.

    References
    ----------
    [NASR-CSV]_, tables APT, FRQ, ATC, AWOS, CLS_ARSP, NAV and FIX.
    """
    account = Accounting()
    with open_files(path, nested="csv", progress=progress) as files:
        tables = files.named(*_TABLES)
        if not any(name in tables for name in _MAIN):
            raise refusal(path, f"none of {', '.join(_MAIN)}", "the tables of the subscription")
        day = _effective_day(files)
        files.expect(*tables.values())
        source = source_of(files, FORM, day)
        fixes = tuple(waypoints(files, tables, account, source.name))
        return DataSet(
            source=source,
            aerodromes=tuple(aerodromes(files, tables, account, source.name)),
            waypoints=fixes,
            points=visual_points(fixes, account),
            account=account.done(),
        )


def _effective_day(files: Files) -> date | None:
    """The first day of the cycle, by the first row of every table, also of those not used."""
    known = {name.lower() for name in _TABLES}
    tables = [one for one in files.members if one.base in known]
    found = {day: one.name for one in tables if (day := _first_day(files, one))}
    if len(found) > 1:
        cycles = ", ".join(f"{day} in {name}" for day, name in sorted(found.items()))
        raise refusal(files.path, f"tables of several cycles ({cycles})", "tables of one cycle")
    try:
        return datetime.strptime(next(iter(found)), "%Y/%m/%d").date()  # noqa: DTZ007 - a day
    except (StopIteration, ValueError):
        return None


def _first_day(files: Files, member: Member) -> str:
    first = next(rows(files, member, Accounting(), needed=(), wanted=("EFF_DATE",)), None)
    return "" if first is None else first[1]["EFF_DATE"]

"""The US Digital Obstacle File: fixed width in both of its layouts, and its edition in CSV form.

Dismantled obstacles are left out, and so is a record whose place or top cannot be read. What the
file says of its own accuracy becomes the doubt of each position and height.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import fields
from datetime import UTC, datetime, timedelta
from itertools import islice
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from lubberline.arrays import FloatArray
from lubberline.places.dataset import DataSet
from lubberline.places.model import Obstacles, Source
from lubberline.places.published._account import Accounting, refusal
from lubberline.places.published._dof_columns import (
    SHORTEST,
    Records,
    are_records,
    layout_of,
    lines_of,
    records_of,
)
from lubberline.places.published._table import Row, number, rows
from lubberline.places.published.zips import Files, Member, Progress, content_sha256, open_files
from lubberline.units import FT_PER_NM

FORM: Final = "Digital Obstacle File"
HOLDS: Final = timedelta(days=56)  # from one file to the next
TALLEST_FT: Final = 5_000.0  # own: nothing built is as tall
LOWEST_MSL_FT: Final = -1_500.0
HIGHEST_MSL_FT: Final = 30_000.0
AT_ONCE: Final = 50_000  # own: rows of the CSV form taken apart together
BLOCK_BYTES: Final = 8_000_000

_CURRENCY: Final = re.compile(rb"CURRENCY DATE\s*=\s*(\d\d/\d\d/\d\d)")
_LATERAL_NM: Final = dict(
    zip(
        "12345678",
        [*(ft / FT_PER_NM for ft in (20, 50, 100, 250, 500, 1_000)), 0.5, 1.0],
        strict=True,
    )
)
_VERTICAL_FT: Final = dict(zip("ABCDEFGH", (3, 10, 20, 50, 125, 250, 500, 1_000), strict=True))
_LIT: Final = "RDHMSFCWLT"  # every code but none and unknown; parsers disagree on D, S and T
_CSV_NEEDED: Final = ("LATDEC", "LONDEC", "AGL", "AMSL", "ACTION")
_CSV_WANTED: Final = ("VERIFIED STATUS", "TYPE", "LIGHTING", "ACCURACY")


def read_obstacles(path: Path, progress: Progress | None = None) -> DataSet:
    """All standing obstacles of the file, or of the files by state in its place.

    Parameters
    ----------
    path : Path
        ``DOF.DAT`` or ``DOF.CSV``, a zip file or a folder with one of them.
    progress : callable, optional
        Called with the bytes read and the bytes in all.

    Raises
    ------
    BadFile
        If there is no such file, or no line of it is a record.

    References
    ----------
    [DOF]_, record layout, codes and the 56 days from one file to the next.
    """
    account = Accounting()
    with open_files(path, nested="dof|obst", progress=progress) as files:
        chosen = _chosen(files)
        days = [_currency_utc(files, member) for member in chosen]
        files.expect(*chosen)
        parts = [
            _standing(records, member, account)
            for member in chosen
            for records in _records(files, member, account)
        ]
        if not parts:
            raise refusal(path, "no line that is a record", "an obstacle file")
        obstacles = _joined(parts)
        account.read("obstacles", len(obstacles))
        from_utc = min((day for day in days if day), default=None)
        source = Source(
            name=path.name,
            form=FORM,
            sha256=content_sha256(files),
            valid_from_utc=from_utc,
            valid_until_utc=from_utc and from_utc + HOLDS,
        )
        return DataSet(source=source, obstacles=obstacles, account=account.done())


def _chosen(files: Files) -> list[Member]:
    """The file of the whole country, or else whatever has its ending."""
    whole = files.named("DOF.DAT", "DOF.CSV")
    for name in ("DOF.DAT", "DOF.CSV"):
        if name in whole:
            return [whole[name]]
    found = files.ending(".dat") or files.ending(".csv")
    if not found:
        raise refusal(files.path, "no file .DAT or .CSV", "an obstacle file")
    return found


def _currency_utc(files: Files, member: Member) -> datetime | None:
    """The day up to which the file is current, by its first line; the CSV form has none."""
    with files.open(member) as stream:
        match = _CURRENCY.search(stream.read(200))
    try:
        day = match and datetime.strptime(match[1].decode(), "%m/%d/%y")  # noqa: DTZ007
    except ValueError:
        return None
    return day.replace(tzinfo=UTC) if day else None


def _records(files: Files, member: Member, account: Accounting) -> Iterator[Records]:
    if member.base.endswith(".csv"):
        table = rows(files, member, account, needed=_CSV_NEEDED, wanted=_CSV_WANTED)
        while some := list(islice(table, AT_ONCE)):
            yield _from_rows(some)
    else:
        yield from _from_lines(files, member, account)


def _from_lines(files: Files, member: Member, account: Accounting) -> Iterator[Records]:
    """Records of each block of lines; those of the heading are no records and are not told."""
    layout, count = None, 0
    for block in _blocks(files, member):
        lengths, lines = lines_of(block)
        is_record = np.zeros(len(lengths), bool)
        good = are_records(lines)
        is_record[lengths >= SHORTEST] = good
        numbered = np.arange(count + 1, count + 1 + len(lengths))
        count += len(lengths)
        if layout is None:
            heading = int(np.argmax(is_record)) if good.any() else len(lengths)
            lengths[:heading] = 0
            layout = layout_of(lines[good]) if good.any() else None
        odd = numbered[~is_record & (lengths > 1)]
        account.leave_out_all(member.name, odd.tolist(), "line", "no record of an obstacle")
        if layout is not None and good.any():
            yield records_of(lines[good], numbered[is_record], layout)


def _blocks(files: Files, member: Member) -> Iterator[bytes]:
    """The file in pieces that end where a line ends."""
    rest = b""
    with files.open(member) as stream:
        while block := stream.read(BLOCK_BYTES):
            whole, mark, rest = (rest + block).rpartition(b"\n")
            if mark:
                yield whole
            elif len(rest) > BLOCK_BYTES:
                raise refusal(files.path, f"{member.name} without lines", "an obstacle file")
    if rest:
        yield rest


def _from_rows(some: list[tuple[int, Row]]) -> Records:
    def codes(letters: list[str]) -> NDArray[np.uint8]:
        return np.array([ord(one[:1] or " ") & 0x7F for one in letters], np.uint8)

    def column(name: str) -> list[str]:
        return [row[name] for _, row in some]

    def values(name: str) -> FloatArray:
        return np.array([number(text) for text in column(name)])

    accuracy = [text.rjust(2) for text in column("ACCURACY")]
    return Records(
        line=np.array([line for line, _ in some]),
        lat_deg=values("LATDEC"),
        lon_deg=values("LONDEC"),
        agl_ft=values("AGL"),
        msl_ft=values("AMSL"),
        kind=np.array(column("TYPE")),
        verified=codes(column("VERIFIED STATUS")),
        light=codes(column("LIGHTING")),
        lateral=codes([text[-2] for text in accuracy]),
        vertical=codes([text[-1] for text in accuracy]),
        action=codes(column("ACTION")),
    )


def _standing(records: Records, member: Member, account: Accounting) -> Obstacles:
    """What of the records is an obstacle that stands somewhere."""
    placed = (np.abs(records.lat_deg) <= 90.0) & (np.abs(records.lon_deg) <= 180.0)
    low, high = LOWEST_MSL_FT, HIGHEST_MSL_FT
    tall = (records.agl_ft >= 0.0) & (records.agl_ft <= TALLEST_FT)
    tall &= (records.msl_ft >= low) & (records.msl_ft <= high)
    gone = records.action == ord("D")
    for bad, reason in (
        (gone, "dismantled"),
        (~gone & ~placed, "no place on earth"),
        (~gone & placed & ~tall, "no height that can be"),
    ):
        account.leave_out_all(member.name, records.line[bad].tolist(), "obstacle", reason)
    kept = placed & tall & ~gone
    unverified = np.where(records.verified == ord("U"), " unverified", "")
    return Obstacles(
        lat_deg=records.lat_deg[kept],
        lon_deg=records.lon_deg[kept],
        top_msl_ft=records.msl_ft[kept],
        top_agl_ft=records.agl_ft[kept],
        lateral_doubt_nm=_by_code(_LATERAL_NM)[records.lateral[kept]],
        vertical_doubt_ft=_by_code(_VERTICAL_FT)[records.vertical[kept]],
        lit=np.isin(records.light[kept], np.frombuffer(_LIT.encode(), np.uint8)),
        kind=np.char.add(records.kind[kept], unverified[kept]),
    )


def _by_code(known: Mapping[str, float]) -> FloatArray:
    """A value for each letter; NaN for what is no code."""
    values = np.full(256, np.nan)
    for letter, value in known.items():
        values[ord(letter)] = value
    return values


def _joined(parts: list[Obstacles]) -> Obstacles:
    columns = {
        one.name: np.concatenate([getattr(part, one.name) for part in parts])
        for one in fields(Obstacles)
    }
    return Obstacles(**columns)

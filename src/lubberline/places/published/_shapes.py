"""Shapefiles of polygons: rings of corners and the table beside them, record by record.

The bytes are those of the published description; each length and count in them is held to what
is there before it is believed, so that a damaged file ends early and never runs away.
"""

import struct
from collections.abc import Iterator
from itertools import zip_longest
from typing import IO, Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.errors import BadFile
from lubberline.places.published._account import Accounting, Unfit, refusal
from lubberline.places.published._table import Row, decoded
from lubberline.places.published.zips import Files, Member

Rings = tuple[FloatArray, ...]  # each (m, 2) of longitude, latitude

_HEAD_BYTES: Final = 100
_FILE_CODE: Final = 9994
_NULL: Final = 0
_POLYGONS: Final = (5, 15, 25)  # plain, with heights, with measures: the corners come first
_CORNERS_AT: Final = 44  # after type, box and the two counts
_TABLE_HEAD_BYTES: Final = 32
_FIELD_BYTES: Final = 32
MAX_RECORD_BYTES: Final = 64_000_000  # own: four million corners in one polygon


def records(
    files: Files, shapes: Member, table: Member, account: Accounting
) -> Iterator[tuple[int, tuple[Rings | Unfit, Row]]]:
    """Number, rings and values of every record; rings that cannot be are a judgement on them.

    Raises
    ------
    BadFile
        If either file is not what its name says.

    References
    ----------
    [SHAPEFILE]_, main file header and records (pages 3 to 10); the table is that of dBASE III.
    """
    with files.open(shapes) as shape_stream, files.open(table) as table_stream:
        found = _polygons(files, shapes, shape_stream)
        values = _values(files, table, table_stream)
        pairs = zip_longest(found, values)
        for count, (rings, row) in enumerate(pairs, start=1):
            if rings is None or row is None:
                short = table if row is None else shapes
                account.leave_out(short.name, count, "every further record", "the file ends here")
                return
            yield count, (rings, row)


def fields_of(files: Files, table: Member) -> list[str]:
    """Names of the columns of a table."""
    with files.open(table) as stream:
        return [name for name, _, _ in _fields(files, table, stream)[0]]


def _polygons(files: Files, member: Member, stream: IO[bytes]) -> Iterator[Rings | Unfit]:
    head = stream.read(_HEAD_BYTES)
    if len(head) < _HEAD_BYTES or struct.unpack(">i", head[:4])[0] != _FILE_CODE:
        raise _refused(files, member, "no shapes")
    (kind,) = struct.unpack("<i", head[32:36])
    if kind not in _POLYGONS:
        raise _refused(files, member, f"shapes of type {kind}")
    while len(head := stream.read(8)) == 8:
        size = 2 * struct.unpack(">2i", head)[1]
        if not 4 <= size <= MAX_RECORD_BYTES:
            return
        content = stream.read(size)
        if len(content) < size:
            return
        yield _rings(content)


def _rings(content: bytes) -> Rings | Unfit:
    (kind,) = struct.unpack_from("<i", content)
    if kind == _NULL:
        return Unfit("no shape")
    if kind not in _POLYGONS or len(content) < _CORNERS_AT:
        return Unfit(f"a shape of type {kind}")
    parts, corners = struct.unpack_from("<2i", content, _CORNERS_AT - 8)
    start = _CORNERS_AT + 4 * parts
    if parts < 1 or corners < 1 or start + 16 * corners > len(content):
        return Unfit(f"{parts} parts and {corners} corners do not fit {len(content)} bytes")
    firsts = np.frombuffer(content, "<i4", parts, _CORNERS_AT).astype(np.int64)
    if firsts[0] != 0 or (np.diff(firsts) <= 0).any() or firsts[-1] >= corners:
        return Unfit("parts that do not follow one another")
    places_deg = np.frombuffer(content, "<f8", 2 * corners, start).reshape(-1, 2)
    return tuple(np.split(places_deg.astype(np.float64), firsts[1:]))


def _values(files: Files, member: Member, stream: IO[bytes]) -> Iterator[Row]:
    """Rows of a table as text; rows marked as deleted keep their place and are empty."""
    fields, size = _fields(files, member, stream)
    while len(row := stream.read(size)) == size:
        kept = row[:1] != b"*"
        yield {
            name: decoded(row[at:until]).replace("\0", " ").strip() if kept else ""
            for name, at, until in fields
        }


def _fields(
    files: Files, member: Member, stream: IO[bytes]
) -> tuple[list[tuple[str, int, int]], int]:
    """Name and place of each column, and the size of a row; the rows come next in the stream."""
    head = stream.read(_TABLE_HEAD_BYTES)
    if len(head) < _TABLE_HEAD_BYTES:
        raise _refused(files, member, "no table")
    length, size = struct.unpack_from("<HH", head, 8)
    described = stream.read(max(length - _TABLE_HEAD_BYTES, 0))
    fields, at = [], 1  # before the first column stands the mark of deletion
    for start in range(0, len(described) - _FIELD_BYTES + 1, _FIELD_BYTES):
        field = described[start : start + _FIELD_BYTES]
        if field[0] == 0x0D:  # the end of the columns
            break
        name = decoded(field[:11].partition(b"\0")[0]).strip().upper()
        fields.append((name, at, at + field[16]))
        at += field[16]
    if not fields or at > size:
        raise _refused(files, member, f"columns of {at} bytes in rows of {size}")
    return fields, size


def _refused(files: Files, member: Member, found: str) -> BadFile:
    return refusal(files.path, f"{member.name}: {found}", "a shapefile of polygons")

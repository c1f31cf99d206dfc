"""Tables of comma-separated text, read by the names of their columns, and the values in them.

Lenient about what carries no meaning: order of columns, quotes, byte order mark, ends of lines,
blank rows, spaces round a value, bytes that are Latin-1 where all else is UTF-8. A row with
another number of values than the header has cannot be trusted and is left out.
"""

import codecs
import csv
import io
import re
from collections.abc import Iterator, Sequence
from itertools import chain
from math import isfinite, nan
from typing import IO, Any, Final

from lubberline.places.published._account import Accounting, Unfit, refusal
from lubberline.places.published.zips import Files, Member

Row = dict[str, str]

_LATIN: Final = "lubberline-latin-1"


def _as_latin(error: UnicodeError) -> tuple[str, int]:
    """Bytes that are not UTF-8, taken as Latin-1."""
    if not isinstance(error, UnicodeDecodeError):
        raise error
    return error.object[error.start : error.end].decode("latin-1"), error.end


codecs.register_error(_LATIN, _as_latin)


def text_of(stream: IO[bytes]) -> io.TextIOWrapper:
    """A stream of bytes as text with its ends of lines as they are."""
    return io.TextIOWrapper(stream, encoding="utf-8-sig", errors=_LATIN, newline="")


def decoded(text: bytes) -> str:
    """Bytes as text."""
    return text.decode("utf-8", _LATIN)


def rows(
    files: Files,
    member: Member,
    account: Accounting,
    *,
    needed: Sequence[str],
    wanted: Sequence[str] = (),
) -> Iterator[tuple[int, Row]]:
    """Every row with its line number: values by column name, "" where a wanted column is absent.

    Raises
    ------
    BadFile
        If the file has no header with the needed columns.
    """
    with text_of(files.open(member)) as text:
        lines = _records(csv.reader(text), member, account)
        names = [name.strip().upper() for name in next(lines, (0, []))[1]]
        absent = [name for name in needed if name.upper() not in names]
        if absent:
            found = f"{member.name} without {', '.join(absent)}"
            raise refusal(files.path, found, f"a table with columns {', '.join(needed)}")
        kept = {
            name: names.index(name.upper())
            for name in chain(needed, wanted)
            if name.upper() in names
        }
        blank = dict.fromkeys((name for name in wanted if name not in kept), "")
        for line, values in lines:
            if len(values) != len(names) and any(values[len(names) :] or [True]):
                reason = f"{len(values)} values under {len(names)} columns"
                account.leave_out(member.name, line, ",".join(values[:3]), reason)
                continue
            yield line, blank | {name: values[at].strip() for name, at in kept.items()}


def _records(reader: Any, member: Member, account: Accounting) -> Iterator[tuple[int, list[str]]]:
    """Rows that are not blank, with their lines; what is no row of a table is left out."""
    while True:
        try:
            values = next(reader)
        except StopIteration:
            return
        except csv.Error as exc:
            account.leave_out(member.name, reader.line_num, "row", str(exc))
            continue
        if any(value.strip() for value in values):
            yield reader.line_num, values


def number(text: str) -> float:
    """The number that a text says; NaN if it is blank or no plain number."""
    try:
        value = float(text)
    except ValueError:
        return nan
    return value if isfinite(value) and "_" not in text else nan


def within(text: str, low: float, high: float, what: str) -> float:
    """The number, NaN if blank; unfit where it lies outside what can be."""
    value = number(text)
    if text and not low <= value <= high:
        raise Unfit(f"{what} {text[:20]!r}, expected {low:g} to {high:g}")
    return value


def elevation_ft(text: str) -> float:
    """Elevation above mean sea level [ft]; NaN if not published."""
    return within(text, -1_500.0, 30_000.0, "elevation in feet")


def position_deg(lat: str, lon: str) -> tuple[float, float]:
    """Latitude and longitude [deg]; unfit where they are no place on earth."""
    if not lat or not lon:
        raise Unfit("no position")
    return within(lat, -90.0, 90.0, "latitude"), within(lon, -180.0, 180.0, "longitude")


def joined(*parts: str) -> str:
    """What is said, in one line, each part once."""
    return "; ".join(dict.fromkeys(part for part in parts if part))


def words_of(text: str) -> list[str]:
    """Letters and digits in upper case, split at everything else."""
    return re.findall(r"[A-Z0-9]+", text.upper())

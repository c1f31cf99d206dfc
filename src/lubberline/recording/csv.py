"""CSV recordings: columns by the pilot's map or by a guess, read with a columnar reader.

Every number of the file passes one place, ``_numbers``, where text becomes float and the file's
unit becomes ours. What cannot be read is NaN and counted. A file that holds several aircraft is
refused until the map says which one.
"""

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

import numpy as np

from lubberline.air import pressure_altitude_ft
from lubberline.arrays import FloatArray
from lubberline.recording.column_map import (
    EXAMPLE,
    NUMBER_FORMS,
    ColumnMap,
    column_map_toml,
    headings_of,
    read_column_map,
)
from lubberline.recording.csv_time import calendar_s
from lubberline.recording.guess import (
    HEADER_LINES,
    NO_TIME,
    SEPARATORS,
    Guess,
    guess_column_map,
    split,
)
from lubberline.recording.measures import converted, unit_of_name
from lubberline.recording.model import Clock
from lubberline.recording.raw import RawTrack, bad_file, counted

if TYPE_CHECKING:
    import polars as pl

AIRCRAFT: Final = ("icao24", "hex", "icao_address")  # headings that tell aircraft apart
HEAD_BYTES: Final = 200_000  # own: the headings of any file stand within this
SETTINGS_INHG: Final = (25.0, 32.0)  # own: what an altimeter can be set to, and more
ALL_OVER_COUNT: Final = 200  # own: rows looked at for what they can be
_UPDATE: Final = "position_update_s"
_FIX: Final = ("lat_deg", "lon_deg", "gnss_ft", "pressure_ft")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sheet:
    """A CSV file as it lies there: its path, bytes, headings, and the map that explains them."""

    path: Path
    data: bytes
    names: tuple[str, ...]
    column_map: ColumnMap

    def place(self, heading: str) -> int:
        """Which column stands under a heading, or the refusal that names those there are."""
        for number, name in enumerate(self.names):
            if name == heading:
                return number
        raise bad_file(
            self.path, "columns", f"no column {heading!r}; there are {', '.join(self.names)}",
            "the headings that the column map names", line=self.column_map.header_line,
        )  # fmt: skip


def read_csv(
    path: Path, data: bytes, column_map: Path | None = None, clock: Clock | None = None
) -> RawTrack:
    """The rows of a CSV file in file order.

    Raises
    ------
    BadFile
        If time or position cannot be found, no row can be read, or the rows belong to several
        aircraft.

    References
    ----------
    [OPENSKY]_ for state vectors; other units come from the map or the headings.
    """
    data = data.removeprefix(b"\xef\xbb\xbf")
    if b"\r" in data:
        data = data.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    account: list[str] = []
    if column_map is None:
        sheet = _guessed(path, data, account)
    else:
        sheet = _mapped(path, data, column_map)
        account.append(f"What the columns are was read from {column_map.name}.")
    frame = _one_aircraft(sheet, _frame(sheet))
    columns = _numbers(sheet, frame, account)
    _pressure_from_indicated(columns, account)
    time_s = _times_s(sheet, frame, account, clock)
    _forget_repeated_positions(columns, account)
    fix = {name: columns.pop(name, np.full(time_s.shape, np.nan)) for name in _FIX}
    return RawTrack(
        **fix,
        time_s=time_s,
        channels=columns,
        segment_index=np.zeros(time_s.shape, dtype=np.int64),
        gnss_reference=sheet.column_map.gnss_reference,
        format_name="CSV",
        account=tuple(account),
    )


def looks_like_csv(data: bytes) -> bool:
    """Whether some line near the start has fields between the separators we know."""
    lines = head_lines(data)
    return any(
        len(split(line, separator)) > 2 for line in lines[:HEADER_LINES] for separator in SEPARATORS
    )


def head_lines(data: bytes) -> list[str]:
    """The first lines of a file, the headings among them."""
    count = HEADER_LINES + 3
    head = b"\n".join(data[:HEAD_BYTES].split(b"\n", count)[:count])
    return head.decode("utf-8-sig", errors="replace").splitlines()[:count]


def _mapped(path: Path, data: bytes, map_path: Path) -> _Sheet:
    column_map = read_column_map(map_path)
    lines = head_lines(data)
    if column_map.header_line > len(lines):
        raise bad_file(
            path, "headings", f"{counted(len(lines), 'line')}",
            f"headings in line {column_map.header_line}, as the column map says",
        )  # fmt: skip
    names = split(lines[column_map.header_line - 1], column_map.separator)
    return _Sheet(path=path, data=data, names=tuple(names), column_map=column_map)


def guessed(data: bytes) -> Guess:
    """What the columns of a CSV probably mean; a guess without a map where that is not clear."""
    return guess_column_map(head_lines(data), _rows_all_over(data))


def _rows_all_over(data: bytes) -> Iterator[str]:
    """Whole lines from all over a file."""
    if len(data) <= HEAD_BYTES:
        return
    for place in np.linspace(HEAD_BYTES, len(data), ALL_OVER_COUNT, endpoint=False).astype(int):
        begin = data.find(b"\n", place) + 1
        end = data.find(b"\n", begin)
        if 0 < begin < end:
            yield data[begin:end].decode("utf-8", errors="replace")


def _guessed(path: Path, data: bytes, account: list[str]) -> _Sheet:
    """The sheet with a map guessed from its headings, and the guess in the account."""
    guess = guessed(data)
    if guess.column_map is None:
        there = ", ".join(guess.headings[:40])
        raise bad_file(
            path,
            "columns",
            f"{'; '.join(guess.problems)}; the columns are {there}",
            "a column for the time and one that is measured, or a column map that names them",
            example="\n" + EXAMPLE,
        )
    if guess.by_values:
        raise bad_file(
            path,
            "columns",
            f"{', '.join(guess.by_values)}, whose meaning only their values suggest",
            "a column map that says it, in recordings/ or with --columns; or --keep-columns, which"
            " takes this one and keeps it",
            example="\n" + column_map_toml(guess.column_map),
        )
    meaning = ", ".join(
        f"{name} from {source.heading!r} in {source.unit}"
        for name, source in guess.column_map.columns.items()
    )
    time = guess.column_map.time
    account.append(
        f"No column map was given; guessed from the headings: time from {time.heading!r}"
        f" as {time.form} in {time.zone}, {meaning}."
    )
    if "lat_deg" not in guess.column_map.columns:
        account.append("No column is a latitude or a longitude: nothing is known of places.")
    if guess.unused:
        account.append(f"Columns not used: {', '.join(guess.unused)}.")
    text = column_map_toml(guess.column_map)
    account.append(f"To confirm or correct the guess, keep this column map in recordings/:\n{text}")
    return _Sheet(path=path, data=data, names=guess.headings, column_map=guess.column_map)


def _frame(sheet: _Sheet) -> "pl.DataFrame":
    """The columns that the map names, under their headings: text without blanks around it.

    Where every row of every number is one, these are numbers, which is quicker.
    """
    import polars as pl

    places = {heading: sheet.place(heading) for heading in _headings(sheet.column_map, sheet.names)}
    before = sheet.column_map.first_data_line - 1
    if not re.match(rb"(?:[^\n]*\n){%d}\s*\S" % before, sheet.data):
        raise bad_file(sheet.path, "rows", "headings and nothing below", "rows of samples")
    body = sheet.data.split(b"\n", before)[-1]
    numbers = _number_headings(sheet.column_map).intersection(places)
    try:
        frame = _rows(sheet, body, places, numbers)
        if all(np.isfinite(float(frame[heading].sum())) for heading in numbers):
            return frame
    except pl.exceptions.PolarsError:
        pass  # some text is no number, or the rows are no rows
    try:
        return _rows(sheet, body, places, set())
    except pl.exceptions.PolarsError as exc:
        reason = f"{exc}".splitlines()[0]
        raise bad_file(sheet.path, "rows", reason, "rows with the same columns") from exc


def _rows(
    sheet: _Sheet, body: bytes, places: Mapping[str, int], numbers: Collection[str]
) -> "pl.DataFrame":
    """The columns at these places under their headings, some of them as numbers."""
    import polars as pl

    kinds: dict[str, type[pl.DataType]] = {f"{k}": pl.String for k in range(len(sheet.names))}
    frame = pl.read_csv(
        body,
        has_header=False,
        separator=sheet.column_map.separator,
        schema=kinds | {f"{places[heading]}": pl.Float64 for heading in numbers},
        decimal_comma=sheet.column_map.decimal == ",",
        truncate_ragged_lines=True,
        encoding="utf8-lossy",
    )
    columns = {heading: pl.col(f"{place}") for heading, place in places.items()}
    return frame.select(
        (column if heading in numbers else column.str.strip_chars()).alias(heading)
        for heading, column in columns.items()
    )


def _number_headings(column_map: ColumnMap) -> set[str]:
    """Headings of columns that are nothing but numbers."""
    time, sources = column_map.time, column_map.columns.values()
    counts = time.form == "elapsed_s" or time.form in NUMBER_FORMS
    numbers = {source.heading for source in sources} | ({time.heading} if counts else set())
    texts = {time.date_heading, time.offset_heading, column_map.only_heading}
    texts |= {source.heading for source in sources if source.unit == "bool"}
    texts |= set() if counts else {time.heading}
    return {one for one in numbers - texts if one.lower() not in AIRCRAFT}


def _headings(column_map: ColumnMap, names: Sequence[str]) -> list[str]:
    """Every heading that is needed, once."""
    aircraft = [name for name in names if name.lower() in AIRCRAFT]
    return list(dict.fromkeys([*headings_of(column_map), *aircraft]))


def _one_aircraft(sheet: _Sheet, frame: "pl.DataFrame") -> "pl.DataFrame":
    """The rows of the aircraft that the map names, or all if there is only one."""
    import polars as pl

    only, value = sheet.column_map.only_heading, sheet.column_map.only_value
    if only is not None:
        kept = frame.filter(pl.col(only) == value)
        if kept.is_empty():
            there = ", ".join(f"{one}" for one in frame[only].unique().sort().head(10))
            raise bad_file(sheet.path, only, f"no row with {value!r}", f"one of {there}")
        return kept
    for heading in (name for name in frame.columns if name.lower() in AIRCRAFT):
        found = frame[heading].drop_nulls().unique().sort()
        if len(found) > 1:
            shown = ", ".join(f"{one}" for one in found.head(5))
            raise bad_file(
                sheet.path,
                heading,
                f"{len(found):,} aircraft ({shown}{', ...' if len(found) > 5 else ''})",
                "one aircraft, or a column map that says which",
                example=f'[only]\ncolumn = "{heading}"\nvalue = "{found[0]}"',
            )
    return frame


def _numbers(sheet: _Sheet, frame: "pl.DataFrame", account: list[str]) -> dict[str, FloatArray]:
    """The columns that the map asks for, in our units; NaN where the text is not a number."""
    import polars as pl

    columns: dict[str, FloatArray] = {}
    for name, source in sheet.column_map.columns.items():
        texts = frame[source.heading]
        values = _yes_or_no(texts) if source.unit == "bool" else _floats(sheet, texts)
        lost = np.isnan(values)
        if texts.dtype == pl.String and lost.any():
            unread = texts.filter(lost).drop_nulls()
            unread = unread.filter(unread != "")
            if len(unread):
                account.append(
                    f"{counted(len(unread), 'value')} of {source.heading!r} are not numbers"
                    f" (the first is {unread[0]!r}): not known there."
                )
        columns[name] = converted(values, source.unit, unit_of_name(name) or source.unit)
    return columns


def _floats(sheet: _Sheet, texts: "pl.Series") -> FloatArray:
    import polars as pl

    if texts.dtype == pl.Float64:
        return texts.to_numpy()
    if sheet.column_map.decimal == ",":
        texts = texts.str.replace(",", ".", literal=True)
    values = texts.cast(pl.Float64, strict=False).fill_null(np.nan).to_numpy()
    return np.where(np.isfinite(values), values, np.nan)


def _yes_or_no(texts: "pl.Series") -> FloatArray:
    lower = texts.str.to_lowercase()
    yes = lower.is_in(["true", "t", "yes", "1"]).fill_null(False).to_numpy()
    no = lower.is_in(["false", "f", "no", "0"]).fill_null(False).to_numpy()
    return np.where(yes, 1.0, np.where(no, 0.0, np.nan))


def _times_s(
    sheet: _Sheet, frame: "pl.DataFrame", account: list[str], clock: Clock | None
) -> FloatArray:
    """Seconds since the epoch, NaN where the text is not a time of the form in the map."""
    time = sheet.column_map.time
    if time.form in NUMBER_FORMS:
        return _floats(sheet, frame[time.heading]) * NUMBER_FORMS[time.form]
    if time.form == "elapsed_s" and time.start_utc is not None:
        return _floats(sheet, frame[time.heading]) + time.start_utc.timestamp()
    if time.form in ("elapsed_s", "rows"):
        return _said_s(sheet, frame, account, clock)
    return calendar_s(sheet.path, time, frame, account)


def _said_s(
    sheet: _Sheet, frame: "pl.DataFrame", account: list[str], clock: Clock | None
) -> FloatArray:
    """Times that only the pilot can say: when it began, and how far the rows are apart."""
    heading = sheet.column_map.time.heading
    if clock is None or (clock.every_s is None and not heading):
        there = f"the columns are {', '.join(sheet.names[:40])}"
        if heading:
            raise bad_file(
                sheet.path, "time", f"{heading!r} counts from an unknown start; {there}",
                "--start or, in a column map, start_utc says it",
                example=f"--start 2026-06-01T14:02:10\n{EXAMPLE}",
            )  # fmt: skip
        raise bad_file(
            sheet.path, "time", f"{NO_TIME}; {there}",
            "a column map that names it or, where none was recorded, --start and --every",
            example=f"--start 2026-06-01T14:02:10 --every 1\n{EXAMPLE}",
        )  # fmt: skip
    account.append(clock.said())
    if not heading:
        return clock.times_s(len(frame))
    return _floats(sheet, frame[heading]) + clock.start_utc.timestamp()


def _pressure_from_indicated(columns: dict[str, FloatArray], account: list[str]) -> None:
    """Pressure height where only the altimeter and its setting were recorded, each row by its own.

    The altimeter's scale is that of standard air [ISA]_.
    """
    if "pressure_ft" in columns or not {"indicated_ft", "altimeter_inhg"} <= columns.keys():
        return
    set_inhg = columns["altimeter_inhg"]
    can_be = (set_inhg >= SETTINGS_INHG[0]) & (set_inhg <= SETTINGS_INHG[1])
    columns["pressure_ft"] = pressure_altitude_ft(
        columns["indicated_ft"], np.where(can_be, set_inhg, np.nan)
    )
    account.append("Pressure height is worked out from the altimeter and its recorded setting.")


def _forget_repeated_positions(columns: dict[str, FloatArray], account: list[str]) -> None:
    """State vectors repeat the last position until a new one comes; only the first is one."""
    if _UPDATE not in columns:
        return
    update_s = columns.pop(_UPDATE)
    repeated = np.zeros(update_s.shape, dtype=bool)
    repeated[1:] = np.diff(update_s) == 0.0
    for name in ("lat_deg", "lon_deg"):
        columns[name] = np.where(repeated, np.nan, columns[name])
    if repeated.any():
        account.append(
            f"{counted(int(repeated.sum()), 'row')} repeat a position that was not received anew:"
            " no position there."
        )

"""When the rows of a CSV were recorded, where it gives dates and clock times.

A time counts by the offset that it carries, else by the offset in a column of its own, else by
the zone of the column map. What cannot be read as a time is NaN.
"""

import re
from pathlib import Path
from typing import TYPE_CHECKING, Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.recording.column_map import TimeSource
from lubberline.recording.raw import bad_file, counted
from lubberline.units import S_PER_H, S_PER_MIN

if TYPE_CHECKING:
    import polars as pl

_ISO: Final = re.compile(
    r"(?P<clock>\d{4}-\d\d-\d\d[T ]\d\d:\d\d:\d\d(?:\.\d{1,6})?)(?P<offset>Z|z|[+-]\d\d:?\d\d)?"
)
_ISO_PATTERNS: Final = ("%Y-%m-%d %H:%M:%S%.f", "%Y-%m-%d %H:%M")


def calendar_s(
    path: Path, time: TimeSource, frame: "pl.DataFrame", account: list[str]
) -> FloatArray:
    """Dates and clock times, by the offset they carry, their offset column, or the map's zone."""
    texts = frame[time.heading]
    if time.date_heading is not None:
        texts = frame[time.date_heading] + " " + texts
    if time.form == "iso":
        clock, offset_s = _written_alike(texts) or _iso(path, texts)
    else:
        clock, offset_s = _clock(path, texts, time.form), np.full(len(texts), np.nan)
    if time.offset_heading is not None:
        offset_s = _offsets_s(frame[time.offset_heading])
    clock_s = _epoch_s(clock)
    bare = np.isnan(offset_s)
    unsaid = int((bare & np.isfinite(clock_s)).sum())
    if unsaid:
        account.append(f"{counted(unsaid, 'time')} without an offset: taken as {time.zone}.")
    time_s = clock_s - offset_s
    if bare.any() or time.zone != "UTC":  # a zone that does not exist is refused all the same
        time_s[bare] = _in_zone_s(path, time.zone, clock.filter(bare))
    return time_s


def _written_alike(texts: "pl.Series") -> "tuple[pl.Series, FloatArray] | None":
    """Clock and offset of times with digits in the same places and one offset; None of others.

    As ``_iso`` gives them, several times as quickly.
    """
    import polars as pl

    first = _ISO.fullmatch(texts[0] or "")
    if first is None or not (texts.str.len_bytes() == first.end()).all():
        return None
    rows = np.frombuffer(texts.str.join("").item().encode(), dtype=np.uint8)
    if rows.size != len(texts) * first.end():
        return None  # some are missing
    rows = rows.reshape(len(texts), -1)
    counts = rows - ord("0") < 10  # of bytes, which have no sign
    counts[:, first.end("clock") :] = False
    same = rows[:, ~counts[0]] == rows[0, ~counts[0]]
    if not (same.all() and (counts == counts[0]).all()):
        return None
    clock = np.ascontiguousarray(rows[:, : first.end("clock")])
    try:
        moments = clock.view(f"S{clock.shape[1]}")[:, 0].astype("M8[us]")
    except ValueError:
        return None  # a thirteenth month
    return pl.Series(moments), np.full(len(texts), _offset_s(first["offset"]))


def _iso(path: Path, texts: "pl.Series") -> "tuple[pl.Series, FloatArray]":
    """What calendar and clock show, and the offset behind it where there is one."""
    offset_s = _offsets_s(texts.str.extract(r":\d\d(?:\.\d*)?\s*(Z|z|[+-]\d\d:?\d\d)$"))
    texts = texts.str.replace(r"\s*(?:Z|z|[+-]\d\d:?\d\d)$", "")
    texts = texts.str.replace_all("/", "-", literal=True).str.replace(r"[T ]\s*", " ")
    return _clock(path, texts, "iso", *_ISO_PATTERNS), offset_s


def _clock(path: Path, texts: "pl.Series", form: str, *patterns: str) -> "pl.Series":
    """What calendar and clock show, without a zone."""
    import polars as pl

    for pattern in patterns or (form,):
        try:
            clock = texts.str.to_datetime(pattern, time_unit="us", strict=False)
        except pl.exceptions.PolarsError as exc:
            found, wanted = f"the form {form!r}", "a pattern such as %d.%m.%Y %H:%M:%S"
            raise bad_file(path, "time.form", found, wanted) from exc
        if clock.null_count() < len(clock):
            return clock
    found = f"{texts[0]!r} and no other time of the form {form!r}"
    raise bad_file(path, "time.form", found, "the form that the times have")


def _epoch_s(moments: "pl.Series") -> FloatArray:
    import polars as pl

    epoch_us = moments.to_physical().cast(pl.Float64).to_numpy()
    return np.asarray(epoch_us * 1e-6)


def _offsets_s(texts: "pl.Series") -> FloatArray:
    """Offsets from UTC in seconds, NaN where there is none."""
    offsets_s = {text: _offset_s(text) for text in texts.unique()}
    return np.array([offsets_s[text] for text in texts.to_list()], dtype=np.float64)


def _offset_s(text: str | None) -> float:
    """An offset such as Z, +02:00 or -0530."""
    size = re.search(r"(\d\d?):?(\d\d)\Z", text or "", re.ASCII)
    if text is None or size is None:
        return 0.0 if text in ("Z", "z") else np.nan
    size_s = float(size[1]) * S_PER_H + float(size[2]) * S_PER_MIN
    return -size_s if text.lstrip().startswith("-") else size_s


def _in_zone_s(path: Path, zone: str, naive: "pl.Series") -> FloatArray:
    """The times as they are in the map's zone; NaN in the hour that is repeated or left out."""
    import polars as pl

    if zone == "UTC":
        return _epoch_s(naive)
    fixed = re.fullmatch(r"[+-]\d\d:?\d\d", zone)
    try:
        placed = naive if fixed else naive.dt.replace_time_zone(
            zone, ambiguous="null", non_existent="null"
        )  # fmt: skip
    except pl.exceptions.PolarsError as exc:
        expected = "UTC, an offset such as +02:00, or a name such as America/Chicago"
        raise bad_file(path, "time.zone", f"{zone!r}", expected) from exc
    epoch_s = _epoch_s(placed)
    return epoch_s - _offset_s(zone) if fixed else epoch_s

"""NMEA 0183 sentences of a satellite receiver, as they were logged [NMEA]_.

GGA gives position and height above mean sea level, RMC position, speed, track and date, ZDA
the date; sentences of one moment make one sample. The day changes where the clock jumps back
by more than half a day. A sentence whose checksum is wrong is left out, one that has none is
taken. Other sentences are not read.
"""

import re
from collections import Counter
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.recording.raw import RawTrack, bad_file, counted
from lubberline.units import FT_PER_M

LOOKS_LIKE: Final = re.compile(rb"\n\s*\$G[A-Z](?:GGA|RMC),")
_SENTENCE: Final = re.compile(
    r"\$(?P<body>[A-Z]{2}(?P<kind>GGA|RMC|ZDA),[^*$\r\n]*)(?:\*(?P<sum>[0-9A-Fa-f]{2}))?"
)
_HALF_DAY_S: Final = 43_200.0
_DAY_S: Final = 86_400.0
_CENTURY_TURN: Final = 80  # memory: receivers are younger than 1980, so 80 to 99 are of 19..
_NAMES: Final = (
    *("lat_deg", "lon_deg", "gnss_ft", "ground_kt", "track_true_deg", "hdop_ratio"),
    "satellites_count",
)
_Sample = dict[str, float]


def read_nmea(path: Path, data: bytes) -> RawTrack:
    """The samples of a log in file order.

    Raises
    ------
    BadFile
        If no sentence can be read, or none gives a date.

    References
    ----------
    [NMEA]_, sentences GGA, RMC and ZDA, and the checksum.
    """
    log = _Log()
    for match in _SENTENCE.finditer(data.decode("ascii", errors="replace")):
        log.take(match)
    if not log.samples:
        raise bad_file(
            path, "sentences", f"none that can be read; {counted(log.damaged, 'damaged one')}",
            "GGA or RMC sentences with a time",
        )  # fmt: skip
    if log.first_day is None:
        raise bad_file(path, "date", "no sentence with a date", "RMC or ZDA sentences beside GGA")
    return _raw(log, log.first_day)


class _Log:
    """What has been read so far: samples in order, and the first date with its day's number."""

    def __init__(self) -> None:
        self.samples: list[_Sample] = []
        self.first_day: date | None = None
        self.damaged = 0
        self.kinds: Counter[str] = Counter()
        self._day_index = 0

    def take(self, match: re.Match[str]) -> None:
        """Add one sentence to the sample of its moment."""
        fields = match["body"].split(",")
        if match["sum"] is not None and _checksum(match["body"]) != int(match["sum"], 16):
            self.damaged += 1
            return
        clock_s = _clock_s(_at(fields, 1))
        if np.isnan(clock_s):
            return
        self.kinds[match["kind"]] += 1
        sample = self._sample(clock_s)
        reader = {"GGA": _position_and_height, "RMC": _movement, "ZDA": _nothing}[match["kind"]]
        sample.update(reader(fields))
        day = _date(match["kind"], fields)
        if day is not None and self.first_day is None:
            self.first_day = day - timedelta(days=self._day_index)

    def _sample(self, clock_s: float) -> _Sample:
        last = self.samples[-1] if self.samples else None
        if last is not None and last["clock_s"] == clock_s:
            return last
        if last is not None and clock_s < last["clock_s"] - _HALF_DAY_S:
            self._day_index += 1
        self.samples.append({"clock_s": clock_s, "day_index": self._day_index})
        return self.samples[-1]


def _raw(log: _Log, first_day: date) -> RawTrack:
    columns = {name: _column(log, name) for name in ("clock_s", "day_index", *_NAMES)}
    midnight = datetime(first_day.year, first_day.month, first_day.day, tzinfo=UTC)
    time_s = midnight.timestamp() + _DAY_S * columns.pop("day_index") + columns.pop("clock_s")
    account = [f"{counted(log.kinds[kind], f'{kind} sentence')}." for kind in sorted(log.kinds)]
    if log.damaged:
        account.append(f"{counted(log.damaged, 'sentence')} with a wrong checksum: left out.")
    place = {name: columns.pop(name) for name in ("lat_deg", "lon_deg", "gnss_ft")}
    return RawTrack(
        time_s=time_s,
        **place,
        pressure_ft=np.full(time_s.shape, np.nan),
        channels={name: column for name, column in columns.items() if np.isfinite(column).any()},
        segment_index=np.zeros(time_s.shape, dtype=np.int64),
        gnss_reference="msl",
        format_name="NMEA 0183",
        account=tuple(account),
    )


def _column(log: _Log, name: str) -> FloatArray:
    return np.array([sample.get(name, np.nan) for sample in log.samples])


def _checksum(body: str) -> int:
    """The exclusive or of all characters between $ and *."""
    total = 0
    for character in body:
        total ^= ord(character)
    return total


def _position_and_height(fields: list[str]) -> _Sample:
    """GGA: time, latitude, N/S, longitude, E/W, quality, satellites, dilution, height, unit."""
    sample = {"satellites_count": _number(_at(fields, 7)), "hdop_ratio": _number(_at(fields, 8))}
    if _at(fields, 6) in ("", "0"):  # no fix
        return sample
    height_m = _number(_at(fields, 9)) if _at(fields, 10) == "M" else np.nan
    return sample | _place(fields[2:6]) | {"gnss_ft": height_m * FT_PER_M}


def _movement(fields: list[str]) -> _Sample:
    """RMC: time, status, latitude, N/S, longitude, E/W, speed, track, date."""
    if _at(fields, 2) != "A":  # V: a warning, the position does not hold
        return {}
    movement = {
        "ground_kt": _number(_at(fields, 7)),
        "track_true_deg": _number(_at(fields, 8)),
    }
    return _place(fields[3:7]) | movement


def _nothing(_: list[str]) -> _Sample:
    """ZDA adds nothing but its date."""
    return {}


def _date(kind: str, fields: list[str]) -> date | None:
    texts = {"RMC": [_at(fields, 9)[n : n + 2] for n in (0, 2, 4)], "ZDA": fields[2:5]}.get(kind)
    try:
        day, month, year = (int(text) for text in texts or ())
        if kind == "RMC":
            year += 1900 if year >= _CENTURY_TURN else 2000
        return date(year, month, day)
    except ValueError:
        return None


def _place(fields: list[str]) -> _Sample:
    """Latitude and longitude from degrees and minutes run together; nothing unless both read."""
    lat_deg, lon_deg = _angle_deg(fields[:2], "NS", 90.0), _angle_deg(fields[2:4], "EW", 180.0)
    if np.isnan(lat_deg) or np.isnan(lon_deg):
        return {}
    return {"lat_deg": lat_deg, "lon_deg": lon_deg}


def _angle_deg(fields: list[str], signs: str, most_deg: float) -> float:
    size, sign = _number(_at(fields, 0)), _at(fields, 1)
    if not size >= 0.0 or sign not in signs or not sign:
        return np.nan
    whole_deg, minutes = divmod(size, 100.0)
    angle_deg = whole_deg + minutes / 60.0
    if minutes >= 60.0 or angle_deg > most_deg:
        return np.nan
    return -angle_deg if sign == signs[1] else angle_deg


def _clock_s(text: str) -> float:
    """Seconds since midnight of hhmmss.ss."""
    size = _number(text)
    if len(text) < 6 or not 0.0 <= size < 240_000.0:
        return np.nan
    hours, rest = divmod(size, 10_000.0)
    minutes, seconds = divmod(rest, 100.0)
    return 3_600.0 * hours + 60.0 * minutes + seconds if minutes < 60.0 else np.nan


def _at(fields: list[str], index: int) -> str:
    return fields[index] if index < len(fields) else ""


def _number(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        return np.nan
    return value if np.isfinite(value) else np.nan

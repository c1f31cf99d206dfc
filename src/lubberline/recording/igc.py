"""Flight recorder files in the format of the International Gliding Commission [IGC-FR]_.

A text file of records that begin with a letter: H records say the date and what the heights
mean, I records what stands behind each fix, B records are the fixes. All B records are taken
apart at once as a matrix of characters, so that hours at a high rate take seconds. Times of day
become dates by the last HFDTE record and by counting midnights; a record that cannot be read is
left out and counted.
"""

import re
from calendar import timegm
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from lubberline.arrays import BoolArray, FloatArray, IntArray
from lubberline.recording.measures import converted
from lubberline.recording.model import GnssReference
from lubberline.recording.raw import RawTrack, bad_file, counted
from lubberline.units import FT_PER_M, S_PER_DAY

# With a line feed before every line, the first too, which makes the search quick.
LOOKS_LIKE: Final = re.compile(
    rb"\n(?:H[FOP]DTE|B\d{13}[NS]|(?<=\A\n)A[A-Z0-9]{3}[^,;\t]*$)", re.MULTILINE
)
_DATE: Final = re.compile(rb"H[FOP]DTE(?:DATE)?:?\s*(\d{6})")
_HEADER: Final = re.compile(rb"H[FOP](ALG|ALP|DTM)[^:]*:\s*(.*)")
_FIX_LENGTH: Final = 35
_ROLLOVER_S: Final = S_PER_DAY / 2.0

# What stands behind a fix: our name, and the unit [IGC-FR]_ gives it. Speeds have three digits
# of km/h and then decimals; vertical speeds have one decimal of m/s.
_WHOLE: Final = {
    "FXA": ("fix_accuracy_ft", "m"),
    "VXA": ("height_accuracy_ft", "m"),
    "SIU": ("satellites_count", "count"),
    "ENL": ("engine_noise_index", "index"),
    "MOP": ("propulsion_index", "index"),
    "RPM": ("engine_rpm", "rpm"),
    "OAT": ("oat_degc", "degc"),
}
_THREE_DIGITS: Final = {
    "IAS": ("ias_kt", "kmh"),
    "TAS": ("tas_kt", "kmh"),
    "GSP": ("ground_kt", "kmh"),
    "WSP": ("wind_kt", "kmh"),
    "WDI": ("wind_from_true_deg", "deg"),
    "HDT": ("heading_true_deg", "deg"),
    "HDM": ("heading_mag_deg", "deg"),
    "TRT": ("track_true_deg", "deg"),
    "TRM": ("track_mag_deg", "deg"),
}
_TENTHS: Final = {"VAR": ("climb_fpm", "mps"), "VAT": ("total_energy_climb_fpm", "mps")}
_PART_OF_THE_FIX: Final = {"TDS", "LAD", "LOD"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Extension:
    """One item that an I record adds to every fix; columns counted from 0, end excluded."""

    code: str
    start: int
    stop: int


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Fixes:
    """The B records as characters, shape (n, width), and the number of the line each came from."""

    text: NDArray[np.uint8]
    line_index: IntArray


def read_igc(path: Path, data: bytes) -> RawTrack:
    """The fixes of an IGC file in file order.

    Raises
    ------
    BadFile
        If the file has no date or no fix that can be read.

    References
    ----------
    [IGC-FR]_, appendix A: record types, units, B and I records.
    """
    lines = data.removeprefix(b"\xef\xbb\xbf").splitlines()
    account: list[str] = []
    extensions = _extensions(lines, account)
    fixes = _fixes(path, lines, extensions, account)
    columns = _columns(fixes.text, extensions)
    columns["time_s"] = columns["time_s"] + _midnights_s(path, lines, fixes, columns["time_s"])
    reference = _meaning_of_heights(lines, columns, account)
    _say_validity(fixes.text[:, 24] == ord("V"), columns, account)
    _say_end(lines, account)
    fix_columns = ("time_s", "lat_deg", "lon_deg", "gnss_ft", "pressure_ft")
    return RawTrack(
        **{name: columns.pop(name) for name in fix_columns},
        channels=columns,
        segment_index=np.zeros(fixes.line_index.size, dtype=np.int64),
        gnss_reference=reference,
        format_name="IGC",
        account=tuple(account),
    )


def _extensions(lines: Sequence[bytes], account: list[str]) -> tuple[Extension, ...]:
    """What the I records announce; an I record that cannot be read is said and left out."""
    found: list[Extension] = []
    for number, line in enumerate(lines, start=1):
        if not line.startswith(b"I"):
            continue
        if not re.fullmatch(rb"I\d\d(?:\d{4}[A-Z0-9]{3})+\s*", line):
            account.append(f"The I record in line {number} could not be read and was left out.")
            continue
        for start, stop, code in re.findall(rb"(\d\d)(\d\d)([A-Z0-9]{3})", line[3:]):
            found.append(Extension(code=code.decode(), start=int(start) - 1, stop=int(stop)))
    known = {*_WHOLE, *_THREE_DIGITS, *_TENTHS, *_PART_OF_THE_FIX}
    unknown = sorted({one.code for one in found} - known)
    if unknown:
        account.append(f"Not read, because its unit is not fixed: {', '.join(unknown)}.")
    return tuple(one for one in found if one.code in known and one.stop > one.start)


def _fixes(
    path: Path, lines: Sequence[bytes], extensions: Sequence[Extension], account: list[str]
) -> _Fixes:
    """All B records that are whole and hold only characters that may stand where they stand."""
    numbers = [index for index, line in enumerate(lines) if line[:1] == b"B"]
    if not numbers:
        raise bad_file(path, "fixes", f"no B record in {counted(len(lines), 'line')}", "fixes")
    width = max([_FIX_LENGTH, *(one.stop for one in extensions)])
    padded = np.array([lines[index][:width] for index in numbers], dtype=f"S{width}")
    text = padded.view(np.uint8).reshape(len(numbers), width)
    good = _readable(text)
    line_index = np.array(numbers, dtype=np.int64)
    if not good.all():
        first = int(line_index[~good][0]) + 1
        left_out = counted(int((~good).sum()), "B record")
        account.append(f"{left_out} could not be read and left out; the first is line {first}.")
    if not good.any():
        found = f"{counted(len(numbers), 'B record')}, none of which can be read"
        shown = lines[numbers[0]][:40].decode("latin-1")
        raise bad_file(
            path, "fixes", f"{found} ({shown!r})", "whole B records", line=numbers[0] + 1
        )
    return _Fixes(text=text[good], line_index=line_index[good])


def _readable(text: NDArray[np.uint8]) -> BoolArray:
    is_digit = (text >= ord("0")) & (text <= ord("9"))
    digits = is_digit[:, [*range(1, 14), *range(15, 23)]].all(axis=1)
    letters = np.isin(text[:, 14], list(b"NS")) & np.isin(text[:, 23], list(b"EW"))
    letters &= np.isin(text[:, 24], list(b"AV"))
    whole = text[:, _FIX_LENGTH - 1] != 0
    clock = (_number(text[:, 1:3]) < 24.0) & (_number(text[:, 3:5]) < 60.0)
    return np.asarray(digits & letters & whole & clock & (_number(text[:, 5:7]) <= 60.0))


def _columns(text: NDArray[np.uint8], extensions: Sequence[Extension]) -> dict[str, FloatArray]:
    """The fixes in our units; ``time_s`` is still the time of day."""
    of = {one.code: text[:, one.start : one.stop] for one in extensions}
    clock_s = _number(text[:, 1:3]) * 3600.0 + _number(text[:, 3:5]) * 60.0 + _number(text[:, 5:7])
    columns = {
        "time_s": clock_s + _decimals(of.get("TDS"), clock_s.shape, places=0),
        "lat_deg": _angle_deg(text[:, 7:9], text[:, 9:14], of.get("LAD"), text[:, 14] == ord("S")),
        "lon_deg": _angle_deg(
            text[:, 15:18], text[:, 18:23], of.get("LOD"), text[:, 23] == ord("W")
        ),
        "pressure_ft": _number(text[:, 25:30]) * FT_PER_M,
        "gnss_ft": _number(text[:, 30:35]) * FT_PER_M,
    }
    for code, part in of.items():
        if code in _PART_OF_THE_FIX:
            continue
        name, unit = (_WHOLE | _THREE_DIGITS | _TENTHS)[code]
        places = max(0, part.shape[1] - 3) if code in _THREE_DIGITS else int(code in _TENTHS)
        columns[name] = converted(_number(part) / 10.0**places, unit, name.rpartition("_")[2])
    return columns


def _angle_deg(
    degrees: NDArray[np.uint8],
    thousandths: NDArray[np.uint8],
    further: NDArray[np.uint8] | None,
    negative: BoolArray,
) -> FloatArray:
    minutes = _number(thousandths) / 1000.0 + _decimals(further, negative.shape, places=3)
    angle_deg = _number(degrees) + minutes / 60.0
    return np.where(negative, -angle_deg, angle_deg)


def _decimals(part: NDArray[np.uint8] | None, shape: tuple[int, ...], *, places: int) -> FloatArray:
    """Digits that stand behind so many decimal places; nothing where the file has none."""
    if part is None:
        return np.zeros(shape)
    return np.asarray(np.nan_to_num(_number(part)) / 10.0 ** (places + part.shape[1]))


def _number(part: NDArray[np.uint8]) -> FloatArray:
    """Whole numbers of fixed-width text, a minus sign first if any; NaN where it is not one."""
    minus = part[:, 0] == ord("-")
    digits = part.astype(np.int64) - ord("0")
    digits[minus, 0] = 0
    good = ((digits >= 0) & (digits <= 9)).all(axis=1) & ~(minus & (part.shape[1] == 1))
    weights = 10 ** np.arange(part.shape[1] - 1, -1, -1)
    value = (digits @ weights).astype(np.float64)
    return np.where(good, np.where(minus, -value, value), np.nan)


def _midnights_s(
    path: Path, lines: Sequence[bytes], fixes: _Fixes, clock_s: FloatArray
) -> FloatArray:
    """Start of the day of each fix: the last date record before it, and midnights since."""
    dates = _dates(path, lines)
    # A fix before the first date record belongs to it.
    which = np.searchsorted([number for number, _ in dates], fixes.line_index) - 1
    which = np.maximum(which, 0)
    said_s = np.array([start_s for _, start_s in dates])[which]
    day_s = said_s.copy()
    for start_s in np.unique(said_s):
        part = said_s == start_s
        day_s[part] += S_PER_DAY * _days_passed(clock_s[part])
    return day_s


def _dates(path: Path, lines: Sequence[bytes]) -> list[tuple[int, float]]:
    """Line number, from 0, and start of the day of every date record."""
    found: list[tuple[int, float]] = []
    for index, line in enumerate(lines):
        match = _DATE.match(line) if line[:1] == b"H" else None
        if match is None:
            continue
        try:
            day = datetime.strptime(match[1].decode(), "%d%m%y").date()  # noqa: DTZ007
        except ValueError:
            continue
        found.append((index, _start_s(day)))
    if not found:
        raise bad_file(
            path, "date", "no H record with a date", "the date of the first fix",
            example="HFDTEDATE:160701,01",
        )  # fmt: skip
    return found


def _start_s(day: date) -> float:
    return float(timegm(day.timetuple()))


def _days_passed(clock_s: FloatArray) -> FloatArray:
    """Midnights before each fix: where the clock falls by more than 12 h it passed one.

    A jump forward by as much after that is a late record from before midnight.
    """
    step_s = np.diff(clock_s, prepend=clock_s[:1])
    days = np.zeros(clock_s.shape)
    passed = 0
    for index in np.flatnonzero(np.abs(step_s) > _ROLLOVER_S):
        passed = passed + 1 if step_s[index] < 0.0 else max(0, passed - 1)
        days[index:] = passed
    return days


def _meaning_of_heights(
    lines: Sequence[bytes], columns: dict[str, FloatArray], account: list[str]
) -> GnssReference:
    """What the heights are above, by the header or else by the specification."""
    said = {
        match[1].decode(): match[2].decode("latin-1").strip().upper()
        for line in lines
        if line[:1] == b"H" and (match := _HEADER.match(line))
    }
    datum = re.sub(r"[^A-Z0-9]", "", said.get("DTM", "WGS84"))
    if datum not in ("WGS84", "WGS1984"):
        account.append(f"The datum is {said['DTM']!r}; positions were taken as WGS-84.")
    if said.get("ALP") == "MSL":
        columns["indicated_ft"] = columns["pressure_ft"]
        columns["pressure_ft"] = np.full(columns["time_s"].shape, np.nan)
        account.append("The header says that barometric heights are above MSL: kept as indicated.")
    _drop_a_sensor_that_is_not_there(columns, account)
    alg = said.get("ALG", "")
    if alg.startswith("GEO"):
        account.append("Satellite heights are above mean sea level: the header says geoid.")
        return "msl"
    if alg.startswith("NKM"):
        account.append("The header says that it is not known what satellite heights are above.")
        return "unknown"
    by = "the header says so" if alg.startswith(("ELL", "WGS84")) else "as the format prescribes"
    account.append(f"Satellite heights are above the WGS-84 ellipsoid: {by}.")
    return "ellipsoid"


def _drop_a_sensor_that_is_not_there(columns: dict[str, FloatArray], account: list[str]) -> None:
    for name, sensor in (("pressure_ft", "pressure"), ("gnss_ft", "satellite")):
        values = columns[name]
        if np.isnan(values).all():
            continue
        if values.size > 1 and not np.nan_to_num(values).any():
            columns[name] = np.full(values.shape, np.nan)
            account.append(f"Every {sensor} height is 0: taken as not measured.")


def _say_validity(invalid: BoolArray, columns: dict[str, FloatArray], account: list[str]) -> None:
    """V fixes have no satellite height, and where the position stands still, none of that."""
    if not invalid.any():
        return
    columns["gnss_ft"] = np.where(invalid, np.nan, columns["gnss_ft"])
    lat_deg, lon_deg = columns["lat_deg"], columns["lon_deg"]
    repeats = np.zeros(invalid.shape, dtype=bool)
    repeats[1:] = (np.diff(lat_deg) == 0.0) & (np.diff(lon_deg) == 0.0)
    lost = invalid & repeats
    for name in ("lat_deg", "lon_deg"):
        columns[name] = np.where(lost, np.nan, columns[name])
    account.append(
        f"{counted(int(invalid.sum()), 'fix', 'fixes')} marked V (flat or without satellites):"
        f" no satellite height there, and no position in the {int(lost.sum()):,} that repeat"
        " the fix before."
    )


def _say_end(lines: Sequence[bytes], account: list[str]) -> None:
    last = next((number for number in range(len(lines), 0, -1) if lines[number - 1].strip()), 0)
    if lines[last - 1][:1] == b"B" and len(lines[last - 1].rstrip()) < _FIX_LENGTH:
        account.append(f"The file ends in the middle of a record, line {last}: it was cut off.")
    elif not any(line[:1] == b"G" for line in lines):
        account.append("No G record closes the file, so it cannot be told whether it is complete.")

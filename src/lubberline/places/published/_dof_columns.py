"""Records of the US obstacle file as columns: many thousand fixed-width lines in one step.

The type of an obstacle grew longer at some time, and all that follows moved; which of the two
layouts a file has shows in where its heights stand.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from lubberline.arrays import FloatArray

Text = NDArray[np.uint8]  # (n, width): one line of bytes each, filled up with blanks

WIDTH: Final = 128
SHORTEST: Final = 113  # up to the action in the older layout
_VERIFIED: Final = 10
_NEWLINE, _RETURN = 10, 13
_BLANK, _MINUS, _POINT, _ZERO = 32, 45, 46, 48


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Where the fields stand, 0-based, end exclusive."""

    kind: slice
    agl: slice
    msl: slice
    light: int
    lateral: int
    vertical: int
    action: int


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Records:
    """Records as published; numbers are NaN where they cannot be read, codes are letters."""

    line: NDArray[np.int64]
    lat_deg: FloatArray
    lon_deg: FloatArray
    agl_ft: FloatArray
    msl_ft: FloatArray
    kind: NDArray[np.str_]
    verified: Text
    light: Text
    lateral: Text
    vertical: Text
    action: Text


_LATITUDE: Final = (slice(35, 37), slice(38, 40), slice(41, 46), 46)
_LONGITUDE: Final = (slice(48, 51), slice(52, 54), slice(55, 60), 60)
CURRENT: Final = Layout(
    kind=slice(62, 81),
    agl=slice(83, 88),
    msl=slice(89, 94),
    light=95,
    lateral=97,
    vertical=99,
    action=118,
)
OLDER: Final = Layout(
    kind=slice(62, 74),
    agl=slice(77, 82),
    msl=slice(83, 88),
    light=89,
    lateral=91,
    vertical=93,
    action=112,
)


def lines_of(block: bytes) -> tuple[NDArray[np.int64], Text]:
    """Length of every line of a block, and those that may be records at one width.

    A record has at least ``SHORTEST`` bytes; lines are cut or filled up to ``WIDTH``.
    """
    content = np.frombuffer(block, np.uint8)
    ends = np.flatnonzero(content == _NEWLINE)
    if not block.endswith(b"\n"):
        ends = np.append(ends, len(content))
    starts = np.concatenate([[0], ends[:-1] + 1])
    long = ends - starts >= SHORTEST
    places = starts[long, None] + np.arange(WIDTH)
    inside = places < ends[long, None]
    lines = np.where(inside, content[np.where(inside, places, 0)], _BLANK).astype(np.uint8)
    lines[lines == _RETURN] = _BLANK
    return ends - starts, lines


def records_of(lines: Text, line: NDArray[np.int64], layout: Layout) -> Records:
    """Lines taken apart."""
    lat_deg, lon_deg = positions_deg(lines)
    return Records(
        line=line,
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        agl_ft=numbers(lines[:, layout.agl]),
        msl_ft=numbers(lines[:, layout.msl]),
        kind=_words(lines[:, layout.kind]),
        verified=lines[:, _VERIFIED],
        light=lines[:, layout.light],
        lateral=lines[:, layout.lateral],
        vertical=lines[:, layout.vertical],
        action=lines[:, layout.action],
    )


def layout_of(lines: Text) -> Layout:
    """The layout in which more of the lines have five figures where heights stand."""
    figures = (lines >= _ZERO) & (lines < _ZERO + 10)
    fitting = [figures[:, layout.agl].all(axis=1).sum() for layout in (CURRENT, OLDER)]
    return OLDER if fitting[1] > fitting[0] else CURRENT


def are_records(lines: Text) -> NDArray[np.bool_]:
    """Lines that begin with a number of an obstacle: two letters or figures, a dash, figures."""
    figures = (lines[:, 3:9] >= _ZERO) & (lines[:, 3:9] < _ZERO + 10)
    dashed: NDArray[np.bool_] = (lines[:, 2] == _MINUS) & (lines[:, 0] != _MINUS)
    return dashed & figures.all(axis=1)


def numbers(text: Text) -> FloatArray:
    """Numbers with or without sign and point; NaN where there is anything else, or nothing."""
    value = np.zeros(len(text))
    scale = np.zeros(len(text))  # 0 before the point, then a power of ten
    sign, bad = np.ones(len(text)), np.zeros(len(text), bool)
    begun, over = np.zeros(len(text), bool), np.zeros(len(text), bool)
    for column in text.T:
        figure = (column >= _ZERO) & (column < _ZERO + 10)
        point, minus, blank = column == _POINT, column == _MINUS, column == _BLANK
        bad |= ~(figure | point | minus | blank) | ((figure | point) & over)
        bad |= (minus & (begun | (sign < 0.0) | (scale > 0.0))) | (point & (scale > 0.0))
        value = np.where(figure, 10.0 * value + (column.astype(float) - _ZERO), value)
        scale = np.where(point, 1.0, np.where(figure, 10.0 * scale, scale))
        sign = np.where(minus, -1.0, sign)
        begun |= figure
        over |= blank & (begun | (sign < 0.0) | (scale > 0.0))
    found = sign * value / np.where(scale > 0.0, scale, 1.0)
    return np.where(bad | ~begun, np.nan, found)


def positions_deg(lines: Text) -> tuple[FloatArray, FloatArray]:
    """Latitude and longitude; NaN where they are no place on earth."""
    return (
        _degrees(lines, *_LATITUDE, limit_deg=90.0, positive=b"N", negative=b"S"),
        _degrees(lines, *_LONGITUDE, limit_deg=180.0, positive=b"E", negative=b"W"),
    )


def _degrees(
    lines: Text,
    whole: slice,
    minutes: slice,
    seconds: slice,
    half: int,
    *,
    limit_deg: float,
    positive: bytes,
    negative: bytes,
) -> FloatArray:
    minute, second = numbers(lines[:, minutes]), numbers(lines[:, seconds])
    value_deg = numbers(lines[:, whole]) + minute / 60.0 + second / 3600.0
    side = np.select(
        [lines[:, half] == positive[0], lines[:, half] == negative[0]], [1.0, -1.0], np.nan
    )
    possible = (minute < 60.0) & (second < 60.0) & (np.abs(value_deg) <= limit_deg)
    return np.where(possible, side * value_deg, np.nan)


def _words(text: Text) -> NDArray[np.str_]:
    """The words of a field; few differ, so that each is read once."""
    packed = np.ascontiguousarray(text).view(f"S{text.shape[1]}").ravel()
    found, which = np.unique(packed, return_inverse=True)
    return np.array([one.decode("latin-1").strip() for one in found.tolist()])[which]

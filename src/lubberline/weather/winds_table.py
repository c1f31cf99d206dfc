"""Reads a table of winds and temperatures aloft (FB, formerly FD) [AWC-FD]_.

A group stands under its level, their right ends in one column. Where spacing was lost in
pasting the groups are counted from the right, because only the lowest levels are left out, near
the ground. Every group must then be of the form that its level has, or the row is not believed.
"""

import re
from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from itertools import pairwise
from math import nan
from typing import Final

import numpy as np

from lubberline.weather.advice import Locate
from lubberline.weather.clock import nearest_utc
from lubberline.weather.model import AloftStation, AloftTable, UnreadableText, WindsAloft

NEGATIVE_ABOVE_FT: Final = 24_000.0  # above it the sign is left out
LIGHT: Final = "9900"
_BASED: Final = re.compile(r"DATA BASED ON (\d{2})(\d{2})(\d{2})Z")
_VALID: Final = re.compile(r"VALID (\d{2})(\d{2})(\d{2})Z")
_USE: Final = re.compile(r"FOR USE (\d{2})(\d{2})-(\d{2})(\d{2})Z")
_LEVELS: Final = re.compile(r"\s*FT((?:\s+\d{4,5})+)\s*")
_ROW: Final = re.compile(r"\s*([A-Z0-9]{3,4})((?:\s+[0-9/+MP-]{4,8})+)\s*")
_GROUP: Final = re.compile(r"(\d{2})(\d{2})(?:([+-])?(\d{2}))?")
_COLUMN_SIGNS: Final = 1  # a group stands no farther from its level's column


def read_winds_table(text: str, *, near_utc: datetime, locate: Locate | None = None) -> AloftTable:
    """What a table of winds aloft says.

    Parameters
    ----------
    text : str
        The table with its header, line by line as issued.
    near_utc : datetime
        Time less than half a month from the table's own, with its zone.
    locate : callable, optional
        Finds a station by its identifier.

    Raises
    ------
    UnreadableText
        If there is no header with its times, or no line of levels.

    Examples
    --------
    >>> text = '''DATA BASED ON 251800Z
    ... VALID 260000Z   FOR USE 2000-0300Z. TEMPS NEG ABV 24000
    ... FT  3000    6000    9000   12000
    ... QWN 2426 2726-09 2826-14 2930-21'''
    >>> table = read_winds_table(text, near_utc=datetime.fromisoformat("2026-11-25T21:00Z"))
    >>> table.stations[0].winds.from_true_deg.tolist()
    [240.0, 270.0, 280.0, 290.0]
    """
    lines = text.upper().splitlines()
    head = " ".join(" ".join(lines).split())
    valid_utc, use = _valid_and_use(head, near_utc)
    levels_line = next((line for line in lines if _LEVELS.fullmatch(line)), None)
    if levels_line is None:
        raise UnreadableText(head[:80], "no line of levels; expected e.g. FT  3000    6000")
    based = _BASED.search(head)
    rows = lines[lines.index(levels_line) + 1 :]
    found = [(row, _station(row, levels_line, locate)) for row in rows if row.strip()]
    return AloftTable(
        valid_utc=valid_utc,
        use_from_utc=use[0],
        use_until_utc=use[1],
        stations=tuple(one for _, one in found if one is not None),
        text=text,
        based_utc=_time(based, valid_utc) if based else None,
        undecoded=tuple(row.strip() for row, one in found if one is None),
    )


def is_station_row(line: str) -> bool:
    """Whether a line may be a row of a table of winds."""
    return _ROW.fullmatch(line.upper()) is not None


def _valid_and_use(head: str, near_utc: datetime) -> tuple[datetime, tuple[datetime, datetime]]:
    """Time of the forecast, and from when to when it is for use around it."""
    valid, use = _VALID.search(head), _USE.search(head)
    valid_utc = _time(valid, near_utc) if valid else None
    if valid_utc is None or use is None:
        reason = "no times; expected e.g. VALID 260000Z   FOR USE 2000-0300Z"
        raise UnreadableText(head[:80], reason)
    hours = [timedelta(hours=int(use[n]), minutes=int(use[n + 1])) for n in (1, 3)]
    if max(hours) > timedelta(hours=24):
        raise UnreadableText(head[:80], f"no such hours as {use[0]}")
    midnight_utc = valid_utc.replace(hour=0, minute=0)
    days = [timedelta(days=n) for n in (-1, 0, 1)]
    from_utc = max(time for day in days if (time := midnight_utc + day + hours[0]) <= valid_utc)
    until_utc = min(time for day in days if (time := midnight_utc + day + hours[1]) >= valid_utc)
    return valid_utc, (from_utc, until_utc)


def _time(match: re.Match[str], near_utc: datetime) -> datetime | None:
    day, hour, minute = (int(match[n]) for n in (1, 2, 3))
    return nearest_utc(day, hour, minute, near_utc=near_utc)


def _station(row: str, levels_line: str, locate: Locate | None) -> AloftStation | None:
    """One row under its levels; None if its groups cannot be assigned to them."""
    match = _ROW.fullmatch(row)
    placed = _placed(row, levels_line) if match else None
    if match is None or placed is None:
        return None
    levels_ft = [level_ft for level_ft, _ in placed]
    decoded = [_decoded(group, level_ft) for level_ft, group in placed]
    columns = np.array([one or (nan, nan, nan) for one in decoded], dtype=np.float64).T
    spot = locate(match[1]) if locate else None
    return AloftStation(
        name=match[1],
        winds=WindsAloft(
            msl_ft=np.array(levels_ft),
            from_true_deg=columns[0],
            wind_kt=columns[1],
            oat_degc=columns[2],
        ),
        text=row.strip(),
        lat_deg=spot[0] if spot else None,
        lon_deg=spot[1] if spot else None,
        open_msl_ft=tuple(ft for ft, group in placed if _is_open(group)),
        light_msl_ft=tuple(ft for ft, group in placed if group.startswith(LIGHT)),
        undecoded=tuple(g for (_, g), one in zip(placed, decoded, strict=True) if one is None),
    )


def _placed(row: str, levels_line: str) -> list[tuple[float, str]] | None:
    """Each group with its level, by columns, else from the right; None if neither fits."""
    levels = [(float(one[0]), one.end()) for one in re.finditer(r"\d{4,5}", levels_line)]
    groups = [(one[0], one.end()) for one in re.finditer(r"\S+", row)][1:]
    by_column = list(_by_column(levels, groups))
    if len(by_column) == len(groups) and _ascends(by_column):
        return by_column
    if "  " in row.strip() or len(groups) > len(levels):
        return None
    last = levels[len(levels) - len(groups) :]
    from_right = [(ft, group) for (ft, _), (group, _) in zip(last, groups, strict=True)]
    return from_right if _fits(from_right) else None


def _by_column(
    levels: Sequence[tuple[float, int]], groups: Sequence[tuple[str, int]]
) -> Iterator[tuple[float, str]]:
    squeezed = all(low + 6 >= high for (_, low), (_, high) in pairwise(levels))
    for group, end in groups:
        level_ft, level_end = min(levels, key=lambda one: abs(one[1] - end))
        if abs(level_end - end) <= _COLUMN_SIGNS and not (squeezed and len(levels) > 1):
            yield level_ft, group


def _ascends(placed: Sequence[tuple[float, str]]) -> bool:
    levels_ft = [level_ft for level_ft, _ in placed]
    return all(low < high for low, high in pairwise(levels_ft))


def _fits(placed: Sequence[tuple[float, str]]) -> bool:
    """Whether every group has the form of its level: with a sign up to 24,000 ft, none above."""
    return all(
        _decoded(group, ft) is not None and (len(group) == 4 or (len(group) == 6) is _is_high(ft))
        for ft, group in placed
    )


def _is_high(level_ft: float) -> bool:
    return level_ft > NEGATIVE_ABOVE_FT


def _is_open(group: str) -> bool:
    return re.match(r"(5[1-9]|[67]\d|8[0-6])99", group) is not None


def _decoded(group: str, level_ft: float) -> tuple[float, float, float] | None:
    """Direction [deg true], speed [kt] and temperature [degC]; NaN for none, None if unreadable."""
    match = _GROUP.fullmatch(group)
    if match is None:
        return None
    tens, speed_kt, sign, degrees = int(match[1]), float(match[2]), match[3], match[4]
    if degrees and not sign and not _is_high(level_ft):
        return None
    oat_degc = nan if degrees is None else float(degrees) * (1.0 if sign == "+" else -1.0)
    if group.startswith(LIGHT):
        return 0.0, 0.0, oat_degc
    if 51 <= tens <= 86:
        tens, speed_kt = tens - 50, speed_kt + 100.0
    if not 1 <= tens <= 36:
        return (0.0, 0.0, oat_degc) if (tens, speed_kt) == (0, 0.0) else None
    return tens * 10.0, speed_kt, oat_degc

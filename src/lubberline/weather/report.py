"""Reads one METAR or SPECI.

Remarks are free text: of them only the temperature in tenths is read. A landing forecast at
the end (TEMPO, BECMG) is no part of what was observed and is handed on undecoded.
"""

import re
from dataclasses import replace
from datetime import datetime
from typing import Final

from lubberline.weather.clock import nearest_utc
from lubberline.weather.groups import Elements, one_line, read_groups
from lubberline.weather.model import Report, UnreadableText

_HEADER: Final = re.compile(
    r"(?:(?:METAR|SPECI) )?(?:COR )?(?P<station>[A-Z][A-Z0-9]{3}|(?<=METAR )[A-Z0-9]{3,4})"
    r" (?P<day>\d{2})(?P<hour>\d{2})(?P<minute>\d{2})Z(?: (?P<body>.*))?",
    re.ASCII,
)
_TENTHS: Final = re.compile(r"T([01])(\d{3})(?:([01])(\d{3}))?", re.ASCII)
_ROUNDED_AWAY_DEGC: Final = 0.6  # half a degree lost in the body, and float noise
_EXAMPLE: Final = "QWRN 252000Z 24008KT 10SM CLR 09/04 A3002"


def read_metar(text: str, *, near_utc: datetime) -> Report:
    """What a METAR or SPECI says.

    Parameters
    ----------
    text : str
        The report, with or without its keyword, over any number of lines.
    near_utc : datetime
        Time less than half a month from the report's own, with its zone.

    Returns
    -------
    Report
        None for what was not reported; groups that were not understood in ``undecoded``.

    Raises
    ------
    UnreadableText
        If there is no station with a day and a time that exist, or the report is missing
        (NIL).

    References
    ----------
    [AIM-7-1]_, key to METAR; [WMO306]_, FM 15, for the groups in meters and hectopascals.

    Examples
    --------
    >>> near_utc = datetime.fromisoformat("2026-11-25T21:00Z")
    >>> text = "QWRN 252000Z 24008G15KT 1 1/2SM BKN025 09/M01 A3002"
    >>> report = read_metar(text, near_utc=near_utc)
    >>> report.wind.gust_kt, report.visibility_sm, report.ceiling_agl_ft, report.dewpoint_degc
    (15.0, 1.5, 2500.0, -1.0)
    """
    whole = one_line(text)
    header = _HEADER.fullmatch(whole)
    if header is None:
        raise UnreadableText(whole, f"no station and time; expected e.g. {_EXAMPLE}")
    day, hour, minute = int(header["day"]), int(header["hour"]), int(header["minute"])
    observed_utc = nearest_utc(day, hour, minute, near_utc=near_utc)
    if observed_utc is None:
        raise UnreadableText(whole, f"no such day and time; expected e.g. {_EXAMPLE}")
    groups = (header["body"] or "").split()
    if "NIL" in groups:
        raise UnreadableText(whole, "NIL, the report is missing")
    body, trend, remarks = _parts(groups)
    said = _with_tenths(read_groups(body), remarks)
    return Report(
        station=header["station"],
        observed_utc=observed_utc,
        wind=said.wind,
        visibility_sm=said.visibility_sm,
        ceiling_agl_ft=said.ceiling_agl_ft,
        temperature_degc=said.temperature_degc,
        dewpoint_degc=said.dewpoint_degc,
        altimeter_inhg=said.altimeter_inhg,
        weather=said.weather,
        visibility_is_least=said.visibility_is_least,
        text=whole,
        undecoded=(*said.undecoded, *trend),
    )


def _parts(groups: list[str]) -> tuple[list[str], list[str], list[str]]:
    """Body, landing forecast as one text if there is one, and remarks."""
    end = groups.index("RMK") if "RMK" in groups else len(groups)
    starts = [i for i, group in enumerate(groups[:end]) if group in {"TEMPO", "BECMG"}]
    start = starts[0] if starts else end
    trend = [" ".join(groups[start:end])] if start < end else []
    return groups[:start], trend, groups[end + 1 :]


def _with_tenths(said: Elements, remarks: list[str]) -> Elements:
    """Temperature and dew point in tenths where the remarks agree with the whole degrees."""
    matches = [match for group in remarks if (match := _TENTHS.fullmatch(group))]
    if len(matches) != 1:
        return said
    match = matches[0]
    air_degc = _agreed(said.temperature_degc, _tenths_degc(match[1], match[2]))
    dew_degc = said.dewpoint_degc
    if match[3]:
        dew_degc = _agreed(said.dewpoint_degc, _tenths_degc(match[3], match[4]))
    if air_degc is None or (match[3] and dew_degc is None):
        return replace(said, undecoded=(*said.undecoded, match[0]))
    return replace(said, temperature_degc=air_degc, dewpoint_degc=dew_degc)


def _tenths_degc(sign: str, tenths: str) -> float:
    return (-1.0 if sign == "1" else 1.0) * int(tenths) / 10.0


def _agreed(whole_degc: float | None, exact_degc: float) -> float | None:
    """The exact value, None where it contradicts the whole degrees."""
    agrees = whole_degc is None or abs(exact_degc - whole_degc) <= _ROUNDED_AWAY_DEGC
    return exact_degc if agrees else None

"""Pieces that both forms of NOTAM share: times, heights, positions, areas, closed runways."""

import re
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Final

from lubberline.units import FT_PER_M
from lubberline.weather.advice import SURFACE, UNLIMITED, Level, Spot

_POSITION: Final = re.compile(
    r"(?<![\dA-Z])(\d{4}|\d{6}(?:\.\d+)?)([NS])\s?(\d{5}|\d{7}(?:\.\d+)?)([EW])"
)
_RADIUS: Final = re.compile(
    r"(?P<first>\d+(?:\.\d+)?)\s?NM? RADIUS|RADIUS(?: OF)? (?P<second>\d+(?:\.\d+)?)\s?NM"
)
_ONE: Final = (
    r"(?:SFC|GND|UNL|FL ?\d{2,3}|\d{1,5} ?(?:FT|M)(?: ?\(?(?:AGL|MSL|AMSL|ASFC)\)?)?|\d{2,5})"
)
_BAND: Final = re.compile(rf"(?<![\w/])({_ONE})(?:-| TO | UP TO )({_ONE})(?![\w/])")
_HEIGHT: Final = re.compile(
    r"(?:(SFC|GND)|(UNL(?:TD|IMITED)?)|FL ?(\d{2,3})"
    r"|(\d{1,5}) ?(FT|M)? ?\(?(AGL|MSL|AMSL|ASFC)?\)?)"
)
_ENDS: Final = r"\d{2}[LCR]?(?:/\d{2}[LCR]?)?"
_CLOSED: Final = re.compile(
    rf"RWYS? (?P<ends>{_ENDS}(?:(?:,| AND|,? ?&| /)? ?(?:RWY )?{_ENDS})*)(?P<between>[^.]*?)"
    r" (?:CLSD|CLOSED)(?P<after>[^.]{0,40})"
)
_FIELD: Final = re.compile(
    r"\b(?:AD|AP|ARPT|AIRPORT|AERODROME)(?: AP)? (?:CLSD|CLOSED)(?P<after>[^.]{0,40})"
)
_SOME: Final = re.compile(r"\b(?:EXC|EXCEPT|TO|FOR|BTN|BLW|PPR|ONLY|UNLESS|MORE|LESS|OVER)\b")


@dataclass(frozen=True, slots=True, kw_only=True)
class Closed:
    """Runway ends that a text closes, none for the whole field; in part or to some only?"""

    runways: tuple[str, ...]
    conditional: bool


def closed_runways(message: str) -> Closed | None:
    """What a text closes; None if no runway and not the field."""
    field = _FIELD.search(message)
    if field is not None:
        return Closed(runways=(), conditional=_SOME.search(field["after"]) is not None)
    found = list(_CLOSED.finditer(message))
    if not found:
        return None
    ends = dict.fromkeys(
        one for match in found for one in re.findall(r"\d{2}[LCR]?", match["ends"])
    )
    partly = any(one["between"].strip() or _SOME.search(one["after"]) for one in found)
    return Closed(runways=tuple(ends), conditional=partly)


def time_of(text: str) -> datetime | None:
    """YYMMDDhhmm; None if there is no such time."""
    if not re.fullmatch(r"\d{10}", text, re.ASCII):
        return None
    hour24 = text[6:] == "2400"
    try:
        hhmm = "2359" if hour24 else text[6:]
        return datetime.strptime(f"{text[:6]}{hhmm}+0000", "%y%m%d%H%M%z").astimezone(UTC)
    except ValueError:
        return None


def height_of(text: str) -> Level | None:
    """A height as NOTAM write it: SFC, UNL, FL085, 5000FT AGL, 1500M AMSL; bare numbers are MSL.

    Examples
    --------
    >>> height_of("FL085"), height_of("400FT AGL")
    (Level(ft=8500.0, reference='FL'), Level(ft=400.0, reference='AGL'))
    """
    match = _HEIGHT.fullmatch(text.strip())
    if match is None:
        return None
    if match[1] or match[2]:
        return SURFACE if match[1] else UNLIMITED
    if match[3]:
        return Level(ft=float(match[3]) * 100.0, reference="FL")
    ft = float(match[4]) * (FT_PER_M if match[5] == "M" else 1.0)
    return Level(ft=ft, reference="AGL" if match[6] in {"AGL", "ASFC"} else "MSL")


def band_of(message: str) -> tuple[Level, Level] | None:
    """The last pair of heights of a text ("SFC-3000FT AGL"); None if there is none."""
    for match in reversed(list(_BAND.finditer(message))):
        low, high = height_of(match[1]), height_of(match[2])
        plain = match[1].isdigit() and match[2].isdigit()
        if low and high and not plain and low.ft <= high.ft:
            shared = high.reference if match[1][-1:].isdigit() or match[1].endswith("FT") else ""
            return (Level(ft=low.ft, reference=high.reference) if shared else low), high
    return None


def positions_of(message: str) -> tuple[Spot, ...]:
    """All positions of a text in degrees; none that lies outside the earth."""
    found = (_degrees(*match.groups()) for match in _POSITION.finditer(message))
    return tuple(spot for spot in found if spot is not None)


def radius_of(message: str) -> float | None:
    """The radius that a text names [NM]."""
    match = _RADIUS.search(message)
    return float(match["first"] or match["second"]) if match else None


def _degrees(north: str, n_or_s: str, east: str, e_or_w: str) -> Spot | None:
    lat_deg, lon_deg = _angle_deg(north, 2), _angle_deg(east, 3)
    if lat_deg is None or lon_deg is None or lat_deg > 90.0 or lon_deg > 180.0:
        return None
    return (-lat_deg if n_or_s == "S" else lat_deg, -lon_deg if e_or_w == "W" else lon_deg)


def _angle_deg(text: str, degrees: int) -> float | None:
    """DDMM or DDMMSS.s, with that many figures for the degrees."""
    minutes, seconds = float(text[degrees : degrees + 2]), float(text[degrees + 2 :] or 0.0)
    if minutes >= 60.0 or seconds >= 60.0:
        return None
    return float(text[:degrees]) + minutes / 60.0 + seconds / 3600.0

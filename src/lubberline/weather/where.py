"""Places as weather texts tell them: from a radio aid by distance and direction, or in degrees.

Directions by compass letters are true, radials (three figures) magnetic at the aid.
"""

import re
from datetime import datetime
from typing import Final

from lubberline.earth import destination_point, variation_deg
from lubberline.weather.advice import Locate, Spot

_COMPASS: Final = (
    *("N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE"),
    *("S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"),
)
_POINTS: Final = "|".join(sorted(_COMPASS, key=len, reverse=True))
_FROM_AID: Final = re.compile(rf"(\d{{1,3}})\s*(?:NM\s*)?({_POINTS})\s+(?:OF\s+)?([A-Z0-9]{{2,5}})")
_AID: Final = re.compile(r"[A-Z][A-Z0-9]{1,4}")
_RADIAL: Final = re.compile(r"([A-Z][A-Z0-9]{1,4}?)\s?(\d{3})(\d{3})")
_LETTER_FIRST: Final = re.compile(r"([NS])(\d{2})(\d{2})?\s?([EW])(\d{3})(\d{2})?")
_LETTER_LAST: Final = re.compile(r"(\d{2})(\d{2})?([NS])\s?(\d{3})(\d{2})?([EW])")


def spot_of(text: str, *, locate: Locate, when_utc: datetime) -> Spot | None:
    """Where a text says; None if it is of no known form or its aid is nowhere on file.

    Read are an identifier (PBI), a direction from one (30NNE TRV), a radial and distance
    (SJT240050), and degrees with minutes (N4530 W07000, 4530N07000W).
    """
    text = text.strip().upper()
    degrees = _degrees(text)
    if degrees is not None:
        return degrees
    away = _FROM_AID.fullmatch(text)
    if away is not None:
        true_deg = _COMPASS.index(away[2]) * 22.5
        return _off(locate(away[3]), true_deg, float(away[1]))
    radial = _RADIAL.fullmatch(text)
    if radial is not None and locate(text) is None:
        aid = locate(radial[1])
        if aid is None or float(radial[2]) > 360.0:
            return None
        variation = variation_deg(*aid, 0.0, when_utc)
        return _off(aid, float(radial[2]) + float(variation), float(radial[3]))
    return locate(text) if _AID.fullmatch(text) else None


def off_station(text: str, station: str, *, locate: Locate, when_utc: datetime) -> Spot | None:
    """As ``spot_of``, where a text may leave out the reporting station ("35 SW")."""
    alone = re.fullmatch(rf"(\d{{1,3}})\s*(?:NM\s*)?({_POINTS})", text.strip().upper())
    if alone is not None:
        text = f"{text.strip()} {station}"
    return spot_of(text, locate=locate, when_utc=when_utc)


def _degrees(text: str) -> Spot | None:
    first, last = _LETTER_FIRST.fullmatch(text), _LETTER_LAST.fullmatch(text)
    if first is not None:
        south, lat, lat_min, west, lon, lon_min = first.groups()
    elif last is not None:
        lat, lat_min, south, lon, lon_min, west = last.groups()
    else:
        return None
    lat_deg = int(lat) + int(lat_min or 0) / 60.0
    lon_deg = int(lon) + int(lon_min or 0) / 60.0
    if lat_deg > 90.0 or lon_deg > 180.0:
        return None
    return (-lat_deg if south == "S" else lat_deg, -lon_deg if west == "W" else lon_deg)


def _off(aid: Spot | None, true_deg: float, distance_nm: float) -> Spot | None:
    if aid is None:
        return None
    lat_deg, lon_deg = destination_point(*aid, true_deg, distance_nm)
    return float(lat_deg), float(lon_deg)

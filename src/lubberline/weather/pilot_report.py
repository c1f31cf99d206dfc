"""Reads one pilot report (PIREP) [PHAK]_: station, UA or UUA, and parts that begin with a slash.

What a part says beyond its form stays in ``elements`` as it stands, and in ``undecoded`` where it
should have been a number.
"""

import re
from datetime import datetime, timedelta
from math import nan
from typing import Final

from lubberline.weather.advice import Locate, PilotReport, Spot
from lubberline.weather.clock import nearest_utc
from lubberline.weather.model import UnreadableText
from lubberline.weather.where import off_station, spot_of

_HEAD: Final = re.compile(r"(?:(?P<station>[A-Z0-9]{3,4})\s+)?(?P<kind>UUA|UA)\s*(?P<rest>/.*)")
_PART: Final = re.compile(r"/\s?(OV(?!C\d)|TM|FL|TP|SK(?!C\b)|WX|TA|WV|TB|IC|RM)")
_TEMPERATURE: Final = re.compile(r"([M-])?(\d{1,2})")
_WIND: Final = re.compile(r"(\d{3})(\d{2,3})(?:KT)?")
_VISIBILITY: Final = re.compile(r"FV(\d{2})(?:SM)?")
_LAYER: Final = re.compile(
    r"(?P<amount>SKC|CLR|FEW|SCT|BKN|OVC)(?:-(?:SCT|BKN|OVC))?\s?(?P<base>\d{3}|UNKN)?"
    r"(?:-?\s?TOPS?\s?(?P<top>\d{3}|UNKN))?"
)


def read_pilot_report(
    text: str, *, near_utc: datetime, locate: Locate | None = None
) -> PilotReport:
    """What a pilot report says.

    Parameters
    ----------
    text : str
        The report, over any number of lines.
    near_utc : datetime
        Time less than half a day from the report's own, which names no day, with its zone.
    locate : callable, optional
        Finds a radio aid, fix or field by its identifier.

    Raises
    ------
    UnreadableText
        If it is no UA or UUA with parts.

    Examples
    --------
    >>> near_utc = datetime.fromisoformat("2026-11-25T21:00Z")
    >>> report = read_pilot_report("QWN UA /OV QWN/TM 1800/FL120/TP P28A/TA M7", near_utc=near_utc)
    >>> report.msl_ft, report.temperature_degc
    (12000.0, -7.0)
    """
    whole = " ".join(text.upper().replace("=", " ").split())
    head = _HEAD.fullmatch(whole)
    if head is None:
        raise UnreadableText(whole[:60], "no UA or UUA with its parts; e.g. UA /OV QWN/TM 1800")
    parts = _parts(head["rest"])
    said = dict(parts)
    at_utc = _time(said.get("TM", ""), near_utc)
    spot = _spot(said.get("OV", ""), head["station"] or "", locate, near_utc)
    wrong = [f"/{name} {said[name]}" for name in _wrong(said, spot)]
    wind = _WIND.fullmatch(said.get("WV", ""))
    visibility = _VISIBILITY.search(said.get("WX", ""))
    sky = tuple(_layers(said.get("SK", "")))
    return PilotReport(
        urgent=head["kind"] == "UUA",
        text=whole,
        at_utc=at_utc,
        place=said.get("OV", ""),
        lat_deg=spot[0] if spot else None,
        lon_deg=spot[1] if spot else None,
        msl_ft=float(said["FL"]) * 100.0 if said.get("FL", "").isdecimal() else None,
        airplane=said.get("TP", ""),
        sky=sky,
        visibility_sm=float(visibility[1]) if visibility else None,
        weather=tuple(one for one in said.get("WX", "").split() if not _VISIBILITY.fullmatch(one)),
        temperature_degc=_temperature_degc(said.get("TA", "")),
        wind_from_mag_deg=float(wind[1]) if wind else None,
        wind_kt=float(wind[2]) if wind else None,
        turbulence=said.get("TB", ""),
        icing=said.get("IC", ""),
        remarks=said.get("RM", ""),
        elements=tuple(parts),
        undecoded=(*wrong, *(f"/{name}" for name in ("OV", "TM", "FL", "TP") if name not in said)),
    )


def _parts(rest: str) -> list[tuple[str, str]]:
    """Each part by its letters; a second one of a name is joined to the first."""
    marks = list(_PART.finditer(rest))
    remark = next((n for n, mark in enumerate(marks) if mark[1] == "RM"), len(marks) - 1)
    marks = marks[: remark + 1]  # remarks are the rest, slashes and all
    ends = [*(mark.start() for mark in marks[1:]), len(rest)]
    joined: dict[str, str] = {}
    stray = rest[: marks[0].start()].strip(" /") if marks else rest.strip(" /")
    if stray:
        joined["??"] = stray
    for mark, end in zip(marks, ends, strict=False):  # no mark, one end
        said = rest[mark.end() : end].strip()
        joined[mark[1]] = f"{joined[mark[1]]} / {said}" if mark[1] in joined else said
    return list(joined.items())


def _wrong(said: dict[str, str], spot: Spot | None) -> list[str]:
    """Parts that should be a place, a number or layers and are not."""
    checks = {
        "??": False,
        "OV": spot is not None,
        "TM": re.fullmatch(r"([01]\d|2[0-3])[0-5]\dZ?", said.get("TM", "")) is not None,
        "FL": re.fullmatch(r"\d{3}|UNKN|DURC|DURD", said.get("FL", "")) is not None,
        "TA": _TEMPERATURE.fullmatch(said.get("TA", "")) is not None,
        "WV": _wind_is_one(said.get("WV", "")),
        "SK": len(_LAYER.sub("", said.get("SK", "")).replace("/", " ").replace("ABV", "").split())
        == 0,
    }
    return [name for name in said if not checks.get(name, True)]


def _wind_is_one(text: str) -> bool:
    wind = _WIND.fullmatch(text)
    return wind is not None and float(wind[1]) <= 360.0 and float(wind[2]) < 300.0


def _time(text: str, near_utc: datetime) -> datetime | None:
    """The time of that hour and minute that is nearest."""
    match = re.fullmatch(r"(\d{2})(\d{2})Z?", text)
    if match is None or int(match[1]) > 23 or int(match[2]) > 59:
        return None
    days = (near_utc + timedelta(days=n) for n in (-1, 0, 1))
    times = (nearest_utc(d.day, int(match[1]), int(match[2]), near_utc=near_utc) for d in days)
    return min((t for t in times if t), key=lambda time: abs(time - near_utc), default=None)


def _spot(text: str, station: str, locate: Locate | None, near_utc: datetime) -> Spot | None:
    """Where: one place, or the middle between two."""
    if locate is None or not text:
        return None
    ends = [
        off_station(one, station, locate=locate, when_utc=near_utc) for one in re.split(r"-", text)
    ]
    known = [one for one in ends if one is not None]
    if len(known) != len(ends) or not known:
        return spot_of(text, locate=locate, when_utc=near_utc)
    return (
        sum(lat_deg for lat_deg, _ in known) / len(known),
        sum(lon_deg for _, lon_deg in known) / len(known),
    )


def _temperature_degc(text: str) -> float | None:
    match = _TEMPERATURE.fullmatch(text)
    return None if match is None else float(match[2]) * (-1.0 if match[1] else 1.0)


def _layers(text: str) -> list[tuple[str, float, float]]:
    """Amount, base and top [ft MSL] of each layer; those "above" have no base."""
    return [
        (match["amount"], _hundreds_ft(match["base"]), _hundreds_ft(match["top"]))
        for match in _LAYER.finditer(text)
    ]


def _hundreds_ft(text: str | None) -> float:
    return float(text) * 100.0 if text and text.isdecimal() else nan

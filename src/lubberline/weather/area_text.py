"""Reads AIRMET and SIGMET bulletins into areas: outline, hazard, heights and times.

The outline is a list of places after FROM or WI; a line with a width and a single place with a
diameter become areas, too. Several areas of one bulletin come apart. A part whose outline or times
are not understood is kept with None and counts as unknown.
"""

import re
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.earth import LocalPlane
from lubberline.errors import LubberlineError
from lubberline.weather.advice import SURFACE, UNLIMITED, Area, Level, Locate, Spot
from lubberline.weather.clock import nearest_utc
from lubberline.weather.model import UnreadableText
from lubberline.weather.where import spot_of

GROUND_HAZARDS: Final = ("IFR", "MTN OBSC", "MTN OBSCN")
LOW_HAZARDS: Final = ("SFC WND", "STG SFC WND", "LLWS", "SFC WIND")
LOW_TOP: Final = Level(ft=2_000.0, reference="AGL")  # low-level shear: below that (memory)
_ISSUED: Final = re.compile(r"\b(?:WA|WS|WST) (\d{6})\b|^[A-Z]{4}\d{2} [A-Z]{4} (\d{6})\b")
_UNTIL: Final = re.compile(r"VALID (?:UNTIL|TIL) (\d{6}|\d{4})Z?")
_SPAN: Final = re.compile(r"VALID (\d{6})[/-](\d{6})")
_NAME: Final = re.compile(
    r"(?P<kind>CONVECTIVE SIGMET|AIRMET|SIGMET)\b"
    r"(?: (?P<name>(?:[A-Z]+ )?(?:UPDT )?\d{1,3}[A-Z]?\d?|[A-Z]+(?= (?:UPDT|FOR|VALID))))?"
)
_START: Final = re.compile(
    r"(?=\b(?:CONVECTIVE SIGMET|(?<!CONVECTIVE )SIGMET|AIRMET) [A-Z0-9]|\bOUTLOOK VALID)"
)
_SECTION: Final = re.compile(r"AIRMET ([A-Z][A-Z /]*?)\.\.\.")
_HEAD_ONLY: Final = re.compile(r"AIRMET (?:SIERRA|TANGO|ZULU)\b.*?(?:\d{6}|\d{4})Z?[ .]*")
_PLACE: Final = (
    r"(?:[NS]\d{2,4} ?[EW]\d{3,5}|\d{2,4}[NS] ?\d{3,5}[EW]"
    r"|(?:\d{1,3} ?(?:NM )?(?:[NS]{1,2}[EW]|[EW][NS][EW]|[NESW]) (?:OF )?)?[A-Z][A-Z0-9]{1,4})"
)
_PLACES: Final = re.compile(
    rf"\b(?:FROM|WI(?: AN AREA)?(?: BOUNDED BY)?|BOUNDED BY) "
    rf"(?P<places>(?:{_PLACE}(?: TO |\s?-\s?))*{_PLACE})\b"
)
_SINGLE: Final = re.compile(r"\bD(\d{1,3}) ?(?:NM)?\b")
_WIDE: Final = re.compile(r"(\d{1,3}) ?NM WIDE")
_BETWEEN: Final = re.compile(
    r"BTN (FRZLVL|FZLVL|SFC|(?:FL)?\d{3}) AND ((?:FL)?\d{3})|\b(SFC|FL\d{3})/(?:FL)?(\d{3})\b"
)
_TOPS: Final = re.compile(r"TOPS? (TO |ABV )?FL(\d{3})")
_BELOW: Final = re.compile(r"(?<!CIG )(?<!VIS )(?<!VSBY )\b(?:BLW|BELOW) ((?:FL)?\d{3})\b(?!SM)")
_ABOVE: Final = re.compile(r"(?<!TOPS )(?<!TOP )\bABV ((?:FL)?\d{3})\b")
_HAZARD_WORDS: Final = (
    *("TURB", "ICE", "ICG", "TS", "VA", "ASH", "LLWS", "IFR", "MTN OBSC", "MTW", "SS", "DS"),
)
_BUFFER_SEGMENTS: Final = 16


@dataclass(frozen=True, slots=True, kw_only=True)
class _Bulletin:
    """What holds for the parts of a bulletin until something else is said."""

    kind: str
    name: str
    from_utc: datetime | None
    until_utc: datetime | None


def read_areas(text: str, *, near_utc: datetime, locate: Locate | None = None) -> tuple[Area, ...]:
    """The areas of an AIRMET, SIGMET or convective SIGMET bulletin, in its order.

    Parameters
    ----------
    text : str
        The bulletin, over any number of lines.
    near_utc : datetime
        Time less than half a month from the bulletin's own, with its zone.
    locate : callable, optional
        Finds a radio aid by its identifier.

    Raises
    ------
    UnreadableText
        If it is neither AIRMET nor SIGMET.

    References
    ----------
    [AC0045]_, chapter 5. Compass directions from radio aids are true.
    """
    whole = " ".join(text.upper().split())
    pieces = [piece for piece in _START.split(whole) if piece.strip()]
    told = any(form.search(whole) for form in (_UNTIL, _SPAN, _PLACES, _SECTION))
    if not told or not any(_NAME.match(piece) for piece in pieces):
        raise UnreadableText(whole[:60], "neither AIRMET nor SIGMET")
    issued = _ISSUED.search(whole)
    stamp = next((one for one in issued.groups() if one), "") if issued else ""
    now = _Bulletin(kind="", name="", from_utc=_six(stamp, near_utc), until_utc=None)
    areas: list[Area] = []
    for piece in pieces:
        section = _SECTION.match(piece)
        if section is None:
            now = _entered(now, piece, near_utc)
        if section is None and (not now.kind or _HEAD_ONLY.fullmatch(piece.strip())):
            continue
        hazard = section[1].strip() if section else _hazard(piece)
        areas.append(_area(piece, now, hazard, locate or (lambda _: None), near_utc))
    if not areas:
        raise UnreadableText(whole[:60], "no area in it")
    return tuple(areas)


def _entered(now: _Bulletin, piece: str, near_utc: datetime) -> _Bulletin:
    """The state after the head of a piece: name and times."""
    name = _NAME.match(piece)
    until, span = _UNTIL.search(piece), _SPAN.search(piece)
    if name is not None:
        now = replace(now, kind=name["kind"], name=(name["name"] or "").strip())
    elif piece.startswith("OUTLOOK"):
        now = replace(now, kind="OUTLOOK", name="")
    if span is not None:
        return replace(now, from_utc=_six(span[1], near_utc), until_utc=_six(span[2], near_utc))
    if until is not None:
        after_utc = now.from_utc or near_utc
        ends = _six(until[1], after_utc) if len(until[1]) == 6 else _four(until[1], after_utc)
        return replace(now, until_utc=ends)
    return now if not piece.startswith("OUTLOOK") else replace(now, from_utc=None, until_utc=None)


def _area(piece: str, now: _Bulletin, hazard: str, locate: Locate, near_utc: datetime) -> Area:
    low, high = _heights(piece, hazard, now.kind)
    spots, missing = _spots(piece, locate, near_utc)
    corners_deg = None if missing else _outline(spots, piece)
    undecoded = [] if corners_deg is not None or missing else ["its outline"]
    undecoded += ["its times"] if now.until_utc is None else []
    undecoded += ["its heights"] if low is None or high is None else []
    return Area(
        kind=now.kind,
        name=now.name,
        hazard=hazard,
        from_utc=now.from_utc,
        until_utc=now.until_utc,
        low=low,
        high=high,
        corners_deg=corners_deg,
        text=piece.strip(),
        missing=tuple(missing),
        undecoded=tuple(undecoded),
    )


def _hazard(piece: str) -> str:
    """The first hazard that a piece names."""
    found = [
        (at.start(), word) for word in _HAZARD_WORDS if (at := re.search(rf"\b{word}\b", piece))
    ]
    return min(found)[1] if found else ""


def _spots(piece: str, locate: Locate, near_utc: datetime) -> tuple[list[Spot], list[str]]:
    """Places of the outline, and those that nobody knows."""
    match = _PLACES.search(piece)
    if match is None:
        return [], []
    words = [one.strip() for one in re.split(r"\s+TO\s+|\s?-\s?", match["places"])]
    found = [(one, _spot(one, locate, near_utc)) for one in words if one]
    return [spot for _, spot in found if spot], [one for one, spot in found if spot is None]


def _spot(word: str, locate: Locate, near_utc: datetime) -> Spot | None:
    try:
        return spot_of(word, locate=locate, when_utc=near_utc)
    except LubberlineError:
        return None


def _outline(spots: list[Spot], piece: str) -> FloatArray | None:
    """Corners of the area that the places make, the last not repeated; None if they make none."""
    if len(spots) > 1 and spots[0] == spots[-1]:
        spots = spots[:-1]
    wide, single = _WIDE.search(piece), _SINGLE.search(piece)
    if any(one is not None and int(one[1]) == 0 for one in (wide, single)):
        return None  # of no width: misread, or damaged
    if wide is not None and len(spots) >= 2:
        return _around(spots, float(wide[1]) / 2.0)
    if single is not None and len(spots) == 1:
        return _around(spots, float(single[1]) / 2.0)
    return np.array(spots, dtype=np.float64) if len(spots) >= 3 else None


def _around(spots: list[Spot], radius_nm: float) -> FloatArray:
    """Corners of all that lies within a distance of a line or place, none nearer than that."""
    import shapely

    plane = LocalPlane(*spots[len(spots) // 2])
    rows = np.column_stack(plane.to_plane_nm(*np.array(spots).T))
    line = shapely.Point(rows[0]) if len(rows) == 1 else shapely.LineString(rows)
    outer_nm = radius_nm / float(np.cos(np.pi / (4 * _BUFFER_SEGMENTS)))
    ring = shapely.get_coordinates(line.buffer(outer_nm, quad_segs=_BUFFER_SEGMENTS).exterior)
    return np.column_stack(plane.to_degrees(ring[:-1, 0], ring[:-1, 1]))


def _heights(piece: str, hazard: str, kind: str) -> tuple[Level | None, Level | None]:
    """Lowest and highest; the ground and no top where the hazard is of the ground."""
    between, tops = _BETWEEN.search(piece), _TOPS.search(piece)
    below, above = _BELOW.search(piece), _ABOVE.search(piece)
    if between is not None:
        low, high = (between[1], between[2]) if between[1] else (between[3], between[4])
        flight = low.startswith("FL") or high.startswith("FL")
        return _level(low), _level(f"FL{high}" if flight and high.isdecimal() else high)
    if tops is not None:
        return SURFACE, UNLIMITED if tops[1] == "ABV " else _level(f"FL{tops[2]}")
    if hazard.startswith(GROUND_HAZARDS):
        return SURFACE, UNLIMITED
    if hazard.startswith(LOW_HAZARDS):
        return SURFACE, LOW_TOP
    if below is not None:
        return SURFACE, _level(below[1])
    if above is not None:
        return _level(above[1]), UNLIMITED
    return (SURFACE, UNLIMITED) if kind in {"CONVECTIVE SIGMET", "OUTLOOK"} else (None, None)


def _level(text: str) -> Level | None:
    """FL180, 080 (hundreds of feet MSL) or SFC; None for the freezing level."""
    if text == "SFC":
        return SURFACE
    if text.startswith("FL"):
        return Level(ft=float(text[2:]) * 100.0, reference="FL")
    return Level(ft=float(text) * 100.0) if text.isdecimal() else None


def _six(text: str, near_utc: datetime) -> datetime | None:
    if not re.fullmatch(r"\d{6}", text, re.ASCII):
        return None
    return nearest_utc(int(text[:2]), int(text[2:4]), int(text[4:]), near_utc=near_utc)


def _four(text: str, after_utc: datetime) -> datetime | None:
    """The first such time of day after another."""
    hour, minute = int(text[:2]), int(text[2:])
    if hour > 24 or minute > 59:
        return None
    midnight = after_utc.replace(hour=0, minute=0, second=0, microsecond=0)
    times = (midnight + timedelta(days=n, hours=hour, minutes=minute) for n in (0, 1))
    return next((time for time in times if time >= after_utc), None)

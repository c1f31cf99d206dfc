"""Latitude and longitude as people write them: "41:05:30 N 130:30:54 W", "41 05.5N", "410530N"."""

import re
from typing import Final

from lubberline.places.published._account import Unfit
from lubberline.places.published._arcs import Place

_PAIRS: Final = (
    re.compile(r"(?P<lat>[^NSEW]*[NS])[\s,/]*(?P<lon>[^NSEW]*[EW])"),
    re.compile(r"(?P<lat>[NS][^NSEW]*)[\s,/]*(?P<lon>[EW][^NSEW]*)"),
)
_PARTS: Final = re.compile(
    r"(\d{1,3}(?:\.\d+)?)(?:[:\s]+(\d{1,2}(?:\.\d+)?))?(?:[:\s]+(\d{1,2}(?:\.\d+)?))?"
)
_COMPACT: Final = re.compile(r"(\d{2,3})(\d{2})(\d{2}(?:\.\d+)?)?")
_SIGNS: Final = re.compile(r"[°º'\"\u2032\u2033\u2019\u201d]")


def place_of(text: str) -> Place:
    """The place that a text says, hemispheres by letter.

    Raises
    ------
    Unfit
        If it is none.

    >>> place_of("41:05:30 N 130:30:54 W")
    (41.09166666666667, -130.515)
    """
    plain = text.strip().upper()
    match = next((found for pair in _PAIRS if (found := pair.fullmatch(plain))), None)
    if match is None:
        raise Unfit(f"{text.strip()[:40]!r} is no latitude and longitude")
    return angle_deg(match["lat"], "NS"), angle_deg(match["lon"], "EW")


def angle_deg(text: str, hemispheres: str) -> float:
    """One angle: degrees with a sign, or degrees, minutes and seconds with a letter.

    >>> angle_deg("131 05.5W", "EW"), angle_deg("-131.25", "EW"), angle_deg("410530.0N", "NS")
    (-131.09166666666667, -131.25, 41.09166666666667)
    """
    most_deg = 90.0 if hemispheres == "NS" else 180.0
    plain = " ".join(_SIGNS.sub(" ", text.upper()).split())
    letter = next((one for one in hemispheres if one in plain), "")
    digits = plain.replace(letter, "", 1).strip() if letter else plain[plain[:1] in ("+", "-") :]
    wide = re.match(r"\d{4}", digits) is not None
    match = (_COMPACT if wide else _PARTS).fullmatch(digits)
    if match is None or (wide and not letter):
        raise Unfit(f"{text.strip()[:40]!r} is no angle")
    parts = [float(part or 0.0) for part in match.groups()]
    total_deg = parts[0] + parts[1] / 60.0 + parts[2] / 3600.0
    if total_deg > most_deg or max(parts[1:]) > 60.0:
        raise Unfit(f"{text.strip()[:40]!r} is no place on earth")
    return -total_deg if letter in ("S", "W") or plain.startswith("-") else total_deg

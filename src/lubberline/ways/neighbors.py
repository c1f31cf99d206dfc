"""What a way leaves to the volumes it does not enter, in words; what is left is rounded down."""

from math import floor, isfinite, isnan
from typing import Final

from lubberline.ways.model import Encounter

_ROUNDING: Final = 1e-6


def room_words(one: Encounter) -> str:
    """How far over or under a volume, and how far beside it."""
    words = []
    if isfinite(one.vertical_ft):
        words.append(f"{floor(one.vertical_ft + _ROUNDING):,} ft {one.side or 'over or under'}")
    elif isnan(one.vertical_ft):
        words.append("its height above ground is not known here")
    if isfinite(one.lateral_nm) and one.lateral_nm > 0.0:
        words.append(f"{floor(one.lateral_nm * 10.0 + _ROUNDING) / 10.0:.1f} NM beside")
    return ", ".join(words) or "at its edge"

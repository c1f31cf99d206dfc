"""Published vertical limits: "FL 65", "1500 ft AMSL", "300m AGL", "GND", "UNL".

A limit that is not understood, not published or left to another source is taken as the widest that
it may be, and the note says so. Flight levels count as feet above sea level.
"""

import re
from typing import Final

from lubberline.places.model import Height
from lubberline.places.published._account import Unfit
from lubberline.places.published._faa_airspace import NONE_WORDS, UNLIMITED_FT
from lubberline.places.published._table import joined
from lubberline.units import FT_PER_M

FT_PER_LEVEL: Final = 100.0
LOWEST_FT: Final = -2_000.0  # own, as the next: no ground lies lower
HIGHEST_FT: Final = 150_000.0  # own: beyond it no airplane flies; such a number is none

_FT_PER: Final = {
    **dict.fromkeys(("", "FT", "F", "FEET"), 1.0),
    **dict.fromkeys(("M", "MT", "METER", "METERS", "METRES"), FT_PER_M),
    "FL": FT_PER_LEVEL,
    "SM": 10.0 * FT_PER_M,  # tens of meters on the standard setting
}
_ABOVE_GROUND: Final = frozenset(("AGL", "GND", "SFC", "ASFC", "AAL"))
_ABOVE_SEA: Final = frozenset(("", "MSL", "AMSL", "ALT", "QNH", "STD", "ASL"))
_ELLIPSOID: Final = "W84"
_ELLIPSOID_FT: Final = 351.0  # at most this far from mean sea level: EGM96, -107 m (memory)
_GROUND: Final = frozenset(("GND", "SFC", "SURFACE", "GROUND"))
# One point and three digits may be thousands to some: that is no number here.
_NUMBER: Final = r"-?\d+(?:\.\d{1,2}|\.\d{4,}|(?<=\d{4})\.\d{3}|,\d{1,3})?"
_UNIT: Final = "|".join(sorted(filter(None, _FT_PER), key=len, reverse=True))
_REFERENCE: Final = "|".join(sorted(filter(None, _ABOVE_GROUND | _ABOVE_SEA), reverse=True))
_HEIGHT: Final = re.compile(rf"(FL ?)?({_NUMBER}) ?(?:({_UNIT})\.?)? ?({_REFERENCE})?")
_THOUSANDS: Final = re.compile(r",(?=\d{3})")


def limit_of(text: str, *, unit: str = "", reference: str = "", upper: bool) -> tuple[Height, str]:
    """The height that a text says, and what had to be assumed ("" for nothing).

    ``unit`` and ``reference`` where the form keeps them apart from the number.

    >>> limit_of("1500 m AMSL", upper=True)[0].ft.__round__()
    4921
    """
    plain, side = " ".join(text.upper().split()), "upper" if upper else "lower"
    if not plain or plain in NONE_WORDS:
        return _widest(side, plain or "not published")
    found = (0.0, "SFC") if plain in _GROUND else _feet(plain, unit.upper(), reference.upper())
    if found is None:
        return _widest(side, f"{text.strip()[:40]!r} is not understood")
    ft, above = found
    if above in _ABOVE_GROUND and (ft > 0.0 or not upper):
        return Height(reference="AGL" if ft > 0.0 else "SFC", ft=max(ft, 0.0)), ""
    if not LOWEST_FT <= ft < HIGHEST_FT or (upper and ft <= 0.0):
        return _widest(side, f"{text.strip()[:40]} stands for none")
    if above == _ELLIPSOID:
        ft += _ELLIPSOID_FT if upper else -_ELLIPSOID_FT
        return Height(reference="MSL", ft=ft), f"{side} limit from the ellipsoid, widened"
    return Height(reference="MSL", ft=ft), f"{side} FL" if above == "FL" else ""


def limits_of(lower: tuple[Height, str], upper: tuple[Height, str]) -> tuple[Height, Height, str]:
    """Floor, ceiling and both notes.

    Raises
    ------
    Unfit
        If the ceiling does not lie above the floor.
    """
    (floor, floor_note), (ceiling, ceiling_note) = lower, upper
    same = (floor.reference == "MSL") == (ceiling.reference == "MSL")
    if same and ceiling.ft <= floor.ft:
        raise Unfit(f"ceiling {ceiling.ft:g} ft not above the floor, {floor.ft:g} ft")
    return floor, ceiling, joined(floor_note, ceiling_note)


def doubts_in(note: str) -> list[str]:
    """Of what had to be assumed, that which an account should tell: not what none was told of."""
    return [one for one in note.split("; ") if "not understood" in one or "stands for none" in one]


def _feet(plain: str, unit: str, reference: str) -> tuple[float, str] | None:
    """Feet and what they are above; None if it is no height."""
    match = _HEIGHT.fullmatch(plain)
    if match is None:
        return None
    level, digits, its_unit, its_reference = match.groups()
    unit, reference = its_unit or unit, its_reference or reference
    unit = "FL" if level else unit
    if unit not in _FT_PER or reference not in _ABOVE_GROUND | _ABOVE_SEA | {_ELLIPSOID}:
        return None
    ft = float(_THOUSANDS.sub("", digits).replace(",", ".")) * _FT_PER[unit]
    return ft, "FL" if unit == "FL" and reference not in _ABOVE_GROUND else reference


def _widest(side: str, why: str) -> tuple[Height, str]:
    if side == "lower":
        return Height(reference="SFC", ft=0.0), f"lower limit {why}: taken as the ground"
    return Height(reference="MSL", ft=UNLIMITED_FT), f"upper limit {why}: taken as unlimited"

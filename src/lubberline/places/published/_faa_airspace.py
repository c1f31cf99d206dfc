"""Airspace by the attribute names that the US government gives it, whatever the file's form.

Heights: a value below zero stands for none; a value with the reference SFC is above ground, and
zero with it is the ground. A limit that is not published is taken so that the volume is larger,
never smaller, and the note says so. Flight levels count as feet above sea level.
"""

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from math import isnan
from typing import Final

from lubberline.places.hours import otherwise_class, schedule_of
from lubberline.places.model import Height, Polygon, Schedule, Volume
from lubberline.places.published._account import Unfit
from lubberline.places.published._table import joined, number, words_of
from lubberline.units import FT_PER_M

UNLIMITED_FT: Final = 60_000.0  # own: stands for no upper limit; above every airplane here
HIGHEST_FT: Final = 99_000.0  # own: a value from here on stands for none
NONE_WORDS: Final = frozenset(("UNLTD", "UNL", "UNLIM", "UNLIMITED", "BYNOTAM", "NOTAM"))
NAMES: Final = (
    *("IDENT", "ICAO_ID", "NAME", "CLASS", "LOCAL_TYPE", "TYPE_CODE", "SECTOR"),
    *("UPPER_VAL", "UPPER_UOM", "UPPER_CODE", "LOWER_VAL", "LOWER_UOM", "LOWER_CODE"),
    *("WKHR_CODE", "WKHR_RMK", "TIMESOFUSE", "CONT_AGENT", "COMM_NAME", "REMARKS"),
)

# Kinds of special use as published, and the letter each goes by here: R, P and W as charted.
SPECIAL: Final = {"R": "R", "P": "P", "W": "W", "A": "L", "MOA": "M", "D": "Q", "NSA": "N"}
OTHER: Final = "X"  # a kind that is not known here; its own word is kept
_PERMISSION: Final = "ABCD"  # classes whose facility must answer
_WHO: Final = {"A": "CENTER", "B": "APPROACH", "C": "APPROACH", "D": "TOWER"}
_GROUND: Final = ("SFC", "GND", "AGL")
_SEA: Final = ("MSL", "AMSL", "STD")
_LEVELS: Final = ("FL", "FLT")
_FT_PER: Final = {"FT": 1.0, "": 1.0, "FL": 100.0, "FLT": 100.0, "M": FT_PER_M}
_CLASS_WORDS: Final = re.compile(r",? CLASS [A-G]\d?\b.*")

Attributes = Mapping[str, str]


def _is_special(said: Attributes) -> bool:
    """Whether a row is special use airspace, and not airspace of a class."""
    kind, code = said["LOCAL_TYPE"].upper(), said["TYPE_CODE"].upper()
    if code == "CLASS" or kind.startswith(("CLASS", "MODE")):
        return False
    return bool(code) or said["CLASS"].upper() not in tuple("ABCDEFG")


def volumes_of(attributes: Attributes, parts: Iterable[Polygon], source: str) -> Iterator[Volume]:
    """The volumes of one row, one for each separate part; identifiers may come again.

    Raises
    ------
    Unfit
        If the row says what cannot be.
    """
    said = {name: attributes.get(name, "").strip() for name in NAMES}
    make = _special if _is_special(said) else _of_class
    for part in parts:
        yield make(said, part, source)


def numbered(volumes: Iterable[Volume]) -> tuple[Volume, ...]:
    """Volumes with identifiers of their own: the second of a name is told by a number."""
    seen: Counter[str] = Counter()
    kept = []
    for one in volumes:
        seen[one.id] += 1
        kept.append(one if seen[one.id] == 1 else replace(one, id=f"{one.id}-{seen[one.id]}"))
    return tuple(kept)


def _of_class(said: Attributes, part: Polygon, source: str) -> Volume:
    kind = said["LOCAL_TYPE"] or said["CLASS"]
    letter = said["CLASS"].upper() or kind.upper().removeprefix("CLASS_")[:1]
    if kind.upper().startswith("MODE"):
        letter = "V"  # the veil in which altitude must be reported; no class of its own
    if letter not in "ABCDEFGV" or len(letter) != 1:
        raise Unfit(f"class {letter!r}, expected A to G")
    place = _CLASS_WORDS.sub("", said["NAME"].upper()).strip()
    group = said["IDENT"] or said["ICAO_ID"] or "-".join(words_of(place))
    if not group:
        raise Unfit("neither identifier nor name")
    floor, ceiling, note = _heights(said)
    hours = _hours(said)
    return Volume(
        id=f"{group}-{kind.upper().removeprefix('CLASS_').replace(' ', '-')}",
        name=" ".join(filter(None, (said["NAME"] or group, said["SECTOR"]))),
        airspace_class=letter,
        group=group if letter in _PERMISSION else "",
        facility=(said["COMM_NAME"] or f"{place or group} {_WHO[letter]}")
        if letter in _WHO
        else "",
        floor=floor,
        ceiling=ceiling,
        footprint=part,
        schedule=hours,
        otherwise_class=_otherwise(said, letter) if hours is not None else "",
        kind=kind,
        note=joined(note, said["REMARKS"]),
        source=source,
    )


def _special(said: Attributes, part: Polygon, source: str) -> Volume:
    name = said["NAME"] or said["IDENT"]
    id_ = "-".join(words_of(name))
    if not id_:
        raise Unfit("neither identifier nor name")
    floor, ceiling, note = _heights(said)
    return Volume(
        id=id_,
        name=" ".join(filter(None, (name, said["SECTOR"]))),
        airspace_class=SPECIAL.get(said["TYPE_CODE"].upper(), OTHER),
        group=name,
        facility=said["CONT_AGENT"] or said["COMM_NAME"],
        floor=floor,
        ceiling=ceiling,
        footprint=part,
        schedule=_hours(said),
        kind=said["TYPE_CODE"],
        note=joined(note, said["REMARKS"]),
        source=source,
    )


def _hours(said: Attributes) -> Schedule | None:
    """Hours from whichever attribute holds them; a code alone is no hours, but not always."""
    code, text = said["WKHR_CODE"].upper(), said["TIMESOFUSE"] or said["WKHR_RMK"]
    if text:
        return schedule_of(text)
    return None if code in ("", "H24") else Schedule(text=code)


def _otherwise(said: Attributes, letter: str) -> str:
    """The class outside the hours: as stated, else the stricter of those it may become."""
    stated = otherwise_class(said["WKHR_RMK"])
    return stated or ("E" if letter in "ABCD" else "G")


def _heights(said: Attributes) -> tuple[Height, Height, str]:
    """Floor, ceiling, and what had to be assumed."""
    floor, assumed_floor = _limit(said, "LOWER")
    ceiling, assumed_ceiling = _limit(said, "UPPER")
    if ceiling.reference == "SFC":
        raise Unfit("a ceiling on the ground")
    same = (floor.reference == "MSL") == (ceiling.reference == "MSL")
    if same and ceiling.ft <= floor.ft:
        raise Unfit(f"ceiling {ceiling.ft:g} ft not above the floor, {floor.ft:g} ft")
    return floor, ceiling, joined(assumed_floor, assumed_ceiling)


def _limit(said: Attributes, side: str) -> tuple[Height, str]:
    text, unit, code = (said[f"{side}_{part}"].upper() for part in ("VAL", "UOM", "CODE"))
    value, name = number(text), side.lower()
    word = next((one for one in (text, unit, code) if one in NONE_WORDS), "")
    if word or text == "" or value < 0.0 or value >= HIGHEST_FT:
        return _open(side, word or "not published")
    if text in _GROUND:
        return Height(reference="SFC", ft=0.0), ""
    if isnan(value) or unit not in _FT_PER or code not in (*_GROUND, *_SEA, ""):
        raise Unfit(f"{name} limit {text!r} {unit!r} {code!r}")
    ft, note = value * _FT_PER[unit], f"{name} FL" if unit in _LEVELS else ""
    if code == "" and unit not in _LEVELS:  # whichever makes the volume larger
        code = "AGL" if side == "UPPER" or ft == 0.0 else "MSL"
        note = f"{name} limit without reference, taken as {code}"
    if code in _GROUND:
        return Height(reference="SFC" if ft == 0.0 else "AGL", ft=ft), note
    return Height(reference="MSL", ft=ft), note


def _open(side: str, word: str) -> tuple[Height, str]:
    """A limit that is not a height: the widest that it may be."""
    if side == "LOWER":
        return Height(reference="SFC", ft=0.0), f"lower limit {word}: taken as the ground"
    return Height(reference="MSL", ft=UNLIMITED_FT), f"upper limit {word}: taken as unlimited"

"""Rows of the card, in the words and figures that are printed.

Nothing on the card wraps: what is longer than its column is cut in its middle, so that names
that begin alike stay different.
"""

from dataclasses import dataclass
from typing import Final

NAME_SIGNS: Final = 17  # own: of a name, so that each row keeps to its line on half a letter


def short(text: str, most: int = NAME_SIGNS) -> str:
    """A text of no more than so many signs, with "…" for what was cut from its middle.

    >>> short("Gasworks chimney")
    'Gasworks chimney'
    >>> short("Lighthouse on the north mole")
    'Lighthouse…h mole'
    """
    if len(text) <= most:
        return text
    tail = (most - 1) * 3 // 8
    return f"{text[: most - 1 - tail].rstrip()}…{text[len(text) - tail :].lstrip()}"


@dataclass(frozen=True, slots=True, kw_only=True)
class LegRow:
    """One leg as it is flown; ``over`` and the fuel hold at its end.

    ``fuel_least`` is the least with which to go on from there to the landing, ``glide`` how far a
    glide goes from there in still air [NM].
    """

    to: str
    course: str = ""
    heading: str = ""
    height: str = ""
    distance: str = ""
    ground_speed: str = ""
    minutes: str = ""
    over: str = ""
    fuel_left: str = ""
    fuel_least: str = ""
    glide: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """What must be had before a volume: what from whom, before which point, when and how high."""

    volume: str
    have: str
    before: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StretchRow:
    """What bounds the height up to so far before a point, and what makes it so."""

    before: str
    to: str
    least: str
    least_why: str
    most: str
    most_why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RadioRow:
    """One rung of the radio ladder: when, who, what to ask, and what to set next.

    ``notes`` are lines below it: where, and by where an answer must be had, if one ``must`` be.
    """

    at: str
    frequency: str
    who: str
    ask: str
    notes: tuple[str, ...]
    must: bool
    standby: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberRow:
    """A value with its limit."""

    label: str
    value: str
    limit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """A label with its text."""

    label: str
    text: str

"""Rows of the card, in the words and figures that are printed."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class LegRow:
    """One leg as it is flown; ``over`` and the fuel hold at its end.

    ``fuel_least`` is the least with which to go on from there to the landing.
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """What must be had before a volume: what from whom, before which point, when and how high."""

    volume: str
    have: str
    before: str


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

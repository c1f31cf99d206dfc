"""How to enter the pattern from where the way comes in, and what the tower will most likely say.

Each entry has the heading, relative to the landing's, with which it is flown straight; those
nearest to the heading of the way come first. Own, after the customary left and right patterns
of [AIM4-3-3]_; the tower decides, and without one the pilot does.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal

from lubberline.arrays import wrap_180_deg
from lubberline.card.rows import short
from lubberline.earth import variation_deg
from lubberline.fit import Setting
from lubberline.ways import Way
from lubberline.wording import direction_text

Joins = Literal["final", "base", "downwind", "overhead"]
MOST_COUNT: Final = 2  # own: what is likely; a third would not be read
OVER_PATTERN_FT: Final = 500.0  # AC 90-66C (memory): above the pattern when crossing it
NEAR_NM: Final = 5.0  # own: the last of the way, from which an entry begins


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryRow:
    """One entry, and what is said: by the tower, or by the pilot where there is none."""

    how: str
    say: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Entry:
    """A way in: its heading relative to the landing's if the pattern lies to the left."""

    joins: Joins
    relative_deg: float
    same_side: bool


_ENTRIES: Final = (
    _Entry(joins="final", relative_deg=0.0, same_side=True),
    _Entry(joins="base", relative_deg=90.0, same_side=True),
    _Entry(joins="downwind", relative_deg=135.0, same_side=True),
    _Entry(joins="downwind", relative_deg=180.0, same_side=True),
    _Entry(joins="overhead", relative_deg=-90.0, same_side=True),
    _Entry(joins="base", relative_deg=-90.0, same_side=False),
    _Entry(joins="downwind", relative_deg=-135.0, same_side=False),
)


def inbound_deg(way: Way, to: Setting) -> float:
    """The way's last true course relative to the landing's, -180 to 180, right positive."""
    left_nm = 0.0
    course_deg = way.legs[-1].true_deg
    for leg in reversed(way.legs):
        course_deg = leg.true_deg
        left_nm += leg.distance_nm
        if left_nm >= NEAR_NM:
            break
    return float(wrap_180_deg(course_deg - to.end.true_deg))


def joins(way: Way, to: Setting) -> Joins:
    """Where the likeliest entry joins the pattern."""
    return _likely(way, to)[0].joins


def entry_rows(way: Way, to: Setting) -> Iterator[EntryRow]:
    """The likeliest entries, the likeliest first."""
    spoken = any(radio.use == "tower" for radio in to.aerodrome.radios)
    for one in _likely(way, to)[:MOST_COUNT]:
        side = to.end.pattern_side if one.same_side else _other(to.end.pattern_side)
        how = _how(one, side, to)
        say = _told(one, side, to.end.name) if spoken else _announced(one, side, to)
        yield EntryRow(how=how, say=say)


def _likely(way: Way, to: Setting) -> list[_Entry]:
    """Entries by how far the airplane would have to turn for them; without a tower its side."""
    toward_deg = inbound_deg(way, to) * (1.0 if to.end.pattern_side == "left" else -1.0)
    spoken = any(radio.use == "tower" for radio in to.aerodrome.radios)
    open_to = [one for one in _ENTRIES if one.same_side or spoken]
    turn = {one: abs(float(wrap_180_deg(toward_deg - one.relative_deg))) for one in open_to}
    first: dict[tuple[Joins, bool], _Entry] = {}
    for one in sorted(open_to, key=lambda one: turn[one]):
        first.setdefault((one.joins, one.same_side), one)
    return list(first.values())


def _how(one: _Entry, side: str, to: Setting) -> str:
    """What is flown, with the magnetic heading of the leg that it joins."""
    pattern_msl_ft = to.aerodrome.elev_msl_ft + to.aerodrome.pattern_agl_ft
    turn_deg = 90.0 if side == "left" else -90.0
    variation = float(variation_deg(to.end.lat_deg, to.end.lon_deg, 0.0, to.when_utc))

    def heading(relative_deg: float) -> str:
        return direction_text((to.end.true_deg + relative_deg - variation) % 360.0)

    match one.joins:
        case "final":
            return f"straight in {heading(0.0)}"
        case "base":
            return f"{side} base {heading(turn_deg)}"
        case "downwind":
            return f"{side} downwind {heading(180.0)}, at 45° in its middle"
        case "overhead":
            over_ft = pattern_msl_ft + OVER_PATTERN_FT
            return f"over the middle, {over_ft:,.0f} ft, {side} downwind {heading(180.0)}"


def _told(one: _Entry, side: str, runway: str) -> str:
    """What a tower says for it, in the words of the trade."""
    match one.joins:
        case "final":
            return f"make straight in runway {runway}, report four miles"
        case "base":
            return f"enter {side} base runway {runway}, report two miles"
        case "downwind":
            return f"enter {side} downwind runway {runway}, report midfield"
        case "overhead":
            return f"cross midfield, join {side} downwind runway {runway}"


def _announced(one: _Entry, side: str, to: Setting) -> str:
    leg = {"final": "straight in", "base": f"{side} base"}.get(one.joins, f"{side} downwind")
    return f"{short(to.aerodrome.name)} traffic, {leg} {to.end.name}"


def _other(side: str) -> str:
    return "right" if side == "left" else "left"

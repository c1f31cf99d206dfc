"""Who is spoken to and by when, and what airspace is kept clear of.

Contact or clearance must be had before a volume is entered, and for one that is passed nearer
than the margins under its permission. The place is named by the next point ahead.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from math import floor, isfinite, isnan
from typing import Final

from lubberline.card.ahead import Track
from lubberline.card.rows import Contact, Pair
from lubberline.fit import times_utc
from lubberline.flight import Plan
from lubberline.places import Aerodrome, Height
from lubberline.ways import Encounter, Way

NEAR_NM: Final = 1.0  # own: a margin for who set none, to decide what is named as near
NEAR_FT: Final = 500.0
_WORDS: Final = {"atis": "ATIS", "awos": "AWOS", "ctaf": "CTAF"}
_OUT: Final = ("atis", "awos", "ground", "tower", "ctaf")
_IN: Final = ("atis", "awos", "approach", "tower", "ctaf", "ground")


def contacts(plan: Plan, way: Way) -> Iterator[Contact]:
    """Everything that asks for contact, a clearance, or not to be entered, in order."""
    for one in _spoken_to(way):
        volume = one.volume
        frequency = f" {volume.frequency_mhz:.3f}" if volume.frequency_mhz else ""
        whom = f" {volume.facility}{frequency}" if volume.facility else ""
        lacking = "" if one.permitted else ", which this way does not reckon with"
        yield Contact(
            volume=_name(one),
            have="never to be entered" if one.needs == "never" else f"{one.needs}:{whom}{lacking}",
            before=_before(plan, way, one),
        )


def keep_clear(plan: Plan, way: Way) -> Iterator[Pair]:
    """Neighbors that are not entered and lie within twice the margins, nearest in height first."""
    own = plan.pilot.own
    near = _Near(
        lateral_nm=2.0 * (own.airspace_lateral_nm or NEAR_NM),
        vertical_ft=2.0 * (own.airspace_vertical_ft or NEAR_FT),
    )
    spoken = [one.volume for one in _spoken_to(way)]
    others = [one for one in way.encounters if not one.entered and one.needs != "nothing"]
    for one in sorted(others, key=_gap):
        if near.holds(one) and one.volume not in spoken:
            yield Pair(label=_name(one), text=_apart(one, way))


def radio(plan: Plan, way: Way) -> Iterator[Pair]:
    """Services in the order in which they are used, each frequency of a facility once."""
    rows = [
        *_services(plan.departure, _OUT),
        *(
            (one.volume.facility, one.volume.frequency_mhz)
            for one in _spoken_to(way)
            if one.volume.frequency_mhz and not _is_of(one.volume.facility, plan.destination)
        ),
        *_services(plan.destination, _IN),
    ]
    seen: set[tuple[str, float]] = set()
    for label, frequency_mhz in rows:
        if (label, frequency_mhz) not in seen:
            seen.add((label, frequency_mhz))
            yield Pair(label=label, text=f"{frequency_mhz:.3f}")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Near:
    """How close a volume must come to be named."""

    lateral_nm: float
    vertical_ft: float

    def holds(self, one: Encounter) -> bool:
        """Whether it is near, or nobody knows."""
        lateral_nm = 2.0 * (one.volume.lateral_margin_nm or 0.0)
        return (
            isnan(one.lateral_nm)
            or isnan(one.vertical_ft)
            or one.lateral_nm <= max(self.lateral_nm, lateral_nm)
            or one.vertical_ft <= self.vertical_ft
        )


def _spoken_to(way: Way) -> list[Encounter]:
    """What is entered, or passed within the margins under its permission, in order of time."""
    asked = [
        one
        for one in way.encounters
        if one.needs != "nothing" and (one.entered or (one.permitted and one.within_margins))
    ]
    return sorted(asked, key=lambda one: _moment_min(way, one))


def _moment_min(way: Way, one: Encounter) -> float:
    """Minutes after take-off at the entry; beside or above it, when it is first the nearest."""
    if one.entry_min is not None:
        return one.entry_min
    return Track(way).closest_min(one.volume.footprint)


def _before(plan: Plan, way: Way, one: Encounter) -> str:
    """By when it must be had: how far before the next named point, when and how high."""
    moment_min = _moment_min(way, one)
    passes = "" if one.entered else f", {_apart(one, way)}"
    if moment_min <= 0.0:
        return f"before take-off{passes}"
    track = Track(way)
    moment_utc = times_utc(plan, way)[0] + timedelta(minutes=moment_min)  # cut: the early minute
    height_ft = round(track.height_ft(moment_min), -1)
    return f"before {track.words(moment_min)}, {moment_utc:%H:%M}Z, {height_ft:,.0f} ft{passes}"


def _apart(one: Encounter, way: Way) -> str:
    """What the way leaves to a volume that it does not enter, rounded down."""
    words = []
    if isfinite(one.vertical_ft):
        words.append(f"{floor(one.vertical_ft + 1e-6):,} ft {_side(one, way)}")
    if isfinite(one.lateral_nm) and one.lateral_nm > 0.0:
        words.append(f"{floor(one.lateral_nm * 10.0 + 1e-6) / 10.0:.1f} NM beside")
    return ", ".join(words) or "at a distance that is not known"


def _side(one: Encounter, way: Way) -> str:
    """Above or below, where the volume leaves only one of them."""
    top_ft = float(way.path[:, 2].max())
    if _on_ground(one.volume.floor):
        return "above"
    if one.volume.floor.reference == "MSL" and one.volume.floor.ft >= top_ft:
        return "below"
    return "above or below"


def _on_ground(floor_height: Height) -> bool:
    return floor_height.reference == "SFC" or floor_height.ft <= 0.0


def _gap(one: Encounter) -> tuple[float, float]:
    """Height first: it is what slips in the air. What is not known comes before all."""
    below_ft = -1.0 if isnan(one.vertical_ft) else one.vertical_ft
    return below_ft, -1.0 if isnan(one.lateral_nm) else one.lateral_nm


def _name(one: Encounter) -> str:
    return f"{one.volume.name} ({one.volume.airspace_class})"


def _is_of(facility: str, aerodrome: Aerodrome) -> bool:
    return any(one.facility == facility for one in aerodrome.radios)


def _services(aerodrome: Aerodrome, order: tuple[str, ...]) -> Iterator[tuple[str, float]]:
    used = [one for one in aerodrome.radios if one.use in order]
    for one in sorted(used, key=lambda one: order.index(one.use)):
        word = _WORDS.get(one.use, one.use.capitalize())
        told = word.casefold() in one.facility.casefold()
        yield (one.facility if told else f"{one.facility} {word}"), one.frequency_mhz

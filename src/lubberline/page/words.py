"""What airspace is and asks for, as sentences of the page."""

from collections.abc import Iterable, Iterator
from math import floor, isfinite

from lubberline.page.charting import height_words
from lubberline.places import Volume
from lubberline.ways import Encounter, Way


def demand_sentences(way: Way) -> Iterator[str]:
    """What a way asks of the pilot: volumes entered in order of time, then those passed near."""
    met = sorted(way.encounters, key=lambda one: (not one.entered, one.entry_min or 0.0))
    for one in met:
        volume = one.volume
        doing = _entering(one) if one.entered else _passing(one)
        yield f"{volume.name} ({volume.airspace_class}): {doing}"


def airspace_sentences(volumes: Iterable[Volume]) -> Iterator[str]:
    """Every volume with its class, its heights in full and who answers for it."""
    for volume in sorted(volumes, key=lambda one: (one.airspace_class, one.name)):
        answers = f", {_facility(volume)}" if volume.facility else ""
        yield (
            f"{volume.name} ({volume.airspace_class}): {height_words(volume.floor)} to"
            f" {height_words(volume.ceiling)}{answers}"
        )


def _entering(one: Encounter) -> str:
    moment = f"entered at +{floor(one.entry_min or 0.0)} min, {round(one.entry_msl_ft or 0.0):,} ft"
    if one.needs == "nothing":
        return f"{moment}, nothing needed"
    if one.needs == "never":
        return f"{moment}, which is not allowed"
    permitted = "" if one.permitted else ", which the flight file does not expect"
    return f"{moment}, with {one.needs}, {_facility(one.volume)}{permitted}"


def _passing(one: Encounter) -> str:
    lateral, vertical = one.lateral_nm, one.vertical_ft
    parts = []
    if isfinite(lateral):
        parts.append("over or under it" if lateral <= 0.0 else f"{lateral:.1f} NM beside it")
    if isfinite(vertical):
        parts.append(f"{floor(vertical):,} ft above or below it")
    elif vertical != vertical:
        parts.append("its height above ground is not known here")
    return f"not entered; {', '.join(parts) or 'not near'}"


def _facility(volume: Volume) -> str:
    frequency = f" {volume.frequency_mhz:.3f}" if volume.frequency_mhz else ""
    return f"{volume.facility}{frequency}"

"""Several data sets as one region: the best source of each item is used, the others compared.

Two items are the same if they have one identifier and lie near each other; where their sources
then say different things, that is a conflict, which is told and not mended. Controlled airspace
without a frequency gets that of its facility, or of the aerodrome that its group names.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Final, TypeVar

from lubberline.places.conflicts import apart_nm, shared_fraction, spot_conflict, volume_conflict
from lubberline.places.dataset import DataSet
from lubberline.places.model import (
    Aerodrome,
    Conflict,
    Obstacles,
    Places,
    Radio,
    RadioUse,
    VisualPoint,
    Volume,
    Waypoint,
    identifiers,
)

SAME_FRACTION: Final = 0.97  # own: arcs drawn by corners differ by less
SAME_NM: Final = 5.0  # own: farther apart, one identifier means two places

# Who answers for a volume that names an aerodrome: 14 CFR 91.129 to 91.131.
_ANSWERS: Final[Mapping[str, tuple[RadioUse, ...]]] = {
    "B": ("approach", "tower"),
    "C": ("approach", "tower"),
    "D": ("tower", "approach"),
}
_NOTHING: Final = Places(aerodromes={}, volumes=(), points={}, land_deg=(), sources=())

_Spot = TypeVar("_Spot", Aerodrome, VisualPoint, Waypoint)
_Item = TypeVar("_Item", Aerodrome, VisualPoint, Waypoint, Volume)


def merged(
    own: Places | None, sets: Sequence[DataSet], *, beyond: Iterable[Aerodrome] = ()
) -> Places:
    """One region from the pilot's own places and data sets, the most trusted first.

    Aerodromes ``beyond`` the region only lend their frequencies.
    """
    own = own or _NOTHING
    found: list[Conflict | None] = []
    fields = [(*own.aerodromes.values(),), *(_sourced(one, one.aerodromes) for one in sets)]
    points = [(*own.points.values(),), *(_sourced(one, one.points) for one in sets)]
    waypoints = [own.waypoints, *(_sourced(one, one.waypoints) for one in sets)]
    volumes = [own.volumes, *(_sourced(one, one.volumes) for one in sets)]
    aerodromes = {one.id: one for one in reversed(_once(fields, found))}
    land = (own.land_deg, *(one.land_deg for one in sets))
    return Places(
        aerodromes=dict(reversed(aerodromes.items())),
        volumes=_answered(_volumes_once(volumes, found), [*beyond, *aerodromes.values()]),
        points={one.name: one for one in reversed(_once(points, []))},
        land_deg=next((some for some in land if some), ()),
        sources=(*own.sources, *(_told(one) for one in sets)),
        waypoints=_once(waypoints, found),
        obstacles=_obstacles(sets),
        conflicts=tuple(one for one in found if one is not None),
        datasets=tuple(one.source for one in sets),
    )


def _sourced(data: DataSet, items: tuple[_Item, ...]) -> tuple[_Item, ...]:
    """Items that name their source, at least the file."""
    return tuple(one if one.source else replace(one, source=data.source.name) for one in items)


def _once(sets: Iterable[tuple[_Spot, ...]], conflicts: list[Conflict | None]) -> tuple[_Spot, ...]:
    """Every item from the first set that has it; what later ones say otherwise is told."""
    kept: list[_Spot] = []
    known: dict[str, list[_Spot]] = defaultdict(list)
    for some in sets:
        first = len(kept)
        for one in some:
            rivals = (rival for name in identifiers(one) for rival in known[name])
            used = next((rival for rival in rivals if _is_same(rival, one)), None)
            if used is None:
                kept.append(one)
            else:
                conflicts.append(spot_conflict(used, one))
        for one in kept[first:]:  # only now: a set does not contradict itself
            for name in identifiers(one):
                known[name].append(one)
    return tuple(kept)


def _is_same(one: _Spot, other: _Spot) -> bool:
    """One main identifier, or any and near; a radio aid and a fix of one name are two things."""
    near = apart_nm(one, other) < SAME_NM
    if isinstance(one, Waypoint):
        return near and one.kind == getattr(other, "kind", "")
    return near or identifiers(one)[0] == identifiers(other)[0]


def _volumes_once(
    sets: Iterable[tuple[Volume, ...]], conflicts: list[Conflict | None]
) -> list[Volume]:
    """As ``_once``; several volumes of a set may share an id, and one set answers for it.

    One id for two places means two volumes. Two ids for one block of air mean one.
    """
    kept: list[Volume] = []
    known: dict[object, list[Volume]] = defaultdict(list)
    for some in sets:
        added = []
        for one in some:
            of_id, of_block = known[one.id], known[_block(one)]
            used = of_id if any(shared_fraction(rival, one) for rival in of_id) else []
            used = used or [x for x in of_block if shared_fraction(x, one) > SAME_FRACTION]
            if used:
                conflicts.append(volume_conflict(used, one))
            else:
                added.append(replace(one, id=f"{one.id} of {one.source}") if of_id else one)
        kept += added
        for one in added:
            known[one.id].append(one)
            known[_block(one)].append(one)
    return kept


def _block(volume: Volume) -> object:
    """What is the same of one block of air under two names."""
    return (volume.airspace_class, volume.floor, volume.ceiling)


def is_unanswered(volume: Volume) -> bool:
    """Whether somebody must be asked before it is entered, and no frequency is known."""
    return volume.frequency_mhz is None and volume.airspace_class in _ANSWERS


def _answered(volumes: Sequence[Volume], aerodromes: Iterable[Aerodrome]) -> tuple[Volume, ...]:
    """The volumes, with a frequency where one can be found."""
    by_facility: dict[str, list[Radio]] = defaultdict(list)
    by_name: dict[str, Aerodrome] = {}
    for one in aerodromes:
        by_name |= dict.fromkeys(identifiers(one), one)
        for radio in one.radios:
            by_facility[radio.facility].append(radio)

    def radios(volume: Volume) -> Sequence[Radio]:
        field = by_name.get(volume.group)
        there = field.radios if field else ()
        uses = _ANSWERS.get(volume.airspace_class, ())
        choices = [[one for one in there if one.use == use] for use in uses]
        return next(filter(None, [by_facility.get(volume.facility, []), *choices]), [])

    return tuple(
        one if one.frequency_mhz is not None else _with_frequency(one, radios(one))
        for one in volumes
    )


def _with_frequency(volume: Volume, radios: Sequence[Radio]) -> Volume:
    """The first service's frequency and call; the other frequencies in the note."""
    if not radios:
        return volume
    frequency_mhz = radios[0].frequency_mhz
    others = sorted({f"{one.frequency_mhz:.3f}" for one in radios} - {f"{frequency_mhz:.3f}"})
    note = f"{radios[0].facility} also on {', '.join(others)}" if others else ""
    return replace(
        volume,
        frequency_mhz=frequency_mhz,
        facility=radios[0].facility,
        note="; ".join(part for part in (volume.note, note) if part),
    )


def _obstacles(sets: Iterable[DataSet]) -> dict[str, Obstacles]:
    """By the name of their source; a second source of one name is told apart."""
    found: dict[str, Obstacles] = {}
    for one in sets:
        if one.obstacles is not None:
            name = one.source.name
            while name in found:
                name += " too"
            found[name] = one.obstacles
    return found


def _told(data: DataSet) -> str:
    """The source in words: name, form and the day it holds from."""
    from_utc = data.source.valid_from_utc
    since = f", from {from_utc:%Y-%m-%d}" if from_utc else ""
    return f"{data.source.name}: {data.source.form}{since}"

"""What each volume asks of a way: what must be had, from whom, by where, and where to call.

A call is made so early that there is time for an answer: 15 NM before a field [AIM4-3]_, and
never later than five minutes before the volume. A volume that is not entered but passed nearer
than the pilot's own margins asks for the same, by those margins and not by law.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.earth import LocalPlane, course_and_distance
from lubberline.places import Aerodrome, Circle, Places, Radio, Volume, distance_nm
from lubberline.ways.along import Along
from lubberline.ways.audible import Station
from lubberline.ways.model import Encounter, Need, Spot
from lubberline.ways.neighbors import room_words

CALL_NM: Final = 15.0  # AIM 4-3-2: about 15 miles from the airport
LEAD_MIN: Final = 5.0  # own: time for a busy frequency, and to turn away unheard


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """One volume that a way enters, or passes under its permission.

    ``facility`` "" and ``frequency_mhz`` None are not on file; where nothing is asked they are
    those that the volume itself names, for advice. ``have_by`` is the last place
    at which it must be had, ``call_at`` where to call first; None where nothing is asked.
    ``by_law`` False is by the pilot's own margins; ``room`` is what is left to it then, in words.
    """

    volume: Volume
    needs: Need
    permitted: bool
    by_law: bool
    facility: str
    frequency_mhz: float | None
    have_by: Spot
    leave_min: float
    call_at: Spot | None
    room: str = ""


def demands(places: Places, along: Along) -> tuple[Demand, ...]:
    """Every volume that is entered or asks for something, in the order of the way."""
    found = [
        _demand(places, along, one)
        for one in along.way.encounters
        if one.entered or (one.within_margins and one.needs != "nothing")
    ]
    return tuple(sorted(found, key=lambda one: (one.have_by.after_min, one.volume.id)))


def answering(places: Places, volume: Volume) -> tuple[str, float | None]:
    """Who answers for a volume and on which frequency: as the volume says, else its field."""
    radio = next(_radios(places, volume), None)
    facility = volume.facility or (radio.facility if radio else "")
    return facility, volume.frequency_mhz or (radio.frequency_mhz if radio else None)


def station_of(places: Places, facility: str, volume: Volume | None = None) -> Station | None:
    """Where a facility's antenna is taken to stand: on its field; None where that is not known."""
    field = field_of(places, facility)
    if field is None and volume is not None:
        field = next(_fields_in(places, volume), None)
    if field is None:
        return None
    return Station(lat_deg=field.lat_deg, lon_deg=field.lon_deg, elev_msl_ft=field.elev_msl_ft)


def field_of(places: Places, facility: str) -> Aerodrome | None:
    """The aerodrome among whose services a facility is."""
    fields = places.aerodromes.values()
    return next((f for f in fields if any(r.facility == facility for r in f.radios)), None)


def _radios(places: Places, volume: Volume) -> Iterator[Radio]:
    """Services of that name, then those of the kind that answers, on a field inside."""
    for field in places.aerodromes.values():
        yield from (one for one in field.radios if one.facility == volume.facility)
    use = "tower" if volume.airspace_class == "D" else "approach"
    for field in _fields_in(places, volume):
        yield from (one for one in field.radios if one.use == use)


def _fields_in(places: Places, volume: Volume) -> Iterator[Aerodrome]:
    """Aerodromes inside a footprint, the one nearest to its center first where it has one."""
    fields = list(places.aerodromes.values())
    footprint = volume.footprint
    if isinstance(footprint, Circle):
        center = (footprint.lat_deg, footprint.lon_deg)
    else:
        center = tuple(footprint.corners_deg.mean(axis=0).tolist())
    plane = LocalPlane(*center)
    away_nm = [float(course_and_distance(*center, one.lat_deg, one.lon_deg)[1]) for one in fields]
    for n in np.argsort(away_nm):
        east_nm, north_nm = plane.to_plane_nm(fields[n].lat_deg, fields[n].lon_deg)
        if float(distance_nm(footprint, plane, east_nm, north_nm)) <= 0.0:
            yield fields[n]


def _demand(places: Places, along: Along, one: Encounter) -> Demand:
    facility, frequency_mhz = answering(places, one.volume)
    have_min, leave_min = _moments_min(along, one)
    asked = one.needs not in ("nothing", "never")
    field = field_of(places, facility)
    return Demand(
        volume=one.volume,
        needs=one.needs,
        permitted=one.permitted,
        by_law=one.entered,
        facility=facility if asked else one.volume.facility,
        frequency_mhz=frequency_mhz if asked else one.volume.frequency_mhz,
        have_by=along.spot(have_min),
        leave_min=leave_min,
        call_at=along.spot(_call_min(along, field, have_min)) if asked else None,
        room="" if one.entered else room_words(one),
    )


def _moments_min(along: Along, one: Encounter) -> tuple[float, float]:
    """First entry and last exit; beside or above it, when the way is nearest to it."""
    if one.entry_min is not None:
        return one.entry_min, along.after_min[-1] if one.exit_min is None else one.exit_min
    away_nm = distance_nm(one.volume.footprint, along.plane, along.east_nm, along.north_nm)
    near = np.flatnonzero(away_nm <= max(0.0, float(away_nm.min())) + 1e-6)
    return float(along.after_min[near[0]]), float(along.after_min[near[-1]])


def _call_min(along: Along, field: Aerodrome | None, have_min: float) -> float:
    latest_min = max(0.0, have_min - LEAD_MIN)
    if field is None:
        return latest_min
    near = along.away_nm(field.lat_deg, field.lon_deg) <= CALL_NM
    first_min = float(along.after_min[int(np.argmax(near))]) if near.any() else latest_min
    return min(latest_min, first_min)

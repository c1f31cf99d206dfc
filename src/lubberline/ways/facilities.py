"""The facilities that a way speaks to in the air: for what, from when, and handed on by whom.

Those that its volumes ask for, the destination's own, and the nearest approach facility for
traffic advisories, AIM 4-1-15. Each is called where it is heard, and after the one before is
left; where that would be too late, the one before is asked for the hand-off.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from math import inf
from typing import Final

import numpy as np

from lubberline.places import Aerodrome, Radio
from lubberline.ways.audible import Audible
from lubberline.ways.call import Speaker
from lubberline.ways.demands import CALL_NM, Demand, demands

SELF_NM: Final = 10.0  # AIM 4-1-9: announce 10 miles out
SETTLED_NM: Final = 5.0  # own: before that a pilot has other things to do
HANDED_MIN: Final = 1.0  # own: between two facilities, enough to change and call
REACH_NM: Final = 60.0  # own: a farther approach facility does not work this piece of sky
_HEARD: Final = ("atis", "awos", "tower", "ctaf")


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """A facility that is spoken to in the air: for which volumes, from when to when."""

    facility: str
    frequency_mhz: float | None
    volumes: tuple[Demand, ...]
    call_min: float
    leave_min: float
    with_whom: str = ""
    following: bool = False

    @property
    def have_min(self) -> float | None:
        """By when the answer must be had; None where nothing has to be."""
        return self.volumes[0].have_by.after_min if self.volumes else None


def audible_along(talk: Speaker) -> tuple[tuple[str, float, Audible], ...]:
    """Recorded weather, towers and approach facilities of the way: from where each is heard."""
    named = {one.facility for one in contacts(talk)}
    found = {}
    for field in talk.places.aerodromes.values():
        for radio in field.radios:
            ours = field.id == talk.plan.destination.id and radio.use in _HEARD
            if ours or radio.facility in named:
                heard = talk.hears(radio.facility)
                if heard is not None:
                    found[radio.facility, radio.frequency_mhz] = heard
    return tuple((*key, heard) for key, heard in found.items())


def asked(talk: Speaker) -> tuple[Demand, ...]:
    """What the volumes of a way ask for, each with the call as it is made in turn."""
    made = {
        id(each.volume): talk.along.spot(one.call_min)
        for one in contacts(talk)
        for each in one.volumes
    }
    return tuple(
        replace(one, call_at=made.get(id(one.volume), one.call_at))
        for one in demands(talk.places, talk.along)
    )


def handoffs(talk: Speaker) -> tuple[str, ...]:
    """The facilities that are spoken to in the air, in order."""
    return tuple(one.facility for one in contacts(talk))


def contacts(talk: Speaker) -> tuple[Contact, ...]:
    """Facilities spoken to in the air, in order, none before the one before it is left."""
    leaving = {one.facility for one in talk.plan.departure.radios}
    wanted = [
        one
        for one in demands(talk.places, talk.along)
        if one.call_at is not None
        and not (one.facility in leaving and one.have_by.after_min <= HANDED_MIN)
    ]
    runs = groupby(wanted, key=lambda one: one.facility or one.volume.id)
    found = [_contact(tuple(run)) for _, run in runs]
    found += _to_land(talk, found)
    return tuple(_in_turn(talk, _with_following(talk, found)))


def _contact(run: tuple[Demand, ...]) -> Contact:
    call = run[0].call_at
    return Contact(
        facility=run[0].facility,
        frequency_mhz=run[0].frequency_mhz,
        volumes=run,
        call_min=call.after_min if call else 0.0,
        leave_min=max(one.leave_min for one in run),
    )


def _to_land(talk: Speaker, found: Sequence[Contact]) -> Iterator[Contact]:
    """The destination's own service, where no volume has asked for it already."""
    field = talk.plan.destination
    tower = radio_of(field, "tower")
    radio = tower or radio_of(field, "ctaf")
    if radio is None or any(_is_with(one, radio) for one in found):
        return
    away_nm = talk.along.away_nm(field.lat_deg, field.lon_deg)
    near = away_nm <= (CALL_NM if tower else SELF_NM)
    yield Contact(
        facility=radio.facility,
        frequency_mhz=radio.frequency_mhz,
        volumes=(),
        call_min=float(talk.along.after_min[int(np.argmax(near))]),
        leave_min=talk.end_min,
    )


def _with_following(talk: Speaker, found: list[Contact]) -> list[Contact]:
    """With traffic advisories from the nearest approach facility that is heard early enough."""
    if not talk.plan.flight.flight_following:
        return found
    first_min = min((one.call_min for one in found), default=inf)
    for radio, from_min in sorted(_approaches(talk), key=lambda pair: pair[1]):
        own = next((one for one in found if one.facility == radio.facility), None)
        if own is not None:
            earlier = from_min if from_min <= first_min - HANDED_MIN else own.call_min
            changed = replace(own, following=True, call_min=min(own.call_min, earlier))
            return [changed if one is own else one for one in found]
        if from_min <= first_min - HANDED_MIN:
            made = Contact(
                facility=radio.facility,
                frequency_mhz=radio.frequency_mhz,
                volumes=(),
                call_min=from_min,
                leave_min=first_min,
                following=True,
            )
            return [*found, made]
    return found


def _approaches(talk: Speaker) -> Iterator[tuple[Radio, float]]:
    """Approach facilities within reach, and the first moment at which each is heard."""
    for field in talk.places.aerodromes.values():
        radio = radio_of(field, "approach")
        near = talk.along.away_nm(field.lat_deg, field.lon_deg) <= REACH_NM
        settled = (talk.along.along_nm >= SETTLED_NM) & near
        heard = talk.hears(radio.facility) if radio and settled.any() else None
        if radio is None or heard is None or heard.from_spot is None:
            continue
        from_min = float(talk.along.after_min[int(np.argmax(settled))])
        yield radio, max(from_min, heard.from_spot.after_min)


def _in_turn(talk: Speaker, found: list[Contact]) -> Iterator[Contact]:
    """Each called where it is heard, after the one before is left or handed on by it."""
    done: list[Contact] = []
    for one in sorted(found, key=lambda one: (one.call_min, one.have_min or inf)):
        have_min = talk.end_min if one.have_min is None else one.have_min
        call_min, with_whom = one.call_min, ""
        busy = [each for each in done if each.following or each.leave_min > call_min]
        if busy and not busy[-1].following and busy[-1].leave_min <= have_min - HANDED_MIN:
            call_min = busy[-1].leave_min
        elif busy:
            with_whom = busy[-1].facility
        call_min = talk.heard_from(one.facility, call_min, have_min)
        done.append(replace(one, call_min=call_min, with_whom=with_whom))
    yield from done


def radio_of(field: Aerodrome, use: str) -> Radio | None:
    """A field's first service of one use."""
    return next((one for one in field.radios if one.use == use), None)


def is_of(one: Contact, field: Aerodrome) -> bool:
    """Whether a contact is with a field's own tower or common frequency."""
    return any(r.use in ("tower", "ctaf") and _is_with(one, r) for r in field.radios)


def _is_with(one: Contact, radio: Radio) -> bool:
    """Whether a contact is with a service: by name, or by frequency where names differ."""
    return radio.facility == one.facility or radio.frequency_mhz == one.frequency_mhz


def is_ctaf(one: Contact, field: Aerodrome) -> bool:
    """Whether a contact is with a field's common frequency, which answers nobody."""
    return is_of(one, field) and radio_of(field, "tower") is None

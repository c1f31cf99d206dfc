"""The radio ladder of a way: who is listened to and called, in order, from stand to stand.

Each rung says the facility, its frequency, what to set beside it for the next, what to ask, and
where: at the place where the call is to be made, and by which what was asked must be had. What
is said follows AIM 4-1-9 (fields without a tower), 4-1-15 (traffic advisories), 4-2-3 (first
contact) and 4-3-2 (towers) [AIM4-2]_ [AIM4-3]_. Words in brackets are the pilot's to fill in.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from math import inf
from typing import Final

import numpy as np

from lubberline.flight import Plan
from lubberline.places import Aerodrome, Radio
from lubberline.ways.audible import Audible
from lubberline.ways.call import Call, Moment, Speaker, speaker
from lubberline.ways.demands import CALL_NM, Demand, demands, field_of
from lubberline.ways.model import Way
from lubberline.ways.spoken import toward_words

SELF_NM: Final = 10.0  # AIM 4-1-9: announce 10 miles out
SETTLED_NM: Final = 5.0  # own: before that a pilot has other things to do
LISTEN_MIN: Final = 5.0  # own: a broadcast is heard so long before the call that names it
HANDED_MIN: Final = 1.0  # own: between two facilities, enough to change and call
_HEARD: Final = ("atis", "awos", "tower", "ctaf")
REACH_NM: Final = 60.0  # own: a farther approach facility does not work this piece of sky


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


def radio_calls(plan: Plan, way: Way) -> tuple[Call, ...]:
    """Every call of a way in order, each with what to set next beside it.

    This is the whole content of a radio ladder: ``facility``, ``frequency_mhz``, ``asks``,
    ``where``, ``have_by_where`` and ``standby_mhz`` of each rung; ``audible_along`` says where
    each service is first heard.
    """
    talk = speaker(plan, way)
    spoken_to = contacts(talk)
    rungs = [*_leaving(talk), *_in_the_air(talk, spoken_to), *_landed(talk)]
    return tuple(_with_standby(rungs))


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
    tower = _radio(field, "tower")
    radio = tower or _radio(field, "ctaf")
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
        radio = _radio(field, "approach")
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


def _leaving(talk: Speaker) -> Iterator[Call]:
    field, sign = talk.plan.departure, talk.sign
    toward = "to the " + toward_words(talk.along.way.legs[0].mag_deg)
    yield from _broadcast(talk, field, "stand", None)
    tower, ground = _radio(field, "tower"), _radio(field, "ground")
    if tower is not None:
        first = ground or tower
        phrase = f"{first.facility}, {sign}, [position], information [letter]"
        phrase += f", taxi, V-F-R {toward}"
        yield _on_ground(talk, field, "stand", first, "taxi clearance", phrase)
        phrase = f"{tower.facility}, {sign}, holding short runway [runway]"
        phrase += f", ready for departure {toward}"
        yield _on_ground(talk, field, "runway", tower, "take-off clearance", phrase)
        return
    own = _radio(field, "ctaf")
    if own is not None:
        phrase = f"{field.name} traffic, {sign}, [position], taxiing to runway [runway]"
        yield _on_ground(talk, field, "stand", own, "announce", _named(phrase, field))
        phrase = f"{field.name} traffic, {sign}, departing runway [runway] {toward}"
        yield _on_ground(talk, field, "runway", own, "announce", _named(phrase, field))


def _landed(talk: Speaker) -> Iterator[Call]:
    field, sign = talk.plan.destination, talk.sign
    tower, own = _radio(field, "tower"), _radio(field, "ctaf")
    if tower is not None:
        radio = _radio(field, "ground") or tower
        phrase = f"{radio.facility}, {sign}, clear of runway [runway], taxi to [position]"
        yield _on_ground(talk, field, "landed", radio, "taxi clearance", phrase)
    elif own is not None:
        phrase = f"{field.name} traffic, {sign}, clear of runway [runway]"
        yield _on_ground(talk, field, "landed", own, "announce", _named(phrase, field))


def _in_the_air(talk: Speaker, spoken_to: Sequence[Contact]) -> list[Call]:
    to_land = next((one for one in spoken_to if _is_of(one, talk.plan.destination)), None)
    call_min = to_land.call_min if to_land else talk.end_min
    heard_first = _broadcast(talk, talk.plan.destination, "air", call_min)
    rungs = [*heard_first, *(_call(talk, one) for one in spoken_to)]
    return sorted(rungs, key=lambda one: one.spot.after_min)


def _broadcast(
    talk: Speaker, field: Aerodrome, moment: Moment, call_min: float | None
) -> Iterator[Call]:
    """A field's recorded weather, once: on the stand, or in time before its first call."""
    radio = _radio(field, "atis") or _radio(field, "awos")
    if radio is None:
        return
    asks = "listen for weather, altimeter setting"
    asks += ", runway and letter" if radio.use == "atis" else ""
    if call_min is None:
        yield _on_ground(talk, field, moment, radio, asks, "")
        return
    at_min = talk.heard_before(radio.facility, call_min - LISTEN_MIN)
    yield Call(
        moment="air",
        facility=radio.facility,
        frequency_mhz=radio.frequency_mhz,
        asks=asks,
        phrase="",
        spot=talk.along.spot(at_min),
        where=talk.along.words(at_min),
        heard=talk.heard_at(radio.facility, at_min),
    )


def _call(talk: Speaker, one: Contact) -> Call:
    """A contact in the air as its rung."""
    volume = one.volumes[0] if one.volumes else None
    return Call(
        moment="air",
        facility=one.facility or "facility not on file",
        frequency_mhz=one.frequency_mhz,
        asks=_asks(talk, one),
        phrase=_phrase(talk, one),
        spot=talk.along.spot(one.call_min),
        where=talk.along.words(one.call_min),
        need=volume.needs if volume else "",
        by_law=volume.by_law if volume else True,
        have_by=volume.have_by if volume else None,
        have_by_where=talk.along.words(volume.have_by.after_min) if volume else "",
        group=volume.volume.group if volume else "",
        heard=talk.heard_at(one.facility, one.call_min),
        with_whom=one.with_whom,
    )


def _asks(talk: Speaker, one: Contact) -> str:
    """What is requested, in words."""
    words = []
    if _is_of(one, talk.plan.destination):
        words.append("announce" if _is_ctaf(one, talk.plan.destination) else "landing")
    elif one.volumes:
        names = ", ".join(dict.fromkeys(each.volume.name for each in one.volumes))
        clearance = one.volumes[0].needs == "clearance"
        words.append(f"{'clearance into' if clearance else 'transition of'} {names}")
    words += ["flight following"] if one.following else []
    return " and ".join(words)


def _phrase(talk: Speaker, one: Contact) -> str:
    destination = talk.plan.destination
    if _is_ctaf(one, destination):
        where = talk.position(one.call_min, destination)
        return _named(f"{destination.name} traffic, {talk.sign}, {where}, landing", destination)
    field = field_of(talk.places, one.facility)
    at_field = destination if _is_of(one, destination) else field if one.volumes else None
    opening = f"{one.facility}, {talk.sign}, {talk.position(one.call_min, at_field)}"
    if _is_of(one, destination):
        letter = ", information [letter]" if _radio(destination, "atis") else ""
        return f"{opening}{letter}, landing"
    wants = []
    if one.volumes:
        bravo = one.volumes[0].needs == "clearance"
        kind = one.volumes[0].volume.airspace_class
        said = {"B": "Bravo", "C": "Charlie", "D": "Delta"}.get(kind, kind)
        wants.append(f"{said} clearance" if bravo else f"transition through your {said}")
    wants += ["V-F-R traffic advisories"] if one.following else []
    return f"{opening}, request {' and '.join(wants)} to {destination.name}"


def _on_ground(
    talk: Speaker, field: Aerodrome, moment: Moment, radio: Radio, asks: str, phrase: str
) -> Call:
    spot, where = talk.at_field(field, moment)
    return Call(
        moment=moment,
        facility=radio.facility,
        frequency_mhz=radio.frequency_mhz,
        asks=asks,
        phrase=phrase,
        spot=spot,
        where=where,
        heard=True,
    )


def _with_standby(rungs: Sequence[Call]) -> Iterator[Call]:
    """Each with the next frequency that differs, to be set beside it."""
    for n, one in enumerate(rungs):
        later = (each for each in rungs[n + 1 :] if each.frequency_mhz != one.frequency_mhz)
        after = next((each for each in later if each.frequency_mhz is not None), None)
        yield replace(
            one,
            standby_mhz=after.frequency_mhz if after else None,
            standby_facility=after.facility if after else "",
        )


def _radio(field: Aerodrome, use: str) -> Radio | None:
    return next((one for one in field.radios if one.use == use), None)


def _is_of(one: Contact, field: Aerodrome) -> bool:
    """Whether a contact is with a field's own tower or common frequency."""
    return any(r.use in ("tower", "ctaf") and _is_with(one, r) for r in field.radios)


def _is_with(one: Contact, radio: Radio) -> bool:
    """Whether a contact is with a service: by name, or by frequency where names differ."""
    return radio.facility == one.facility or radio.frequency_mhz == one.frequency_mhz


def _is_ctaf(one: Contact, field: Aerodrome) -> bool:
    return _is_of(one, field) and _radio(field, "tower") is None


def _named(phrase: str, field: Aerodrome) -> str:
    """With the field's name at the end, too: AIM 4-1-9."""
    return f"{phrase}, {field.name}"

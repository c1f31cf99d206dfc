"""The radio ladder of a way: who is listened to and called, in order, from stand to stand.

Each rung says the facility, its frequency, what to set beside it for the next, what to ask, and
where: at the place where the call is to be made, and by which what was asked must be had. What
is said follows AIM 4-1-9 (fields without a tower), 4-1-15 (traffic advisories), 4-2-3 (first
contact) and 4-3-2 (towers) [AIM4-2]_ [AIM4-3]_. Words in brackets are the pilot's to fill in.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from lubberline.flight import Plan
from lubberline.places import Aerodrome, Radio
from lubberline.ways.call import Call, Moment, Speaker, speaker
from lubberline.ways.demands import field_of
from lubberline.ways.facilities import Contact, contacts, is_ctaf, is_of, radio_of
from lubberline.ways.model import Way
from lubberline.ways.power import way_down
from lubberline.ways.spoken import toward_words

LISTEN_MIN: Final = 5.0  # own: a broadcast is heard so long before the call that names it
SETTLED_MIN: Final = 15.0  # own: and so long before the field, to settle the arrival early


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


def _leaving(talk: Speaker) -> Iterator[Call]:
    field, sign = talk.plan.departure, talk.sign
    legs = talk.along.way.legs
    out = next((leg for leg in legs if not leg.is_circling), legs[0])
    toward = "to the " + toward_words(out.mag_deg)
    yield from _broadcast(talk, field, "stand", None)
    tower, ground = radio_of(field, "tower"), radio_of(field, "ground")
    if tower is not None:
        first = ground or tower
        phrase = f"{first.facility}, {sign}, [position], information [letter]"
        phrase += f", taxi, V-F-R {toward}"
        yield _on_ground(talk, field, "stand", first, "taxi clearance", phrase)
        phrase = f"{tower.facility}, {sign}, holding short runway [runway]"
        phrase += f", ready for departure {toward}"
        yield _on_ground(talk, field, "runway", tower, "take-off clearance", phrase)
        return
    own = radio_of(field, "ctaf")
    if own is not None:
        phrase = f"{field.name} traffic, {sign}, [position], taxiing to runway [runway]"
        yield _on_ground(talk, field, "stand", own, "announce", _named(phrase, field))
        phrase = f"{field.name} traffic, {sign}, departing runway [runway] {toward}"
        yield _on_ground(talk, field, "runway", own, "announce", _named(phrase, field))


def _landed(talk: Speaker) -> Iterator[Call]:
    field, sign = talk.plan.destination, talk.sign
    tower, own = radio_of(field, "tower"), radio_of(field, "ctaf")
    if tower is not None:
        radio = radio_of(field, "ground") or tower
        phrase = f"{radio.facility}, {sign}, clear of runway [runway], taxi to [position]"
        yield _on_ground(talk, field, "landed", radio, "taxi clearance", phrase)
    elif own is not None:
        phrase = f"{field.name} traffic, {sign}, clear of runway [runway]"
        yield _on_ground(talk, field, "landed", own, "announce", _named(phrase, field))


def _in_the_air(talk: Speaker, spoken_to: Sequence[Contact]) -> list[Call]:
    to_land = next((one for one in spoken_to if is_of(one, talk.plan.destination)), None)
    call_min = to_land.call_min if to_land else talk.end_min
    heard_first = _broadcast(talk, talk.plan.destination, "air", _listen_min(talk, call_min))
    rungs = [*heard_first, *(_call(talk, one) for one in spoken_to)]
    return sorted(rungs, key=lambda one: one.spot.after_min)


def _listen_min(talk: Speaker, call_min: float) -> float:
    """By when the weather is to be heard: in time for the first call and for the way down."""
    down = way_down(talk.along.way, talk.plan.destination)
    first_min = min(call_min, down.from_min if down else call_min)
    return min(first_min - LISTEN_MIN, talk.end_min - SETTLED_MIN)


def _broadcast(
    talk: Speaker, field: Aerodrome, moment: Moment, listen_min: float | None
) -> Iterator[Call]:
    """A field's recorded weather, once: on the stand, or in the air at a moment."""
    radio = radio_of(field, "atis") or radio_of(field, "awos")
    if radio is None:
        return
    asks = "listen for weather, altimeter setting"
    asks += ", runway and letter" if radio.use == "atis" else ""
    if listen_min is None:
        yield _on_ground(talk, field, moment, radio, asks, "")
        return
    at_min = talk.heard_before(radio.facility, listen_min)
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
    if is_of(one, talk.plan.destination):
        words.append("announce" if is_ctaf(one, talk.plan.destination) else "landing")
    elif one.volumes:
        names = ", ".join(dict.fromkeys(each.volume.name for each in one.volumes))
        clearance = one.volumes[0].needs == "clearance"
        words.append(f"{'clearance into' if clearance else 'transition of'} {names}")
    words += ["flight following"] if one.following else []
    return " and ".join(words)


def _phrase(talk: Speaker, one: Contact) -> str:
    destination = talk.plan.destination
    if is_ctaf(one, destination):
        where = talk.position(one.call_min, destination)
        return _named(f"{destination.name} traffic, {talk.sign}, {where}, landing", destination)
    field = field_of(talk.places, one.facility)
    at_field = destination if is_of(one, destination) else field if one.volumes else None
    opening = f"{one.facility}, {talk.sign}, {talk.position(one.call_min, at_field)}"
    if is_of(one, destination):
        letter = ", information [letter]" if radio_of(destination, "atis") else ""
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


def _named(phrase: str, field: Aerodrome) -> str:
    """With the field's name at the end, too: AIM 4-1-9."""
    return f"{phrase}, {field.name}"

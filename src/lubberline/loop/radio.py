"""The plan of calls for one way, from the first on the ground to taxi-in.

The rungs are those of ``ways.radio_calls``; here each gets its time, the altimeter setting that
comes with it, the runway, and what to do without an answer. The card's radio ladder may take
its words from here (through the sheet's caller) or the bare rungs from ``lubberline.ways``.
"""

from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import datetime, timedelta
from typing import Any, Final

from lubberline.fit import (
    SettingUse,
    asked_runway,
    rules_of,
    settings,
    settings_along,
    times_utc,
)
from lubberline.flight import Plan
from lubberline.line import Verdict
from lubberline.loop.planning import Prepared
from lubberline.places import surface_class
from lubberline.ways import (
    Audible,
    Call,
    Way,
    along_way,
    audible_along,
    radio_calls,
    speaker,
    spoken_figures,
)

SOURCES: Final = (
    "Phrases: AIM 4-1-9, 4-1-15, 4-2-3, 4-2-7 to 4-2-9, 4-3-2. Contact: 14 CFR 91.129(c),"
    " 91.130(c), 91.131(a)(1). Without a radio: 14 CFR 91.125, 91.129(d), AIM 4-2-13, 6-4-2."
)

ASKED_FOR: Final = tuple("ABCD")  # to be entered by a facility's word only
MOST_FIELDS: Final = 6  # own: what is still read in flight


@dataclass(frozen=True, slots=True, kw_only=True)
class RadioCall:
    """One rung with its time; ``altimeter_inhg`` None is not on file.

    ``station`` gave the setting. ``unanswered`` is what stays legal if nobody answers, "" where
    no answer is needed.
    """

    rung: Call
    at_utc: datetime
    have_by_utc: datetime | None
    altimeter_inhg: float | None
    station: str
    unanswered: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RadioPlan:
    """All calls of one way. ``following`` is in words whether advisories are asked for.

    ``fallback`` is the number of the way in the list that stays legal without any answer, None
    if there is none; ``lost`` is what to do then, sentence by sentence. ``heard`` is from where
    each service is audible.
    """

    number: int
    way_name: str
    calls: tuple[RadioCall, ...]
    following: str
    fallback: int | None
    lost: tuple[str, ...]
    heard: tuple[tuple[str, float, Audible], ...]
    sources: str = SOURCES


def radio_plan(prepared: Prepared, way: Way) -> RadioPlan:
    """The plan of calls for one of a flight's ways."""
    plan = prepared.plan
    takeoff_utc, landing_utc, _ = times_utc(plan, way)
    departure, destination = settings(plan, way)
    uses = settings_along(plan, way)
    calls = []
    for rung in radio_calls(plan, way):
        at_utc = {
            "stand": plan.flight.off_block_utc,
            "runway": takeoff_utc,
            "landed": landing_utc,
        }.get(rung.moment, takeoff_utc + timedelta(minutes=rung.spot.after_min))
        end = destination if rung.moment == "landed" else departure
        known = end.wind is not None or asked_runway(plan.flight, end.place) is not None
        use = _use(uses, at_utc)
        have_by = rung.have_by
        calls.append(
            RadioCall(
                rung=replace(rung, phrase=_with_runway(rung.phrase, end.end.name if known else "")),
                at_utc=at_utc,
                have_by_utc=takeoff_utc + timedelta(minutes=have_by.after_min) if have_by else None,
                altimeter_inhg=use.setting_inhg if use else None,
                station=use.station if use else "",
                unanswered=_unanswered(prepared, rung),
            )
        )
    fallback = _silent_way(prepared)
    return RadioPlan(
        number=prepared.ways.index(way) + 1,
        way_name=way.name,
        calls=tuple(calls),
        following=_following(prepared, calls),
        fallback=fallback,
        lost=tuple(_lost(prepared, way, fallback)),
        heard=audible_along(speaker(plan, way)),
    )


def call_sentences(planned: RadioPlan) -> tuple[str, ...]:
    """Each call in one sentence, then what to do without a radio."""
    rungs = (_sentence(one) for one in planned.calls)
    lost = (f"without a radio: {words}" for words in planned.lost)
    return (*rungs, f"flight following {planned.following}", *lost)


def _sentence(one: RadioCall) -> str:
    rung = one.rung
    mhz = f"{rung.frequency_mhz:.3f}" if rung.frequency_mhz else "frequency not on file"
    then = f", then set {rung.standby_mhz:.3f}" if rung.standby_mhz else ""
    said = f": “{rung.phrase}”" if rung.phrase else ""
    return f"{one.at_utc:%H:%MZ} {rung.facility} {mhz}{then}; {rung.where}; {rung.asks}{said}"


def radio_record(planned: RadioPlan) -> dict[str, Any]:
    """The plan as plain values, for JSON."""
    record = asdict(planned)
    record["heard"] = [
        {"facility": facility, "frequency_mhz": mhz, **asdict(heard)}
        for facility, mhz, heard in planned.heard
    ]
    record["calls"] = [
        {**one.pop("rung"), **one, "number": number}
        for number, one in enumerate(record["calls"], 1)
    ]
    return record


def _with_runway(phrase: str, name: str) -> str:
    """The runway in the phrase as it is spoken: "zero seven", "two seven right"."""
    figures = "".join(one for one in name if one.isdigit())
    side = {"L": " left", "R": " right", "C": " center"}.get(name[-1:], "")
    return phrase.replace("[runway]", spoken_figures(figures) + side) if figures else phrase


def _use(uses: Sequence[SettingUse], at_utc: datetime) -> SettingUse | None:
    """The setting used at a time; on the ground that of the end."""
    if not uses:
        return None
    if at_utc >= uses[-1].from_utc:
        return uses[-1]
    held = (one for one in uses if one.from_utc <= at_utc <= one.until_utc)
    return next(held, uses[0] if at_utc < uses[0].from_utc else None)


def _unanswered(prepared: Prepared, rung: Call) -> str:
    """What stays legal without this answer: stay out, and which way to take from there."""
    if not rung.need:
        return ""
    if not rung.by_law:
        return "nothing is entered: go on, watchful; only your own margins ask for it"
    stay = f"stay out: turn away at the latest {rung.have_by_where}"
    for number, one in enumerate(prepared.ways, 1):
        if _is_legal(prepared, one) and rung.group not in _entered_groups(one):
            return f"{stay}; way {number} ({one.name}) does without"
    return stay


def _is_legal(prepared: Prepared, way: Way) -> bool:
    """Whether a way breaks no rule, nor lacks the equipment that its airspace asks for."""
    sky = rules_of(prepared.plan).sky_findings(prepared.plan, way)
    return not way.violations and not any(one.verdict is Verdict.OUTSIDE for one in sky)


def _entered_groups(way: Way) -> frozenset[str]:
    """Permissions without which a way would be against the law, not only the own margins."""
    return frozenset(
        one.volume.group for one in way.encounters if one.entered and one.needs != "nothing"
    )


def _silent_way(prepared: Prepared) -> int | None:
    """The fastest way that enters nothing that needs an answer; the destination's may remain.

    A tower is landed at by light signals, so a way that needs nobody but it comes second.
    """
    own = {
        one.volume.group
        for way in prepared.ways
        for one in way.encounters
        if one.entered and one.volume.facility in _towers(prepared)
    }
    legal = [(n, way) for n, way in enumerate(prepared.ways, 1) if _is_legal(prepared, way)]
    for allowed in (frozenset[str](), frozenset(own)):
        for number, way in legal:
            if _entered_groups(way) <= allowed:
                return number
    return None


def _towers(prepared: Prepared) -> set[str]:
    radios = prepared.plan.destination.radios
    return {one.facility for one in radios if one.use == "tower"}


def _lost(prepared: Prepared, way: Way, fallback: int | None) -> Iterator[str]:
    """What to do when the radio fails, in order."""
    yield "transponder 7600 (AIM 6-4-2); stay in weather for flight by sight"
    if fallback is None:
        yield "no way on file leads there without an answer: turn to a field without a tower"
    else:
        silent = prepared.ways[fallback - 1]
        yield f"way {fallback} ({silent.name}) enters nothing on the way that needs an answer"
    if _towers(prepared):
        yield (
            f"at {prepared.plan.destination.name}: stay outside or above until the traffic is"
            " seen, join the pattern, watch the tower: steady green is cleared to land"
        )
    quiet = _quiet_fields(prepared.plan, way)
    if quiet:
        yield f"fields where nobody has to answer: {', '.join(quiet)}"


def _quiet_fields(plan: Plan, way: Way) -> list[str]:
    """Fields without a tower and in no airspace that asks for contact, the nearest to a way."""
    along = along_way(way, plan.terrain)
    near = [
        (float(along.away_nm(one.lat_deg, one.lon_deg).min()), one.id)
        for one in plan.places.aerodromes.values()
        if not any(radio.use == "tower" for radio in one.radios)
        and surface_class(plan.places, one) not in ASKED_FOR
    ]
    return [name for _, name in sorted(near)[:MOST_FIELDS]]


def _following(prepared: Prepared, calls: Sequence[RadioCall]) -> str:
    """Whether traffic advisories are asked for, and if not, why."""
    asked = next((one for one in calls if "flight following" in one.rung.asks), None)
    if asked is not None:
        return f"requested from {asked.rung.facility}; entering airspace stays the pilot's to ask"
    if not prepared.plan.flight.flight_following:
        return "not requested: flight_following = false in flight.toml"
    return "not requested: no approach facility on file is heard in time"

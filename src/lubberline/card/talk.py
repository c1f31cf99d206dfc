"""Who is spoken to and by when, and what airspace is kept clear of.

The calls are those of the way; here each gets its words for the card. A moment by which
something must be had is cut to the early minute. Places are named by the next point ahead.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from math import floor, isnan
from typing import Final

from lubberline.card.ahead import Track
from lubberline.card.legs import clock_text
from lubberline.card.rows import Pair, RadioRow, short
from lubberline.fit import times_utc
from lubberline.flight import Plan
from lubberline.ways import (
    Audible,
    Call,
    Encounter,
    Way,
    audible_along,
    radio_calls,
    room_words,
    speaker,
)

NEAR_NM: Final = 1.0  # own: a margin for who set none, to decide what is named as near
NEAR_FT: Final = 500.0
WHO_SIGNS: Final = 20  # own
_BRIEF: Final = {
    "altimeter setting": "altimeter",
    " and letter": ", letter",
    "clearance into ": "",
    " and flight following": ", following",
}
LINE_SIGNS: Final = 46  # own: of who and what, on half a letter


def ladder(plan: Plan, way: Way, calls: Sequence[Call] | None = None) -> tuple[RadioRow, ...]:
    """The rungs in order; two calls on one frequency at the same field are one rung.

    ``calls`` are those of the way, where they are known already.
    """
    takeoff_utc, landing_utc, _ = times_utc(plan, way)
    at_utc = {"stand": plan.flight.off_block_utc, "runway": takeoff_utc, "landed": landing_utc}
    heard: Mapping[tuple[str, float | None], Audible] = {
        (who, mhz): one for who, mhz, one in audible_along(speaker(plan, way))
    }
    rows: list[RadioRow] = []
    for one in radio_calls(plan, way) if calls is None else calls:
        flown_utc = takeoff_utc + timedelta(minutes=one.spot.after_min)
        row = _rung(way, one, heard, takeoff_utc=takeoff_utc)
        row = replace(row, at=clock_text(at_utc.get(one.moment, flown_utc)))
        if rows and not row.notes and _same(rows[-1], row):
            rows[-1] = replace(rows[-1], standby=row.standby)
        else:
            rows.append(row)
    return tuple(rows)


def keep_clear(plan: Plan, way: Way) -> Iterator[Pair]:
    """Neighbors that are not entered and lie within twice the margins, nearest in height first."""
    own = plan.pilot.own
    near = _Near(
        lateral_nm=2.0 * (own.airspace_lateral_nm or NEAR_NM),
        vertical_ft=2.0 * (own.airspace_vertical_ft or NEAR_FT),
    )
    others = [one for one in way.encounters if not one.entered and one.needs != "nothing"]
    for one in sorted(others, key=_gap):
        if near.holds(one) and not (one.permitted and one.within_margins):
            yield Pair(label=_name(one), text=room_words(one))


def _rung(
    way: Way, one: Call, heard: Mapping[tuple[str, float | None], Audible], *, takeoff_utc: datetime
) -> RadioRow:
    """One call in words."""
    who, ask = short(one.facility, WHO_SIGNS), one.asks.removeprefix("listen for ")
    for long, brief in _BRIEF.items():
        ask = ask.replace(long, brief)
    listens = one.moment == "air" and ask != one.asks
    audible = heard.get((one.facility, one.frequency_mhz)) if listens else None
    return RadioRow(
        at="",
        frequency=_mhz(one.frequency_mhz),
        who=who,
        ask=short(ask, LINE_SIGNS - 2 - len(who)),
        notes=tuple(_notes(way, one, audible, takeoff_utc)),
        must=bool(one.need),
        standby=_mhz(one.standby_mhz),
    )


def _notes(way: Way, one: Call, audible: Audible | None, takeoff_utc: datetime) -> Iterator[str]:
    """Where to call, from where it is audible, and by where which answer must be had."""
    track = Track(way)
    if one.moment == "air":
        heard = _audible(audible, takeoff_utc) if audible else ""
        yield f"{track.words(one.spot.after_min)}{heard}"
    if one.need and one.have_by is not None:
        by_utc = takeoff_utc + timedelta(minutes=one.have_by.after_min)
        own = "" if one.by_law else " (own margin)"
        need = one.need if one.by_law else one.need.removeprefix("two-way ")
        yield f"{need} by {by_utc:%H:%M}Z{own}, {track.words(one.have_by.after_min)}"


def _audible(one: Audible, takeoff_utc: datetime) -> str:
    if one.from_spot is None or one.away_nm is None:
        return "; not audible" if one.over_known_ground else "; audible? ground not known"
    from_utc = takeoff_utc + timedelta(minutes=one.from_spot.after_min)
    doubt = "" if one.over_known_ground else "?"
    return f"; audible{doubt} {clock_text(from_utc)}Z, {floor(one.away_nm)} NM out"


def _same(one: RadioRow, other: RadioRow) -> bool:
    return (one.frequency, one.who, one.ask) == (other.frequency, other.who, other.ask)


def _mhz(frequency_mhz: float | None) -> str:
    return "" if frequency_mhz is None else f"{frequency_mhz:.3f}"


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


def _gap(one: Encounter) -> tuple[float, float]:
    """Height first: it is what slips in the air. What is not known comes before all."""
    below_ft = -1.0 if isnan(one.vertical_ft) else one.vertical_ft
    return below_ft, -1.0 if isnan(one.lateral_nm) else one.lateral_nm


def _name(one: Encounter) -> str:
    return f"{one.volume.name} ({one.volume.airspace_class})"

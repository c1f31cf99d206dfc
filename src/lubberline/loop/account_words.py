"""The account of a way in words, by subject, for terminal and page alike.

Rounded once and to the safe side: a moment by which something must be had is cut to the early
minute, room that is left is rounded down, and what is beyond reach is rounded up.
"""

from collections.abc import Iterator, Sequence
from datetime import datetime
from math import ceil, floor

from lubberline.line import Finding, Verdict
from lubberline.loop.account import WayAccount, hours_text
from lubberline.ways import (
    Audible,
    Beyond,
    Demand,
    Encounter,
    Spot,
    Stretch,
    SunAhead,
    room_words,
)


def account_words(told: WayAccount) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Subjects, each with its sentences."""
    return (
        ("Cost and arrival", tuple(_arrival(told))),
        ("Who lets you in", (*(_demand(told, one) for one in told.demands), *_resting(told))),
        ("Heights to keep", tuple(_stretch(one) for one in told.stretches)),
        ("Room to the neighbors", tuple(_neighbors(told.way.encounters))),
        ("If the engine stops", tuple(_engine(told))),
        ("Heard in line of sight from", tuple(_heard(told))),
        ("The way down", tuple(_down(told))),
        ("Equipment and speed", tuple(_sky(one) for one in told.sky)),
        ("The sun at the end", tuple(_sun(one) for one in told.sun)),
    )


def short_words(told: WayAccount) -> Iterator[str]:
    """The few words that tell ways apart, for a list of all of them."""
    contacts = " → ".join(told.handoffs) or "nobody"
    yield f"asks for {', '.join(sorted(told.way.permissions)) or 'nothing'}; speaks to {contacts}"
    for asked in told.sky:
        if asked.verdict in (Verdict.OUTSIDE, Verdict.UNKNOWN):
            why = f"{asked.missing} would tell" if asked.missing else asked.note
            yield f"{asked.limit.label}: {asked.verdict}; {asked.where}; {why}"
    heights = told.heights
    words = [
        f"lowest {floor(heights.lowest_msl_ft):,} ft, highest {heights.highest_msl_ft:,.0f} ft"
    ]
    for one, what in ((told.beyond_land, "land"), (told.beyond_fields, "an aerodrome")):
        words.append(f"{_minutes(one)} beyond a glide to {what}")
    words += ["sun in the eyes"] if any(one.in_eyes for one in told.sun) else []
    yield "; ".join(words)


def chance_text(told: WayAccount) -> str:
    """The chance to be in time, as the appointment's finding tells it; "" if nobody waits."""
    return "" if told.appointment is None else told.appointment.where.rpartition("chance ")[2]


def _arrival(told: WayAccount) -> Iterator[str]:
    price = told.price
    if price is None:
        yield "cost is not asked: a [cost] table in flight.toml tells rent and price of fuel"
    else:
        parts = [("rent", price.rental), ("fuel", price.fuel)]
        named = ", ".join(f"{name} {money:,.2f}" for name, money in parts if money is not None)
        yield f"{price}: {named or 'neither rent nor fuel is priced'}"
    on_block = f"on block {told.on_block_utc:%H:%MZ}"
    if told.appointment is None:
        yield f"{on_block}; nobody waits"
    else:
        yield f"{on_block}, {told.appointment.where}; {told.appointment.note}"


def _demand(told: WayAccount, one: Demand) -> str:
    volume = f"{one.volume.name} ({one.volume.airspace_class})"
    by = f"{_clock(told, one.have_by)}, {round(one.have_by.msl_ft, -1):,.0f} ft"
    if one.needs == "nothing":
        needed = "transponder and ADS-B Out" if one.volume.airspace_class == "V" else "nothing"
        return f"{volume}: entered at {by}; {needed} needed{_advice(one)}"
    if one.needs == "never":
        return f"{volume}: entered at {by}, which is never allowed"
    whom = one.facility or "whoever answers there (not on file)"
    mhz = f" {one.frequency_mhz:.3f}" if one.frequency_mhz else ""
    call = ""
    if one.call_at is not None:
        early_min = one.have_by.after_min - one.call_at.after_min
        early = f", {floor(early_min)} min before" if early_min >= 1.0 else ""
        call = f"; first call at {_clock(told, one.call_at)}{early}"
    law = "" if one.by_law else f", by your own margins only ({one.room})"
    had = "" if one.permitted else ", which this way does not reckon with"
    return f"{volume}: {one.needs} of {whom}{mhz} by {by}{law}{had}{call}"


def _resting(told: WayAccount) -> Iterator[str]:
    for one in told.resting:
        how = "entered" if one.entered else "passed near"
        yield (
            f"{one.volume.name} ({one.volume.airspace_class}): {how} outside its hours,"
            f" {hours_text(one.volume)}; early or late it may be active"
        )


def _advice(one: Demand) -> str:
    """Who can be asked about an area that needs no word, by its own name on file."""
    mhz = f" {one.frequency_mhz:.3f}" if one.frequency_mhz else ""
    return f"; advice from {one.facility}{mhz}" if one.facility else ""


def _stretch(one: Stretch) -> str:
    where = f"{one.from_where} to {one.to_where}"
    bounds = []
    if one.not_above_ft is not None:
        bounds.append(
            f"not above {floor(round(one.not_above_ft / 10.0, 6)) * 10:,} ft ({one.above_why})"
        )
    elif one.above_why:
        bounds.append(f"not above: {one.above_why} that is not known")
    if one.not_below_ft is not None:
        bounds.append(
            f"not below {ceil(round(one.not_below_ft / 10.0, 6)) * 10:,} ft ({one.below_why})"
        )
    elif one.below_why:
        bounds.append(f"not below: {one.below_why} that is not known")
    return f"{where}: {'; '.join(bounds) or 'nothing bounds it'}"


def _neighbors(encounters: Sequence[Encounter]) -> Iterator[str]:
    for one in encounters:
        if not one.entered and not one.within_margins and one.needs != "nothing":
            yield f"{one.volume.name} ({one.volume.airspace_class}): {room_words(one)}"


def _engine(told: WayAccount) -> Iterator[str]:
    for one, what in ((told.beyond_land, "land"), (told.beyond_fields, "an aerodrome")):
        worst = ""
        if one.spot is not None:
            lack_nm = ceil(one.short_nm * 10.0 - 1e-6) / 10.0
            worst = f"; at worst {lack_nm:.1f} NM short, {_clock(told, one.spot)}"
        lack = f" (needs {one.missing})" if one.missing else ""
        yield f"{_minutes(one)} beyond gliding reach of {what}{worst}{lack}"
    heights = told.heights
    if heights.least_agl_ft is None or heights.least_agl_at is None:
        yield "height above ground not known: terrain data lack"
    else:
        at = _clock(told, heights.least_agl_at)
        yield f"least {floor(heights.least_agl_ft):,} ft above ground away from the fields, {at}"


def _heard(told: WayAccount) -> Iterator[str]:
    for facility, mhz, heard in told.heard:
        yield f"{facility} {mhz:.3f}: {heard_words(heard)}"


def heard_words(heard: Audible) -> str:
    """From where a station is heard, and whether it is lost again."""
    if heard.from_spot is None:
        return "nowhere along the way"
    spot = heard.from_spot
    where = (
        f"+{spot.after_min:.0f} min, {round(spot.msl_ft, -1):,.0f} ft, {heard.away_nm:.0f} NM off"
    )
    lost = f"; lost again for {heard.lost_min:.0f} min" if heard.lost_min >= 0.5 else ""
    ground = "" if heard.over_known_ground else "; not all ground between is on file"
    return f"{where}{lost}{ground}"


def _down(told: WayAccount) -> Iterator[str]:
    """From where, how late still, and the power on the way; what is late is cut to the minute."""
    down, latest_min = told.down, told.latest_down_min
    if down is None or latest_min is None:
        return
    starts = (("start down", down.from_min), ("not later than", latest_min))
    for (words, at_min), where in zip(starts, told.down_where, strict=True):
        fpm = ceil(round(down.late_fpm(at_min - down.from_min), 6) / 10.0) * 10
        yield f"{words} {told.at_utc(at_min):%H:%MZ}, {where}: {fpm:,d} ft/min to pattern height"
    if told.power:
        steps = (f"{one.value:.3g} at {told.at_utc(one.after_min):%H:%MZ}" for one in told.power)
        yield f"power {', '.join(steps)}"


def _sky(one: Finding) -> str:
    parts = [f"{one.limit.label}: {one.verdict}", one.where, one.note]
    return "; ".join(part for part in parts if part)


def _sun(one: SunAhead) -> str:
    if one.elevation_deg <= 0.0:
        return f"{one.leg}: below the horizon"
    side = "right" if one.off_course_deg >= 0.0 else "left"
    where = f"{abs(one.off_course_deg):.0f}° {side} of the nose, {one.elevation_deg:.0f}° high"
    return f"{one.leg}: {where}{', in the eyes' if one.in_eyes else ''}"


def _minutes(one: Beyond) -> str:
    return "unknown minutes" if one.beyond_min is None else f"{ceil(one.beyond_min - 1e-9)} min"


def _clock(told: WayAccount, spot: Spot) -> str:
    """The minute, cut to the early side."""
    at_utc: datetime = told.at_utc(spot.after_min)
    return f"{at_utc:%H:%MZ}"

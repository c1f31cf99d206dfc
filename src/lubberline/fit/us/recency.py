"""Recent take-offs and landings, asked for only when persons are carried [14CFR61.57]_.

An event counts on the day it happened and on the 90 days after it (own reading: the rule gives
no worked example). Night here is its own: from 1 h after sunset to 1 h before sunrise.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final

from lubberline.aircraft import Aircraft
from lubberline.earth import sun_position
from lubberline.fit.daylight import sun_at
from lubberline.fit.us.certificates import lacking_limit
from lubberline.line import Finding, unknown
from lubberline.pilot import Landings, Pilot
from lubberline.places import Aerodrome

RECENT_DAYS: Final = 90  # [14CFR61.57]_ (a)(1), (b)(1)
ASKED_COUNT: Final = 3  # same: take-offs, and landings
NIGHT_MARGIN: Final = timedelta(hours=1)  # [14CFR61.57]_ (b)(1): after sunset, before sunrise
HORIZON_DEG: Final = -50.0 / 60.0  # height of the sun's middle at sunset: [USNO-RST]_


@dataclass(frozen=True, slots=True, kw_only=True)
class Carriage:
    """What of a flight decides which recency is asked for."""

    day: date
    carries_persons: bool
    in_night: bool


def recency_findings(aircraft: Aircraft, pilot: Pilot, carriage: Carriage) -> Iterator[Finding]:
    """Take-offs and landings still missing by day rules; by night rules if it flies in theirs."""
    yield _recency(aircraft, pilot, carriage, night=False)
    if carriage.in_night:
        yield _recency(aircraft, pilot, carriage, night=True)


def in_recency_night(aerodrome: Aerodrome, from_utc: datetime, until_utc: datetime) -> bool:
    """Whether any part of that time lies in the night of [14CFR61.57]_ (b) there.

    Where the sun does not set that day, its height at either end decides.
    """
    sun = sun_at(aerodrome, from_utc)
    if sun.sunrise_utc is None or sun.sunset_utc is None:
        heights_deg = (
            float(sun_position(aerodrome.lat_deg, aerodrome.lon_deg, when_utc)[1])
            for when_utc in (from_utc, until_utc)
        )
        return any(height_deg < HORIZON_DEG for height_deg in heights_deg)
    morning_utc, evening_utc = sun.sunrise_utc - NIGHT_MARGIN, sun.sunset_utc + NIGHT_MARGIN
    return from_utc < morning_utc or until_utc >= evening_utc


def is_recent(on: date, flight_day: date) -> bool:
    """Whether a day is within the 90 days before the flight, or the day of the flight itself.

    >>> is_recent(date(2026, 1, 1), date(2026, 4, 1)), is_recent(date(2026, 1, 1), date(2026, 4, 2))
    (True, False)
    """
    return timedelta(0) <= flight_day - on <= timedelta(days=RECENT_DAYS)


def _recency(aircraft: Aircraft, pilot: Pilot, carriage: Carriage, *, night: bool) -> Finding:
    limit = lacking_limit(
        f"pilot.recency_{'night' if night else 'day'}",
        f"recent {'night ' if night else ''}landings, persons aboard",
        f"14 CFR 61.57({'b' if night else 'a'}), edition of 2003 and change of 2024,"
        " read 2026-11-25",
    )
    if not carriage.carries_persons:
        return Finding(limit=limit, value=0.0, note="flying alone: not asked for")
    missing = [
        f"{key} in the aircraft file"
        for key in ("category_class", "tailwheel")
        if getattr(aircraft, key) is None
    ]
    missing += ["[[landing]] in pilot.toml"] if pilot.landings is None else []
    if missing or pilot.landings is None:
        return unknown(limit, " and ".join(missing))
    counted = [one for one in pilot.landings if _counts(one, aircraft, night=night)]
    takeoffs = _events(counted, "night_takeoff_count" if night else "takeoff_count")
    landings = _events(counted, _landing_key(aircraft, night=night))
    return Finding(
        limit=limit,
        value=float(max(_short(takeoffs, carriage.day), _short(landings, carriage.day))),
        where=_good_through(takeoffs, landings, carriage.day),
        note=f"{_recent_count(takeoffs, carriage.day)} take-offs and"
        f" {_recent_count(landings, carriage.day)} {_kind(aircraft, night=night)} since"
        f" {carriage.day - timedelta(days=RECENT_DAYS)}; with an authorized instructor"
        " aboard see 61.57(e)(5)",
        workings=tuple(
            f"{one.on}: {one.takeoff_count} take-offs, {one.landing_count} landings,"
            f" {one.night_full_stop_count} to a full stop by night"
            for one in counted
            if is_recent(one.on, carriage.day)
        ),
    )


def _counts(one: Landings, aircraft: Aircraft, *, night: bool) -> bool:
    """Same category and class; by day rules a tailwheel airplane asks for tailwheel landings."""
    same = one.category_class == aircraft.category_class
    return same and (night or not aircraft.tailwheel or one.tailwheel)


def _landing_key(aircraft: Aircraft, *, night: bool) -> str:
    if night:
        return "night_full_stop_count"
    return "full_stop_count" if aircraft.tailwheel else "landing_count"


def _kind(aircraft: Aircraft, *, night: bool) -> str:
    if night:
        return "night landings to a full stop"
    return "tailwheel landings to a full stop" if aircraft.tailwheel else "landings"


def _events(counted: list[Landings], key: str) -> list[date]:
    """The day of each event, newest first."""
    return sorted((one.on for one in counted for _ in range(getattr(one, key))), reverse=True)


def _recent_count(events: list[date], day: date) -> int:
    return sum(is_recent(on, day) for on in events)


def _short(events: list[date], day: date) -> int:
    return max(0, ASKED_COUNT - _recent_count(events, day))


def _good_through(takeoffs: list[date], landings: list[date], day: date) -> str:
    """The last day on which what counts now still does: that of the third newest event."""
    if _short(takeoffs, day) or _short(landings, day):
        return ""
    third = [[on for on in events if on <= day][ASKED_COUNT - 1] for events in (takeoffs, landings)]
    return f"good through {min(third) + timedelta(days=RECENT_DAYS)}"

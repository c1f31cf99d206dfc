"""Recent take-offs and landings, asked for only when persons are carried [14CFR61.57]_.

An event counts on the day it happened and on the 90 days after it (own reading: the rule gives
no worked example). Night here is its own: from 1 h after sunset to 1 h before sunrise.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Final

from lubberline.aircraft import Aircraft
from lubberline.earth import sun_position
from lubberline.fit.calendar import due_finding, due_limit
from lubberline.fit.daylight import sun_at
from lubberline.fit.us.certificates import lacking_limit
from lubberline.fit.us.landings import HORIZON_DEG, NIGHT_MARGIN, flown_landings
from lubberline.line import Finding, unknown
from lubberline.pilot import Landings, Pilot
from lubberline.places import Aerodrome

RECENT_DAYS: Final = 90  # [14CFR61.57]_ (a)(1), (b)(1)
ASKED_COUNT: Final = 3  # same: take-offs, and landings


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


def recency_dates(pilot: Pilot, today: date) -> Iterator[Finding]:
    """Days for which each recency that the pilot has today will last, by class of airplane."""
    flown = flown_landings(pilot, today - timedelta(days=RECENT_DAYS))
    kinds = {
        _Kind(category_class=one.category_class, tailwheel=False, night=False) for one in flown
    }
    kinds |= {replace(kind, night=True) for kind in kinds}
    kinds |= {
        _Kind(category_class=one.category_class, tailwheel=True, night=False) for one in flown
    }
    for kind in sorted(kinds, key=lambda one: one.label):
        last = _Counts.of(flown, kind).good_through(today)
        if last is not None:
            limit = due_limit(
                kind.key, kind.label, kind.source, buffer_days=pilot.own.due_buffer_days
            )
            yield due_finding(limit, last, today)


def _recency(aircraft: Aircraft, pilot: Pilot, carriage: Carriage, *, night: bool) -> Finding:
    category_class, tailwheel = aircraft.category_class, aircraft.tailwheel
    kind = _Kind(
        category_class=category_class or "",
        tailwheel=tailwheel is True,
        night=night,
        type_name=aircraft.type_name if aircraft.type_rating else "",
    )
    label = f"recent {'night ' if night else ''}landings, persons aboard"
    limit = lacking_limit(kind.key, label, kind.source)
    if not carriage.carries_persons:
        return Finding(limit=limit, value=0.0, note="flying alone: not asked for")
    told = {"category_class": category_class, "tailwheel": tailwheel}
    missing = [f"{key} in the aircraft file" for key, value in told.items() if value is None]
    if missing:
        return unknown(limit, " and ".join(missing))
    since = carriage.day - timedelta(days=RECENT_DAYS)
    asked = {"type_name": kind.type_name}
    written = _Counts.of(flown_landings(replace(pilot, recorded=()), since, **asked), kind)
    counts = _Counts.of(flown_landings(pilot, since, **asked), kind)
    lacking = counts.lacking(carriage.day)
    if lacking and pilot.landings is None:
        return unknown(limit, "[[landing]] in pilot.toml", note=counts.words(written, carriage.day))
    last = counts.good_through(carriage.day)
    return Finding(
        limit=limit,
        value=float(lacking),
        where=f"good through {last}" if last else "",
        note=counts.words(written, carriage.day),
        workings=tuple(
            f"{one.on}: {one.takeoff_count} take-offs, {one.landing_count} landings,"
            f" {one.night_full_stop_count} to a full stop by night"
            for one in counts.days
            if is_recent(one.on, carriage.day)
        ),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Kind:
    """What is asked for: landings in this class, and by which of the two rules.

    ``type_name`` is that of an airplane that asks for a type rating, else "".
    """

    category_class: str
    tailwheel: bool
    night: bool
    type_name: str = ""

    @property
    def key(self) -> str:
        """The finding's."""
        return f"pilot.recency_{'night' if self.night else 'day'}"

    @property
    def label(self) -> str:
        """What must be recent."""
        wheel = ", tailwheel" if self.tailwheel else ""
        return f"recent {'night ' if self.night else ''}landings, {self.category_class}{wheel}"

    @property
    def source(self) -> str:
        """Where it stands."""
        paragraph = "b" if self.night else "a"
        return f"14 CFR 61.57({paragraph}), edition of 2003 and change of 2024, read 2026-11-25"

    def counts(self, one: Landings) -> bool:
        """Same category and class; by day rules a tailwheel asks for tailwheel landings."""
        same = one.category_class == self.category_class
        return same and (self.night or not self.tailwheel or one.tailwheel)

    @property
    def takeoff_key(self) -> str:
        """Which take-offs."""
        return "night_takeoff_count" if self.night else "takeoff_count"

    @property
    def landing_key(self) -> str:
        """Which landings."""
        if self.night:
            return "night_full_stop_count"
        return "full_stop_count" if self.tailwheel else "landing_count"

    @property
    def words(self) -> str:
        """The same in words."""
        if self.night:
            return "night landings to a full stop"
        return "tailwheel landings to a full stop" if self.tailwheel else "landings"


@dataclass(frozen=True, slots=True)
class _Counts:
    """The days that count, and the day of each take-off and landing, newest first."""

    kind: _Kind
    days: tuple[Landings, ...]
    takeoffs: list[date]
    landings: list[date]

    @classmethod
    def of(cls, flown: tuple[Landings, ...], kind: _Kind) -> "_Counts":
        """What counts of all that was flown."""
        days = tuple(one for one in flown if kind.counts(one))
        events = (_events(days, key) for key in (kind.takeoff_key, kind.landing_key))
        return cls(kind, days, *events)

    def lacking(self, day: date) -> int:
        """How many are still missing on a day."""
        recent = (_recent_count(events, day) for events in (self.takeoffs, self.landings))
        return max(0, *(ASKED_COUNT - count for count in recent))

    def good_through(self, day: date) -> date | None:
        """The last day on which what counts on a day still does: that of the third newest event."""
        if self.lacking(day):
            return None
        third = (
            [on for on in events if on <= day][ASKED_COUNT - 1]
            for events in (self.takeoffs, self.landings)
        )
        return min(third) + timedelta(days=RECENT_DAYS)

    def words(self, written: "_Counts", day: date) -> str:
        """How many there are, and how many of them only recordings show."""
        pairs = ((self.takeoffs, written.takeoffs), (self.landings, written.landings))
        up, down = ((_recent_count(all_, day), _recent_count(log, day)) for all_, log in pairs)
        extra = (up[0] - up[1], down[0] - down[1])
        shown = f" ({extra[0]} and {extra[1]} of them from recordings alone)" if any(extra) else ""
        return (
            f"{up[0]} take-offs and {down[0]} {self.kind.words} since"
            f" {day - timedelta(days=RECENT_DAYS)}{shown}; with an authorized instructor"
            " aboard see 61.57(e)(5)"
        )


def _events(days: tuple[Landings, ...], key: str) -> list[date]:
    return sorted((one.on for one in days for _ in range(getattr(one, key))), reverse=True)


def _recent_count(events: list[date], day: date) -> int:
    return sum(is_recent(on, day) for on in events)

"""The row of a pilot's logbook that a recording gives: times, landings by day and night.

Night is between the end of evening civil twilight and the beginning of morning civil twilight
(14 CFR 1.1); a landing counts as one at night from an hour after sunset to an hour before sunrise
(14 CFR 61.57(b)(1)). Cross-country is a flight with a landing at another place than that of
departure; more than 50 NM away it counts for most certificates (14 CFR 61.1(b)). What the
recording does not hold is None: the row is offered, the pilot signs.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from math import isnan
from typing import Final, Protocol

import numpy as np

from lubberline.earth import course_and_distance, sun_position, sun_times
from lubberline.flown.model import Flown, Movement
from lubberline.units import S_PER_MIN

TWILIGHT_DEG: Final = -6.0
NIGHT_AFTER: Final = timedelta(hours=1)
OTHER_NM: Final = 3.0  # own: nearer than this it is the same place
FAR_NM: Final = 50.0
STEP_S: Final = 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LogbookRow:
    """One flight. Minutes are None where the recording does not hold both ends."""

    on_utc: datetime
    from_id: str | None
    to_id: str | None
    block_min: float | None
    air_min: float | None
    night_min: float | None
    takeoffs_count: int
    landings_day_count: int
    landings_night_count: int
    cross_country_min: float | None
    farthest_nm: float | None

    @property
    def far(self) -> bool | None:
        """Whether a landing lies more than 50 NM from the departure; None if not known."""
        return None if self.farthest_nm is None else self.farthest_nm > FAR_NM


def logbook_row(flown: Flown) -> LogbookRow | None:
    """The row of a judged recording; None if it holds no movement, or no place of one."""
    moves = flown.movements
    if not moves or any(isnan(one.lat_deg) for one in moves):
        return None
    takeoff = next((one for one in moves if one.kind == "take-off"), None)
    landings = [one for one in moves if one.kind != "take-off"]
    night_count = sum(_lands_at_night(one) for one in landings)
    block_min = _block_min(flown)
    farthest_nm = farthest_landing_nm(takeoff, landings)
    away = farthest_nm is not None and is_elsewhere(farthest_nm)
    return LogbookRow(
        on_utc=datetime.fromtimestamp(moves[0].time_s, UTC),
        from_id=None if takeoff is None else takeoff.aerodrome_id,
        to_id=landings[-1].aerodrome_id if landings else None,
        block_min=block_min,
        air_min=_air_min(moves),
        night_min=_night_min(flown),
        takeoffs_count=sum(one.kind != "landing" for one in moves),
        landings_day_count=len(landings) - night_count,
        landings_night_count=night_count,
        cross_country_min=None if farthest_nm is None else (block_min if away else 0.0),
        farthest_nm=farthest_nm,
    )


def logbook_words(row: LogbookRow) -> str:
    """The row in one line."""
    where = f"{row.from_id or '?'} to {row.to_id or '?'}"
    night = f", night {_minutes(row.night_min)}" if row.night_min != 0.0 else ""
    landings = f"{row.landings_day_count} by day, {row.landings_night_count} at night"
    far = " (over 50 NM)" if row.far else ""
    return (
        f"{row.on_utc:%Y-%m-%d} {where}: block {_minutes(row.block_min)}, in the air"
        f" {_minutes(row.air_min)}{night}; landings {landings};"
        f" cross-country {_minutes(row.cross_country_min)}{far}"
    )


def _minutes(span_min: float | None) -> str:
    if span_min is None:
        return "not known"
    whole = round(span_min)
    return f"{whole // 60}:{whole % 60:02d}"


def _block_min(flown: Flown) -> float | None:
    """From the first move to the last rest, if the recording begins and ends parked."""
    moving = [one for one in flown.phases if one.name != "parked"]
    if not moving or {flown.phases[0].name, flown.phases[-1].name} != {"parked"}:
        return None
    return (moving[-1].end_s - moving[0].start_s) / S_PER_MIN


def _air_min(moves: tuple[Movement, ...]) -> float | None:
    """Sum over all flights; None if one of them has no beginning or no end."""
    total_s, since_s = 0.0, None
    for one in moves:
        if one.kind == "take-off":
            if since_s is not None:
                return None
            since_s = one.time_s
        elif one.kind == "landing":
            if since_s is None:
                return None
            total_s += one.time_s - since_s
            since_s = None
    return None if since_s is not None else total_s / S_PER_MIN


def _night_min(flown: Flown) -> float | None:
    """Minutes aloft with the sun more than 6 degrees under the horizon."""
    track = flown.track
    if not track.time_s.size:
        return None
    at_s = np.arange(track.time_s[0], track.time_s[-1], STEP_S)
    nearest = np.clip(np.searchsorted(track.time_s, at_s), 0, track.time_s.size - 1)
    dark = 0
    for time_s, k in zip(at_s.tolist(), nearest.tolist(), strict=True):
        when_utc = datetime.fromtimestamp(time_s, UTC)
        lat_deg, lon_deg = float(track.lat_deg[k]), float(track.lon_deg[k])
        dark += float(sun_position(lat_deg, lon_deg, when_utc)[1]) < TWILIGHT_DEG
    return dark * STEP_S / S_PER_MIN


def _lands_at_night(one: Movement) -> bool:
    when_utc = datetime.fromtimestamp(one.time_s, UTC)
    day = (when_utc + timedelta(hours=one.lon_deg / 15.0)).date()
    sun = sun_times(one.lat_deg, one.lon_deg, day)
    if sun.sunrise_utc is None or sun.sunset_utc is None:
        return float(sun_position(one.lat_deg, one.lon_deg, when_utc)[1]) < TWILIGHT_DEG
    return not sun.sunrise_utc - NIGHT_AFTER <= when_utc <= sun.sunset_utc + NIGHT_AFTER


class Place(Protocol):
    """Anything that has a place."""

    @property
    def lat_deg(self) -> float:
        """Latitude."""

    @property
    def lon_deg(self) -> float:
        """Longitude."""


def farthest_landing_nm(takeoff: Place | None, landings: Sequence[Place]) -> float | None:
    """Straight distance from the departure to the farthest landing; None if either is missing."""
    if takeoff is None or not landings:
        return None
    return max(
        float(course_and_distance(takeoff.lat_deg, takeoff.lon_deg, one.lat_deg, one.lon_deg)[1])
        for one in landings
    )


def is_elsewhere(distance_nm: float) -> bool:
    """Whether a landing so far from the departure is at another place."""
    return distance_nm > OTHER_NM

"""Daylight at a place: the sun's times of the local day, and how long before dark one arrives."""

from datetime import UTC, date, datetime, time, timedelta
from math import hypot
from typing import Final

from lubberline.earth import SunTimes, sun_times
from lubberline.line import Finding, Limit, unknown
from lubberline.places import Aerodrome

SUN_SIGMA_MIN: Final = 1.0  # own: refraction and horizon; minutes in any table are rounded
_DEG_PER_H: Final = 15.0  # turn of the earth


def local_day(lon_deg: float, when_utc: datetime) -> date:
    """The civil day by the sun at that longitude."""
    return (when_utc + timedelta(hours=lon_deg / _DEG_PER_H)).date()


def sun_at(aerodrome: Aerodrome, when_utc: datetime) -> SunTimes:
    """Sunrise, sunset and civil twilight of the local day there."""
    day = local_day(aerodrome.lon_deg, when_utc)
    return sun_times(aerodrome.lat_deg, aerodrome.lon_deg, day)


def daylight_finding(
    aerodrome: Aerodrome, landing_utc: datetime, *, night: bool, time_sigma_min: float
) -> Finding:
    """Minutes from landing to the end of evening civil twilight; the pilot's own limit.

    Landing by night is lawful; arriving after dark without having meant to is what this
    catches. Before dawn it is dark too: minutes that are short of dawn count as outside. Where
    it does not get dark that day, light is counted to midnight by the sun.
    """
    limit = Limit(
        key="flight.daylight",
        label="daylight left at landing",
        unit="min",
        low=0.0,
        tolerance=60.0,
        basis="own",
        source="own: land before the end of civil twilight (night by 14 CFR 1.1)",
    )
    sun = sun_at(aerodrome, landing_utc)
    where = f"lands {landing_utc:%H:%MZ}" + _sunset_words(sun)
    meant = "night_landing = true in flight.toml, if landing after dark is meant"
    if sun.civil_dawn_utc is not None and landing_utc < sun.civil_dawn_utc:
        ends_utc, value_min = sun.civil_dawn_utc, _minutes(landing_utc - sun.civil_dawn_utc)
        note = f"civil twilight begins {ends_utc:%H:%MZ}; {meant}"
    elif sun.civil_dusk_utc is not None:
        ends_utc, value_min = sun.civil_dusk_utc, _minutes(sun.civil_dusk_utc - landing_utc)
        note = f"civil twilight ends {ends_utc:%H:%MZ}; {meant}"
    elif night:
        return unknown(limit, f"a day with daylight there: {meant}", where=where)
    else:
        value_min = _minutes(_midnight_utc(aerodrome.lon_deg, landing_utc) - landing_utc)
        note = "it does not get dark that day; counted to midnight by the sun"
    sigma_min = hypot(SUN_SIGMA_MIN, time_sigma_min)
    return Finding(limit=limit, value=value_min, sigma=sigma_min, where=where, note=note)


def _sunset_words(sun: SunTimes) -> str:
    return f", sunset {sun.sunset_utc:%H:%MZ}" if sun.sunset_utc is not None else ""


def _midnight_utc(lon_deg: float, when_utc: datetime) -> datetime:
    """The end of the local day by the sun."""
    begins = datetime.combine(local_day(lon_deg, when_utc), time(), tzinfo=UTC)
    return begins + timedelta(hours=24.0 - lon_deg / _DEG_PER_H)


def _minutes(span: timedelta) -> float:
    return span / timedelta(minutes=1)

"""Daylight at a place: the sun's times of the local day, and how long before dark one arrives."""

from datetime import date, datetime, timedelta

from lubberline.earth import SunTimes, sun_times
from lubberline.line import Finding, Limit, unknown
from lubberline.places import Aerodrome


def local_day(lon_deg: float, when_utc: datetime) -> date:
    """The civil day by the sun at that longitude."""
    return (when_utc + timedelta(hours=lon_deg / 15.0)).date()


def sun_at(aerodrome: Aerodrome, when_utc: datetime) -> SunTimes:
    """Sunrise, sunset and civil twilight of the local day there."""
    day = local_day(aerodrome.lon_deg, when_utc)
    return sun_times(aerodrome.lat_deg, aerodrome.lon_deg, day)


def daylight_finding(aerodrome: Aerodrome, landing_utc: datetime) -> Finding:
    """Minutes from landing to the end of evening civil twilight; the pilot's own limit.

    Landing by night is lawful; arriving after dark without having meant to is what this
    catches.
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
    if sun.civil_dusk_utc is None or sun.sunset_utc is None:
        return unknown(limit, "a day with sunset at this latitude: look at the almanac")
    return Finding(
        limit=limit,
        value=(sun.civil_dusk_utc - landing_utc) / timedelta(minutes=1),
        sigma=1.0,  # refraction and horizon: minutes in any table are rounded
        where=f"lands {landing_utc:%H:%MZ}, sunset {sun.sunset_utc:%H:%MZ}",
        note=f"civil twilight ends {sun.civil_dusk_utc:%H:%MZ}",
    )

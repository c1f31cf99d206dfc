"""Where the sun stands, and when it rises, sets and leaves twilight at a place.

Declination and equation of time are astral's; the rest is spherical trigonometry. Events are
those of an observer at sea level with a free horizon: mountains, height and unusual refraction
are left out. A day is the solar day of the place, from midnight to midnight around the local
noon of that date, whatever the date in UTC is by then.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from lubberline.arrays import FloatArray, broadcast, check_range, wrap_360_deg
from lubberline.errors import RangeError

HORIZON_DEG: Final = -50.0 / 60.0  # 34' of refraction and 16' of radius: [USNO-RST]_
CIVIL_DEG: Final = -6.0  # same
_J2000: Final = datetime(2000, 1, 1, 12, tzinfo=UTC)
_CENTURY: Final = timedelta(days=36_525)
_HALF_DAY: Final = timedelta(hours=12)
_CLOSE_ENOUGH: Final = timedelta(seconds=0.1)  # the sun's place is good to a few seconds
_NEAREST_POLE_DEG: Final = 89.0  # beyond it the sun circles and need not rise before noon


@dataclass(frozen=True, slots=True, kw_only=True)
class SunTimes:
    """The four events of one solar day, in UTC; None where the sun does not do that."""

    civil_dawn_utc: datetime | None
    sunrise_utc: datetime | None
    sunset_utc: datetime | None
    civil_dusk_utc: datetime | None


def sun_times(lat_deg: float, lon_deg: float, day: date) -> SunTimes:
    """Civil dawn, sunrise, sunset and civil dusk of a place's own day.

    Parameters
    ----------
    lat_deg : float
        Latitude [deg], -89 to 89.
    lon_deg : float
        Longitude, east positive [deg], -180 to 180. At the date line the sign decides on
        which side of it the date is meant: +180 begins that date, -180 ends it.
    day : date
        The local date: the day around the noon that the place has on it. Sunset in America
        often comes on the next date in UTC and still belongs to this day.

    Returns
    -------
    SunTimes
        Dawn and sunrise lie within the twelve hours before local noon, sunset and dusk
        within those after it. Where one is None, ``sun_position`` tells day from night.

    Raises
    ------
    RangeError
        If a coordinate lies outside its range or is NaN.

    References
    ----------
    [USNO-RST]_, definitions of rise, set and civil twilight; [MEEUS1998]_, chapters 15 and 25.

    Examples
    --------
    >>> times = sun_times(37.65, -97.4331, date(2025, 6, 21))
    >>> f"{times.sunset_utc:%d %H:%M}"
    '22 01:54'
    """
    if np.isnan(lat_deg) or np.isnan(lon_deg):
        raise RangeError(f"sun times need a place, got {lat_deg}, {lon_deg}")
    check_range("lat_deg", np.asarray(lat_deg), -_NEAREST_POLE_DEG, _NEAREST_POLE_DEG, "deg")
    check_range("lon_deg", np.asarray(lon_deg), -180.0, 180.0, "deg")

    def elevation_deg(when_utc: datetime) -> float:
        return float(sun_position(lat_deg, lon_deg, when_utc)[1])

    noon_utc = _noon_utc(lon_deg, day)
    morning = (noon_utc - _HALF_DAY, noon_utc)
    evening = (noon_utc + _HALF_DAY, noon_utc)
    return SunTimes(
        civil_dawn_utc=_crossing_utc(elevation_deg, CIVIL_DEG, *morning),
        sunrise_utc=_crossing_utc(elevation_deg, HORIZON_DEG, *morning),
        sunset_utc=_crossing_utc(elevation_deg, HORIZON_DEG, *evening),
        civil_dusk_utc=_crossing_utc(elevation_deg, CIVIL_DEG, *evening),
    )


def sun_position(
    lat_deg: ArrayLike, lon_deg: ArrayLike, when_utc: datetime
) -> tuple[FloatArray, FloatArray]:
    """Direction and height of the sun's center: (azimuth, elevation).

    Parameters
    ----------
    lat_deg : array_like, shape S
        Latitude [deg], -90 to 90.
    lon_deg : array_like, broadcast with S
        Longitude, east positive [deg], -540 to 540.
    when_utc : datetime
        Time, with its zone.

    Returns
    -------
    tuple of ndarray, broadcast shape
        Azimuth, true [deg], 0 to 360, and elevation above the level [deg] without
        refraction, so that it is -0.83 at sunrise. NaN where an input is NaN.

    Raises
    ------
    RangeError
        If a coordinate lies outside its range or the time names no zone.
    ShapeError
        If the inputs do not broadcast.

    References
    ----------
    [MEEUS1998]_, chapters 13, 25 and 28.
    """
    north_deg, east_deg = broadcast(lat_deg, lon_deg)
    check_range("lat_deg", north_deg, -90.0, 90.0, "deg")
    check_range("lon_deg", east_deg, -540.0, 540.0, "deg")
    if when_utc.tzinfo is None:
        raise RangeError(f"when_utc is {when_utc.isoformat()} without a time zone; expected UTC")
    declination_deg, ahead_min = _declination_and_equation(when_utc)
    past_noon = (when_utc - _noon_of_date(when_utc)) / timedelta(minutes=1) + ahead_min
    hour_rad = np.radians(past_noon / 4.0 + east_deg)
    lat_rad, declination_rad = np.radians(north_deg), np.radians(declination_deg)
    sideways = np.cos(declination_rad) * np.cos(hour_rad)
    east = -np.cos(declination_rad) * np.sin(hour_rad)
    north = np.sin(declination_rad) * np.cos(lat_rad) - sideways * np.sin(lat_rad)
    up = np.sin(declination_rad) * np.sin(lat_rad) + sideways * np.cos(lat_rad)
    azimuth_deg = wrap_360_deg(np.degrees(np.arctan2(east, north)))
    return azimuth_deg, np.degrees(np.arctan2(up, np.hypot(east, north)))


def _declination_and_equation(when_utc: datetime) -> tuple[float, float]:
    """Declination [deg] and equation of time [min]: how far the sun is ahead of the clock."""
    from astral.sun import eq_of_time, sun_declination

    centuries = (when_utc - _J2000) / _CENTURY
    return sun_declination(centuries), eq_of_time(centuries)


def _noon_of_date(when_utc: datetime) -> datetime:
    return datetime.combine(when_utc.astimezone(UTC).date(), time(12), tzinfo=UTC)


def _noon_utc(lon_deg: float, day: date) -> datetime:
    """The sun's passage through the meridian on that local date, to a second."""
    mean_utc = datetime.combine(day, time(12), tzinfo=UTC) - timedelta(hours=lon_deg / 15.0)
    _, ahead_min = _declination_and_equation(mean_utc)
    return mean_utc - timedelta(minutes=ahead_min)


def _crossing_utc(
    elevation_deg: Callable[[datetime], float],
    level_deg: float,
    low_utc: datetime,
    high_utc: datetime,
) -> datetime | None:
    """When the sun passes a level between midnight and noon, by halving; None if it does not."""
    if not elevation_deg(low_utc) < level_deg < elevation_deg(high_utc):
        return None
    while abs(high_utc - low_utc) > _CLOSE_ENOUGH:
        middle_utc = low_utc + (high_utc - low_utc) / 2
        if elevation_deg(middle_utc) < level_deg:
            low_utc = middle_utc
        else:
            high_utc = middle_utc
    return low_utc + (high_utc - low_utc) / 2

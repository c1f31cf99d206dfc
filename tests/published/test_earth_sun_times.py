"""Sunrise, sunset and civil twilight: a JPL ephemeris, an almanac, and a second library."""

import csv
from datetime import UTC, date, datetime, time, timedelta
from math import degrees, radians
from pathlib import Path
from typing import Any

import ephem
import numpy as np
import pytest

from lubberline.arrays import wrap_180_deg
from lubberline.earth import SunTimes, sun_position, sun_times

EVENTS = ("civil_dawn_utc", "sunrise_utc", "sunset_utc", "civil_dusk_utc")
CLOCK_S = 60.0  # an almanac prints minutes; real refraction is no better known
HIGH_LATITUDE_S = 120.0  # above 60 deg, where the sun meets the horizon at a shallow angle


def ephemeris_days() -> list[dict[str, str]]:
    text = (Path(__file__).parent / "data" / "sun_times.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if line[0] != "#"))


def apart_s(first_utc: datetime, second_utc: datetime) -> float:
    return abs((first_utc - second_utc).total_seconds())


@pytest.mark.parametrize("event", EVENTS)
@pytest.mark.parametrize("row", ephemeris_days(), ids=lambda row: f"{row['place']} {row['day']}")
def test_events_by_the_jpl_ephemeris(row: dict[str, str], event: str) -> None:
    lat_deg, day = float(row["lat_deg"]), date.fromisoformat(row["day"])
    found_utc = getattr(sun_times(lat_deg, float(row["lon_deg"]), day), event)
    if not row[event]:
        assert found_utc is None
        return
    tolerance_s = CLOCK_S if abs(lat_deg) < 60.0 else HIGH_LATITUDE_S
    assert apart_s(found_utc, datetime.fromisoformat(row[event])) < tolerance_s


# London almanac, observer 51 deg 28' 24" N, 0 deg 0' 5" W (coordinates: memory); times from the
# tests of the library astral, src/test/test_sun_utc.py, which takes them from an almanac's web
# page. UTC: civil dawn, sunrise, sunset.
ALMANAC = [
    (date(2015, 12, 1), "07:04", "07:43", "15:55"),
    (date(2015, 12, 2), "07:05", "07:45", "15:54"),
    (date(2015, 12, 3), "07:06", "07:46", "15:54"),
    (date(2015, 12, 12), "07:16", "07:56", "15:51"),
    (date(2015, 12, 25), "07:25", "08:05", "15:55"),
    (date(2015, 1, 1), None, "08:06", "16:01"),
]


@pytest.mark.parametrize(("day", "dawn", "sunrise", "sunset"), ALMANAC)
def test_events_by_the_almanac(day: date, dawn: str | None, sunrise: str, sunset: str) -> None:
    times = sun_times(51.0 + 28.4 / 60.0, -5.0 / 3600.0, day)
    for event, text in zip(EVENTS, (dawn, sunrise, sunset), strict=False):
        if text is not None:
            printed_utc = datetime.combine(day, time.fromisoformat(text), tzinfo=UTC)
            assert apart_s(getattr(times, event), printed_utc) < CLOCK_S, event


def observer(lat_deg: float, lon_deg: float, when_utc: datetime) -> Any:
    """The second library at a place, without its own refraction."""
    place = ephem.Observer()
    place.lat, place.lon, place.pressure = radians(lat_deg), radians(lon_deg), 0.0
    place.date = ephem.Date(when_utc.replace(tzinfo=None))
    return place


def oracle(lat_deg: float, lon_deg: float, day: date) -> dict[str, datetime | None]:
    noon_utc = datetime.combine(day, time(12), tzinfo=UTC) - timedelta(hours=lon_deg / 15.0)
    found: dict[str, datetime | None] = {}
    for event, horizon, search in (
        ("civil_dawn_utc", "-6", "previous_rising"),
        ("sunrise_utc", "-0:50", "previous_rising"),
        ("sunset_utc", "-0:50", "next_setting"),
        ("civil_dusk_utc", "-6", "next_setting"),
    ):
        place = observer(lat_deg, lon_deg, noon_utc)
        place.horizon = horizon
        try:
            answer = getattr(place, search)(ephem.Sun(), use_center=True)
            found[event] = answer.datetime().replace(tzinfo=UTC)
        except (ephem.AlwaysUpError, ephem.NeverUpError):
            found[event] = None
    return found


RANDOM = np.random.default_rng(61_091)
PLACES_AND_DAYS = [
    (lat_deg, lon_deg, date(2020, 1, 1) + timedelta(days=int(days)))
    for lat_deg, lon_deg, days in zip(
        RANDOM.uniform(-59.0, 59.0, 60),
        RANDOM.uniform(-180.0, 180.0, 60),
        RANDOM.integers(0, 4000, 60),
        strict=True,
    )
]


@pytest.mark.parametrize(("lat_deg", "lon_deg", "day"), PLACES_AND_DAYS)
def test_a_second_library_agrees_on_the_events(lat_deg: float, lon_deg: float, day: date) -> None:
    times, expected = sun_times(lat_deg, lon_deg, day), oracle(lat_deg, lon_deg, day)
    for event in EVENTS:
        found_utc, other_utc = getattr(times, event), expected[event]
        assert found_utc is not None
        assert other_utc is not None
        assert apart_s(found_utc, other_utc) < CLOCK_S, event


@pytest.mark.parametrize(("lat_deg", "lon_deg", "day"), PLACES_AND_DAYS)
def test_a_second_library_agrees_on_the_position(lat_deg: float, lon_deg: float, day: date) -> None:
    when_utc = datetime.combine(day, time(17, 23, 5), tzinfo=UTC)
    sun = ephem.Sun(observer(lat_deg, lon_deg, when_utc))
    azimuth_deg, elevation_deg = sun_position(lat_deg, lon_deg, when_utc)
    assert elevation_deg == pytest.approx(degrees(sun.alt), abs=0.02)
    across_deg = wrap_180_deg(azimuth_deg - degrees(sun.az)) * np.cos(radians(elevation_deg))
    assert abs(across_deg) < 0.02


@pytest.mark.parametrize(
    ("lat_deg", "day"), [(75.0, date(2026, 6, 21)), (75.0, date(2026, 12, 21))]
)
def test_no_event_where_the_second_library_finds_none(lat_deg: float, day: date) -> None:
    assert set(oracle(lat_deg, 20.0, day).values()) == {None}
    assert sun_times(lat_deg, 20.0, day) == SunTimes(
        civil_dawn_utc=None, sunrise_utc=None, sunset_utc=None, civil_dusk_utc=None
    )

"""The sun's day: which date it belongs to, its order, and what is refused."""

from collections.abc import Callable
from dataclasses import astuple
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lubberline.earth import sun_position, sun_times
from lubberline.errors import RangeError, ShapeError

DAY = date(2026, 6, 21)
WHEN = datetime(2026, 6, 21, 20, 0, tzinfo=UTC)
DAYS = st.dates(date(2000, 1, 1), date(2040, 12, 31))


def test_every_shape_has_its_answer(holds_on_every_shape: Callable[..., None]) -> None:
    holds_on_every_shape(lambda lat, lon: sun_position(lat, lon, WHEN), 41.0, -131.0)
    with pytest.raises(ShapeError):
        sun_position([41.0] * 3, [-131.0] * 2, WHEN)


def test_an_evening_after_midnight_in_utc_belongs_to_the_same_day() -> None:
    times = sun_times(41.0, -131.0, DAY)
    assert times.sunrise_utc is not None
    assert times.sunset_utc is not None
    assert times.sunrise_utc.date() == DAY
    assert times.sunset_utc.date() == DAY + timedelta(days=1)


def test_a_morning_before_midnight_in_utc_belongs_to_the_same_day() -> None:
    times = sun_times(-33.9, 151.2, DAY)
    assert times.sunrise_utc is not None
    assert times.sunset_utc is not None
    assert times.sunrise_utc.date() == DAY - timedelta(days=1)
    assert times.sunset_utc.date() == DAY


@given(st.floats(-60.0, 60.0), st.floats(-180.0, 180.0), DAYS)
def test_the_events_come_in_order_around_the_noon_of_the_date(
    lat_deg: float, lon_deg: float, day: date
) -> None:
    dawn, sunrise, sunset, dusk = astuple(sun_times(lat_deg, lon_deg, day))
    noon_utc = datetime.combine(day, datetime.min.time(), tzinfo=UTC)
    noon_utc += timedelta(hours=12.0 - lon_deg / 15.0)
    assert dawn < sunrise < noon_utc < sunset < dusk
    assert abs(sunrise + (sunset - sunrise) / 2 - noon_utc) < timedelta(minutes=18)


def test_the_two_sides_of_the_date_line_are_a_day_apart() -> None:
    west, east = sun_times(0.0, 180.0, DAY), sun_times(0.0, -180.0, DAY)
    next_west = sun_times(0.0, 180.0, DAY + timedelta(days=1))
    assert west.sunset_utc is not None
    assert east.sunset_utc is not None
    assert next_west.sunset_utc is not None
    assert east.sunset_utc - west.sunset_utc > timedelta(hours=23)
    assert abs(east.sunset_utc - next_west.sunset_utc) < timedelta(seconds=1)


@pytest.mark.parametrize("lon_deg", [179.99, -179.99, 0.0, -131.0])
def test_days_follow_each_other_without_a_gap(lon_deg: float) -> None:
    rises = [sun_times(41.0, lon_deg, DAY + timedelta(days=n)).sunrise_utc for n in range(-2, 3)]
    for before, after in pairwise(rises):
        assert before is not None
        assert after is not None
        assert abs(after - before - timedelta(days=1)) < timedelta(minutes=4)


@given(st.floats(-60.0, 60.0), st.floats(-180.0, 180.0), DAYS)
def test_the_sun_stands_at_the_horizon_when_it_rises(
    lat_deg: float, lon_deg: float, day: date
) -> None:
    dawn, sunrise, sunset, dusk = astuple(sun_times(lat_deg, lon_deg, day))
    for moment, level_deg in ((dawn, -6.0), (sunrise, -5 / 6), (sunset, -5 / 6), (dusk, -6.0)):
        _, elevation_deg = sun_position(lat_deg, lon_deg, moment)
        assert elevation_deg == pytest.approx(level_deg, abs=0.002)


def test_midsummer_in_the_north_has_no_night() -> None:
    times = sun_times(61.17, -150.0, DAY)
    assert times.civil_dawn_utc is None
    assert times.civil_dusk_utc is None
    assert times.sunset_utc is not None


def test_midwinter_beyond_the_circle_has_only_twilight() -> None:
    times = sun_times(70.0, 20.0, date(2026, 12, 21))
    assert times.sunrise_utc is None
    assert times.civil_dawn_utc is not None


def test_the_sun_is_overhead_in_the_tropics_at_noon() -> None:
    _, elevation_deg = sun_position(23.436, 0.0, datetime(2026, 6, 21, 12, 1, 54, tzinfo=UTC))
    assert elevation_deg == pytest.approx(90.0, abs=0.05)


def test_the_sun_stands_south_at_noon_and_east_in_the_morning() -> None:
    noon_deg, _ = sun_position(41.0, 0.0, datetime(2026, 3, 20, 12, 7, 30, tzinfo=UTC))
    morning_deg, _ = sun_position(41.0, 0.0, datetime(2026, 3, 20, 6, 7, 30, tzinfo=UTC))
    assert noon_deg == pytest.approx(180.0, abs=0.2)
    assert morning_deg == pytest.approx(90.0, abs=0.5)


@pytest.mark.parametrize(
    ("lat_deg", "lon_deg"), [(89.1, 0.0), (-89.1, 0.0), (0.0, 180.1), (np.nan, 0.0)]
)
def test_a_place_without_a_day_is_refused(lat_deg: float, lon_deg: float) -> None:
    with pytest.raises(RangeError):
        sun_times(lat_deg, lon_deg, DAY)


def test_a_time_without_a_zone_is_refused() -> None:
    with pytest.raises(RangeError, match="without a time zone"):
        sun_position(41.0, -131.0, datetime(2026, 6, 21, 20))  # noqa: DTZ001 - the point

"""Variation: shapes, time, poles, and what is refused."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta, timezone

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lubberline.earth import decimal_year, variation_deg, variation_sigma_deg
from lubberline.errors import RangeError, ShapeError

WHEN = datetime(2026, 5, 1, tzinfo=UTC)


@pytest.mark.parametrize("function", [variation_deg, variation_sigma_deg])
def test_every_shape_has_its_answer(
    function: Callable[..., object], holds_on_every_shape: Callable[..., None]
) -> None:
    holds_on_every_shape(lambda *place: function(*place, WHEN), 41.0, -131.0, 5_500.0)
    with pytest.raises(ShapeError):
        function([41.0] * 3, [-131.0] * 2, 0.0, WHEN)


def test_many_places_at_once_are_the_places_one_by_one() -> None:
    random = np.random.default_rng(3)
    lat_deg, lon_deg = random.uniform(-80, 80, 1500), random.uniform(-180, 180, 1500)
    together = variation_deg(lat_deg, lon_deg, 3_000.0, WHEN)
    for place in (0, 511, 512, 1024, 1499):
        alone = variation_deg(lat_deg[place], lon_deg[place], 3_000.0, WHEN)
        assert together[place] == pytest.approx(float(alone), abs=1e-10)


@given(st.floats(-90.0, 90.0), st.floats(-180.0, 180.0))
def test_once_around_is_the_same_place(lat_deg: float, lon_deg: float) -> None:
    here, around = variation_deg(lat_deg, [lon_deg, lon_deg + 360.0], 0.0, WHEN)
    assert around == pytest.approx(here, abs=1e-8)


@pytest.mark.parametrize("pole_deg", [90.0, -90.0])
def test_the_pole_is_where_its_neighborhood_leads(pole_deg: float) -> None:
    at, near = variation_deg([pole_deg, pole_deg * (1.0 - 1e-9)], 30.0, 0.0, WHEN)
    assert at == pytest.approx(near, abs=1e-4)


def test_the_needle_is_of_no_use_near_the_magnetic_pole() -> None:
    ordinary, polar = variation_sigma_deg([41.0, 85.8], [-131.0, 139.3], 0.0, WHEN)
    assert 0.26 < ordinary < 0.5
    assert polar > 5.0


def test_the_geoid_does_not_turn_the_needle() -> None:
    lat_deg, lon_deg = np.mgrid[-80:81:5, -180:180:5]
    sigma_deg = variation_sigma_deg(lat_deg, lon_deg, 0.0, WHEN)
    geoid_ft = 107.0 / 0.3048
    low_deg, high_deg = variation_deg(lat_deg, lon_deg, [[[0.0]], [[geoid_ft]]], WHEN)
    outside_caution_zone = sigma_deg < np.hypot(0.26, 5417.0 / 6000.0)
    assert np.abs(high_deg - low_deg)[outside_caution_zone].max() < 0.003


@pytest.mark.parametrize(
    ("when_utc", "year"),
    [
        (datetime(2025, 1, 1, tzinfo=UTC), 2025.0),
        (datetime(2025, 7, 2, 12, tzinfo=UTC), 2025.5),
        (datetime(2028, 7, 2, tzinfo=UTC), 2028.5),  # a leap year's middle is a midnight
        (datetime(2024, 12, 31, 20, tzinfo=timezone(timedelta(hours=-4))), 2025.0),
    ],
)
def test_decimal_year(when_utc: datetime, year: float) -> None:
    assert decimal_year(when_utc) == pytest.approx(year, abs=1e-12)


@pytest.mark.parametrize(
    "when_utc",
    [datetime(2024, 12, 31, 23, 59, tzinfo=UTC), datetime(2030, 1, 1, 0, 1, tzinfo=UTC)],
)
def test_a_date_the_model_is_not_made_for_is_refused_by_name(when_utc: datetime) -> None:
    with pytest.raises(RangeError, match=r"WMM-2025 is valid from 2025\.0 to 2030\.0"):
        variation_deg(41.0, -131.0, 0.0, when_utc)


def test_both_ends_of_the_model_are_taken() -> None:
    for year in (2025, 2030):
        assert np.isfinite(variation_deg(41.0, -131.0, 0.0, datetime(year, 1, 1, tzinfo=UTC)))


def test_a_time_without_a_zone_is_refused() -> None:
    with pytest.raises(RangeError, match="without a time zone"):
        variation_deg(41.0, -131.0, 0.0, datetime(2026, 5, 1))  # noqa: DTZ001 - the point


@pytest.mark.parametrize(
    ("lat_deg", "lon_deg", "msl_ft", "name"),
    [(91.0, 0.0, 0.0, "lat_deg"), (0.0, 541.0, 0.0, "lon_deg"), (0.0, 0.0, -4e3, "msl_ft")],
)
def test_what_is_no_place_is_refused(
    lat_deg: float, lon_deg: float, msl_ft: float, name: str
) -> None:
    with pytest.raises(RangeError, match=name):
        variation_deg(lat_deg, lon_deg, msl_ft, WHEN)

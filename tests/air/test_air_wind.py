"""What must hold for every wind, beside the handbook's examples."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from lubberline.air import (
    track_made_good,
    wind_components_kt,
    wind_east_north_kt,
    wind_from_east_north,
    wind_triangle,
)
from lubberline.arrays import wrap_180_deg

DIRECTIONS = st.floats(0.0, 360.0)
WINDS = st.floats(0.1, 60.0)


@given(DIRECTIONS, DIRECTIONS, WINDS)
def test_components_keep_the_whole_wind(toward: float, came: float, wind_kt: float) -> None:
    parts = wind_components_kt(toward, wind_from_true_deg=came, wind_kt=wind_kt)
    assert np.hypot(*parts) == pytest.approx(wind_kt, rel=1e-12)


@given(DIRECTIONS, DIRECTIONS, WINDS)
def test_the_other_end_of_the_runway_sees_the_opposite(
    toward: float, came: float, wind_kt: float
) -> None:
    parts = wind_components_kt([toward, toward + 180.0], wind_from_true_deg=came, wind_kt=wind_kt)
    for here, there in parts:
        assert here == pytest.approx(-there, abs=1e-10)


@given(DIRECTIONS, st.floats(60.0, 250.0), DIRECTIONS, WINDS)
def test_the_triangle_closes(course: float, tas_kt: float, came: float, wind_kt: float) -> None:
    turn_deg, ground_kt = wind_triangle(course, tas_kt, wind_from_true_deg=came, wind_kt=wind_kt)
    assume(ground_kt > 1.0)
    track_deg, speed_kt = track_made_good(
        course + turn_deg, tas_kt, wind_from_true_deg=came, wind_kt=wind_kt
    )
    assert speed_kt == pytest.approx(float(ground_kt), rel=1e-9)
    assert abs(wrap_180_deg(track_deg - course)) < 1e-6


@given(DIRECTIONS, WINDS)
def test_east_and_north_invert(came: float, wind_kt: float) -> None:
    from_deg, speed_kt = wind_from_east_north(*wind_east_north_kt(came, wind_kt))
    assert speed_kt == pytest.approx(wind_kt, rel=1e-12)
    assert abs(wrap_180_deg(from_deg - came)) < 1e-9


def test_a_crosswind_from_the_right_is_positive() -> None:
    _, cross_kt = wind_components_kt(360.0, wind_from_true_deg=90.0, wind_kt=15.0)
    assert cross_kt == pytest.approx(15.0)


def test_a_calm_comes_from_zero() -> None:
    for zero in (0.0, -0.0):
        from_deg, speed_kt = wind_from_east_north(zero, zero)
        assert from_deg == 0.0
        assert speed_kt == 0.0


def test_more_headwind_than_airspeed_goes_backward() -> None:
    turn_deg, ground_kt = wind_triangle(360.0, 50.0, wind_from_true_deg=0.0, wind_kt=70.0)
    assert turn_deg == pytest.approx(0.0, abs=1e-9)
    assert ground_kt == pytest.approx(-20.0)


def test_a_crosswind_equal_to_the_airspeed_is_the_last_that_can_be_held() -> None:
    turn_deg, ground_kt = wind_triangle(
        0.0, [60.0, np.nextafter(60.0, 0.0)], wind_from_true_deg=90.0, wind_kt=60.0
    )
    assert turn_deg[0] == pytest.approx(90.0, abs=1e-5)
    assert ground_kt[0] == pytest.approx(0.0, abs=1e-5)
    assert np.isnan([turn_deg[1], ground_kt[1]]).all()

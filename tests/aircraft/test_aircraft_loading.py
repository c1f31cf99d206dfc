"""Weight and balance: sums, burning, and what the envelope allows."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from lubberline.aircraft import (
    Aircraft,
    LoadingLimits,
    Station,
    Tank,
    arm_limits_in,
    arm_margin_in,
    burned,
    loaded,
    states,
)
from lubberline.errors import RangeError, ShapeError

LIMITS = LoadingLimits(
    empty_lb=1500.0,
    empty_arm_in=40.0,
    stations=(Station(name="front", arm_in=37.0), Station(name="bag", arm_in=95.0, max_lb=100.0)),
    tanks=(
        Tank(name="main", arm_in=48.0, usable_gal=40.0),
        Tank(name="tail", arm_in=120.0, usable_gal=10.0),
    ),
    max_ramp_lb=2400.0,
    max_takeoff_lb=2400.0,
    max_landing_lb=2400.0,
    max_zero_fuel_lb=None,
    envelope_arm_in=np.array([35.0, 35.0, 38.5, 47.0, 47.0]),
    envelope_lb=np.array([1500.0, 1950.0, 2400.0, 2400.0, 1500.0]),
    fuel_lb_per_gal=6.0,
)


def shaped(*corners: tuple[float, float]) -> LoadingLimits:
    """The same airplane with another envelope, corners as arm and weight."""
    arm_in, weight_lb = np.array(corners, dtype=float).T
    return replace(LIMITS, envelope_arm_in=arm_in, envelope_lb=weight_lb)


def limits_in(
    limits: LoadingLimits, weight_lb: float, near_in: float | None = None
) -> tuple[float, float]:
    """Forward and aft limit as numbers."""
    forward_in, aft_in = arm_limits_in(limits, weight_lb, near_in=near_in)
    return float(forward_in), float(aft_in)


# Two horns above 2000 lb with a dent between them.
DENTED = shaped((0, 1000), (0, 3000), (10, 3000), (12, 2000), (20, 2400), (30, 2400), (30, 1000))


def test_a_load_is_the_sum_of_weights_and_moments() -> None:
    full = loaded(LIMITS, load_lb={"front": 340.0, "bag": 50.0}, fuel_gal={"main": 30.0})
    assert full.weight_lb == 1500.0 + 340.0 + 50.0 + 180.0
    assert full.moment_lbin == 60_000.0 + 12_580.0 + 4_750.0 + 8_640.0
    assert full.arm_in == full.moment_lbin / full.weight_lb


@pytest.mark.parametrize(
    ("load_lb", "fuel_gal", "told"),
    [
        ({"frnt": 100.0}, {}, "load_lb names 'frnt'; the airplane has front, bag"),
        ({}, {"left": 10.0}, "fuel_gal names 'left'; the airplane has main, tail"),
        ({"bag": -5.0}, {}, "load_lb of bag is -5; expected 0 or more"),
        ({}, {"tail": 11.0}, "fuel_gal of tail is 11 gal; the tank holds 10 gal usable"),
    ],
)
def test_a_load_that_the_airplane_cannot_have_is_refused(
    load_lb: dict[str, float], fuel_gal: dict[str, float], told: str
) -> None:
    with pytest.raises(RangeError, match=told):
        loaded(LIMITS, load_lb=load_lb, fuel_gal=fuel_gal)


def test_a_weight_that_is_not_known_stays_unknown() -> None:
    assert np.isnan(loaded(LIMITS, load_lb={"front": np.nan}, fuel_gal={}).weight_lb)


AMOUNT_GAL = st.floats(0.0, 10.0)


@given(AMOUNT_GAL, AMOUNT_GAL, st.floats(0.0, 30.0), st.floats(0.0, 30.0))
def test_burning_fuel_never_raises_the_weight(
    main_gal: float, tail_gal: float, less_gal: float, more_gal: float
) -> None:
    less_gal, more_gal = sorted([less_gal, more_gal])
    fuel_gal = {"main": main_gal, "tail": tail_gal}
    weights_lb = [
        loaded(LIMITS, load_lb={}, fuel_gal=burned(fuel_gal, burn_gal)).weight_lb
        for burn_gal in (0.0, less_gal, more_gal)
    ]
    noise_lb = 1e-9
    assert weights_lb[0] >= weights_lb[1] - noise_lb
    assert weights_lb[1] >= weights_lb[2] - noise_lb
    assert weights_lb[2] >= LIMITS.empty_lb


@given(AMOUNT_GAL, AMOUNT_GAL, st.floats(0.0, 1.0))
def test_all_tanks_give_the_same_part_of_what_they_hold(
    main_gal: float, tail_gal: float, part_ratio: float
) -> None:
    assume(main_gal + tail_gal > 1e-6)
    fuel_gal = {"main": main_gal, "tail": tail_gal}
    left_gal = burned(fuel_gal, part_ratio * (main_gal + tail_gal))
    for name, gal in fuel_gal.items():
        assert left_gal[name] == pytest.approx(gal * (1.0 - part_ratio), abs=1e-9)


def test_more_than_there_is_leaves_the_tanks_empty() -> None:
    assert burned({"main": 5.0, "tail": 1.0}, 7.0) == {"main": 0.0, "tail": 0.0}
    assert burned({}, 0.0) == {}
    with pytest.raises(RangeError, match="burn_gal is -1 gal"):
        burned({"main": 5.0}, -1.0)


def test_the_four_states_bound_the_flight() -> None:
    at = states(
        LIMITS,
        load_lb={"front": 170.0},
        fuel_gal={"main": 20.0, "tail": 10.0},
        taxi_gal=3.0,
        trip_gal=15.0,
    )
    weights_lb = [one.weight_lb for one in (at.ramp, at.takeoff, at.landing, at.zero_fuel)]
    assert weights_lb == pytest.approx([1850.0, 1832.0, 1742.0, 1670.0])
    # The tail tank is far aft: burning from both moves the center of gravity forward.
    assert at.ramp.arm_in > at.takeoff.arm_in > at.landing.arm_in > at.zero_fuel.arm_in
    assert at.zero_fuel.moment_lbin == 60_000.0 + 170.0 * 37.0


@pytest.mark.parametrize(
    ("weight_lb", "forward_in", "aft_in"),
    [
        (1500.0, 35.0, 47.0),  # the lowest edge belongs to the envelope
        (1950.0, 35.0, 47.0),
        (2175.0, 36.75, 47.0),  # halfway up the slanted edge
        (2400.0, 38.5, 47.0),  # so does the highest
        (2400.0 * (1.0 + 4e-16), 38.5, 47.0),
    ],
)
def test_the_envelope_at_a_weight(weight_lb: float, forward_in: float, aft_in: float) -> None:
    assert limits_in(LIMITS, weight_lb) == (forward_in, aft_in)


@pytest.mark.parametrize("weight_lb", [1499.9, 2400.1, np.nan])
def test_no_limits_where_the_envelope_has_no_such_weight(weight_lb: float) -> None:
    assert np.isnan(arm_limits_in(LIMITS, weight_lb)).all()
    assert np.isnan(arm_margin_in(LIMITS, weight_lb, 40.0))


def test_the_limits_do_not_depend_on_the_sense_of_the_corners() -> None:
    turned = replace(
        LIMITS,
        envelope_arm_in=LIMITS.envelope_arm_in[::-1],
        envelope_lb=LIMITS.envelope_lb[::-1],
    )
    weight_lb = np.linspace(1450.0, 2450.0, 21)
    np.testing.assert_allclose(
        arm_limits_in(turned, weight_lb), arm_limits_in(LIMITS, weight_lb), rtol=1e-15
    )


@pytest.mark.parametrize(
    ("near_in", "forward_in", "aft_in"),
    [
        (5.0, 0.0, 11.4),
        (12.0, 0.0, 11.4),  # in the dent, nearer the left horn
        (16.0, 18.0, 30.0),  # in the dent, nearer the right horn
        (25.0, 18.0, 30.0),
        (40.0, 18.0, 30.0),
    ],
)
def test_in_a_dented_envelope_the_span_nearest_the_arm_counts(
    near_in: float, forward_in: float, aft_in: float
) -> None:
    expected_in = pytest.approx((forward_in, aft_in))
    assert limits_in(DENTED, 2300.0, near_in=near_in) == expected_in


def test_without_an_arm_the_widest_span_counts() -> None:
    assert limits_in(DENTED, 2300.0) == pytest.approx((18.0, 30.0))


def test_an_arm_that_is_not_known_has_no_limits() -> None:
    assert np.isnan(arm_limits_in(DENTED, 2300.0, near_in=np.nan)).all()


def test_a_level_ledge_belongs_to_the_wider_part() -> None:
    stepped = shaped((0, 1000), (0, 2000), (5, 2000), (5, 3000), (10, 3000), (10, 1000))
    forward_in, aft_in = arm_limits_in(stepped, [1999.0, 2000.0, 2001.0])
    assert (forward_in.tolist(), aft_in.tolist()) == ([0.0, 0.0, 5.0], [10.0, 10.0, 10.0])


@pytest.mark.parametrize("place", [(2175.0, 40.0), (1600.0, 50.0)])
def test_every_shape_is_answered_in_its_shape(
    holds_on_every_shape: Callable[..., None], place: tuple[float, float]
) -> None:
    def margin(weight_lb: Any, arm_in: Any) -> Any:
        return arm_margin_in(LIMITS, weight_lb, arm_in)

    def limits(weight_lb: Any, arm_in: Any) -> Any:
        return arm_limits_in(LIMITS, weight_lb, near_in=arm_in)

    holds_on_every_shape(margin, *place)
    holds_on_every_shape(limits, *place)


def test_shapes_that_do_not_fit_are_refused() -> None:
    with pytest.raises(ShapeError, match=r"\(2,\), \(3,\)"):
        arm_margin_in(LIMITS, [1.0, 2.0], [1.0, 2.0, 3.0])


@given(
    st.lists(st.tuples(st.integers(0, 12), st.integers(0, 12)), min_size=3, max_size=8),
    st.lists(st.tuples(st.floats(-1, 13), st.floats(-0.5, 12.5)), min_size=1, max_size=20),
)
def test_a_margin_is_not_negative_just_where_the_polygon_covers_the_point(
    corners: list[tuple[int, int]], points: list[tuple[float, float]]
) -> None:
    polygon = shapely.Polygon(corners)
    assume(polygon.is_valid and polygon.area > 0.0)
    limits = shaped(*((float(arm_in), 100.0 + lb) for arm_in, lb in corners))
    for arm_in, lb in points:
        point = shapely.Point(arm_in, lb)
        assume(polygon.boundary.distance(point) > 1e-6)  # on the line both are a matter of noise
        margin_in = float(arm_margin_in(limits, 100.0 + lb, arm_in))
        assert polygon.covers(point) == (margin_in >= 0.0)


@given(st.floats(0, 250), st.floats(0, 250), st.floats(0, 30), st.floats(0, 30))
def test_the_heron_with_two_in_front_stays_in_its_envelope_to_the_last_drop(
    heron: Aircraft, left_lb: float, right_lb: float, fuel_gal: float, trip_gal: float
) -> None:
    assume(left_lb + right_lb >= 100.0)
    at = states(
        heron.loading,
        load_lb={"front": left_lb + right_lb},
        fuel_gal={"left": fuel_gal, "right": fuel_gal},
        taxi_gal=0.0,
        trip_gal=trip_gal,
    )
    for one in (at.ramp, at.landing, at.zero_fuel):
        assert arm_margin_in(heron.loading, one.weight_lb, one.arm_in) >= 0.0

"""Every moment between the ramp and dry tanks, in every order of tanks, against brute force."""

from dataclasses import replace
from math import isnan

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lubberline.aircraft import (
    LoadingLimits,
    Station,
    Tank,
    arm_margin_in,
    burn_paths,
    burned,
    loaded,
    states,
    tightest,
)
from lubberline.arrays import FloatArray
from lubberline.errors import RangeError

UNHURRIED = settings(deadline=None, max_examples=60)
TANKS = (
    Tank(name="nose", arm_in=60.0, usable_gal=40.0),
    Tank(name="main", arm_in=95.0, usable_gal=50.0),
    Tank(name="tail", arm_in=170.0, usable_gal=30.0),
)
LIMITS = LoadingLimits(
    empty_lb=1_500.0,
    empty_arm_in=92.0,
    stations=(Station(name="front", arm_in=85.0),),
    tanks=TANKS,
    max_ramp_lb=3_000.0,
    max_takeoff_lb=3_000.0,
    max_landing_lb=3_000.0,
    max_zero_fuel_lb=None,
    envelope_arm_in=np.array([80.0, 80.0, 86.0, 105.0, 105.0]),
    envelope_lb=np.array([1_400.0, 2_000.0, 3_000.0, 3_000.0, 1_400.0]),
    fuel_lb_per_gal=6.0,
)
SHAPES = {
    "plain": LIMITS,
    # A step at 2,000 lb: above it the front limit jumps from 80 to 90 in.
    "step": replace(
        LIMITS,
        envelope_arm_in=np.array([80.0, 80.0, 90.0, 90.0, 105.0, 105.0]),
        envelope_lb=np.array([1_400.0, 2_000.0, 2_000.0, 3_000.0, 3_000.0, 1_400.0]),
    ),
    # A slanted edge that the curve of the arm comes near to between its ends.
    "slant": replace(
        LIMITS,
        envelope_arm_in=np.array([70.0, 96.0, 120.0, 120.0]),
        envelope_lb=np.array([1_400.0, 3_000.0, 3_000.0, 1_400.0]),
    ),
}
FUEL = st.fixed_dictionaries({tank.name: st.floats(0.0, tank.usable_gal) for tank in TANKS})


def margins_in(
    limits: LoadingLimits, load_lb: float, fuel_gal: dict[str, float], order: list[str]
) -> FloatArray:
    """Margins at a thousand moments of a flight that empties the tanks in this order."""
    aboard_gal, found = sum(fuel_gal.values()), []
    for burn_gal in np.linspace(0.0, aboard_gal, 1_000):
        left_gal = burned(fuel_gal, float(burn_gal), order=order)
        now = loaded(limits, load_lb={"front": load_lb}, fuel_gal=left_gal)
        found.append((now.weight_lb, now.arm_in))
    weight_lb, arm_in = np.array(found).T
    return arm_margin_in(limits, weight_lb, arm_in)


@UNHURRIED
@given(
    st.sampled_from(sorted(SHAPES)),
    st.floats(0.0, 500.0),
    FUEL,
    st.permutations([tank.name for tank in TANKS]),
)
def test_no_moment_of_any_order_is_tighter(
    shape: str, load_lb: float, fuel_gal: dict[str, float], order: list[str]
) -> None:
    limits = SHAPES[shape]
    near = tightest(limits, burn_paths(limits, load_lb={"front": load_lb}, fuel_gal=fuel_gal))
    assert near.margin_in <= margins_in(limits, load_lb, fuel_gal, order).min() + 1e-6


@UNHURRIED
@given(
    st.sampled_from(sorted(SHAPES)),
    st.floats(0.0, 500.0),
    FUEL,
    st.permutations([tank.name for tank in TANKS]),
)
def test_the_tightest_moment_of_an_order_is_met(
    shape: str, load_lb: float, fuel_gal: dict[str, float], order: list[str]
) -> None:
    limits = replace(SHAPES[shape], burn_order=tuple(order))
    (path,) = burn_paths(limits, load_lb={"front": load_lb}, fuel_gal=fuel_gal)
    near = tightest(limits, [path])
    sampled_in = margins_in(limits, load_lb, fuel_gal, order)
    # A thousand moments are up to 0.72 lb apart: the arm moves less than 0.04 in between two.
    assert near.margin_in <= sampled_in.min() + 1e-6
    if shape != "step":  # beside a jump, the sample nearest to it may be on its other side
        assert near.margin_in >= sampled_in.min() - 0.05


def test_a_curve_that_passes_outside_between_its_ends_is_found() -> None:
    # The arm is 95 - 36,000 / W: 77.0 in at 2,000 lb, 72.5 in at 1,600 lb, and between the two it
    # bulges aft of the straight line. An edge 0.1 in aft of both ends is passed in between.
    tank = Tank(name="main", arm_in=95.0, usable_gal=100.0)
    limits = replace(
        LIMITS,
        empty_lb=1_600.0,
        empty_arm_in=72.5,
        tanks=(tank,),
        envelope_arm_in=np.array([60.0, 60.0, 77.1, 72.6]),
        envelope_lb=np.array([1_600.0, 2_000.0, 2_000.0, 1_600.0]),
    )
    (path, _) = burn_paths(limits, load_lb={}, fuel_gal={"main": 400.0 / 6.0})
    ends_in = [float(arm_margin_in(limits, one.weight_lb, one.arm_in)) for one in path]
    assert min(ends_in) == pytest.approx(0.1)
    near = tightest(limits, [path])
    # The distance turns at W squared = 36,000 lb-in times 400 lb / 4.5 in: 1,788.9 lb.
    assert near.loaded.weight_lb == pytest.approx(np.sqrt(36_000.0 * 400.0 / 4.5), rel=1e-6)
    assert near.margin_in == pytest.approx(
        72.6 + 188.8544 * 4.5 / 400.0 - (95.0 - 20.12461), abs=1e-4
    )
    assert near.margin_in < 0.0


def test_a_limit_that_jumps_is_met_just_beyond_the_jump() -> None:
    # Everything lies at 85 in: inside up to 2,000 lb, outside above it.
    limits = replace(
        SHAPES["step"], empty_arm_in=85.0, tanks=(Tank(name="main", arm_in=85.0, usable_gal=90.0),)
    )
    (path, _) = burn_paths(limits, load_lb={}, fuel_gal={"main": 500.0 / 6.0})
    assert tightest(limits, [path]).margin_in == pytest.approx(5.0)
    (path, _) = burn_paths(limits, load_lb={"front": 0.01}, fuel_gal={"main": 500.0 / 6.0})
    assert tightest(limits, [path]).margin_in == pytest.approx(-5.0, abs=1e-3)


def test_an_envelope_that_does_not_reach_the_weight_is_not_known() -> None:
    short = replace(LIMITS, envelope_lb=np.array([1_600.0, 2_000.0, 3_000.0, 3_000.0, 1_600.0]))
    near = tightest(short, burn_paths(short, load_lb={}, fuel_gal={"main": 40.0}))
    assert isnan(near.margin_in)
    assert near.loaded.weight_lb == pytest.approx(1_500.0)


def test_what_is_drawn_as_planned_comes_first() -> None:
    fuel_gal = {"nose": 20.0, "tail": 10.0}
    forward, _ = burn_paths(
        LIMITS, load_lb={}, fuel_gal=fuel_gal, draws=[("tail", 4.0), ("nose", 5.0)]
    )
    weights_lb = [one.weight_lb for one in forward]
    assert weights_lb[:3] == [1_680.0, 1_656.0, 1_626.0]
    assert weights_lb[-1] == 1_500.0
    with pytest.raises(RangeError, match="fuel_gal of tail is -1"):
        burn_paths(LIMITS, load_lb={}, fuel_gal=fuel_gal, draws=[("tail", 11.0)])


@UNHURRIED
@given(FUEL, st.lists(st.floats(0.0, 150.0), min_size=2, max_size=6))
def test_burning_fuel_never_raises_the_weight(
    fuel_gal: dict[str, float], burns_gal: list[float]
) -> None:
    for names in ([], ["tail", "nose", "main"]):
        weights_lb = [
            loaded(LIMITS, load_lb={}, fuel_gal=burned(fuel_gal, gal, order=names)).weight_lb
            for gal in sorted(burns_gal)
        ]
        assert all(np.diff(weights_lb) <= 1e-9)
    for path in burn_paths(LIMITS, load_lb={"front": 170.0}, fuel_gal=fuel_gal):
        assert all(np.diff([one.weight_lb for one in path]) <= 1e-9)


def test_the_order_of_the_manual_decides_what_is_left_for_the_landing() -> None:
    fuel_gal = {"nose": 10.0, "main": 20.0, "tail": 10.0}
    ordered = replace(LIMITS, burn_order=("tail", "nose", "main"))
    at = states(ordered, load_lb={}, fuel_gal=fuel_gal, taxi_gal=2.0, trip_gal=13.0)
    left = loaded(LIMITS, load_lb={}, fuel_gal={"nose": 5.0, "main": 20.0})
    assert at.landing == left

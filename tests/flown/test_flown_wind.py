"""The wind is found with a doubt that holds, or it is not known."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lubberline.arrays import FloatArray
from lubberline.errors import ShapeError
from lubberline.flown.wind import covered_deg, wind_by_courses, wind_by_heading

EAST_KT, NORTH_KT, AIRSPEED_KT = 12.0, -9.0, 105.0


def flown(
    headings_deg: FloatArray, rng: np.random.Generator, noise_kt: float = 1.0
) -> tuple[FloatArray, FloatArray]:
    """Ground velocities on these headings, each component with this noise."""
    heading = np.radians(headings_deg)
    noise = rng.normal(0.0, noise_kt, (2, len(headings_deg)))
    return (
        AIRSPEED_KT * np.sin(heading) + EAST_KT + noise[0],
        AIRSPEED_KT * np.cos(heading) + NORTH_KT + noise[1],
    )


@pytest.mark.parametrize("covered", [75.0, 120.0, 360.0])
def test_nine_in_ten_truths_lie_within_the_stated_interval(covered: float) -> None:
    rng = np.random.default_rng(11)
    inside = []
    for _ in range(300):
        headings_deg = rng.uniform(0.0, 360.0) + np.linspace(0.0, covered, 120)
        wind = wind_by_courses(*flown(headings_deg, rng))
        assert wind is not None
        inside.append(abs(wind.airspeed_kt - AIRSPEED_KT) <= 1.645 * wind.airspeed_sigma_kt)
    assert 0.86 <= np.mean(inside) <= 0.97


def test_a_full_turn_gives_the_wind_within_a_knot() -> None:
    rng = np.random.default_rng(12)
    for _ in range(50):
        wind = wind_by_courses(*flown(np.linspace(0.0, 360.0, 60), rng))
        assert wind is not None
        assert np.hypot(wind.east_kt - EAST_KT, wind.north_kt - NORTH_KT) < 1.0
        assert wind.sigma_kt < 0.5


def test_a_few_wild_velocities_change_little() -> None:
    rng = np.random.default_rng(13)
    east_kt, north_kt = flown(np.linspace(0.0, 360.0, 60), rng, noise_kt=0.3)
    east_kt[::12] += 40.0
    wind = wind_by_courses(east_kt, north_kt)
    plain = wind_by_courses(east_kt, north_kt, robust=False)
    assert wind is not None
    assert plain is not None
    assert abs(wind.east_kt - EAST_KT) < 1.0 < abs(plain.east_kt - EAST_KT)


@pytest.mark.parametrize("covered", [0.0, 10.0, 45.0])
def test_one_course_says_nothing(covered: float) -> None:
    rng = np.random.default_rng(14)
    assert wind_by_courses(*flown(np.linspace(90.0, 90.0 + covered, 200), rng)) is None


def test_standing_still_says_nothing() -> None:
    rng = np.random.default_rng(15)
    assert wind_by_courses(*rng.normal(0.0, 0.3, (2, 100))) is None


@pytest.mark.parametrize("count", [0, 1, 2])
def test_fewer_than_three_velocities_say_nothing(count: int) -> None:
    assert wind_by_courses([100.0] * count, [0.0] * count) is None


def test_unknown_velocities_are_left_out() -> None:
    east_kt, north_kt = flown(np.linspace(0.0, 300.0, 30), np.random.default_rng(16))
    holes = np.full(30, np.nan)
    with_holes = wind_by_courses([*east_kt, *holes], [*north_kt, *holes])
    assert with_holes == wind_by_courses(east_kt, north_kt)


def test_samples_that_are_worth_less_leave_more_doubt() -> None:
    velocities = flown(np.linspace(0.0, 300.0, 100), np.random.default_rng(17))
    all_worth, tenth = wind_by_courses(*velocities), wind_by_courses(*velocities, worth_count=10.0)
    assert all_worth is not None
    assert tenth is not None
    assert tenth.sigma_kt > 3.0 * all_worth.sigma_kt


def test_heading_and_airspeed_give_the_wind_by_each_sample() -> None:
    headings_deg = np.array([10.0, 170.0, np.nan])
    east_kt, north_kt = flown(np.nan_to_num(headings_deg), np.random.default_rng(18), 0.0)
    wind_east_kt, wind_north_kt = wind_by_heading(east_kt, north_kt, headings_deg, [105.0] * 3)
    np.testing.assert_allclose(wind_east_kt, [EAST_KT, EAST_KT, np.nan])
    np.testing.assert_allclose(wind_north_kt, [NORTH_KT, NORTH_KT, np.nan])


@pytest.mark.parametrize(
    ("directions_deg", "arc_deg"),
    [([0.0], 0.0), ([350.0, 10.0], 20.0), ([0.0, 90.0, 180.0], 180.0), ([0, 120, 240], 240.0)],
)
def test_the_arc_that_holds_all_directions(directions_deg: list[float], arc_deg: float) -> None:
    assert covered_deg(directions_deg) == pytest.approx(arc_deg)


def test_columns_that_do_not_fit_are_refused() -> None:
    with pytest.raises(ShapeError):
        wind_by_courses([1.0], [1.0, 2.0])


@given(st.lists(st.tuples(st.floats(-1e4, 1e4), st.floats(-1e4, 1e4)), max_size=12))
def test_any_velocities_give_a_finite_wind_or_none(velocities: list[tuple[float, float]]) -> None:
    wind = wind_by_courses([east for east, _ in velocities], [north for _, north in velocities])
    if wind is not None:
        assert np.isfinite([wind.wind_kt, wind.sigma_kt, wind.airspeed_kt]).all()
        assert 0.0 <= wind.from_true_deg < 360.0


def test_airspeeds_that_differ_between_courses_widen_the_doubt() -> None:
    rng = np.random.default_rng(15)
    velocities = flown(np.linspace(0.0, 360.0, 360), rng)
    held, loose = (
        wind_by_courses(*velocities, worth_count=45.0, held_sigma_kt=sigma) for sigma in (0.0, 2.0)
    )
    assert held is not None
    assert loose is not None
    assert 0.7 <= np.sqrt(loose.sigma_kt**2 - held.sigma_kt**2) <= 1.0  # 2 sqrt(2/12) = 0.82

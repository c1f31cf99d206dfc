"""What every function on arrays needs: the same answers as the library's slower ways."""

import numpy as np
import pytest

from lubberline.arrays import median, wrap_360_deg


@pytest.mark.parametrize("count", [1, 2, 3, 8, 101])
def test_the_median_is_the_librarys(count: int) -> None:
    values = np.random.default_rng(count).normal(0.0, 1.0, count)
    assert median(values) == np.median(values)


def test_a_median_of_what_is_not_known_is_not_known() -> None:
    assert np.isnan(median(np.empty(0)))
    assert np.isnan(median(np.array([1.0, np.nan, 2.0])))


def test_a_direction_is_wrapped_as_the_remainder_says() -> None:
    angle_deg = np.concatenate([
        np.random.default_rng(1).uniform(-360.0, 720.0, 1000),
        [-360.0, -1e-20, -0.0, 0.0, 360.0, 719.999, 720.0, np.nan],
    ])  # fmt: skip
    wanted_deg = np.mod(angle_deg, 360.0)
    wanted_deg[wanted_deg >= 360.0] = 0.0
    np.testing.assert_array_equal(wrap_360_deg(angle_deg), wanted_deg)
    assert not np.signbit(wrap_360_deg([-0.0, -360.0])).any()
    assert wrap_360_deg(-1_234.5) == pytest.approx(205.5)

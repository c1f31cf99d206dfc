"""The smoothed motion: against the exact answer of one dense fit, and by its stated doubt."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from flown_flights import cross_country, recorded

from lubberline.arrays import FloatArray
from lubberline.flown._smoother import _compiled, smoothed
from lubberline.flown.motion import flown_motion
from lubberline.recording import Track


def exact(
    time_s: FloatArray, values: FloatArray, noise: float, density: float
) -> tuple[FloatArray, FloatArray]:
    """Mean and variance of the positions, by one dense solution of all equations at once."""
    count = time_s.size
    information = np.zeros((3 * count, 3 * count))
    pull = np.zeros(3 * count)
    for k in range(count):
        information[3 * k, 3 * k] += 1.0 / noise**2
        pull[3 * k] += values[k] / noise**2
    for k, t in enumerate(np.diff(time_s)):
        step = np.array([[1.0, t, t**2 / 2.0], [0.0, 1.0, t], [0.0, 0.0, 1.0]])
        jerk = density * np.array([
            [t**5 / 20.0, t**4 / 8.0, t**3 / 6.0],
            [t**4 / 8.0, t**3 / 3.0, t**2 / 2.0],
            [t**3 / 6.0, t**2 / 2.0, t],
        ])  # fmt: skip
        link = np.hstack([-step, np.eye(3)])
        rows = slice(3 * k, 3 * k + 6)
        information[rows, rows] += link.T @ np.linalg.inv(jerk) @ link
    covariance = np.linalg.inv(information)
    return (covariance @ pull)[::3], np.diag(covariance)[::3]


def test_the_smoother_gives_the_exact_answer_also_where_pieces_meet() -> None:
    rng = np.random.default_rng(2)
    time_s = np.cumsum(rng.uniform(0.5, 2.0, 300))
    values = 50.0 * np.sin(time_s / 20.0) + rng.normal(0.0, 2.0, 300)
    mean, variance = smoothed(time_s, values[None], np.array([4.0]), np.array([0.5]))
    true_mean, true_variance = exact(time_s, values, 2.0, 0.5)
    assert mean[0, 0, 5:-5] == pytest.approx(true_mean[5:-5], abs=2e-3)
    assert variance[0, 0, 5:-5] == pytest.approx(true_variance[5:-5], rel=1e-3)


def test_loops_are_compiled_where_nothing_can_be_kept() -> None:
    made: dict[str, Callable[[float], float]] = {}
    exec("def twice(x):\n    return 2.0 * x", made)  # code of no file has no place beside it
    assert _compiled(made["twice"])(2.0) == 4.0


def test_a_gap_widens_the_doubt() -> None:
    whole = recorded(cross_country(cruise_s=300.0).trace()).track
    kept = np.abs(np.arange(len(whole)) - 400) > 15
    names = ("time_s", "lat_deg", "lon_deg", "gnss_ft", "pressure_ft")
    gapped = replace(whole, **{name: getattr(whole, name)[kept] for name in names})
    found = flown_motion(gapped)
    edge = int(np.argmax(np.diff(found.time_s)))
    assert found.place_sigma_ft[edge] > 1.3 * np.median(found.place_sigma_ft)
    assert found.climb_sigma_fpm[edge] > 1.3 * np.median(found.climb_sigma_fpm)


@pytest.mark.parametrize("every_s", [0.04, 0.2, 1.0, 2.0, 5.0])
def test_place_and_speed_lie_within_their_doubt_at_any_rate(every_s: float) -> None:
    trace = cross_country(cruise_s=300.0).trace()
    found = flown_motion(recorded(trace, every_s=every_s).track)
    true_ft = np.interp(found.time_s, trace.time_s, trace.msl_ft)
    off = np.abs(found.height_ft - true_ft)[20:-20] / found.height_sigma_ft[20:-20]
    assert 0.75 <= np.mean(off <= 1.645) <= 1.0
    speed_kt = np.hypot(np.gradient(trace.east_nm, 0.1), np.gradient(trace.north_nm, 0.1)) * 3600
    true_kt = np.interp(found.time_s, trace.time_s, speed_kt)
    steady = slice(20, -20)
    wrong = np.abs(found.ground_kt - true_kt)[steady] / found.ground_sigma_kt[steady]
    assert 0.75 <= np.mean(wrong <= 1.645) <= 1.0


def test_nothing_is_made_up_without_heights() -> None:
    track = recorded(cross_country(cruise_s=60.0).trace(), pressure_shift_ft=None).track
    found = flown_motion(track)
    assert np.isnan(found.height_ft).all()
    assert np.isfinite(found.ground_kt).all()


def test_recorded_attitude_is_taken_over_the_turn() -> None:
    whole = recorded(cross_country(cruise_s=60.0).trace()).track
    level: Track = replace(whole, channels={"bank_deg": np.full(len(whole), 12.0)})
    found = flown_motion(level)
    assert found.bank_by == "attitude"
    assert found.bank_deg == pytest.approx(12.0)

"""What satellites alone show: the stated intervals hold nine truths in ten.

Heights and places wander over minutes and scatter from sample to sample; there is no airspeed and
no attitude. Two hundred new flights are flown by ``make truth``; a few in every run of the tests.
"""

import os
from collections import defaultdict

import numpy as np
import pytest
from truth_airplane import AIM_FT
from truth_flights import Habits
from truth_judged import Judged, judged, value
from truth_make import Truth, fly, random_flight, read
from truth_recorders import NOISY

COUNT = int(os.environ.get("LUBBERLINE_TRUTH", "0"))
SIGMAS = 1.645  # 90 % of a normal distribution: JCGM 100:2008, table G.1
PLANE_SIGMAS = 2.146  # likewise of two components: the root of 2 ln 10
LEAST = 0.90 if COUNT >= 200 else 0.70  # of few samples, chance takes more


def flights() -> list[Truth]:
    if not COUNT:
        return [one for one in read() for _ in range(2)]
    found = []
    for seed in range(10_000, 20_000):
        try:
            found.append(random_flight(seed))
        except RuntimeError:  # a part that these simple hands did not end in time
            continue
        if len(found) == COUNT:
            break
    journeys = [one for one in read() if len(one.events) == 2]
    return [*found, *journeys]  # circuits alone show no wind


@pytest.fixture(scope="module")
def cases() -> list[Judged]:
    return [judged(truth, NOISY, seed=7 + seed) for seed, truth in enumerate(flights())]


@pytest.fixture(scope="module")
def errors(cases: list[Judged]) -> dict[str, list[tuple[float, float]]]:
    """Error and sigma of every measure that has a truth."""
    found: dict[str, list[tuple[float, float]]] = defaultdict(list)
    for case in cases:
        if case.found != case.expected:
            continue
        sigmas = {one.time_s: one.sigma_s for one in case.flown.movements}
        for one, event in case.pairs("landing", "touch-and-go"):
            found["touchdown time"].append((one.time_s - event.time_s, sigmas[one.time_s]))
            for name, true_ft in (
                ("touchdown_threshold", event.along_ft), ("touchdown_centerline", event.right_ft),
            ):  # fmt: skip
                measured_ft, sigma_ft = value(one, name)
                found[name].append((measured_ft - true_ft, sigma_ft))
            sink_fpm, sigma_fpm = value(one, "touchdown_sink")
            true_fpm = case.column("wheel_ft", event.time_s - 2.5) / 2.5 * 60.0
            found["touchdown_sink"].append((sink_fpm - true_fpm, sigma_fpm))
        for one, event in case.pairs("take-off"):
            found["lift-off time"].append((one.time_s - event.time_s, sigmas[one.time_s]))
            measured_ft, sigma_ft = value(one, "liftoff_point")
            found["liftoff_point"].append((measured_ft - event.along_ft, sigma_ft))
        for one, event in case.pairs("go-around"):
            height_ft, sigma_ft = value(one, "go_around_decision")
            true_ft = case.column("wheel_ft", event.time_s)
            found["go_around_decision"].append((height_ft - true_ft, sigma_ft))
        for wind in case.flown.winds:
            apart_rad = np.radians(wind.from_true_deg - case.truth.wind_from_deg)
            across = np.array([np.cos(apart_rad), np.sin(apart_rad)]) * wind.wind_kt
            off_kt = float(np.hypot(across[0] - case.truth.wind_kt, across[1]))
            found["wind"].append((off_kt * SIGMAS / PLANE_SIGMAS, wind.sigma_kt))
    return found


def test_nearly_all_flights_are_read_as_they_were_flown(cases: list[Judged]) -> None:
    assert np.mean([case.found == case.expected for case in cases]) >= 0.9


@pytest.mark.parametrize(
    "name",
    [
        *("touchdown time", "touchdown_threshold", "touchdown_centerline", "touchdown_sink"),
        *("lift-off time", "liftoff_point", "go_around_decision", "wind"),
    ],
)
def test_nine_truths_in_ten_lie_in_the_stated_interval(
    errors: dict[str, list[tuple[float, float]]], name: str
) -> None:
    error, sigma = np.array(errors[name]).T
    known = np.isfinite(error)
    assert known.mean() >= 0.9
    assert np.mean(np.abs(error[known]) <= SIGMAS * sigma[known]) >= LEAST


def test_a_flight_can_be_flown_anew() -> None:
    again = fly(wind=(100.0, 9.0, 1.0), habits=Habits(), seed=5, endings=("full stop",))
    assert [one.kind for one in again.events] == ["leave", "touch"]
    assert again.events[-1].along_ft == pytest.approx(AIM_FT, abs=500.0)

"""Other airplanes, runways and days: what nobody expects is debriefed as it was flown."""

import numpy as np
from flown_flights import recorded
from flown_patterns import Pattern, Speeds
from test_flown_debrief import PRIVATE

from lubberline.flown import Aims, Flown, Measured, debrief
from lubberline.recording import Recording


def judged(pattern: Pattern, recording: Recording) -> Flown:
    return debrief(
        recording, places=pattern.places(), pledge=None, standard=PRIVATE,
        aims=Aims(final_ias_kt=65.0, point_ft=800.0),
    )  # fmt: skip


def value(one: Measured, name: str) -> tuple[float, float]:
    """A finding's value and sigma; NaN where it is not known."""
    found = next(f for f in one.findings if f.limit.key == f"flown.{name}")
    return (np.nan if found.value is None else found.value), found.sigma


def hover() -> Pattern:
    """Up into a hover, once around, down into a hover, and set down."""
    pattern = Pattern(speeds=Speeds(climb_fpm=500.0)).stay(60.0).air(5.0, 4.0).air(5.0, 20.0)
    pattern.air(10.0, 10.0, kt=40.0).air(300.0, 40.0, kt=75.0).around().final(until_ft=100.0)
    pattern.air(20.0, 25.0, kt=15.0).air(5.0, 10.0, kt=0.0).air(5.0, 20.0).air(0.0, 4.0)
    return pattern.stay(90.0)


def test_an_arrival_in_a_hover_has_no_roll_to_measure() -> None:
    pattern = hover()
    flown = judged(pattern, recorded(pattern.trace()))
    assert [one.kind for one in flown.measured] == ["take-off", "landing"]
    assert np.isnan(value(flown.measured[-1], "rollout")[0])
    assert np.isnan(value(flown.measured[-1], "braking")[0])

"""Heights that the flight asked not to leave are kept or not, with the moment of the worst."""

from pathlib import Path

import numpy as np
import pytest
from flown_flights import NO_PLACES, cross_country, pledge_of, recorded

from lubberline.flown import debrief, read_standard
from lubberline.flown.measures import Aims
from lubberline.line import Finding

STANDARDS = Path(__file__).parents[2] / "src" / "lubberline" / "demo" / "files" / "standards"
PRIVATE = read_standard(STANDARDS / "private.toml")


def bump_ft(since_s: np.ndarray) -> np.ndarray:
    """Up by 200 ft, ten minutes later down by 300 ft, each for two minutes of the cruise."""
    up = np.where((since_s > 800.0) & (since_s < 920.0), 200.0, 0.0)
    down = np.where((since_s > 1_400.0) & (since_s < 1_520.0), -300.0, 0.0)
    return np.convolve(up + down, np.full(201, 1.0 / 201.0), "same")


TRACE = cross_country().trace().with_excursion(bump_ft)  # at 4,500 ft


def found(
    *, not_above_msl_ft: float | None = None, not_below_msl_ft: float | None = None
) -> dict[str, Finding]:
    flown = debrief(
        recorded(TRACE), places=NO_PLACES, pledge=pledge_of(TRACE), standard=PRIVATE,
        aims=Aims(not_above_msl_ft=not_above_msl_ft, not_below_msl_ft=not_below_msl_ft),
    )  # fmt: skip
    keys = ("flown.height_above", "flown.height_below")
    return {one.limit.key: one for one in flown.findings if one.limit.key in keys}


def test_the_highest_is_left_by_so_much() -> None:
    above = found(not_above_msl_ft=4_600.0)["flown.height_above"]
    assert above.value == pytest.approx(100.0, abs=10.0)
    assert str(above.verdict) == "outside"


def test_climb_and_descent_lie_below_the_lowest_and_are_no_breach() -> None:
    below = found(not_below_msl_ft=4_300.0)["flown.height_below"]
    assert below.value == pytest.approx(-100.0, abs=10.0)
    kept = found(not_below_msl_ft=4_000.0)["flown.height_below"]
    assert kept.value == pytest.approx(200.0, abs=15.0)
    assert str(kept.verdict) == "inside"


def test_a_height_never_reached_is_left_all_along() -> None:
    below = found(not_below_msl_ft=6_000.0)["flown.height_below"]
    assert below.value == pytest.approx(-1_800.0, abs=15.0)


def test_nothing_is_asked_of_a_flight_that_asks_nothing() -> None:
    assert found() == {}

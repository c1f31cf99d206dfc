"""Draws of a flight: against the same flight flown one at a time, and against known spreads."""

from dataclasses import replace
from datetime import timedelta
from math import cos, radians, sin, sqrt

import numpy as np
import pytest

from lubberline import loop
from lubberline.demo import write_folder
from lubberline.fit import appointment, fit_sentence
from lubberline.fit.appointment import (
    NEVER_MIN,
    WIND_SIGMA_KT,
    Draws,
    appointment_finding,
    closing_finding,
    draw,
)
from lubberline.line import Verdict
from lubberline.loop import Prepared


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Prepared:
    return loop.prepare(write_folder(tmp_path_factory.mktemp("draws") / "folder"), None)


def test_the_same_flight_has_the_same_draws(demo: Prepared) -> None:
    once, again = draw(demo.plan, demo.way), draw(demo.plan, demo.way)
    assert np.array_equal(once.block_min, again.block_min)
    assert np.array_equal(once.used_gal, again.used_gal)


def test_the_median_is_the_plan(demo: Prepared) -> None:
    flight = demo.plan.flight
    planned_min = flight.taxi_out_min + demo.way.time_min + flight.pattern_min + flight.taxi_in_min
    assert draw(demo.plan, demo.way).sure_min(0.5) == pytest.approx(planned_min, abs=0.5)


def test_each_draw_is_the_flight_flown_alone_in_its_own_wind(demo: Prepared) -> None:
    """Vectors added by hand: speed along the course that leaves no drift, leg by leg."""
    error_kt = np.random.default_rng(1).normal(0.0, WIND_SIGMA_KT, (2, 50))
    leg_min = appointment._leg_min(demo.way, error_kt)
    for number in range(50):
        for leg, found_min in zip(demo.way.legs, leg_min[number], strict=True):
            from_rad, course_rad = radians(leg.wind_from_true_deg), radians(leg.true_deg)
            east = -leg.wind_kt * sin(from_rad) + error_kt[0, number]
            north = -leg.wind_kt * cos(from_rad) + error_kt[1, number]
            along = east * sin(course_rad) + north * cos(course_rad)
            across = east * cos(course_rad) - north * sin(course_rad)
            ground_kt = sqrt(leg.tas_kt**2 - across**2) + along
            assert found_min == pytest.approx(leg.distance_nm / ground_kt * 60.0)


def test_taxi_alone_spreads_as_the_log_normal_that_it_is(
    demo: Prepared, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Quantiles of a log-normal: median times exp(1.6449 sigma) at 95 %."""
    monkeypatch.setattr(appointment, "WIND_SIGMA_KT", 0.0)
    flight = demo.plan.flight
    draws = draw(demo.plan, demo.way)
    still_min = draws.block_min.min() * 0.0 + demo.way.time_min + flight.pattern_min
    taxi_min = draws.sure_min(0.95) - float(still_min)
    planned_min = flight.taxi_out_min + flight.taxi_in_min
    assert taxi_min == pytest.approx(planned_min * np.exp(1.6449 * 0.3), rel=0.02)


def test_a_wind_that_cannot_be_flown_never_arrives(demo: Prepared) -> None:
    slow = replace(demo.way, legs=tuple(replace(leg, tas_kt=10.0) for leg in demo.way.legs))
    draws = draw(demo.plan, slow)
    assert (draws.block_min >= NEVER_MIN).any()
    assert draws.chance_fraction(1e6) < 1.0


@pytest.mark.parametrize(
    ("hand_min", "verdict"),
    [(30.0, Verdict.OUTSIDE), (50.5, Verdict.CLOSE), (80.0, Verdict.INSIDE)],
)
def test_the_appointment_is_close_while_luck_decides(
    demo: Prepared, hand_min: float, verdict: Verdict
) -> None:
    draws = Draws(
        block_min=np.random.default_rng(2).normal(50.0, 5.0, 20_000), used_gal=np.full(20_000, 8.0)
    )
    arrive_by_utc = demo.plan.flight.off_block_utc + timedelta(minutes=hand_min)
    finding = appointment_finding(demo.plan, draws, arrive_by_utc)
    assert finding.verdict is verdict
    assert finding.sigma == pytest.approx(5.0, rel=0.03)
    assert "latest off block" in finding.note


def test_draws_never_say_always(demo: Prepared) -> None:
    draws = Draws(block_min=np.full(100, 40.0), used_gal=np.full(100, 8.0))
    late_utc = demo.plan.flight.off_block_utc + timedelta(minutes=39)
    early_utc = demo.plan.flight.off_block_utc + timedelta(minutes=41)
    assert "under 1 %" in appointment_finding(demo.plan, draws, late_utc).where
    assert "over 99 %" in appointment_finding(demo.plan, draws, early_utc).where


@pytest.mark.parametrize(("early_min", "verdict"), [(1.0, "inside"), (-1.0, "outside")])
def test_what_closes_is_an_end_as_hard_as_an_appointment(
    demo: Prepared, early_min: float, verdict: str
) -> None:
    draws = Draws(block_min=np.full(100, 40.0), used_gal=np.full(100, 8.0))
    closes_utc = demo.plan.flight.off_block_utc + timedelta(minutes=40.0 + early_min)
    finding = closing_finding(demo.plan, draws, closes_utc)
    assert finding.limit.key == "flight.closing"
    assert finding.verdict == verdict
    assert finding.value == pytest.approx(early_min)
    late = fit_sentence([finding]).startswith("No, not in time")
    assert late is (verdict == "outside")

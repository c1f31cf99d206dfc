"""Phases held to simulated flights: right nearly all of the time, boundaries within their doubt."""

import numpy as np
import pytest
from truth_judged import Judged, judged
from truth_make import read
from truth_phases import changes, named_at, true_phases
from truth_recorders import CLEAN, NOISY

TRUTHS = read()
CLEAN_CASES = [judged(truth, CLEAN, seed=seed) for seed, truth in enumerate(TRUTHS)]
NOISY_CASES = [judged(truth, NOISY, seed=50 + seed) for seed, truth in enumerate(TRUTHS)]
SIGMAS = 1.645  # 90 % of a normal distribution: JCGM 100:2008, table G.1
LEFT = (0, 2, 5, 8)  # the flights with left-hand patterns
STOPS = (7, 8)  # a stop of eight seconds on the runway, and one of half a minute
LEGS = ("crosswind", "downwind", "base")


def right(case: Judged) -> float:
    """Share of the time in which the phase found is the true one; a silent run-up is a stop."""
    found = named_at(case.flown.phases, case.truth.columns["time_s"])
    true = true_phases(case.truth)
    if "rpm" not in case.flown.recording.track.channels:
        true = ["parked" if name == "run-up" else name for name in true]
    return float(np.mean([a == b for a, b in zip(found, true, strict=True)]))


@pytest.mark.parametrize("number", range(len(TRUTHS)))
def test_phases_are_right_for_98_percent_of_the_time(number: int) -> None:
    assert right(CLEAN_CASES[number]) >= 0.98


@pytest.mark.parametrize("number", range(len(TRUTHS)))
def test_and_for_95_percent_from_satellites_alone(number: int) -> None:
    assert right(NOISY_CASES[number]) >= 0.95


@pytest.mark.parametrize("number", range(len(TRUTHS)))
def test_the_phases_come_in_the_order_in_which_they_were_flown(number: int) -> None:
    truth = TRUTHS[number]
    true = [name for name, _ in changes(true_phases(truth), truth.columns["time_s"])]
    assert [one.name for one in CLEAN_CASES[number].flown.phases] == true


@pytest.mark.parametrize("number", range(len(TRUTHS)))
def test_each_leg_knows_its_side(number: int) -> None:
    case = CLEAN_CASES[number]
    side = "left" if number in LEFT else "right"
    assert {one.side for one in case.flown.phases if one.name in LEGS} == {side}
    assert {one.side for one in case.flown.phases if one.name not in LEGS} == {""}


@pytest.mark.parametrize("cases", [CLEAN_CASES, NOISY_CASES], ids=["clean", "satellites"])
def test_nine_boundaries_in_ten_lie_in_their_doubt(cases: list[Judged]) -> None:
    inside = []
    for case in cases:
        time_s = case.truth.columns["time_s"]
        true = changes(true_phases(case.truth), time_s)
        for one in case.flown.phases[1:]:
            off_s = [abs(one.start_s - at_s) for name, at_s in true if name == one.name]
            inside.append(min(off_s, default=np.inf) <= SIGMAS * one.start_sigma_s)
    assert np.mean(inside) >= 0.9


@pytest.mark.parametrize("cases", [CLEAN_CASES, NOISY_CASES], ids=["clean", "satellites"])
def test_a_stop_and_go_is_one_and_no_other_landing_is(cases: list[Judged]) -> None:
    for number, case in enumerate(cases):
        marked = [one.kind for one in case.flown.movements if one.stop_and_go]
        assert marked == (["landing"] if number in STOPS else [])


@pytest.mark.parametrize("number", STOPS)
def test_the_run_up_is_where_the_engine_ran_up(number: int) -> None:
    case = CLEAN_CASES[number]
    time_s = case.truth.columns["time_s"]
    true = dict(changes(true_phases(case.truth), time_s))
    one = next(one for one in case.flown.phases if one.name == "run-up")
    assert one.start_s == pytest.approx(true["run-up"], abs=5.0)
    assert one.end_s - one.start_s == pytest.approx(25.0, abs=5.0)


def test_without_an_engine_channel_no_run_up_is_claimed() -> None:
    for case in NOISY_CASES:
        assert "run-up" not in {one.name for one in case.flown.phases}
    for number in STOPS:
        assert any("was a run-up" in one for one in NOISY_CASES[number].flown.account)
        assert not any("was a run-up" in one for one in CLEAN_CASES[number].flown.account)

"""Margins and verdicts, checked against the tolerances published for flying tests."""

import json
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lubberline.errors import RangeError
from lubberline.line import (
    Basis,
    Finding,
    Limit,
    Verdict,
    counts,
    finding_from_record,
    finding_record,
    unknown,
    verdict_sentence,
    worst_first,
)


def limit(
    low: float | None = None,
    high: float | None = None,
    target: float | None = None,
    buffer: float = 0.0,
    key: str = "flight.test",
) -> Limit:
    basis: Basis = "own"
    return Limit(
        key=key,
        label=key,
        unit="ft",
        basis=basis,
        source="own",
        low=low,
        high=high,
        target=target,
        buffer=buffer,
    )


def verdict(bound: Limit, value: float, sigma: float = 0.0) -> Verdict:
    return Finding(limit=bound, value=value, sigma=sigma).verdict


@pytest.mark.parametrize(
    ("low", "high", "value", "expected"),
    [
        # FAA-S-ACS-7B CA.IV.F.S10, "within 100 ft beyond or on the specified point".
        (0.0, 100.0, -1.0, "outside"),
        (0.0, 100.0, 0.0, "inside"),
        (0.0, 100.0, 100.0, "inside"),
        (0.0, 100.0, 101.0, "outside"),
        # FAA-S-ACS-6C PA.IV.A.S11, Vy +10/-5 kt, round 79 kt.
        (74.0, 89.0, 73.9, "outside"),
        (74.0, 89.0, 74.0, "inside"),
        (74.0, 89.0, 89.0, "inside"),
        (74.0, 89.0, 89.1, "outside"),
        # FAA-S-ACS-6C PA.IX.A.S4, +0/-10 kt, round 150 kt.
        (140.0, 150.0, 150.0, "inside"),
        (140.0, 150.0, 150.1, "outside"),
        # FAA-S-ACS-7B CA.VII.A.S5, +5/-0 kt, round 60 kt.
        (60.0, 65.0, 60.0, "inside"),
        (60.0, 65.0, 59.9, "outside"),
        # FAA-S-ACS-6C PA.VI.A.S7, altitude +/-200 ft: exactly at the bound is inside.
        (-200.0, 200.0, -200.0, "inside"),
        (-200.0, 200.0, 200.1, "outside"),
    ],
)
def test_published_tolerances_hold_at_both_ends(
    low: float, high: float, value: float, expected: str
) -> None:
    assert verdict(limit(low, high), value) == expected


def test_doubt_that_reaches_the_limit_is_close() -> None:
    assert verdict(limit(high=15.0), 13.0, sigma=1.1) is Verdict.CLOSE
    assert verdict(limit(high=15.0), 13.0, sigma=0.9) is Verdict.INSIDE


def test_the_own_buffer_makes_it_close() -> None:
    assert verdict(limit(high=15.0, buffer=3.0), 13.0) is Verdict.CLOSE
    assert verdict(limit(high=15.0, buffer=2.0), 13.0) is Verdict.INSIDE


def test_doubt_never_excuses_a_value_beyond_the_limit() -> None:
    assert verdict(limit(high=15.0), 15.1, sigma=5.0) is Verdict.OUTSIDE


def test_arithmetic_noise_at_the_limit_stays_inside() -> None:
    assert verdict(limit(high=0.3), 0.1 + 0.2) is Verdict.INSIDE


def test_asymmetric_steps_are_measured_on_their_own_side() -> None:
    bound = limit(74.0, 89.0, target=79.0)
    assert bound.steps(79.0) == pytest.approx(1.0)
    assert bound.steps(84.0) == pytest.approx(0.5)
    assert bound.steps(76.5) == pytest.approx(0.5)
    assert bound.steps(69.0) == pytest.approx(-1.0)


def test_a_target_that_is_the_bound_is_full_margin() -> None:
    none_open = limit(high=0.0, target=0.0)
    assert none_open.steps(0.0) == 1.0
    assert none_open.steps(1.0) < 0.0
    assert verdict(none_open, 0.0) is Verdict.INSIDE
    assert verdict(none_open, 1.0) is Verdict.OUTSIDE


def test_unknown_must_say_what_would_supply_it() -> None:
    assert unknown(limit(high=1.0), "the annual's date in the aircraft file").verdict == "unknown"
    with pytest.raises(RangeError, match="what would supply it"):
        Finding(limit=limit(high=1.0), value=None)
    with pytest.raises(RangeError, match="what would supply it"):
        Finding(limit=limit(), value=3.0)


def test_nan_is_refused_as_a_value() -> None:
    with pytest.raises(RangeError, match="use None"):
        Finding(limit=limit(high=1.0), value=float("nan"))


@pytest.mark.parametrize(
    ("low", "high", "target"), [(2.0, 1.0, None), (0.0, 1.0, 2.0), (None, 1.0, 2.0)]
)
def test_crossed_bounds_are_refused(
    low: float | None, high: float | None, target: float | None
) -> None:
    with pytest.raises(RangeError):
        limit(low, high, target)


def test_a_limit_without_a_source_is_refused() -> None:
    with pytest.raises(RangeError, match="needs a source"):
        Limit(key="a.b", label="x", unit="ft", basis="own", source="")


def test_worst_comes_first_and_the_sentence_says_no_more() -> None:
    findings = [
        Finding(limit=limit(high=10.0, key="a.inside"), value=1.0),
        Finding(limit=limit(high=10.0, buffer=5.0, key="a.close"), value=9.0),
        unknown(limit(high=10.0, key="a.unknown"), "a report"),
        Finding(limit=limit(high=10.0, key="a.outside"), value=11.0),
    ]
    order = [finding.limit.key for finding in worst_first(findings)]
    assert order == ["a.outside", "a.unknown", "a.close", "a.inside"]
    assert list(counts(findings).values()) == [1, 1, 1, 1]
    sentence = verdict_sentence(findings)
    assert sentence.endswith("Not within the limits: a.outside.")
    assert verdict_sentence(findings[:3]).endswith("Not decided until known: a.unknown.")
    assert verdict_sentence(findings[:1]).endswith("Within the limits checked.")
    assert verdict_sentence([]) == "Nothing was checked."


@given(
    st.floats(-1e6, 1e6),
    st.floats(0.0, 1e6),
    st.floats(0.0, 100.0),
    st.floats(-2e6, 2e6),
)
def test_a_record_restores_the_finding(
    low: float, width: float, sigma: float, value: float
) -> None:
    steps = ("40 gal aboard", "6 gal used")
    made = Finding(
        limit=limit(low, low + width), value=value, sigma=sigma, where="leg 2", workings=steps
    )
    record = json.loads(json.dumps(finding_record(made)))
    assert finding_from_record(record) == made
    del record["workings"]  # as the store keeps it, and as older pledges have it
    assert finding_from_record(record) == replace(made, workings=())
    assert record["verdict"] == made.verdict


@given(st.floats(-1e3, 1e3), st.floats(0.1, 1e3), st.floats(-1e4, 1e4))
def test_moving_toward_the_middle_never_lowers_the_margin(
    low: float, width: float, value: float
) -> None:
    bound = limit(low, low + width)
    middle = low + width / 2.0
    nearer = (value + middle) / 2.0
    assert bound.margin(nearer) >= bound.margin(value)

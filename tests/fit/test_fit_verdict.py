"""The sentence on top: a plain no first, and never more than the findings say."""

from datetime import timedelta

import pytest
from fit_cases import with_flight
from hypothesis import given
from hypothesis import strategies as st

from lubberline.fit import check_fit, fit_sentence, times_utc
from lubberline.line import Finding, Limit, Verdict, counts, unknown
from lubberline.loop import Prepared

LIMIT = Limit(key="flight.a", label="a thing", unit="min", low=0.0, basis="own", source="own")
FINDINGS = st.builds(
    lambda value, sigma: (
        unknown(LIMIT, "a look")
        if value is None
        else Finding(limit=LIMIT, value=value, sigma=sigma)
    ),
    st.none() | st.floats(-5.0, 5.0),
    st.floats(0.0, 2.0),
)


@pytest.mark.parametrize(("more_min", "late"), [(1.0, False), (-1.0, True)])
def test_an_appointment_that_will_be_missed_is_said_first(
    prepared: Prepared, more_min: float, late: bool
) -> None:
    plan = prepared.plan
    hand_min = next(
        one.value or 0.0
        for one in check_fit(plan, prepared.way)
        if one.limit.key == "flight.appointment"
    )
    assert plan.flight.arrive_by_utc is not None
    median_utc = plan.flight.arrive_by_utc - timedelta(minutes=hand_min)
    wanted = with_flight(plan, arrive_by_utc=median_utc + timedelta(minutes=more_min))
    sentence = fit_sentence(check_fit(wanted, prepared.way))
    assert sentence.startswith("No, not in time: 1 min late; wanted ") is late
    assert "Of " in sentence


def test_without_an_appointment_there_is_no_no(prepared: Prepared) -> None:
    plan = with_flight(prepared.plan, arrive_by_utc=None)
    assert fit_sentence(check_fit(plan, prepared.way)).startswith("Of ")
    assert times_utc(plan, prepared.way)


@given(st.lists(FINDINGS, min_size=1, max_size=6))
def test_it_says_within_only_if_nothing_is_outside_or_unknown(findings: list[Finding]) -> None:
    tally = counts(findings)
    sentence = fit_sentence(findings)
    open_count = tally[Verdict.OUTSIDE] + tally[Verdict.UNKNOWN]
    assert ("Within the limits" in sentence) == (open_count == 0)
    assert ("Not within the limits" in sentence) == (tally[Verdict.OUTSIDE] > 0)
    for verdict, number in tally.items():
        assert (f"{number} {verdict}" in sentence) == (number > 0)

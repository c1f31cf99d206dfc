import pytest
from fit_cases import found, with_weather

from lubberline.line import Verdict
from lubberline.loop import Prepared

# The starter leaves the block at 20:40Z and lands about 21:12Z on 25 November 2026.
REPORTS = "METAR QWRN {} 26009KT 10SM CLR 11/07 A3002=\nMETAR QMRL 252030Z 28012KT 10SM CLR A2996="
TAF = "TAF QMRL 251730Z {} 28012KT P6SM CLR=\nTAF QSDG 251730Z 2518/2618 28012KT P6SM CLR="


@pytest.mark.parametrize(
    ("time", "age_min", "verdict"),
    [
        ("252020Z", 20.0, Verdict.INSIDE),
        ("251920Z", 80.0, Verdict.CLOSE),
        ("251740Z", 180.0, Verdict.OUTSIDE),
        ("252050Z", 10.0, Verdict.INSIDE),  # after off block: the other one is the older
    ],
)
def test_the_oldest_report_of_the_ends_decides(
    prepared: Prepared, time: str, age_min: float, verdict: Verdict
) -> None:
    finding = found(
        with_weather(prepared.plan, REPORTS.format(time)), prepared, "flight.report_age"
    )
    assert (finding.value, finding.verdict) == (age_min, verdict)


def test_a_field_nearby_tells_where_an_end_has_no_report(prepared: Prepared) -> None:
    text = REPORTS.format("252020Z").replace("QMRL", "QSDG")
    finding = found(with_weather(prepared.plan, text), prepared, "flight.report_age")
    assert finding.verdict is Verdict.INSIDE
    assert "QMRL, of 25 20:30Z at QSDG" not in finding.where  # the other one is older
    only = found(with_weather(prepared.plan, text.splitlines()[1]), prepared, "flight.report_age")
    assert only.verdict is Verdict.UNKNOWN or "at QSDG" in only.where


@pytest.mark.parametrize(
    ("span", "verdict"),
    [
        ("2518/2618", Verdict.INSIDE),
        ("2521/2618", Verdict.CLOSE),  # begins 10 minutes before the landing
        ("2522/2618", Verdict.OUTSIDE),
        ("2506/2521", Verdict.OUTSIDE),
    ],
)
def test_a_forecast_must_reach_over_the_time_of_use(
    prepared: Prepared, span: str, verdict: Verdict
) -> None:
    plan = with_weather(prepared.plan, TAF.format(span))
    assert found(plan, prepared, "flight.forecast_reach").verdict is verdict


@pytest.mark.parametrize(("key", "text"), [("report_age", "METAR"), ("forecast_reach", "TAF")])
def test_without_texts_both_are_unknown_and_say_what_would_tell(
    prepared: Prepared, key: str, text: str
) -> None:
    finding = found(with_weather(prepared.plan, ""), prepared, f"flight.{key}")
    assert finding.verdict is Verdict.UNKNOWN
    assert f"a {text} " in finding.missing

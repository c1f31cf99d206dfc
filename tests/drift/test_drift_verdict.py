"""The four words, what they rest on, and the finding they become."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from lubberline.drift import (
    Better,
    DriftVerdict,
    DriftWord,
    Measure,
    drift_finding,
    flights_to_show_count,
    judge,
    promise,
    smallest_change,
)
from lubberline.errors import RangeError, ShapeError
from lubberline.line import Verdict

BAR_10 = float(stats.t.isf(stats.norm.sf(3.8), 10))
FIRST_UTC = datetime(2026, 3, 1, 14, 0, tzinfo=UTC)
USUAL = [40.0, 46.0, 38.0, 44.0, 41.0, 47.0, 39.0, 45.0]  # scatter about 6
STEADY = [42.0, 41.0, 43.0, 42.5]


def measure(
    values: list[float], *, sigma: float | list[float] = 0.0, better: Better = "smaller"
) -> Measure:
    return Measure(
        key="task.cruise_height_ft",
        label="height held in cruise",
        unit="ft",
        better=better,
        flown_utc=tuple(FIRST_UTC + timedelta(days=7 * week) for week in range(len(values))),
        values=np.array(values),
        sigmas=np.zeros(len(values)) + sigma,
        titles=tuple(f"flight {number}" for number in range(len(values))),
    )


@pytest.mark.parametrize(("count", "needed"), [(0, 11), (1, 10), (7, 4), (8, 3), (10, 1)])
def test_too_early_says_how_many_more(count: int, needed: int) -> None:
    verdict = judge(measure([float(i % 3) for i in range(count)]))
    assert (verdict.word, verdict.flights_needed_count) == (DriftWord.TOO_EARLY, needed)
    assert verdict.chart is None
    assert smallest_change(verdict) is None


def test_eleven_flights_are_enough() -> None:
    verdict = judge(measure([*USUAL, 42.0, 41.0, 43.0]))
    assert (verdict.word, verdict.flights_needed_count) == (DriftWord.HOLDING, 0)
    assert verdict.baseline_count == 8


@pytest.mark.parametrize(
    ("recent", "better", "word"),
    [
        ([90.0] * 6, "smaller", "slipping"),
        ([90.0] * 6, "larger", "improving"),
        ([2.0] * 6, "smaller", "improving"),
        ([2.0] * 6, "larger", "slipping"),
        (STEADY, "smaller", "holding"),
        (STEADY, "larger", "holding"),
    ],
)
def test_the_better_side_decides_the_word(recent: list[float], better: Better, word: str) -> None:
    assert judge(measure([*USUAL, *recent], better=better)).word == word


def test_measurement_doubt_can_take_a_word_back() -> None:
    values = [*USUAL, *[70.0] * 4]
    assert judge(measure(values)).word is DriftWord.SLIPPING
    assert judge(measure(values, sigma=20.0)).word is DriftWord.HOLDING


@pytest.mark.parametrize("doubtful", [slice(0, 8), slice(8, 12)], ids=["baseline", "new"])
def test_doubt_in_either_stretch_widens_the_limits_and_moves_nothing(doubtful: slice) -> None:
    values, sigmas = [*USUAL, *STEADY], np.zeros(12)
    sigmas[doubtful] = 5.0
    plain = judge(measure(values)).chart
    widened = judge(measure(values, sigma=list(sigmas))).chart
    assert plain is not None
    assert widened is not None
    assert (widened.high > plain.high).all()
    assert (widened.low < plain.low).all()
    assert widened.values.tolist() == plain.values.tolist()


def test_limits_widen_from_flight_to_flight() -> None:
    chart = judge(measure([*USUAL, *STEADY])).chart
    assert chart is not None
    assert (np.diff(chart.high) > 0.0).all()


def test_limits_worked_by_hand() -> None:
    """Mean 42.5, mean moving range 43/7; Student's quantile for 4.4315 and 0.9946: 4.22591."""
    chart = judge(measure([*USUAL, *STEADY])).chart
    assert chart is not None
    sigma = 43.0 / 7.0 / (2.0 / np.pi**0.5)
    spread = sigma * (0.1**2 + 0.1**2 / 8.0) ** 0.5
    assert chart.center == 42.5
    assert chart.values[0] == pytest.approx(42.5 + 0.1 * (42.0 - 42.5), rel=1e-12)
    assert (chart.high[0] - 42.5) / spread == pytest.approx(4.22591, abs=1e-3)


def test_flights_all_alike_say_nothing_about_what_is_usual() -> None:
    verdict = judge(measure([5.0] * 8 + [9.0] * 4))
    assert verdict.word is DriftWord.TOO_EARLY
    assert "all alike" in verdict.note
    assert drift_finding(measure([5.0] * 12), verdict).verdict is Verdict.UNKNOWN


def test_flights_all_alike_but_in_doubt_are_judged_by_their_doubt() -> None:
    assert judge(measure([5.0] * 8 + [5.1] * 4, sigma=1.0)).word is DriftWord.HOLDING
    assert judge(measure([5.0] * 8 + [90.0] * 4, sigma=1.0)).word is DriftWord.SLIPPING


@pytest.mark.parametrize(
    ("count", "baseline"), [(11, 8), (17, 8), (18, 9), (40, 20), (41, 20), (124, 20)]
)
def test_the_charts_baseline_is_the_first_half_within_bounds(count: int, baseline: int) -> None:
    values = [float(i % 5) for i in range(count)]
    verdict = judge(measure(values))
    assert verdict.baseline_count == baseline
    assert verdict.chart is not None
    assert verdict.chart.values.size == count - baseline


def test_no_more_than_the_latest_124_flights_count() -> None:
    values = [float(i * i % 7) for i in range(300)]
    long, short = judge(measure(values)), judge(measure(values[-124:]))
    assert long.latest == short.latest
    assert long.chart is not None
    assert long.chart.values.size == 104


def test_a_change_as_large_as_the_smallest_is_on_the_bar() -> None:
    """Twelve flights of it are not yet named; of a hundredth more they are."""
    usual = [*USUAL * 3]
    seen = judge(measure([*usual, *[*USUAL, *USUAL][:12]]))
    change = smallest_change(seen)
    assert change is not None
    assert seen.latest is not None
    assert 0.5 * 6.0 < change < 2.0 * 6.0


def test_one_wild_flight_is_not_a_change() -> None:
    assert judge(measure([*USUAL, *USUAL, 400.0])).word is DriftWord.HOLDING
    assert judge(measure([*USUAL, 400.0, *USUAL, *STEADY])).word is DriftWord.HOLDING


def test_a_windy_month_is_not_called_slipping_where_the_wind_is_known() -> None:
    rng = np.random.default_rng(5)
    wind_kt = np.concatenate([rng.uniform(0.0, 16.0, 30), rng.uniform(14.0, 22.0, 10)])
    values = list(30.0 + 2.0 * wind_kt + rng.normal(0.0, 4.0, 40))
    assert judge(measure(values)).word is DriftWord.SLIPPING
    known = judge(measure(values), {"wind_kt": wind_kt})
    assert known.word is DriftWord.HOLDING
    assert known.explained_fraction > 0.5
    assert [effect.name for effect in known.effects] == ["wind_kt"]


def test_a_slip_that_the_weather_hid_is_seen_where_the_wind_is_known() -> None:
    rng = np.random.default_rng(6)
    wind_kt = np.concatenate([rng.uniform(8.0, 22.0, 30), rng.uniform(0.0, 6.0, 8)])
    values = 30.0 + 2.0 * wind_kt + rng.normal(0.0, 4.0, 38)
    values[30:] += 20.0
    assert judge(measure(list(values))).word is DriftWord.HOLDING
    assert judge(measure(list(values)), {"wind_kt": wind_kt}).word is DriftWord.SLIPPING


def test_flights_that_are_hardly_measured_hardly_count() -> None:
    values, sigmas = [*USUAL * 3, *[90.0] * 4], [0.5] * 24 + [60.0] * 4
    assert judge(measure(values)).word is DriftWord.SLIPPING
    assert judge(measure(values, sigma=sigmas)).word is DriftWord.HOLDING


def test_more_flights_before_make_a_change_show_sooner() -> None:
    rng = np.random.default_rng(7)
    shown = [
        flights_to_show_count(judge(measure(list(40.0 + rng.normal(0.0, 6.0, count)))))
        for count in (5, 12, 60, 120)
    ]
    assert shown[:2] == [None, None]
    assert shown[2] is not None
    assert shown[3] is not None
    assert shown[3] < shown[2] <= 24


@pytest.mark.parametrize(
    ("count", "promised"), [(10, None), (12, 12), (51, 24), (52, 52), (300, 104)]
)
def test_the_promise_is_that_of_no_more_flights_than_there_are(
    count: int, promised: int | None
) -> None:
    said = promise(judge(measure([float(i * i % 7) for i in range(count)])))
    assert (said and said.flight_count) == promised


@given(
    st.lists(st.floats(0.0, 100.0), min_size=11, max_size=40),
    st.floats(0.01, 1e3),
)
def test_the_word_does_not_depend_on_the_unit(values: list[float], scale: float) -> None:
    rounded = [round(value, 1) for value in values]
    here = judge(measure(rounded, sigma=1.0)).latest
    there = judge(measure([scale * v for v in rounded], sigma=scale)).latest
    assert here is not None
    assert there is not None
    for name in ("level", "usual", "low", "high"):
        expected = scale * getattr(here, name)
        assert getattr(there, name) == pytest.approx(expected, rel=1e-6, abs=1e-6 * scale)


@given(st.lists(st.floats(0.0, 100.0), min_size=11, max_size=40))
def test_turning_the_better_side_turns_the_word(values: list[float]) -> None:
    turned = {
        DriftWord.IMPROVING: DriftWord.SLIPPING,
        DriftWord.SLIPPING: DriftWord.IMPROVING,
        DriftWord.HOLDING: DriftWord.HOLDING,
        DriftWord.TOO_EARLY: DriftWord.TOO_EARLY,
    }
    signed = [value - 101.0 for value in values]  # sizes are worked on as roots, margins are not
    word = judge(measure(signed, better="smaller")).word
    assert judge(measure(signed, better="larger")).word is turned[word]


def judged(values: list[float], better: Better = "smaller") -> tuple[Measure, DriftVerdict]:
    of = measure(values, sigma=1.0, better=better)
    return of, judge(of)


@pytest.mark.parametrize(
    ("recent", "better", "verdict"),
    [
        ([90.0] * 6, "smaller", "outside"),
        ([90.0] * 6, "larger", "inside"),
        ([2.0] * 6, "larger", "outside"),
        (STEADY, "smaller", "inside"),
    ],
)
def test_only_slipping_is_outside(recent: list[float], better: Better, verdict: str) -> None:
    finding = drift_finding(*judged([*USUAL, *recent], better))
    assert finding.verdict == verdict
    assert finding.limit.group == "drift"
    assert finding.limit.basis == "own"


def test_the_finding_has_one_bound_on_the_worse_side_and_aims_at_the_usual() -> None:
    smaller = drift_finding(*judged([*USUAL, *STEADY])).limit
    larger = drift_finding(*judged([*USUAL, *STEADY], "larger")).limit
    assert smaller.low is None
    assert smaller.high is not None
    assert larger.high is None
    assert larger.low is not None
    assert smaller.target == pytest.approx(np.mean(np.sqrt(USUAL)) ** 2, rel=1e-3)
    assert larger.target == pytest.approx(42.5, rel=1e-12)


@pytest.mark.parametrize(("count", "missing"), [(8, "3 more flights"), (10, "1 more flight")])
def test_too_early_is_an_unknown_finding(count: int, missing: str) -> None:
    finding = drift_finding(*judged([1.0, 2.0] * (count // 2)))
    assert (finding.verdict, finding.missing) == (Verdict.UNKNOWN, missing)


def test_the_finding_carries_the_measurement_doubt_of_the_latest_flights() -> None:
    finding = drift_finding(*judged([*USUAL, *STEADY]))
    assert finding.sigma == pytest.approx(1.0 / 4**0.5, rel=1e-12)


def test_the_bar_worked_by_hand() -> None:
    """Twelve signed flights: 8 before with variance 12.57, 4 after with 0.73, Student with 10."""
    verdict = judge(measure([*USUAL, *STEADY], better="larger"))
    assert verdict.latest is not None
    assert (verdict.latest.flight_count, verdict.latest.before_count) == (4, 8)
    pooled = (sum((v - 42.5) ** 2 for v in USUAL) + sum((v - 42.125) ** 2 for v in STEADY)) / 10.0
    reach = verdict.latest.high - verdict.latest.usual
    assert reach / (pooled * (1 / 4 + 1 / 8)) ** 0.5 == pytest.approx(BAR_10, rel=1e-9)


def test_holding_says_what_it_would_have_seen() -> None:
    of, verdict = judged([*USUAL, *STEADY])
    change = smallest_change(verdict)
    assert change is not None
    note = drift_finding(of, verdict).note
    assert f"a lasting change of {change:.2g} ft would show as often as not" in note
    assert "4 flights against the 8 before them" in note


def columns(**changed: object) -> dict[str, object]:
    return {
        "key": "k",
        "label": "k",
        "unit": "ft",
        "better": "smaller",
        "flown_utc": (FIRST_UTC, FIRST_UTC + timedelta(days=1)),
        "values": np.array([1.0, 2.0]),
        "sigmas": np.zeros(2),
        "titles": ("a", "b"),
    } | changed


@pytest.mark.parametrize(
    ("changed", "error", "message"),
    [
        ({"values": np.array([1.0])}, ShapeError, r"k: 2 times, values \(1,\)"),
        ({"titles": ("a",)}, ShapeError, "1 titles; expected one of each"),
        ({"values": np.array([1.0, np.nan])}, RangeError, r"values\[1\] is nan; leave out"),
        ({"sigmas": np.array([0.0, -1.0])}, RangeError, r"sigmas\[1\] is -1 ft; expected 0"),
        ({"sigmas": np.array([np.nan, 0.0])}, RangeError, r"sigmas\[0\] is nan ft"),
        (
            {"flown_utc": (FIRST_UTC, FIRST_UTC - timedelta(days=1))},
            ShapeError,
            "'b' was flown before 'a'; order the flights oldest first",
        ),
        (
            {"flown_utc": (FIRST_UTC.replace(tzinfo=None), FIRST_UTC)},
            RangeError,
            "flown_utc of 'a' has no time zone",
        ),
    ],
)
def test_a_measure_that_does_not_fit_is_refused(
    changed: dict[str, object], error: type[Exception], message: str
) -> None:
    with pytest.raises(error, match=message):
        Measure(**columns(**changed))  # type: ignore[arg-type]


def test_a_measure_cannot_be_changed_from_outside() -> None:
    values = np.array([1.0, 2.0])
    held = Measure(**columns(values=values))  # type: ignore[arg-type]
    values[0] = 99.0
    assert held.values.tolist() == [1.0, 2.0]
    with pytest.raises(ValueError, match="read-only"):
        held.values[0] = 9.0

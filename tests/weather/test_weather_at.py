from datetime import UTC, datetime, timedelta
from math import inf

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lubberline.errors import RangeError, ShapeError
from lubberline.weather import (
    Conditions,
    Weather,
    Wind,
    WindsAloft,
    altimeter_at,
    conditions_at,
    read_weather_text,
    spans_at,
    temperature_at,
    wind_at,
    worse,
    worst_at,
)

NEAR_UTC = datetime(2026, 11, 25, 21, tzinfo=UTC)
STILL = WindsAloft(
    msl_ft=np.array([]), from_true_deg=np.array([]), wind_kt=np.array([]), oat_degc=np.array([])
)
REPORT = "METAR QMRL 251953Z 28012G19KT 2SM BR OVC008 10/05 A2996\n"
FORECAST = "TAF QMRL 251930Z 2520/2618 28012KT P6SM SCT045\n"
TEMPORARY = "TEMPO 2520/2523 27010G25KT 4SM -SHRA BKN025\n"


def weather(text: str) -> Weather:
    reports, forecasts = read_weather_text(text, near_utc=NEAR_UTC)
    return Weather(reports=reports, forecasts=forecasts, aloft=STILL)


def utc(hour: int, minute: int = 0) -> datetime:
    return datetime(2026, 11, 25, hour, minute, tzinfo=UTC)


def test_before_the_forecast_the_report_holds() -> None:
    now = conditions_at(weather(REPORT + FORECAST), "QMRL", utc(19, 30))
    assert now is not None
    assert (now.visibility_sm, now.ceiling_agl_ft, now.weather) == (2.0, 800.0, ("BR",))


def test_within_its_validity_the_forecast_holds() -> None:
    now = conditions_at(weather(REPORT + FORECAST), "QMRL", utc(20))
    assert now is not None
    assert (now.visibility_sm, now.ceiling_agl_ft) == (6.0, inf)


@pytest.mark.parametrize(
    ("when_utc", "known"),
    [(utc(18, 52), False), (utc(18, 53), True), (utc(20, 53), True), (utc(20, 54), False)],
)
def test_a_report_alone_holds_for_an_hour(when_utc: datetime, known: bool) -> None:
    assert (conditions_at(weather(REPORT), "QMRL", when_utc) is not None) is known
    assert (altimeter_at(weather(REPORT), "QMRL", when_utc) == 29.96) is known
    assert (temperature_at(weather(REPORT), "QMRL", when_utc) == 10.0) is known


def test_what_nobody_wrote_about_is_unknown() -> None:
    assert conditions_at(weather(REPORT), "QWRN", utc(20)) is None
    assert worst_at(weather(REPORT), "QWRN", utc(20)) is None
    assert altimeter_at(weather(FORECAST), "QMRL") is None
    assert temperature_at(weather(FORECAST), "QMRL") is None
    assert spans_at(weather(""), "QMRL", utc(20)) == ()


def test_without_a_time_the_report_counts_whatever_its_age() -> None:
    assert altimeter_at(weather(REPORT), "QMRL") == 29.96


def test_the_worst_includes_temporary_weather_and_the_fresh_report() -> None:
    now = worst_at(weather(REPORT + FORECAST + TEMPORARY), "QMRL", utc(20, 30))
    assert now is not None
    assert (now.visibility_sm, now.ceiling_agl_ft) == (2.0, 800.0)
    assert now.wind == Wind(from_true_deg=None, mean_kt=12.0, gust_kt=25.0)
    assert now.weather == ("-SHRA", "BR")
    later = worst_at(weather(REPORT + FORECAST + TEMPORARY), "QMRL", utc(21))
    assert later is not None
    assert (later.visibility_sm, later.ceiling_agl_ft) == (4.0, 2_500.0)


def test_spans_keep_apart_what_the_worst_puts_together() -> None:
    spans = spans_at(weather(REPORT + FORECAST + TEMPORARY), "QMRL", utc(20, 30))
    assert [span.wind.worst_kt for span in spans if span.wind] == [12.0, 25.0, 19.0]


def test_a_time_without_zone_is_refused() -> None:
    with pytest.raises(RangeError, match="when_utc is 2026-11-25T20:00:00 without a time zone"):
        conditions_at(weather(REPORT), "QMRL", datetime(2026, 11, 25, 20))  # noqa: DTZ001


WINDS = st.none() | st.builds(
    lambda from_deg, mean_kt, more_kt: Wind(
        from_true_deg=from_deg, mean_kt=mean_kt, gust_kt=mean_kt + more_kt if more_kt else None
    ),
    st.none() | st.sampled_from([0.0, 90.0, 240.0]),
    st.sampled_from([0.0, 5.0, 20.0]),
    st.sampled_from([0.0, 10.0]),
)
ANY = st.builds(
    Conditions,
    from_utc=st.just(NEAR_UTC),
    until_utc=st.just(NEAR_UTC + timedelta(hours=1)),
    wind=WINDS,
    visibility_sm=st.none() | st.sampled_from([1.0, 6.0]),
    ceiling_agl_ft=st.none() | st.sampled_from([800.0, inf]),
    text=st.sampled_from(["one", "other"]),
)


@given(ANY, ANY)
def test_the_worse_is_no_better_than_either_and_knows_no_more(
    first: Conditions, second: Conditions
) -> None:
    both = worse(first, second)
    for name in ("wind", "visibility_sm", "ceiling_agl_ft"):
        one, other, result = (getattr(c, name) for c in (first, second, both))
        assert (result is None) == (one is None or other is None)
    if both.wind is not None and first.wind is not None and second.wind is not None:
        assert both.wind.worst_kt == max(first.wind.worst_kt, second.wind.worst_kt)
        assert both.wind.mean_kt == max(first.wind.mean_kt, second.wind.mean_kt)
    if both.ceiling_agl_ft is not None:
        assert both.ceiling_agl_ft == min(first.ceiling_agl_ft or 0, second.ceiling_agl_ft or 0)
    mirrored = worse(second, first)
    assert (both.visibility_sm, both.ceiling_agl_ft) == (
        mirrored.visibility_sm,
        mirrored.ceiling_agl_ft,
    )


def test_a_calm_has_no_direction_to_reckon_with() -> None:
    def calm_or(wind: Wind) -> Conditions:
        return Conditions(
            from_utc=NEAR_UTC,
            until_utc=NEAR_UTC,
            wind=wind,
            visibility_sm=None,
            ceiling_agl_ft=None,
            text="",
        )

    blowing = Wind(from_true_deg=240.0, mean_kt=8.0)
    assert worse(calm_or(blowing), calm_or(Wind(from_true_deg=0.0, mean_kt=0.0))).wind == blowing


def aloft(rows: list[tuple[float, float, float, float]]) -> WindsAloft:
    msl_ft, from_true_deg, wind_kt, oat_degc = np.array(rows).T
    return WindsAloft(
        msl_ft=msl_ft, from_true_deg=from_true_deg, wind_kt=wind_kt, oat_degc=oat_degc
    )


TWO = aloft([(3_000.0, 350.0, 20.0, 8.0), (6_000.0, 10.0, 20.0, 2.0)])


def test_over_north_the_wind_turns_the_short_way() -> None:
    from_true_deg, wind_kt, oat_degc = wind_at(TWO, 4_500.0)
    off_north_deg = (float(from_true_deg) + 180.0) % 360.0 - 180.0
    assert off_north_deg == pytest.approx(0.0, abs=1e-9)
    assert float(wind_kt) == pytest.approx(20.0 * np.cos(np.radians(10.0)))
    assert float(oat_degc) == pytest.approx(5.0)


def test_opposite_winds_cancel_halfway() -> None:
    rows = aloft([(0.0, 90.0, 10.0, 0.0), (1_000.0, 270.0, 10.0, 0.0)])
    assert float(wind_at(rows, 500.0)[1]) == pytest.approx(0.0, abs=1e-9)


@given(
    st.floats(0.0, 1.0), st.floats(0, 359), st.floats(1, 100), st.floats(0, 359), st.floats(1, 100)
)
def test_speed_between_two_levels_follows_the_law_of_cosines(
    part: float, low_deg: float, low_kt: float, high_deg: float, high_kt: float
) -> None:
    rows = aloft([(0.0, low_deg, low_kt, 0.0), (10_000.0, high_deg, high_kt, -20.0)])
    a_kt, b_kt = (1.0 - part) * low_kt, part * high_kt
    angle_rad = np.radians(high_deg - low_deg)
    squared = a_kt**2 + b_kt**2 + 2.0 * a_kt * b_kt * np.cos(angle_rad)
    _, wind_kt, oat_degc = wind_at(rows, part * 10_000.0)
    assert float(wind_kt) ** 2 == pytest.approx(max(squared, 0.0), abs=1e-6)
    assert float(oat_degc) == pytest.approx(-20.0 * part, abs=1e-9)


def test_outside_the_levels_the_nearest_holds() -> None:
    from_true_deg, wind_kt, oat_degc = wind_at(TWO, [0.0, 20_000.0])
    assert from_true_deg == pytest.approx([350.0, 10.0])
    assert wind_kt == pytest.approx([20.0, 20.0])
    assert oat_degc == pytest.approx([8.0, 2.0])


@pytest.mark.parametrize("shape", [(), (0,), (3,), (2, 1)])
def test_without_levels_everything_is_unknown(shape: tuple[int, ...]) -> None:
    for column in wind_at(STILL, np.zeros(shape)):
        assert column.shape == shape
        assert np.isnan(column).all()


def test_an_unknown_temperature_hides_no_wind() -> None:
    rows = aloft([(3_000.0, 240.0, 26.0, np.nan), (6_000.0, 270.0, 26.0, -9.0)])
    _, wind_kt, oat_degc = wind_at(rows, [3_000.0, 4_500.0, 6_000.0])
    assert np.isfinite(wind_kt).all()
    assert np.isnan(oat_degc).tolist() == [True, True, False]


def test_an_unknown_height_has_no_wind() -> None:
    assert np.isnan(np.array(wind_at(TWO, np.nan))).all()


def test_columns_of_unequal_length_are_refused() -> None:
    with pytest.raises(ShapeError, match="must share one 1-d shape"):
        WindsAloft(
            msl_ft=np.array([0.0, 1.0]),
            from_true_deg=np.array([0.0]),
            wind_kt=np.array([0.0]),
            oat_degc=np.array([0.0]),
        )


@pytest.mark.parametrize("heights", [[3_000.0, 3_000.0], [6_000.0, 3_000.0], [np.nan, 3_000.0]])
def test_heights_must_ascend(heights: list[float]) -> None:
    with pytest.raises(ShapeError, match="must ascend"):
        aloft([(height, 240.0, 10.0, 0.0) for height in heights])

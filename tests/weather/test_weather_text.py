from datetime import UTC, datetime
from importlib.resources import files

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lubberline.errors import RangeError
from lubberline.weather import read_weather_text, unread_weather

NEAR_UTC = datetime(2026, 11, 25, 21, tzinfo=UTC)
DEMO = (
    files("lubberline") / "demo" / "files" / "flights" / "2026-11-25-QWRN-QMRL" / "weather.txt"
).read_text(encoding="utf-8")

PASTED = """\
# from the briefing, 2050Z
TAF
QMRL 251730Z 2518/2618 28012KT P6SM BKN045

     TEMPO 2523/2603 4SM -SHRA

     FM260300 27007KT P6SM SCT035=

QWRN 251953Z AUTO 26009KT 10SM SCT040
     11/07 A3002 RMK AO2
Winds are fresh, they say
METAR QMRL 251953Z 28012G19KT 10SM BKN045 A2996
SPECI QMRL 252040Z 28014G22KT 10SM BKN040 A2995 METAR QSDG 251953Z 27010KT= METAR QGNT 251953Z CLR

Good flight!
"""


def test_blocks_are_told_apart_however_they_were_pasted() -> None:
    reports, forecasts = read_weather_text(PASTED, near_utc=NEAR_UTC)
    assert sorted(reports) == ["QGNT", "QMRL", "QSDG", "QWRN"]
    assert sorted(forecasts) == ["QMRL"]
    assert len(forecasts["QMRL"].prevailing) == 2
    assert len(forecasts["QMRL"].temporary) == 1
    assert reports["QWRN"].altimeter_inhg == 30.02


def test_the_latest_report_of_a_station_holds() -> None:
    reports, _ = read_weather_text(PASTED, near_utc=NEAR_UTC)
    assert reports["QMRL"].altimeter_inhg == 29.95


def test_of_two_with_one_time_the_later_in_the_text_holds() -> None:
    text = "QMRL 251953Z 28012KT\nMETAR COR QMRL 251953Z 29012KT\nMETAR QMRL 251853Z 10012KT"
    reports, _ = read_weather_text(text, near_utc=NEAR_UTC)
    wind = reports["QMRL"].wind
    assert wind is not None
    assert wind.from_true_deg == 290.0


def test_what_is_left_out_is_shown_with_its_line_and_reason() -> None:
    (left,) = unread_weather(PASTED, near_utc=NEAR_UTC)
    assert (left.line, left.text) == (15, "Good flight!")
    assert str(left) == (
        "line 15: 'Good flight!': neither METAR, SPECI nor TAF, and no part of one"
    )


def test_a_damaged_report_does_not_stop_the_others() -> None:
    text = "METAR QWRN 2519Z 26009KT\nMETAR QMRL 251953Z 28012KT\nTAF QMRL 251730Z 2518 28012KT"
    reports, forecasts = read_weather_text(text, near_utc=NEAR_UTC)
    assert (sorted(reports), sorted(forecasts)) == (["QMRL"], [])
    first, second = unread_weather(text, near_utc=NEAR_UTC)
    assert (first.line, second.line) == (1, 3)
    assert first.reason.startswith("no station and time")
    assert second.reason.startswith("no station and validity")


def test_a_line_under_a_report_is_part_of_it() -> None:
    reports, _ = read_weather_text("QWRN 251953Z 26009KT\nFOG BANK WEST 3", near_utc=NEAR_UTC)
    assert reports["QWRN"].undecoded == ("FOG", "BANK", "WEST", "3")


def test_a_canceled_forecast_supersedes_the_one_before() -> None:
    text = "TAF QWRN 251730Z 2518/2618 26009KT P6SM SKC\nTAF AMD QWRN 251930Z 2519/2618 CNL"
    _, forecasts = read_weather_text(text, near_utc=NEAR_UTC)
    assert forecasts["QWRN"].prevailing == ()


@pytest.mark.parametrize("text", ["", "\n\n", "# nothing\n", "="])
def test_nothing_gives_nothing(text: str) -> None:
    assert read_weather_text(text, near_utc=NEAR_UTC) == ({}, {})
    assert unread_weather(text, near_utc=NEAR_UTC) == ()


def test_a_time_without_zone_is_refused() -> None:
    with pytest.raises(RangeError, match="without a time zone"):
        read_weather_text(PASTED, near_utc=datetime(2026, 11, 25))  # noqa: DTZ001


def test_the_demo_weather_is_read_without_remainder() -> None:
    reports, forecasts = read_weather_text(DEMO, near_utc=NEAR_UTC)
    assert sorted(reports) == sorted(forecasts) == ["QGNT", "QMRL", "QSDG", "QWRN"]
    assert unread_weather(DEMO, near_utc=NEAR_UTC) == ()
    assert [report.undecoded for report in reports.values()] == [()] * 4
    assert [forecast.undecoded for forecast in forecasts.values()] == [()] * 4
    assert (reports["QWRN"].altimeter_inhg, reports["QMRL"].altimeter_inhg) == (30.02, 29.96)
    assert DEMO.startswith("# Invented")


@given(st.lists(st.tuples(st.integers(0, len(DEMO)), st.integers(0, 3), st.text(max_size=3))))
@settings(max_examples=60)
def test_a_damaged_text_is_read_with_an_account(edits: list[tuple[int, int, str]]) -> None:
    text = DEMO
    for place, cut, put in edits:
        text = text[:place] + put + text[place + cut :]
    reports, forecasts = read_weather_text(text, near_utc=NEAR_UTC)
    left = unread_weather(text, near_utc=NEAR_UTC)
    assert all(piece.reason and 1 <= piece.line <= len(text.splitlines()) for piece in left)
    assert len(reports) + len(forecasts) + len(left) >= 1


CODED = st.sampled_from(["METAR", "TAF", "Q", "251953Z", "2518/2618", "26009KT", "=", "\n", "#"])
TEXTS = st.lists(CODED | st.text(max_size=3), max_size=15).map(" ".join)


@given(TEXTS)
def test_any_text_at_all_is_accounted_for(text: str) -> None:
    reports, forecasts = read_weather_text(text, near_utc=NEAR_UTC)
    kept = [piece.text.upper() for piece in unread_weather(text, near_utc=NEAR_UTC)]
    kept += [report.text for report in reports.values()]
    kept += [forecast.text for forecast in forecasts.values()]
    lines = [line for line in text.splitlines() if not line.strip().startswith("#")]
    groups = " ".join(lines).upper().replace("=", " ").split()
    assert sorted(" ".join(kept).split()) == sorted(groups)

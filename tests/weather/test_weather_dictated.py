"""Words that were heard become a report that reads as it was said."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from math import inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lubberline.earth import variation_deg
from lubberline.errors import BadFile
from lubberline.weather import Report, read_dictated, read_weather_text
from lubberline.weather.spoken import figures, letter

NOW_UTC = datetime(2026, 11, 25, 21, tzinfo=UTC)
PLACE = (41.0, -131.0)


def find(name: str) -> tuple[str, float, float] | None:
    return (name, *PLACE) if name.startswith(("Q", "9")) else None


def report(*lines: str) -> Report:
    return read_dictated(["QMRL bravo 2053", *lines], find=find, now_utc=NOW_UTC).report


def refused(*lines: str) -> BadFile:
    with pytest.raises(BadFile) as caught:
        read_dictated(lines, find=find, now_utc=NOW_UTC)
    return caught.value


def test_all_items_as_spoken_make_one_report() -> None:
    said = (
        "QMRL information bravo two zero five three zulu, wind two eight zero true at one two gusts"
        " one niner, visibility one and one half, light rain and mist, ceiling four thousand five"
        " hundred broken, temperature one zero, dew point minus three, altimeter two niner niner"
        " six, runway 30, remarks birds"
    )
    told = read_dictated([said], find=find, now_utc=NOW_UTC).report
    assert told.text == (
        "METAR QMRL 252053Z 28012G19KT 1 1/2SM -RA BR BKN045 10/M03 A2996 RMK HEARD INFO B RWY 30"
        " BIRDS"
    )
    assert told.undecoded == ()


@pytest.mark.parametrize(
    ("line", "name", "value"),
    [
        ("visibility 10", "visibility_sm", 10.0),
        ("vis 3/4", "visibility_sm", 0.75),
        ("visibility 2.5 miles", "visibility_sm", 2.5),
        ("visibility more than 6", "visibility_is_least", True),
        ("visibility less than 1/4", "visibility_sm", 0.25),
        ("visibility 9 km", "visibility_sm", pytest.approx(5.5923, abs=1e-4)),
        ("weather heavy rain showers, mist", "weather", ("+SHRA", "BR")),
        ("weather -FZRA", "weather", ("-FZRA",)),
        ("clouds few 2500, scattered at 4000", "ceiling_agl_ft", inf),
        ("sky clear below one two thousand", "ceiling_agl_ft", inf),
        ("ceiling 800", "ceiling_agl_ft", 800.0),
        ("overcast is no item", None, None),
        ("clouds 1200 overcast", "ceiling_agl_ft", 1200.0),
        ("vertical visibility 300", "ceiling_agl_ft", 300.0),
        ("temp minus 4 degrees", "temperature_degc", -4.0),
        ("dewpoint 3", "dewpoint_degc", 3.0),
        ("altimeter 29.96", "altimeter_inhg", 29.96),
        ("qnh 1013", "altimeter_inhg", pytest.approx(29.914, abs=1e-3)),
    ],
)
def test_an_item_is_what_was_said(line: str, name: str | None, value: object) -> None:
    if name is None:
        with pytest.raises(BadFile):
            report(line)
        return
    assert getattr(report(line), name) == value


def test_what_was_not_said_is_not_known() -> None:
    told = report("wind calm")
    assert told.wind is not None
    assert told.wind.mean_kt == 0.0
    unsaid = ("visibility_sm", "ceiling_agl_ft", "temperature_degc", "altimeter_inhg")
    assert {getattr(told, name) for name in unsaid} == {None}


def test_a_spoken_wind_is_magnetic_unless_it_is_said_to_be_true() -> None:
    turned = float(variation_deg(*PLACE, 0.0, NOW_UTC))
    spoken, true = report("wind 280 at 12").wind, report("wind 280 true at 12").wind
    assert spoken is not None
    assert true is not None
    assert true.from_true_deg == 280.0
    assert spoken.from_true_deg == round(280.0 + turned)


def test_a_variable_wind_keeps_its_range() -> None:
    wind = report("wind 280 true at 8 variable between 250 and 310").wind
    assert wind is not None
    assert wind.between_true_deg == (250.0, 310.0)
    vague = report("wind variable at 4").wind
    assert vague is not None
    assert vague.from_true_deg is None


def test_every_bad_line_has_one_problem_with_an_example() -> None:
    problems = refused(
        "XQRL bravo 2053", "wind 380 at 4", "hello", "clouds few 25", "altimeter 12", "temp hot"
    ).problems
    assert [one.line for one in problems] == [1, 2, 3, 4, 5, 6]
    assert [one.key for one in problems[1:]] == [
        *("wind", "line", "clouds", "altimeter", "temperature")
    ]
    assert all(one.found and one.expected for one in problems)


@pytest.mark.parametrize(
    "lines",
    [[], ["", " "], ["QMRL"], ["QMRL 2561", "wind calm"], ["QMRL", "wind calm", "wind calm"]],
)
def test_nothing_twice_or_no_time_is_refused(lines: list[str]) -> None:
    assert len(refused(*lines).problems) == 1


def test_a_time_of_day_is_the_last_one() -> None:
    late = datetime(2026, 11, 25, 0, 10, tzinfo=UTC)
    heard = read_dictated(["QMRL 2353", "wind calm"], find=find, now_utc=late).report
    assert heard.observed_utc == datetime(2026, 11, 24, 23, 53, tzinfo=UTC)


def test_a_field_whose_name_begins_with_a_figure_is_read_back() -> None:
    heard = read_dictated(["9Q1 2053", "wind calm"], find=find, now_utc=NOW_UTC)
    assert heard.report.station == "9Q1"
    reports, _ = read_weather_text("\n".join(heard.lines), near_utc=NOW_UTC)
    assert reports["9Q1"] == heard.report


def test_own_words_stay_in_the_file_and_cannot_break_it() -> None:
    lines = ["QMRL", "wind calm", "remarks NIL = METAR QMRL 252000Z T01 RMK TAF $$ birds"]
    heard = read_dictated(lines, find=find, now_utc=NOW_UTC)
    assert any("NIL = METAR" in line and line.startswith("#") for line in heard.lines)
    reports, forecasts = read_weather_text("\n".join(heard.lines), near_utc=NOW_UTC)
    assert reports == {"QMRL": heard.report}
    assert not forecasts


@pytest.mark.parametrize(
    ("said", "written"),
    [
        ("one thousand", "1000"),
        ("seven hundred", "700"),
        ("two niner point niner two", "29.92"),
        ("three quarters", "3/4"),
        ("Visibility 10", "visibility 10"),
    ],
)
def test_spoken_numbers_are_written_with_figures(said: str, written: str) -> None:
    assert figures(said) == written


def test_letters_of_the_radio_alphabet() -> None:
    assert [letter(word) for word in ("Alfa", "x-ray", "q", "tower", "7")] == [
        "A",
        "X",
        "Q",
        "",
        "",
    ]


WORDS = (
    *("wind", "visibility", "clouds", "weather", "temperature", "altimeter", "remarks", "runway"),
    *(
        "280",
        "at",
        "12",
        "gust",
        "19",
        "1",
        "1/2",
        "1/0",
        "broken",
        "4500",
        "light",
        "rain",
        "mist",
    ),
    *(
        "minus",
        "2996",
        "NIL",
        "=",
        "METAR",
        "TAF",
        "true",
        "variable",
        ",",
        "point",
        "hundred",
        "#",
    ),
)


@settings(max_examples=100, deadline=None)
@given(st.lists(st.lists(st.sampled_from(WORDS) | st.text(max_size=5), max_size=9), max_size=5))
def test_any_words_are_one_report_that_reads_back_or_one_refusal(
    words: Sequence[list[str]],
) -> None:
    lines = ["QMRL bravo 2053", *(" ".join(line) for line in words)]
    try:
        heard = read_dictated(lines, find=find, now_utc=NOW_UTC)
    except BadFile:
        return
    reports, _ = read_weather_text("\n".join(heard.lines), near_utc=NOW_UTC + timedelta(days=3))
    assert reports == {"QMRL": heard.report}
    assert heard.report.undecoded == ()

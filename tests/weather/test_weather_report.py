from datetime import UTC, datetime
from math import inf
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from metar_taf_parser.parser.parser import MetarParser

from lubberline.errors import RangeError
from lubberline.units import KT_PER_KMH, KT_PER_MPS, SM_PER_M
from lubberline.weather import Report, UnreadableText, Wind, read_metar

NEAR_UTC = datetime(2026, 11, 25, 21, tzinfo=UTC)


def read(body: str) -> Report:
    return read_metar(f"METAR QWRN 252000Z {body}", near_utc=NEAR_UTC)


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("QWRN 010030Z 24008KT", datetime(2026, 12, 1, 0, 30, tzinfo=UTC)),
        ("QWRN 312359Z 24008KT", datetime(2026, 10, 31, 23, 59, tzinfo=UTC)),
        ("QWRN 252400Z 24008KT", datetime(2026, 11, 26, tzinfo=UTC)),
    ],
)
def test_the_day_is_the_one_nearest_the_flight(text: str, day: datetime) -> None:
    assert read_metar(text, near_utc=NEAR_UTC).observed_utc == day


def test_the_year_turns() -> None:
    report = read_metar("QWRN 312350Z 24008KT", near_utc=datetime(2027, 1, 1, 1, tzinfo=UTC))
    assert report.observed_utc == datetime(2026, 12, 31, 23, 50, tzinfo=UTC)


@pytest.mark.parametrize("keyword", ["", "METAR ", "SPECI ", "METAR COR ", "metar "])
def test_the_keyword_may_be_missing(keyword: str) -> None:
    report = read_metar(f"{keyword}QWRN 252000Z\n  24008KT\n 10SM =", near_utc=NEAR_UTC)
    assert (report.station, report.visibility_sm) == ("QWRN", 10.0)


@pytest.mark.parametrize(
    ("group", "wind"),
    [
        ("24008KT", Wind(from_true_deg=240, mean_kt=8)),
        ("24008G15KT", Wind(from_true_deg=240, mean_kt=8, gust_kt=15)),
        ("240108G130KT", Wind(from_true_deg=240, mean_kt=108, gust_kt=130)),
        ("VRB05KT", Wind(from_true_deg=None, mean_kt=5)),
        ("VRB15G30KT", Wind(from_true_deg=None, mean_kt=15, gust_kt=30)),
        ("///05KT", Wind(from_true_deg=None, mean_kt=5)),
        ("240P99KT", Wind(from_true_deg=240, mean_kt=99)),
        ("24010MPS", Wind(from_true_deg=240, mean_kt=10 * KT_PER_MPS)),
        ("24020KMH", Wind(from_true_deg=240, mean_kt=20 * KT_PER_KMH)),
        ("24008KT 180V260", Wind(from_true_deg=240, mean_kt=8, between_true_deg=(180, 260))),
        ("VRB08KT 180V260", Wind(from_true_deg=None, mean_kt=8, between_true_deg=(180, 260))),
        ("/////KT", None),
        ("240//KT", None),
    ],
)
def test_wind(group: str, wind: Wind | None) -> None:
    report = read(group)
    assert report.wind == wind
    assert report.undecoded == ()


@pytest.mark.parametrize(
    "group",
    ["2408KT", "24008", "24008GKT", "24015G10KT", "36108KT", "24008KTS", "180V260", "240400KT"],
)
def test_half_a_wind_is_no_wind(group: str) -> None:
    report = read(group)
    assert report.wind is None
    assert report.undecoded == (group,)


@pytest.mark.parametrize(
    ("group", "visibility_sm"),
    [
        ("10SM", 10.0),
        ("1 1/2SM", 1.5),
        ("2 3/4SM", 2.75),
        ("3/16SM", 0.1875),
        ("1 15/16SM", 1.9375),
        ("M1/4SM", 0.25),
        ("P6SM", 6.0),
        ("0SM", 0.0),
        ("9999", 10_000 * SM_PER_M),
        ("9999NDV", 10_000 * SM_PER_M),
        ("0400", 400 * SM_PER_M),
        ("6000 1400SW", 6_000 * SM_PER_M),
        ("CAVOK", 10_000 * SM_PER_M),
        ("////", None),
        ("////SM", None),
    ],
)
def test_visibility(group: str, visibility_sm: float | None) -> None:
    report = read(f"24008KT {group} SCT040")
    assert report.visibility_sm == visibility_sm
    assert report.undecoded == ()


@pytest.mark.parametrize(
    "group", ["SM", "11/2SM", "1/0SM", "2/2SM", "10KM", "3/4", "1O0SM", "1 SM"]
)
def test_half_a_visibility_is_no_visibility(group: str) -> None:
    report = read(f"24008KT {group}")
    assert report.visibility_sm is None
    assert " ".join(report.undecoded) == group


@pytest.mark.parametrize(
    ("groups", "ceiling_agl_ft"),
    [
        ("CLR", inf),
        ("SKC", inf),
        ("NCD", inf),
        ("FEW020 SCT040", inf),
        ("FEW///", inf),
        ("CAVOK", 5_000.0),
        ("NSC", 5_000.0),
        ("BKN040 OVC025CB", 2_500.0),
        ("SCT010TCU BKN015///", 1_500.0),
        ("VV003", 300.0),
        ("OVC000", 0.0),
        ("VV///", None),
        ("BKN///", None),
        ("BKN020 OVC///", None),
        ("//////", None),
        ("FEW020 //////CB", None),
        ("///015", None),
        ("10/05", None),
        ("", None),
    ],
)
def test_ceiling(groups: str, ceiling_agl_ft: float | None) -> None:
    report = read(groups)
    assert report.ceiling_agl_ft == ceiling_agl_ft
    assert report.undecoded == ()


@pytest.mark.parametrize("index", range(6))
@pytest.mark.parametrize("letter", "AOQXZ?-.")
def test_a_damaged_layer_leaves_the_ceiling_unknown(index: int, letter: str) -> None:
    damaged = f"{'BKN008'[:index]}{letter}{'BKN008'[index + 1 :]}"
    report = read(f"24008KT 10SM FEW004 {damaged} OVC040 10/05 A3002")
    assert report.ceiling_agl_ft is None
    assert report.undecoded == (damaged,)


def test_damage_elsewhere_leaves_the_ceiling() -> None:
    report = read("2408KT 10SX FEW004 BKN008 10/05 R27/X W15/ A3002")
    assert report.ceiling_agl_ft is None  # "10SX" might have been a layer
    report = read("2408KT 11/2SM FEW004 BKN008 10/05 R27/X W15/ A3002")
    assert report.ceiling_agl_ft == 800.0
    assert report.undecoded == ("2408KT", "11/2SM", "R27/X", "W15/")


@pytest.mark.parametrize(
    ("groups", "temperature_degc", "dewpoint_degc"),
    [
        ("12/M03", 12.0, -3.0),
        ("M01/M05", -1.0, -5.0),
        ("M00/M01", 0.0, -1.0),
        ("10/", 10.0, None),
        ("10///", 10.0, None),
        ("///M02", None, -2.0),
        ("/////", None, None),
        ("12/M03 RMK T01171028", 11.7, -2.8),
        ("12/M03 RMK T0117", 11.7, -3.0),
        ("RMK T10021010", -0.2, -1.0),
    ],
)
def test_temperatures(
    groups: str, temperature_degc: float | None, dewpoint_degc: float | None
) -> None:
    report = read(groups)
    assert (report.temperature_degc, report.dewpoint_degc) == (temperature_degc, dewpoint_degc)
    assert report.undecoded == ()


def test_tenths_that_contradict_the_body_are_handed_on() -> None:
    report = read("12/M03 RMK T02171028")
    assert report.temperature_degc == 12.0
    assert report.undecoded == ("T02171028",)


@pytest.mark.parametrize("group", ["99/98", "1/2", "M1/M3", "12/M3"])
def test_half_a_temperature_is_none(group: str) -> None:
    assert read(group).undecoded == (group,)


@pytest.mark.parametrize(
    ("group", "altimeter_inhg"),
    [("A3013", 30.13), ("Q1013", 1013 / 33.86389), ("A////", None), ("Q////", None)],
)
def test_altimeter(group: str, altimeter_inhg: float | None) -> None:
    report = read(group)
    assert report.altimeter_inhg == pytest.approx(altimeter_inhg)
    assert report.undecoded == ()


@pytest.mark.parametrize("group", ["A0000", "Q2992", "A1013", "A301"])
def test_an_impossible_altimeter_is_none(group: str) -> None:
    report = read(group)
    assert report.altimeter_inhg is None
    assert report.undecoded == (group,)


@pytest.mark.parametrize(
    ("body", "name"),
    [
        ("24008KT 30020KT", "wind"),
        ("10SM 2SM", "visibility_sm"),
        ("A3013 A3001", "altimeter_inhg"),
        ("10/05 18/05", "temperature_degc"),
    ],
)
def test_an_element_that_is_given_twice_is_unknown(body: str, name: str) -> None:
    report = read(body)
    assert getattr(report, name) is None
    assert report.undecoded == (body.split()[1],)


def test_a_landing_forecast_is_not_an_observation() -> None:
    report = read("24008KT 9999 SCT040 10/05 Q1013 TEMPO FM2030 0800 FG RMK BKN001")
    assert report.visibility_sm == 10_000 * SM_PER_M
    assert report.ceiling_agl_ft == inf
    assert report.undecoded == ("TEMPO FM2030 0800 FG",)


def test_groups_without_a_number_here_are_understood() -> None:
    body = (
        "AUTO 24008KT 9999 4000NE R04/P1500N R22/M0200V0600FT/U R88/CLRD70 R27/290195 VCSH RETSRA"
        " NOSIG W15/S3 SCT040"
    )
    assert read(body).undecoded == ()


@pytest.mark.parametrize(
    "text",
    ["", "METAR", "24008KT 10SM", "QWRN 2520Z 24008KT", "QWRN 322000Z", "QWRN 252561Z", "QWRN"],
)
def test_without_station_and_time_it_is_refused(text: str) -> None:
    with pytest.raises(UnreadableText, match=r"expected e\.g\. QWRN 252000Z"):
        read_metar(text, near_utc=NEAR_UTC)


def test_a_missing_report_is_refused() -> None:
    with pytest.raises(UnreadableText, match="NIL"):
        read("NIL")


def test_a_report_longer_than_any_is_refused() -> None:
    with pytest.raises(UnreadableText, match="1002 groups"):
        read_metar("QWRN 252000Z" + " RA" * 1000, near_utc=NEAR_UTC)


def test_a_time_without_zone_is_refused() -> None:
    with pytest.raises(RangeError, match="without a time zone"):
        read_metar("QWRN 252000Z", near_utc=datetime(2026, 11, 25))  # noqa: DTZ001


# What the library alone makes of a group that is read here instead; where one of these fails
# after an update, the library has learned it and our own reading may go.
@pytest.mark.parametrize(
    ("body", "attribute", "library_value"),
    [
        ("240108KT", "wind.speed", 10),  # 108 kt
        ("24008KT 30020KT", "wind.degrees", 300),  # the second without a word
        ("A2946", "altimeter", 997),  # whole hPa, cut: 29.46 becomes 29.44
        ("3/16SM", "visibility", None),
        ("11/2SM", "visibility.distance", "11/2"),
        ("10/", "temperature", None),
        ("VV///", "vertical_visibility", None),
        ("NCD", "clouds", []),
        ("VCSH", "weather_conditions", []),
        ("R13L/2800VP6000FT", "runways_info", []),
    ],
)
def test_the_library_alone_would_lose_it(body: str, attribute: str, library_value: Any) -> None:
    value: Any = MetarParser().parse(f"QWRN 252000Z {body}")
    for name in attribute.split("."):
        value = getattr(value, name)
    assert value == library_value


def test_the_library_alone_would_drop_what_it_does_not_know() -> None:
    whole, bare = (MetarParser().parse(f"QWRN 252000Z{x} 10SM") for x in (" 2408KT BKNO10", ""))
    whole.message = bare.message
    assert repr(whole) == repr(bare)
    assert read("2408KT BKNO10 10SM").undecoded == ("2408KT", "BKNO10")


@pytest.mark.parametrize(
    ("text", "defect"),
    [("METAR QWRN 252000Z", ValueError), ("QWRN 252000Z 180V260", AttributeError)],
)
def test_the_library_alone_would_break(text: str, defect: type[Exception]) -> None:
    with pytest.raises(defect):
        MetarParser().parse(text)


@given(st.text(max_size=80))
def test_any_text_behind_the_header_is_read_and_nothing_is_dropped(body: str) -> None:
    text = f"QWRN 252000Z 24008KT 10SM BKN025 10/05 A3002 {body}"
    groups = text.upper().replace("=", " ").split()
    assume("NIL" not in groups)
    report = read_metar(text, near_utc=NEAR_UTC)
    assert report.text.split() == groups
    assert report.ceiling_agl_ft is None or report.ceiling_agl_ft <= 2_500.0


@pytest.mark.parametrize(
    ("group", "is_least"),
    [("P6SM", True), ("6SM", False), ("9999", True), ("CAVOK", True), ("9000", False)],
)
def test_more_than_a_figure_is_told_apart_from_the_figure(group: str, is_least: bool) -> None:
    report = read_metar(f"QWRN 252053Z 24008KT {group} 10/05 A3000", near_utc=NEAR_UTC)
    assert report.visibility_is_least is is_least

from datetime import UTC, datetime
from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lubberline.weather import Conditions, Forecast, UnreadableText, Wind, read_taf

NEAR_UTC = datetime(2026, 11, 25, 21, tzinfo=UTC)
BASE = "24010KT P6SM SCT040"


def read(body: str) -> Forecast:
    return read_taf(f"TAF QWRN 251730Z 2518/2618 {body}", near_utc=NEAR_UTC)


def at(spans: tuple[Conditions, ...], day: int, hour: int) -> Conditions:
    when_utc = datetime(2026, 11, day, hour, tzinfo=UTC)
    (span,) = [span for span in spans if span.from_utc <= when_utc < span.until_utc]
    return span


@pytest.mark.parametrize(
    "header",
    [
        "TAF QWRN 251730Z 2518/2618",
        "QWRN 251730Z 2518/2618",
        "TAF AMD QWRN 251730Z 2518/2618",
        "TAF COR QWRN 251730Z 2518/2618",
        "TAF TAF AMD QWRN 251730Z 2518/2618",
        "TAF\nTAF QWRN 251730Z 2518/2618",
        "TAF QWRN 251730Z AMD 2518/2618",
        "taf qwrn 251730z 2518/2618",
    ],
)
def test_the_header_may_be_written_in_any_usual_way(header: str) -> None:
    forecast = read_taf(f"{header} {BASE}=", near_utc=NEAR_UTC)
    assert forecast.station == "QWRN"
    assert forecast.issued_utc == datetime(2026, 11, 25, 17, 30, tzinfo=UTC)
    assert forecast.valid_until_utc == datetime(2026, 11, 26, 18, tzinfo=UTC)


def test_without_a_time_of_issue_it_is_that_of_the_validity() -> None:
    forecast = read_taf(f"QWRN 2518/2618 {BASE}", near_utc=NEAR_UTC)
    assert forecast.issued_utc == forecast.valid_from_utc


def test_a_validity_runs_into_the_next_month() -> None:
    forecast = read_taf(f"QWRN 302330Z 0100/0206 {BASE}", near_utc=NEAR_UTC)
    assert forecast.valid_from_utc == datetime(2026, 12, 1, tzinfo=UTC)
    assert forecast.valid_until_utc == datetime(2026, 12, 2, 6, tzinfo=UTC)


def test_from_replaces_everything_even_what_it_does_not_name() -> None:
    span = at(read(f"{BASE} FM252100 30020KT 2SM").prevailing, 25, 21)
    assert span.wind == Wind(from_true_deg=300, mean_kt=20)
    assert (span.visibility_sm, span.ceiling_agl_ft) == (2.0, None)


@pytest.mark.parametrize(
    ("hour", "wind", "visibility_sm", "ceiling_agl_ft", "weather"),
    [
        (19, Wind(from_true_deg=240, mean_kt=10), 6.0, inf, ()),
        (20, Wind(from_true_deg=None, mean_kt=15, gust_kt=25), 3.0, 800.0, ("RA",)),
        (21, Wind(from_true_deg=None, mean_kt=15, gust_kt=25), 3.0, 800.0, ("RA",)),
        (22, Wind(from_true_deg=270, mean_kt=15, gust_kt=25), 3.0, 800.0, ("RA",)),
    ],
)
def test_while_it_becomes_the_worse_holds(
    hour: int,
    wind: Wind,
    visibility_sm: float,
    ceiling_agl_ft: float,
    weather: tuple[str, ...],
) -> None:
    forecast = read(f"{BASE} BECMG 2520/2522 27015G25KT 3SM RA OVC008")
    span = at(forecast.prevailing, 25, hour)
    assert (span.wind, span.weather) == (wind, weather)
    assert (span.visibility_sm, span.ceiling_agl_ft) == (visibility_sm, ceiling_agl_ft)


def test_becoming_better_helps_only_at_its_end() -> None:
    forecast = read("24010KT 1SM BR OVC004 BECMG 2520/2522 P6SM NSW SKC")
    during, after = at(forecast.prevailing, 25, 21), at(forecast.prevailing, 25, 22)
    assert (during.visibility_sm, during.ceiling_agl_ft, during.weather) == (1.0, 400.0, ("BR",))
    assert (after.visibility_sm, after.ceiling_agl_ft, after.weather) == (6.0, inf, ())
    assert after.wind == Wind(from_true_deg=240, mean_kt=10)


def test_one_change_builds_on_another() -> None:
    forecast = read(f"{BASE} BECMG 2519/2520 2SM BECMG 2521/2522 OVC008 FM252300 {BASE}")
    changed = at(forecast.prevailing, 25, 22)
    assert (changed.visibility_sm, changed.ceiling_agl_ft) == (2.0, 800.0)
    assert at(forecast.prevailing, 25, 23).ceiling_agl_ft == inf


@pytest.mark.parametrize("word", ["TEMPO", "INTER", "PROB30", "PROB40 TEMPO", "PROB30 INTER"])
def test_an_overlay_takes_what_it_does_not_name_from_what_prevails_then(word: str) -> None:
    forecast = read(f"24010KT P6SM OVC030 {word} 2520/2522 2SM FM252100 30020KT P6SM OVC020")
    first, second = at(forecast.temporary, 25, 20), at(forecast.temporary, 25, 21)
    assert (first.visibility_sm, first.ceiling_agl_ft) == (2.0, 3_000.0)
    assert (second.visibility_sm, second.ceiling_agl_ft) == (2.0, 2_000.0)
    assert first.text == f"{word} 2520/2522 2SM"
    assert len(forecast.prevailing) == 2


def test_an_overlay_with_something_undecoded_takes_nothing_over() -> None:
    forecast = read(f"{BASE} TEMPO 2520/2522 1/2SX +TSRA")
    (overlay,) = forecast.temporary
    assert (overlay.wind, overlay.visibility_sm, overlay.ceiling_agl_ft) == (None, None, None)
    assert forecast.undecoded == ("1/2SX",)


def test_a_canceled_forecast_says_nothing() -> None:
    forecast = read_taf("TAF AMD QWRN 251930Z 2518/2618 CNL=", near_utc=NEAR_UTC)
    assert (forecast.prevailing, forecast.temporary, forecast.undecoded) == ((), (), ())


@pytest.mark.parametrize(
    "tail",
    [
        "RMK NXT FCST BY 26Z",
        "AMD NOT SKED AFT 260200",
        "AMD LTD TO CLD VIS AND WIND TIL 260300",
        "TX12/2521Z TNM02/2614Z",
        "QNH2992INS 620304 520006",
        "WS010/31022KT",
    ],
)
def test_what_is_beside_the_weather_leaves_the_weather(tail: str) -> None:
    forecast = read(f"{BASE} {tail}")
    assert forecast.prevailing[0].ceiling_agl_ft == inf
    assert forecast.undecoded == ()
    assert forecast.text.endswith(tail)


def test_a_change_after_remarks_still_counts() -> None:
    forecast = read(f"{BASE} RMK LIGHTHOUSE FOGGY\nFM252100 30020KT 2SM OVC004")
    assert at(forecast.prevailing, 25, 22).ceiling_agl_ft == 400.0


@pytest.mark.parametrize("index", range(8))
@pytest.mark.parametrize("letter", "XO?")
def test_a_damaged_from_never_lets_the_earlier_weather_go_on(index: int, letter: str) -> None:
    damaged = f"{'FM252100'[:index]}{letter}{'FM252100'[index + 1 :]}"
    with pytest.raises(UnreadableText):
        read(f"{BASE} {damaged} 30020KT 2SM OVC004")


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ("BECNG 2520/2522 2SM", "not readable"),
        ("TEMP0 2520/2522 2SM", "not readable"),
        ("BECMG 2SM", "not a change with its time"),
        ("TEMPO 2520/2522X 2SM", "not a change with its time"),
        ("PROB3 2520/2522 2SM", "not a change with its time"),
        ("PROB30 FM252100 24010KT", "not a change with its time"),
        ("TEMPO 3220/3222 2SM", "no such day and time as 3220"),
        ("TEMPO 2522/2520 2SM", "do not fit"),
        ("TEMPO 2720/2722 2SM", "do not fit"),
        ("FM242100 30020KT 2SM", "do not fit"),
        ("FM261800 30020KT 2SM", "do not fit"),
        ("FM252200 30020KT 2SM FM252100 30020KT 2SM", "do not fit"),
    ],
)
def test_changes_that_cannot_be_told_apart_or_dated_are_refused(changes: str, reason: str) -> None:
    with pytest.raises(UnreadableText, match=reason):
        read(f"{BASE} {changes}")


@pytest.mark.parametrize(
    "text",
    ["", "TAF", "TAF QWRN 251730Z NIL", "TAF QWRN 251730Z 252618 24010KT", "TAF QWRN 2518/2518"],
)
def test_without_station_and_validity_it_is_refused(text: str) -> None:
    with pytest.raises(UnreadableText):
        read_taf(text, near_utc=NEAR_UTC)


CHANGES = st.lists(
    st.builds(
        "{} 25{:02d}/26{:02d} {}".format,
        st.sampled_from(["TEMPO", "BECMG", "PROB30"]),
        st.integers(18, 23),
        st.integers(0, 18),
        st.sampled_from(["1SM", "30020G30KT", "BKN010", "NSW", "P6SM SKC", "XX9"]),
    ),
    max_size=5,
)


@given(CHANGES)
def test_prevailing_spans_fill_the_validity_and_say_no_more_than_the_groups(
    changes: list[str],
) -> None:
    becoming = sorted(change for change in changes if change.startswith("BECMG"))
    others = [change for change in changes if not change.startswith("BECMG")]
    forecast = read(" ".join([BASE, *becoming, *others]))
    edges = [forecast.valid_from_utc, *(span.until_utc for span in forecast.prevailing)]
    assert [span.from_utc for span in forecast.prevailing] == edges[:-1]
    assert edges[-1] == forecast.valid_until_utc
    for span in forecast.prevailing:
        assert span.ceiling_agl_ft in {inf, 1_000.0, None}
        assert span.visibility_sm in {6.0, 1.0, None}


@given(st.text(max_size=60))
def test_any_text_is_read_or_refused(tail: str) -> None:
    try:
        forecast = read(f"{BASE} OVC030 {tail}")
    except UnreadableText:
        return
    assert forecast.text.split()[-1:] == f"OVC030 {tail}".upper().replace("=", " ").split()[-1:]
    first = forecast.prevailing[0].ceiling_agl_ft if forecast.prevailing else None
    assert first is None or first <= 3_000.0

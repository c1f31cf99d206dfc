"""Reports and forecasts that are printed with their decoding.

Sources, each named beside its rows:

* Key: FAA Aeronautical Information Manual, figures 7-1-21 and 7-1-22, the weather service's
  key to TAF and METAR.
* AIM TAF: the same manual, chapter 7, section 1, terminal aerodrome forecast, as transcribed
  on its pages about change groups; only the body is printed, so a header is put before it.
* Notes: reports in a flight instructor's notes; values decoded by rule and by an independent
  decoder.
* Table: state of the key's forecast at given times, computed by rule from its change groups.
"""

from dataclasses import dataclass
from datetime import UTC, datetime
from math import inf
from typing import Any

import numpy as np
import pytest

from lubberline.weather import (
    Forecast,
    Report,
    Weather,
    WindsAloft,
    conditions_at,
    read_metar,
    read_taf,
    spans_at,
    wind_at,
)

NEAR_UTC = datetime(2026, 11, 9, 20, tzinfo=UTC)

KEY_METAR = (
    "METAR KPIT 091955Z COR 22015G25KT 3/4SM R28L/2600FT TSRA OVC010CB 18/16 A2992"
    " RMK SLP045 T01820159"
)
KIAD = (
    "KIAD 241952Z 31005KT 1/2SM R01R/2000V2800FT FG VV002 07/06 A2946 RMK AO2 RAE19 SLP978"
    " P0001 T00670061"
)
KDCA = (
    "KDCA 242036Z 14016KT 4SM RA BR BKN019 BKN047 OVC070 17/15 A2943 RMK AO2 PRESFR P0004 T01670150"
)
KRBD = "KRBD 112153Z 18013G25KT 10SM CLR 12/M03 A2982 RMK AO2 PK WND 19026/2122 SLP099 T01171028"
KDAL = (
    "SPECI KDAL 041140Z COR 30034G68KT 3/4SM R13L/2800VP6000FT +TSRA BR SQ FEW011 BKN017 OVC023CB"
    " 11/10 A2953 RMK A02 PK WND 29068/1134 WSHFT 1121 TSB10 FRQ LTGICCC ALQDS TS ALQDS MOV NE"
    " P0012 T01060100"
)
KEY_TAF = (
    "TAF KPIT 091730Z 0918/1024 15005KT 5SM HZ FEW020 WS010/31022KT FM091930 30015G25KT 3SM SHRA"
    " OVC015 TEMPO 0920/0922 1/2SM +TSRA OVC008CB FM100100 27008KT 5SM SHRA BKN020 OVC040"
    " PROB30 1004/1007 1SM -RA BR FM101015 18005KT 6SM -SHRA OVC020 BECMG 1013/1015 P6SM NSW SKC"
)
KIAD_TAF = (
    "KIAD 241741Z 2418/2524 10006KT 2SM -RA OVC006 WS020/17040KT FM242000 14015G23KT 3SM -SHRA"
    " VCTS OVC015CB TEMPO 2420/2424 VRB40KT 1SM +TSRA BKN008 OVC015CB FM250000 18012G16KT 6SM"
    " -SHRA BKN040 FM250200 20014G21KT P6SM BKN060 FM251300 26018G27KT P6SM BKN050"
)

METAR_ROWS = [
    # Key, METAR
    (KEY_METAR, "station", "KPIT"),
    (KEY_METAR, "observed_utc", datetime(2026, 11, 9, 19, 55, tzinfo=UTC)),
    (KEY_METAR, "wind", (220.0, 15.0, 25.0)),
    (KEY_METAR, "visibility_sm", 0.75),
    (KEY_METAR, "weather", ("TSRA",)),
    (KEY_METAR, "ceiling_agl_ft", 1_000.0),
    (KEY_METAR, "temperature_degc", 18.2),
    (KEY_METAR, "dewpoint_degc", 15.9),
    (KEY_METAR, "altimeter_inhg", 29.92),
    (KEY_METAR, "undecoded", ()),
    # Notes, four reports
    (KIAD, "wind", (310.0, 5.0, None)),
    (KIAD, "visibility_sm", 0.5),
    (KIAD, "weather", ("FG",)),
    (KIAD, "ceiling_agl_ft", 200.0),  # vertical visibility
    (KIAD, "temperature_degc", 6.7),
    (KIAD, "dewpoint_degc", 6.1),
    (KIAD, "altimeter_inhg", 29.46),
    (KIAD, "undecoded", ()),
    (KDCA, "wind", (140.0, 16.0, None)),
    (KDCA, "visibility_sm", 4.0),
    (KDCA, "weather", ("RA", "BR")),
    (KDCA, "ceiling_agl_ft", 1_900.0),
    (KDCA, "temperature_degc", 16.7),
    (KDCA, "dewpoint_degc", 15.0),
    (KDCA, "altimeter_inhg", 29.43),
    (KDCA, "undecoded", ()),
    (KRBD, "wind", (180.0, 13.0, 25.0)),
    (KRBD, "visibility_sm", 10.0),
    (KRBD, "ceiling_agl_ft", inf),  # clear below 12,000 ft
    (KRBD, "temperature_degc", 11.7),
    (KRBD, "dewpoint_degc", -2.8),
    (KRBD, "altimeter_inhg", 29.82),
    (KRBD, "undecoded", ()),
    (KDAL, "wind", (300.0, 34.0, 68.0)),
    (KDAL, "visibility_sm", 0.75),
    (KDAL, "weather", ("+TSRA", "BR", "SQ")),
    (KDAL, "ceiling_agl_ft", 1_700.0),
    (KDAL, "temperature_degc", 10.6),
    (KDAL, "dewpoint_degc", 10.0),
    (KDAL, "altimeter_inhg", 29.53),  # and not the misprint A02 of the remarks
    (KDAL, "undecoded", ()),
    # Key, missing and less than: memory
    ("QWRN 252000Z 24008KT M1/4SM", "visibility_sm", 0.25),
    ("QWRN 252000Z 24008KT ////", "visibility_sm", None),
    # Key, pressure: Q is hPa; 1013 hPa is 29.91 inHg by NIST SP 811 (2008), B.8
    ("QWRN 252000Z 24008KT Q1013", "altimeter_inhg", 1013.0 / 33.86389),
    # Key, sky: amounts that are and are not a ceiling
    ("QWRN 252000Z 24008KT SKC", "ceiling_agl_ft", inf),
    ("QWRN 252000Z 24008KT FEW005 SCT010", "ceiling_agl_ft", inf),
    ("QWRN 252000Z 24008KT FEW005 SCT010 BKN025", "ceiling_agl_ft", 2_500.0),
    ("QWRN 252000Z 24008KT OVC008", "ceiling_agl_ft", 800.0),
    # Key, wind: calm, and a variable range beside the mean direction
    ("QWRN 252000Z 00000KT", "wind", (0.0, 0.0, None)),
    ("QWRN 252000Z 22015G25KT 180V260", "wind", (220.0, 15.0, 25.0)),
]


@pytest.mark.parametrize(("text", "name", "printed"), METAR_ROWS)
def test_a_report_says_what_is_printed_beside_it(text: str, name: str, printed: Any) -> None:
    report = read_metar(text, near_utc=NEAR_UTC)
    value = wind_of(report) if name == "wind" else getattr(report, name)
    assert (
        value == pytest.approx(printed, abs=1e-9)
        if isinstance(printed, float)
        else value == printed
    )


def wind_of(report: Report) -> tuple[float | None, float, float | None] | None:
    wind = report.wind
    return None if wind is None else (wind.from_true_deg, wind.mean_kt, wind.gust_kt)


@dataclass(frozen=True, kw_only=True)
class State:
    """What is printed for one time; None for a wind that is not printed."""

    wind: tuple[float | None, float, float | None]
    visibility_sm: float
    ceiling_agl_ft: float
    weather: tuple[str, ...] = ()


SHOWERS = ("SHRA",)
KEY_STATES = [  # Table
    ("09T18:30", State(wind=(150, 5, None), visibility_sm=5, ceiling_agl_ft=inf, weather=("HZ",))),
    ("09T20:30", State(wind=(300, 15, 25), visibility_sm=3, ceiling_agl_ft=1_500, weather=SHOWERS)),
    (
        "10T01:30",
        State(wind=(270, 8, None), visibility_sm=5, ceiling_agl_ft=2_000, weather=SHOWERS),
    ),
    (
        "10T05:00",
        State(wind=(270, 8, None), visibility_sm=5, ceiling_agl_ft=2_000, weather=SHOWERS),
    ),
    (
        "10T12:00",
        State(wind=(180, 5, None), visibility_sm=6, ceiling_agl_ft=2_000, weather=("-SHRA",)),
    ),
    ("10T16:00", State(wind=(180, 5, None), visibility_sm=6, ceiling_agl_ft=inf)),  # P6SM
]
KEY_OVERLAYS = [  # Table; what an overlay does not name is what prevails
    (
        "09T20:30",
        State(wind=(300, 15, 25), visibility_sm=0.5, ceiling_agl_ft=800, weather=("+TSRA",)),
    ),
    (
        "10T05:00",
        State(wind=(270, 8, None), visibility_sm=1, ceiling_agl_ft=2_000, weather=("-RA", "BR")),
    ),
]
KIAD_STATES = [  # Notes, forecast; states by rule
    ("24T18:30", State(wind=(100, 6, None), visibility_sm=2, ceiling_agl_ft=600, weather=("-RA",))),
    (
        "24T21:00",
        State(wind=(140, 15, 23), visibility_sm=3, ceiling_agl_ft=1_500, weather=("-SHRA", "VCTS")),
    ),
    (
        "25T01:00",
        State(wind=(180, 12, 16), visibility_sm=6, ceiling_agl_ft=4_000, weather=("-SHRA",)),
    ),
    ("25T05:00", State(wind=(200, 14, 21), visibility_sm=6, ceiling_agl_ft=6_000)),
    ("25T23:59", State(wind=(260, 18, 27), visibility_sm=6, ceiling_agl_ft=5_000)),
]
KIAD_OVERLAYS = [
    (
        "24T23:30",
        State(wind=(None, 40, None), visibility_sm=1, ceiling_agl_ft=800, weather=("+TSRA",)),
    ),
]


def states(text: str, rows: list[tuple[str, State]], layer: str) -> list[Any]:
    return [pytest.param(text, when, state, layer, id=f"{when}-{layer}") for when, state in rows]


@pytest.mark.parametrize(
    ("text", "when", "state", "layer"),
    [
        *states(KEY_TAF, KEY_STATES, "prevailing"),
        *states(KEY_TAF, KEY_OVERLAYS, "temporary"),
        *states(KIAD_TAF, KIAD_STATES, "prevailing"),
        *states(KIAD_TAF, KIAD_OVERLAYS, "temporary"),
    ],
)
def test_a_forecast_says_what_is_printed_for_a_time(
    text: str, when: str, state: State, layer: str
) -> None:
    forecast = read_taf(text, near_utc=NEAR_UTC)
    when_utc = datetime.fromisoformat(f"2026-11-{when}Z")
    spans = spans_at(weather_of(forecast), forecast.station, when_utc)
    span = spans[0] if layer == "prevailing" else spans[1]
    assert span.wind is not None
    assert (span.wind.from_true_deg, span.wind.mean_kt, span.wind.gust_kt) == state.wind
    assert (span.visibility_sm, span.ceiling_agl_ft) == (state.visibility_sm, state.ceiling_agl_ft)
    assert span.weather == state.weather
    assert forecast.undecoded == ()


def test_the_key_forecast_is_valid_to_midnight_written_as_24() -> None:
    forecast = read_taf(KEY_TAF, near_utc=NEAR_UTC)
    assert forecast.issued_utc == datetime(2026, 11, 9, 17, 30, tzinfo=UTC)
    assert forecast.valid_from_utc == datetime(2026, 11, 9, 18, tzinfo=UTC)
    assert forecast.valid_until_utc == datetime(2026, 11, 11, tzinfo=UTC)


# AIM TAF: body, time asked, layer (0 prevails), visibility and ceiling. The sky groups, change
# groups and their meaning are printed; wind, a visibility or sky that is not part of the printed
# example, and the date (all moved to the first) are put in to make a whole forecast.
AIM_ROWS = [
    ("15005KT P6SM SCT005 BKN025CB", "01T13:00", 0, 6.0, 2_500.0),
    ("15005KT P6SM VV008", "01T13:00", 0, 6.0, 800.0),
    ("15005KT P6SM OVC012 BECMG 0114/0116 BKN020", "01T13:00", 0, 6.0, 1_200.0),
    ("15005KT P6SM OVC012 BECMG 0114/0116 BKN020", "01T16:00", 0, 6.0, 2_000.0),
    ("15005KT P6SM SCT030 TEMPO 0119/0123 BKN030", "01T20:00", 0, 6.0, inf),
    ("15005KT P6SM SCT030 TEMPO 0119/0123 BKN030", "01T20:00", 1, 6.0, 3_000.0),
    ("15005KT 4SM HZ SKC TEMPO 0119/0123 2SM BR HZ", "01T20:00", 1, 2.0, inf),
    ("15005KT P6SM SKC PROB40 0121/0202 1/2SM +TSRA", "02T01:00", 1, 0.5, inf),
]


@pytest.mark.parametrize(("body", "when", "layer", "visibility_sm", "ceiling_agl_ft"), AIM_ROWS)
def test_the_manual_s_change_groups_hold_when_it_says(
    body: str, when: str, layer: int, visibility_sm: float, ceiling_agl_ft: float
) -> None:
    forecast = read_taf(f"TAF QWRN 011130Z 0112/0212 {body}", near_utc=NEAR_UTC)
    when_utc = datetime.fromisoformat(f"2026-11-{when}Z")
    span = spans_at(weather_of(forecast), "QWRN", when_utc)[layer]
    assert (span.visibility_sm, span.ceiling_agl_ft) == (visibility_sm, ceiling_agl_ft)


def weather_of(forecast: Forecast) -> Weather:
    nothing = np.array([])
    aloft = WindsAloft(msl_ft=nothing, from_true_deg=nothing, wind_kt=nothing, oat_degc=nothing)
    return Weather(reports={}, forecasts={forecast.station: forecast}, aloft=aloft)


def test_outside_its_validity_a_forecast_says_nothing() -> None:
    forecast = read_taf(KEY_TAF, near_utc=NEAR_UTC)
    after_utc = datetime(2026, 11, 11, tzinfo=UTC)
    assert conditions_at(weather_of(forecast), "KPIT", after_utc) is None


# Winds aloft of the weather service's explanation (levels 3,000 to 12,000 ft, 2426 2726-09
# 2826-14 2930-21), and between two of them a value computed from its components (computed).
LEVELS = WindsAloft(
    msl_ft=np.array([3_000.0, 6_000.0, 9_000.0, 12_000.0]),
    from_true_deg=np.array([240.0, 270.0, 280.0, 290.0]),
    wind_kt=np.array([26.0, 26.0, 26.0, 30.0]),
    oat_degc=np.array([np.nan, -9.0, -14.0, -21.0]),
)


@pytest.mark.parametrize(
    ("msl_ft", "from_true_deg", "wind_kt", "oat_degc"),
    [
        (6_000, 270, 26, -9),
        (9_000, 280, 26, -14),
        (12_000, 290, 30, -21),
        (7_500, 275, 25.9, -11.5),
    ],
)
def test_winds_aloft_hold_at_and_between_their_levels(
    msl_ft: float, from_true_deg: float, wind_kt: float, oat_degc: float
) -> None:
    found_deg, found_kt, found_degc = wind_at(LEVELS, msl_ft)
    assert float(found_deg) == pytest.approx(from_true_deg, abs=0.5)  # whole degrees
    assert float(found_kt) == pytest.approx(wind_kt, abs=0.05)  # tenths
    assert float(found_degc) == pytest.approx(oat_degc, abs=0.05)

"""Whatever happens to a weather text, its reader gives sound values or one refusal with a reason.

A few inputs for each reader in every run of the tests; ten thousand with ``make fuzz``.
"""

from collections.abc import Callable, Iterable
from datetime import UTC, datetime
from math import inf, isfinite, nan
from typing import Any, Final

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from mutations import FUZZ, mutated
from test_weather_briefing import CALM, SPOTS
from test_weather_briefing import TEXT as BRIEFING

from lubberline.errors import BadFile
from lubberline.weather import (
    BY_CONSEQUENCE,
    AloftTable,
    Area,
    Forecast,
    Level,
    Notice,
    PilotReport,
    Report,
    UnreadableText,
    Weather,
    WindsAloft,
    read_areas,
    read_areas_json,
    read_briefing,
    read_dictated,
    read_metar,
    read_notice,
    read_pilot_report,
    read_taf,
    read_winds_table,
    sections_of,
)

NEAR_UTC: Final = datetime(2026, 11, 25, 21, tzinfo=UTC)
WORDS: Final = (
    *(b"NIL", b"CNL", b"=", b"RMK", b"TEMPO ", b"BECMG 2521/2523 ", b"FM252461 ", b"PROB30 "),
    *(b"VRB", b"G99KT", b"999V999", b"P6SM", b"1/0SM", b"9999", b"CAVOK", b"VV///", b"////"),
    *(b"A0000", b"Q9999", b"M99/M99", b"FL999", b"9900", b"8699", b"UNL", b"SFC", b"-9999FT "),
    *(b"999999Z", b"252560Z", b"2400", b"PERM", b"EST", b"D) ", b"E) ", b"9999N99999W999"),
    *(b"/OV ", b"/TM 9999", b"/SK OVC", b"FROM ", b" TO ", b"WI ", b"null", b"1e999", b"[", b"{"),
)
DICTATED: Final = (
    "QMRL bravo 2053\nwind 280 at 12 gust 19\nvisibility 1 1/2, light rain\nclouds few 2500,"
    " broken 4500\ntemperature 10 dew point minus 3\naltimeter 29.96\nremarks birds"
)
METAR: Final = (
    "METAR QMRL 252053Z AUTO 28012G19KT 240V310 1 1/2SM R27/2600FT -SHRA BR FEW010 BKN045CB"
    " 10/M05 A2996 RMK AO2 SLP146 T01001050 TEMPO"
)
TAF: Final = (
    "TAF AMD QMRL 251730Z 2518/2624 28012G19KT P6SM BKN045 TEMPO 2523/2603 4SM -SHRA BKN025"
    " BECMG 2604/2606 24005KT FM260900 VRB03KT 6SM BR PROB30 2612/2615 1/2SM FG VV002"
)
WINDS: Final = """DATA BASED ON 251800Z
VALID 260000Z   FOR USE 2000-0300Z. TEMPS NEG ABV 24000
FT  3000    6000    9000   12000   18000   24000  30000
QWN 2426 2726-09 2826-14 2930-21 7345-30 850552 9900-51
QML      9900+02 2826-14 2930-21 7345-30 850552 731960
"""
PIREP: Final = "QMRL UUA /OV QML 090020/TM 2040/FL055/TP P28A/SK BKN030-TOP055/WX FV02SM RA/TA M3"
AIRMET: Final = """WAUS46 KKCI 251445
SFOT WA 251445
AIRMET TANGO UPDT 1 FOR TURB VALID UNTIL 252100
AIRMET TURB...CSTL WTRS
FROM QWN TO 30NNE QML TO QSD TO QWN
MOD TURB BTN 040 AND FL180. CONDS CONTG BYD 21Z.
SIGMET NOVEMBER 1 VALID UNTIL 260000
FROM QWN TO QML LINE 40NM WIDE TOPS TO FL450"""
JSON: Final = (
    '[{"airSigmetType": "SIGMET", "hazard": "CONVECTIVE", "validTimeFrom": 1795640400,'
    ' "validTimeTo": 1795647600, "altitudeHi1": 45000, "rawAirSigmet": "SIGMET 1", "coords":'
    ' [{"lat": 41, "lon": -131}, {"lat": 42, "lon": -131}, {"lat": 41, "lon": -130}]},'
    ' {"product": "ZULU", "hazard": "ICE", "base": "FZL", "fzlbase": "040", "top": "120",'
    ' "validTime": "2026-11-25T21:00:00Z", "coords": []}]'
)
ICAO: Final = """(A0001/26 NOTAMR A0009/25
Q) QZZZ/QRTCA/IV/NBO/AW/000/055/4110N13130W012
A) QMRL B) 2611240600 C) 2611281800EST
D) MON-FRI 0800-1700, SAT SR-SS
E) TEMPO RESTRICTED AREA WI 410000N1310000W-411000N1310000W-411000N1305000W
F) SFC G) FL055)"""
DOMESTIC: Final = (
    "!FDC 6/1234 QZZ AIRSPACE QZZ..TEMPORARY FLIGHT RESTRICTIONS WI AN AREA DEFINED AS 10NM RADIUS"
    " OF 405800N1310600W SFC-17999FT DLY 1200-2300 2611251200-2611252300"
)


def dictated(text: str) -> Report:
    lines = text.splitlines()
    return read_dictated(lines, find=lambda _: ("QMRL", 41.1, -130.5), now_utc=NEAR_UTC).report


def briefing(text: str) -> Weather:
    sections_of(text)
    return read_briefing(text, near_utc=NEAR_UTC, aloft=CALM, locate=SPOTS.get)


READERS: Final[dict[str, tuple[Callable[[str], Any], str]]] = {
    "report": (lambda text: read_metar(text, near_utc=NEAR_UTC), METAR),
    "forecast": (lambda text: read_taf(text, near_utc=NEAR_UTC), TAF),
    "winds": (lambda t: read_winds_table(t, near_utc=NEAR_UTC, locate=SPOTS.get), WINDS),
    "pilot": (lambda t: read_pilot_report(t, near_utc=NEAR_UTC, locate=SPOTS.get), PIREP),
    "bulletin": (lambda text: read_areas(text, near_utc=NEAR_UTC, locate=SPOTS.get), AIRMET),
    "areas": (read_areas_json, JSON),
    "notice": (read_notice, ICAO),
    "US notice": (read_notice, DOMESTIC),
    "dictated": (dictated, DICTATED),
    "briefing": (briefing, BRIEFING),
}


@st.composite
def damaged(draw: st.DrawFn, text: str) -> str:
    """Damage as to any file, and words of these forms where they do not belong."""
    data = draw(mutated(text.encode()) | st.just(text.encode()))
    for _ in range(draw(st.integers(0, 3))):
        at, word = draw(st.integers(0, len(data))), draw(st.sampled_from(WORDS))
        data = data[:at] + word + data[at + draw(st.integers(0, len(word))) :]
    return data.decode("utf-8", draw(st.sampled_from(("replace", "ignore", "surrogateescape"))))


@pytest.mark.parametrize("form", READERS)
def test_undamaged_a_text_is_read_whole(form: str) -> None:
    read, text = READERS[form]
    sound(read(text))


@pytest.mark.parametrize("form", READERS)
@FUZZ
@given(data=st.data())
def test_a_reader_survives_any_damage(form: str, data: st.DataObject) -> None:
    read, text = READERS[form]
    outcome: Any
    try:
        outcome = read(data.draw(damaged(text)))
    except UnreadableText as refused:
        outcome = refused.reason
    except BadFile as refused:
        outcome = "".join(f"{one.found}{one.expected}" for one in refused.problems)
    if isinstance(outcome, str):
        assert outcome.strip()
    else:
        sound(outcome)


def sound(told: Any) -> None:
    """Values are of this world, and every piece keeps its text."""
    match told:
        case Report():
            _report(told)
        case Forecast():
            _forecast(told)
        case AloftTable():
            assert told.use_from_utc <= told.valid_utc <= told.use_until_utc
            for station in told.stations:
                assert station.text
                _winds(station.winds)
        case Area():
            _area(told)
        case Notice():
            _notice(told)
        case PilotReport():
            _pilot_report(told)
        case Weather():
            assert all(one.reason and one.line >= 1 for one in told.unread)
            _all((*told.reports.values(), *told.forecasts.values(), *told.tables))
            _all((*told.areas, *told.notices, *told.pilot_reports))
        case tuple():
            _all(told)
        case _:
            raise AssertionError(f"what is {told!r}?")


def _all(items: Iterable[Any]) -> None:
    for item in items:
        sound(item)


def _area(told: Area) -> None:
    _levels(told.low, told.high)
    if told.corners_deg is None:
        assert told.missing or told.undecoded
        return
    assert len(told.corners_deg) >= 3
    assert (np.abs(told.corners_deg) <= [90.0, 180.0]).all()


def _pilot_report(told: PilotReport) -> None:
    assert told.text
    _spot(told.lat_deg, told.lon_deg)
    assert told.wind_from_mag_deg is None or 0.0 <= told.wind_from_mag_deg <= 360.0


def _report(told: Report) -> None:
    assert told.station
    assert told.text
    _wind(told.wind)
    assert told.visibility_sm is None or 0.0 <= told.visibility_sm < 1_000.0
    assert told.ceiling_agl_ft is None or 0.0 <= told.ceiling_agl_ft <= inf
    for degc in (told.temperature_degc, told.dewpoint_degc):
        assert degc is None or -100.0 <= degc <= 100.0
    assert told.altimeter_inhg is None or 25.0 <= told.altimeter_inhg <= 32.0


def _forecast(told: Forecast) -> None:
    assert told.text
    assert told.valid_from_utc < told.valid_until_utc
    at_utc = told.valid_from_utc
    for span in told.prevailing:
        assert span.from_utc == at_utc < span.until_utc
        at_utc = span.until_utc
        _wind(span.wind)
    assert at_utc == told.valid_until_utc or not told.prevailing
    for span in told.temporary:
        assert told.valid_from_utc <= span.from_utc < span.until_utc <= told.valid_until_utc


def _wind(wind: Any) -> None:
    if wind is not None:
        assert wind.from_true_deg is None or 0.0 <= wind.from_true_deg <= 360.0
        assert 0.0 <= wind.mean_kt <= wind.worst_kt <= 300.0


def _winds(winds: WindsAloft) -> None:
    known = np.isfinite(winds.from_true_deg)
    assert ((winds.from_true_deg[known] >= 0.0) & (winds.from_true_deg[known] <= 360.0)).all()
    assert ((winds.wind_kt[known] >= 0.0) & (winds.wind_kt[known] <= 199.0)).all()


def _levels(*levels: Level | None) -> None:
    for level in levels:
        assert level is None or 0.0 <= level.ft <= inf


def _spot(lat_deg: float | None, lon_deg: float | None) -> None:
    assert abs(nan if lat_deg is None else lat_deg) <= 90.0 or lat_deg is None
    assert abs(nan if lon_deg is None else lon_deg) <= 180.0 or lon_deg is None


def _notice(told: Notice) -> None:
    assert told.id
    assert told.text
    assert told.consequence in BY_CONSEQUENCE
    _levels(told.low, told.high)
    _spot(told.lat_deg, told.lon_deg)
    assert told.radius_nm is None or (isfinite(told.radius_nm) and told.radius_nm >= 0.0)
    for lat_deg, lon_deg in told.corners_deg:
        _spot(lat_deg, lon_deg)

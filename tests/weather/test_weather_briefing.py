from datetime import UTC, datetime

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lubberline.weather import Weather, WindsAloft, read_briefing

NEAR_UTC = datetime(2026, 11, 25, 21, tzinfo=UTC)
SPOTS = {"QWN": (41.0, -131.5), "QML": (41.3, -130.4), "QSD": (40.6, -131.0)}
NOTHING = np.array([])
CALM = WindsAloft(msl_ft=NOTHING, from_true_deg=NOTHING, wind_kt=NOTHING, oat_degc=NOTHING)
TEXT = """\
# from the briefing, 2050Z
METAR QMRL 251953Z 28012G19KT 10SM BKN045 A2996
QWN UA /OV QWN/TM 2010/FL055/TP P28A/TB LGT
!QWR 11/001 QWR RWY 09/27 CLSD
  2511251200-2511252200
(A0001/26 NOTAMN
Q) QZZZ/QRTCA/IV/BO/W/000/055/4110N13130W012
A) QZZZ B) 2611240600 C) 2611281800
E) TEMPO RESTRICTED AREA (SEE AIP)
OR CALL TOWER (118.3)
F) SFC G) FL055)
(A0002/26 NOTAMN
Q) QZZZ/QMXLC/IV/M/A/000/999/4110N13130W005
A) QWRN B) 2611240600 C) PERM
E) TWY A CLSD)

FBUS31 KWNO 251400
DATA BASED ON 251200Z
VALID 251800Z   FOR USE 1400-2100Z. TEMPS NEG ABV 24000

FT  3000    6000    9000
QWN 2710 2720+02 2730-04
FBUS33 KWNO 251400
DATA BASED ON 251200Z
VALID 260000Z   FOR USE 2100-0600Z. TEMPS NEG ABV 24000

FT  3000    6000    9000
QWN 2710 2720+02 2730-04

TAF QMRL 251730Z 2518/2618 28012KT P6SM BKN045
     TEMPO 2523/2603 4SM -SHRA
WAUS46 KKCI 251445
SFOS WA 251445
AIRMET SIERRA UPDT 2 FOR IFR VALID UNTIL 252100
.
AIRMET IFR...CSTL WTRS
FROM QWN TO QML TO QSD TO QWN
CIG BLW 010/VIS BLW 3SM PCPN/BR.
SFOT WA 251500
AIRMET TANGO UPDT 1 FOR TURB VALID UNTIL 252100
AIRMET TURB...CSTL WTRS
FROM QWN TO QML TO QSD TO QWN
MOD TURB BLW 080.
[{"hazard": "ICE", "product": "ZULU", "validTime": "2026-11-25T21:00:00Z", "base": "040",
  "top": "120", "coords": [{"lat": 41, "lon": -131}, {"lat": 42, "lon": -131},
  {"lat": 41, "lon": -130}]}]
Good flight!
"""


def read(text: str) -> Weather:
    return read_briefing(text, near_utc=NEAR_UTC, aloft=CALM, locate=SPOTS.get)


def test_every_form_is_told_apart() -> None:
    found = read(TEXT)
    assert sorted(found.reports) == ["QMRL"]
    assert len(found.forecasts["QMRL"].temporary) == 1
    assert [one.id for one in found.notices] == ["QWR 11/001", "A0001/26", "A0002/26"]
    assert len(found.pilot_reports) == 1
    assert [table.valid_utc.hour for table in found.tables] == [18, 0]
    assert [one.hazard for one in found.areas] == ["IFR", "TURB", "ICE"]
    assert [(one.line, one.text) for one in found.unread] == [
        (TEXT.splitlines().index("Good flight!") + 1, "Good flight!")
    ]


def test_each_bulletin_has_its_own_time_of_issue() -> None:
    times = [one.from_utc for one in read(TEXT).areas]
    assert [time.strftime("%H%M") for time in times if time] == ["1445", "1500", "1930"]


def test_a_piece_that_cannot_be_read_is_shown_with_its_line() -> None:
    text = "METAR QMRL 251953Z 28012KT\nVALID 251800Z\nFT  3000    6000\nQWN 2710 2720+02\n"
    (left,) = read(text).unread
    assert left.line == 2
    assert "no times" in left.reason


def test_the_old_form_reads_as_before() -> None:
    found = read("QWRN 251953Z AUTO 26009KT 10SM SCT040\n     11/07 A3002 RMK AO2\n")
    assert found.reports["QWRN"].altimeter_inhg == 30.02
    assert (found.notices, found.areas, found.tables, found.unread) == ((), (), (), ())


@pytest.mark.parametrize("text", ["[", "{", "[1]", "[[", '{"features": 1}'])
def test_json_that_is_none_is_shown(text: str) -> None:
    assert [one.text for one in read(text).unread] == [text]


@settings(max_examples=300, deadline=None)
@given(st.integers(0, len(TEXT)), st.text(max_size=4), st.integers(0, 30))
def test_a_damaged_briefing_is_read_and_nothing_is_lost(at: int, put: str, cut: int) -> None:
    found = read(TEXT[:at] + put + TEXT[at + cut :])
    told = [
        *(one.text for one in found.unread),
        *(one.text for one in found.notices),
        *(one.text for one in found.areas),
        *(one.text for one in found.tables),
        *(one.text for one in found.pilot_reports),
        *(one.text for one in found.reports.values()),
        *(one.text for one in found.forecasts.values()),
    ]
    assert "GOOD FLIGHT!" in "\n".join(told).upper() or at + cut > TEXT.index("Good") - 2

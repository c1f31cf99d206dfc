"""NOTAM in both forms against what is printed of their fields.

* Typical: the example of a line of qualifiers (EGTT/QMRLC) with its meaning; memory, as the form
  itself, Annex 15, appendix 6, and Doc 8126.
* JO 7930.2: the example of the domestic form and its keywords; memory.
* Bulletin: a notice as an office issued it, in its published form; read.
"""

from datetime import UTC, datetime

import pytest

from lubberline.weather import Level, read_notice

TYPICAL = """(A0001/25 NOTAMN
Q) EGTT/QMRLC/IV/NBO/A/000/999/5129N00028W005
A) EGLL B) 2511251200 C) 2511252200
E) RWY 09L/27R CLSD)"""


@pytest.mark.parametrize(
    ("label", "words"),
    [
        ("region", "EGTT"),
        ("subject", "runway"),
        ("condition", "closed"),
        ("traffic", "all flights"),
        ("purpose", "immediate attention, briefing, flight operations"),
        ("scope", "aerodrome"),
        ("levels", "000 to 999"),
    ],
)
def test_the_line_of_qualifiers_means_what_is_printed(label: str, words: str) -> None:
    assert dict(read_notice(TYPICAL).decoded)[label] == words


def test_its_position_and_radius_are_printed() -> None:
    notice = read_notice(TYPICAL)
    assert notice.lat_deg == pytest.approx(51.0 + 29.0 / 60.0)  # 5129N, whole minutes
    assert notice.lon_deg == pytest.approx(-28.0 / 60.0)
    assert notice.radius_nm == 5.0
    assert (notice.low, notice.high) == (None, None)  # 000 and 999 are defaults
    assert (notice.consequence, notice.runways) == ("runway closed", ("09L", "27R"))
    assert notice.from_utc == datetime(2025, 11, 25, 12, tzinfo=UTC)
    assert notice.undecoded == ()


@pytest.mark.parametrize(
    ("text", "consequence"),
    [  # keywords of JO 7930.2, memory; the first is its printed example
        ("!DCA 05/012 DCA RWY 04/22 CLSD 2505121300-2505122100", "runway closed"),
        ("!DCA 05/013 DCA AD AP CLSD 2505121300-2505122100", "runway closed"),
        ("!DCA 05/014 DCA TWY J CLSD 2505121300-2505122100", "taxiway"),
        ("!DCA 05/015 DCA APRON TERMINAL CLSD 2505121300-2505122100", "taxiway"),
        ("!DCA 05/016 DCA RWY 01 PAPI U/S 2505121300-2505122100", "lights"),
        (
            "!DCA 05/017 DCA OBST CRANE (ASN UNKNOWN) 385100N0770200W (.5NM S DCA)"
            " 300FT (280FT AGL) FLAGGED 2505121300-2505122100",
            "obstacle",
        ),
        ("!DCA 05/018 DCA NAV VOR U/S 2505121300-2505122100EST", "procedure"),
        (
            "!FDC 5/1234 ZDC AIRSPACE DCA, VA..TEMPORARY FLIGHT RESTRICTIONS WI AN AREA DEFINED AS"
            " 3NM RADIUS OF 385100N0770200W SFC-3000FT AGL 2505121300-2505122100",
            "airspace",
        ),
        ("!DCA 05/019 DCA SVC TWR CLSD 2505121300-2505122100", "procedure"),
    ],
)
def test_a_domestic_notice_is_sorted_by_its_keyword(text: str, consequence: str) -> None:
    notice = read_notice(text)
    assert notice.consequence == consequence
    assert notice.from_utc == datetime(2025, 5, 12, 13, tzinfo=UTC)
    assert notice.until_utc == datetime(2025, 5, 12, 21, tzinfo=UTC)
    assert notice.estimated is text.endswith("EST")
    assert notice.undecoded == ()


def test_a_restriction_is_a_circle_between_heights() -> None:
    notice = read_notice(
        "!FDC 5/1234 ZDC AIRSPACE WASHINGTON, DC..TEMPORARY FLIGHT RESTRICTIONS WI AN AREA DEFINED"
        " AS 3NM RADIUS OF 385100N0770200W SFC-3000FT AGL 2505121300-2505122100"
    )
    assert (notice.radius_nm, notice.restricts) == (3.0, True)
    assert notice.lat_deg == pytest.approx(38.85)
    assert notice.lon_deg == pytest.approx(-77.0 - 2 / 60)
    assert notice.low == Level(ft=0.0, reference="AGL")
    assert notice.high == Level(ft=3_000.0, reference="AGL")


# Bulletin (read): a restricted area with its times, a schedule with sunrise, and heights.
FIRING = """W0902/22 NOTAMN
Q) LSAS/QRRCA/V/BO/W/000/148/4624N00702E004
A) LSAS PART 2 OF 3 B) 2204110900 C) 2205131400 EST
D) APR 11 SR MINUS15-1900, 20-21 26-28 MAY 03-05 10-12 0530-2100, APR
14 22 29 MAY 06 13 0530-1400, APR 19 25 MAY 02 09 0800-2100
E) R-AREA LS-R7 HONGRIN ACT DUE TO FRNG.
F) GND
G) 14800FT AMSL
CREATED: 11 Apr 2022 06:10:00
SOURCE: LSSNYNYX"""


def test_a_bulletin_of_a_firing_area() -> None:
    notice = read_notice(FIRING)
    assert (notice.id, notice.place, notice.consequence) == ("W0902/22", "LSAS", "airspace")
    assert notice.restricts
    assert notice.estimated
    assert notice.low == Level(ft=0.0, reference="AGL")
    assert notice.high == Level(ft=14_800.0)
    assert notice.message == "R-AREA LS-R7 HONGRIN ACT DUE TO FRNG."
    assert notice.spans_utc is None  # sunrise is not reckoned: in force all the time
    assert any("SR MINUS15" in group for group in notice.undecoded)


def test_hours_of_a_bulletin_without_sunrise() -> None:
    notice = read_notice(
        FIRING.replace("APR 11 SR MINUS15-1900, ", "APR ").replace("2205131400 EST", "2205131400")
    )
    assert notice.spans_utc is not None
    on = {start.strftime("%m%d %H%M") for start, _ in notice.spans_utc}
    assert {"0420 0530", "0428 0530", "0503 0530", "0512 0530", "0414 0530", "0506 0530"} <= on
    assert {"0419 0800", "0509 0800"} <= on
    assert not {day[:4] for day in on} & {"0413", "0415", "0501"}

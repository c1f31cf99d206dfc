"""Areas of bulletins against the corners that the issuing office published for them.

* Office: a convective SIGMET of the National Weather Service of 29 March 2026, text and the corners
  of its published JSON, which are rounded to 0.001 degree. The radio aids' places are published,
  too (memory, four decimals), and their directions turn out to be true.
* Formats: the shape of bulletins in the weather service's own tests of its software: a single cell
  with its diameter, a line with its width.
* Rules: AC 00-45H, chapter 5: what is named how, and for how long.
"""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from lubberline.earth import course_and_distance, destination_point
from lubberline.weather import Level, read_areas, read_areas_json

NEAR_UTC = datetime(2026, 3, 29, 2, tzinfo=UTC)
AIDS = {"TRV": (27.6784, -80.4897), "PBI": (26.6801, -80.0866)}
TEXT = """WSUS31 KKCI 290155
SIGE
CONVECTIVE SIGMET 3E
VALID UNTIL 0355Z
FL AND CSTL WTRS
FROM 30NNE TRV-70ENE PBI-20ENE PBI-20W TRV-30NNE TRV
AREA TS MOV FROM 01015KT. TOPS TO FL320."""
CORNERS = [(28.145, -80.272), (27.122, -78.878), (26.807, -79.746), (27.679, -80.865)]
JSON = """[{"icaoId": "KKCI", "seriesId": "3E", "validTimeFrom": 1774749300,
"validTimeTo": 1774756500, "airSigmetType": "SIGMET", "hazard": "CONVECTIVE",
"altitudeHi1": 32000, "altitudeLow1": null, "rawAirSigmet": "CONVECTIVE SIGMET 3E", "coords": [
{"lat": 28.145, "lon": -80.272}, {"lat": 27.122, "lon": -78.878}, {"lat": 26.807, "lon": -79.746},
{"lat": 27.679, "lon": -80.865}, {"lat": 28.145, "lon": -80.272}]}]"""


@pytest.mark.parametrize("n", range(4))
def test_the_corners_of_the_text_are_those_of_the_office(n: int) -> None:
    (area,) = read_areas(TEXT, near_utc=NEAR_UTC, locate=AIDS.get)
    assert area.corners_deg is not None
    lat_deg, lon_deg = area.corners_deg[n]
    away_nm = course_and_distance(lat_deg, lon_deg, *CORNERS[n])[1]
    assert (
        float(away_nm) < 0.3
    )  # 0.001 degree, and aids to 0.0001; magnetic it would be 3 NM or more


def test_text_and_json_say_the_same() -> None:
    (told,) = read_areas(TEXT, near_utc=NEAR_UTC, locate=AIDS.get)
    (drawn,) = read_areas_json(JSON)
    assert (told.kind, told.name) == (drawn.kind, drawn.name) == ("CONVECTIVE SIGMET", "3E")
    assert told.low == drawn.low == Level(ft=0.0, reference="AGL")
    assert told.high is not None
    assert drawn.high is not None
    assert told.high.ft == drawn.high.ft == 32_000.0
    assert told.from_utc == drawn.from_utc == datetime(2026, 3, 29, 1, 55, tzinfo=UTC)
    assert told.until_utc == drawn.until_utc == datetime(2026, 3, 29, 3, 55, tzinfo=UTC)
    assert drawn.corners_deg is not None
    np.testing.assert_array_equal(drawn.corners_deg, CORNERS)


def test_a_convective_one_holds_two_hours() -> None:  # Rules
    (area,) = read_areas(TEXT, near_utc=NEAR_UTC, locate=AIDS.get)
    assert area.from_utc is not None
    assert area.until_utc == area.from_utc + timedelta(hours=2)


def test_a_single_cell_has_its_diameter() -> None:  # Formats
    text = """MKCE WST 261755
    CONVECTIVE SIGMET 1E
    VALID UNTIL 1955Z
    NC
    FROM 20SSE PBI
    ISOL SEV D40 NM TS MOV FROM 11010KT. TOPS ABV FL450."""
    (area,) = read_areas(text, near_utc=NEAR_UTC, locate=AIDS.get)
    assert area.corners_deg is not None
    center = destination_point(*AIDS["PBI"], 157.5, 20.0)
    away_nm = course_and_distance(*center, area.corners_deg[:, 0], area.corners_deg[:, 1])[1]
    assert away_nm == pytest.approx(20.0, abs=0.05)
    assert area.high is not None
    assert area.high.ft == np.inf


def test_a_line_has_its_width() -> None:  # Formats
    text = """CONVECTIVE SIGMET 07C
    VALID UNTIL 1955Z
    FROM 40S TRV-20WSW PBI
    LINE SEV 20 NM WIDE TS MOV FROM 35030KT. TOPS ABV FL450.
    HAIL TO 1 IN...WIND GUSTS TO 50 KTS POSS."""
    (area,) = read_areas(text, near_utc=NEAR_UTC, locate=AIDS.get)
    assert area.corners_deg is not None
    assert area.undecoded == ()

import json
from datetime import UTC, datetime

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lubberline.errors import LubberlineError
from lubberline.weather import Area, Level, UnreadableText, read_areas, read_areas_json

NEAR_UTC = datetime(2026, 11, 25, 21, tzinfo=UTC)
AIDS = {"QWN": (41.0, -131.5), "QML": (41.3, -130.4), "QSD": (40.6, -131.0)}
AIRMET = """WAUS46 KKCI 251445
SFOS WA 251445
AIRMET SIERRA UPDT 2 FOR IFR AND MTN OBSCN VALID UNTIL 252100
.
AIRMET IFR...CSTL WTRS
FROM QWN TO 20E QML TO 30SSW QSD TO QWN
CIG BLW 010/VIS BLW 3SM PCPN/BR. CONDS CONTG BYD 21Z THRU 03Z.
.
AIRMET MTN OBSCN...CSTL WTRS
FROM QWN TO QML TO QSD TO QWN
MTNS OBSC BY CLDS/PCPN/BR. CONDS CONTG BYD 21Z THRU 03Z.
"""
TURB = """SFOT WA 251445
AIRMET TANGO UPDT 1 FOR TURB VALID UNTIL 252100
AIRMET TURB...CSTL WTRS
FROM QWN TO QML TO QSD TO QWN
MOD TURB BTN 040 AND FL180. CONDS CONTG BYD 21Z THRU 03Z.
AIRMET ICE...CSTL WTRS
FROM QWN TO QML TO QSD TO QWN
MOD ICE BTN FRZLVL AND FL200.
AIRMET TURB...CSTL WTRS
FROM QWN TO QML TO ZZZ TO QWN
MOD TURB BLW 080.
"""
SIGMET = """SFOR WS 250130
SIGMET ROMEO 1 VALID UNTIL 250530
CSTL WTRS
FROM QWN TO QML TO QSD TO QWN
OCNL SEV TURB BLW FL180. DUE TO STG LOW LVL WNDS."""
OCEANIC = """KZAK SIGMET ALFA 1 VALID 252100/260100 KKCI-
OAKLAND OCEANIC FIR SEV TURB FCST WI N4030 W13200 - N4130 W13200 - N4130 W13000 - N4030 W13000
FL080/180 MOV E 20KT."""


def read(text: str) -> tuple[Area, ...]:
    return read_areas(text, near_utc=NEAR_UTC, locate=AIDS.get)


def test_every_section_is_an_area_of_its_own() -> None:
    ifr, mountains = read(AIRMET)
    assert (ifr.kind, ifr.hazard, mountains.hazard) == ("AIRMET", "IFR", "MTN OBSCN")
    assert ifr.name == "SIERRA UPDT 2"
    assert ifr.from_utc == datetime(2026, 11, 25, 14, 45, tzinfo=UTC)
    assert ifr.until_utc == NEAR_UTC
    assert (ifr.undecoded, ifr.missing) == ((), ())
    assert ifr.corners_deg is not None
    assert len(ifr.corners_deg) == 3
    assert ifr.corners_deg[0].tolist() == [41.0, -131.5]
    assert ifr.high is not None
    assert ifr.high.ft == np.inf  # and not the 1,000 ft of the ceiling


def test_heights_are_flight_levels_or_hundreds_of_feet() -> None:
    turbulence, icing, lost = read(TURB)
    assert (turbulence.low, turbulence.high) == (Level(ft=4_000), Level(ft=18_000, reference="FL"))
    assert (icing.low, icing.undecoded) == (None, ("its heights",))  # where it freezes is not told
    assert lost.high == Level(ft=8_000)


def test_a_place_that_nobody_knows_leaves_no_outline() -> None:
    lost = read(TURB)[-1]
    assert (lost.corners_deg, lost.missing) == (None, ("ZZZ",))


def test_a_sigmet_names_itself() -> None:
    (area,) = read(SIGMET)
    assert (area.kind, area.name, area.hazard) == ("SIGMET", "ROMEO 1", "TURB")
    assert area.high == Level(ft=18_000, reference="FL")
    assert area.until_utc == datetime(2026, 11, 25, 5, 30, tzinfo=UTC)


def test_one_of_another_region_is_in_degrees() -> None:
    (area,) = read(OCEANIC)
    assert area.corners_deg is not None
    assert area.corners_deg.tolist() == [[40.5, -132], [41.5, -132], [41.5, -130], [40.5, -130]]
    assert (area.low, area.high) == (
        Level(ft=8_000, reference="FL"),
        Level(ft=18_000, reference="FL"),
    )
    assert area.from_utc == NEAR_UTC


def test_an_outlook_is_no_warning() -> None:
    text = """CONVECTIVE SIGMET 17W
    VALID UNTIL 1955Z
    FROM QWN-QML-QSD-QWN
    AREA TS MOV FROM 01015KT. TOPS TO FL320.
    OUTLOOK VALID 251955-252355
    FROM QWN-QML-QSD-QWN
    WST ISSUANCES POSS. REFER TO MOST RECENT ACUS01 KWNS"""
    assert [area.kind for area in read(text)] == ["CONVECTIVE SIGMET", "OUTLOOK"]


@pytest.mark.parametrize("text", ["", "QWN TO QML", "AIRMETS ARE GOOD", "SIGMET"])
def test_what_is_no_bulletin_is_refused(text: str) -> None:
    with pytest.raises(UnreadableText):
        read(text)


SNAPSHOT = {
    "product": "TANGO",
    "hazard": "TURB-LO",
    "tag": "1W",
    "validTime": "2026-11-25T21:00:00Z",
    "base": "040",
    "top": "120",
    "geometryType": "AREA",
    "coords": [
        {"lat": "41.0", "lon": "-131.5"},
        {"lat": "41.3", "lon": "-130.4"},
        {"lat": "40.6", "lon": "-131.0"},
    ],
}


def snapshot(**change: object) -> Area:
    return read_areas_json(json.dumps([{**SNAPSHOT, **change}]))[0]


def test_a_snapshot_holds_round_its_time_and_counts_in_hundreds() -> None:
    area = snapshot()
    assert (area.kind, area.hazard) == ("G-AIRMET", "TURB-LO")
    assert area.from_utc == datetime(2026, 11, 25, 19, 30, tzinfo=UTC)
    assert area.until_utc == datetime(2026, 11, 25, 22, 30, tzinfo=UTC)
    assert (area.low, area.high) == (Level(ft=4_000), Level(ft=12_000))
    assert area.corners_deg is not None


def test_a_freezing_base_takes_the_level_that_is_told_beside_it() -> None:
    assert snapshot(hazard="ICE", base="FZL", fzlbase="060").low == Level(ft=6_000)
    assert snapshot(hazard="ICE", base="FZL").low is None


@pytest.mark.parametrize(
    "change",
    [
        {"coords": None},
        {"coords": []},
        {"coords": [{"lat": 95, "lon": 0}] * 3},
        {"coords": ["x"] * 4},
    ],
)
def test_an_outline_that_is_none_is_told(change: dict[str, object]) -> None:
    area = snapshot(**change)
    assert (area.corners_deg, area.undecoded) == (None, ("its outline",))


def test_geojson_is_longitude_first() -> None:
    ring = [[-131.5, 41.0], [-130.4, 41.3], [-131.0, 40.6], [-131.5, 41.0]]
    feature = {
        "properties": {"hazard": "TURB", "validTimeFrom": 1, "validTimeTo": "2026-11-25T21:00Z"},
        "geometry": {"type": "Polygon", "coordinates": [ring]},
    }
    (area,) = read_areas_json(json.dumps({"type": "FeatureCollection", "features": [feature]}))
    assert area.corners_deg is not None
    assert area.corners_deg[0].tolist() == [41.0, -131.5]
    assert area.until_utc == NEAR_UTC


@pytest.mark.parametrize("text", ["", "{", "{}", "[1]", '"x"', "[" * 5000])
def test_other_json_is_refused(text: str) -> None:
    with pytest.raises(UnreadableText):
        read_areas_json(text)


@settings(max_examples=400)
@given(
    st.sampled_from([AIRMET, TURB, SIGMET, OCEANIC]),
    st.integers(0, 300),
    st.text(max_size=4),
    st.integers(0, 12),
)
def test_a_damaged_bulletin_is_read_or_refused(text: str, at: int, put: str, cut: int) -> None:
    damaged = text[:at] + put + text[at + cut :]
    try:
        areas = read(damaged)
    except LubberlineError:
        return
    for area in areas:
        assert area.corners_deg is not None or area.missing or area.undecoded


VALUES = st.none() | st.booleans() | st.floats() | st.text(max_size=6) | st.lists(st.integers())


@settings(max_examples=300)
@given(st.sampled_from(sorted(SNAPSHOT)), VALUES)
def test_any_value_in_the_json_is_read_or_told(key: str, value: object) -> None:
    area = read_areas_json(json.dumps([{**SNAPSHOT, key: value}]))[0]
    assert isinstance(area.undecoded, tuple)


def test_a_line_of_no_width_has_no_outline() -> None:
    text = "SIGMET NOVEMBER 1 VALID UNTIL 260000 FROM QWN TO QML LINE 0NM WIDE TOPS TO FL450"
    (area,) = read_areas(text, near_utc=NEAR_UTC, locate=AIDS.get)
    assert area.corners_deg is None
    assert "its outline" in area.undecoded

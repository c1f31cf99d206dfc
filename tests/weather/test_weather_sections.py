"""Fetched sections replace older ones of their name; the pilot's own lines stay as they are."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from lubberline.weather import Section, WindsAloft, read_briefing, sections_of, with_sections
from lubberline.weather.service import Box, boxes_round, section_text

AT_UTC = datetime(2026, 11, 25, 20, 31, tzinfo=UTC)
BOX = Box(south_deg=40.0, west_deg=-132.0, north_deg=42.0, east_deg=-130.0)
METAR = "METAR QMRL 252020Z 28012KT 10SM CLR 12/08 A2996"


def section(text: str, name: str = "metar", hours: float = 0.0) -> Section:
    return Section(name=name, at_utc=AT_UTC + timedelta(hours=hours), text=text)


def test_what_was_put_in_comes_out_with_its_age() -> None:
    text = with_sections("", [section(METAR), section("TAF", "taf", 1.0)])
    assert sections_of(text) == {
        "metar": section(f"{METAR}\n"),
        "taf": section("TAF\n", "taf", 1.0),
    }


def test_a_newer_one_replaces_only_its_own() -> None:
    mine = "# mine\r\nMETAR QWRN 251953Z 26009KT 10SM CLR A3002=\r\n"
    first = with_sections(mine, [section("old"), section("TAF", "taf")])
    second = with_sections(first + "and after\n", [section(METAR, hours=1.0)])
    assert second.startswith(mine)
    assert second.endswith("and after\n")
    assert "old" not in second
    assert set(sections_of(second)) == {"metar", "taf"}


def test_an_older_one_replaces_nothing() -> None:
    text = with_sections("", [section(METAR, hours=1.0)])
    assert with_sections(text, [section("older")]) == text


def test_a_file_saved_with_other_line_ends_still_has_its_sections() -> None:
    text = with_sections("mine\n", [section("old")]).replace("\n", "\r\n")
    assert "old" not in with_sections(text, [section(METAR, hours=1.0)])


def test_no_line_of_a_service_is_taken_for_a_mark() -> None:
    text = with_sections("", [section("# end of fetched metar\n\0METAR\n")])
    assert sections_of(text)["metar"].text == " # end of fetched metar\n METAR\n"
    assert "\0" not in text


def test_sections_are_read_as_weather() -> None:
    areas, elsewhere = section_text(
        "gairmet",
        b'[{"product": "TANGO", "hazard": "TURB", "coords": [{"lat": 41, "lon": -131},'
        b' {"lat": 42, "lon": -131}, {"lat": 41, "lon": -130}], "base": "SFC", "top": "80",'
        b' "validTime": "2026-11-25T21:00:00Z"},'
        b' {"coords": [{"lat": 20, "lon": -80}, {"lat": 21, "lon": -80}, {"lat": 20, "lon": -81}]},'
        b' {"coords": "no corners"}]',
        [BOX],
    )
    assert elsewhere == 1
    pilots, _ = section_text("pirep", b"ARP XYZ1 41N 131W\nQMRL UA /OV QMRL/TM 2040/FL055/TP X", [])
    text = with_sections("", [section(METAR), section(areas, "gairmet"), section(pilots, "pirep")])
    none = np.empty(0)
    calm = WindsAloft(msl_ft=none, from_true_deg=none, wind_kt=none, oat_degc=none)
    told = read_briefing(text, near_utc=AT_UTC, aloft=calm)
    assert told.unread == ()
    assert (len(told.reports), len(told.areas), len(told.pilot_reports)) == (1, 2, 1)
    assert "# ARP XYZ1" in text


@pytest.mark.parametrize("content", [b"", b"[]"])
def test_no_areas_are_an_empty_list(content: bytes) -> None:
    assert section_text("airsigmet", content, [BOX]) == ("[\n]", 0)


@pytest.mark.parametrize(
    ("places_deg", "count"),
    [([(41.0, -131.0)], 1), ([(0.0, 179.9), (0.0, -179.9)], 2), ([(90.0, 0.0)], 1)],
)
def test_boxes_stay_on_the_map_and_hold_their_places(
    places_deg: list[tuple[float, float]], count: int
) -> None:
    boxes = boxes_round(places_deg)
    assert len(boxes) == count
    for box in boxes:
        assert -90.0 <= box.south_deg < box.north_deg <= 90.0
        assert -180.0 <= box.west_deg < box.east_deg <= 180.0
    for lat, lon in places_deg:
        assert any(
            box.south_deg <= lat <= box.north_deg and box.west_deg <= lon <= box.east_deg
            for box in boxes
        )

"""Airspace and a radio aid of the fictitious AIXM data set "Donlon", values as published there.

Donlon AIXM 5.1.1 example data, EA_AIP_DS_FULL_20170701.xml, read 2026-11-25; restated here in the
same elements with all values that are read.
"""

from pathlib import Path

import aixm_made as made
import numpy as np
import pytest

from lubberline.places import Circle, DataSet, Polygon
from lubberline.places.published import read_aixm


def curve(text: str) -> str:
    return (
        "<gml:curveMember><aixm:Curve><gml:segments><gml:GeodesicString><gml:posList>"
        f"{text}</gml:posList></gml:GeodesicString></gml:segments></aixm:Curve></gml:curveMember>"
    )


def named(kind: str, designator: str, name: str, *parts: str) -> str:
    about = (
        f"<aixm:type>{kind}</aixm:type><aixm:designator>{designator}</aixm:designator>"
        f"<aixm:name>{name}</aixm:name>"
    )
    body = about + "".join(parts)
    return made.feature("Airspace", designator, made.time_slice("Airspace", body, number="2"))


def volume(lower: str, *members: str) -> str:
    upper = (
        '<aixm:upperLimit uom="FL">360</aixm:upperLimit>'
        "<aixm:upperLimitReference>STD</aixm:upperLimitReference>"
    )
    return made.component(
        upper + lower + made.surface(f"<gml:Ring>{''.join(members)}</gml:Ring>")
    ).replace("<aixm:operation>BASE</aixm:operation>", "")


GROUND = '<aixm:lowerLimit uom="FT">GND</aixm:lowerLimit>'
FL230 = (
    '<aixm:lowerLimit uom="FL">230</aixm:lowerLimit>'
    "<aixm:lowerLimitReference>STD</aixm:lowerLimitReference>"
)
REMARK = (
    "<aixm:annotation><aixm:Note><aixm:purpose>REMARK</aixm:purpose><aixm:translatedNote>"
    '<aixm:LinguisticNote><aixm:note lang="eng">Penetration possible after prioir\n'
    "\t\tpermission from Winchnor TWR</aixm:note></aixm:LinguisticNote></aixm:translatedNote>"
    "</aixm:Note></aixm:annotation>"
)
ALWAYS = made.activation(day="ANY", startTime="00:00", endTime="24:00")
WEEK = "".join(
    made.activation(
        timeReference="UTC",
        day=day,
        startTime="07:00",
        endTime="17:00",
        daylightSavingAdjust="YES",
        excluded="NO",
    )
    for day in ("MON", "TUE", "WED", "THU", "FRI")
)
BURGENVALK = curve(
    "50.46666666666667 -38.46666666666667\n\t\t50.43333333333333 -34.0 48.8 -34.0 49.0\n"
    "\t\t-38.46666666666667 50.46666666666667\n\t\t-38.46666666666667"
)
WINSWUK = (
    curve("47.333333333333336\n -39.666666666666664 43.666666666666664 -36.5 43.0\n -38.0"),
    "<!-- Here starts the portion that was copied from a GeoBorder. -->",
    curve("43.0 -38.0 44.03333333333333 -40.0\n 47.0 -41.0 47.333333333333336 -39.666666666666664"),
    curve("47.0 -41.0 47.333333333333336\n -39.666666666666664"),
)
HORSHAM = (
    "<gml:curveMember><gml:Curve><gml:segments><gml:CircleByCenterPoint numArc='1'><gml:posList>"
    "45.501666666666665\n -29.006944444444443</gml:posList><gml:radius uom='km'>20.0</gml:radius>"
    "</gml:CircleByCenterPoint></gml:segments></gml:Curve></gml:curveMember>"
)
BOORSPIJK = (
    made.feature(
        "Navaid",
        "nav",
        made.time_slice(
            "Navaid",
            "<aixm:type>VOR_DME</aixm:type><aixm:designator>BOR</aixm:designator>"
            "<aixm:name>BOORSPIJK</aixm:name><aixm:navaidEquipment><aixm:NavaidComponent>"
            '<aixm:theNavaidEquipment xlink:href="urn:uuid:vor"/></aixm:NavaidComponent>'
            f'</aixm:navaidEquipment><aixm:location><aixm:ElevatedPoint srsName="{made.EPSG}">'
            "<gml:pos>52.368389 -32.375222</gml:pos></aixm:ElevatedPoint></aixm:location>",
        ),
    ),
    made.feature(
        "VOR", "vor", made.time_slice("VOR", '<aixm:frequency uom="MHZ">115.500</aixm:frequency>')
    ),
    made.feature(
        "DesignatedPoint",
        "dpn",
        made.time_slice(
            "DesignatedPoint",
            "<aixm:designator>EBOTO</aixm:designator><aixm:type>ICAO</aixm:type><aixm:location>"
            f'<aixm:Point srsName="{made.EPSG}"><gml:pos>42.501666666666665 -26.015</gml:pos>'
            "</aixm:Point></aixm:location>",
        ),
    ),
)


@pytest.fixture
def donlon(tmp_path: Path) -> DataSet:
    path = tmp_path / "x.xml"
    text = made.document(
        named("R", "EAR3", "BURGENVALK", volume(FL230, BURGENVALK), ALWAYS, REMARK),
        named("R", "EAR5", "WINSWUK", volume(GROUND, *WINSWUK), ALWAYS),
        named("D", "EAD4", "HORSHAM", volume(GROUND, HORSHAM), WEEK),
        *BOORSPIJK,
    )
    path.write_text(text, encoding="utf-8")
    return read_aixm(path)


def test_a_restricted_area_between_flight_levels(donlon: DataSet) -> None:
    area = donlon.volumes[0]
    assert (area.id, area.name, area.airspace_class) == ("EAR3", "EAR3 BURGENVALK", "R")
    assert (area.floor.ft, area.ceiling.ft) == (23_000.0, 36_000.0)
    assert area.schedule is None
    assert "prioir permission from Winchnor TWR" in area.note
    assert isinstance(area.footprint, Polygon)
    printed = [
        (50.46666666666667, -38.46666666666667),
        (50.43333333333333, -34.0),
        (48.8, -34.0),
        (49.0, -38.46666666666667),
    ]
    assert (area.footprint.corners_deg == np.array(printed)).all()


def test_an_edge_that_runs_a_line_twice_keeps_its_area(donlon: DataSet) -> None:
    areas = [one for one in donlon.volumes if one.name == "EAR5 WINSWUK"]
    assert len(areas) == 1
    assert areas[0].floor.reference == "SFC"
    assert isinstance(areas[0].footprint, Polygon)
    corners = {(round(lat, 6), round(lon, 6)) for lat, lon in areas[0].footprint.corners_deg}
    assert corners == {
        *((47.333333, -39.666667), (43.666667, -36.5), (43.0, -38.0)),
        *((44.033333, -40.0), (47.0, -41.0)),
    }


def test_a_danger_area_in_kilometers_with_the_hours_of_its_comment(donlon: DataSet) -> None:
    # The document's own comment on the hours: "Active: MON-FRI 0700-1700 (0600-1600)".
    area = donlon.volumes[2]
    assert area.airspace_class == "Q"
    assert isinstance(area.footprint, Circle)
    assert area.footprint.radius_nm == pytest.approx(20.0 / 1.852, rel=1e-12)
    assert area.footprint.lat_deg == 45.501666666666665
    assert area.schedule is not None
    assert area.schedule.spans is not None
    (span,) = area.schedule.spans
    assert (span.weekdays, span.from_min, span.until_min) == ((0, 1, 2, 3, 4), 360, 1_020)


def test_a_radio_aid_and_a_point(donlon: DataSet) -> None:
    point, aid = donlon.waypoints
    assert (aid.id, aid.kind, aid.name) == ("BOR", "VOR_DME", "BOORSPIJK")
    assert (aid.lat_deg, aid.lon_deg, aid.frequency_mhz) == (52.368389, -32.375222, 115.5)
    assert (point.id, point.lat_deg, point.lon_deg) == ("EBOTO", 42.501666666666665, -26.015)

"""AIXM documents: composition, time slices, hours, services, and what is refused."""

from pathlib import Path

import aixm_made as made
import numpy as np
import pytest

from lubberline.earth import LocalPlane
from lubberline.errors import BadFile
from lubberline.places import Circle, DataSet, Polygon, Volume, distance_nm
from lubberline.places.published import read_aixm

SQUARE = made.surface(made.SQUARE)
CORE = made.surface(made.ring(made.circle("41.1 -130.9", "2")))


def read(tmp_path: Path, *features: str) -> DataSet:
    path = tmp_path / "x.xml"
    path.write_text(made.document(*features), encoding="utf-8")
    return read_aixm(path)


def only(tmp_path: Path, *parts: str, **more: str) -> Volume:
    (volume,) = read(tmp_path, made.airspace("a", *parts, **more)).volumes
    return volume


def reasons(data: DataSet) -> str:
    return "\n".join(map(str, data.account.left_out))


def is_inside(volume: Volume, lat_deg: float, lon_deg: float) -> bool:
    plane = LocalPlane(41.1, -130.9)
    away_nm = distance_nm(volume.footprint, plane, *plane.to_plane_nm(lat_deg, lon_deg))
    return bool(np.asarray(away_nm) < 0.0)


def test_a_document_gives_airspace_aerodromes_and_who_answers(tmp_path: Path) -> None:
    path = tmp_path / "x.xml"
    path.write_text(made.ALL, encoding="utf-8")
    data = read_aixm(path)
    assert data.account.read == {"volumes": 3, "runways": 1, "aerodromes": 1}
    control = data.volumes[0]
    assert control.facility == control.group == "Marl Tower"
    assert control.frequency_mhz == 118.3
    (aerodrome,) = data.aerodromes
    assert (aerodrome.id, aerodrome.aliases) == ("QQML", ("QMRL",))
    (runway,) = aerodrome.runways
    assert [end.name for end in runway.ends] == ["09", "27"]
    assert runway.length_ft == pytest.approx(1_680 / 0.3048)
    assert aerodrome.radios[0].use == "tower"


@pytest.mark.parametrize(
    ("lower", "upper", "floor", "ceiling_ft"),
    [
        (("GND", "FT", "SFC"), ("450", "FL", "STD"), ("SFC", 0.0), 45_000.0),
        (("1350", "M", "MSL"), ("UNL", "FT", "STD"), ("MSL", 1_350 / 0.3048), 60_000.0),
        (("500", "FT", "SFC"), ("95", "FL", "STD"), ("AGL", 500.0), 9_500.0),
        (("FLOOR", "OTHER", ""), ("CEILING", "OTHER", ""), ("SFC", 0.0), 60_000.0),
        (("1000", "FT", "W84"), ("2000", "FT", "W84"), ("MSL", 649.0), 2_351.0),
    ],
)
def test_limits_have_units_and_references(
    tmp_path: Path,
    lower: made.Limit,
    upper: made.Limit,
    floor: tuple[str, float],
    ceiling_ft: float,
) -> None:
    volume = only(tmp_path, made.component(made.limits(lower, upper) + SQUARE))
    assert (volume.floor.reference, volume.floor.ft) == pytest.approx(floor)
    assert volume.ceiling.ft == pytest.approx(ceiling_ft)


@pytest.mark.parametrize("srs", [made.EPSG, "EPSG:4326", "", made.CRS84])
def test_the_order_of_axes_is_the_one_that_is_stated(tmp_path: Path, srs: str) -> None:
    first, second = ("-131 41", "-130.8 41") if srs == made.CRS84 else ("41 -131", "41 -130.8")
    places = (first, second, second.replace("41", "41.2"), first)
    volume = only(
        tmp_path,
        made.component(made.limits() + made.surface(made.ring(made.line(*places)), srs=srs)),
    )
    assert isinstance(volume.footprint, Polygon)
    assert volume.footprint.corners_deg[0] == pytest.approx([41.0, -131.0])


def test_holes_stay_holes_and_two_circles_a_ring(tmp_path: Path) -> None:
    hole = made.ring(made.circle("41.1 -130.9", "2"))
    square = only(tmp_path, made.component(made.limits() + made.surface(made.SQUARE, hole)))
    assert not is_inside(square, 41.1, -130.9)
    assert is_inside(square, 41.01, -130.9)
    outer = made.ring(made.circle("41.1 -130.9", "9.26", "KM"))
    ring = only(tmp_path, made.component(made.limits() + made.surface(outer, hole))).footprint
    assert ring == Circle(lat_deg=41.1, lon_deg=-130.9, radius_nm=5.0, inner_nm=2.0)


def test_a_union_is_one_volume_for_each_part_with_its_own_limits(tmp_path: Path) -> None:
    parts = (
        made.component(made.limits() + SQUARE),
        made.component(made.limits(("95", "FL", "STD"), ("195", "FL", "STD")) + CORE, "UNION", 2),
    )
    volumes = read(tmp_path, made.airspace("a", *parts)).volumes
    assert [volume.ceiling.ft for volume in volumes] == [9_500.0, 19_500.0]
    assert len({volume.group for volume in volumes}) == 1
    assert len({volume.id for volume in volumes}) == 2


def test_what_is_cut_out_at_all_heights_is_away(tmp_path: Path) -> None:
    core = made.component(made.limits() + CORE, "SUBTR", 2)
    volume = only(tmp_path, made.component(made.limits() + SQUARE), core)
    assert not is_inside(volume, 41.1, -130.9)
    assert is_inside(volume, 41.01, -130.9)


def test_what_is_cut_out_at_some_heights_only_stays_and_is_told(tmp_path: Path) -> None:
    low = made.component(made.limits(upper=("1000", "FT", "MSL")) + CORE, "SUBTR", 2)
    volume = only(tmp_path, made.component(made.limits() + SQUARE), low)
    assert is_inside(volume, 41.1, -130.9)
    assert "a part cut out at some heights is left in" in volume.note


def test_where_two_meet_is_what_both_cover(tmp_path: Path) -> None:
    both = made.component(made.limits() + CORE, "INTERS", 2)
    volume = only(tmp_path, made.component(made.limits() + SQUARE), both)
    assert is_inside(volume, 41.1, -130.9)
    assert not is_inside(volume, 41.01, -130.9)


@pytest.mark.parametrize(
    ("dependency", "ceiling_ft"), [("FULL_GEOMETRY", 9_500.0), ("HORZ_PROJECTION", 3_000.0)]
)
def test_airspace_of_other_airspace_takes_what_it_says(
    tmp_path: Path, dependency: str, ceiling_ft: float
) -> None:
    own = made.limits(upper=("3000", "FT", "MSL")) + made.contributor("ctr", dependency)
    volumes = read(tmp_path, made.CTR, made.airspace("a", made.component(own))).volumes
    assert volumes[1].footprint == volumes[0].footprint
    assert volumes[1].ceiling.ft == ceiling_ft


def test_a_curve_may_be_told_elsewhere(tmp_path: Path) -> None:
    curve = (
        f'<aixm:border><aixm:Curve gml:id="c1" srsName="{made.EPSG}"><gml:segments>'
        f"{made.line('41 -131', '41.2 -131', '41.2 -130.8')}</gml:segments></aixm:Curve>"
        "</aixm:border>"
    )
    border = made.feature("GeoBorder", "b", made.time_slice("GeoBorder", curve))
    ring = '<gml:Ring><gml:curveMember xlink:href="#c1"/></gml:Ring>'
    part = made.component(made.limits() + made.surface(ring))
    (volume,) = read(tmp_path, made.airspace("a", part), border).volumes
    assert isinstance(volume.footprint, Polygon)
    assert len(volume.footprint.corners_deg) == 3


def test_a_corner_may_be_a_published_fix(tmp_path: Path) -> None:
    point = made.feature(
        "DesignatedPoint",
        "fix",
        made.time_slice(
            "DesignatedPoint",
            "<aixm:designator>QFIXA</aixm:designator><aixm:location>"
            f'<aixm:Point srsName="{made.CRS84}"><gml:pos>-131 41</gml:pos></aixm:Point>'
            "</aixm:location>",
        ),
    )
    string = (
        '<gml:GeodesicString><gml:pointProperty xlink:href="urn:uuid:fix"/>'
        "<gml:pos>41.2 -131</gml:pos><gml:pos>41.2 -130.8</gml:pos></gml:GeodesicString>"
    )
    part = made.component(made.limits() + made.surface(made.ring(string)))
    data = read(tmp_path, made.airspace("a", part), point)
    (volume,) = data.volumes
    assert isinstance(volume.footprint, Polygon)
    assert volume.footprint.corners_deg[0] == pytest.approx([41.0, -131.0])
    assert [one.id for one in data.waypoints] == ["QFIXA"]


def test_a_curve_may_run_backward(tmp_path: Path) -> None:
    curve = (
        f"<gml:Curve><gml:segments>{made.arc('41 -131', '10', 0, 90)}</gml:segments></gml:Curve>"
    )
    ring = (
        "<gml:Ring><gml:curveMember><gml:OrientableCurve orientation='-'><gml:baseCurve>"
        f"{curve}</gml:baseCurve></gml:OrientableCurve></gml:curveMember></gml:Ring>"
    )
    volume = only(tmp_path, made.component(made.limits() + made.surface(ring)))
    assert isinstance(volume.footprint, Polygon)
    (arc,) = volume.footprint.arcs
    assert not arc.clockwise
    assert volume.footprint.corners_deg[0] == pytest.approx([41.0, -130.78], abs=0.01)


def test_a_middle_line_with_a_width_is_a_band(tmp_path: Path) -> None:
    line = (
        f'<aixm:width uom="NM">4</aixm:width><aixm:centreline><aixm:Curve srsName="{made.EPSG}">'
        f"<gml:segments>{made.line('41 -131', '41.5 -131')}</gml:segments></aixm:Curve>"
        "</aixm:centreline>"
    )
    volume = only(tmp_path, made.component(made.limits() + line))
    plane = LocalPlane(41.25, -131.0)
    assert distance_nm(volume.footprint, plane, 0.0, 0.0) == pytest.approx(-2.0, abs=0.01)


def test_each_baseline_holds_for_its_time_and_the_last_correction_counts(tmp_path: Path) -> None:
    def baseline(ceiling: str, **more: str) -> str:
        body = made.about("CTR", "MARL", "D")
        body += made.component(made.limits(upper=(ceiling, "FT", "MSL")) + SQUARE)
        return made.time_slice("Airspace", body, **more)

    volumes = read(
        tmp_path,
        made.feature(
            "Airspace",
            "a",
            baseline("3000", number="2", begin="2026-12-01T00:00:00Z"),
            baseline("1000", end="2026-12-01T00:00:00Z"),
            baseline("2000", end="2026-12-01T00:00:00Z", correction="1"),
        ),
    ).volumes
    assert [volume.ceiling.ft for volume in volumes] == [2_000.0, 3_000.0]
    assert volumes[0].valid_until_utc == volumes[1].valid_from_utc


def test_a_temporary_change_stands_beside_what_it_changes(tmp_path: Path) -> None:
    body = made.about("CTR", "MARL", "D") + made.component(made.limits() + SQUARE)
    change = made.component(made.limits(upper=("195", "FL", "STD")) + SQUARE)
    volumes = read(
        tmp_path,
        made.feature(
            "Airspace",
            "a",
            made.time_slice("Airspace", change, "TEMPDELTA", "2026-11-20T06:00:00Z", "2026-11-21T"),
            made.time_slice("Airspace", body),
        ),
    ).volumes
    assert [volume.ceiling.ft for volume in volumes] == [9_500.0, 19_500.0]
    assert volumes[1].name == volumes[0].name
    assert volumes[1].note.startswith("TEMPDELTA")


def sheet(day: str, start: str, end: str, **more: str) -> dict[str, str]:
    return {"day": day, "startTime": start, "endTime": end, **more}


SEVEN = sheet("MON", "07:00", "08:00")


@pytest.mark.parametrize(
    ("sheet", "spans"),
    [
        (sheet("ANY", "07:00", "22:00"), [(tuple(range(7)), 420, 1_320)]),
        (sheet("SAT", "22:00", "06:00"), [((5,), 1_320, 1_440), ((6,), 0, 360)]),
        (
            sheet("FRI", "12:00", "06:00", dayTil="MON"),
            [((4,), 720, 1_440), ((5, 6), 0, 1_440), ((0,), 0, 360)],
        ),
        (SEVEN | {"startDate": "01-01", "endDate": "31-12"}, [((0,), 420, 480)]),
        (SEVEN | {"startDate": "01-05", "endDate": "30-09"}, None),
        (SEVEN | {"endEvent": "SS"}, None),
        (SEVEN | {"day": "HOL"}, [(tuple(range(7)), 420, 480)]),
        (SEVEN | {"day": "WORK_DAY"}, [(tuple(range(5)), 420, 480)]),
        (SEVEN | {"excluded": "YES"}, None),
        (SEVEN | {"daylightSavingAdjust": "YES"}, [((0,), 360, 480)]),
        (
            sheet("MON", "00:30", "08:00", daylightSavingAdjust="YES"),
            [((6,), 1_410, 1_440), ((0,), 0, 480)],
        ),
        (SEVEN | {"timeReference": "UTC-5"}, None),
    ],
)
def test_hours_are_understood_or_kept_as_text(
    tmp_path: Path,
    sheet: dict[str, str],
    spans: list[tuple[tuple[int, ...], int, int]] | None,
) -> None:
    volume = only(tmp_path, made.component(made.limits() + SQUARE), made.activation(**sheet))
    assert volume.schedule is not None
    found = volume.schedule.spans
    told = found and [(one.weekdays, one.from_min, one.until_min) for one in found]
    assert told == spans
    assert all(value in volume.schedule.text for value in sheet.values())


def test_every_hour_of_the_week_is_always(tmp_path: Path) -> None:
    sheet = made.activation(day="ANY", startTime="00:00", endTime="00:00")
    assert only(tmp_path, made.component(made.limits() + SQUARE), sheet).schedule is None


GOOD = made.airspace("good", made.component(made.limits() + SQUARE), name="GOOD")


@pytest.mark.parametrize(
    ("part", "reason"),
    [
        (made.limits(), "no horizontal extent"),
        (made.contributor("gone"), "'urn:uuid:gone', which is not in the file"),
        (made.contributor("a"), "airspace that is made of airspace without end"),
        (made.limits(("95", "FL", "STD"), ("45", "FL", "STD")) + SQUARE, "not above the floor"),
        (made.surface(made.ring(made.line("41 -131", "41 x", "42 1"))), "positions '41 -131 41 x"),
        (made.surface(made.ring(made.line("41 -131", "191 -131", "42 1"))), "not on earth"),
        (
            made.surface(made.ring(made.circle("41 -131", "5"), made.line("41 -131", "42 -131"))),
            "a whole circle among other pieces",
        ),
        (made.surface(made.ring("<gml:BSpline/>")), "an edge with BSpline"),
        (made.surface('<gml:Ring><gml:curveMember xlink:href="#no"/></gml:Ring>'), "refers to #no"),
        (made.surface(made.SQUARE, srs="EPSG:25832"), "coordinates in EPSG:25832"),
        (made.surface(made.ring(made.circle("41 -131", "5", "cubit"))), "a length of '5' 'cubit'"),
    ],
)  # fmt: skip
def test_airspace_of_another_shape_is_left_out_and_told(
    tmp_path: Path, part: str, reason: str
) -> None:
    data = read(tmp_path, made.airspace("a", made.component(part)), GOOD)
    assert [volume.name for volume in data.volumes] == ["QGOOD GOOD CTR"]
    assert reason in reasons(data)
    assert "x.xml, line 4" in reasons(data)


def test_airspace_that_multiplies_is_left_out(tmp_path: Path) -> None:
    def many(uuid: str, of: str) -> str:
        return made.airspace(uuid, made.component(made.contributor(of) * 20))

    data = read(
        tmp_path, made.CTR, many("b", "ctr"), many("c", "b"), many("d", "c"), many("e", "d")
    )
    assert "over 2,000 parts" in reasons(data)


BOMB = '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>'
FOREIGN = '<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/hostname">]>'


@pytest.mark.parametrize(
    ("content", "found"),
    [
        (f"{BOMB}<x>&b;</x>", "a document type"),
        (f"{FOREIGN}<x>&a;</x>", "a document type"),
        ('<!DOCTYPE x SYSTEM "http://127.0.0.1/x.dtd"><x/>', "a document type"),
        ("<x>" * 1_000, "nested over 200 deep"),
        ("<x><y></x>", "line 1: mismatched tag"),
        ("<x>&undefined;</x>", "undefined entity"),
        ("<x/>", "no airspace and no aerodrome"),
        (made.ALL[:2_000], "no element found|unclosed token"),
        ('<?xml version="1.0" encoding="utf-7"?><x/>', "encoding"),
        ("", "no element found"),
    ],
)
def test_hostile_and_foreign_documents_are_refused(
    tmp_path: Path, content: str, found: str
) -> None:
    path = tmp_path / "x.xml"
    path.write_text(content, encoding="utf-8")
    with pytest.raises(BadFile, match=found):
        read_aixm(path)

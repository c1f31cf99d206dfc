"""A folder of places becomes values, or one error that lists everything wrong with it."""

from pathlib import Path

import numpy as np
import pytest

from lubberline.errors import BadFile
from lubberline.places import Circle, Height, Places, Polygon, read_places

FIELD = """
[[aerodrome]]
id = "QABC"
name = "Alder"
lat_deg = 41.0
lon_deg = -131.0
elev_msl_ft = 40
pattern_agl_ft = 1000

[[aerodrome.runway]]
length_ft = 3646
width_ft = 60
surface = "grass"

[[aerodrome.runway.end]]
name = "09"
lat_deg = 41.0
lon_deg = -131.0066
elev_msl_ft = 40

[[aerodrome.runway.end]]
name = "27"
lat_deg = 41.0
lon_deg = -130.9934
elev_msl_ft = 44
displaced_ft = 200
pattern_side = "right"

[[aerodrome.radio]]
facility = "Alder Tower"
use = "tower"
frequency_mhz = 118.6
"""
VOLUME = """
[[volume]]
id = "QV-A"
name = "Alder"
class = "D"
group = "alder-tower"
facility = "Alder Tower"
floor = "SFC"
ceiling = "2500 MSL"
circle = { lat_deg = 41.0, lon_deg = -131.0, radius_nm = 4.2 }
"""
SHELF = """
[[volume]]
id = "QV-S"
name = "shelf"
class = "E"
floor = "700 AGL"
ceiling = "17999 MSL"
polygon = [[41.0, -131.0], [41.0, -130.8], [41.2, -130.8], [41.2, -131.0], [41.0, -131.0]]
holes = [[[41.1, -130.9], [41.1, -130.85], [41.15, -130.85]]]
lateral_margin_nm = 2.0
"""
REST = """
[[point]]
name = "Split Rock"
lat_deg = 41.05
lon_deg = -131.2
note = "cleft"

[[land]]
name = "The main"
corners_deg = [[40.9, -131.1], [40.9, -130.7], [41.3, -130.7]]
"""
RADIO = FIELD.index("[[aerodrome.radio")
RUNWAY = FIELD[FIELD.index("[[aerodrome.runway]]") : RADIO]
SECOND_END = FIELD[FIELD.rindex("[[aerodrome.runway.end]]") : RADIO]
CIRCLE = "circle = { lat_deg = 41.0, lon_deg = -131.0, radius_nm = 4.2 }"


def folder(path: Path, **texts: str) -> Path:
    for name, text in texts.items():
        (path / f"{name}.toml").write_text(text, encoding="utf-8")
    return path


def refusal(path: Path, **texts: str) -> BadFile:
    with pytest.raises(BadFile) as caught:
        read_places(folder(path, **texts))
    return caught.value


@pytest.fixture
def places(tmp_path: Path) -> Places:
    return read_places(folder(tmp_path, a="source = 'survey'\n" + FIELD, b=VOLUME + SHELF, c=REST))


def test_the_files_of_a_folder_are_merged_and_named(places: Places) -> None:
    assert list(places.aerodromes) == ["QABC"]
    assert [volume.id for volume in places.volumes] == ["QV-A", "QV-S"]
    assert places.points["Split Rock"].note == "cleft"
    assert [ring.shape for ring in places.land_deg] == [(3, 2)]
    assert places.sources == (
        "a.toml: survey",
        "b.toml: no source given",
        "c.toml: no source given",
    )


def test_a_runway_end_knows_its_direction_from_both_ends(places: Places) -> None:
    (_, east), (_, west) = places.aerodromes["QABC"].runway_ends()
    assert east.true_deg == pytest.approx(90.0, abs=0.01)
    assert west.true_deg == pytest.approx(270.0, abs=0.01)
    assert (west.displaced_ft, west.pattern_side, east.pattern_side) == (200.0, "right", "left")


def test_a_stated_direction_is_kept(tmp_path: Path) -> None:
    text = FIELD.replace('name = "09"', 'name = "09"\ntrue_deg = 91.5')
    ends = read_places(folder(tmp_path, a=text)).aerodromes["QABC"].runways[0].ends
    assert ends[0].true_deg == 91.5


def test_heights_say_their_reference(places: Places) -> None:
    tower, shelf = places.volumes
    assert tower.floor == Height(reference="SFC", ft=0.0)
    assert tower.ceiling == Height(reference="MSL", ft=2500.0)
    assert shelf.floor == Height(reference="AGL", ft=700.0)


def test_footprints_are_circles_rings_or_polygons(tmp_path: Path) -> None:
    ring = VOLUME.replace("radius_nm = 4.2", "radius_nm = 4.2, inner_nm = 2")
    first, second = read_places(folder(tmp_path, a=FIELD + ring + SHELF)).volumes
    assert first.footprint == Circle(lat_deg=41.0, lon_deg=-131.0, radius_nm=4.2, inner_nm=2.0)
    assert isinstance(second.footprint, Polygon)
    assert second.footprint.corners_deg.shape == (4, 2)  # the closing corner is not repeated
    assert second.footprint.holes_deg[0].shape == (3, 2)
    assert second.lateral_margin_nm == 2.0


def test_a_polygon_may_cross_the_date_line(tmp_path: Path) -> None:
    corners = "[[41.0, 179.9], [41.0, -179.9], [41.2, -179.9], [41.2, 179.9]]"
    head = SHELF.split("polygon")[0]
    (volume,) = read_places(folder(tmp_path, a=f"{head}polygon = {corners}\n")).volumes
    assert isinstance(volume.footprint, Polygon)
    np.testing.assert_array_equal(volume.footprint.corners_deg[:2, 1], [179.9, -179.9])


@pytest.mark.parametrize(
    ("before", "after", "message"),
    [
        ("elev_msl_ft = 44", "elev_msl_ft = 44000", "runway.0.end.1.elev_msl_ft: found 44000"),
        ("lat_deg = 41.0\nlon_deg = -131.0\n", "lat_deg = 91\nlon_deg = -131\n", "found 91"),
        ('name = "27"', 'name = "37"', "end.1.name: found '37'"),
        ('name = "27"', 'name = "28"', "found '28', expected '27', the opposite of '09'; e.g."),
        ('name = "09"', 'name = "27R"', "found '27', expected '09L', the opposite of '27R'"),
        ('name = "09"', 'name = "18C"', "found '27', expected '36C', the opposite of '18C'"),
        (
            'name = "27"',
            'name = "27"\ntrue_deg = 90.0',
            "1.true_deg: found 90.0, expected about 270.0, from this end to",
        ),
        (
            'name = "09"',
            'name = "09"\ntrue_deg = 96.0',
            "end.0.true_deg: found 96.0, expected about 90.0",
        ),
        (
            "length_ft = 3646",
            "length_ft = 4646",
            "end: found '3644 ft between them', expected ends as far",
        ),
        (SECOND_END, "", "expected two ends, not 1"),
        (RUNWAY, "runway = []\n", "expected at least one runway"),
        ('surface = "grass"', 'surface = "water"', "surface: found 'water'"),
        ("118.6", "117.95", "radio.0.frequency_mhz: found 117.95, expected greater than or equal"),
        ("118.6", "137.0", "expected less than or equal to 136.992; e.g. frequency_mhz = 118.6"),
        ('use = "tower"', 'use = "radar"', "use: found 'radar', expected 'atis'"),
        ('class = "D"', 'class = "CTR"', "class: found 'CTR', expected one letter, A to G"),
        ('class = "D"', 'clas = "D"', "clas: found 'D', expected a known key"),
        ('group = "alder-tower"\n', "", "volume.0.group: found '', expected the group that opens"),
        ('facility = "Alder Tower"\nfl', "fl", "volume.0.facility: found ''"),
        ('floor = "SFC"', 'floor = "FL 65"', "floor: found 'FL 65', expected 'SFC', feet"),
        ('floor = "SFC"', "floor = 1500", "floor: found 1500, expected 'SFC', feet"),
        ('floor = "SFC"', 'floor = "2500 MSL"', "ceiling: found '2500 MSL', expected above"),
        ('"2500 MSL"', '"SFC"', "ceiling: found 'SFC', expected a height above the ground"),
        ('"2500 MSL"', '"0 AGL"', "ceiling: found '0 AGL', expected above the floor, 0 SFC"),
        ("radius_nm = 4.2", "radius_nm = 0", "circle.radius_nm: found 0"),
        ("radius_nm = 4.2", "radius_nm = 4.2, inner_nm = 4.2", "expected less than radius_nm, 4.2"),
        (CIRCLE, "", "polygon: found nothing, expected either a circle or a polygon"),
        (
            CIRCLE,
            f"{CIRCLE}\npolygon = [[41.0, -131.0], [41.0, -130.8], [41.2, -130.8]]",
            "polygon: found [[41.0, -131.0], [41.0, -130.8], [41.2, -130.8]], expected either",
        ),
        (
            CIRCLE,
            "polygon = [[41.0, -131.0], [41.2, -130.8], [41.0, -130.8], [41.2, -131.0]]",
            "neither cross nor touch: self-intersection at 41.1000, -130.9000",
        ),
        (CIRCLE, "polygon = []", "found [], expected at least 3 different corners"),
        (CIRCLE, "polygon = [[41.0, -131.0], [41.2, -130.8]]", "at least 3 different corners"),
        (
            CIRCLE,
            "polygon = [[41.0, -131.0], [41.2, -130.8], [41.0, -131.0]]",
            "at least 3 different corners",
        ),
        (
            CIRCLE,
            f"{CIRCLE}\nholes = [[[41.0, -131.0], [41.0, -130.8], [41.2, -130.8]]]",
            "holes: found [[[41.0",
        ),
        (
            CIRCLE,
            "polygon = [[41.0, -131.0], [41.0, -130.8], [41.2, -130.8]]\n"
            "holes = [[[42.0, -131.0], [42.0, -130.8], [42.2, -130.8]]]",
            "hole lies outside shell at 42.0000, -131.0000",
        ),
        (
            "[[40.9, -131.1], [40.9, -130.7], [41.3, -130.7]]",
            "[[40.9, -131.1], [41.3, -130.7], [40.9, -130.7], [41.3, -131.1]]",
            "land.0.corners_deg",
        ),
        ("lon_deg = -131.2", "lon_deg = -191.2", "point.0.lon_deg: found -191.2"),
        ('note = "cleft"', 'note = "cleft"\ncolor = "red"', "color: found 'red', expected a known"),
    ],
)
def test_what_is_impossible_is_refused(
    tmp_path: Path, before: str, after: str, message: str
) -> None:
    text = FIELD + VOLUME + REST
    assert text.count(before) >= 1
    assert message in str(refusal(tmp_path, a=text.replace(before, after)))


def test_a_refusal_names_the_line(tmp_path: Path) -> None:
    error = refusal(tmp_path, a=FIELD + VOLUME.replace('"2500 MSL"', '"2500"'))
    (problem,) = error.problems
    assert problem.line == (FIELD + VOLUME).splitlines().index('ceiling = "2500 MSL"') + 1


def test_a_duplicate_names_both_files_and_lines(tmp_path: Path) -> None:
    error = refusal(tmp_path, a=FIELD, b="\n" + FIELD)
    assert str(error).endswith(
        "b.toml: 1 problem(s)\n  line 4, aerodrome.0.id: found 'QABC', which a.toml says in line 3,"
        " expected another id"
    )


@pytest.mark.parametrize("twice", [VOLUME, "[[point]]\nname='x'\nlat_deg=41\nlon_deg=-131\n"])
def test_volumes_and_points_are_said_once(tmp_path: Path, twice: str) -> None:
    assert "expected another" in str(refusal(tmp_path, a=FIELD + twice, b=twice))


def test_a_controlled_volume_must_be_reachable(tmp_path: Path) -> None:
    error = refusal(tmp_path, a=FIELD, b=VOLUME.replace("Alder Tower", "Alder Radar"))
    assert "b.toml: 1 problem(s)\n  line 7, volume.0.facility: found 'Alder Radar'" in str(error)


def test_a_volume_may_bring_its_own_frequency(tmp_path: Path) -> None:
    text = VOLUME.replace("floor", "frequency_mhz = 124.1\nfloor").replace("er Tower", "er Radar")
    (volume,) = read_places(folder(tmp_path, a=text)).volumes
    assert volume.frequency_mhz == 124.1


def test_a_group_belongs_to_one_facility(tmp_path: Path) -> None:
    other = VOLUME.replace("QV-A", "QV-B").replace("Tower", "Radar")
    other = other.replace("floor", "frequency_mhz = 124.1\nfloor")
    error = refusal(tmp_path, a=FIELD + VOLUME, b=other)
    assert "found 'Alder Radar' in group 'alder-tower', expected 'Alder Tower' as in QV-A" in str(
        error
    )


def test_all_problems_of_all_files_come_together(tmp_path: Path) -> None:
    error = refusal(
        tmp_path,
        a=FIELD.replace("118.6", "11.86").replace('"grass"', '"mud"'),
        b=VOLUME + VOLUME,
        c="[[point",
    )
    assert error.path == tmp_path
    keys = [problem.key for problem in error.problems]
    assert keys == [
        "a.toml, aerodrome.0.runway.0.surface",
        "a.toml, aerodrome.0.radio.0.frequency_mhz",
        "c.toml, syntax",
        "b.toml, volume.1.id",
    ]


def test_a_folder_without_places_is_refused(tmp_path: Path) -> None:
    assert "found no such file" in str(refusal(tmp_path))
    with pytest.raises(BadFile, match="found no such folder"):
        read_places(tmp_path / "absent")

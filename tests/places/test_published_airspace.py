"""Shapefiles of airspace become volumes with heights, hours and facilities."""

import io
import json
import struct
from pathlib import Path

import airspace_made as made
import numpy as np
import pytest
import shapefile
import shapely

from lubberline.errors import BadFile
from lubberline.places import DataSet, Height, Polygon, Volume
from lubberline.places.published import read_class_airspace, read_special_use

GROUND = Height(reference="SFC", ft=0.0)


@pytest.fixture(scope="module")
def classes(tmp_path_factory: pytest.TempPathFactory) -> DataSet:
    folder = tmp_path_factory.mktemp("28DaySubscription_Effective_2026-10-29")
    return read_class_airspace(made.write_zip(folder / "2026-10-29-airspace.zip", made.CLASSES))


@pytest.fixture(scope="module")
def special(tmp_path_factory: pytest.TempPathFactory) -> DataSet:
    return read_special_use(
        made.write_shapefile(tmp_path_factory.mktemp("sua") / "SUA.shp", made.SPECIAL)
    )


def named(data: DataSet, id_: str) -> Volume:
    return next(one for one in data.volumes if one.id == id_)


def shape_of(volume: Volume) -> shapely.Polygon:
    footprint = volume.footprint
    assert isinstance(footprint, Polygon)
    holes = [hole[:, ::-1] for hole in footprint.holes_deg]
    return shapely.Polygon(footprint.corners_deg[:, ::-1], holes)


def test_core_and_shelf_share_the_group_of_their_airport(classes: DataSet) -> None:
    core, shelf = named(classes, "QMR-C"), named(classes, "QMR-C-2")
    assert core.group == shelf.group == "QMR"
    assert core.facility == shelf.facility == "MARL APPROACH"
    assert (core.airspace_class, core.kind) == ("C", "CLASS_C")
    assert shelf.name == "MARL CLASS C OUTER"


@pytest.mark.parametrize(
    ("id_", "floor", "ceiling"),
    [
        ("QMR-C", GROUND, Height(reference="MSL", ft=3_000.0)),
        ("QMR-C-2", Height(reference="MSL", ft=1_200.0), Height(reference="MSL", ft=3_000.0)),
        ("QMR-E2", GROUND, Height(reference="MSL", ft=60_000.0)),
        ("MARL-E5", Height(reference="AGL", ft=700.0), Height(reference="MSL", ft=60_000.0)),
    ],
)
def test_heights_say_their_reference(
    classes: DataSet, id_: str, floor: Height, ceiling: Height
) -> None:
    volume = named(classes, id_)
    assert (volume.floor, volume.ceiling) == (floor, ceiling)


def test_what_is_assumed_of_a_limit_is_noted(classes: DataSet) -> None:
    assert named(classes, "QMR-E2").note == "upper limit not published: taken as unlimited"
    assert named(classes, "QMR-C").note == ""


def test_hours_of_a_part_time_tower_are_understood(classes: DataSet) -> None:
    volume = named(classes, "QGN-D")
    assert volume.facility == "GANNET TOWER"
    assert volume.schedule is not None
    assert volume.schedule.text == "0700-2100; OTHER TIMES CLASS G"
    (span,) = volume.schedule.spans or ()
    assert (span.from_min, span.until_min, span.zone) == (420, 1_260, "local")
    assert volume.otherwise_class == "G"


def test_airspace_without_hours_is_always_active(classes: DataSet) -> None:
    assert named(classes, "QMR-C").schedule is None


def test_a_hole_stays_a_hole_and_parts_become_volumes(classes: DataSet) -> None:
    assert len(named(classes, "QMR-C-2").footprint.holes_deg) == 1  # type: ignore[union-attr]
    parts = [one for one in classes.volumes if one.group == "QPT"]
    assert {one.id for one in parts} == {"QPT-B", "QPT-B-2"}


def test_class_e_and_the_veil_need_no_permission(classes: DataSet) -> None:
    free = {one.id for one in classes.volumes if one.group == ""}
    assert free == {"QMR-E2", "MARL-E5", "QPT-MODE-C"}
    assert named(classes, "QPT-MODE-C").airspace_class == "V"


def test_a_cycle_day_in_a_name_dates_the_file(classes: DataSet, special: DataSet) -> None:
    from_utc, until_utc = classes.source.valid_from_utc, classes.source.valid_until_utc
    assert from_utc is not None
    assert until_utc is not None
    assert (f"{from_utc:%F %H%M}", f"{until_utc:%F %H%M}") == ("2026-10-29 0901", "2026-11-26 0901")
    assert special.source.valid_from_utc is None


def test_special_use_has_its_agency_and_times(special: DataSet) -> None:
    skua, moa = special.volumes
    assert (skua.id, skua.airspace_class, skua.kind) == ("R-Q901-SKUA", "R", "R")
    assert (skua.group, skua.facility) == ("R-Q901 SKUA", "QUIVER ARTCC")
    assert skua.ceiling == Height(reference="MSL", ft=18_000.0)
    assert skua.note == "upper FL"
    assert skua.schedule is not None
    assert skua.schedule.spans is not None
    assert (moa.airspace_class, moa.floor) == ("M", Height(reference="AGL", ft=500.0))
    assert moa.ceiling.ft == 60_000.0
    assert moa.note == "upper limit UNLTD: taken as unlimited"


def test_hours_by_notice_count_as_always_active(special: DataSet) -> None:
    schedule = special.volumes[1].schedule
    assert schedule is not None
    assert schedule.text == "INTERMITTENT BY NOTAM"
    assert schedule.spans is None


def test_a_file_of_both_kinds_is_read_whole_by_either_reader(tmp_path: Path) -> None:
    path = made.write_shapefile(tmp_path / "all.shp", [*made.CLASSES, *made.SPECIAL])
    for read in (read_class_airspace, read_special_use):
        assert len(read(path).volumes) == 10


def test_a_kind_that_is_not_known_is_kept_by_its_own_word(tmp_path: Path) -> None:
    attributes, shape = made.SPECIAL[0]
    path = made.write_shapefile(tmp_path / "x.shp", [({**attributes, "TYPE_CODE": "SFRA"}, shape)])
    (volume,) = read_special_use(path).volumes
    assert (volume.airspace_class, volume.kind) == ("X", "SFRA")


def test_shapes_are_those_of_geojson_and_of_a_second_reader(tmp_path: Path) -> None:
    """The same rows through shapely's GeoJSON, and the file through another library."""
    path = made.write_shapefile(tmp_path / "Class_Airspace.shp", made.CLASSES)
    ours = read_class_airspace(path).volumes
    features = json.loads(made.geojson(made.CLASSES))["features"]
    theirs = [
        part
        for feature in features
        for part in shapely.get_parts(shapely.from_geojson(json.dumps(feature["geometry"])))
    ]
    with shapefile.Reader(str(path)) as reader:
        second = [
            part
            for one in reader.iterShapes()
            for part in shapely.get_parts(shapely.geometry.shape(one.__geo_interface__))
        ]
    assert len(ours) == len(theirs) == len(second) == 8
    for volume, one, other in zip(ours, theirs, second, strict=True):
        assert shapely.equals(shape_of(volume), one)
        assert shapely.equals(shape_of(volume), other)


@pytest.mark.parametrize(
    ("values", "reason"),
    [
        ({"LOWER_VAL": "3000", "LOWER_CODE": "MSL"}, "ceiling 3000 ft not above the floor, 3000"),
        ({"UPPER_VAL": "high"}, "upper limit 'HIGH' 'FT' 'MSL'"),
        ({"UPPER_UOM": "FATHOM"}, "upper limit '3000' 'FATHOM' 'MSL'"),
        ({"UPPER_VAL": "0", "UPPER_CODE": "SFC"}, "a ceiling on the ground"),
        ({"CLASS": "Z"}, "class 'Z', expected A to G"),
    ],
)
def test_a_row_that_cannot_be_is_left_out(
    tmp_path: Path, values: dict[str, str], reason: str
) -> None:
    (attributes, shape), *others = made.CLASSES
    path = made.write_shapefile(tmp_path / "x.shp", [({**attributes, **values}, shape), *others])
    data = read_class_airspace(path)
    (left,) = data.account.left_out
    assert reason in left.reason
    assert (left.line, left.item) == (1, "MARL CLASS C")
    assert len(data.volumes) == 7


@pytest.mark.parametrize(
    ("values", "ceiling", "note"),
    [
        ({"UPPER_CODE": ""}, 3_000.0, "upper limit without reference, taken as AGL"),
        (
            {"LOWER_CODE": "", "LOWER_VAL": "900"},
            3_000.0,
            "lower limit without reference, taken as MSL",
        ),
        ({"LOWER_CODE": ""}, 3_000.0, "lower limit without reference, taken as AGL"),
        ({"UPPER_CODE": "", "UPPER_VAL": "30", "UPPER_UOM": "FL"}, 3_000.0, "upper FL"),
        ({"UPPER_VAL": "BYNOTAM"}, 60_000.0, "upper limit BYNOTAM: taken as unlimited"),
        ({"UPPER_VAL": "914.4", "UPPER_UOM": "M"}, 3_000.0, ""),
        ({"UPPER_VAL": "99999"}, 60_000.0, "upper limit not published: taken as unlimited"),
    ],
)
def test_what_is_not_said_of_a_limit_makes_the_volume_larger(
    tmp_path: Path, values: dict[str, str], ceiling: float, note: str
) -> None:
    attributes, shape = made.CLASSES[0]
    path = made.write_shapefile(tmp_path / "x.shp", [({**attributes, **values}, shape)])
    (volume,) = read_class_airspace(path).volumes
    assert volume.ceiling.ft == pytest.approx(ceiling)
    assert volume.note == note


@pytest.mark.parametrize(
    ("corners", "reason"),
    [
        ([[0, 95], [1, 95], [1, 96], [0, 95]], "no place on earth"),
        ([[0, 1], [1, 1], [0, 1]], "fewer than three different corners"),
        ([[np.nan, 1], [1, 1], [1, 2], [0, 1]], "no place on earth"),
    ],
)
def test_a_shape_that_cannot_be_is_left_out(
    tmp_path: Path, corners: list[list[float]], reason: str
) -> None:
    attributes, shape = made.CLASSES[0]
    content = bytearray(made.write_parts([(attributes, shape)])["shp"])
    size = len(corners)
    body = struct.pack("<i4d2ii", 5, 0, 0, 0, 0, 1, size, 0) + np.array(corners, float).tobytes()
    content[100:] = struct.pack(">2i", 1, len(body) // 2) + body
    path = made.write_shapefile(tmp_path / "x.shp", [(attributes, shape)])
    path.write_bytes(bytes(content))
    (left,) = read_class_airspace(path).account.left_out
    assert reason in left.reason


def test_an_edge_that_crosses_itself_keeps_its_area(tmp_path: Path) -> None:
    bow = shapely.Polygon([(-131, 41), (-130, 42), (-130, 41), (-131, 42)])
    path = made.write_shapefile(tmp_path / "x.shp", [(made.CLASSES[0][0], bow)])
    data = read_class_airspace(path)
    assert sum(shape_of(one).area for one in data.volumes) == pytest.approx(0.5)


def test_airspace_over_the_date_line_stays_in_one_piece(tmp_path: Path) -> None:
    over = shapely.Polygon([(179.5, 41), (179.5, 42), (-179.5, 42), (-179.5, 41)])
    path = made.write_shapefile(tmp_path / "x.shp", [(made.CLASSES[0][0], over)])
    (volume,) = read_class_airspace(path).volumes
    assert isinstance(volume.footprint, Polygon)
    corners = {(lat, lon) for lat, lon in volume.footprint.corners_deg.tolist()}
    assert corners == {(41.0, 179.5), (42.0, 179.5), (42.0, -179.5), (41.0, -179.5)}
    assert volume.footprint.holes_deg == ()


def test_an_island_in_a_hole_is_airspace_again(tmp_path: Path) -> None:
    island = made.disk(41.1, -130.5, 0.02)
    shape = shapely.MultiPolygon([made.SHELF, island])
    path = made.write_shapefile(tmp_path / "x.shp", [(made.CLASSES[0][0], shape)])
    outer, inner = sorted(read_class_airspace(path).volumes, key=lambda one: -shape_of(one).area)
    assert shapely.equals(shape_of(outer), made.SHELF)
    assert shapely.equals(shape_of(inner), island)


def test_a_shapefile_in_a_plane_is_refused(tmp_path: Path) -> None:
    path = made.write_shapefile(tmp_path / "x.shp", made.CLASSES)
    path.with_suffix(".prj").write_text('PROJCS["Web_Mercator"]')
    with pytest.raises(BadFile, match="in a plane, expected longitude and latitude"):
        read_class_airspace(path)


def test_a_shapefile_of_something_else_is_refused(tmp_path: Path) -> None:
    parts = made.write_parts([({"NAME": "Marl"}, made.BOX)], ["NAME", "DEPTH"])
    for ending, content in parts.items():
        (tmp_path / f"sea.{ending}").write_bytes(content)
    with pytest.raises(BadFile, match="no shapefile with NAME, UPPER_VAL, LOWER_VAL"):
        read_class_airspace(tmp_path)


def test_a_file_cut_short_gives_what_came_before(tmp_path: Path) -> None:
    path = made.write_shapefile(tmp_path / "x.shp", made.CLASSES)
    path.write_bytes(path.read_bytes()[:2_000])
    data = read_class_airspace(path)
    assert 0 < len(data.volumes) < 8
    assert data.account.left_out[-1].reason == "the file ends here"


def test_a_table_cut_short_gives_what_came_before(tmp_path: Path) -> None:
    path = made.write_shapefile(tmp_path / "x.shp", made.CLASSES)
    table = path.with_suffix(".dbf")
    table.write_bytes(table.read_bytes()[:-1_000])
    data = read_class_airspace(path)
    (left,) = data.account.left_out
    assert (left.file, left.reason) == ("x.dbf", "the file ends here")
    assert len(data.volumes) == 7


def test_shapes_with_heights_of_their_own_are_read_alike(tmp_path: Path) -> None:
    attributes, shape = made.CLASSES[0]
    shp, shx, dbf = io.BytesIO(), io.BytesIO(), io.BytesIO()
    with shapefile.Writer(shp=shp, shx=shx, dbf=dbf, shapeType=shapefile.POLYGONZ) as writer:
        for name in made.NAMES:
            writer.field(name, "C", size=40)
        writer.polyz([[[*place, 914.4] for place in shape.exterior.coords]])
        writer.record(*(attributes.get(name, "") for name in made.NAMES))
    for ending, file in (("shp", shp), ("dbf", dbf)):
        (tmp_path / f"x.{ending}").write_bytes(file.getvalue())
    (volume,) = read_class_airspace(tmp_path / "x.shp").volumes
    assert shapely.equals(shape_of(volume), shape)


def test_a_deleted_row_keeps_the_others_in_step(tmp_path: Path) -> None:
    path = made.write_shapefile(tmp_path / "x.shp", made.CLASSES)
    table = bytearray(path.with_suffix(".dbf").read_bytes())
    head, size = struct.unpack_from("<HH", table, 8)
    table[head + size] = ord("*")  # the second row
    path.with_suffix(".dbf").write_bytes(bytes(table))
    data = read_class_airspace(path)
    assert shapely.equals(shape_of(named(data, "QGN-D")), made.CLASSES[2][1])
    assert [one.reason for one in data.account.left_out] == ["deleted, or empty"]


def test_numbers_written_as_numbers_are_read_alike(tmp_path: Path) -> None:
    attributes, shape = made.CLASSES[1]
    shp, shx, dbf = io.BytesIO(), io.BytesIO(), io.BytesIO()
    with shapefile.Writer(shp=shp, shx=shx, dbf=dbf, shapeType=shapefile.POLYGON) as writer:
        for name in made.NAMES:
            writer.field(name, *(("N", 20, 8) if name.endswith("_VAL") else ("C", 40)))
        writer.poly([list(map(list, line.coords)) for line in (shape.exterior, *shape.interiors)])
        values = {**attributes, "UPPER_VAL": 3000, "LOWER_VAL": 1200}
        writer.record(*(values.get(name, "") for name in made.NAMES))
    for ending, file in (("shp", shp), ("dbf", dbf)):
        (tmp_path / f"x.{ending}").write_bytes(file.getvalue())
    (volume,) = read_class_airspace(tmp_path / "x.shp").volumes
    assert (volume.floor.ft, volume.ceiling.ft) == (1_200.0, 3_000.0)

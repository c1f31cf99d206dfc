"""OpenAir text as it really comes: dirt is forgiven, a lost meaning never."""

from pathlib import Path

import openair_made as made
import pytest

from lubberline.errors import BadFile
from lubberline.places import Circle, DataSet, Polygon
from lubberline.places.published import read_openair


def read(tmp_path: Path, content: str | bytes) -> DataSet:
    path = tmp_path / "x.txt"
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    return read_openair(path)


def reasons(data: DataSet) -> str:
    return "\n".join(map(str, data.account.left_out))


def test_all_shapes_of_a_file_become_volumes(tmp_path: Path) -> None:
    data = read(tmp_path, made.HEAD + made.ALL)
    assert data.account.read == {"volumes": 5}
    assert data.account.left_out == ()
    assert [one.airspace_class for one in data.volumes] == ["R", "D", "Q", "C", "E"]
    assert [type(one.footprint) for one in data.volumes] == [Polygon, Polygon, Circle] + 2 * [
        Polygon
    ]


def test_who_answers_and_on_what_frequency_is_kept(tmp_path: Path) -> None:
    (volume,) = read(tmp_path, made.EXTENDED).volumes
    assert (volume.group, volume.facility, volume.frequency_mhz) == (
        *("Marl Tower", "Marl Tower"),
        118.3,
    )
    assert (volume.name, volume.kind, volume.note) == ("CTR Marl", "CTR", "transponder 7000")


@pytest.mark.parametrize(
    "content",
    [
        made.OLD.replace("\n", "\r\n").encode(),
        made.OLD.replace("\n", "\r").encode(),
        b"\xef\xbb\xbf" + made.OLD.encode(),
        made.OLD.replace("Skua", "Sk\xfca").encode("latin-1"),
        made.OLD.replace("Skua", "Sk\xfca").encode(),
        made.OLD.replace("DP ", "  dp\t").encode(),
        made.OLD.replace("DP ", "DP").encode(),
        made.OLD.replace("AC R", "ac=R  ; restricted").encode(),
        made.OLD.replace("41:25:00 N 131:40:00 W", "N41:25:00 W131:40:00").encode(),
        made.OLD.replace("41:25:00 N 131:40:00 W", "412500N 1314000W").encode(),
        made.OLD.replace("41:25:00 N 131:40:00 W", "41.416666667 N, 131.666666667 W").encode(),
        made.OLD.replace("41:25:00 N 131:40:00 W", "41:24:60.0N131:40:00W").encode(),
    ],
)
def test_dirt_changes_nothing(tmp_path: Path, content: bytes) -> None:
    (clean,) = read(tmp_path, made.OLD).volumes
    (dirty,) = read(tmp_path, content).volumes
    assert dirty.name.replace("\xfc", "u") == clean.name
    assert isinstance(clean.footprint, Polygon)
    assert isinstance(dirty.footprint, Polygon)
    assert dirty.footprint.corners_deg == pytest.approx(clean.footprint.corners_deg, abs=1e-8)
    assert (dirty.floor, dirty.ceiling) == (clean.floor, clean.ceiling)


@pytest.mark.parametrize(
    ("old", "new", "reason"),
    [
        ("DP 41:26:00 N", "DP 41:26:00 ", "no latitude and longitude"),
        ("DP 41:26:00 N", "DP 41:76:00 N", "no place on earth"),
        ("DP 41:26:00 N", "DP 91:26:00 N", "no place on earth"),
        ("DP 41:26:00 N 131:53:00 W", "DA 5,0,90", "no center"),
        ("DP 41:26:00 N 131:53:00 W", "V D=x", "expected + or -"),
        ("AH 40000ft AMSL", "AH 500ft AMSL\nAL 600ft AMSL", "not above the floor"),
    ],
)
def test_an_airspace_with_another_shape_is_left_out_and_told(
    tmp_path: Path, old: str, new: str, reason: str
) -> None:
    data = read(tmp_path, made.DISK + made.OLD.replace(old, new))
    assert [one.name for one in data.volumes] == ["Para Petrel"]
    assert reason in reasons(data)
    assert "Q-R10B" in reasons(data)


def test_variables_do_not_outlive_their_airspace(tmp_path: Path) -> None:
    data = read(tmp_path, made.SECTOR + made.DISK.replace("V X=40:35:36N 131:56:42W\n", ""))
    assert len(data.volumes) == 1
    assert "no center" in reasons(data)


def test_the_sense_of_arcs_is_clockwise_in_each_airspace(tmp_path: Path) -> None:
    outline = "V X=41:00:00N 131:00:00W\nDA 5,0,90\nDP 41:00:00N 131:00:00W\n"
    head = made.DISK.partition("V X")[0]
    volumes = read(tmp_path, made.SECTOR + head + outline).volumes
    assert isinstance(volumes[1].footprint, Polygon)
    (arc,) = volumes[1].footprint.arcs
    assert arc.clockwise


def test_a_limit_that_is_not_understood_makes_the_airspace_larger(tmp_path: Path) -> None:
    data = read(tmp_path, made.OLD.replace("AL GND", "AL 100m/FL20").replace("40000ft", "up"))
    (volume,) = data.volumes
    assert (volume.floor.reference, volume.ceiling.ft) == ("SFC", 60_000.0)
    assert data.account.left_out_count == 2
    assert "'100m/FL20' is not understood: taken as the ground" in reasons(data)


def test_an_edge_that_crosses_itself_is_mended_and_no_area_lost(tmp_path: Path) -> None:
    head = made.DISK.partition("V X")[0]
    corners = ("41:00:00N 131:00:00W", "41:10:00N 130:50:00W", "41:10:00N 131:00:00W")
    crossed = "".join(f"DP {one}\n" for one in (*corners, "41:00:00N 130:50:00W"))
    volumes = read(tmp_path, head + crossed).volumes
    assert [one.id for one in volumes] == ["PARA-PETREL", "PARA-PETREL-2"]


def test_an_outline_over_the_date_line_stays_together(tmp_path: Path) -> None:
    head = made.DISK.partition("V X")[0]
    corners = ("10:00:00N 179:50:00E", "10:10:00N 179:50:00W", "10:00:00N 179:50:00W")
    (volume,) = read(tmp_path, head + "".join(f"DP {one}\n" for one in corners)).volumes
    assert isinstance(volume.footprint, Polygon)
    assert len(volume.footprint.corners_deg) == 3


def test_an_airway_is_as_wide_as_it_says(tmp_path: Path) -> None:
    from lubberline.earth import LocalPlane
    from lubberline.places import distance_nm

    (volume,) = read(tmp_path, made.AIRWAY).volumes
    plane = LocalPlane(41.25, -131.0)
    away_nm = distance_nm(volume.footprint, plane, [0.0, 1.9, 2.1], [0.0, 0.0, 0.0])
    assert away_nm == pytest.approx([-2.0, -0.1, 0.1], abs=0.01)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        (made.AIRWAY.replace("V W=4\n", ""), "an airway without width"),
        (made.AIRWAY + "DP 41:00:00N 131:00:00W\n", "fewer than three different corners"),
        (made.OLD + "DPX 41:00:00N 131:00:00W\n", "'DPX 41:00:00N 131:00:00W' is not understood"),
        (made.OLD + "DQ 41:00:00N 131:00:00W\n", "'DQ' is not understood"),
        (made.DISK.replace("DC 2.00", "DC two"), "is no length"),
        (made.DISK.replace("DC 2.00", ""), "fewer than three different corners"),
        (made.OLD.replace("SP 0", "ZZ 0"), "a record of unknown kind"),
        (made.OLD.replace("SP 0", "AN again"), "a second AN"),
        ("AN too early\n" + made.OLD, "no airspace (AC) before it"),
    ],
)
def test_what_is_left_out_is_told(tmp_path: Path, text: str, reason: str) -> None:
    assert reason in reasons(read(tmp_path, text))


def test_terrain_is_no_airspace(tmp_path: Path) -> None:
    terrain = "TC Lake\nDP 41:00:00N 131:00:00W\nDP 41:10:00N 131:00:00W\n"
    data = read(tmp_path, terrain + made.DISK)
    assert [one.name for one in data.volumes] == ["Para Petrel"]
    assert data.account.left_out == ()


def test_words_are_no_airspace(tmp_path: Path) -> None:
    with pytest.raises(BadFile, match=r"found no airspace \(AC\), expected OpenAir text"):
        read(tmp_path, "It was a dark and stormy night.\n")


def test_several_circles_are_several_shapes(tmp_path: Path) -> None:
    text = made.DISK + "V X=40:30:00N 131:56:42W\nDC 3\n" + made.OLD.partition("SP")[2]
    volumes = read(tmp_path, text).volumes
    assert [type(one.footprint) for one in volumes] == [Polygon, Circle, Circle]


def test_no_two_volumes_have_one_identifier(tmp_path: Path) -> None:
    other = made.DISK.replace("Para Petrel", "Para Petrel 2")
    volumes = read(tmp_path, made.DISK + made.DISK + other + other + made.DISK).volumes
    assert len({one.id for one in volumes}) == 5


def test_an_outline_without_end_is_left_out(tmp_path: Path) -> None:
    head = made.SECTOR.partition("DA")[0]
    data = read(tmp_path, made.DISK + head + "DA 900,0,359\n" * 3_000)
    assert "over 500,000 corners" in reasons(data)


def test_a_line_beside_an_area_takes_none_of_it_away(tmp_path: Path) -> None:
    corners = ("41:00:00N 131:00:00W", "41:10:00N 130:50:00W", "41:10:00N 131:00:00W")
    crossed = (*corners, "41:00:00N 130:50:00W", "40:50:00N 130:40:00W", "41:00:00N 130:50:00W")
    text = made.DISK.partition("V X")[0] + "".join(f"DP {one}\n" for one in crossed)
    assert len(read(tmp_path, text).volumes) == 2


def test_progress_is_told_up_to_the_end(tmp_path: Path) -> None:
    path = tmp_path / "x.txt"
    path.write_text(made.ALL)
    told: list[tuple[int, int | None]] = []
    read_openair(path, lambda done, total: told.append((done, total)))
    assert told[-1] == (path.stat().st_size, path.stat().st_size)

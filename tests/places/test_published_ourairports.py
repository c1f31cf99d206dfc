"""The tables of volunteers become aerodromes and radio aids; what is closed is left out."""

import csv
from math import isnan
from pathlib import Path

import nasr_made
import ourairports_made as made
import pytest

from lubberline.errors import BadFile
from lubberline.places import Aerodrome, DataSet
from lubberline.places.published import read_ourairports


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> DataSet:
    return read_ourairports(made.write_folder(tmp_path_factory.mktemp("ourairports")))


def named(data: DataSet, id_: str) -> Aerodrome:
    return next(one for one in data.aerodromes if one.id == id_)


def test_an_aerodrome_has_its_place_names_and_no_pattern_height(data: DataSet) -> None:
    marl = named(data, "QMRL")
    assert marl.name == 'Marl "Rib" Field, South'
    assert (marl.lat_deg, marl.lon_deg, marl.elev_msl_ft) == (41.1, -130.5, 112.0)
    assert (marl.aliases, marl.kind) == (("QML",), "")
    assert (marl.pattern_agl_ft, marl.pattern_customary) == (1_000.0, True)


def test_other_kinds_are_kept_and_closed_ones_are_not(data: DataSet) -> None:
    assert named(data, "QQ-0001").kind == "heliport"
    assert named(data, "QSEA").kind == "seaplane base"
    assert "QGAN" not in {one.id for one in data.aerodromes}


def test_an_elevation_that_is_not_given_is_not_known(data: DataSet) -> None:
    assert isnan(named(data, "QQ-0001").elev_msl_ft)
    assert named(data, "QSEA").elev_msl_ft == 0.0


def test_open_runways_have_their_ends(data: DataSet) -> None:
    paved, grass = named(data, "QMRL").runways
    assert (paved.surface, paved.lights, paved.length_ft, paved.width_ft) == (
        *("paved", "lighted"),
        *(4_200.0, 75.0),
    )
    assert [end.name for end in paved.ends] == ["12", "30"]
    assert [end.displaced_ft for end in paved.ends] == [300.0, 0.0]
    assert [end.true_deg for end in paved.ends] == [139.0, 319.0]
    assert (grass.surface, isnan(grass.width_ft), grass.lights) == ("grass", True, "")
    assert isnan(grass.ends[0].lat_deg)
    assert named(data, "QSEA").runways[0].surface == "water"


def test_services_are_those_on_civil_channels(data: DataSet) -> None:
    radios = named(data, "QMRL").radios
    assert [(one.use, one.frequency_mhz) for one in radios] == [
        ("tower", 118.6),
        ("other", 122.95),
        ("approach", 124.475),
    ]
    assert radios[0].facility == "MARL TWR"


def test_radio_aids_have_their_frequency_in_megahertz(data: DataSet) -> None:
    vor, ndb = data.waypoints
    assert (vor.id, vor.kind, vor.frequency_mhz, vor.note) == (
        *("QVO", "VOR-DME", 113.2),
        "channel 079X",
    )
    assert (ndb.id, ndb.frequency_mhz) == ("QN", 0.398)


def test_the_account_tells_what_was_left_out(data: DataSet) -> None:
    assert data.account.read == {
        "aerodromes": 3,
        "runways": 3,
        "radio services": 3,
        "radio aids": 2,
    }
    assert sorted(one.reason for one in data.account.left_out) == [
        "an end without name: no runway",
        "closed",
        "closed",
        "outside 118 to 136.992 MHz: no civil VHF channel",
    ]


def test_the_tables_are_not_dated(data: DataSet) -> None:
    assert data.source.valid_from_utc is None
    assert data.source.form == "OurAirports CSV"


def test_a_zip_file_says_the_same(tmp_path: Path, data: DataSet) -> None:
    content = {name: "\r\n".join(lines).encode() for name, lines in made.FILES.items()}
    (tmp_path / "x.zip").write_bytes(nasr_made.zip_of({f"data/{n}": c for n, c in content.items()}))
    again = read_ourairports(tmp_path / "x.zip")
    assert [one.id for one in again.aerodromes] == [one.id for one in data.aerodromes]
    assert again.account.read == data.account.read


def test_airports_alone_are_enough(tmp_path: Path) -> None:
    made.write_folder(tmp_path)
    for name in ("runways.csv", "airport-frequencies.csv", "navaids.csv"):
        (tmp_path / name).unlink()
    data = read_ourairports(tmp_path)
    assert len(data.aerodromes) == 3
    assert data.aerodromes[0].runways == ()


def test_a_folder_without_the_tables_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadFile, match=r"neither airports\.csv nor navaids\.csv"):
        read_ourairports(tmp_path)


@pytest.mark.parametrize(
    ("old", "new", "reason"),
    [
        (",41.1,-130.5,", ",91.1,-130.5,", "latitude '91.1', expected -90 to 90"),
        (",41.1,-130.5,", ",,,", "no position"),
        ('"QQ-0001"', '"QMRL"', "another one has this identifier"),
        (",112,", ",112000,", "elevation in feet '112000'"),
    ],
)
def test_an_impossible_aerodrome_is_left_out(
    tmp_path: Path, old: str, new: str, reason: str
) -> None:
    path = made.write_folder(tmp_path) / "airports.csv"
    path.write_text(path.read_text(encoding="utf-8").replace(old, new, 1), encoding="utf-8")
    data = read_ourairports(tmp_path)
    assert any(reason in one.reason for one in data.account.left_out)
    assert len(data.aerodromes) == 2


def test_a_second_reader_finds_the_same_places(tmp_path: Path, data: DataSet) -> None:
    with (made.write_folder(tmp_path) / "airports.csv").open(newline="", encoding="utf-8") as file:
        rows = {row["ident"]: row for row in csv.DictReader(file)}
    for one in data.aerodromes:
        row = rows[one.id]
        assert (one.lat_deg, one.lon_deg) == (
            float(row["latitude_deg"]),
            float(row["longitude_deg"]),
        )
        assert one.name == row["name"]

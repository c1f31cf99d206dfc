"""The tables of the US subscription become aerodromes, services, radio aids and fixes."""

import csv
import io
from collections.abc import Iterable
from datetime import UTC, datetime
from math import isnan, nan
from pathlib import Path
from typing import Any

import nasr_made as made
import pytest

from lubberline.earth import course_and_distance
from lubberline.errors import BadFile
from lubberline.places import Aerodrome, DataSet
from lubberline.places.published import read_nasr


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> DataSet:
    return read_nasr(made.write_subscription(tmp_path_factory.mktemp("nasr") / "nasr-csv.zip"))


def named(data: DataSet, id_: str) -> Aerodrome:
    return next(one for one in data.aerodromes if one.id == id_)


def changed(name: str, at: int, **values: object) -> dict[str, Iterable[made.Row]]:
    """The tables with one row of one of them changed."""
    rows = [dict(row) for row in made.TABLES[name]]
    rows[at] |= values
    return {**made.TABLES, name: rows}


def test_the_cycle_begins_at_0901_utc_and_ends_28_days_later(data: DataSet) -> None:
    assert data.source.valid_from_utc == datetime(2026, 10, 29, 9, 1, tzinfo=UTC)
    assert data.source.valid_until_utc == datetime(2026, 11, 26, 9, 1, tzinfo=UTC)


def test_an_aerodrome_has_its_icao_identifier_and_answers_to_its_other_one(data: DataSet) -> None:
    marl = named(data, "QMRL")
    assert (marl.name, marl.aliases) == ("MARL ISLAND", ("QML",))
    assert (marl.lat_deg, marl.lon_deg, marl.elev_msl_ft) == (41.1, -130.5, 112.4)


def test_a_published_pattern_height_is_used_and_a_missing_one_is_customary(data: DataSet) -> None:
    marl, wren = named(data, "QMRL"), named(data, "Q0W")
    assert (marl.pattern_agl_ft, marl.pattern_customary) == (800.0, False)
    assert (wren.pattern_agl_ft, wren.pattern_customary) == (1_000.0, True)


def test_a_runway_has_its_ends_in_the_order_of_its_name(data: DataSet) -> None:
    (strip,) = named(data, "QMRL").runways
    first, second = strip.ends
    assert (strip.length_ft, strip.width_ft, strip.surface) == (4_200.0, 75.0, "paved")
    assert strip.lights == "medium intensity"
    assert (first.name, first.true_deg, first.elev_msl_ft) == ("12", 139.0, 112.4)
    assert (first.displaced_ft, first.pattern_side) == (300.0, "right")
    assert first.lights == "slope indicator P2L; end lights"
    assert (second.name, second.pattern_side, second.displaced_ft) == ("30", "left", 0.0)
    assert second.lights == "MALSR"


def test_what_is_not_published_of_a_runway_is_not_known(data: DataSet) -> None:
    (strip,) = named(data, "Q0W").runways
    assert strip.surface == "grass"  # of asphalt and turf the worse one
    assert isnan(strip.width_ft)
    assert all(isnan(end.true_deg) and isnan(end.lat_deg) for end in strip.ends)


@pytest.mark.parametrize(
    ("use", "facility", "frequency_mhz", "hours"),
    [
        ("tower", "MARL TOWER", 118.6, "0700-2100 local"),
        ("ground", "MARL GROUND", 121.7, "0700-2100 local"),
        ("atis", "MARL ATIS", 127.85, "0630-2130 local"),
        ("approach", "GANNET APPROACH", 124.475, "24"),
        ("other", "MARL UNICOM", 122.1, ""),
    ],
)
def test_each_service_has_its_call_and_hours(
    data: DataSet, use: str, facility: str, frequency_mhz: float, hours: str
) -> None:
    radio = next(one for one in named(data, "QMRL").radios if one.use == use)
    assert (radio.facility, radio.frequency_mhz, radio.hours) == (facility, frequency_mhz, hours)


def test_primary_channels_come_first_and_remarks_stay(data: DataSet) -> None:
    towers = [one for one in named(data, "QMRL").radios if one.use == "tower"]
    assert [one.frequency_mhz for one in towers] == [118.6, 119.15]
    unicom = next(one for one in named(data, "QMRL").radios if "UNICOM" in one.note)
    assert unicom.note == "UNICOM; R"  # the R of 122.1R is not lost


def test_a_weather_station_of_another_name_is_heard_where_it_stands(data: DataSet) -> None:
    awos = next(one for one in named(data, "Q0W").radios if one.use == "awos")
    assert (awos.facility, awos.frequency_mhz) == ("QMX AWOS-3", 135.075)


def test_notes_tell_use_class_hours_and_remarks(data: DataSet) -> None:
    note = named(data, "QMRL").note
    assert "class D and E airspace, CLASS D SVC 0700-2100; OTHER TIMES CLASS G" in note
    assert "RADAR BY GANNET APCH." in note
    assert "GULLS ON RWY." in note
    assert '12: MOLE CALLED "THE RIB".' in note
    assert named(data, "Q0W").note == "private use"


def test_a_heliport_is_kept_with_its_kind_and_a_closed_field_is_left_out(data: DataSet) -> None:
    assert named(data, "QPD").kind == "heliport"
    assert named(data, "QPD").runways == ()
    reasons = {one.item: one.reason for one in data.account.left_out}
    assert reasons["aerodromes QGN"] == "closed indefinitely"
    assert "a helipad" in reasons["runways QPD"]


def test_radio_aids_in_service_and_fixes_are_waypoints(data: DataSet) -> None:
    known = {one.id: one for one in data.waypoints}
    assert set(known) == {"QVO", "QN", "VPQRB", "QAMBR"}
    assert (known["QVO"].frequency_mhz, known["QVO"].note) == (113.2, "channel 079X")
    assert known["QN"].frequency_mhz == 0.365  # published in kilohertz
    assert "waypoints" not in data.account.read


def test_a_vfr_waypoint_is_also_a_point_to_be_seen(data: DataSet) -> None:
    (point,) = data.points
    assert (point.name, point.lat_deg, point.lon_deg) == ("VPQRB", 41.05, -130.7)
    assert "SPLIT ROCK" in point.note


def test_every_row_is_read_or_left_out(data: DataSet) -> None:
    account = data.account
    assert account.read["aerodromes"] == 3
    assert account.read["radio services"] == 8
    assert account.left_out_count == len(account.left_out) == 5


def test_channels_that_serve_no_civil_aerodrome_are_left_out_with_their_reason(
    data: DataSet,
) -> None:
    military, aid = [one for one in data.account.left_out if "radio services" in one.item]
    assert (military.line, aid.line) == (2, 11)
    assert military.reason == "outside 118 to 136.992 MHz: no civil VHF channel"
    assert aid.reason == "serves a radio aid or an outlet, no aerodrome"


@pytest.mark.parametrize(
    ("name", "at", "values", "reason"),
    [
        ("APT_BASE.csv", 0, {"LAT_DECIMAL": "97.1"}, "latitude '97.1', expected -90 to 90"),
        ("APT_BASE.csv", 0, {"LONG_DECIMAL": "x"}, "longitude 'x', expected -180 to 180"),
        ("APT_BASE.csv", 0, {"LAT_DECIMAL": ""}, "no position"),
        ("APT_BASE.csv", 0, {"ELEV": "99999"}, "elevation in feet '99999'"),
        ("APT_BASE.csv", 0, {"ARPT_ID": ""}, "no identifier"),
        ("APT_BASE.csv", 1, {"ICAO_ID": "QMRL"}, "another one has this identifier"),
        ("APT_RWY.csv", 0, {"RWY_LEN": "-3"}, "length in feet '-3', expected 1 to"),
        ("APT_RWY.csv", 0, {"RWY_LEN": ""}, "no length"),
        ("APT_RWY.csv", 0, {"RWY_LEN": "x"}, "length in feet 'x'"),
        ("NAV_BASE.csv", 0, {"NAV_ID": ""}, "no identifier"),
    ],
)
def test_an_impossible_row_is_left_out_and_the_rest_is_read(
    tmp_path: Path, name: str, at: int, values: dict[str, object], reason: str
) -> None:
    data = read_nasr(made.write_folder(tmp_path, changed(name, at, **values)))
    assert any(reason in one.reason for one in data.account.left_out)
    assert data.account.left_out_count == 6
    assert len(data.aerodromes) >= 2


def test_ends_that_lie_too_far_apart_are_not_known(tmp_path: Path) -> None:
    data = read_nasr(made.write_folder(tmp_path, changed("APT_RWY.csv", 0, RWY_LEN="2100")))
    (strip,) = named(data, "QMRL").runways
    assert strip.length_ft == 2_100.0
    assert all(isnan(end.lat_deg) for end in strip.ends)
    assert any("its ends lie" in one.reason for one in data.account.left_out)


def test_ends_in_the_wrong_order_are_not_known(tmp_path: Path) -> None:
    data = read_nasr(
        made.write_folder(tmp_path, changed("APT_RWY_END.csv", 1, TRUE_ALIGNMENT="319"))
    )
    (strip,) = named(data, "QMRL").runways
    assert all(isnan(end.lat_deg) for end in strip.ends)
    assert any("wrong order" in one.reason for one in data.account.left_out)


def test_a_direction_that_the_ends_contradict_is_told_and_theirs_is_taken(tmp_path: Path) -> None:
    data = read_nasr(
        made.write_folder(tmp_path, changed("APT_RWY_END.csv", 1, TRUE_ALIGNMENT="120"))
    )
    (strip,) = named(data, "QMRL").runways
    assert strip.ends[0].true_deg == pytest.approx(139.2, abs=0.2)
    assert strip.ends[0].lat_deg == 41.10436
    (left,) = [one for one in data.account.left_out if "direction" in one.item]
    assert (left.item, left.reason) == ("QML direction of 12", "120°, but it leads 139°")


def test_a_direction_that_is_not_published_follows_from_the_positions(tmp_path: Path) -> None:
    tables = changed("APT_RWY_END.csv", 1, TRUE_ALIGNMENT="")
    (strip,) = named(read_nasr(made.write_folder(tmp_path, tables)), "QMRL").runways
    first, second = strip.ends
    course_deg, _ = course_and_distance(
        first.lat_deg, first.lon_deg, second.lat_deg, second.lon_deg
    )
    assert first.true_deg == pytest.approx(float(course_deg), abs=0.2)  # flat against geodesic


def test_tables_of_two_cycles_are_refused(tmp_path: Path) -> None:
    made.write_folder(tmp_path)
    text = made.text_of("NAV_BASE.csv", made.TABLES["NAV_BASE.csv"], day="2026/10/01")
    (tmp_path / "NAV_BASE.csv").write_text(text)
    with pytest.raises(BadFile, match="tables of several cycles"):
        read_nasr(tmp_path)


def test_archives_of_two_cycles_are_refused(tmp_path: Path) -> None:
    for name, day in (("01_Oct_CSV.zip", "2026/10/01"), ("29_Oct_CSV.zip", made.DAY)):
        text = made.text_of("NAV_BASE.csv", made.TABLES["NAV_BASE.csv"], day=day)
        (tmp_path / name).write_bytes(made.zip_of({"NAV_BASE.csv": text.encode()}))
    with pytest.raises(BadFile, match=r"2026/10/01 in 01_Oct_CSV\.zip/NAV_BASE\.csv"):
        read_nasr(tmp_path)


def test_a_folder_without_the_tables_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadFile, match=r"none of APT_BASE\.csv, NAV_BASE\.csv, FIX_BASE\.csv"):
        read_nasr(tmp_path)


def test_a_table_without_a_needed_column_is_refused_by_name(tmp_path: Path) -> None:
    made.write_folder(tmp_path)
    path = tmp_path / "APT_BASE.csv"
    path.write_text(path.read_text().replace('"LAT_DECIMAL"', '"LATITUDE"', 1))
    with pytest.raises(BadFile, match=r"APT_BASE\.csv without LAT_DECIMAL"):
        read_nasr(tmp_path)


def dirty(text: str, how: str) -> bytes:
    """The same table with dirt that carries no meaning."""
    rows = list(csv.reader(io.StringIO(text, newline="")))
    match how:
        case "columns in another order":
            rows = [row[::-1] for row in rows]
        case "blank rows and spaces":
            rows = [[f" {value}  " for value in row] for row in rows for _ in (0,)]
            rows.insert(1, [])
            rows.insert(3, [" "] * len(rows[0]))
        case "columns of the future":
            rows = [["NEW", *row] for row in rows]
        case "a comma too much":
            rows = [[*row, ""] for row in rows]
    ends = {"old ends of lines": "\r", "other ends of lines": "\n"}.get(how, "\r\n")
    file = io.StringIO(newline="")
    if how == "hardly any quotes":
        csv.writer(file).writerows(rows)
    else:
        csv.writer(file, quoting=csv.QUOTE_ALL, lineterminator=ends).writerows(rows)
    mark = "\ufeff" if how == "byte order mark" else ""
    return (mark + file.getvalue()).encode()


@pytest.mark.parametrize(
    "how",
    [
        *("columns in another order", "blank rows and spaces", "columns of the future"),
        *("a comma too much", "hardly any quotes", "old ends of lines", "other ends of lines"),
        "byte order mark",
    ],
)
def test_dirt_without_meaning_changes_nothing(tmp_path: Path, data: DataSet, how: str) -> None:
    for name, rows in made.TABLES.items():
        (tmp_path / name).write_bytes(dirty(made.text_of(name, rows), how))
    again = read_nasr(tmp_path)
    assert plain(again.aerodromes) == plain(data.aerodromes)
    assert plain(again.waypoints) == plain(data.waypoints)


def plain(items: Iterable[Any]) -> list[str]:
    """Items as text, without the name of their file; unknown numbers are equal there."""
    return [repr(one).replace(f"source={one.source!r}", "") for one in items]


def test_latin_letters_in_the_wrong_encoding_are_read(tmp_path: Path) -> None:
    tables = changed("APT_BASE.csv", 0, ARPT_NAME="PEÑASCO")
    made.write_folder(tmp_path)
    text = made.text_of("APT_BASE.csv", tables["APT_BASE.csv"])
    (tmp_path / "APT_BASE.csv").write_bytes(text.encode("latin-1"))
    assert named(read_nasr(tmp_path), "QMRL").name == "PEÑASCO"


def test_a_row_with_values_missing_is_left_out(tmp_path: Path) -> None:
    made.write_folder(tmp_path)
    path = tmp_path / "FIX_BASE.csv"
    lines = path.read_text().splitlines()
    path.write_text("\n".join([*lines, '"2026/10/29","QSHRT","K9"']))
    data = read_nasr(tmp_path)
    assert "QSHRT" not in {one.id for one in data.waypoints}
    assert any("3 values under 26 columns" in one.reason for one in data.account.left_out)


def test_the_same_is_read_by_a_second_reader(tmp_path: Path, data: DataSet) -> None:
    """Positions, elevations and frequencies against plain reading with the csv module."""
    folder = made.write_folder(tmp_path)
    with (folder / "APT_BASE.csv").open(newline="") as file:
        rows = {row["ARPT_ID"]: row for row in csv.DictReader(file)}
    for one in data.aerodromes:
        row = rows[one.aliases[0] if one.aliases else one.id]
        assert one.lat_deg == float(row["LAT_DECIMAL"])
        assert one.lon_deg == float(row["LONG_DECIMAL"])
        assert one.elev_msl_ft == float(row["ELEV"] or nan)


def test_progress_reaches_the_whole(tmp_path: Path) -> None:
    told: list[tuple[int, int | None]] = []
    read_nasr(made.write_folder(tmp_path), lambda done, whole: told.append((done, whole)))
    assert told[-1][0] == told[-1][1] == sum(one.stat().st_size for one in tmp_path.iterdir())
    assert [done for done, _ in told] == sorted(done for done, _ in told)

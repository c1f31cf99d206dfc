"""Added files are remembered, read anew when they change, and never guessed at when gone."""

import os
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
from places_made import SOURCE, UNTIL_UTC, aerodrome, data_set, polygon, volume

from lubberline.errors import BadFile
from lubberline.places import Corridor, DataSet, Radio, asked
from lubberline.places.kept import Kept, KeptData, Progress, data_folder

NOW_UTC = datetime(2026, 11, 1, tzinfo=UTC)
HERE = Corridor(lat_deg=np.array([41.1]), lon_deg=np.array([-130.5]), half_width_nm=30.0)


class Reader:
    """Each line of a file is an aerodrome: its id and elevation."""

    def __init__(self) -> None:
        self.count = 0

    def __call__(self, path: Path, progress: Progress | None) -> DataSet:
        self.count += 1
        rows = [line.split() for line in path.read_text().splitlines()]
        fields = tuple(aerodrome(id_, elev_msl_ft=float(elev)) for id_, elev in rows)
        return data_set(source=replace(SOURCE, name=path.name), aerodromes=fields)


@pytest.fixture
def reader() -> Reader:
    return Reader()


@pytest.fixture
def data(tmp_path: Path, reader: Reader) -> KeptData:
    return KeptData(tmp_path / "data", reader)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "Fields (new).txt"
    path.write_text("QMRL 112")
    return path


def ids(data: KeptData, kept: Kept) -> list[str]:
    return [one.id for one in data.open(kept).whole().aerodromes]


def test_an_added_file_is_listed_and_opened_without_reading_it_again(
    data: KeptData, file: Path, reader: Reader
) -> None:
    kept = data.add(file, now_utc=NOW_UTC, priority=3)
    assert data.listed() == (kept,)
    assert (kept.name, kept.form, kept.priority) == ("fields-new", "NASR CSV", 3)
    assert ids(data, kept) == ["QMRL"]
    assert reader.count == 1


def test_a_changed_file_is_read_again(data: KeptData, file: Path, reader: Reader) -> None:
    kept = data.add(file, now_utc=NOW_UTC)
    file.write_text("QMRL 112\nQWRN 90")
    assert ids(data, kept) == ["QMRL", "QWRN"]
    (now,) = data.listed()
    assert ids(data, now) == ["QMRL", "QWRN"]
    assert (reader.count, now.added_utc) == (2, NOW_UTC)


def test_a_file_that_was_only_touched_is_not(data: KeptData, file: Path, reader: Reader) -> None:
    kept = data.add(file, now_utc=NOW_UTC)
    os.utime(file, ns=(1, 1))
    data.open(kept)
    assert reader.count == 1
    assert data.listed()[0].mtime_ns == 1


@pytest.mark.parametrize("damage", [b"", b"lubberline index and rubbish", None])
def test_a_damaged_or_missing_index_is_made_again(
    data: KeptData, file: Path, reader: Reader, damage: bytes | None
) -> None:
    kept = data.add(file, now_utc=NOW_UTC)
    path = data.folder / "fields-new.index"
    path.unlink() if damage is None else path.write_bytes(damage)
    assert ids(data, kept) == ["QMRL"]
    assert reader.count == 2


def test_an_index_of_another_state_is_made_again(
    data: KeptData, file: Path, tmp_path: Path
) -> None:
    """Two processes: one read the file before, the other after a change."""
    data.add(file, now_utc=NOW_UTC)
    old = (data.folder / "fields-new.index").read_bytes()
    file.write_text("QNEW 1")
    kept = data.add(file, now_utc=NOW_UTC)
    (data.folder / "fields-new.index").write_bytes(old)
    assert ids(data, kept) == ["QNEW"]


def test_without_its_file_a_whole_index_serves_and_a_damaged_one_is_refused(
    data: KeptData, file: Path
) -> None:
    kept = data.add(file, now_utc=NOW_UTC)
    file.unlink()
    assert ids(data, kept) == ["QMRL"]
    (data.folder / "fields-new.index").write_bytes(b"")
    with pytest.raises(BadFile, match="lubberline places remove fields-new"):
        data.open(kept)


def test_what_a_killed_process_left_is_swept_away_after_a_day(data: KeptData, file: Path) -> None:
    kept = data.add(file, now_utc=NOW_UTC)
    for name, age_s in ((".a.index.1.part", 2 * 86_400), (".a.index.2.part", 60)):
        (data.folder / name).write_text("half")
        os.utime(data.folder / name, (NOW_UTC.timestamp() - age_s,) * 2)
    data.add(file, now_utc=NOW_UTC)
    left = sorted(path.name for path in data.folder.iterdir())
    assert left == [".a.index.2.part", f"{kept.name}.index", f"{kept.name}.json"]


def test_one_file_has_one_name_and_two_files_have_two(
    data: KeptData, file: Path, tmp_path: Path
) -> None:
    other = tmp_path / "other" / file.name
    other.parent.mkdir()
    other.write_text("QWRN 90")
    names = [data.add(path, now_utc=NOW_UTC).name for path in (file, other, file)]
    assert names == ["fields-new", "fields-new-2", "fields-new"]
    assert len(data.listed()) == 2


def test_a_removed_file_is_forgotten_and_stays_where_it_is(data: KeptData, file: Path) -> None:
    data.add(file, now_utc=NOW_UTC)
    data.remove("fields-new")
    assert data.listed() == ()
    assert list(data.folder.iterdir()) == []
    assert file.exists()


def test_an_unknown_name_and_a_missing_file_are_refused(data: KeptData, file: Path) -> None:
    data.add(file, now_utc=NOW_UTC)
    with pytest.raises(BadFile, match=r"found 'nasr', expected all, fields-new"):
        data.named(["nasr"])
    with pytest.raises(BadFile, match="found nothing, expected a file of published data"):
        data.add(file.parent / "absent", now_utc=NOW_UTC)


def test_a_broken_record_is_told(data: KeptData, file: Path) -> None:
    data.add(file, now_utc=NOW_UTC)
    (data.folder / "fields-new.json").write_text("{")
    with pytest.raises(BadFile, match="what is no record"):
        data.listed()


def test_a_file_that_cannot_be_read_leaves_nothing(data: KeptData, file: Path) -> None:
    file.write_text("QMRL high")
    with pytest.raises(ValueError, match="high"):
        data.add(file, now_utc=NOW_UTC)
    assert data.listed() == ()


def test_a_data_folder_that_cannot_be_is_refused(tmp_path: Path, file: Path) -> None:
    (tmp_path / "in the way").write_text("a file where the folder should be")
    data = KeptData(tmp_path / "in the way", Reader())
    with pytest.raises(BadFile, match="expected a place to read and write"):
        data.add(file, now_utc=NOW_UTC)


def test_a_file_that_may_not_be_read_is_refused(
    data: KeptData, file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(self: Path, *_: object, **__: object) -> None:
        raise PermissionError("not yours")

    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(BadFile, match="not yours"):
        data.add(file, now_utc=NOW_UTC)


def elevation_ft(data: KeptData, at_utc: datetime) -> float:
    return asked(data, ["all"], at_utc).along(HERE).aerodromes["QMRL"].elev_msl_ft


def test_the_higher_priority_is_used_then_what_is_valid_then_the_newer(
    tmp_path: Path,
) -> None:
    sources = {
        "old.txt": replace(SOURCE, name="old.txt"),
        "next.txt": replace(
            SOURCE,
            name="next.txt",
            valid_from_utc=UNTIL_UTC,
            valid_until_utc=UNTIL_UTC + timedelta(days=28),
        ),
        "undated.txt": replace(
            SOURCE, name="undated.txt", valid_from_utc=None, valid_until_utc=None
        ),
    }
    elevations = {"old.txt": 1.0, "next.txt": 2.0, "undated.txt": 3.0}

    def read(path: Path, progress: Progress | None) -> DataSet:
        fields = (aerodrome(elev_msl_ft=100.0 * elevations[path.name]),)
        return data_set(source=sources[path.name], aerodromes=fields)

    data = KeptData(tmp_path / "data", read)
    for name in sources:
        (tmp_path / name).write_text(name)
        data.add(tmp_path / name, now_utc=NOW_UTC)
    assert elevation_ft(data, NOW_UTC) == 100.0
    assert elevation_ft(data, UNTIL_UTC) == 200.0
    assert elevation_ft(data, UNTIL_UTC + timedelta(days=60)) == 300.0
    data.add(tmp_path / "next.txt", now_utc=NOW_UTC, priority=1)
    assert elevation_ft(data, NOW_UTC) == 200.0
    conflicts = asked(data, ["all"], NOW_UTC).along(HERE).conflicts
    assert [(one.used, one.other) for one in conflicts] == [
        ("next.txt", "old.txt"),
        ("next.txt", "undated.txt"),
    ]


def test_a_name_is_looked_up_in_all_of_them(data: KeptData, file: Path) -> None:
    data.add(file, now_utc=NOW_UTC)
    assert len(list(asked(data, ["fields-new"], NOW_UTC).called("QMRL"))) == 1


def test_a_shelf_is_answered_by_its_aerodrome_though_that_lies_beyond_the_corridor(
    tmp_path: Path,
) -> None:
    shelf = volume(facility="", group="QBIG", airspace_class="C", footprint=polygon(41.1, -130.5))
    radio = Radio(facility="Big Approach", use="approach", frequency_mhz=124.3)
    big = aerodrome("QBIG", lat_deg=42.5, radios=(radio,))
    data = KeptData(tmp_path, lambda *_: data_set(aerodromes=(big,), volumes=(shelf,)))
    (tmp_path / "a").write_text("")
    data.add(tmp_path / "a", now_utc=NOW_UTC)
    places = asked(data, ["all"], NOW_UTC).along(HERE)
    assert places.aerodromes == {}
    assert [one.frequency_mhz for one in places.volumes] == [124.3]


def test_the_data_lie_where_the_user_or_the_system_says(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("LUBBERLINE_DATA", str(tmp_path / "mine"))
    assert data_folder() == tmp_path / "mine"
    monkeypatch.delenv("LUBBERLINE_DATA")
    monkeypatch.setattr("sys.platform", "linux")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert data_folder() == tmp_path / "lubberline"
    monkeypatch.delenv("XDG_DATA_HOME")
    assert data_folder() == Path.home() / ".local" / "share" / "lubberline"

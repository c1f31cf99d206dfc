"""The index gives back what it was given, finds what is near, and trusts no damaged file."""

import multiprocessing
import os
import signal
import tempfile
import time
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from places_made import aerodrome, data_set, everything, obstacles, polygon, same, volume

from lubberline.errors import BadFile
from lubberline.places import Corridor, DataSet, Waypoint
from lubberline.places.index import Index, codec, columns, open_index, write_index

HERE = Corridor(lat_deg=np.array([41.1]), lon_deg=np.array([-130.5]), half_width_nm=30.0)


def indexed(data: DataSet, folder: Path) -> Index:
    write_index(folder / "a.index", data)
    return open_index(folder / "a.index")


def test_everything_survives_the_round_trip_exactly(tmp_path: Path) -> None:
    given = everything()
    back = indexed(given, tmp_path).whole()
    assert given.obstacles is not None
    order = np.argsort(given.obstacles.lat_deg)
    columns_ = {n: getattr(given.obstacles, n)[order] for n in given.obstacles.__slots__}
    assert same(replace(given, obstacles=type(given.obstacles)(**columns_)), back)


@settings(max_examples=50, deadline=None)
@given(st.text(), st.floats(), st.characters(categories=["Cs"]))
def test_any_words_and_numbers_survive(words: str, number: float, lone: str) -> None:
    field = aerodrome(words + lone, name=words, elev_msl_ft=number, note=words)
    with tempfile.TemporaryDirectory() as folder:
        index = indexed(data_set(aerodromes=(field,)), Path(folder))
        assert same(index.whole().aerodromes, (field,))
        assert same(index.named(field.id), (field,))


def test_an_empty_set_stays_empty(tmp_path: Path) -> None:
    index = indexed(data_set(), tmp_path)
    assert same(index.whole(), data_set())
    assert same(index.near(HERE), data_set())
    none = data_set(obstacles=obstacles([], []))
    found = indexed(none, tmp_path).near(HERE).obstacles
    assert found is not None
    assert len(found) == 0


def test_only_what_is_near_is_found(tmp_path: Path) -> None:
    given = replace(everything(), aerodromes=(aerodrome(), aerodrome("QFAR", lat_deg=42.1)))
    found = indexed(given, tmp_path).near(HERE)
    assert [one.id for one in found.aerodromes] == ["QMRL"]
    assert [one.id for one in found.volumes] == ["QV-MARL", "QV-EAST", "QV-OPEN"]
    assert [one.id for one in found.waypoints] == ["QVO"]
    assert found.obstacles is not None
    assert len(found.obstacles) == 3


def test_a_name_is_found_wherever_it_is(tmp_path: Path) -> None:
    index = indexed(everything(), tmp_path)
    assert [one.id for one in index.named("QAMBR") if isinstance(one, Waypoint)] == ["QAMBR"]
    assert [type(one).__name__ for one in index.named("Gasworks chimney")] == ["VisualPoint"]
    assert index.named("QNONE") == ()


def test_where_all_is_water_the_nearest_land_says_so(tmp_path: Path) -> None:
    far, farther = polygon(50.0, -130.5).corners_deg, polygon(60.0, -130.5).corners_deg
    found = indexed(data_set(land_deg=(farther, far)), tmp_path).near(HERE).land_deg
    assert same(found, (far,))


@pytest.mark.parametrize("kept", [0, 10, 100, -1])
def test_a_cut_file_is_refused(tmp_path: Path, kept: int) -> None:
    path = tmp_path / "a.index"
    write_index(path, everything())
    path.write_bytes(path.read_bytes()[:kept])
    with pytest.raises(BadFile, match="whole index"):
        open_index(path)


def test_no_changed_byte_is_trusted(tmp_path: Path) -> None:
    path = tmp_path / "a.index"
    write_index(path, everything())
    whole = path.read_bytes()
    for place in range(0, len(whole), 37):
        path.write_bytes(whole[:place] + bytes([whole[place] ^ 1]) + whole[place + 1 :])
        with pytest.raises(BadFile):
            open_index(path)


def test_another_version_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "a.index"
    monkeypatch.setattr(columns, "VERSION", columns.VERSION - 1)
    write_index(path, everything())
    monkeypatch.undo()
    with pytest.raises(BadFile, match="version 0"):
        open_index(path)


def test_values_of_another_version_are_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.index"
    write_index(path, everything())
    monkeypatch.setattr("lubberline.places.index.index.SCHEMA", codec.SCHEMA[::-1])
    with pytest.raises(BadFile, match="values of another version"):
        open_index(path)


def test_a_missing_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadFile, match="No such file"):
        open_index(tmp_path / "a.index")


def write_for_ever(path: Path, count: int) -> None:
    data = data_set(aerodromes=tuple(aerodrome(f"Q{n}") for n in range(count)))
    while True:
        write_index(path, data)


def test_two_writers_of_whom_one_is_killed_leave_a_whole_file(tmp_path: Path) -> None:
    path = tmp_path / "a.index"
    fork = multiprocessing.get_context("fork")
    writers = [fork.Process(target=write_for_ever, args=(path, n)) for n in (50, 80)]
    for writer in writers:
        writer.start()
    seen: set[int] = set()
    until = time.monotonic() + 20.0
    while seen != {50, 80} and time.monotonic() < until:
        if path.exists():
            seen.add(len(open_index(path).whole().aerodromes))
    for writer in writers:
        os.kill(writer.pid or 0, signal.SIGKILL)
        writer.join()
    assert seen == {50, 80}
    assert len(open_index(path).whole().aerodromes) in seen


def full(handle: int) -> None:
    raise OSError("no space")


def test_a_failed_write_leaves_the_old_file_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.index"
    write_index(path, data_set(aerodromes=(aerodrome(),)))
    before = path.read_bytes()
    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(OSError, match="no space"):
        write_index(path, everything())
    assert path.read_bytes() == before
    assert list(tmp_path.iterdir()) == [path]


def test_a_volume_far_from_its_boxes_corner_is_left_out(tmp_path: Path) -> None:
    """A slanting route's box is large; what lies in its empty corner is not near."""
    slant = Corridor(
        lat_deg=np.array([40.0, 42.0]), lon_deg=np.array([-132.0, -130.0]), half_width_nm=10.0
    )
    corner = volume("QV-CORNER", footprint=polygon(40.3, -130.3))
    beside = volume("QV-BESIDE", footprint=polygon(41.0, -131.2))
    found = indexed(data_set(volumes=(corner, beside)), tmp_path).near(slant)
    assert [one.id for one in found.volumes] == ["QV-BESIDE"]

"""The starter folder and the demo's folder: whole or not at all, and never over a pilot's own."""

from pathlib import Path

import pytest

from lubberline.demo import FLIGHTS, folder, way_of, write_demo, write_folder
from lubberline.errors import BadFile, NoSolution
from lubberline.flight import read_plan
from lubberline.weather import wind_at


@pytest.fixture(scope="module")
def starter(tmp_path_factory: pytest.TempPathFactory) -> Path:
    directory = tmp_path_factory.mktemp("starter") / "deep" / "folder"
    write_folder(directory)
    return directory


def files(directory: Path) -> dict[str, bytes]:
    found = (path for path in directory.rglob("*") if path.is_file())
    return {str(path.relative_to(directory)): path.read_bytes() for path in found}


def test_the_starter_has_all_a_flight_needs(starter: Path) -> None:
    names = set(files(starter))
    assert {
        "pilot.toml",
        "aircraft/heron.toml",
        "standards/commercial.toml",
        "standards/private.toml",
        "standards/own.toml",
        "places/region.toml",
        "places/N40W132.hgt",
        "flights/2026-11-25-QWRN-QMRL/flight.toml",
        "flights/2026-11-25-QWRN-QMRL/weather.txt",
    } <= names
    assert not any(name.startswith(".") for name in names)


def test_the_starter_can_be_read_by_its_group(starter: Path) -> None:
    assert starter.stat().st_mode & 0o777 == starter.parent.stat().st_mode & 0o777


def test_what_is_invented_says_so_in_its_first_line(home: Path) -> None:
    published = {"private.toml", "commercial.toml", "instructor.toml"}  # what the documents say
    texts = [path for path in home.rglob("*") if path.suffix in {".toml", ".txt"}]
    assert len(texts) > 12
    for path in texts:
        first = path.read_text(encoding="utf-8").splitlines()[0].lower()
        word = "as published" if path.name in published else "invented"
        assert first.startswith("#"), path
        assert word in first or path.name == "own.toml", path


@pytest.mark.parametrize("write", [write_folder, write_demo])
@pytest.mark.parametrize("content", ["", "mine"])
def test_a_folder_of_the_pilot_s_is_refused_and_left_alone(
    tmp_path: Path, write: object, content: str
) -> None:
    directory = tmp_path / "mine"
    directory.mkdir()
    if content:
        (directory / "notes.txt").write_text(content, encoding="utf-8")
    before = files(directory)
    with pytest.raises(BadFile, match="nothing was written"):
        write(directory)  # type: ignore[operator]  # either of the two functions
    assert files(directory) == before
    assert [path.name for path in tmp_path.iterdir()] == ["mine"]


def test_a_file_of_that_name_is_refused(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("mine", encoding="utf-8")
    with pytest.raises(BadFile):
        write_demo(tmp_path / "taken")
    assert (tmp_path / "taken").read_text(encoding="utf-8") == "mine"


def test_a_starter_is_not_taken_for_a_demo(starter: Path) -> None:
    with pytest.raises(BadFile):
        write_demo(starter)


@pytest.mark.parametrize("stop", [KeyboardInterrupt, OSError])
def test_nothing_half_written_is_left_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, stop: type[BaseException]
) -> None:
    def stopped(*_: object) -> None:
        raise stop

    monkeypatch.setattr(folder, "write_relief", stopped)
    with pytest.raises(stop):
        write_folder(tmp_path / "folder")
    assert list(tmp_path.iterdir()) == []


def test_a_stopped_second_run_leaves_the_first_demo(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    directory = tmp_path / "demo"
    directory.mkdir()
    (directory / folder.MARKER).write_text("", encoding="utf-8")
    (directory / "report.html").write_text("first", encoding="utf-8")

    def stopped(*_: object) -> None:
        raise OSError("disk full")

    monkeypatch.setattr(folder, "write_relief", stopped)
    with pytest.raises(OSError, match="disk full"):
        write_demo(directory)
    assert (directory / "report.html").read_text(encoding="utf-8") == "first"


def test_a_demo_replaces_an_earlier_one(tmp_path: Path) -> None:
    directory = tmp_path / "demo"
    write_demo(directory)
    (directory / "lubberline.db").write_bytes(b"old")
    assert len(write_demo(directory)) == len(FLIGHTS)
    assert not (directory / "lubberline.db").exists()
    assert [path.name for path in tmp_path.iterdir()] == ["demo"]


def test_winds_at_the_fields_and_aloft_agree(home: Path) -> None:
    for flight in FLIGHTS:
        plan = read_plan(home / "flights" / flight.folder_name)
        aloft_deg, aloft_kt, _ = wind_at(plan.weather.aloft, 1_000.0)
        for report in plan.weather.reports.values():
            assert report.wind is not None
            assert report.wind.from_true_deg is not None
            apart_deg = (float(aloft_deg) - report.wind.from_true_deg + 180.0) % 360.0 - 180.0
            assert abs(apart_deg) <= 20.0, flight.folder_name
            assert 0.4 <= report.wind.mean_kt / float(aloft_kt) <= 0.8


def test_a_flight_whose_way_is_not_in_its_file_is_refused() -> None:
    with pytest.raises(NoSolution, match="no way is called"):
        way_of(FLIGHTS[0], ())

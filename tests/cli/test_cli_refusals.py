"""Wrong files and wrong words: one clear error, exit 1 or 2, nothing half-written."""

from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from lubberline.cli import commands  # noqa: F401 - registers the commands
from lubberline.cli.app import app
from lubberline.demo import write_folder


@pytest.fixture(scope="module")
def flight(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The starter's flight folder."""
    return write_folder(tmp_path_factory.mktemp("refusals") / "folder")


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(app, [str(word) for word in words])


def refused(result: Result) -> str:
    """The message of a refusal: exit code 1, no traceback."""
    assert result.exit_code == 1, result.output
    assert isinstance(result.exception, SystemExit)
    assert result.stderr.startswith("error: ")
    return result.stderr


@pytest.mark.parametrize("command", ["fit", "ways", "card"])
def test_a_flight_that_is_not_there_is_refused(command: str, tmp_path: Path) -> None:
    assert "found nothing" in refused(run(command, tmp_path / "absent"))


def test_a_folder_without_a_flight_is_refused(tmp_path: Path) -> None:
    assert "flight.toml" in refused(run("fit", tmp_path))


@pytest.mark.parametrize(
    ("command", "name"), [("watch", "watch-note.pdf"), ("filing", "flight-plan.json")]
)
def test_what_cannot_be_written_is_told_by_its_name(
    command: str, name: str, tmp_path: Path
) -> None:
    folder = write_folder(tmp_path / "folder")
    (folder / name).mkdir()
    told = refused(run(command, folder))
    assert name in told
    assert "expected a file that may be read or written" in told


def test_a_card_for_a_folder_that_is_closed_leaves_nothing(
    flight: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = sorted(flight.iterdir())

    def closed(path: Path, _: bytes) -> int:
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(Path, "write_bytes", closed)
    told = refused(run("card", flight))
    assert "card-" in told
    assert "Permission denied" in told
    assert sorted(flight.iterdir()) == before


def test_a_way_that_is_not_there_is_refused(flight: Path) -> None:
    assert "expected 1 to 3" in refused(run("fit", flight, "--way", "9"))


def test_wrong_words_exit_with_two(flight: Path) -> None:
    assert run("fit").exit_code == 2
    assert run("fit", flight, "--way", "zero").exit_code == 2
    assert run("nosuch").exit_code == 2


def test_init_leaves_a_folder_that_is_there_alone(tmp_path: Path) -> None:
    (tmp_path / "mine").mkdir()
    assert "nothing was written" in refused(run("init", tmp_path / "mine"))
    assert list((tmp_path / "mine").iterdir()) == []


@pytest.mark.parametrize(
    ("name", "content", "told"),
    [
        ("empty.gpx", b"", "empty"),
        ("junk.igc", bytes(range(256)) * 8, ""),
        ("one.csv", b"time_utc,lat_deg,lon_deg\n2026-11-25T20:00:00Z,41,-131\n", ""),
        ("nothing.gpx", b"<gpx version='1.1'></gpx>", ""),
    ],
)
def test_a_recording_that_is_none_is_refused_and_nothing_is_kept(
    flight: Path, tmp_path: Path, name: str, content: bytes, told: str
) -> None:
    path = tmp_path / name
    path.write_bytes(content)
    assert told in refused(run("flown", flight, path))
    assert not (flight.parents[1] / "lubberline.db").exists()


def test_a_missing_recording_and_a_folder_are_refused(flight: Path, tmp_path: Path) -> None:
    assert "nothing" in refused(run("flown", flight, tmp_path / "absent.gpx"))
    assert "directory" in refused(run("flown", flight, tmp_path))


def test_drift_without_flights_says_how_to_add_one(flight: Path) -> None:
    assert "lubberline flown" in refused(run("drift", flight.parents[1]))


def test_an_empty_file_named_as_a_store_stays_empty(tmp_path: Path) -> None:
    path = tmp_path / "anything"
    path.touch()
    refused = CliRunner().invoke(app, ["drift", str(path)])
    assert refused.exit_code == 1
    assert "has no flights yet" in refused.output
    assert path.stat().st_size == 0

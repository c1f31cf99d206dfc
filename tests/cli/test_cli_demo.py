"""The starter folder works with every command, and the demo goes all the way round the loop."""

import re
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from lubberline.cli import commands  # noqa: F401 - registers the commands
from lubberline.cli.app import app
from lubberline.demo import FLIGHTS
from lubberline.flight import latest_pledge
from lubberline.store import measures, open_store
from lubberline.wording import CAUTION


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(app, [str(word) for word in words])


def answer(*words: str | Path) -> str:
    result = run(*words)
    assert result.exit_code == 0, result.output
    return result.output


@pytest.fixture(scope="module")
def twice(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str, str]:
    """The demo's folder and what two runs in it said."""
    directory = tmp_path_factory.mktemp("cli-demo") / "demo"
    return directory, answer("demo", directory), answer("demo", directory)


@pytest.fixture(scope="module")
def last(twice: tuple[Path, str, str]) -> Path:
    """Folder of the demo's last flight."""
    return twice[0] / "flights" / FLIGHTS[-1].folder_name


def test_the_starter_is_fit_and_has_ways(tmp_path: Path) -> None:
    directory = tmp_path / "mine"
    said = answer("init", directory)
    flight = Path(said.split()[-1])
    assert flight.parent.parent == directory
    assert "outside│inside" in answer("fit", flight)
    assert "south round by the gap" in answer("ways", flight)


def test_every_way_of_the_starter_keeps_its_limits(last: Path) -> None:
    said = answer("ways", last)
    assert "outside " not in said.replace("outside│inside", "")


def test_init_refuses_a_folder_that_exists(tmp_path: Path) -> None:
    result = run("init", tmp_path)
    assert result.exit_code == 1
    assert "nothing was written" in result.output


def test_the_demo_says_first_that_it_is_invented_and_cautions_once(
    twice: tuple[Path, str, str],
) -> None:
    _, said, _ = twice
    assert "invented" in said.splitlines()[0]
    assert " ".join(said.split()).count(CAUTION) == 1


def test_the_demo_fits_a_screen(twice: tuple[Path, str, str]) -> None:
    directory, said, _ = twice
    rows = said.splitlines()
    assert len(rows) <= 90
    assert max(len(row) for row in rows if str(directory) not in row) <= 80


def test_the_demo_shows_all_five_views_in_order(twice: tuple[Path, str, str]) -> None:
    views = ("FIT", "WAYS", "CARD", "FLOWN", "DRIFT")
    heads = [row.split()[0] for row in twice[1].splitlines() if row.startswith(views)]
    assert heads == list(views)


def test_the_demo_names_no_file_that_is_not_there(twice: tuple[Path, str, str]) -> None:
    directory, said, _ = twice
    named = [word for word in said.split() if word.startswith(str(directory))]
    assert len(named) >= 5
    assert [path for path in named if not Path(path).exists()] == []


def test_a_second_demo_in_the_same_folder_says_the_same(twice: tuple[Path, str, str]) -> None:
    _, first, second = twice
    assert first == second


def test_a_folder_that_the_demo_did_not_make_is_refused(tmp_path: Path) -> None:
    (tmp_path / "own.txt").write_text("mine", encoding="utf-8")
    result = run("demo", tmp_path)
    assert result.exit_code == 1
    assert "nothing was written" in result.output
    assert [path.name for path in tmp_path.iterdir()] == ["own.txt"]


def test_each_card_is_printed_before_its_flight(twice: tuple[Path, str, str]) -> None:
    for flight in FLIGHTS:
        found = latest_pledge(twice[0] / "flights" / flight.folder_name)
        assert found is not None
        pledge = found[1]
        assert pledge.way_name == flight.way_name
        assert pledge.printed_utc < pledge.off_block_utc == flight.off_block_utc


def test_the_store_has_each_flight_once(twice: tuple[Path, str, str], last: Path) -> None:
    said = answer("flown", last, last / "recording.csv")
    assert "already in" in said
    with open_store(twice[0] / "lubberline.db") as store, store.reading() as session:
        kept = measures(session, "flown.cruise_height_worst", limit=100)
    assert len(kept) == len(FLIGHTS)


def test_drift_says_that_six_flights_are_too_few(twice: tuple[Path, str, str]) -> None:
    said = answer("drift", twice[0])
    assert "too early to say" in said
    assert not any(word in said for word in ("slipping  ", "improving  ", "holding  "))
    one = answer("drift", twice[0], "flown.cruise_height_rms")
    assert "too early to say" in one.splitlines()[0]
    assert "5 more flights" in one


def test_drift_tells_a_wrong_name_and_a_wrong_place(
    twice: tuple[Path, str, str], tmp_path: Path
) -> None:
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    for words, why in (
        (("--pilot", "N. Obody"), "no flight of N. Obody"),
        (("--parquet", tmp_path / "file" / "x.parquet"), "expected a file that may be"),
    ):
        result = run("drift", twice[0], *words)
        assert result.exit_code == 1
        assert isinstance(result.exception, SystemExit)
        assert why in result.stderr


def test_landings_that_only_recordings_show_count_for_recency(
    twice: tuple[Path, str, str], tmp_path: Path
) -> None:
    home = tmp_path / "home"
    shutil.copytree(twice[0], home)
    pilot = home / "pilot.toml"
    kept, log = pilot.read_text(encoding="utf-8").split("[[landing]]")
    pilot.write_text(kept + log[log.index("\n\n") :], encoding="utf-8")
    said = answer("due", home, "--on", "2026-11-26", "--days", "30")
    # 90 days from the third newest of the six: that of 12 September.
    assert re.search(r"2026-12-11 +15 days +R. Fenwick +recent landings", said)


def test_the_report_shows_the_card_that_was_printed(twice: tuple[Path, str, str]) -> None:
    report = (twice[0] / "report.html").read_text(encoding="utf-8")
    assert "its picture is not shown" not in report


def test_what_was_guessed_of_a_csv_is_shown(last: Path) -> None:
    said = answer("flown", last, last / "recording.csv", "--no-keep")
    assert "No column map was given; guessed from the headings" in " ".join(said.split())


def test_fit_takes_the_fastest_way_with_nothing_outside(last: Path) -> None:
    fastest = answer("fit", last, "--way", "1")
    assert "outside -890 ft" in fastest  # over the top there is no room under the clouds
    chosen = answer("fit", last)
    assert "way 2: direct through Sedge" in chosen
    assert "outside " not in chosen.replace("outside│inside", "")

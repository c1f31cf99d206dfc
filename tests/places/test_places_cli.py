"""``lubberline places``: what is said about files, places and what is wrong with them."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import nasr_made
import pytest
from airspace_made import CLASSES, write_zip
from obstacles_made import HEAD, Made
from typer.testing import CliRunner

from lubberline.cli import commands  # noqa: F401 - registers the commands
from lubberline.cli.app import app

# The class C area is that of the airport in the tables.
MARLS = [({**said, "IDENT": said["IDENT"].replace("QMR", "QML")}, shape) for said, shape in CLASSES]

Run = Callable[..., str]


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """Runs ``lubberline places`` with words; what it printed."""
    monkeypatch.setenv("LUBBERLINE_DATA", str(tmp_path / "data"))
    monkeypatch.setenv("COLUMNS", "80")

    def run(*words: object, exit_code: int = 0) -> str:
        done = CliRunner().invoke(app, ["places", *map(str, words)])
        assert done.exit_code == exit_code, done.output
        return done.output

    return run


@pytest.fixture
def files(tmp_path: Path) -> dict[str, Path]:
    obstacles = tmp_path / "DOF.DAT"
    made = [Made(), Made(kind="STACK", agl_ft=800, msl_ft=912, lat=(41, 5, 0), light="N")]
    obstacles.write_text("\n".join([*HEAD, *(one.line() for one in made), ""]))
    return {
        "nasr": nasr_made.write_subscription(tmp_path / "Cycle 29 Oct.zip"),
        "airspace": write_zip(tmp_path / "class_2026-10-29.zip", MARLS),
        "obstacles": obstacles,
    }


@pytest.fixture
def added(run: Run, files: dict[str, Path]) -> Run:
    run("add", *files.values())
    return run


def record(run: Run, *words: object) -> Any:
    return json.loads(run(*words, "--json"))


def test_adding_accounts_for_what_was_read_and_left_out(run: Run, files: dict[str, Path]) -> None:
    shown = run("add", files["nasr"])
    assert "added cycle-29-oct: NASR CSV, holds from 2026-10-29 until 2026-11-26 09:01Z" in shown
    assert "3 aerodromes" in shown
    assert "left out" in shown
    assert 'data_sets = ["all"]' in shown
    assert all(len(line) <= 80 for line in shown.splitlines())


def test_the_first_of_what_was_left_out_are_shown_unless_all_are_asked_for(
    run: Run, tmp_path: Path
) -> None:
    path = tmp_path / "DOF.DAT"
    bad = Made().line().replace("130 30", "199 99")
    path.write_text("\n".join([*HEAD, Made().line(), *[bad] * 9, ""]))
    first, every = run("add", path), run("add", path, "--all")
    assert first.count("line ") == 5
    assert "and 4 more (--all lists them)" in first
    assert every.count("line ") == 9
    assert "more" not in every


def test_the_list_says_form_dates_counts_and_where_from(added: Run) -> None:
    shown = added("list")
    assert "class-2026-10-29: class-airspace shapefile, holds from 2026-10-29" in shown
    assert "3 aerodromes" in shown
    assert "DOF.DAT" in shown


def test_a_file_that_is_gone_still_serves_and_says_so(added: Run, files: dict[str, Path]) -> None:
    files["nasr"].unlink()
    assert "(no longer there)" in " ".join(added("list").split())
    assert "QMRL" in added("near", "QMRL")


def test_nothing_added_says_how_to_begin(run: Run) -> None:
    assert "lubberline places add FILE" in run("list")
    assert "no data set was added" in run("near", "41.1,-130.5")


def test_near_shows_fields_airspace_waypoints_and_obstacles(added: Run) -> None:
    shown = added("near", "QMRL", "--within", 12)
    assert shown.startswith("NEAR  QMRL MARL ISLAND, 41.1000 -130.5000, within 12 NM")
    for words in ("12/30 4,200 ft paved", "118.600 MARL TOWER (tower) 0700-2100 local"):
        assert words in shown
    assert "overhead       C MARL CLASS C: SFC to 3,000 MSL" in shown
    assert "QAMBR" in shown
    assert "the tallest of 2 first" in shown
    assert shown.index("STACK, 912 ft MSL, 800 ft AGL, not lit") < shown.index("TOWER, 348 ft")


def test_airspace_gets_its_frequency_from_the_subscription(added: Run) -> None:
    volumes = record(added, "near", "QMRL")["volumes"]
    marl = [one["item"] for one in volumes if one["item"]["airspace_class"] == "C"]
    assert {one["frequency_mhz"] for one in marl} == {124.475}


@pytest.mark.parametrize("place", ["41.1,-130.5", "41.1 -130.5", "-41.1,130.5", " 41.1 , -130.5"])
def test_near_takes_a_position(added: Run, place: str) -> None:
    assert record(added, "near", place)["name"] == "this place"


def test_near_refuses_what_is_no_place(added: Run) -> None:
    assert "no data set has a place 'QXYZ'" in added("near", "QXYZ", exit_code=1)
    assert "is no place; expected LAT,LON" in added("near", "91,0", exit_code=1)


@pytest.mark.parametrize(
    ("on", "words"),
    [
        ("2026-11-20", "holds until 2026-11-26, 6 days yet"),
        ("2026-11-30", "EXPIRED on 2026-11-26, 4 days ago"),
        ("2026-10-01", "holds only from 2026-10-29 on"),
    ],
)
def test_check_says_what_has_expired(added: Run, on: str, words: str) -> None:
    assert f"cycle-29-oct: {words}" in added("check", "--on", on)


def test_check_tells_gaps_oddities_and_conflicts(
    run: Run, files: dict[str, Path], tmp_path: Path
) -> None:
    tables = {name: list(rows) for name, rows in nasr_made.TABLES.items()}
    base = tables["APT_BASE.csv"]
    base[0] = {**base[0], "ELEV": "300"}
    other = nasr_made.write_subscription(tmp_path / "other.zip", tables)
    run("add", files["airspace"], other)
    run("add", files["nasr"], "--priority", 1)
    found = record(run, "check", "--on", "2026-11-20")
    assert found["absent"] == ["obstacles"]
    assert "airspace to be asked for without a frequency" in found["oddities"]
    (conflict,) = found["conflicts"]
    assert conflict["differs"] == ["elevation 112.4 ft, not 300"]
    shown = run("check", "--on", "2026-11-20")
    assert "Nothing tells of: obstacles." in shown
    assert "1 x sources that disagree" in shown


def test_removing_forgets_the_data_and_keeps_the_file(added: Run, files: dict[str, Path]) -> None:
    assert "stays" in added("remove", "dof")
    assert [one["name"] for one in record(added, "list")["data_sets"]] == [
        "class-2026-10-29",
        "cycle-29-oct",
    ]
    assert files["obstacles"].exists()
    assert "expected all, class-2026-10-29" in added("remove", "dof", exit_code=1)


def test_a_file_of_no_known_form_is_refused_in_one_line(run: Run, tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("Dear pilot")
    shown = run("add", tmp_path / "letter.txt", exit_code=1)
    assert "form: found none that is known" in shown
    assert "Traceback" not in shown

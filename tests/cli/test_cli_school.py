"""What flights teach, ask to be practised, and show of a learner, on the command line."""

import json
import shutil
from datetime import timedelta
from pathlib import Path

import pytest
from typer.testing import CliRunner

from lubberline import loop
from lubberline.cli import commands  # noqa: F401 - registers the commands
from lubberline.cli.app import app
from lubberline.demo import FLIGHTS, record_way, way_of, write_demo
from lubberline.flight import latest_pledge, read_plan
from lubberline.loop.debriefing import judge

FEWEST = 3


@pytest.fixture(scope="module")
def flown(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's folder after its first flights, and the folder of the next."""
    home = tmp_path_factory.mktemp("school") / "home"
    folders = write_demo(home)
    for flight, folder in list(zip(FLIGHTS, folders, strict=True))[:FEWEST]:
        prepared = loop.prepare(folder, None)
        way = way_of(flight, prepared.ways)
        chosen = loop.checked(prepared.plan, prepared.ways, way)
        loop.print_card(chosen, png=False, printed_utc=flight.off_block_utc - timedelta(hours=1))
        path, _ = record_way(prepared.plan, way, flight)
        judge(folder, path, keep=True)
    return home


def run(*words: str | Path, code: int = 0) -> str:
    done = CliRunner().invoke(app, [str(word) for word in words])
    assert done.exit_code == code, done.output
    if code == 0 and words[0] in ("learned", "practice", "school") and words[-1] != "--json":
        rows = [row for row in done.output.splitlines() if not row.startswith("wrote ")]
        assert max(map(len, rows)) <= 80
    return done.output


def next_flight(home: Path) -> Path:
    return sorted((home / "flights").iterdir())[FEWEST]


def test_learned_numbers_are_shown_with_what_is_missing(flown: Path) -> None:
    shown = run("learned", flown)
    assert "LEARNED  Q-HRN flown by R. Fenwick" in shown
    assert "On 3 flights held back, time en route was missed by" in shown
    told = json.loads(run("learned", flown, "--json"))["learned"][0]
    tas = next(one for one in told["numbers"] if one["name"] == "cruise_tas")
    assert 0.9 < tas["low"] < tas["value"] < tas["high"] < 1.1
    assert (tas["flight_count"], tas["proposed"]) == (3, None)


def test_a_number_that_too_few_flights_show_cannot_be_taken(flown: Path) -> None:
    before = (flown / "aircraft" / "heron.toml").read_bytes()
    refused = run("learned", flown, "--take", "cruise_tas", code=1)
    assert "3 flights show it; 2 more" in refused
    assert (flown / "aircraft" / "heron.toml").read_bytes() == before


def test_an_unheard_number_names_those_there_are(flown: Path) -> None:
    assert "expected one of: cruise_tas" in run("learned", flown, "--take", "luck", code=1)


def test_tasks_go_onto_the_card_and_into_the_pledge(flown: Path) -> None:
    flight = next_flight(flown)
    tasks = json.loads(run("practice", flight, "--json"))["tasks"]
    assert 1 <= len(tasks) <= 3
    run("card", flight)
    found = latest_pledge(flight)
    assert found is not None
    pledge = found[1]
    assert pledge.practice == tuple(task["text"] for task in tasks)
    kept = [one for one in pledge.findings if str(one["key"]).startswith("practice.")]
    assert [one["label"] for one in kept] == list(pledge.practice)


def test_tasks_do_not_make_a_card_stale(flown: Path) -> None:
    flight = next_flight(flown)
    run("card", flight)
    assert "practise" not in run("pledge", "diff", flight)


def test_own_tasks_take_the_place_of_the_programs(flown: Path, tmp_path: Path) -> None:
    home = Path(shutil.copytree(flown, tmp_path / "home"))
    run("card", next_flight(home), "--practice", "look out more")
    found = latest_pledge(next_flight(home))
    assert found is not None
    assert found[1].practice == ("look out more",)


def test_a_learner_is_shown_by_task_code_and_written_out(flown: Path, tmp_path: Path) -> None:
    html, csv = tmp_path / "record.html", tmp_path / "record.csv"
    shown = run("school", "learner", flown, "--html", html, "--csv", csv)
    code = shown.split("\n")[1].split()[0]
    assert code.count(".") == 3
    assert code in html.read_text(encoding="utf-8")
    assert csv.read_text(encoding="utf-8").startswith("task_code,")


def test_types_and_pilots_are_tables(flown: Path) -> None:
    assert "Heron 200" in run("school", "types", flown)
    assert "0 flights of others are left out" in run("school", "pilots", flown)
    assert json.loads(run("school", "pilots", flown, "--json"))["columns"] == ["R. Fenwick"]


def test_a_stranger_is_refused(flown: Path) -> None:
    assert "has not agreed" in run("school", "learner", flown, "--name", "B. Other", code=1)


def test_the_plan_of_a_flight_reads_as_before(flown: Path) -> None:
    assert read_plan(next_flight(flown)).aircraft.learned == {}

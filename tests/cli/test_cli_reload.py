"""``lubberline reload``: what to move, leave or drain, from the starter's flight."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from lubberline.cli import commands  # noqa: F401 - registers the commands
from lubberline.cli.app import app
from lubberline.demo import write_folder


@pytest.fixture
def flight(tmp_path: Path) -> Path:
    write_folder(tmp_path / "folder")
    return next((tmp_path / "folder" / "flights").iterdir())


def load(flight: Path, words: str) -> None:
    path = flight / "flight.toml"
    text = path.read_text(encoding="utf-8")
    assert "front = 172\nbaggage = 30\n" in text
    path.write_text(text.replace("front = 172\nbaggage = 30\n", words), encoding="utf-8")


def run(command: str, flight: Path, *words: str) -> Result:
    return CliRunner().invoke(app, [command, str(flight), *words])


def loading(flight: Path) -> list[dict[str, str]]:
    findings = json.loads(run("fit", flight, "--json").output)["findings"]
    parts = ("airplane.weight", "airplane.balance", "airplane.station")
    return [one for one in findings if one["key"].startswith(parts)]


def test_a_load_that_is_inside_needs_nothing(flight: Path) -> None:
    shown = run("reload", flight)
    assert shown.exit_code == 0, shown.output
    assert "Nothing to change: the loading is inside.\n" in shown.output


def test_a_finding_outside_points_to_the_way_out_which_brings_it_inside(flight: Path) -> None:
    load(flight, "front = 172\nbaggage = 150\nrear = 400\n")
    outside = [one for one in loading(flight) if one["verdict"] == "outside"]
    assert "airplane.station_baggage" in {one["key"] for one in outside}
    assert all("lubberline reload" in one["note"] for one in outside)
    shown = run("reload", flight)
    assert "  1. move 30 lb from baggage to front\n" in shown.output
    assert max(map(len, shown.output.splitlines())) <= 80
    document = json.loads(run("reload", flight, "--json").output)
    assert document["changes"][0]["words"] == "move 30 lb from baggage to front"
    rows = [f"{name} = {lb}\n" for name, lb in document["load_lb"].items()]
    path = flight / "flight.toml"
    text = path.read_text(encoding="utf-8")
    old = "front = 172\nbaggage = 150\nrear = 400\n"
    path.write_text(text.replace(old, "".join(rows)), encoding="utf-8")
    assert {one["verdict"] for one in loading(flight)} == {"inside"}


def test_a_flight_too_heavy_for_the_tables_is_answered_too(flight: Path) -> None:
    load(flight, "front = 172\nbaggage = 30\nrear = 700\n")
    document = json.loads(run("reload", flight, "--json").output)
    assert document["changes"]
    assert {one["verdict"] for one in document["findings"]} == {"inside"}
    aboard = sum(document["fuel_gal"].values())
    assert aboard >= document["least_gal"]


def test_where_no_few_changes_do_it_is_one_error(flight: Path) -> None:
    heron = flight.parents[1] / "aircraft" / "heron.toml"
    text = heron.read_text(encoding="utf-8").replace("empty_arm_in = 101.5", "empty_arm_in = 181.5")
    heron.write_text(text, encoding="utf-8")
    refused = run("reload", flight)
    assert refused.exit_code == 1
    assert refused.stderr.startswith("error: no 3 changes bring the load inside")

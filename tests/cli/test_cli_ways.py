"""``lubberline ways`` and ``lubberline radio`` on the starter: text, one way, JSON."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from lubberline.cli import commands  # noqa: F401 - registers the commands
from lubberline.cli.app import app
from lubberline.demo import write_folder


@pytest.fixture(scope="module")
def flight(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_folder(tmp_path_factory.mktemp("cli-ways") / "folder")


def answer(*words: str | Path) -> str:
    done = CliRunner().invoke(app, [str(word) for word in words])
    assert done.exit_code == 0, done.output
    return done.output


@pytest.mark.parametrize("words", [("ways",), ("ways", "--way", "1"), ("radio", "--way", "3")])
def test_text_fits_a_screen_of_eighty_columns(flight: Path, words: tuple[str, ...]) -> None:
    rows = answer(words[0], flight, *words[1:]).splitlines()
    assert max(len(row) for row in rows) <= 80


def test_the_table_tells_cost_arrival_and_chance(flight: Path) -> None:
    said = answer("ways", flight)
    assert "cost on block chance worst" in said
    assert ">99 %" in said
    assert "speaks to Sedge Tower → Marl Tower" in said


def test_one_way_tells_every_subject(flight: Path) -> None:
    said = answer("ways", flight, "--way", "2")
    for subject in (
        *("Cost and arrival", "Who lets you in", "Heights to keep", "Room to the neighbors"),
        *("If the engine stops", "Heard in line of sight from", "The sun at the end"),
        *("The way down", "Equipment and speed"),
    ):
        assert f"\n{subject}\n" in said
    assert "first call at" in " ".join(said.split())
    assert "rent " in said
    assert "not later than" in said


def test_json_has_the_account_of_each_way(flight: Path) -> None:
    ways = json.loads(answer("ways", flight, "--json"))["ways"]
    for way in ways:
        account = way["account"]
        assert account["cost"]["total"] == pytest.approx(
            account["cost"]["rental"] + account["cost"]["fuel"]
        )
        assert account["beyond_land"]["beyond_min"] >= 0.0
        assert account["heights"]
        assert account["asks"]
        assert account["appointment"]["key"] == "flight.appointment"


def test_without_rates_and_appointment_the_table_says_so(flight: Path, tmp_path: Path) -> None:
    bare = write_folder(tmp_path / "folder")
    text = (bare / "flight.toml").read_text(encoding="utf-8")
    for key in ("currency", "rental_per_h", "fuel_price_per_gal", "[cost]", "arrive_by_utc"):
        text = text.replace(f"\n{key}", f"\n# {key}")
    (bare / "flight.toml").write_text(text, encoding="utf-8")
    said = answer("ways", bare, "--way", "1")
    assert "a [cost] table in flight.toml" in " ".join(said.split())
    assert "nobody waits" in said


@pytest.mark.parametrize(
    "words",
    [("--permissions", "none"), ("--problem", "x.json"), ("--problem", "x.json", "--way", "1")],
)
def test_what_does_not_go_together_is_refused(flight: Path, words: tuple[str, ...]) -> None:
    said = () if "--way" in words else (str(flight),)
    assert CliRunner().invoke(app, ["ways", *said, *words]).exit_code == 2


def test_radio_tells_phrase_standby_and_fallback(flight: Path) -> None:
    said = " ".join(answer("radio", flight, "--way", "2").split())
    assert "set next: 119.550" in said
    assert "“Sedge Tower, Heron Quebec Hotel Romeo November," in said
    assert "no answer: stay out" in said
    assert "transponder 7600" in said


def test_radio_answers_in_one_document(flight: Path) -> None:
    record = json.loads(answer("radio", flight, "--json"))
    assert record["calls"][0]["where"].startswith("on the stand")
    assert record["lost"]

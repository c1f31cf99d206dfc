"""``lubberline fit --why``: one finding in full, from the starter's flight."""

import json
import re
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from lubberline.cli import commands  # noqa: F401 - registers the commands
from lubberline.cli.app import app
from lubberline.demo import write_folder


@pytest.fixture(scope="module")
def flight(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("why") / "folder"
    write_folder(folder)
    return next((folder / "flights").iterdir())


def why(flight: Path, key: str, *words: str) -> Result:
    return CliRunner().invoke(app, ["fit", str(flight), "--why", key, *words])


def finding(flight: Path, key: str) -> dict[str, object]:
    (only,) = json.loads(why(flight, key, "--json").output)["findings"]
    assert only["key"] == key
    return dict(only)


def numbers(words: str) -> list[float]:
    return [float(one.replace(",", "")) for one in re.findall(r"[-+]?[\d,]*\.?\d+", words)]


def test_a_distance_tells_its_cells_and_steps_and_they_come_to_its_value(flight: Path) -> None:
    record = finding(flight, "flight.takeoff_distance")
    workings = record["workings"]
    assert isinstance(workings, list)
    printed = [words for words in workings if words.startswith("printed at")]
    shares = [float(words.partition("share ")[2] or "1") for words in printed]
    assert sum(shares) == pytest.approx(1.0, abs=0.001 * len(shares))
    figure = sum(
        numbers(words.partition(", share")[0])[-1] * share
        for words, share in zip(printed, shares, strict=True)
    )
    (table,) = [words for words in workings if words.startswith("table at")]
    assert numbers(table)[-1] == pytest.approx(figure, abs=1.0)
    assert record["value"] == pytest.approx(numbers(workings[-1])[-1], abs=0.5)
    assert any("the manual allows it" in words for words in workings)


@pytest.mark.parametrize("state", ["ramp", "takeoff", "landing", "zero_fuel"])
def test_a_balance_tells_the_sum_of_stations_and_tanks(flight: Path, state: str) -> None:
    record = finding(flight, f"airplane.balance_{state}")
    weight = finding(flight, f"airplane.weight_{state}")
    workings = record["workings"]
    assert isinstance(workings, list)
    *items, total = [words.rpartition(": ") for words in workings]
    moments = [numbers(words)[0] for _, _, words in items]
    assert numbers(total[2])[0] == pytest.approx(sum(moments), abs=len(moments))
    weights = [numbers(words.rpartition(" lb at")[0])[-1] for words, _, _ in items]
    assert weight["value"] == pytest.approx(sum(weights), abs=0.05 * len(weights))
    assert any(words.startswith("tank left") for words, _, _ in items) == (state != "zero_fuel")


def test_fuel_tells_tanks_legs_and_what_is_left(flight: Path) -> None:
    workings = finding(flight, "flight.fuel_legal")["workings"]
    assert isinstance(workings, list)
    gal = [numbers(words)[-1] for words in workings if words.endswith(" gal")]
    (left,) = [numbers(words)[0] for words in workings if words.startswith("left ")]
    assert sum(gal) == pytest.approx(left, abs=0.005 * len(gal))
    assert sum("min: -" in words for words in workings) > 4


def test_text_has_value_limit_source_and_steps_at_80_columns(flight: Path) -> None:
    shown = why(flight, "flight.fuel_legal")
    assert shown.exit_code == 0, shown.output
    rows = shown.output.splitlines()
    assert max(map(len, rows)) <= 80
    assert rows[0] == "WHY  fuel at landing, legal"
    assert "  source   14 CFR 91.151(a)(1), edition of 2019, read 2026-11-25" in rows
    assert "  steps    tank left: 22 gal" in rows


def test_every_finding_of_the_flight_can_be_asked_for(flight: Path) -> None:
    from lubberline import loop
    from lubberline.cli.why import show_why

    prepared = loop.prepare(flight, None)
    for one in prepared.findings:
        show_why(prepared, one.limit.key, as_json=False)


def test_an_unknown_key_is_one_error_with_close_keys(flight: Path) -> None:
    refused = why(flight, "takeoff_distance")
    assert refused.exit_code == 1
    told = "error: no finding has the key 'takeoff_distance'; close keys: flight.takeoff_distance"
    assert refused.stderr.startswith(told)
    assert len(refused.stderr.splitlines()) == 1

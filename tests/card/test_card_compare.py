"""A pledge is compared with another, or with the flight as it is now."""

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from typer.testing import CliRunner

from lubberline.card import make_pledge, pledge_differences
from lubberline.cli import commands  # noqa: F401 - registers the commands
from lubberline.cli.app import app
from lubberline.demo import write_folder
from lubberline.flight import Pledge
from lubberline.loop import Prepared

PRINTED = datetime(2026, 11, 25, 19, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def pledge(prepared: Prepared) -> Pledge:
    return make_pledge(prepared.plan, prepared.way, prepared.findings, printed_utc=PRINTED)


def test_the_same_flight_printed_twice_is_the_same(pledge: Pledge) -> None:
    later = replace(pledge, printed_utc=PRINTED + timedelta(hours=1), program_version="9")
    assert pledge_differences(pledge, later) == ()


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"way_name": "round"}, "way: {way_name} → round"),
        ({"destination_runway": "12"}, "runway at destination: {destination_runway} → 12"),
        ({"permissions": ()}, "permissions reckoned with: marl-tower, sedge-tower → none"),
        ({"destination_altimeter_inhg": None}, "altimeter at destination: 29.96 → not known"),
        ({"off_block_utc": PRINTED}, "off block: 2026-11-25 20:40Z → 2026-11-25 19:00Z"),
        ({"inputs_sha256": {}}, "file heron/x: none"),
    ],
)
def test_each_number_of_the_card_is_compared(
    pledge: Pledge, changes: dict[str, object], said: str
) -> None:
    different = pledge_differences(pledge, replace(pledge, **changes))  # type: ignore[arg-type]
    if "inputs_sha256" in changes:
        assert len(different) == len(pledge.inputs_sha256)
        assert all(one.after == "none" and one.what.startswith("file ") for one in different)
        return
    names = {name: getattr(pledge, name) for name in ("way_name", "destination_runway")}
    assert [f"{one}" for one in different] == [said.format(**names)]


def test_a_point_is_compared_by_time_height_and_fuel(pledge: Pledge) -> None:
    at = next(n for n, point in enumerate(pledge.points) if n and point.name)
    first = pledge.points[at]
    moved = replace(first, msl_ft=first.msl_ft + 100.0, fuel_left_gal=first.fuel_left_gal - 1.0)
    changed = replace(pledge, points=(*pledge.points[:at], moved, *pledge.points[at + 1 :]))
    (one,) = pledge_differences(pledge, changed)
    assert one.what == first.name
    assert one.after.endswith(f"{first.fuel_left_gal - 1.0:.1f} gal left")


def test_points_of_one_name_are_told_apart(pledge: Pledge) -> None:
    named = next(point for point in pledge.points if point.name)
    twice = replace(pledge, points=(*pledge.points, replace(named, msl_ft=9_000.0)))
    (one,) = pledge_differences(pledge, twice)
    assert one.what == f"{named.name} (2)"
    assert one.before == "none"


def test_a_finding_is_compared_by_verdict_and_value(pledge: Pledge) -> None:
    record = dict(pledge.findings[0]) | {"value": None, "missing": "a date"}
    changed = replace(pledge, findings=(record, *pledge.findings[1:]))
    (one,) = pledge_differences(pledge, changed)
    assert one.what == record["label"]
    assert one.after == "unknown, not known"


@pytest.fixture
def flight(tmp_path: Path) -> Path:
    folder = write_folder(tmp_path / "folder")
    run("card", folder)
    return folder


def run(*words: object) -> str:
    done = CliRunner().invoke(app, [f"{word}" for word in words])
    assert done.exit_code == 0, done.output
    return done.output


def test_a_card_holds_until_something_changes(flight: Path) -> None:
    assert "The same: way, times, heights" in run("pledge", "diff", flight)
    text = (flight / "flight.toml").read_text(encoding="utf-8")
    (flight / "flight.toml").write_text(text.replace("left = 22", "left = 20"), encoding="utf-8")
    said = run("pledge", "diff", flight)
    assert "flight.toml: " in said
    assert "gal left → " in said
    assert "The card no longer holds." in said
    record = json.loads(run("pledge", "diff", flight, "--json"))
    assert record["matches"] is False


def test_two_printed_cards_are_compared(flight: Path) -> None:
    text = (flight / "flight.toml").read_text(encoding="utf-8")
    (flight / "flight.toml").write_text(text.replace("left = 22", "left = 21"), encoding="utf-8")
    run("card", flight)
    first, second = (line.split()[0] for line in run("pledge", "list", flight).splitlines())
    assert f"PLEDGE {first}" in run("pledge", "diff", flight, first, second)


def test_without_a_card_it_says_how_to_print_one(tmp_path: Path) -> None:
    folder = write_folder(tmp_path / "folder")
    done = CliRunner().invoke(app, ["pledge", "diff", str(folder)], catch_exceptions=True)
    assert done.exit_code == 1
    assert "has no pledge yet" in done.output

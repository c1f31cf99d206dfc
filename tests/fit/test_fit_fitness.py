"""The fitness check is the pilot's own word of the day, and nobody else's business."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from fit_cases import found, keys
from typer.testing import CliRunner

from lubberline.card import make_pledge, make_sheet
from lubberline.cli import commands  # noqa: F401 - registers the commands
from lubberline.cli.app import app
from lubberline.demo import write_folder
from lubberline.errors import BadFile
from lubberline.fit import open_findings, times_utc
from lubberline.flight import Plan, read_plan
from lubberline.line import Verdict
from lubberline.loop import Prepared, prepare
from lubberline.pilot import read_fitness

INSIDE, CLOSE, OUTSIDE, UNKNOWN = Verdict.INSIDE, Verdict.CLOSE, Verdict.OUTSIDE, Verdict.UNKNOWN


def answered(plan: Plan, **changes: Any) -> Plan:
    assert plan.pilot.fitness is not None
    fitness = replace(plan.pilot.fitness, **changes)
    return replace(plan, pilot=replace(plan.pilot, fitness=fitness))


def test_an_unanswered_check_is_unknown_and_says_how(prepared: Prepared) -> None:
    plan = replace(prepared.plan, pilot=replace(prepared.plan.pilot, fitness=None))
    finding = found(plan, prepared, "pilot.fitness")
    assert finding.verdict is UNKNOWN
    assert "lubberline fitness" in finding.missing
    assert not any(key.startswith("pilot.self_") for key in keys(plan, prepared))


@pytest.mark.parametrize(
    ("before_h", "known"), [(0.0, True), (12.0, True), (12.01, False), (-0.01, False)]
)
def test_an_answer_serves_twelve_hours(prepared: Prepared, before_h: float, known: bool) -> None:
    off_utc = prepared.plan.flight.off_block_utc
    at_utc = off_utc - timedelta(hours=before_h)
    plan = answered(prepared.plan, answered_utc=at_utc)
    assert (found(plan, prepared, "pilot.fitness").verdict is not UNKNOWN) == known


@pytest.mark.parametrize(("hours_h", "verdict"), [(8.0, INSIDE), (7.99, OUTSIDE), (30.0, INSIDE)])
def test_eight_hours_from_bottle_to_throttle(
    prepared: Prepared, hours_h: float, verdict: Verdict
) -> None:
    """14 CFR 91.17(a)(1), from memory."""
    takeoff_utc = times_utc(prepared.plan, prepared.way)[0]
    plan = answered(prepared.plan, last_drink_utc=takeoff_utc - timedelta(hours=hours_h))
    finding = found(plan, prepared, "pilot.self_alcohol")
    assert finding.verdict is verdict
    assert "from memory" in finding.limit.source
    assert found(plan, prepared, "pilot.fitness").verdict is verdict


@pytest.mark.parametrize(
    ("changes", "key"),
    [
        ({"ill": True}, "pilot.self_ill"),
        ({"medication": True}, "pilot.self_medication"),
        ({"stress_index": 3}, "pilot.self_stress"),
        ({"slept_h": 5.9}, "pilot.self_slept"),
        ({"up_since_utc": datetime(2026, 11, 25, 7, 0, tzinfo=UTC)}, "pilot.self_awake"),
        ({"eaten_utc": datetime(2026, 11, 25, 15, 0, tzinfo=UTC)}, "pilot.self_eaten"),
    ],
)
def test_each_answer_can_be_outside(prepared: Prepared, changes: dict[str, Any], key: str) -> None:
    plan = answered(prepared.plan, **changes)
    assert found(plan, prepared, key).verdict is OUTSIDE
    whole = found(plan, prepared, "pilot.fitness")
    assert (whole.value, whole.verdict) == (1.0, OUTSIDE)


def test_what_the_pilot_set_no_limit_for_is_not_asked(prepared: Prepared) -> None:
    own = replace(prepared.plan.pilot.own, sleep_h=None, awake_h=None, eaten_h=None)
    plan = replace(prepared.plan, pilot=replace(prepared.plan.pilot, own=own))
    asked = {key for key in keys(plan, prepared) if key.startswith("pilot.self_")}
    assert asked == {f"pilot.self_{one}" for one in ("ill", "medication", "alcohol", "stress")}


def test_no_answer_leaves_the_folder(prepared: Prepared) -> None:
    plan = answered(prepared.plan, ill=True)
    findings = (found(plan, prepared, "pilot.self_ill"), *prepared.findings)
    made_utc = plan.flight.off_block_utc
    pledge = make_pledge(plan, prepared.way, findings, printed_utc=made_utc)
    sheet = make_sheet(plan, prepared.way, findings, pledge_sha256=pledge.sha256)
    assert b"self_" not in pledge.canonical()
    assert "ill or hurt" not in f"{sheet}"
    assert not any("self_" in one.limit.key for one in open_findings(findings))


@pytest.fixture
def home(tmp_path: Path) -> Path:
    write_folder(tmp_path / "folder")
    return tmp_path / "folder"


WELL = ("--well", "--no-medication", "--stress", "1", "--drank-h", "30")
RESTED = ("--slept-h", "7.5", "--awake-h", "2", "--eaten-h", "1")


def run(*words: object) -> tuple[int, str]:
    done = CliRunner().invoke(app, ["fitness", *(f"{word}" for word in words)])
    return done.exit_code, done.output


def test_answers_on_the_command_line_are_kept_for_their_owner(home: Path) -> None:
    code, said = run(home, *WELL, *RESTED)
    assert code == 0, said
    fitness = read_fitness(home)
    assert fitness is not None
    assert (fitness.ill, fitness.last_drink_utc, fitness.slept_h) == (False, None, 7.5)
    assert fitness.answered_utc - fitness.up_since_utc == timedelta(hours=2)
    assert (home / "fitness.toml").stat().st_mode & 0o077 == 0


def test_a_drink_is_told_by_its_hours(home: Path) -> None:
    run(home, *WELL[:-1], "9.5", *RESTED)
    fitness = read_fitness(home)
    assert fitness is not None
    assert fitness.last_drink_utc == fitness.answered_utc - timedelta(hours=9.5)


@pytest.mark.parametrize("left_out", range(7))
def test_what_is_left_out_is_asked_for_at_a_terminal_only(home: Path, left_out: int) -> None:
    pairs = [("--well",), ("--no-medication",), ("--stress", "1"), ("--drank-h", "30")]
    pairs += [("--slept-h", "7"), ("--awake-h", "2"), ("--eaten-h", "1")]
    words = [word for number, pair in enumerate(pairs) if number != left_out for word in pair]
    before = (home / "fitness.toml").read_bytes()
    code, said = run(home, *words)
    assert code == 1
    assert "there is no terminal to ask at" in said
    assert (home / "fitness.toml").read_bytes() == before


def test_a_folder_without_a_pilot_is_refused(tmp_path: Path) -> None:
    assert run(tmp_path, *WELL, *RESTED)[0] == 1


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("slept_h = 7.5", "slept_h = 25", "slept_h"),
        ("ill = false", "ill = 1", "ill"),
        ("stress_index = 1", "stress_index = 5", "stress_index"),
        ("up_since_utc = 2026-11-25T14", "up_since_utc = 2026-11-25T19", "no later than answered"),
        ("eaten_utc", "eaten", "eaten"),
    ],
)
def test_a_wrong_file_is_refused(home: Path, old: str, new: str, said: str) -> None:
    path = home / "fitness.toml"
    path.write_text(path.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")
    with pytest.raises(BadFile, match=said):
        read_plan(next((home / "flights").iterdir()) / "flight.toml")


def test_without_the_file_the_flight_is_still_planned(home: Path) -> None:
    (home / "fitness.toml").unlink()
    prepared = prepare(next((home / "flights").iterdir()), None)
    assert {one.limit.key: one for one in prepared.findings}["pilot.fitness"].verdict is UNKNOWN

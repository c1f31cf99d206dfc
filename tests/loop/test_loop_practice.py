"""What a flight should practise, in numbers, and whether it helped."""

import shutil
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from lubberline import loop
from lubberline.demo.truth import Truth
from lubberline.flight import Plan, latest_pledge, read_plan
from lubberline.line import Finding, Limit, Verdict, finding_record
from lubberline.loop.practice_helped import practiced, was_kept
from lubberline.loop.practice_tasks import (
    Task,
    asked_of,
    less_is_better,
    practice_tasks,
    skill_of,
    worsening_factor,
)
from lubberline.store import NewFlight, add_flight, open_store
from lubberline.ways import Way, evaluate_plan

FIRST_UTC = datetime(2026, 8, 1, 15, tzinfo=UTC)
NEXT_UTC = datetime(2026, 11, 25, 20, tzinfo=UTC)
HEIGHT = Limit(
    key="flown.cruise_height_worst",
    label="height in cruise, worst",
    unit="ft",
    basis="standard",
    source="a standard",
    low=-100.0,
    high=100.0,
    target=0.0,
)
FINAL = replace(
    HEIGHT, key="flown.approach_airspeed", label="final", unit="kt", low=-5.0, high=10.0
)
STALL = replace(HEIGHT, key="flown.power_off_stall_heading", label="stall", unit="deg")


@pytest.fixture
def plan(kept: tuple[Path, Truth], tmp_path: Path) -> Plan:
    """The demo's flight in a folder whose store is empty, for a pilot of its own."""
    home = Path(shutil.copytree(kept[0].parents[1], tmp_path / "home"))
    loop.store_path(home).unlink()
    found = read_plan(next((home / "flights").iterdir()))
    flight = replace(found.flight, off_block_utc=NEXT_UTC)
    return replace(found, flight=flight)


@pytest.fixture(scope="module")
def way(kept: tuple[Path, Truth]) -> Way:
    return next(one for one in evaluate_plan(read_plan(kept[0])) if "south" in one.name)


def fly(plan: Plan, limit: Limit, values: Sequence[float], *, pledge: bytes | None = None) -> None:
    """One kept flight for each value, a week apart."""
    home = plan.folder.parents[1]
    with open_store(loop.store_path(home)) as store, store.writing() as session:
        start = session.connection().exec_driver_sql("SELECT count(*) FROM flight").scalar_one()
        for number, value in enumerate(values, start):
            add_flight(
                session,
                NewFlight(
                    flown_utc=FIRST_UTC + timedelta(days=7 * number),
                    title=f"flight {number}",
                    departure_id="QWRN",
                    destination_id="QMRL",
                    aircraft="Q-HRN",
                    pilot=plan.pilot.name,
                    movement_count=2,
                    recording_name="x",
                    recording=f"{number}".encode(),
                    findings=(Finding(limit=limit, value=value, sigma=5.0),),
                    pledge=pledge,
                ),
            )


def test_no_flights_no_tasks(plan: Plan, way: Way) -> None:
    assert practice_tasks(plan, way) == ()


def test_a_height_task_says_height_tolerance_and_minutes(plan: Plan, way: Way) -> None:
    fly(plan, HEIGHT, [60.0, -70.0, 80.0, -80.0, 90.0])
    (task,) = practice_tasks(plan, way)
    assert task.text == "hold 3,500 ± 60 ft for 10 min after top of climb"
    assert (task.finding.limit.low, task.finding.limit.high) == (-60.0, 60.0)
    assert task.finding.limit.key == "practice.cruise_height_worst"
    assert task.finding.verdict is Verdict.UNKNOWN
    assert "usually 80 ft of 100 ft allowed (5 flights)" in task.why


def test_what_costs_more_and_is_nearer_its_limit_comes_first(plan: Plan, way: Way) -> None:
    fly(plan, HEIGHT, [20.0] * 3)
    fly(plan, FINAL, [9.0] * 3)
    assert [one.key for one in practice_tasks(plan, way)] == [FINAL.key, HEIGHT.key]


def test_a_skill_has_one_task(plan: Plan, way: Way) -> None:
    fly(plan, HEIGHT, [60.0] * 3)
    fly(plan, replace(HEIGHT, key="flown.cruise_height_rms"), [50.0] * 3)
    assert len(practice_tasks(plan, way)) == 1


def test_what_a_way_gives_no_chance_for_is_no_task(plan: Plan, way: Way) -> None:
    fly(plan, STALL, [90.0] * 3)
    assert practice_tasks(plan, way) == ()


def test_a_short_cruise_gives_less_chance_for_cruise(plan: Plan, way: Way) -> None:
    fly(plan, HEIGHT, [60.0] * 3)

    def chance(legs: float) -> float:
        shorter = replace(way, legs=tuple(replace(leg, time_min=legs) for leg in way.legs))
        (task,) = practice_tasks(plan, shorter)
        return task.gain.chance_factor

    assert chance(1.0) < chance(2.0) < 1.0
    assert chance(60.0) == 1.0


def gain_in(plan: Plan, way: Way, days: int) -> float:
    moment_utc = FIRST_UTC + timedelta(days=14 + days, seconds=1)
    later = replace(plan.flight, off_block_utc=moment_utc)
    tasks: tuple[Task, ...] = practice_tasks(replace(plan, flight=later), way)
    return tasks[0].gain.since_factor


def test_time_since_counts_up_to_twice(plan: Plan, way: Way) -> None:
    fly(plan, HEIGHT, [60.0] * 3)
    factors = [gain_in(plan, way, days) for days in (0, 30, 60, 600)]
    assert factors == pytest.approx([1.0, 1.5, 2.0, 2.0], abs=1e-5)


def test_flights_after_the_one_planned_are_not_known_to_it(plan: Plan, way: Way) -> None:
    fly(plan, HEIGHT, [60.0] * 3)
    early = replace(plan.flight, off_block_utc=FIRST_UTC)
    assert practice_tasks(replace(plan, flight=early), way) == ()


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        ([], 1.0),
        ([9.0] * 5, 1.0),
        ([10.0] * 3 + [15.0] * 3, 1.5),
        ([10.0] * 3 + [90.0] * 3, 2.0),
        ([10.0] * 3 + [1.0] * 3, 0.5),
        ([0.0] * 6, 1.0),
    ],
)
def test_worse_lately_counts_up_to_twice(values: list[float], expected: float) -> None:
    assert worsening_factor(values) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("usual", "tolerance", "sigma", "expected"),
    [
        (80.0, 100.0, 5.0, 60.0),  # a quarter less
        (200.0, 100.0, 5.0, 100.0),  # never beyond the standard
        (20.0, 100.0, 40.0, 80.0),  # never finer than it can be measured
        (1.0, 100.0, 0.1, 10.0),  # nor finer than it is said
    ],
)
def test_a_task_asks_for_what_can_be_reached_and_seen(
    usual: float, tolerance: float, sigma: float, expected: float
) -> None:
    assert asked_of(usual, tolerance, sigma, "ft") == expected


@pytest.mark.parametrize(
    ("key", "name"),
    [
        ("flown.cruise_height_worst", "height"),
        ("flown.course_worst", "course"),
        ("flown.approach_airspeed", "approach"),
        ("flown.touchdown_ft", "landing"),
        ("flown.checkpoint_time", "time"),
        ("flown.airspace_entry.QV-MARL", None),
        ("flown.steep_turn_height", None),
        ("fit.crosswind", None),
    ],
)
def test_measures_belong_to_skills(key: str, name: str | None) -> None:
    skill = skill_of(key)
    assert (None if skill is None else skill.name) == name


def pledge_with(plan: Plan, task: Task) -> bytes:
    found = latest_pledge(plan.folder)
    assert found is not None
    return replace(found[1], findings=(finding_record(task.finding),)).canonical()


@pytest.mark.parametrize(
    ("after", "said", "word"),
    [
        ([40.0, 45.0, 50.0], "kept", "helped"),
        ([61.0, 90.0, 95.0], "not kept", "no change to be seen"),
        ([40.0], "kept", "too early to say"),
    ],
)
def test_practice_is_followed_up(
    plan: Plan, way: Way, after: list[float], said: str, word: str
) -> None:
    fly(plan, HEIGHT, [70.0, 80.0, 80.0, 85.0])
    (task,) = practice_tasks(plan, way)
    fly(plan, HEIGHT, after[:1], pledge=pledge_with(plan, task))
    fly(plan, HEIGHT, after[1:])
    home = plan.folder.parents[1]
    (one,) = practiced(home, pilot=plan.pilot.name, before_utc=NEXT_UTC)
    assert (was_kept(one), one.word) == (said, word)
    assert (one.before_count, one.since_count) == (4, len(after))


def test_a_task_that_was_not_measured_says_so(plan: Plan, way: Way) -> None:
    fly(plan, HEIGHT, [70.0, 80.0, 80.0])
    (task,) = practice_tasks(plan, way)
    fly(plan, FINAL, [3.0], pledge=pledge_with(plan, task))
    home = plan.folder.parents[1]
    (one,) = practiced(home, pilot=plan.pilot.name, before_utc=NEXT_UTC)
    assert was_kept(one) == "not measured"


@pytest.mark.parametrize(
    ("key", "low", "high", "is_error"),
    [
        ("flown.climb_airspeed", -5.0, 5.0, True),
        ("flown.cruise_height_rms", None, 50.0, True),
        ("flown.touchdown_airspeed", None, 75.0, False),  # slower is no better
        ("flown.pattern_bank", None, 30.0, False),
        ("flown.pattern_spacing", 0.4, 1.5, False),  # nearer neither
        ("flown.stable_by", 500.0, None, False),
        ("flown.touchdown_threshold", 0.0, 1_300.0, False),  # before the threshold is none
    ],
)
def test_only_errors_are_asked_to_be_less(
    key: str, low: float | None, high: float | None, is_error: bool
) -> None:
    limit = Limit(key=key, label=key, unit="kt", low=low, high=high, basis="own", source="own")
    assert less_is_better(limit) is is_error

"""Judging a season of flights, a thousand pilots at once, and ten thousand flights in a store."""

import sqlite3
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from lubberline.drift import Measure, judge
from lubberline.drift import _kernel as kernel
from lubberline.line import Finding, Limit
from lubberline.loop import follow_all
from lubberline.store import Added, NewFlight, Store, add_flight, open_store


@pytest.mark.parametrize("flights", [40, 1000])
def test_judge_one_measure(benchmark: BenchmarkFixture, flights: int) -> None:
    rng = np.random.default_rng(1)
    first = datetime(2026, 1, 1, tzinfo=UTC)
    measure = Measure(
        key="task.height_ft",
        label="height held",
        unit="ft",
        better="smaller",
        flown_utc=tuple(first + timedelta(days=day) for day in range(flights)),
        values=rng.normal(40.0, 8.0, flights),
        sigmas=np.full(flights, 2.0),
        titles=("",) * flights,
    )
    assert benchmark(judge, measure).chart is not None


def test_judge_a_thousand_pilots(benchmark: BenchmarkFixture) -> None:
    values = np.random.default_rng(2).normal(40.0, 8.0, (1000, 40))

    def judged() -> float:
        _, _, half = kernel.against_baseline(
            values,
            np.zeros_like(values),
            baseline_count=20,
            weight_factor=0.1,
            width_factor=2.55,
        )
        return float(half.min())

    assert benchmark(judged) > 0.0


FLIGHTS_COUNT = 10_000
KEYS_COUNT = 14


@pytest.fixture(scope="module")
def ten_thousand(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store of ten thousand flights with fourteen findings and their conditions each."""
    path = tmp_path_factory.mktemp("store") / "lubberline.db"
    open_store(path).close()
    rng = np.random.default_rng(3)
    first = datetime(1990, 1, 1, tzinfo=UTC)
    with closing(sqlite3.connect(path)) as base, base:
        for flight in range(1, FLIGHTS_COUNT + 1):
            when = f"{first + timedelta(days=flight):%Y-%m-%d %H:%M:%S}.000000"
            base.execute("INSERT INTO recording VALUES (?, 'r.csv', x'00')", (f"{flight:064x}",))
            base.execute(
                "INSERT INTO flight (id, flown_utc, title, departure_id, destination_id, aircraft,"
                " pilot, movement_count, recording_sha256)"
                " VALUES (?, ?, 'there', 'QWRN', 'QMRL', 'Q-1', 'pilot', 2, ?)",
                (flight, when, f"{flight:064x}"),
            )
            base.execute(
                "INSERT INTO flight_condition VALUES (?, ?, ?, ?, ?, ?, ?)",
                (flight, *rng.uniform(5.0, 20.0, 5).tolist(), flight % 6 == 0),
            )
            base.executemany(
                'INSERT INTO finding (flight_id, position, "key", label, unit, basis, source, high,'
                ' buffer, value, sigma, "where", note, missing)'
                " VALUES (?, ?, ?, ?, 'ft', 'own', 'own', 50, 0, ?, 2, '', '', '')",
                [
                    (flight, at, f"flown.measure_{at:02}", f"measure {at}", value)
                    for at, value in enumerate(rng.rayleigh(20.0, KEYS_COUNT).tolist())
                ],
            )
    return path


def test_follow_everything_over_ten_thousand_flights(
    benchmark: BenchmarkFixture, ten_thousand: Path
) -> None:
    """Wanted: under a second for all measures."""
    courses = benchmark(follow_all, ten_thousand)
    assert len(courses.drifted) == KEYS_COUNT + 1


def test_add_one_flight_to_ten_thousand(benchmark: BenchmarkFixture, ten_thousand: Path) -> None:
    """Wanted: under 100 ms, with as many findings and as long a recording as the demo's."""
    rng = np.random.default_rng(4)
    limit = Limit(key="flown.new", label="new", unit="ft", basis="own", source="own", high=50.0)

    def added(store: Store) -> object:
        flight = NewFlight(
            flown_utc=datetime(2026, 1, 1, tzinfo=UTC),
            title="there",
            departure_id="QWRN",
            destination_id="QMRL",
            aircraft="Q-1",
            pilot="pilot",
            movement_count=2,
            recording_name="r.csv",
            recording=" ".join(f"{one:.5f}" for one in rng.random(19_000)).encode(),
            findings=tuple(Finding(limit=limit, value=float(n)) for n in range(48)),
            pledge=None,
        )
        with store.writing() as session:
            return add_flight(session, flight)

    with open_store(ten_thousand) as store:
        assert isinstance(benchmark(added, store), Added)

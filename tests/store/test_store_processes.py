"""Several processes, some of which are killed: every flight is there whole or not at all."""

import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest
from sqlalchemy import text

from lubberline.store import findings_of, list_flights, open_store, recording_of

COMMON = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from lubberline.line import Finding, Limit
from lubberline.store import NewFlight, add_flight, open_store

LIMIT = Limit(key="a.b", label="b", unit="ft", basis="own", source="own", high=9.0)

def flight(number):
    return NewFlight(
        flown_utc=datetime(2026, 1, 1, number % 24, tzinfo=UTC), title=f"flight {number}",
        departure_id="QAAA", destination_id="QBBB", aircraft="Blue Heron", pilot="A. Pilot",
        movement_count=2, recording_name="track", recording=b"track %d " % number * 9000,
        findings=tuple(Finding(limit=LIMIT, value=float(n)) for n in range(20)), pledge=b"{}",
    )

path = Path(sys.argv[1])
def say(word):
    print(word, flush=True)
"""
BEFORE_COMMIT = """
with open_store(path) as store, store.writing() as session:
    add_flight(session, flight(1))
    say("ready")
    sys.stdin.read()
"""
BEFORE_FLUSH = """
from sqlalchemy import event
from sqlalchemy.orm import Session

@event.listens_for(Session, "after_flush")
def halfway(session, context):
    say("ready")
    sys.stdin.read()

with open_store(path) as store, store.writing() as session:
    add_flight(session, flight(1))
"""
MIGRATING = """
from lubberline.store import migrate
real = migrate.upgrade

def halfway(connection):
    real(connection)
    say("ready")
    sys.stdin.read()

migrate.upgrade = halfway
open_store(path)
"""
ONE_AFTER_ANOTHER = """
with open_store(path) as store:
    for number in range(10_000):
        with store.writing() as session:
            add_flight(session, flight(number))
        say(number)
"""
RACING = """
with open_store(path, busy_s=30.0) as store:
    say("ready")
    sys.stdin.readline()
    for number in range(25):
        with store.writing() as session:
            say(type(add_flight(session, flight(number))).__name__)
"""


def start(script: str, path: Path) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", COMMON + script, str(path)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )


def line(process: subprocess.Popen[str]) -> str:
    assert process.stdout is not None
    return process.stdout.readline().strip()


def kill(process: subprocess.Popen[str]) -> None:
    process.kill()
    process.communicate()
    assert process.returncode == -9


def whole_flights(path: Path) -> int:
    """How many flights there are, after looking at everything in each."""
    with open_store(path) as store, store.reading() as session:
        assert session.execute(text("PRAGMA integrity_check")).scalar() == "ok"
        flights = list_flights(session, limit=1000)
        for each in flights:
            assert len(findings_of(session, each.flight_id)) == 20
            assert recording_of(session, each.flight_id).startswith(b"track ")
        for table in ("flight", "recording"):
            count = session.execute(text(f"SELECT count(*) FROM {table}")).scalar()
            assert count == len(flights)
        return len(flights)


@pytest.mark.parametrize("script", [BEFORE_COMMIT, BEFORE_FLUSH, MIGRATING])
def test_a_program_killed_halfway_leaves_nothing_half_there(tmp_path: Path, script: str) -> None:
    path = tmp_path / "flights.db"
    process = start(script, path)
    assert line(process) == "ready"
    kill(process)
    assert whole_flights(path) == 0


def test_a_program_killed_at_any_moment_keeps_what_it_had_finished(tmp_path: Path) -> None:
    path = tmp_path / "flights.db"
    process = start(ONE_AFTER_ANOTHER, path)
    for number in range(5):
        assert line(process) == str(number)
    kill(process)
    assert whole_flights(path) >= 5


def test_two_programs_adding_the_same_flights_add_each_once(tmp_path: Path) -> None:
    path = tmp_path / "flights.db"
    processes = [start(RACING, path) for _ in range(2)]
    assert [line(process) for process in processes] == ["ready", "ready"]
    for process in processes:
        assert process.stdin is not None
        process.stdin.write("go\n")
        process.stdin.flush()
    words = [word for process in processes for word in process.communicate()[0].split()]
    assert Counter(words) == {"Added": 25, "AlreadyThere": 25}
    assert whole_flights(path) == 25

"""Checks find damage; copies are whole or not there; plain files bring everything back."""

import json
import random
import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest
from store_kills import KILL_COUNT, killed_after

from lubberline.errors import BadFile
from lubberline.line import Finding, Limit, unknown
from lubberline.store import (
    NewFlight,
    StoredMovement,
    add_flight,
    backup_store,
    check_store,
    export_flights,
    findings_of,
    import_flights,
    list_flights,
    open_store,
    pledge_of,
    recording_of,
    restore_store,
)

LIMIT = Limit(key="a.b", label="b", unit="ft", basis="own", source="own", low=1.0, high=9.0)


def flight(number: int, size: int = 9_000) -> NewFlight:
    return NewFlight(
        flown_utc=datetime(2026, 1, 1 + number % 28, tzinfo=UTC),
        title=f"flight {number}, Ærø",
        departure_id="QAAA",
        destination_id="QBBB",
        aircraft="Heron",
        pilot="A. Pilot",
        movement_count=number,
        recording_name="track.igc",
        recording=b"track %d " % number * size,
        findings=(Finding(limit=LIMIT, value=number / 3.0, sigma=0.1), unknown(LIMIT, "a sensor")),
        pledge=b'{"n":%d}' % (number // 2) if number % 3 else None,
        tailwheel=(None, False, True)[number % 3],
        movements=(
            StoredMovement(
                kind="landing",
                at_utc=datetime(2026, 1, 1, 2, number % 60, tzinfo=UTC),
                lat_deg=41.0 + number / 7.0,
                lon_deg=-131.0,
            ),
        ),
    )


def filled(path: Path, numbers: range, size: int = 900) -> Path:
    with open_store(path) as store, store.writing() as session:
        for number in numbers:
            add_flight(session, flight(number, size))
    return path


def content(path: Path) -> list[object]:
    """All that a store holds, in order."""
    with open_store(path) as store, store.reading() as session:
        return [
            (
                *(one.flown_utc, one.title, one.movement_count, one.recording_name),
                *(recording_of(session, one.flight_id), pledge_of(session, one.flight_id)),
                *(findings_of(session, one.flight_id), one.tailwheel, one.movements),
            )
            for one in list_flights(session, limit=999)
        ]


def test_a_whole_store_is_found_whole(tmp_path: Path) -> None:
    checked = check_store(filled(tmp_path / "a.db", range(7)))
    assert (checked.flight_count, checked.finding_count, checked.problems) == (7, 14, ())


DAMAGE = {
    "a recording": ("UPDATE recording SET packed = x'00' WHERE rowid = 1", "recording"),
    "a pledge": ("UPDATE pledge SET canonical = x'7b7d' WHERE rowid = 1", "pledge"),
    "a reference": ("DELETE FROM recording WHERE rowid = 1", "refers to recording"),
}


@pytest.mark.parametrize("what", DAMAGE)
def test_damage_is_found_and_named(tmp_path: Path, what: str) -> None:
    path = filled(tmp_path / "a.db", range(4))
    query, named = DAMAGE[what]
    with closing(sqlite3.connect(path)) as connection:
        connection.execute(query)
        connection.commit()
    (problem,) = check_store(path).problems
    assert named in problem
    with pytest.raises(BadFile, match=named):
        backup_store(path, tmp_path / "b.db")
    assert sorted(one.name for one in tmp_path.glob("b*")) == []


def damage_pages(path: Path, keep_fraction: float) -> bytes:
    """Overwrite parts of all pages but the first two, and cut the end off."""
    whole = path.read_bytes()
    damaged = bytearray(whole[: int(len(whole) * keep_fraction)])
    for at in range(8_192, len(damaged), 4_096):
        damaged[at : at + 200] = b"\xff" * 200
    path.write_bytes(damaged)
    return bytes(damaged)


@pytest.mark.parametrize("keep_fraction", [0.4, 1.0])
def test_no_copy_is_made_of_damaged_pages(tmp_path: Path, keep_fraction: float) -> None:
    path = filled(tmp_path / "a.db", range(4))
    damage_pages(path, keep_fraction)
    with pytest.raises(BadFile, match=r"a\.db: 1 problem.*\n.*database: found damage"):
        backup_store(path, tmp_path / "b.db")
    assert sorted(one.name for one in tmp_path.glob("*b.db*")) == []


@pytest.mark.parametrize("keep_fraction", [0.4, 1.0])
def test_a_damaged_store_is_put_aside_as_it_is(tmp_path: Path, keep_fraction: float) -> None:
    path = filled(tmp_path / "a.db", range(4))
    backup_store(path, tmp_path / "b.db")
    damaged = damage_pages(path, keep_fraction)
    (tmp_path / "a.db-wal").write_bytes(b"its log")
    aside = restore_store(tmp_path / "b.db", path)
    assert aside is not None
    assert aside.read_bytes() == damaged
    assert Path(f"{aside}-wal").read_bytes() == b"its log"
    assert content(path) == content(tmp_path / "b.db")


def test_a_copy_holds_the_same_and_is_one_file(tmp_path: Path) -> None:
    path = filled(tmp_path / "a.db", range(5))
    (tmp_path / "copies").mkdir()
    backup_store(path, tmp_path / "copies" / "b.db")
    assert [one.name for one in (tmp_path / "copies").iterdir()] == ["b.db"]
    assert content(tmp_path / "copies" / "b.db") == content(path)


def test_a_copy_can_be_made_while_another_writes(tmp_path: Path) -> None:
    path = filled(tmp_path / "a.db", range(3))
    with open_store(path) as store, store.writing() as session:
        add_flight(session, flight(9))
        assert backup_store(path, tmp_path / "b.db").flight_count == 3


def test_a_copy_replaces_nothing(tmp_path: Path) -> None:
    path = filled(tmp_path / "a.db", range(1))
    (tmp_path / "b.db").write_text("mine", encoding="utf-8")
    with pytest.raises(BadFile, match="a name that is free"):
        backup_store(path, tmp_path / "b.db")
    assert (tmp_path / "b.db").read_text(encoding="utf-8") == "mine"


def test_restoring_keeps_what_was_there(tmp_path: Path) -> None:
    path = filled(tmp_path / "a.db", range(2))
    backup_store(path, tmp_path / "b.db")
    first = content(path)
    filled(path, range(2, 6))
    later = content(path)
    aside = restore_store(tmp_path / "b.db", path, now_utc=datetime(2026, 11, 25, tzinfo=UTC))
    assert aside == tmp_path / "a.db.before-20261125T000000Z"
    assert content(path) == first
    assert content(aside) == later


def test_who_has_the_store_open_sees_the_restored_one(tmp_path: Path) -> None:
    path = filled(tmp_path / "a.db", range(2))
    backup_store(path, tmp_path / "b.db")
    with open_store(path) as store:
        with store.writing() as session:
            add_flight(session, flight(7))
        restore_store(tmp_path / "b.db", path)
        with store.reading() as session:
            assert len(list_flights(session, limit=9)) == 2
        with store.writing() as session:
            add_flight(session, flight(8))
    assert check_store(path).flight_count == 3
    assert check_store(path).problems == ()


def test_restoring_where_nothing_was(tmp_path: Path) -> None:
    backup_store(filled(tmp_path / "a.db", range(2)), tmp_path / "b.db")
    assert restore_store(tmp_path / "b.db", tmp_path / "new.db") is None
    assert check_store(tmp_path / "new.db").flight_count == 2


@pytest.mark.parametrize("bad", [b"", b"SQLite format 3\0" + b"\0" * 500, b"text", None])
def test_what_is_no_copy_changes_nothing(tmp_path: Path, bad: bytes | None) -> None:
    path, copy = filled(tmp_path / "a.db", range(2)), tmp_path / "b.db"
    before = content(path)
    if bad is not None:
        copy.write_bytes(bad)
    with pytest.raises(BadFile):
        restore_store(copy, path)
    assert content(path) == before
    assert sorted(one.name for one in tmp_path.glob("*before*")) == []


def exported(path: Path, folder: Path) -> Path:
    with open_store(path) as store, store.reading() as session:
        export_flights(session, folder)
    return folder


def imported(folder: Path, path: Path) -> tuple[int, int]:
    with open_store(path) as store, store.writing() as session:
        brought = import_flights(session, folder)
    return brought.added_count, brought.there_count


def test_plain_files_bring_everything_back(tmp_path: Path) -> None:
    path = filled(tmp_path / "a.db", range(8))
    folder = exported(path, tmp_path / "plain")
    assert imported(folder, tmp_path / "b.db") == (8, 0)
    assert content(tmp_path / "b.db") == content(path)
    assert imported(folder, tmp_path / "b.db") == (0, 8)


def test_an_export_replaces_nothing(tmp_path: Path) -> None:
    (tmp_path / "plain").mkdir()
    with pytest.raises(BadFile, match="a name that is free"):
        exported(filled(tmp_path / "a.db", range(1)), tmp_path / "plain")
    assert list((tmp_path / "plain").iterdir()) == []


WRONG = {
    "no list": ("{}", "no list of flights"),
    "another version": ('{"version": 2, "flights": []}', "version: found 2"),
    "no JSON": ("[", "JSON"),
    "a flight that is none": ('{"version": 1, "flights": [3, {}]}', r"flights\[1\]"),
    "a way out": (
        '{"version": 1, "flights": [{"flown_utc": "2026-01-01T00:00:00Z", "movement_count": 1,'
        ' "recording_file": "../a.db", "findings": []}]}',
        "outside the folder",
    ),
}


@pytest.mark.parametrize("what", WRONG)
def test_what_was_not_exported_adds_nothing(tmp_path: Path, what: str) -> None:
    path, folder = filled(tmp_path / "a.db", range(2)), tmp_path / "plain"
    folder.mkdir()
    text, named = WRONG[what]
    (folder / "flights.json").write_text(text, encoding="utf-8")
    with pytest.raises(BadFile, match=named):
        imported(folder, path)
    assert check_store(path).flight_count == 2


def test_an_altered_recording_adds_nothing(tmp_path: Path) -> None:
    folder = exported(filled(tmp_path / "a.db", range(3)), tmp_path / "plain")
    next((folder / "recordings").iterdir()).write_bytes(b"other")
    with pytest.raises(BadFile, match="is not what was exported"):
        imported(folder, tmp_path / "b.db")
    assert check_store(tmp_path / "b.db").flight_count == 0


def test_an_altered_finding_is_told(tmp_path: Path) -> None:
    folder = exported(filled(tmp_path / "a.db", range(2)), tmp_path / "plain")
    whole = json.loads((folder / "flights.json").read_text(encoding="utf-8"))
    del whole["flights"][1]["findings"][0]["unit"]
    (folder / "flights.json").write_text(json.dumps(whole), encoding="utf-8")
    with pytest.raises(BadFile, match=r"flights\[1\]: found KeyError: 'unit'"):
        imported(folder, tmp_path / "b.db")


@pytest.mark.parametrize("work", ["import", "backup", "restore"])
def test_a_kill_at_any_moment_leaves_all_or_nothing(tmp_path: Path, work: str) -> None:
    """Kills spread over twice the time that the work takes undisturbed."""
    exported(filled(tmp_path / "much.db", range(60), 2_000), tmp_path / "plain")
    path = filled(tmp_path / "a.db", range(100, 140), 2_000)
    backup_store(filled(tmp_path / "c.db", range(200, 203)), tmp_path / "old.db")
    backup_store(path, tmp_path / "start.db")
    whole = {"import": {40, 100}, "backup": {40}, "restore": {3, 40}}[work]
    chance = random.Random(work)
    took_s = 0.25
    for _ in range(KILL_COUNT):
        killed_after(work, tmp_path, chance.uniform(0.0, took_s))
        checked = check_store(path)
        assert checked.problems == ()
        assert checked.flight_count in whole
        if (tmp_path / "b.db").exists():
            assert check_store(tmp_path / "b.db").flight_count == 40
        for one in (*tmp_path.glob("b.db*"), *tmp_path.glob("*before*")):
            one.unlink()
        restore_store(tmp_path / "start.db", path)
        for one in tmp_path.glob("*before*"):
            assert check_store(one).problems == ()
            one.unlink()

"""Migrations: from nothing, from every released revision with its data, and when they fail."""

import random
import shutil
import sqlite3
from datetime import UTC, datetime
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import create_engine, text
from store_kills import KILL_COUNT, killed_after

from lubberline.store import (
    FlightConditions,
    check_store,
    conditions_of,
    find_flight,
    findings_of,
    flights_with_conditions,
    measures,
    migrate,
    open_store,
    own_marks,
    pledge_of,
    recording_of,
)
from lubberline.store import open as opening
from lubberline.store.schema import Base

# Revision 0001 as it was released. It never changes again: databases like it exist.
REVISION_0001 = """
CREATE TABLE alembic_version (
  version_num VARCHAR(32) NOT NULL,
  CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num));
CREATE TABLE recording (
  sha256 VARCHAR(64) NOT NULL, name VARCHAR NOT NULL, packed BLOB NOT NULL,
  CONSTRAINT pk_recording PRIMARY KEY (sha256));
CREATE TABLE pledge (
  sha256 VARCHAR(64) NOT NULL, canonical BLOB NOT NULL,
  CONSTRAINT pk_pledge PRIMARY KEY (sha256));
CREATE TABLE flight (
  id INTEGER NOT NULL, flown_utc DATETIME NOT NULL, title VARCHAR NOT NULL,
  departure_id VARCHAR NOT NULL, destination_id VARCHAR NOT NULL, aircraft VARCHAR NOT NULL,
  pilot VARCHAR NOT NULL, movement_count INTEGER NOT NULL,
  recording_sha256 VARCHAR(64) NOT NULL, pledge_sha256 VARCHAR(64),
  CONSTRAINT pk_flight PRIMARY KEY (id),
  CONSTRAINT fk_flight_recording_sha256 FOREIGN KEY(recording_sha256)
    REFERENCES recording (sha256),
  CONSTRAINT fk_flight_pledge_sha256 FOREIGN KEY(pledge_sha256) REFERENCES pledge (sha256),
  CONSTRAINT uq_flight_recording_sha256 UNIQUE (recording_sha256));
CREATE INDEX ix_flight_flown_utc ON flight (flown_utc);
CREATE INDEX ix_flight_pledge_sha256 ON flight (pledge_sha256);
CREATE TABLE finding (
  id INTEGER NOT NULL, flight_id INTEGER NOT NULL, position INTEGER NOT NULL,
  "key" VARCHAR NOT NULL, label VARCHAR NOT NULL, unit VARCHAR NOT NULL,
  basis VARCHAR NOT NULL, source VARCHAR NOT NULL, low DOUBLE, high DOUBLE, target DOUBLE,
  tolerance DOUBLE, value DOUBLE, buffer DOUBLE NOT NULL, sigma DOUBLE NOT NULL,
  "where" VARCHAR NOT NULL, note VARCHAR NOT NULL, missing VARCHAR NOT NULL,
  CONSTRAINT pk_finding PRIMARY KEY (id),
  CONSTRAINT fk_finding_flight_id FOREIGN KEY(flight_id) REFERENCES flight (id)
    ON DELETE CASCADE);
CREATE INDEX ix_finding_flight_id ON finding (flight_id);
CREATE INDEX ix_finding_key_flight_id ON finding ("key", flight_id);
INSERT INTO alembic_version VALUES ('0001');
"""
# The recording is b"old track", compressed by zlib 1.2; the pledge is b"{}".
DATA_0001 = """
INSERT INTO recording VALUES (
  '6f6a3ce2ca2963b7aaf0db6174b9b039ded64ce0d889e3954f0a9b130119fb60', 'old.gpx',
  x'789CCBCF495128294A4CCE0600112C0375');
INSERT INTO pledge VALUES (
  '44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a', x'7B7D');
INSERT INTO flight VALUES (7, '2026-01-02 03:04:05.000000', 'an old flight', 'QAAA', 'QBBB',
  'Blue Heron', 'A. Pilot', 2,
  '6f6a3ce2ca2963b7aaf0db6174b9b039ded64ce0d889e3954f0a9b130119fb60',
  '44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a');
INSERT INTO finding VALUES (1, 7, 0, 'task.height_ft', 'height held', 'ft', 'standard',
  'a standard', -100.0, 100.0, 0.0, NULL, 55.5, 0.0, 2.5, 'leg 1', '', '');
"""
# What revision 0002 added, as it was released.
STEP_0002 = """
ALTER TABLE flight ADD COLUMN type_name VARCHAR;
ALTER TABLE flight ADD COLUMN category_class VARCHAR;
ALTER TABLE flight ADD COLUMN tailwheel BOOLEAN;
CREATE TABLE movement (
  id INTEGER NOT NULL, flight_id INTEGER NOT NULL, kind VARCHAR NOT NULL,
  at_utc DATETIME NOT NULL, lat_deg DOUBLE NOT NULL, lon_deg DOUBLE NOT NULL,
  CONSTRAINT pk_movement PRIMARY KEY (id),
  CONSTRAINT fk_movement_flight_id FOREIGN KEY(flight_id) REFERENCES flight (id)
    ON DELETE CASCADE);
CREATE INDEX ix_movement_flight_id ON movement (flight_id);
UPDATE alembic_version SET version_num = '0002';
"""
DATA_0002 = """
UPDATE flight SET type_name = 'Q-2', category_class = 'airplane single-engine land', tailwheel = 1;
INSERT INTO movement VALUES (1, 7, 'landing', '2026-01-02 04:00:00.000000', 41.0, -131.0);
"""
# What revision 0003 added, as it was released.
STEP_0003 = """
CREATE TABLE flight_condition (
  flight_id INTEGER NOT NULL, wind_kt DOUBLE, crosswind_kt DOUBLE, gust_kt DOUBLE,
  weight_lb DOUBLE, runway_length_ft DOUBLE, night BOOLEAN,
  CONSTRAINT fk_flight_condition_flight_id FOREIGN KEY(flight_id) REFERENCES flight (id)
    ON DELETE CASCADE,
  CONSTRAINT pk_flight_condition PRIMARY KEY (flight_id));
CREATE TABLE own_mark (
  id INTEGER NOT NULL, flight_id INTEGER NOT NULL, "key" VARCHAR NOT NULL, mark VARCHAR,
  chance_fraction DOUBLE, made_utc DATETIME NOT NULL, note VARCHAR NOT NULL,
  CONSTRAINT pk_own_mark PRIMARY KEY (id),
  CONSTRAINT fk_own_mark_flight_id FOREIGN KEY(flight_id) REFERENCES flight (id)
    ON DELETE CASCADE,
  CONSTRAINT uq_own_mark_flight_id_key UNIQUE (flight_id, "key"));
CREATE TABLE observed (
  id INTEGER NOT NULL, flight_id INTEGER NOT NULL, "key" VARCHAR NOT NULL, unit VARCHAR NOT NULL,
  value DOUBLE NOT NULL, sigma DOUBLE NOT NULL, target DOUBLE,
  CONSTRAINT pk_observed PRIMARY KEY (id),
  CONSTRAINT fk_observed_flight_id FOREIGN KEY(flight_id) REFERENCES flight (id)
    ON DELETE CASCADE,
  CONSTRAINT uq_observed_flight_id_key UNIQUE (flight_id, "key"));
CREATE TABLE correction (
  id INTEGER NOT NULL, flight_id INTEGER NOT NULL, made_utc DATETIME NOT NULL,
  field VARCHAR NOT NULL, was VARCHAR NOT NULL, becomes VARCHAR NOT NULL, reason VARCHAR NOT NULL,
  CONSTRAINT pk_correction PRIMARY KEY (id),
  CONSTRAINT fk_correction_flight_id FOREIGN KEY(flight_id) REFERENCES flight (id)
    ON DELETE CASCADE);
CREATE INDEX ix_correction_flight_id ON correction (flight_id);
CREATE TABLE content (
  sha256 VARCHAR(64) NOT NULL, packed BLOB NOT NULL,
  CONSTRAINT pk_content PRIMARY KEY (sha256));
CREATE TABLE flight_content (
  id INTEGER NOT NULL, flight_id INTEGER NOT NULL, role VARCHAR NOT NULL, name VARCHAR NOT NULL,
  sha256 VARCHAR(64) NOT NULL,
  CONSTRAINT pk_flight_content PRIMARY KEY (id),
  CONSTRAINT fk_flight_content_flight_id FOREIGN KEY(flight_id) REFERENCES flight (id)
    ON DELETE CASCADE,
  CONSTRAINT fk_flight_content_sha256 FOREIGN KEY(sha256) REFERENCES content (sha256),
  CONSTRAINT uq_flight_content_flight_id_role_name UNIQUE (flight_id, role, name));
CREATE INDEX ix_flight_content_sha256 ON flight_content (sha256);
CREATE TABLE logbook_entry (
  id INTEGER NOT NULL, pilot VARCHAR NOT NULL, flown_on DATE NOT NULL,
  row_sha256 VARCHAR(64) NOT NULL, fields VARCHAR NOT NULL, raw VARCHAR NOT NULL,
  source_name VARCHAR NOT NULL, source_row INTEGER NOT NULL, added_utc DATETIME NOT NULL,
  withdrawn_utc DATETIME, reason VARCHAR NOT NULL,
  CONSTRAINT pk_logbook_entry PRIMARY KEY (id),
  CONSTRAINT uq_logbook_entry_row_sha256 UNIQUE (row_sha256));
CREATE INDEX ix_logbook_entry_flown_on ON logbook_entry (flown_on);
UPDATE alembic_version SET version_num = '0003';
"""
# What revision 0004 added, as it was released.
STEP_0004 = """
ALTER TABLE flight ADD COLUMN role VARCHAR;
UPDATE alembic_version SET version_num = '0004';
"""
DATA_0003 = """
INSERT INTO flight_condition VALUES (7, 12.0, 5.5, NULL, 3100.0, 4200.0, 0);
INSERT INTO own_mark VALUES (1, 7, 'approach', 'close', NULL, '2026-01-02 05:00:00.000000', '');
"""
MIGRATION_S = 1.0  # what one takes, its imports included
OLD = REVISION_0001 + DATA_0001
OLD_0002 = OLD + STEP_0002 + DATA_0002
NEWEST = REVISION_0001 + STEP_0002 + STEP_0003 + STEP_0004


def build(path: Path, sql: str) -> None:
    raw = sqlite3.connect(path)
    raw.executescript(sql)
    raw.close()


def shape(path: Path) -> dict[str, list[tuple[object, ...]]]:
    """Columns, foreign keys and indexes of every table."""
    raw = sqlite3.connect(path)
    tables = raw.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
    found = {
        f"{table} {what}": sorted(raw.execute(f"PRAGMA {what}({table})").fetchall())
        for (table,) in tables
        for what in ("table_info", "foreign_key_list", "index_list")
    }
    raw.close()
    return found


def test_a_new_database_has_the_tables_of_the_mapped_classes(tmp_path: Path) -> None:
    path = tmp_path / "flights.db"
    open_store(path).close()
    engine = create_engine(f"sqlite:///{path}")
    with engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, Base.metadata) == []
    engine.dispose()


def test_released_revisions_never_change(tmp_path: Path) -> None:
    build(tmp_path / "old.db", NEWEST)
    open_store(tmp_path / "new.db").close()
    assert shape(tmp_path / "new.db") == shape(tmp_path / "old.db")


def test_the_known_revisions_are_the_migrations_that_are_there() -> None:
    script = ScriptDirectory.from_config(migrate.config())
    there = [each.revision for each in script.walk_revisions()]
    assert tuple(reversed(there)) == opening.REVISIONS


def assert_old_data_is_there(path: Path) -> None:
    with open_store(path) as store, store.reading() as session:
        flight = find_flight(session, 7)
        assert flight.flown_utc == datetime(2026, 1, 2, 3, 4, 5, tzinfo=UTC)
        assert (flight.title, flight.recording_name) == ("an old flight", "old.gpx")
        (finding,) = findings_of(session, 7)
        assert (finding.value, finding.sigma, finding.limit.high) == (55.5, 2.5, 100.0)
        assert pledge_of(session, 7) == b"{}"
        assert recording_of(session, 7) == b"old track"
        assert [each.value for each in measures(session, "task.height_ft", limit=5)] == [55.5]


def test_a_database_of_revision_0001_opens_with_its_data(tmp_path: Path) -> None:
    build(tmp_path / "old.db", OLD)
    assert_old_data_is_there(tmp_path / "old.db")


def test_a_flight_of_revision_0001_has_no_movements(tmp_path: Path) -> None:
    build(tmp_path / "old.db", OLD)
    with open_store(tmp_path / "old.db") as store, store.reading() as session:
        flight = find_flight(session, 7)
    assert (flight.movements, flight.category_class, flight.movement_count) == ((), None, 2)


def test_a_database_of_revision_0002_opens_with_its_movements(tmp_path: Path) -> None:
    build(tmp_path / "old.db", OLD_0002)
    assert_old_data_is_there(tmp_path / "old.db")
    with open_store(tmp_path / "old.db") as store, store.reading() as session:
        flight = find_flight(session, 7)
    (movement,) = flight.movements
    assert movement.at_utc == datetime(2026, 1, 2, 4, tzinfo=UTC)
    assert (movement.kind, flight.tailwheel, flight.type_name) == ("landing", True, "Q-2")


def test_a_flight_of_revision_0002_has_no_conditions(tmp_path: Path) -> None:
    build(tmp_path / "old.db", OLD_0002)
    with open_store(tmp_path / "old.db") as store, store.reading() as session:
        (flight,) = flights_with_conditions(session)
        assert (flight.flight_id, flight.conditions, flight.since_last_days) == (7, None, None)
        assert own_marks(session) == []


def test_a_database_of_revision_0003_opens_with_conditions_and_marks(tmp_path: Path) -> None:
    build(tmp_path / "old.db", OLD_0002 + STEP_0003 + DATA_0003)
    assert_old_data_is_there(tmp_path / "old.db")
    with open_store(tmp_path / "old.db") as store, store.reading() as session:
        assert conditions_of(session, 7) == FlightConditions(
            wind_kt=12.0,
            crosswind_kt=5.5,
            weight_lb=3100.0,
            runway_length_ft=4200.0,
            night=False,
        )
        (marked,) = own_marks(session)
    assert (marked.flight_id, marked.mark.key, marked.mark.mark) == (7, "approach", "close")


def test_a_flight_of_revision_0003_says_no_role(tmp_path: Path) -> None:
    build(tmp_path / "old.db", OLD_0002 + STEP_0003 + DATA_0003)
    with open_store(tmp_path / "old.db") as store, store.reading() as session:
        assert find_flight(session, 7).role is None


NEXT = '''
"""A next step, as any later revision would be."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"


def upgrade() -> None:
    op.add_column("flight", sa.Column("remark", sa.String(), server_default="none"))
    op.execute("UPDATE flight SET remark = 'kept: ' || title")
    {ending}
'''


@pytest.fixture
def next_revision(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of the migrations, in a folder of its own, to which a test adds a step."""
    folder = tmp_path / "migrations"
    shutil.copytree(migrate.FOLDER, folder, ignore=shutil.ignore_patterns("__pycache__"))
    monkeypatch.setattr(migrate, "FOLDER", folder)
    monkeypatch.setattr(opening, "REVISIONS", ("0001", "0002", "0003", "0004", "0005"))
    return folder / "versions" / "v0005_remark.py"


def test_an_old_database_is_brought_up_to_date_with_its_data(
    tmp_path: Path, next_revision: Path
) -> None:
    next_revision.write_text(NEXT.format(ending="pass"), encoding="utf-8")
    build(tmp_path / "old.db", OLD)
    assert_old_data_is_there(tmp_path / "old.db")
    with open_store(tmp_path / "old.db") as store, store.reading() as session:
        remarks = session.execute(text("SELECT remark FROM flight")).scalars().all()
        assert remarks == ["kept: an old flight"]
        stored = session.execute(text("SELECT version_num FROM alembic_version")).scalars().all()
        assert stored == ["0005"]


def test_a_new_database_goes_through_every_step(tmp_path: Path, next_revision: Path) -> None:
    next_revision.write_text(NEXT.format(ending="pass"), encoding="utf-8")
    with open_store(tmp_path / "new.db") as store, store.reading() as session:
        assert session.execute(text("SELECT remark FROM flight")).scalars().all() == []


def test_a_migration_that_fails_leaves_the_database_as_it_was(
    tmp_path: Path, next_revision: Path
) -> None:
    next_revision.write_text(NEXT.format(ending="raise ZeroDivisionError"), encoding="utf-8")
    path = tmp_path / "old.db"
    build(path, OLD)
    before = shape(path)
    with pytest.raises(ZeroDivisionError):
        open_store(path)
    assert shape(path) == before
    raw = sqlite3.connect(path)
    assert raw.execute("SELECT version_num FROM alembic_version").fetchall() == [("0001",)]
    raw.close()


def test_the_last_step_can_be_undone(tmp_path: Path) -> None:
    from alembic import command

    path = tmp_path / "flights.db"
    open_store(path).close()
    engine = create_engine(f"sqlite:///{path}")
    with engine.begin() as connection:
        command.downgrade(migrate.config(connection), "base")
    engine.dispose()
    assert {name for name in shape(path) if name.endswith("table_info")} == {
        "alembic_version table_info"
    }


def test_a_kill_at_any_moment_leaves_the_old_tables_or_the_new(tmp_path: Path) -> None:
    path = tmp_path / "a.db"
    shapes = []
    for name, sql in (("old", OLD), ("new", NEWEST)):
        build(tmp_path / f"{name}.db", sql)
        shapes.append(shape(tmp_path / f"{name}.db"))
    chance = random.Random("migrate")
    for _ in range(KILL_COUNT):
        build(path, OLD)
        killed_after("migrate", tmp_path, chance.uniform(0.0, MIGRATION_S))
        assert check_store(path).problems == ()
        assert shape(path) in shapes
        assert_old_data_is_there(path)
        for one in tmp_path.glob("a.db*"):
            one.unlink()

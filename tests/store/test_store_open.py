"""Opening: what is refused and why, who may write, what a reader sees."""

import os
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError, OperationalError

from lubberline.errors import BadFile
from lubberline.store import open_store


def pragma(path: Path, name: str) -> object:
    with open_store(path) as store, store.reading() as session:
        return session.execute(text(f"PRAGMA {name}")).scalar()


@pytest.mark.parametrize(
    ("name", "value"), [("foreign_keys", 1), ("journal_mode", "wal"), ("busy_timeout", 5000)]
)
def test_the_database_is_set_up_for_several_processes(
    tmp_path: Path, name: str, value: object
) -> None:
    assert pragma(tmp_path / "flights.db", name) == value


def test_a_strange_path_is_taken_literally(tmp_path: Path) -> None:
    path = tmp_path / "100%25 of ?mode=ro & #1" / "übung %s.db"
    path.parent.mkdir()
    with open_store(path):
        pass
    assert path.read_bytes().startswith(b"SQLite format 3")


def test_a_directory_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadFile, match=r"found a directory, expected a database file; e\.g\."):
        open_store(tmp_path)


def test_a_missing_folder_is_refused_and_not_made(tmp_path: Path) -> None:
    with pytest.raises(BadFile, match="found no folder"):
        open_store(tmp_path / "no" / "flights.db")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("content", [b"<gpx></gpx>", b"x", b"SQLite format 2\0" * 50])
def test_a_file_that_is_no_database_is_refused_and_kept(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "flights.db"
    path.write_bytes(content)
    with pytest.raises(BadFile, match="found a file that is not a database"):
        open_store(path)
    assert path.read_bytes() == content


def test_an_empty_file_becomes_a_database(tmp_path: Path) -> None:
    path = tmp_path / "flights.db"
    path.touch()
    with open_store(path) as store, store.reading() as session:
        assert session.execute(text("SELECT count(*) FROM flight")).scalar() == 0


def test_a_database_of_another_program_is_refused_and_kept(tmp_path: Path) -> None:
    path = tmp_path / "other.db"
    with sqlite3.connect(path) as other:
        other.execute("CREATE TABLE songs (id INTEGER)")
    other.close()
    before = path.read_bytes()
    with pytest.raises(BadFile, match=r"found tables of another program \(songs\)"):
        open_store(path)
    assert path.read_bytes() == before


def test_a_database_of_a_newer_program_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "flights.db"
    open_store(path).close()
    with sqlite3.connect(path) as raw:
        raw.execute("UPDATE alembic_version SET version_num = '0999'")
    raw.close()
    with pytest.raises(BadFile, match=r"found revision 0999, expected at most 0004; e\.g\. open"):
        open_store(path)


def test_a_damaged_database_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "flights.db"
    open_store(path).close()
    content = bytearray(path.read_bytes())
    content[4096:] = b"\xff" * (len(content) - 4096)
    path.write_bytes(content)
    with pytest.raises(BadFile, match="found damage, expected an intact database"):
        open_store(path)


@contextmanager
def ordinary_user() -> Iterator[None]:
    """Without the rights of the superuser, to whom no folder is read-only."""
    superuser = os.geteuid() == 0
    if superuser:
        os.seteuid(65_534)
    try:
        yield
    finally:
        if superuser:
            os.seteuid(0)


@pytest.mark.parametrize("is_there", [True, False])
def test_a_read_only_folder_is_refused(is_there: bool) -> None:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "flights.db"
        if is_there:
            open_store(path).close()
        os.chmod(folder, 0o555)
        try:
            with ordinary_user(), pytest.raises(BadFile, match="may not be written to"):
                open_store(path)
        finally:
            os.chmod(folder, 0o755)


def test_a_folder_that_may_not_be_entered_is_refused() -> None:
    with TemporaryDirectory() as folder:
        os.chmod(folder, 0o000)
        try:
            with ordinary_user(), pytest.raises(BadFile, match="1 problem"):
                open_store(Path(folder) / "inner" / "flights.db")
        finally:
            os.chmod(folder, 0o755)


def test_a_locked_new_database_is_refused_after_the_wait(tmp_path: Path) -> None:
    path = tmp_path / "flights.db"
    holder = sqlite3.connect(path, isolation_level=None)
    holder.execute("BEGIN EXCLUSIVE")
    try:
        with pytest.raises(BadFile, match=r"a lock held by another program.*close the other"):
            open_store(path, busy_s=0.05)
    finally:
        holder.close()
    open_store(path, busy_s=0.05).close()


def test_one_writer_at_a_time(tmp_path: Path) -> None:
    path = tmp_path / "flights.db"
    with open_store(path) as one, open_store(path, busy_s=0.05) as two:
        with one.writing():
            with pytest.raises(BadFile, match="a lock held by another program"), two.writing():
                pytest.fail("two writers")
            with two.reading() as session:  # readers do not wait
                assert session.execute(text("SELECT count(*) FROM flight")).scalar() == 0
        with two.writing():
            pass


PLEDGE = text("INSERT INTO pledge (sha256, canonical) VALUES ('a', x'00')")
COUNT = text("SELECT count(*) FROM pledge")


def test_a_reader_sees_one_state_throughout(tmp_path: Path) -> None:
    with open_store(tmp_path / "flights.db") as store:
        with store.reading() as reader:
            assert reader.execute(COUNT).scalar() == 0
            with store.writing() as writer:
                writer.execute(PLEDGE)
            assert reader.execute(COUNT).scalar() == 0
        with store.reading() as reader:
            assert reader.execute(COUNT).scalar() == 1


def test_a_writing_session_that_fails_keeps_nothing(tmp_path: Path) -> None:
    with open_store(tmp_path / "flights.db") as store:
        with pytest.raises(IntegrityError), store.writing() as session:
            session.execute(text(f"{PLEDGE}, ('a', x'00')"))
        with suppress(ZeroDivisionError), store.writing() as session:
            session.execute(PLEDGE)
            raise ZeroDivisionError
        with store.reading() as session:
            assert session.execute(COUNT).scalar() == 0


def test_a_reading_session_cannot_write(tmp_path: Path) -> None:
    with open_store(tmp_path / "flights.db") as store:
        with pytest.raises(BadFile, match="may not be written to"), store.reading() as session:
            session.execute(PLEDGE)
        with store.writing() as session:  # the same connection, from the pool
            session.execute(PLEDGE)


def test_a_full_disk_keeps_nothing(tmp_path: Path) -> None:
    big = text(f"{PLEDGE}, ('b', zeroblob(900000))")
    with open_store(tmp_path / "flights.db") as store:
        with store.writing() as session:
            session.execute(text("PRAGMA max_page_count = 30"))
        with pytest.raises(BadFile, match="a full disk"), store.writing() as session:
            session.execute(big)
        with store.reading() as session:
            assert session.execute(COUNT).scalar() == 0


def test_a_mistake_in_our_own_sql_keeps_its_traceback(tmp_path: Path) -> None:
    with (
        open_store(tmp_path / "flights.db") as store,
        pytest.raises(OperationalError, match="no such table"),
        store.reading() as session,
    ):
        session.execute(text("SELECT * FROM nonsense"))


def test_a_finding_needs_its_flight(tmp_path: Path) -> None:
    orphan = text(
        "INSERT INTO flight (flown_utc, title, departure_id, destination_id, aircraft, pilot,"
        " movement_count, recording_sha256) VALUES ('2026-01-01', '', '', '', '', '', 0, 'none')"
    )
    with (
        open_store(tmp_path / "flights.db") as store,
        pytest.raises(IntegrityError, match="FOREIGN KEY"),
        store.writing() as session,
    ):
        session.execute(orphan)


def test_only_a_migration_loads_the_migration_library(tmp_path: Path) -> None:
    path = tmp_path / "flights.db"
    open_store(path).close()
    script = (
        "import sys; from pathlib import Path; from lubberline.store import open_store;"
        "open_store(Path(sys.argv[1])).close(); print('alembic' in sys.modules);"
        "open_store(Path(sys.argv[2])).close(); print('alembic' in sys.modules)"
    )
    run = subprocess.run(
        [sys.executable, "-c", script, path, tmp_path / "new.db"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert run.stdout.split() == ["False", "True"]
    assert run.stderr == ""

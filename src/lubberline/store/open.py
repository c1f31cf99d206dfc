"""Opening the database: one file, several processes, one writer at a time.

SQLite with a write-ahead log, so that readers never wait for the writer. A writing session
takes the write lock when it begins, so that what it has read cannot change before it writes; a
reading session cannot write. The stored revision is read first, and the migrations run only
where it is behind, inside the same lock and one transaction: a program that is killed leaves
the database as it was.
"""

import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import Any, Final, Self

from sqlalchemy import URL, Connection, Engine, create_engine, event
from sqlalchemy.engine.interfaces import DBAPICursor
from sqlalchemy.orm import Session

from lubberline.store.refusal import bad_database, check_place, refused

REVISIONS: Final = (
    "0001",
    "0002",
    "0003",
    "0004",
)  # oldest first; a test holds it to the migrations that are there
BUSY_S: Final = 5.0  # own: adding a flight takes a tenth of a second, so five mean a stuck program

_ASK_AGAIN_S: Final = 0.01
_BEGIN: Final = "lubberline_begin"


class Store:
    """An open database. Close it, or use it in a ``with`` statement."""

    def __init__(self, path: Path, engine: Engine) -> None:
        self.path = path
        self._engine = engine

    def __enter__(self) -> Self:
        """The store itself."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        traceback: TracebackType | None,
    ) -> None:
        """Close it."""
        self.close()

    def close(self) -> None:
        """Let go of the file."""
        self._engine.dispose()

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """A session that sees one state of the database throughout and cannot write."""
        with refused(self.path), Session(self._engine) as session:
            yield session

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """A session that alone may write: all of it is kept at the end, or nothing.

        Raises
        ------
        BadFile
            If another program holds the write lock too long, or the disk is full or read-only.
        """
        with (
            refused(self.path),
            Session(_writer(self._engine), expire_on_commit=False) as session,
            session.begin(),
        ):
            session.connection()
            yield session


def open_store(path: Path, *, busy_s: float = BUSY_S) -> Store:
    """The database at a path, made if there is none and brought up to date if it is behind.

    Parameters
    ----------
    path : Path
        The database file, in a folder that exists and may be written to.
    busy_s : float
        How long to wait for another program's write to end [s].

    Raises
    ------
    BadFile
        If the path is a directory or its folder is missing or read-only; if the file is not a
        database, or one of another program, or of a newer version of this one; if another
        program holds it locked; if it is damaged.
    """
    check_place(path)
    engine = _engine(path, busy_s)
    try:
        with refused(path):
            _bring_up_to_date(path, engine, busy_s)
    except BaseException:
        engine.dispose()
        raise
    return Store(path, engine)


def _engine(path: Path, busy_s: float) -> Engine:
    url = URL.create("sqlite+pysqlite", database=str(path))
    engine = create_engine(url, connect_args={"timeout": busy_s})
    event.listen(engine, "connect", _on_connect)
    event.listen(engine, "begin", _on_begin)
    return engine


def _writer(engine: Engine) -> Engine:
    """The same pool of connections, whose transactions take the write lock at once."""
    return engine.execution_options(**{_BEGIN: "IMMEDIATE"})


def _on_connect(connection: sqlite3.Connection, _record: Any) -> None:
    connection.isolation_level = None  # the driver begins nothing by itself; see _on_begin
    connection.execute("PRAGMA foreign_keys = ON")


def _on_begin(connection: Connection) -> None:
    kind = connection.get_execution_options().get(_BEGIN)
    connection.exec_driver_sql(f"PRAGMA query_only = {'OFF' if kind else 'ON'}")
    connection.exec_driver_sql(f"BEGIN {kind or 'DEFERRED'}")


def _bring_up_to_date(path: Path, engine: Engine, busy_s: float) -> None:
    with engine.connect() as connection:
        revision = _revision(path, connection)  # before anything is changed: is it ours at all?
    _use_write_ahead_log(engine, busy_s)
    if revision == REVISIONS[-1]:
        return
    with _writer(engine).begin() as connection:
        # Another process may have been faster; the lock makes this answer final.
        if _revision(path, connection) != REVISIONS[-1]:
            from lubberline.store.migrate import upgrade

            upgrade(connection)


def _use_write_ahead_log(engine: Engine, busy_s: float) -> None:
    """A property of the file, so this changes something once in its life.

    Two processes that do it at once would wait for each other; SQLite refuses one of them
    without its usual wait, so that one asks again.
    """
    raw = engine.raw_connection()
    cursor = raw.cursor()
    give_up_s = time.monotonic() + busy_s
    try:
        cursor.execute("PRAGMA query_only = OFF")
        while not _switched(cursor, last_try=time.monotonic() > give_up_s):
            time.sleep(_ASK_AGAIN_S)
    finally:
        cursor.close()
        raw.close()


def _switched(cursor: DBAPICursor, *, last_try: bool) -> bool:
    try:
        cursor.execute("PRAGMA journal_mode = WAL")
    except sqlite3.OperationalError as exc:
        if last_try or not exc.sqlite_errorname.startswith("SQLITE_BUSY"):
            raise
        return False
    return True


def _revision(path: Path, connection: Connection) -> str | None:
    """The stored revision; None for a new database."""
    names = connection.exec_driver_sql("SELECT name FROM sqlite_master WHERE type = 'table'")
    tables = set(names.scalars())
    if not tables:
        return None
    if not {"alembic_version", "flight"} <= tables:
        shown = ", ".join(sorted(tables)[:3])
        raise bad_database(path, f"tables of another program ({shown})", "our own database")
    stored = connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalar()
    if stored not in REVISIONS:
        raise bad_database(
            path,
            f"revision {stored}",
            f"at most {REVISIONS[-1]}",
            "open it with the newer version of the program that wrote it",
        )
    return str(stored)

"""Is a database whole, and a copy of it that is.

A copy is put in its place only when it has been found whole; others may use the database
meanwhile. Putting a copy back keeps what was there under another name, damaged as it may be.
"""

import hashlib
import os
import sqlite3
import tempfile
import zlib
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from lubberline.errors import BadFile
from lubberline.store.open import BUSY_S, open_store
from lubberline.store.refusal import DAMAGED, WHOLE, bad_database, check_place, refused


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """What a database holds, and everything in it that is not as it was put there."""

    flight_count: int
    finding_count: int
    recording_bytes_count: int
    problems: tuple[str, ...]


def check_store(path: Path) -> Checked:
    """Read every page, every reference and every recording of a database; change nothing.

    Raises
    ------
    BadFile
        If the file is not there, or not a database of ours.
    """
    _must_be_there(path)
    with refused(path), closing(_reader(path)) as connection:
        return _checked(path, connection)


def backup_store(path: Path, copy: Path) -> Checked:
    """Write a whole copy of a database to a new file; others may read and write meanwhile.

    Raises
    ------
    BadFile
        If there is no database, if ``copy`` exists already, or if the copy is not whole.
    """
    _must_be_there(path)
    if copy.exists():
        raise bad_database(copy, "a file", "a name that is free; nothing was written")
    check_place(copy)
    with _new_beside(copy) as fresh:
        _copy(path, Path(fresh), blamed=path)
        with refused(path), closing(sqlite3.connect(fresh)) as settled:
            settled.execute("PRAGMA journal_mode = DELETE")  # one file, and nothing beside it
        checked = _whole(fresh, of=path)
        os.link(fresh, copy)  # fails where the name was taken meanwhile; replaces nothing
    return checked


def restore_store(copy: Path, path: Path, *, now_utc: datetime | None = None) -> Path | None:
    """Put a copy in the place of a database; give back where that went, None if none was there.

    Programs that have the database open see the restored one from their next transaction on; a
    damaged one is put aside as it is, and they must open the restored one anew.

    Raises
    ------
    BadFile
        If the copy is not whole or not ours, or if another program is writing. Nothing is
        changed.
    """
    _must_be_there(copy)
    check_place(path)
    with _new_beside(path) as fresh:
        _copy(copy, Path(fresh), blamed=copy)
        _whole(fresh, of=copy)
        open_store(Path(fresh)).close()  # ours, and brought up to date
        aside = None
        if path.exists():
            stamp = f"{now_utc or datetime.now(UTC):%Y%m%dT%H%M%SZ}"
            aside = path.with_name(f"{path.name}.before-{stamp}")
            if not _saved(path, aside):
                _put_aside(path, aside)
                os.chmod(fresh, path.stat().st_mode)
                os.replace(fresh, path)
                return aside
        _copy(Path(fresh), path, blamed=path)
    return aside


def _saved(path: Path, aside: Path) -> bool:
    """Whether a whole copy could be put aside; False if the database is damaged."""
    try:
        backup_store(path, aside)
    except BadFile as exc:
        if all(one.expected not in DAMAGED for one in exc.problems):
            raise
        return False
    return True


def _put_aside(path: Path, aside: Path) -> None:
    """Keep a damaged database as it is under another name, with the log that belongs to it."""
    os.link(path, aside)
    for suffix in ("-wal", "-shm"):
        if Path(f"{path}{suffix}").exists():  # left there, it would be read into the restored one
            os.replace(f"{path}{suffix}", f"{aside}{suffix}")


def _must_be_there(path: Path) -> None:
    check_place(path)
    if not path.exists():
        raise bad_database(path, "nothing", "a database of flights", "lubberline flown makes one")


def _reader(path: Path) -> sqlite3.Connection:
    return sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)


@contextmanager
def _new_beside(path: Path) -> Iterator[str]:
    """A new file in the same folder, gone in the end if it is still there."""
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    os.close(handle)
    try:
        yield name
    finally:
        for suffix in ("", "-wal", "-shm", "-journal"):
            Path(f"{name}{suffix}").unlink(missing_ok=True)


def _copy(source_path: Path, target_path: Path, *, blamed: Path) -> None:
    """All pages in one transaction: a program that is killed leaves the target as it was."""
    with (
        refused(blamed),
        closing(_reader(source_path)) as source,
        closing(sqlite3.connect(target_path, timeout=BUSY_S)) as target,
    ):
        source.backup(target)


def _whole(name: str, *, of: Path) -> Checked:
    """Every part of a copy, read; what is wrong with it is wrong with what it is a copy of."""
    with refused(of), closing(_reader(Path(name))) as connection:
        checked = _checked(of, connection)
    if checked.problems:
        raise bad_database(of, "; ".join(checked.problems[:3]), WHOLE)
    return checked


def _checked(path: Path, connection: sqlite3.Connection) -> Checked:
    names = connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
    tables = {name for (name,) in names}
    if not {"alembic_version", "flight"} <= tables:
        raise bad_database(path, "no tables of ours", "a database of flights")
    problems = [
        f"page or index: {line}"
        for (line,) in connection.execute("PRAGMA integrity_check")
        if line != "ok"
    ]
    problems += [
        f"{table}, row {row}: refers to {parent} that is not there"
        for table, row, parent, _ in connection.execute("PRAGMA foreign_key_check")
    ]
    problems += _altered(connection, "recording", "packed", zlib.decompress)
    problems += _altered(connection, "pledge", "canonical", bytes)
    if "content" in tables:  # a database of an earlier revision has none
        problems += _altered(connection, "content", "packed", zlib.decompress)
    count = "SELECT count(*) FROM "
    return Checked(
        flight_count=_number(connection, f"{count}flight"),
        finding_count=_number(connection, f"{count}finding"),
        recording_bytes_count=_number(
            connection, "SELECT coalesce(sum(length(packed)), 0) FROM recording"
        ),
        problems=tuple(problems),
    )


def _altered(
    connection: sqlite3.Connection, table: str, column: str, unpack: Callable[[bytes], bytes]
) -> Iterator[str]:
    """Every row whose content no longer has the hash it is kept under."""
    for sha256, content in connection.execute(f"SELECT sha256, {column} FROM {table}"):
        try:
            found = hashlib.sha256(unpack(content)).hexdigest()
        except zlib.error:
            found = ""
        if found != sha256:
            yield f"{table} {sha256[:12]}: its content is not what was put there"


def _number(connection: sqlite3.Connection, query: str) -> int:
    return int(connection.execute(query).fetchone()[0])

"""Why a database cannot be used, in words a pilot can act on.

Only what the outside world does to a database is refused here: locks, full disks, damage,
other files. A mistake of our own in SQL keeps its traceback.
"""

import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from sqlalchemy.exc import DBAPIError

from lubberline.errors import BadFile, Problem

MAGIC: Final = b"SQLite format 3\0"  # SQLite file format, section 1.3

# By the start of SQLite's own name for the failure: found, expected, way out.
_FAILURES: Final[dict[str, tuple[str, str, str]]] = {
    "SQLITE_BUSY": (
        "a lock held by another program",
        "nobody else writing",
        "close the other program, then try again",
    ),
    "SQLITE_FULL": ("a full disk", "free space", "make room, then try again"),
    "SQLITE_READONLY": (
        "a file or folder that may not be written to",
        "the right to read and write",
        "copy the database to a folder of your own",
    ),
    "SQLITE_CANTOPEN": (
        "a file or folder that may not be written to",
        "the right to read and write",
        "copy the database to a folder of your own",
    ),
    "SQLITE_NOTADB": ("a file that is not a database", "an SQLite database", ""),
    "SQLITE_CORRUPT": ("damage", "an intact database", "restore it from a copy"),
    "SQLITE_IOERR": ("a failing disk or network folder", "a local disk", ""),
}


WHOLE: Final = "a whole database"  # what a copy must be, every hash of it read
DAMAGED: Final = (
    WHOLE,
    *(_FAILURES[name][1] for name in ("SQLITE_NOTADB", "SQLITE_CORRUPT")),
)  # what is expected where the file itself is bad, not a lock or a full disk


def bad_database(path: Path, found: str, expected: str, example: str = "") -> BadFile:
    """The refusal with one problem."""
    problem = Problem(key="database", found=found, expected=expected, example=example)
    return BadFile(path, [problem])


def check_place(path: Path) -> None:
    """Refuse what can be told from the outside, before anything is made or changed."""
    # os.path, because a folder that may not be entered makes Path methods raise.
    if os.path.isdir(path):
        raise bad_database(path, "a directory", "a database file", f"{path / 'flights.db'}")
    if not os.path.isdir(path.parent):
        raise bad_database(path, f"no folder {path.parent}", "a folder that can be read")
    if os.path.exists(path) and _head(path) not in (MAGIC, b""):
        raise bad_database(path, *_FAILURES["SQLITE_NOTADB"])


@contextmanager
def refused(path: Path) -> Iterator[None]:
    """Turn what the world does to a database into a refusal; let everything else pass."""
    try:
        yield
    except (DBAPIError, sqlite3.Error) as exc:
        original = exc.orig if isinstance(exc, DBAPIError) else exc
        name = getattr(original, "sqlite_errorname", "")
        for start, words in _FAILURES.items():
            if name.startswith(start):
                raise bad_database(path, *words) from exc
        raise


def _head(path: Path) -> bytes:
    """The first bytes of the file, as many as the format's mark has."""
    try:
        with path.open("rb") as file:
            return file.read(len(MAGIC))
    except OSError as exc:
        raise bad_database(path, *_FAILURES["SQLITE_CANTOPEN"]) from exc

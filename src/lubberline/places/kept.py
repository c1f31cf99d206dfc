"""The published files that a pilot has added, and their indexes, in the user's data folder.

Beside each index lies a record of what it was made from: where the file is, its size, its time
and the hash of its content. Whatever no longer fits together is made again from the file; if
that is gone, too, it is told and not guessed.
"""

import hashlib
import os
import re
import sys
import tempfile
from collections.abc import Callable, Collection, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Final

from pydantic import TypeAdapter, ValidationError

from lubberline.errors import BadFile, Problem
from lubberline.places.dataset import DataSet
from lubberline.places.index import Index, open_index, write_index

ALL: Final = "all"
BLOCK_BYTES: Final = 1 << 20
STALE_S: Final = 86_400.0  # own: no writing takes a day

Progress = Callable[[int, int | None], object]
Read = Callable[[Path, Progress | None], DataSet]


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """One added file: the name it is called by, its state when it was read, how much it counts.

    Of two sources the one with the higher ``priority`` is used, of equal ones the one that is
    valid and newer.
    """

    name: str
    path: Path
    form: str
    size_bytes: int
    mtime_ns: int
    sha256: str
    added_utc: datetime
    priority: int = 0


_RECORD: Final = TypeAdapter(Kept)


def data_folder() -> Path:
    """Where this user's data lie: ``LUBBERLINE_DATA``, or what the system provides for it."""
    named = os.environ.get("LUBBERLINE_DATA")
    if named:
        return Path(named)
    home = Path.home()
    shared = {
        "darwin": home / "Library" / "Application Support",
        "win32": Path(os.environ.get("LOCALAPPDATA", home / "AppData" / "Local")),
    }
    other = Path(os.environ.get("XDG_DATA_HOME") or home / ".local" / "share")
    return shared.get(sys.platform, other) / "lubberline"


class KeptData:
    """The added files of one data folder; ``read`` makes a data set of a file."""

    def __init__(self, folder: Path, read: Read) -> None:
        self.folder = folder / "places"
        self._read = read

    def listed(self) -> tuple[Kept, ...]:
        """All records, the highest priority first, then by name."""
        records = [self._record(path) for path in sorted(self.folder.glob("*.json"))]
        return tuple(sorted(records, key=lambda one: -one.priority))

    def named(self, names: Collection[str]) -> tuple[Kept, ...]:
        """The records with these names; ``all`` is every one.

        Raises
        ------
        BadFile
            If there is none of a name.
        """
        every = self.listed()
        unknown = sorted(set(names) - {one.name for one in every} - {ALL})
        if unknown:
            expected = ", ".join([ALL, *(one.name for one in every)])
            example = "lubberline places add FILE"
            problems = [
                Problem(key="data set", found=repr(name), expected=expected, example=example)
                for name in unknown
            ]
            raise BadFile(self.folder, problems)
        return tuple(one for one in every if ALL in names or one.name in names)

    def add(
        self,
        path: Path,
        *,
        now_utc: datetime,
        priority: int = 0,
        progress: Progress | None = None,
        name: str = "",
    ) -> Kept:
        """Read a file and keep its index; a file that is there already is read anew.

        A ``name`` that is given is that of the data set, whatever file it was of before.
        """
        path = path.resolve()
        if not path.exists():
            problem = Problem(key="file", found="nothing", expected="a file of published data")
            raise BadFile(path, [problem])
        with _told(path):
            self._sweep(now_utc)
            size_bytes, mtime_ns = _state(path)
            sha256 = _sha256(path)
        kept = Kept(
            name=name or self._name_for(path),
            path=path,
            form="",
            size_bytes=size_bytes,
            mtime_ns=mtime_ns,
            sha256=sha256,
            added_utc=now_utc,
            priority=priority,
        )
        return self._build(kept, progress)

    def remove(self, name: str) -> None:
        """Forget a file; the file itself stays."""
        for kept in self.named([name]):
            self._index_path(kept).unlink(missing_ok=True)
            self.record_path(kept.name).unlink()

    def open(self, kept: Kept, progress: Progress | None = None) -> Index:
        """The index of an added file, made again where it no longer fits.

        Raises
        ------
        BadFile
            If neither a whole index nor the file is there, or the file cannot be read any more.
        """
        now = self._changed(kept)
        if now.sha256 == kept.sha256:
            try:
                index = open_index(self._index_path(kept))
            except BadFile:
                index = None
            if index is not None and index.built_from == kept.sha256:
                return index
        if not kept.path.exists():
            expected = "the file it was added from, or a whole index"
            example = f"lubberline places remove {kept.name}"
            raise BadFile(
                kept.path,
                [Problem(key=kept.name, found="neither", expected=expected, example=example)],
            )
        return open_index(self._index_path(self._build(now, progress)))

    def _changed(self, kept: Kept) -> Kept:
        """The record with the file's present state; the same where it is gone or untouched."""
        if not kept.path.exists() or _state(kept.path) == (kept.size_bytes, kept.mtime_ns):
            return kept
        with _told(kept.path):
            size_bytes, mtime_ns = _state(kept.path)
            sha256 = _sha256(kept.path)
            now = replace(kept, size_bytes=size_bytes, mtime_ns=mtime_ns, sha256=sha256)
            if now.sha256 == kept.sha256:
                self._write_record(now)
        return now

    def _build(self, kept: Kept, progress: Progress | None) -> Kept:
        data = self._read(kept.path, progress)
        kept = replace(kept, form=data.source.form)
        with _told(self.folder):
            write_index(self._index_path(kept), data, built_from=kept.sha256)
            self._write_record(kept)
        return kept

    def _sweep(self, now_utc: datetime) -> None:
        """Remove what a killed process left behind, unless another may be at it still."""
        for path in self.folder.glob(".*"):
            if now_utc.timestamp() - path.stat().st_mtime > STALE_S:
                path.unlink(missing_ok=True)

    def _name_for(self, path: Path) -> str:
        """The name the file has already, or one of its own that no other has."""
        every = {one.name: one.path for one in self.listed()}
        there = next((name for name, known in every.items() if known == path), None)
        plain = re.sub(r"[^a-z0-9]+", "-", path.stem.lower()).strip("-") or "data"
        names = (plain if n == 1 else f"{plain}-{n}" for n in range(1, len(every) + 2))
        return there or next(name for name in names if name not in {*every, ALL})

    def _index_path(self, kept: Kept) -> Path:
        return self.folder / f"{kept.name}.index"

    def record_path(self, name: str) -> Path:
        """Where the record of that name lies."""
        return self.folder / f"{name}.json"

    def _record(self, path: Path) -> Kept:
        try:
            return _RECORD.validate_json(path.read_bytes())
        except (ValidationError, OSError) as exc:
            example = "lubberline places add FILE, after removing this file"
            problem = Problem(
                key="record", found="what is no record", expected="one", example=example
            )
            raise BadFile(path, [problem]) from exc

    def _write_record(self, kept: Kept) -> None:
        """Whole or not at all."""
        handle, beside = tempfile.mkstemp(dir=self.folder, prefix=f".{kept.name}.")
        with os.fdopen(handle, "wb") as file:
            file.write(_RECORD.dump_json(kept, indent=1))
        Path(beside).replace(self.record_path(kept.name))


@contextmanager
def _told(path: Path) -> Iterator[None]:
    """What the system refuses, as a refusal of ours."""
    try:
        yield
    except OSError as exc:
        problem = Problem(key="file", found=f"{exc}", expected="a place to read and write")
        raise BadFile(path, [problem]) from exc


def _files(path: Path) -> list[Path]:
    """The file, all files of a folder, or all parts of a shapefile."""
    if path.is_dir():
        return sorted(one for one in path.rglob("*") if one.is_file())
    parts = path.suffix.lower() == ".shp"
    return sorted(x for x in path.parent.iterdir() if x.stem == path.stem) if parts else [path]


def _state(path: Path) -> tuple[int, int]:
    """Bytes in all, and the latest time of change."""
    stats = [one.stat() for one in _files(path)]
    return sum(one.st_size for one in stats), max((one.st_mtime_ns for one in stats), default=0)


def _sha256(path: Path) -> str:
    digest = hashlib.sha256()
    for one in _files(path):
        digest.update(one.name.encode())
        with one.open("rb") as file:
            while block := file.read(BLOCK_BYTES):
                digest.update(block)
    return digest.hexdigest()

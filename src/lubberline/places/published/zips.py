"""Published files wherever they lie: alone, in a folder, or in a zip file, itself perhaps in one.

Nothing is unpacked under a name of the archive's choosing; members are read as streams. An
archive with a name that leads out of it, a link, an encrypted member, or one that swells beyond
what published data ever do, is refused whole: it is not what an authority publishes.
"""

import io
import re
import stat
import tempfile
import zipfile
import zlib
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path, PurePosixPath
from typing import IO, Any, Final, TypeAlias

from lubberline.places.published._account import refusal

MAX_MEMBERS: Final = 50_000  # own, as all limits here: the whole subscription has some thousands
MAX_DEPTH: Final = 3  # special use airspace comes in a zip file in another in a third
MAX_BYTES: Final = 4_000_000_000  # read in all; the largest published file is a tenth of that
MAX_NESTED_BYTES: Final = 1_000_000_000  # of a zip file inside another
MAX_RATIO: Final = 200  # unpacked to packed; published text reaches some 40
SMALL_BYTES: Final = 10_000_000  # below this a ratio is no danger
BLOCK_BYTES: Final = 1 << 20
IN_MEMORY_BYTES: Final = 50_000_000

Progress: TypeAlias = Callable[[int, int | None], object]  # bytes read, bytes in all

_DAMAGE: Final = (
    *(zipfile.BadZipFile, zlib.error, EOFError, OSError),
    *(NotImplementedError, RuntimeError, ValueError),  # unknown methods, passwords, bad fields
)


@dataclass(frozen=True, slots=True)
class Member:
    """One file: its name with the folders and archives it lies in, and its size."""

    name: str
    size: int
    stream: Callable[[], IO[bytes]]

    @property
    def base(self) -> str:
        """Its own name in lower case."""
        return PurePosixPath(self.name).name.lower()


class Files:
    """The files that lie at a path, to be read one after another."""

    def __init__(self, path: Path, members: tuple[Member, ...], progress: Progress | None) -> None:
        self.path = path
        self.members = members
        self._progress = progress
        self._done = 0
        self._total: int | None = None

    def named(self, *names: str) -> dict[str, Member]:
        """The members with these names in any case, the least deep first; absent ones are not."""
        found: dict[str, Member] = {}
        for member in sorted(self.members, key=lambda one: one.name.count("/")):
            name = next((name for name in names if name.lower() == member.base), None)
            if name is not None:
                found.setdefault(name, member)
        return found

    def ending(self, *endings: str) -> list[Member]:
        """The members whose names end so, in any case, in the order of their names."""
        found = (one for one in self.members if one.base.endswith(endings))
        return sorted(found, key=lambda one: one.name)

    def expect(self, *members: Member) -> None:
        """Count from here, and tell the progress how much will be read in all."""
        self._done = 0
        self._total = sum(member.size for member in members)

    def open(self, member: Member) -> IO[bytes]:
        """The content of a member, from its beginning; damage is refused where it is met."""
        try:
            stream = member.stream()
        except _DAMAGE as exc:
            raise refusal(self.path, f"{member.name}: {exc}", "a file that can be read") from exc
        return io.BufferedReader(_Watched(self, member, stream), BLOCK_BYTES)

    def passed(self, count: int) -> None:
        """So many bytes more were read."""
        self._done += count
        if self._done > MAX_BYTES:
            raise refusal(self.path, f"over {MAX_BYTES:,} bytes", "published data")
        if self._progress is not None and self._total is not None and count:
            self._progress(self._done, self._total)


@contextmanager
def open_files(
    path: Path, *, nested: str = "", progress: Progress | None = None
) -> Iterator[Files]:
    """The files at a path; archives inside it are looked into if ``nested`` matches their name.

    A file alone stands for all of its folder that share its name but for the ending, as the
    parts of a shapefile do.

    Raises
    ------
    BadFile
        If there is nothing, or an archive that is damaged or hostile.
    """
    pattern = re.compile(nested, re.IGNORECASE) if nested else None
    with ExitStack() as stack:
        try:
            members = tuple(_Look(path, stack, pattern).members())
        except OSError as exc:
            raise refusal(path, str(exc), "a file that can be read") from exc
        yield Files(path, members, progress)


def content_sha256(files: Files) -> str:
    """Checksum of the file; of several, of all their names and contents."""
    paths = _files_at(files.path)
    digest = sha256()
    for one in paths:
        if len(paths) > 1:
            digest.update(one.relative_to(files.path.parent).as_posix().encode())
        _digest(one, digest)
    return digest.hexdigest()


def _digest(path: Path, digest: Any) -> None:
    with path.open("rb") as file:
        while block := file.read(BLOCK_BYTES):
            digest.update(block)


def _files_at(path: Path) -> list[Path]:
    """A zip file, a file with its kin, or the regular files of a folder, in order.

    Links in a folder and hidden files are passed over.
    """
    if not path.is_dir():
        kin = (one for one in path.parent.iterdir() if one.stem == path.stem and one.is_file())
        return [path] if _is_zip(path) else sorted(kin)
    found = (one for one in path.rglob("*") if not one.is_symlink() and one.is_file())
    return sorted(one for one in found if not one.name.startswith("."))


class _Look:
    """Goes through a path and the archives in it, and keeps them open."""

    def __init__(self, path: Path, stack: ExitStack, nested: re.Pattern[str] | None) -> None:
        self._path, self._stack, self._nested = path, stack, nested

    def members(self) -> Iterator[Member]:
        path = self._path
        if not path.is_dir() and not path.is_file():
            raise refusal(path, "nothing", "a file, a folder or a zip file")
        inside = path.is_dir()
        for one in _files_at(path):
            name = one.relative_to(path if inside else path.parent).as_posix()
            yield from self._file(one, name, inside=inside)

    def _file(self, path: Path, name: str, *, inside: bool) -> Iterator[Member]:
        if _is_zip(path):
            if not inside or self._wanted(name):
                yield from self._archive(self._stack.enter_context(path.open("rb")), name, depth=1)
        else:
            yield Member(name, path.stat().st_size, lambda: path.open("rb"))

    def _archive(self, file: IO[bytes], name: str, *, depth: int) -> Iterator[Member]:
        try:
            archive = self._stack.enter_context(zipfile.ZipFile(file))
        except _DAMAGE as exc:
            raise self._refused(name, f"no whole zip file ({exc})") from exc
        infos = [info for info in archive.infolist() if not info.filename.endswith("/")]
        if len(infos) > MAX_MEMBERS:
            raise self._refused(name, f"{len(infos):,} files, over {MAX_MEMBERS:,}")
        if len({info.filename for info in infos}) < len(infos):
            raise self._refused(name, "two files of one name")
        for info in infos:
            if not PurePosixPath(info.filename).name.startswith("."):
                yield from self._member(archive, info, name, depth)

    def _member(
        self, archive: zipfile.ZipFile, info: zipfile.ZipInfo, outer: str, depth: int
    ) -> Iterator[Member]:
        name = f"{outer}/{info.filename}" if outer != self._path.name else info.filename
        fault = _fault(info)
        if fault:
            raise self._refused(name, fault)
        member = Member(name, info.file_size, lambda: archive.open(info))
        if not info.filename.lower().endswith(".zip"):
            yield member
        elif self._wanted(name):
            if depth >= MAX_DEPTH:
                raise self._refused(name, f"archives more than {MAX_DEPTH} deep")
            yield from self._archive(self._spooled(member), name, depth=depth + 1)

    def _spooled(self, member: Member) -> IO[bytes]:
        """An archive inside another, where it can be read in any order."""
        if member.size > MAX_NESTED_BYTES:
            raise self._refused(member.name, f"{member.size:,} bytes in an archive")
        spool = tempfile.SpooledTemporaryFile(IN_MEMORY_BYTES)  # noqa: SIM115 - kept by the stack
        self._stack.enter_context(spool)
        try:
            with member.stream() as stream:
                while block := stream.read(BLOCK_BYTES):
                    spool.write(block)
        except _DAMAGE as exc:
            raise self._refused(member.name, f"damage ({exc})") from exc
        return spool

    def _wanted(self, name: str) -> bool:
        return self._nested is not None and self._nested.search(name) is not None

    def _refused(self, name: str, found: str) -> Exception:
        return refusal(self._path, f"{name}: {found}", "an archive as the authority publishes it")


def _is_zip(path: Path) -> bool:
    """By its first bytes, or by its name if it is damaged there."""
    with path.open("rb") as file:
        return file.read(4) in (b"PK\3\4", b"PK\5\6") or path.suffix.lower() == ".zip"


def _fault(info: zipfile.ZipInfo) -> str:
    """Why a member may not be read; "" if it may."""
    name = info.filename
    if not name:
        return "a file without name"
    if "\\" in info.orig_filename or name.startswith("/") or name[1:2] == ":":
        return "an absolute or foreign name"
    if ".." in PurePosixPath(name).parts or any(ord(letter) < 32 for letter in info.orig_filename):
        return "a name that leads out of the archive"
    if stat.S_ISLNK(info.external_attr >> 16):
        return "a link"
    if info.flag_bits & 0x1:
        return "an encrypted file"
    swells = info.file_size > MAX_RATIO * max(info.compress_size, 1)
    if info.file_size > MAX_BYTES or (swells and info.file_size > SMALL_BYTES):
        return f"{info.compress_size:,} bytes that swell to {info.file_size:,}"
    return ""


class _Watched(io.RawIOBase):
    """A stream that counts what is read and turns damage into one refusal."""

    def __init__(self, files: Files, member: Member, stream: IO[bytes]) -> None:
        self._files, self._member, self._stream = files, member, stream

    def readable(self) -> bool:
        return True

    def readinto(self, buffer: Any) -> int:
        try:
            data = self._stream.read(len(buffer))
        except _DAMAGE as exc:
            found = f"{self._member.name}: damage ({exc})"
            raise refusal(self._files.path, found, "a file that can be read whole") from exc
        buffer[: len(data)] = data
        self._files.passed(len(data))
        return len(data)

    def close(self) -> None:
        self._stream.close()
        super().close()

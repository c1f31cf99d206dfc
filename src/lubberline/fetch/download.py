"""Large files: resumed where they broke off, put in their place only when they are whole."""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from lubberline.fetch.client import Client, refusal, why
from lubberline.fetch.model import Downloaded, NoAnswer

if TYPE_CHECKING:
    import httpx2

Progress = Callable[[int, int | None], object]


def download(
    client: Client,
    url: str,
    path: Path,
    *,
    sha256: str | None = None,
    check: Callable[[Path], object] | None = None,
    progress: Progress | None = None,
) -> Downloaded:
    """Bring a file from ``url`` to ``path``, which changes only when the new one is whole.

    What a broken run left beside it is taken up again if the service says that the file is
    still the same (RFC 9110, sections 13.1.5 and 14.2); a file that has not changed since the
    last download is not brought again.

    Parameters
    ----------
    client : Client
    url : str
    path : Path
    sha256 : str, optional
        What the file must hash to.
    check : callable, optional
        Raises ValueError for a file that is not what it should be.
    progress : callable, optional
        Told the bytes so far and in all, None where the service does not say.

    Raises
    ------
    NoAnswer
        If the file cannot be had whole. The part that came is kept for the next run.
    """
    import httpx2

    job = _Job(url=url, path=path, sha256=sha256, check=check, progress=progress)
    path.parent.mkdir(parents=True, exist_ok=True)
    reason = ""
    for attempt_index in range(client.patience.attempts_count):
        if attempt_index:
            client.sleep(client.patience.wait_s(attempt_index - 1))
        client.take_turn(httpx2.URL(url).host)
        try:
            return _attempt(client, job)
        except httpx2.HTTPError as exc:
            reason = why(exc)
        except _Again as exc:
            reason = f"{exc}"
    raise NoAnswer(url, reason)


class _Again(Exception):  # noqa: N818 - what to do, not what happened
    """An attempt that failed but may be made again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Job:
    url: str
    path: Path
    sha256: str | None
    check: Callable[[Path], object] | None
    progress: Progress | None

    @property
    def part(self) -> Path:
        return self.path.with_name(f"{self.path.name}.part")

    @property
    def note(self) -> Path:
        """Which version of the file the part, or the whole, belongs to."""
        return self.path.with_name(f"{self.path.name}.origin")


def _attempt(client: Client, job: _Job) -> Downloaded:
    version, whole = _noted(job)
    kept_count = job.part.stat().st_size if version and not whole and job.part.exists() else 0
    headers = _headers(version, kept_count, whole=whole and job.path.exists())
    with client.http().stream("GET", job.url, headers=headers) as response:
        if response.status_code == 304:
            return Downloaded(path=job.path, size_count=job.path.stat().st_size, unchanged=True)
        if response.status_code == 416:  # the part is as long as the file, or of another one
            job.part.unlink(missing_ok=True)
            raise _Again("the part that was kept does not fit")
        if response.status_code not in (200, 206):
            if client.asked_to_wait_s(response) is None:
                raise NoAnswer(job.url, refusal(response))
            raise _Again(refusal(response))
        kept_count = kept_count if response.status_code == 206 else 0
        version = _version(response)
        _take_note(job, version, whole=False)
        _receive(job, response, kept_count)
    return _finish(job, version, kept_count)


def _noted(job: _Job) -> tuple[str, bool]:
    """The version that was asked for last, and whether it came whole."""
    try:
        note = json.loads(job.note.read_text(encoding="utf-8"))
        return (
            (str(note["version"]), note["whole"] is True) if note["url"] == job.url else ("", False)
        )
    except (OSError, ValueError, KeyError, TypeError):
        return "", False


def _take_note(job: _Job, version: str, *, whole: bool) -> None:
    note = {"url": job.url, "version": version, "whole": whole}
    job.note.write_text(json.dumps(note), encoding="utf-8")


def _headers(version: str, kept_count: int, *, whole: bool) -> dict[str, str]:
    plain = {"Accept-Encoding": "identity"}  # a range is one of the bytes as they are stored
    if kept_count:
        return plain | {"Range": f"bytes={kept_count}-", "If-Range": version}
    if version and whole:
        kind = "If-None-Match" if version.startswith('"') else "If-Modified-Since"
        return plain | {kind: version}
    return plain


def _version(response: httpx2.Response) -> str:
    """What tells this version of the file from others; a weak tag does not (section 13.1.5)."""
    tag = str(response.headers.get("ETag", ""))
    return tag if tag.startswith('"') else str(response.headers.get("Last-Modified", ""))


def _receive(job: _Job, response: httpx2.Response, kept_count: int) -> None:
    if not kept_count:
        job.part.unlink(missing_ok=True)
    length = response.headers.get("Content-Length", "")
    whole_count = kept_count + int(length) if length.isdigit() else None
    size_count = kept_count
    with job.part.open("ab") as file:
        for piece in response.iter_raw():
            file.write(piece)
            size_count += len(piece)
            if job.progress is not None:
                job.progress(size_count, whole_count)
    if whole_count is not None and size_count != whole_count:
        raise _Again(f"{size_count:,} of {whole_count:,} bytes came")


def _finish(job: _Job, version: str, kept_count: int) -> Downloaded:
    """Put the whole file in its place, unless it is not what it should be."""
    try:
        if job.sha256 is not None and _sha256(job.part) != job.sha256.lower():
            raise ValueError("its SHA-256 is another one")
        if job.check is not None:
            job.check(job.part)
    except ValueError as exc:
        job.part.unlink()
        raise _Again(f"the file is not what it should be: {exc}") from exc
    size_count = job.part.stat().st_size
    os.replace(job.part, job.path)
    _take_note(job, version, whole=True)
    return Downloaded(path=job.path, size_count=size_count, kept_count=kept_count)


def _sha256(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()

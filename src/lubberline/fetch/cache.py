"""Answers kept on disk: the bytes, and beside them when and from where they came."""

import hashlib
import json
import os
import tempfile
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from lubberline.fetch.model import Fetched


@dataclass(frozen=True, slots=True)
class Cache:
    """A folder of answers, one pair of files per address.

    The note is written last and holds the hash of the bytes, so that a run that was killed
    half-way, or two at once, leave nothing that could be taken for an answer.
    """

    folder: Path

    def read(self, url: str) -> Fetched | None:
        """The last answer of an address; None if there is none, or not a whole one."""
        try:
            note = json.loads(self._path(url, "json").read_text(encoding="utf-8"))
            content = self._path(url, "bin").read_bytes()
            fetched_utc = datetime.fromisoformat(note["fetched_utc"])
        except (OSError, ValueError, KeyError, TypeError):
            return None
        whole = note.get("sha256") == _sha256(content) and fetched_utc.tzinfo is not None
        return Fetched(content=content, fetched_utc=fetched_utc) if whole else None

    def write(self, url: str, answer: Fetched) -> None:
        """Keep an answer in place of the last one."""
        note = {
            "url": url,
            "fetched_utc": answer.fetched_utc.isoformat(),
            "sha256": _sha256(answer.content),
        }
        self.folder.mkdir(parents=True, exist_ok=True)
        _replace(self._path(url, "bin"), answer.content)
        _replace(self._path(url, "json"), json.dumps(note, indent=1).encode())

    def _path(self, url: str, suffix: str) -> Path:
        return self.folder / f"{_sha256(url.encode())[:24]}.{suffix}"


def _replace(path: Path, content: bytes) -> None:
    handle, name = tempfile.mkstemp(dir=path.parent)
    with os.fdopen(handle, "wb") as file:
        file.write(content)
    os.replace(name, path)


def _sha256(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()

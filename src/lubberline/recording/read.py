"""One recording, whatever its format: chosen by content, hashed as it is, cleaned.

The suffix of a file decides nothing. What the reader and the cleaning did stands in the account.
"""

import hashlib
from pathlib import Path
from typing import Final

from lubberline.recording import csv, gpx, igc
from lubberline.recording.clean import clean
from lubberline.recording.model import Recording
from lubberline.recording.raw import RawTrack, bad_file

MAX_BYTES: Final = 2_000_000_000  # own: 5 h at 50 Hz is a tenth of this
_KINDS: Final = "an IGC, GPX or CSV recording"
_PACKED: Final = {b"\x1f\x8b": "gzip", b"PK\x03\x04": "zip", b"BZh": "bzip2", b"\xfd7zXZ": "xz"}
_LOOKED_AT: Final = 65_536


def read_recording(path: Path, *, column_map: Path | None = None) -> Recording:
    """The cleaned track of a file, the hash of its bytes, and the account of what was done.

    Parameters
    ----------
    path : Path
        An IGC, GPX or CSV file.
    column_map : Path, optional
        TOML that names the columns of a CSV; without it they are guessed from the headings.

    Raises
    ------
    BadFile
        If the file is missing, empty, packed, binary, of another format, or holds no usable
        track; the message says what was found and what is expected.
    """
    data = _bytes(path)
    raw = _read(path, data, column_map)
    track, gaps, account = clean(path, raw)
    if column_map is not None and raw.format_name != "CSV":
        account += (f"The column map was not needed: {raw.format_name} says what its columns are.",)
    return Recording(
        track=track,
        gnss_reference=raw.gnss_reference,
        format_name=raw.format_name,
        sha256=hashlib.sha256(data).hexdigest(),
        account=account,
        gaps=gaps,
    )


def _bytes(path: Path) -> bytes:
    if not path.exists():
        raise bad_file(path, "file", "nothing", _KINDS)
    if not path.is_file():
        raise bad_file(path, "file", "a directory" if path.is_dir() else "no file", _KINDS)
    size = path.stat().st_size
    if size > MAX_BYTES:
        raise bad_file(path, "file", f"{size:,} bytes", f"{_KINDS} under 2 GB")
    try:
        data = path.read_bytes()
    except OSError as exc:
        raise bad_file(path, "file", f"{exc.strerror}", _KINDS) from exc
    if not data.strip():
        raise bad_file(path, "file", "an empty file", _KINDS)
    return data


def _read(path: Path, data: bytes, column_map: Path | None) -> RawTrack:
    """The raw track by the first reader that knows the content."""
    head = data[:_LOOKED_AT].removeprefix(b"\xef\xbb\xbf").replace(b"\r", b"\n")
    if gpx.LOOKS_LIKE.match(head):
        return gpx.read_gpx(path, data)
    _refuse_unreadable(path, head)
    if igc.LOOKS_LIKE.search(head):
        return igc.read_igc(path, data)
    if column_map is not None or csv.looks_like_csv(data):
        return csv.read_csv(path, data, column_map)
    shown = head.decode("utf-8", errors="replace").strip().splitlines()[0][:60]
    raise bad_file(path, "file", f"text that begins {shown!r}", _KINDS)


def _refuse_unreadable(path: Path, head: bytes) -> None:
    for magic, name in _PACKED.items():
        if head.startswith(magic):
            raise bad_file(path, "file", f"a {name} archive", f"{_KINDS}, unpacked")
    if head.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise bad_file(path, "file", "UTF-16 text", f"{_KINDS} in UTF-8")
    if b"\0" in head:
        raise bad_file(path, "file", "binary data", _KINDS)

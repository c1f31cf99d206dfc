"""One recording, whatever its format: chosen by content, hashed as it is, cleaned.

The suffix of a file decides nothing. What the reader and the cleaning did stands in the account.
"""

import hashlib
import re
from dataclasses import replace
from pathlib import Path
from typing import Final

from lubberline.recording import csv, igc, nmea, states
from lubberline.recording.clean import clean
from lubberline.recording.gpx import read_gpx
from lubberline.recording.kml import read_kml
from lubberline.recording.model import Clock, Recording
from lubberline.recording.raw import RawTrack, bad_file
from lubberline.recording.xml import local_name, xml_root

MAX_BYTES: Final = 2_000_000_000  # own: 5 h at 50 Hz is a tenth of this
_KINDS: Final = "an IGC, GPX, KML, NMEA, CSV or JSON recording"
_XML: Final = re.compile(rb"^\s*<")
_XML_KINDS: Final = ("gpx", "kml")
_PACKED: Final = {b"\x1f\x8b": "gzip", b"PK\x03\x04": "zip", b"BZh": "bzip2", b"\xfd7zXZ": "xz"}
_LOOKED_AT: Final = 65_536


def read_recording(
    path: Path, *, column_map: Path | None = None, clock: Clock | None = None
) -> Recording:
    """The cleaned track of a file, the hash of its bytes, and the account of what was done.

    Parameters
    ----------
    path : Path
        An IGC, GPX, KML (gx:Track), NMEA 0183, CSV or JSON (state vectors) file.
    column_map : Path, optional
        TOML that names the columns of a CSV; without it they are guessed from the headings.
    clock : Clock, optional
        The times of a GPX or CSV that holds none; not needed where it holds them.

    Raises
    ------
    BadFile
        If the file is missing, empty, packed, binary, of another format, or holds no usable
        track; the message says what was found and what is expected.
    """
    data = _bytes(path)
    raw = _read(path, data, column_map, clock)
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


def is_csv(head: bytes) -> bool:
    """Whether a file that begins like this is read as CSV, by a column map."""
    known = (igc.LOOKS_LIKE.search, nmea.LOOKS_LIKE.search, states.LOOKS_LIKE.match, _XML.match)
    plain = head[:_LOOKED_AT].removeprefix(b"\xef\xbb\xbf").replace(b"\r", b"\n")
    return not (b"\0" in plain or any(looks(plain) for looks in known)) and csv.looks_like_csv(head)


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
    if not data or data.isspace():
        raise bad_file(path, "file", "an empty file", _KINDS)
    return data


def _read(path: Path, data: bytes, column_map: Path | None, clock: Clock | None) -> RawTrack:
    """The raw track by the first reader that knows the content."""
    head = data[:_LOOKED_AT].removeprefix(b"\xef\xbb\xbf").replace(b"\r", b"\n")
    if _XML.match(head):
        return _read_xml(path, data, clock)
    _refuse_unreadable(path, head)
    lines = b"\n" + head
    if igc.LOOKS_LIKE.search(lines):
        return igc.read_igc(path, data)
    if nmea.LOOKS_LIKE.search(lines):
        return nmea.read_nmea(path, data)
    if states.LOOKS_LIKE.match(head):
        return states.read_states(path, data, column_map)
    if column_map is not None or csv.looks_like_csv(data):
        return csv.read_csv(path, data, column_map, clock)
    shown = head.decode("utf-8", errors="replace").strip().splitlines()[0][:60]
    raise bad_file(path, "file", f"text that begins {shown!r}", _KINDS)


def _read_xml(path: Path, data: bytes, clock: Clock | None) -> RawTrack:
    root, lost = xml_root(path, data, "GPX or KML")
    name = local_name(root.tag)
    if name not in _XML_KINDS:
        found = f"an XML file whose document element is {name!r}"
        raise bad_file(path, "file", found, "a GPX or KML file", example='<gpx version="1.1" ...>')
    raw = read_gpx(path, root, clock) if name == "gpx" else read_kml(path, root)
    return replace(raw, account=(lost, *raw.account)) if lost else raw


def _refuse_unreadable(path: Path, head: bytes) -> None:
    for magic, name in _PACKED.items():
        if head.startswith(magic):
            raise bad_file(path, "file", f"a {name} archive", f"{_KINDS}, unpacked")
    if head.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise bad_file(path, "file", "UTF-16 text", f"{_KINDS} in UTF-8")
    if b"\0" in head:
        raise bad_file(path, "file", "binary data", _KINDS)

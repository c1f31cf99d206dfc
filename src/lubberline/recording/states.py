"""State vectors as JSON, as an open surveillance network publishes them [OPENSKY]_.

Three forms: answers of its interface (``time`` and ``states``, rows without names), one after
the other; a single flight's ``path``; or objects with the names of the CSV edition. Each is put
into that edition's columns and read as such, so that units and repeated positions are treated
alike.
"""

import json
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, Final

from lubberline.recording.csv import read_csv
from lubberline.recording.raw import RawTrack, bad_file

LOOKS_LIKE: Final = re.compile(rb"\s*[\[{]")
_NEXT: Final = re.compile(r"[\s,]*")
_EXPECTED: Final = "state vectors: states, a path, or objects with time, lat and lon"
_EXAMPLE: Final = '{"time": 1780322400, "lat": 41.0, "lon": -131.0, "baroaltitude": 760}'
# Names of the CSV edition by position in a row of the interface; "" is not needed.
_STATE: Final = (
    *("icao24", "callsign", "", "lastposupdate", "lastcontact", "lon", "lat"),
    *("baroaltitude", "onground", "velocity", "heading", "vertrate", "", "geoaltitude"),
)
_KNOWN_BY: Final = ("time", "icao24", "lat", "lon", "velocity")  # the CSV edition
_PATH: Final = ("time", "lat", "lon", "baroaltitude", "heading", "onground")
_Row = dict[str, Any]


def read_states(path: Path, data: bytes, column_map: Path | None = None) -> RawTrack:
    """The samples of a JSON file, or of one JSON document per line, in file order.

    Raises
    ------
    BadFile
        If it is not JSON, holds no state vectors, or those of several aircraft and no map says
        which.
    """
    import polars as pl

    account: list[str] = []
    rows = list(_rows(_documents(path, data, account)))
    if not rows:
        raise bad_file(path, "states", "no state vector", _EXPECTED, example=_EXAMPLE)
    names = dict.fromkeys((*_KNOWN_BY, *(name for row in rows for name in row)))
    frame = pl.DataFrame({name: [_text(row.get(name)) for row in rows] for name in names})
    track = read_csv(path, frame.write_csv().encode(), column_map)
    return replace(track, format_name="JSON state vectors", account=(*account, *track.account))


def _documents(path: Path, data: bytes, account: list[str]) -> list[Any]:
    """Every JSON document of a file: one, one to a line, or the whole ones of a list cut off."""
    try:
        text = data.decode("utf-8-sig").rstrip()
    except UnicodeDecodeError as exc:
        raise bad_file(path, "JSON", f"{exc}", _EXPECTED) from exc
    try:
        return [json.loads(text)]
    except RecursionError as exc:
        raise bad_file(path, "JSON", f"{exc}", _EXPECTED) from exc
    except json.JSONDecodeError as exc:
        whole = _whole(text)
        if len(whole) < 2:
            raise bad_file(path, "JSON", exc.msg, _EXPECTED, line=exc.lineno) from exc
        if not text.endswith(("]", "}")):
            account.append(
                "The file ends in the middle: everything up to its last whole sample is read, what"
                " came after is lost."
            )
        return whole


def _whole(text: str) -> list[Any]:
    """Documents one after the other, within a list or not, up to the first that is broken.

    None at all if that one is not the last.
    """
    found: list[Any] = []
    decoder, at = json.JSONDecoder(), 1 if text.startswith("[") else 0
    while (begin := _NEXT.match(text, at)) is not None and begin.end() < len(text):
        try:
            document, at = decoder.raw_decode(text, begin.end())
        except (json.JSONDecodeError, RecursionError):
            rest = text[begin.end() :]
            return found if rest.count("{") <= 1 and not rest.endswith("}") else []
        found.append(document)
    return found


def _rows(documents: Iterable[Any]) -> Iterator[_Row]:
    for document in documents:
        match document:
            case list():
                yield from _rows(document)
            case {"states": list() as states, "time": moment}:
                yield from ({"time": moment} | _named(one, _STATE) for one in states)
            case {"path": list() as places}:
                yield from (_named(one, _PATH) for one in places)
            case {"time": _}:
                yield document


def _named(row: object, names: tuple[str, ...]) -> _Row:
    if isinstance(row, Mapping):
        return dict(row)
    values = row if isinstance(row, list) else []
    return {name: value for name, value in zip(names, values, strict=False) if name}


def _text(value: object) -> str | None:
    return None if value is None or isinstance(value, dict | list) else f"{value}"

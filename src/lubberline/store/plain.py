"""Everything in a database as plain files, and back: nothing is locked in.

A folder with ``flights.json``, the recorders' files as they were, and the pledges. Reading it
back adds what is not there yet, all of it or nothing.
"""

import hashlib
import json
import shutil
import tempfile
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, Final

from sqlalchemy.orm import Session

from lubberline.errors import BadFile, LubberlineError, Problem
from lubberline.line import finding_from_record, finding_record
from lubberline.store.besides import conditions_of, marks_of, observed_of
from lubberline.store.contents import files_of
from lubberline.store.corrections import corrections_of
from lubberline.store.flights import (
    add_flight,
    findings_of,
    list_flights,
    pledge_of,
    recording_of,
)
from lubberline.store.logbook import add_entry_records, entry_records
from lubberline.store.model import (
    Added,
    Correction,
    FlightConditions,
    KeptFile,
    NewFlight,
    Observed,
    OwnMark,
    StoredFlight,
    StoredMovement,
)

FORM_VERSION: Final = 1
INDEX: Final = "flights.json"
_ALL: Final = 1_000_000_000
_FIELDS: Final = ("title", "departure_id", "destination_id", "aircraft", "pilot", "recording_name")
_MAYBE: Final = {"type_name": str, "category_class": str, "tailwheel": bool, "role": str}  # or None


@dataclass(frozen=True, slots=True, kw_only=True)
class Brought:
    """How many flights were added, and how many were there already."""

    added_count: int
    there_count: int


def export_flights(session: Session, folder: Path) -> int:
    """Write every flight into a new folder, whole or not at all; how many there were.

    Raises
    ------
    BadFile
        If the folder exists or cannot be written.
    NoSolution
        If a kept recording is damaged.
    """
    if folder.exists() or folder.is_symlink():
        found = "a file or folder of that name"
        raise _bad(folder, "folder", found, "a name that is free; nothing was written")
    if not folder.parent.is_dir():
        raise _bad(folder, "folder", f"no folder {folder.parent}", "a folder that is there")
    fresh = Path(tempfile.mkdtemp(prefix=f".{folder.name}.", dir=folder.parent))
    try:
        records = [_written(session, flight, fresh) for flight in _oldest_first(session)]
        whole = {
            "form": "lubberline flights",
            "version": FORM_VERSION,
            "flights": records,
            "logbook": entry_records(session),
        }
        text = json.dumps(whole, indent=1, ensure_ascii=False, allow_nan=False)
        (fresh / INDEX).write_text(text + "\n", encoding="utf-8")
        fresh.chmod(0o755)
        fresh.rename(folder)
    finally:
        shutil.rmtree(fresh, ignore_errors=True)
    return len(records)


def import_flights(session: Session, folder: Path) -> Brought:
    """Add every flight of an exported folder that is not in the database yet.

    The caller's transaction keeps all of them or none.

    Raises
    ------
    BadFile
        If the folder or any flight in it is not what ``export_flights`` writes: all problems.
    """
    flights, problems = [], []
    whole = _whole(folder)
    for number, record in enumerate(whole["flights"]):
        try:
            flights.append(_read(folder, record))
        except (KeyError, TypeError, ValueError, OSError, LubberlineError) as exc:
            reason = f"{type(exc).__name__}: {exc}"[:200]
            problems.append(
                Problem(key=f"flights[{number}]", found=reason, expected="a flight as exported")
            )
    if problems:
        raise BadFile(folder / INDEX, problems)
    try:
        add_entry_records(session, whole.get("logbook", []))
    except (KeyError, TypeError, ValueError, LubberlineError) as exc:
        found = f"{type(exc).__name__}: {exc}"[:200]
        raise _bad(folder / INDEX, "logbook", found, "lines as exported") from exc
    added = [isinstance(add_flight(session, flight), Added) for flight in flights]
    return Brought(added_count=sum(added), there_count=len(added) - sum(added))


def _oldest_first(session: Session) -> Iterator[StoredFlight]:
    return reversed(list_flights(session, limit=_ALL))


def _written(session: Session, flight: StoredFlight, folder: Path) -> dict[str, Any]:
    """The record of one flight, its files written beside the list."""
    recording_file = f"recordings/{flight.recording_sha256}"
    _write(folder / recording_file, recording_of(session, flight.flight_id))
    record: dict[str, Any] = {name: getattr(flight, name) for name in _FIELDS}
    record |= {
        "flown_utc": flight.flown_utc.isoformat(),
        "movement_count": flight.movement_count,
        "recording_file": recording_file,
        **{name: getattr(flight, name) for name in _MAYBE},
        "movements": [
            {**asdict(one), "at_utc": one.at_utc.isoformat()} for one in flight.movements
        ],
        "findings": [finding_record(one) for one in findings_of(session, flight.flight_id)],
    }
    pledge = pledge_of(session, flight.flight_id)
    if pledge is not None:
        record["pledge_file"] = f"pledges/{flight.pledge_sha256}.json"
        _write(folder / record["pledge_file"], pledge)
    return record | _besides(session, flight.flight_id, folder)


def _besides(session: Session, flight_id: int, folder: Path) -> dict[str, Any]:
    """What is kept beside the findings, its files written into the folder."""
    conditions = conditions_of(session, flight_id)
    record: dict[str, Any] = {"conditions": None if conditions is None else asdict(conditions)}
    record["marks"] = [_timed(one) for one in marks_of(session, flight_id)]
    record["observed"] = [asdict(one) for one in observed_of(session, flight_id)]
    record["corrections"] = [_timed(one) for one in corrections_of(session, flight_id)]
    record["files"] = []
    for one in files_of(session, flight_id):
        name = f"files/{hashlib.sha256(one.content).hexdigest()}"
        _write(folder / name, one.content)
        record["files"].append({"role": one.role, "name": one.name, "file": name})
    return record


def _timed(one: OwnMark | Correction) -> dict[str, Any]:
    return {**asdict(one), "made_utc": one.made_utc.isoformat()}


def _write(path: Path, content: bytes) -> None:
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(content)


def _whole(folder: Path) -> dict[str, Any]:
    path = folder / INDEX
    try:
        whole = json.loads(path.read_text(encoding="utf-8"))
    except OSError as exc:
        expected = "a folder that 'lubberline store export' wrote"
        raise _bad(path, "file", exc.strerror or "an unreadable file", expected) from exc
    except (ValueError, RecursionError) as exc:
        raise _bad(path, "JSON", f"{exc}", "the list that was exported") from exc
    if not isinstance(whole, dict) or not isinstance(whole.get("flights"), list):
        raise _bad(path, "flights", "no list of flights", "the list that was exported")
    if whole.get("version") != FORM_VERSION:
        raise _bad(path, "version", f"{whole.get('version')!r}", f"{FORM_VERSION}")
    return whole


def _read(folder: Path, record: Any) -> NewFlight:
    if not isinstance(record, dict):
        raise TypeError(f"{record!r} is not a flight")
    pledge_file = record.get("pledge_file")
    recording = _content(folder, record["recording_file"])
    names: dict[str, Any] = {name: _text(record[name]) for name in _FIELDS}
    maybe: dict[str, Any] = {n: _maybe(record.get(n), kind) for n, kind in _MAYBE.items()}
    return NewFlight(
        flown_utc=datetime.fromisoformat(record["flown_utc"]),
        movement_count=int(record["movement_count"]),
        recording=recording,
        findings=tuple(finding_from_record(one) for one in record["findings"]),
        pledge=_content(folder, pledge_file) if pledge_file is not None else None,
        **names,
        **maybe,
        movements=tuple(_movement(one) for one in record.get("movements", [])),
        **_read_besides(folder, record),
    )


def _read_besides(folder: Path, record: dict[str, Any]) -> dict[str, Any]:
    """The same back; an export of an earlier version has none of it."""
    conditions = record.get("conditions")
    return {
        "conditions": None if conditions is None else FlightConditions(**conditions),
        "marks": tuple(OwnMark(**_untimed(one)) for one in record.get("marks", [])),
        "observed": tuple(Observed(**one) for one in record.get("observed", [])),
        "corrections": tuple(Correction(**_untimed(one)) for one in record.get("corrections", [])),
        "files": tuple(
            KeptFile(role=one["role"], name=one["name"], content=_content(folder, one["file"]))
            for one in record.get("files", [])
        ),
    }


def _untimed(record: dict[str, Any]) -> dict[str, Any]:
    return {**record, "made_utc": datetime.fromisoformat(record["made_utc"])}


def _movement(record: dict[str, Any]) -> StoredMovement:
    return StoredMovement(
        kind=_text(record["kind"]),
        at_utc=datetime.fromisoformat(record["at_utc"]),
        lat_deg=float(record["lat_deg"]),
        lon_deg=float(record["lon_deg"]),
    )


def _content(folder: Path, name: str) -> bytes:
    """A file of the folder, which must have the hash that its name says."""
    path = (folder / name).resolve()
    if folder.resolve() not in path.parents:
        raise ValueError(f"{name!r} lies outside the folder")
    content = path.read_bytes()
    if hashlib.sha256(content).hexdigest() != path.name.removesuffix(".json"):
        raise ValueError(f"{name!r} is not what was exported")
    return content


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise TypeError(f"{value!r} is not a text")
    return value


def _maybe(value: Any, kind: type) -> Any:
    if value is not None and not isinstance(value, kind):
        raise TypeError(f"{value!r} is no {kind.__name__}")
    return value


def _bad(path: Path, key: str, found: str, expected: str) -> BadFile:
    return BadFile(path, [Problem(key=key, found=found, expected=expected)])

"""Lines of a logbook in and out of the store; one that is withdrawn stays, with the reason."""

import hashlib
import json
from collections import Counter
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from datetime import UTC, date, datetime
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from lubberline.errors import NoSolution, RangeError
from lubberline.logbook import Entry, LogbookRow
from lubberline.store.schema import EntryRow


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredEntry:
    """A line of the logbook, where it came from, and whether it was withdrawn."""

    entry_id: int
    pilot: str
    entry: Entry
    raw: dict[str, str]
    source_name: str
    source_row: int
    added_utc: datetime
    withdrawn_utc: datetime | None
    reason: str


def add_entries(
    session: Session,
    pilot: str,
    rows: Iterable[LogbookRow],
    *,
    source_name: str,
    added_utc: datetime | None = None,
) -> int:
    """Add the rows that are not there yet; how many were new.

    A row is known by its content, so that a longer export of the same logbook adds only what is
    new. Rows that are alike within one file are different flights.
    """
    now_utc = added_utc or datetime.now(UTC)
    seen: Counter[str] = Counter()
    there = _hashes(session)
    count = 0
    for row in rows:
        plain = json.dumps([pilot, dict(row.raw)], sort_keys=True, ensure_ascii=False)
        seen[plain] += 1
        sha256 = hashlib.sha256(f"{plain} {seen[plain]}".encode()).hexdigest()
        if sha256 in there:
            continue
        count += 1
        session.add(
            EntryRow(
                pilot=pilot,
                flown_on=row.entry.flown_on,
                row_sha256=sha256,
                fields=_fields(row.entry),
                raw=json.dumps(dict(row.raw), ensure_ascii=False),
                source_name=source_name,
                source_row=row.line,
                added_utc=now_utc,
                withdrawn_utc=None,
                reason="",
            )
        )
    session.flush()
    return count


def entries_of(
    session: Session, *, pilot: str | None = None, withdrawn: bool = False
) -> list[StoredEntry]:
    """The lines of one pilot's logbook, or of all, oldest first; withdrawn ones on request."""
    asked = select(EntryRow).order_by(EntryRow.flown_on, EntryRow.source_row, EntryRow.id)
    if pilot is not None:
        asked = asked.where(EntryRow.pilot == pilot)
    if not withdrawn:
        asked = asked.where(EntryRow.withdrawn_utc.is_(None))
    return [_stored(row) for row in session.scalars(asked)]


def withdraw_entry(
    session: Session, entry_id: int, *, reason: str, withdrawn_utc: datetime | None = None
) -> StoredEntry:
    """Take a line out of all totals; it stays in the store with the reason.

    Raises
    ------
    NoSolution
        If there is no such line, or it was withdrawn before.
    RangeError
        If no reason is given.
    """
    row = session.get(EntryRow, entry_id)
    if row is None:
        raise NoSolution(f"there is no line {entry_id} in the logbook")
    if row.withdrawn_utc is not None:
        raise NoSolution(f"line {entry_id} was withdrawn on {row.withdrawn_utc:%Y-%m-%d} already")
    if not reason.strip():
        raise RangeError("a line is withdrawn for a reason; say which")
    row.withdrawn_utc = withdrawn_utc or datetime.now(UTC)
    row.reason = reason
    session.flush()
    return _stored(row)


def entry_records(session: Session) -> list[dict[str, Any]]:
    """Every line as plain values, withdrawn ones too."""
    columns = [name for name in EntryRow.__table__.columns.keys() if name != "id"]  # noqa: SIM118
    rows = session.scalars(select(EntryRow).order_by(EntryRow.id))
    return [{name: _plain(getattr(row, name)) for name in columns} for row in rows]


def add_entry_records(session: Session, records: Iterable[dict[str, Any]]) -> None:
    """The same back; a line that is there already stays as it is."""
    there = _hashes(session)
    for record in records:
        sha256 = str(record["row_sha256"])
        if sha256 not in there:
            there.add(sha256)
            session.add(EntryRow(**{name: _read(name, value) for name, value in record.items()}))
    session.flush()


def _hashes(session: Session) -> set[str]:
    """What every line is known by, read once: a logbook may have many thousand."""
    return set(session.scalars(select(EntryRow.row_sha256)))


def _fields(entry: Entry) -> str:
    return json.dumps(asdict(entry), default=_plain, ensure_ascii=False, allow_nan=False)


def _entry(text: str) -> Entry:
    fields = json.loads(text)
    return Entry(**{**fields, "flown_on": date.fromisoformat(fields["flown_on"])})


def _stored(row: EntryRow) -> StoredEntry:
    return StoredEntry(
        entry_id=row.id,
        pilot=row.pilot,
        entry=_entry(row.fields),
        raw=json.loads(row.raw),
        source_name=row.source_name,
        source_row=row.source_row,
        added_utc=row.added_utc,
        withdrawn_utc=row.withdrawn_utc,
        reason=row.reason,
    )


def _plain(value: Any) -> Any:
    return value.isoformat() if isinstance(value, date) else value


def _read(name: str, value: Any) -> Any:
    if name.endswith("_utc"):
        return None if value is None else datetime.fromisoformat(value)
    if name == "flown_on":
        return date.fromisoformat(value)
    if name == "fields":
        _entry(value)  # refuses what is no line
    return value

"""Lines of a logbook in the store: once, never lost, and out again."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from sqlalchemy import text
from sqlalchemy.orm import Session

from lubberline.errors import BadFile, NoSolution, RangeError
from lubberline.logbook import Entry, LogbookRow
from lubberline.store import (
    add_entries,
    entries_of,
    export_flights,
    import_flights,
    open_store,
    withdraw_entry,
)

ROW = LogbookRow(
    line=2,
    entry=Entry(flown_on=date(2026, 11, 2), call_sign="Q-HRN", total_h=1.2, landing_count=1),
    raw={"Date": "11/02/2026", "Mood": "fine"},
)
OTHER = replace(ROW, line=3, raw={"Date": "11/03/2026", "Mood": "fair"})
NOW_UTC = datetime(2026, 11, 26, 12, tzinfo=UTC)


@pytest.fixture
def session(tmp_path: Path) -> Iterator[Session]:
    with open_store(tmp_path / "flights.db") as store, store.writing() as writing:
        yield writing


def added(session: Session, *rows: LogbookRow, pilot: str = "A. Pilot") -> int:
    return add_entries(session, pilot, rows, source_name="book.csv", added_utc=NOW_UTC)


def test_a_line_comes_back_with_its_row_as_it_stood(session: Session) -> None:
    assert added(session, ROW) == 1
    (one,) = entries_of(session)
    assert (one.entry, one.raw, one.pilot) == (ROW.entry, ROW.raw, "A. Pilot")
    assert (one.source_name, one.source_row, one.added_utc) == ("book.csv", 2, NOW_UTC)


def test_a_longer_file_adds_only_what_is_new(session: Session) -> None:
    added(session, ROW)
    assert added(session, ROW, OTHER) == 1
    assert len(entries_of(session)) == 2


def test_rows_alike_in_one_file_are_different_flights(session: Session) -> None:
    assert added(session, ROW, ROW) == 2
    assert added(session, ROW, ROW) == 0


def test_the_same_row_may_be_in_two_pilots_books(session: Session) -> None:
    added(session, ROW)
    assert added(session, ROW, pilot="B. Pilot") == 1
    assert [one.pilot for one in entries_of(session, pilot="B. Pilot")] == ["B. Pilot"]


def test_a_withdrawn_line_stays_with_its_reason(session: Session) -> None:
    added(session, ROW)
    withdraw_entry(session, 1, reason="twice", withdrawn_utc=NOW_UTC)
    assert entries_of(session) == []
    (one,) = entries_of(session, withdrawn=True)
    assert (one.reason, one.withdrawn_utc) == ("twice", NOW_UTC)


def test_a_withdrawn_line_is_not_brought_in_again(session: Session) -> None:
    added(session, ROW)
    withdraw_entry(session, 1, reason="twice")
    assert added(session, ROW) == 0


def test_withdrawing_needs_a_line_and_a_reason(session: Session) -> None:
    added(session, ROW)
    with pytest.raises(RangeError, match="for a reason"):
        withdraw_entry(session, 1, reason=" ")
    withdraw_entry(session, 1, reason="twice", withdrawn_utc=NOW_UTC)
    with pytest.raises(NoSolution, match="withdrawn on 2026-11-26 already"):
        withdraw_entry(session, 1, reason="twice")
    with pytest.raises(NoSolution, match="no line 9"):
        withdraw_entry(session, 9, reason="twice")


def test_an_export_carries_every_line(session: Session, tmp_path: Path) -> None:
    added(session, ROW, OTHER)
    withdraw_entry(session, 2, reason="twice", withdrawn_utc=NOW_UTC)
    export_flights(session, tmp_path / "out")
    with open_store(tmp_path / "new.db") as store, store.writing() as new:
        import_flights(new, tmp_path / "out")
        import_flights(new, tmp_path / "out")
        assert entries_of(new, withdrawn=True) == entries_of(session, withdrawn=True)


def test_a_line_that_was_tampered_with_is_refused(session: Session, tmp_path: Path) -> None:
    added(session, ROW)
    export_flights(session, tmp_path / "out")
    path = tmp_path / "out" / "flights.json"
    changed = path.read_text(encoding="utf-8").replace('\\"total_h\\": 1.2', '\\"total_h\\": 99')
    path.write_text(changed, encoding="utf-8")
    with open_store(tmp_path / "new.db") as store:
        with store.writing() as new, pytest.raises(BadFile, match="logbook: found RangeError"):
            import_flights(new, tmp_path / "out")
        with store.reading() as new:
            assert new.execute(text("SELECT count(*) FROM logbook_entry")).scalar_one() == 0

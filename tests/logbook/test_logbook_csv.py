"""A CSV logbook read by a column map: every form, every refusal, and back."""

from datetime import date
from pathlib import Path

import pytest

from lubberline.errors import BadFile, RangeError
from lubberline.logbook import Entry, LogbookMap, csv_text, own_map, read_logbook, read_logbook_map

MAP = """
date_form = "%m/%d/%Y"
hours = "h:mm"

[columns]
flown_on = "Date"
call_sign = "Tail"
type_name = "Type"
total_h = "Time"
night_h = "Night"
landing_count = "Ldg"
full_stop_count = "Stops"

[fixed]
category_class = "airplane single-engine land"

[types.Tern]
tailwheel = true
"""
GOOD = "Date,Tail,Type,Time,Night,Ldg,Stops,Mood\n11/02/2026,Q-TRN,Tern,1:12,0:30,3,2,fine\n"


@pytest.fixture
def columns(tmp_path: Path) -> LogbookMap:
    (tmp_path / "map.toml").write_text(MAP, encoding="utf-8")
    return read_logbook_map(tmp_path / "map.toml")


def written(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "book.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_row_is_understood_by_its_map(tmp_path: Path, columns: LogbookMap) -> None:
    (row,) = read_logbook(written(tmp_path, GOOD), columns)
    assert row.entry == Entry(
        flown_on=date(2026, 11, 2),
        call_sign="Q-TRN",
        type_name="Tern",
        category_class="airplane single-engine land",
        tailwheel=True,
        total_h=1.2,
        night_h=0.5,
        landing_count=3,
        full_stop_count=2,
    )
    assert row.line == 2


def test_a_column_that_is_not_mapped_is_kept_as_it_stood(
    tmp_path: Path, columns: LogbookMap
) -> None:
    (row,) = read_logbook(written(tmp_path, GOOD), columns)
    assert row.raw["Mood"] == "fine"


def test_empty_rows_and_a_byte_order_mark_are_passed_over(
    tmp_path: Path, columns: LogbookMap
) -> None:
    text = "\ufeff" + GOOD + ",,,,,,,\n\n"
    assert len(read_logbook(written(tmp_path, text), columns)) == 1


def test_quoted_cells_may_hold_the_delimiter(tmp_path: Path, columns: LogbookMap) -> None:
    text = GOOD.replace("Q-TRN", '"Q,TRN"')
    assert read_logbook(written(tmp_path, text), columns)[0].entry.call_sign == "Q,TRN"


@pytest.mark.parametrize(
    ("cell", "wrong", "message"),
    [
        ("11/02/2026", "2026-11-02", r"line 2, flown_on: found '2026-11-02', expected a date as"),
        ("11/02/2026", "", r"line 2, flown_on: found no date"),
        ("1:12", "1.2", r"line 2, total_h: found '1\.2', expected hours as 1:30"),
        ("1:12", "1:72", r"line 2, total_h: found '1:72'"),
        ("0:30", "2:30", r"night_h is 2\.5 h, more than total_h 1\.2 h"),
        (",3,2", ",1,2", r"full_stop_count is 2, more than landing_count 1"),
        (",3,2", ",three,2", r"line 2, landing_count: found 'three', expected a whole number"),
        ("fine", "fine,more", r"line 2, row: found more cells than headings"),
        ("Time", "Duration", r"line 1, total_h: found .*, expected a column 'Time'"),
    ],
)
def test_a_row_that_cannot_be_understood_is_named(
    tmp_path: Path, columns: LogbookMap, cell: str, wrong: str, message: str
) -> None:
    with pytest.raises(BadFile, match=message):
        read_logbook(written(tmp_path, GOOD.replace(cell, wrong, 1)), columns)


def test_all_bad_rows_are_named_together(tmp_path: Path, columns: LogbookMap) -> None:
    row = GOOD.splitlines()[1]
    text = GOOD + row.replace("1:12", "x") + "\n" + row.replace("3,2", "y,2") + "\n"
    with pytest.raises(BadFile, match=r"2 problem\(s\)(?s:.*)line 3(?s:.*)line 4"):
        read_logbook(written(tmp_path, text), columns)


def test_decimal_hours_may_have_a_comma(tmp_path: Path) -> None:
    columns = own_map().model_copy(update={"decimal_comma": True, "delimiter": ";"})
    path = written(tmp_path, "flown_on;total_h\n2026-11-02;1,5\n")
    assert read_logbook(path, columns)[0].entry.total_h == 1.5


@pytest.mark.parametrize(
    ("was", "becomes", "message"),
    [
        ('total_h = "Time"\n', "", r"total_h"),
        ("call_sign =", "callsign =", r"callsign"),
        ('hours = "h:mm"', 'hours = "minutes"', r"hours"),
    ],
)
def test_a_wrong_map_is_refused(tmp_path: Path, was: str, becomes: str, message: str) -> None:
    path = tmp_path / "map.toml"
    path.write_text(MAP.replace(was, becomes), encoding="utf-8")
    with pytest.raises(BadFile, match=message):
        read_logbook_map(path)


def test_what_was_written_reads_back(tmp_path: Path, columns: LogbookMap) -> None:
    entry = read_logbook(written(tmp_path, GOOD), columns)[0].entry
    again = read_logbook(written(tmp_path, csv_text([(entry, "line 1")])), own_map())
    assert [row.entry for row in again] == [entry]
    assert again[0].raw["kept_as"] == "line 1"


@pytest.mark.parametrize("wrong", [{"total_h": 25.0}, {"total_h": -1.0}, {"landing_count": 201}])
def test_what_no_day_holds_is_refused(wrong: dict[str, float]) -> None:
    with pytest.raises(RangeError):
        Entry(flown_on=date(2026, 1, 1), **wrong)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("cell", "why"),
    [('"fine', "unexpected end of data"), ("x" * 140_000, "larger than field limit")],
)
def test_a_cell_that_swallows_the_rows_after_it_is_refused(
    tmp_path: Path, columns: LogbookMap, cell: str, why: str
) -> None:
    text = GOOD + GOOD.splitlines()[1].replace("fine", cell) + "\n" + GOOD.splitlines()[1] + "\n"
    with pytest.raises(BadFile, match=rf"line 3, row: found no whole row \(.*{why}"):
        read_logbook(written(tmp_path, text), columns)


def test_a_mapped_heading_that_stands_twice_is_refused(tmp_path: Path, columns: LogbookMap) -> None:
    with pytest.raises(BadFile, match="line 1, night_h: found 'Night' more than once"):
        read_logbook(written(tmp_path, GOOD.replace("Mood", "Night")), columns)

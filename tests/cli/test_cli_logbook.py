"""The logbook on the command line: in, out, added up, withdrawn; refusals name the place."""

import json
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

from lubberline import demo
from lubberline.cli import commands  # noqa: F401 - registers the commands
from lubberline.cli.app import app

BOOK = """flown_on,call_sign,type_name,category_class,tailwheel,total_h,landing_count
2026-11-02,Q-HRN,Heron 200,airplane single-engine land,false,1.2,1
2026-11-10,Q-HRN,Heron 200,,,1.5,3
"""


@pytest.fixture
def home(tmp_path: Path) -> Path:
    pilot = Path(demo.__file__).parent / "files" / "pilot.toml"
    shutil.copy(pilot, tmp_path / "pilot.toml")
    return tmp_path


def run(*words: str | Path, code: int = 0) -> str:
    done = CliRunner().invoke(app, ["logbook", *(str(word) for word in words)])
    assert done.exit_code == code, done.output
    return done.output


def book(home: Path, text: str = BOOK) -> Path:
    path = home / "book.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_book_comes_in_once_and_adds_up(home: Path) -> None:
    first = run("import", home, book(home))
    assert "2 rows read, 2.7 h; 2 lines added to the logbook of R. Fenwick" in first
    assert "1 rows do not say category_class and tailwheel" in first
    assert "2 were there already" in run("import", home, book(home))
    shown = run("totals", home, "--on", "2026-11-26")
    assert "all flights                                      2.7         2.7         2.7" in shown
    assert max(len(row) for row in shown.splitlines()) <= 80


def test_rows_of_the_future_are_asked_about(home: Path) -> None:
    said = run("import", home, book(home, BOOK.replace("2026-11-10", "2199-11-10")))
    assert "1 of the rows lie in the future: is date_form the right one?" in said


def test_totals_are_told_as_json(home: Path) -> None:
    run("import", home, book(home))
    told = json.loads(run("totals", home, "--on", "2026-11-26", "--json"))
    assert {"group": "landings", "label": "landings", "unit": "", "values": [4, 4, 4]} in told[
        "totals"
    ]


def test_an_empty_logbook_says_how_to_begin(home: Path) -> None:
    assert "No flights yet" in run("totals", home)


def test_a_withdrawn_line_is_listed_with_its_reason(home: Path) -> None:
    run("import", home, book(home))
    run("withdraw", home, "2", "--reason", "another pilot's")
    assert "does not count: withdrawn: another pilot's" in run("list", home)
    assert "1.2" in run("totals", home, "--on", "2026-11-26")


def test_an_export_is_never_written_over(home: Path) -> None:
    run("import", home, book(home))
    out = home / "out.csv"
    assert "2 lines" in run("export", home, out)
    before = out.read_bytes()
    assert "a name that is free" in run("export", home, out, code=1)
    assert out.read_bytes() == before


def test_a_bad_row_is_refused_with_its_line_and_nothing_comes_in(home: Path) -> None:
    bad = run("import", home, book(home, BOOK.replace("1.5", "1:30")), code=1)
    assert "line 3, total_h: found '1:30', expected hours as 1.5" in bad
    assert "No flights yet" in run("totals", home)


def test_it_is_printed(home: Path) -> None:
    run("import", home, book(home))
    run("print", home, home / "book.pdf", "--letter")
    assert (home / "book.pdf").read_bytes().startswith(b"%PDF")


def test_a_flight_that_is_not_there_cannot_be_corrected(home: Path) -> None:
    words = ("correct", home, "7", "pilot", "B. Pilot", "--reason", "right seat")
    assert "there is no flight 7" in run(*words, code=1)

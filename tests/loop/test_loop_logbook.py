"""The whole logbook: written lines and recorded flights, none counted twice, and on paper."""

import shutil
from datetime import date
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from lubberline import loop
from lubberline.demo.truth import Truth
from lubberline.logbook import Entry, LogbookRow
from lubberline.loop.logbook import Line, logbook_lines, merged, with_logged
from lubberline.loop.logbook_print import logbook_pdf
from lubberline.pilot import Landings
from lubberline.store import add_entries, open_store, withdraw_entry

PILOT = "R. Fenwick"
LAND = "airplane single-engine land"
DAY = date(2026, 11, 25)


@pytest.fixture
def home(kept: tuple[Path, Truth], tmp_path: Path) -> Path:
    return Path(shutil.copytree(kept[0].parents[1], tmp_path / "home"))


def write(home: Path, **fields: object) -> None:
    values = {"flown_on": DAY, "call_sign": "Q-HRN", "total_h": 1.0, **fields}
    row = LogbookRow(line=2, entry=Entry(**values), raw={"row": f"{values}"})  # type: ignore[arg-type]
    with open_store(loop.store_path(home)) as store, store.writing() as session:
        add_entries(session, PILOT, [row], source_name="book.csv")


def test_a_recorded_flight_is_a_line(home: Path, kept: tuple[Path, Truth]) -> None:
    (line,) = logbook_lines(home, PILOT)
    one = line.entry
    assert (line.kept_as, line.counts, one.flown_on) == ("flight 1", True, DAY)
    assert (one.takeoff_count, one.landing_count, one.full_stop_count) == (1, 1, 1)
    assert one.total_h == one.pic_h == pytest.approx(kept[1].on_block_s / 3600.0, abs=0.01)
    assert (one.category_class, one.type_name, one.night_h) == (LAND, "Heron 200", 0.0)


def test_a_day_that_the_logbook_has_is_not_counted_again(home: Path) -> None:
    write(home)
    counted = {line.kept_as: line.counts for line in logbook_lines(home, PILOT)}
    assert counted == {"line 1": True, "flight 1": False}


def test_another_airplane_that_day_is_another_flight(home: Path) -> None:
    write(home, call_sign="Q-TRN")
    assert all(line.counts for line in logbook_lines(home, PILOT))


def test_a_withdrawn_line_frees_the_recording(home: Path) -> None:
    write(home)
    with open_store(loop.store_path(home)) as store, store.writing() as session:
        withdraw_entry(session, 1, reason="wrong day")
    lines = {line.kept_as: line for line in logbook_lines(home, PILOT)}
    assert lines["flight 1"].counts
    assert lines["line 1"].reason == "withdrawn: wrong day"


def landings(count: int, *, stops: int = 0, day: date = DAY) -> Landings:
    return Landings(
        on=day,
        category_class=LAND,
        tailwheel=False,
        takeoff_count=count,
        landing_count=count,
        full_stop_count=stops,
    )


def test_of_two_lines_for_one_day_the_larger_counts_hold() -> None:
    other = landings(1, day=date(2026, 11, 1))
    both = merged([landings(3)], [landings(2, stops=2), other])
    assert both == (other, landings(3, stops=2))


def test_without_a_logbook_the_pilots_file_stands_alone(home: Path) -> None:
    assert with_logged(home, PILOT, None) is None
    assert with_logged(home, PILOT, (landings(3),)) == (landings(3),)


def test_landings_of_the_logbook_make_the_pilot_recent(home: Path) -> None:
    """Three landings to a full stop by night, in the logbook only: 14 CFR 61.57(b)."""
    flight = next((home / "flights").iterdir())

    before = loop.prepare(flight, None).plan.pilot.landings
    write(
        home,
        flown_on=date(2026, 11, 20),
        category_class=LAND,
        tailwheel=False,
        takeoff_count=3,
        landing_count=3,
        full_stop_count=3,
        night_takeoff_count=3,
        night_full_stop_count=3,
    )
    after = loop.prepare(flight, None).plan.pilot.landings
    assert after is not None
    assert len(after) == len(before or ()) + 1
    assert sum(one.night_full_stop_count for one in after) == 3


def pdf_text(content: bytes) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(BytesIO(content)).pages)


def test_the_printed_logbook_carries_its_sums_forward() -> None:
    entry = Entry(flown_on=DAY, call_sign="Q-HRN", total_h=1.5, landing_count=2, remark="pattern")
    lines = [Line(entry=entry, kept_as=f"line {n}") for n in range(31)]
    lines.append(Line(entry=entry, kept_as="line 31", counts=False, reason="withdrawn: twice"))
    text = pdf_text(logbook_pdf(lines, pilot=PILOT, on=DAY))
    assert "page 3 of 3" in text
    assert text.count("pattern") == 31
    for words in ("carried forward", "45.0", "46.5", "62", "31 lines count; 1 more are kept"):
        assert words in text


def test_an_empty_logbook_prints_all_the_same() -> None:
    assert "0 lines." in pdf_text(logbook_pdf([], pilot=PILOT, on=DAY))

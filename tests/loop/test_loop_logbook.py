"""The whole logbook: written lines and recorded flights, none counted twice, and on paper."""

import shutil
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from lubberline import loop
from lubberline.demo.truth import Truth
from lubberline.flight import read_plan
from lubberline.logbook import Entry, LogbookRow
from lubberline.loop.debriefing import Judged, judge
from lubberline.loop.logbook import Line, logbook_lines, merged, with_logged
from lubberline.loop.logbook_print import logbook_pdf
from lubberline.loop.same_flight import seen_before
from lubberline.loop.taken import LogAsked, role_of
from lubberline.pilot import FlownAs, Landings
from lubberline.store import (
    StoredFlight,
    StoredMovement,
    add_entries,
    correct_flight,
    open_store,
    withdraw_entry,
)

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


def judged(home: Path, **asked: object) -> Judged:
    """The kept flight judged again, with a wish for the logbook."""
    flight = next((home / "flights").iterdir())
    recording = next(flight.glob("recording.*"))
    log = LogAsked(**asked)  # type: ignore[arg-type]
    return judge(flight, recording, keep=False, log=log)


def test_the_row_is_offered_and_taken_once(home: Path) -> None:
    assert judged(home).logged == "The row is not in the logbook; --log takes it."
    assert judged(home, take=True).logged == f"Taken into the logbook of {PILOT} as line 1."
    assert judged(home, take=True).logged.endswith("in the logbook already, as line 1.")
    taken, recorded = sorted(logbook_lines(home, PILOT), key=lambda line: not line.counts)
    assert (recorded.counts, recorded.reason) == (False, "taken into the logbook as line 1")
    assert replace(taken.entry, total_h=0.0, pic_h=0.0, cross_country_h=0.0) == replace(
        recorded.entry, total_h=0.0, pic_h=0.0, cross_country_h=0.0
    )
    assert taken.entry.total_h == pytest.approx(recorded.entry.total_h, abs=0.01)
    assert taken.entry.cross_country_h == taken.entry.total_h


def test_a_row_that_was_withdrawn_can_be_taken_again(home: Path) -> None:
    judged(home, take=True)
    with open_store(loop.store_path(home)) as store, store.writing() as session:
        withdraw_entry(session, 1, reason="wrong role")
    assert judged(home, take=True, role="dual").logged.endswith("as line 2.")


def test_a_day_that_was_written_down_is_taken_only_as_another_flight(home: Path) -> None:
    write(home)
    assert "already, as line 1; if that is another flight" in judged(home, take=True).logged
    assert judged(home, take=True, another=True).logged.endswith("as line 2.")
    assert [line.counts for line in logbook_lines(home, PILOT)].count(True) == 2


@pytest.mark.parametrize(
    ("role", "hours", "landing_count"),
    [
        ("command", ("pic_h",), 1),
        ("solo", ("pic_h", "solo_h"), 1),
        ("dual", ("dual_received_h",), 1),
        ("instruction", ("pic_h", "instruction_given_h"), 0),
    ],
)
def test_a_role_decides_which_hours_and_landings_count(
    home: Path, role: FlownAs, hours: tuple[str, ...], landing_count: int
) -> None:
    assert judged(home, take=True, role=role).role.by == "--role"
    entry = next(line.entry for line in logbook_lines(home, PILOT) if line.counts)
    kinds = ("pic_h", "solo_h", "dual_received_h", "instruction_given_h")
    assert [bool(getattr(entry, name)) for name in kinds] == [name in hours for name in kinds]
    assert entry.landing_count == landing_count


def test_a_role_that_nobody_said_is_assumed_aloud(home: Path) -> None:
    assert "is assumed" in " ".join(judged(home).sentences())
    assert logbook_lines(home, PILOT)[0].no_role


def test_the_command_comes_before_the_flight_and_the_flight_before_the_pilot(home: Path) -> None:
    plan = read_plan(next((home / "flights").iterdir()))
    plan = replace(plan, pilot=replace(plan.pilot, usual_role="instruction"))
    assert role_of(plan, None).name == "instruction"
    plan = replace(plan, flight=replace(plan.flight, role="solo"))
    assert (role_of(plan, None).name, role_of(plan, "dual").name) == ("solo", "dual")
    student = replace(plan.pilot, certificate="student", usual_role=None)
    plan = replace(plan, pilot=student, flight=replace(plan.flight, role=None))
    assert role_of(plan, None).name == "dual"


def test_a_learners_landings_make_no_instructor_recent(home: Path) -> None:
    after_utc = datetime(2026, 11, 27, tzinfo=UTC)
    assert len(loop.recorded_movements(home, PILOT, after_utc)) == 2
    with open_store(loop.store_path(home)) as store, store.writing() as session:
        correct_flight(session, 1, "role", "instruction", reason="I was in the right seat")
    assert loop.recorded_movements(home, PILOT, after_utc) == ()
    assert logbook_lines(home, PILOT)[0].entry.landing_count == 0


def flight_at(number: int, minute: int) -> StoredFlight:
    begun_utc = datetime(2026, 11, 25, 20, tzinfo=UTC) + timedelta(minutes=minute)
    movements = tuple(
        StoredMovement(kind=kind, at_utc=begun_utc + timedelta(minutes=m), lat_deg=0.0, lon_deg=0.0)
        for kind, m in (("take-off", 10), ("landing", 40))
    )
    return StoredFlight(
        flight_id=number, flown_utc=begun_utc, title="", departure_id="", destination_id="",
        aircraft="", pilot="", movement_count=2, recording_name="", recording_sha256="",
        pledge_sha256=None, movements=movements,
    )  # fmt: skip


def test_two_recordings_of_one_flight_are_one_flight() -> None:
    flights = [flight_at(1, 0), flight_at(2, 1), flight_at(3, 60), flight_at(4, 80)]
    assert seen_before(flights) == {2: 1, 4: 3}
    assert seen_before([flight_at(1, 0), flight_at(2, 35)]) == {}


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


def test_a_store_that_cannot_be_read_gives_no_practice_and_says_so(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    (tmp_path / "lubberline.db").write_bytes(b"no store" * 1_000)
    assert loop.recorded_movements(tmp_path, PILOT, datetime(2026, 11, 26, tzinfo=UTC)) == ()
    assert "recency rests on the logbook alone" in caplog.text

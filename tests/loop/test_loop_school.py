"""A learner by task codes with evidence, one pilot over types, and who may be shown."""

import csv
import io
import shutil
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from lubberline import demo, loop
from lubberline.errors import BadFile, NoSolution
from lubberline.flown import read_standard
from lubberline.line import Finding, Limit
from lubberline.loop.school import (
    across_pilots,
    across_types,
    code_of,
    learner_record,
    shown_pilots,
    transfer_word,
)
from lubberline.loop.school_record import record_csv, record_html
from lubberline.store import NewFlight, add_flight, open_store

ME, LEARNER = "R. Fenwick", "B. Learner"
FIRST_UTC = datetime(2026, 3, 1, 15, tzinfo=UTC)
HEIGHT = Limit(
    key="flown.cruise_height_worst",
    label="height in cruise, worst",
    unit="ft",
    basis="standard",
    source="FAA-S-ACS-6C, PA.VI.A.S7",
    low=-200.0,
    high=200.0,
    target=0.0,
)
FINAL = replace(
    HEIGHT,
    key="flown.approach_airspeed",
    label="airspeed <on> final",
    unit="kt",
    source="FAA-S-ACS-6C, PA.IV.B.S7 (from memory)",
    low=-5.0,
    high=10.0,
)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    files = Path(demo.__file__).parent / "files"
    shutil.copy(files / "pilot.toml", tmp_path / "pilot.toml")
    shutil.copytree(files / "standards", tmp_path / "standards")
    return tmp_path


def share(home: Path, *names: str) -> None:
    (home / "school.toml").write_text(f"shared = {list(names)}\n", encoding="utf-8")


def fly(
    home: Path,
    values: Sequence[float | None],
    limit: Limit = HEIGHT,
    *,
    pilot: str = LEARNER,
    type_name: str = "Heron 200",
) -> None:
    """One flight for each value, a day apart, after those that are there."""
    with open_store(loop.store_path(home)) as store, store.writing() as session:
        start = session.connection().exec_driver_sql("SELECT count(*) FROM flight").scalar_one()
        for number, value in enumerate(values, start):
            missing = "" if value is not None else "heights"
            add_flight(
                session,
                NewFlight(
                    flown_utc=FIRST_UTC + timedelta(days=number),
                    title=f"lesson {number}",
                    departure_id="QWRN",
                    destination_id="QMRL",
                    aircraft="Q-HRN",
                    pilot=pilot,
                    movement_count=2,
                    recording_name="x",
                    recording=f"{number}".encode(),
                    type_name=type_name,
                    findings=(Finding(limit=limit, value=value, sigma=5.0, missing=missing),),
                ),
            )


def test_another_pilot_is_not_shown_without_having_agreed(home: Path) -> None:
    fly(home, [50.0])
    with pytest.raises(NoSolution, match=r"B\. Learner has not agreed"):
        learner_record(home, LEARNER)


def test_the_own_pilot_is_always_shown(home: Path) -> None:
    assert shown_pilots(home) == (ME,)
    share(home, LEARNER, ME)
    assert shown_pilots(home) == (ME, LEARNER)


def test_a_wrong_school_file_is_refused(home: Path) -> None:
    (home / "school.toml").write_text("sharing = []\n", encoding="utf-8")
    with pytest.raises(BadFile, match="sharing"):
        shown_pilots(home)


@pytest.mark.parametrize(
    ("values", "word"),
    [
        ([50.0, 60.0, 70.0], "met, 3 flights in a row"),
        ([250.0, 60.0, 70.0], "met on the latest 2 of 3"),
        ([50.0, 250.0], "outside on the latest flight"),
        ([195.0] * 3, "met, 3 flights in a row"),  # close is not outside
    ],
)
def test_standing_follows_the_latest_flights(home: Path, values: list[float], word: str) -> None:
    share(home, LEARNER)
    fly(home, values)
    (task,) = learner_record(home, LEARNER)
    assert (task.code, task.word, len(task.evidence)) == ("PA.VI.A.S7", word, len(values))


def test_a_standing_rests_on_the_worst_of_the_latest_flight(home: Path) -> None:
    share(home, LEARNER)
    fly(home, [-300.0, 250.0])
    (task,) = learner_record(home, LEARNER)
    better = replace(task.evidence[-1], finding=Finding(limit=HEIGHT, value=20.0))
    assert replace(task, evidence=(*task.evidence, better)).telling.finding.value == 250.0


def test_a_flight_that_could_not_be_measured_is_no_evidence(home: Path) -> None:
    share(home, LEARNER)
    fly(home, [50.0, None])
    (task,) = learner_record(home, LEARNER)
    assert task.flight_count == 1


def test_a_standard_also_tells_what_is_not_shown_yet(home: Path) -> None:
    share(home, LEARNER)
    fly(home, [50.0])
    standard = read_standard(home / "standards" / "private.toml")
    words = {one.code: one.word for one in learner_record(home, LEARNER, standard)}
    assert words["PA.VI.A.S7"] == "met on the latest 1 of 1"
    assert words["PA.V.A.S5"] == "not shown yet"


def test_without_evidence_there_is_no_record(home: Path) -> None:
    fly(home, [50.0], replace(HEIGHT, basis="own", source="own"), pilot=ME)
    with pytest.raises(NoSolution, match="shows any task"):
        learner_record(home, ME)


@pytest.mark.parametrize(
    ("limit", "code"),
    [
        (HEIGHT, "PA.VI.A.S7"),
        (FINAL, "PA.IV.B.S7"),
        (replace(HEIGHT, source="FAA-S-ACS-6C, PA.VII.B"), "PA.VII.B"),
        (replace(HEIGHT, source="a document, page 7"), None),
        (replace(HEIGHT, basis="own"), None),
    ],
)
def test_codes_come_from_the_source_of_a_standard(limit: Limit, code: str | None) -> None:
    assert code_of(Finding(limit=limit, value=1.0)) == code


def test_the_record_as_csv_has_a_row_for_each_piece_of_evidence(home: Path) -> None:
    share(home, LEARNER)
    fly(home, [50.0, -250.0])
    rows = list(csv.DictReader(io.StringIO(record_csv(learner_record(home, LEARNER)))))
    assert [row["verdict"] for row in rows] == ["inside", "outside"]
    assert (rows[1]["value"], rows[1]["low"], rows[1]["unit"]) == ("-250", "-200", "ft")
    assert len(rows[0]["recording_sha256"]) == 64


def test_the_record_as_a_page_needs_no_other_file_and_escapes_names(home: Path) -> None:
    share(home, LEARNER)
    fly(home, [2.0], FINAL)
    page = record_html(
        learner_record(home, LEARNER), learner="B. <L>", by="a standard", made_on=date(2026, 4, 1)
    )
    assert "B. &lt;L&gt;" in page
    assert "airspeed &lt;on&gt; final" in page
    assert "-5/+10" in page
    assert not any(word in page for word in ("<L>", "http", "src=", "<link"))


@pytest.mark.parametrize(
    ("before", "after", "word"),
    [
        ([1.0] * 5, [1.2] * 3, "carried over"),
        ([1.0] * 5, [1.4] * 3, "carried over in part"),
        ([1.0] * 5, [2.0] * 3, "learned anew"),
        ([9.0] * 5 + [1.0] * 5, [2.0] * 3, "learned anew"),  # the latest before count
        ([1.0] * 2, [1.0] * 3, "too early to say"),
    ],
)
def test_what_carries_over_is_told_by_the_first_flights(
    before: list[float], after: list[float], word: str
) -> None:
    assert transfer_word(before, after) == word


def test_types_stand_in_the_order_in_which_they_were_flown(home: Path) -> None:
    fly(home, [50.0, -50.0, 50.0], pilot=ME)
    fly(home, [150.0] * 3, pilot=ME, type_name="Tern")
    table = across_types(home, ME)
    (row,) = table.rows
    assert table.columns == ("Heron 200", "Tern")
    assert [cell.value for cell in row.cells if cell] == [50.0, 150.0]
    assert (row.words, row.allowed) == (("learned anew",), "±200")


def test_pilots_who_did_not_agree_are_counted_and_not_shown(home: Path) -> None:
    fly(home, [50.0], pilot=ME)
    fly(home, [60.0, 70.0])
    fly(home, [80.0] * 3, pilot="C. Other")
    share(home, LEARNER)
    table = across_pilots(home)
    assert (table.columns, table.left_out_count) == ((ME, LEARNER), 3)
    assert [cell.flight_count for cell in table.rows[0].cells if cell] == [1, 2]

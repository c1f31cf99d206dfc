"""A pilot's file: what it says is kept, what it leaves out is not known, the rest is refused."""

from datetime import date
from pathlib import Path

import pytest

import lubberline
from lubberline.errors import BadFile
from lubberline.pilot import read_pilot

FENWICK = Path(lubberline.__file__).parent / "demo" / "files" / "pilot.toml"
TEXT = FENWICK.read_text(encoding="utf-8")

LEAST = "name = 'A'\nborn_on = 1990-01-31\ncertificate = 'private'\nweight_lb = 170\n"


def written(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "pilot.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_the_invented_pilot_is_read_whole() -> None:
    pilot = read_pilot(FENWICK)
    assert (pilot.certificate, pilot.instructor, pilot.medical_class) == ("commercial", True, 2)
    assert pilot.medical_on == date(2026, 2, 12)
    assert pilot.own.fuel_reserve_min == 60
    assert pilot.own.due_buffer_days == 30


def test_the_pilot_says_first_to_be_invented() -> None:
    assert "invented" in TEXT.splitlines()[0]


def test_what_is_left_out_is_not_known_and_asks_nothing(tmp_path: Path) -> None:
    pilot = read_pilot(written(tmp_path, LEAST))
    assert (pilot.medical_class, pilot.medical_on, pilot.flight_review_on) == (None, None, None)
    assert (pilot.own.crosswind_kt, pilot.own.fuel_reserve_min) == (None, None)
    assert (pilot.own.runway_factor, pilot.own.airspace_lateral_nm) == (1.0, 0.0)


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("medical_on = 2026-02-12", "medical_class and medical_on together, or neither"),
        ("medical_class = 2", "medical_class and medical_on together, or neither"),
        ("flight_review_on = 1990-01-31", "a day after born_on, 1990-01-31"),
        ("medical_class = 4", "1, 2 or 3"),
        ("flight_review_on = 2026-02-30", "TOML"),
        ("own = { runway_factor = 0.9 }", "greater than or equal to 1; e.g. runway_factor = 1.5"),
        ("own = { fuel_reserve_h = 1 }", "a known key; e.g. fuel_reserve_min = ..."),
    ],
)
def test_an_impossible_line_is_told(tmp_path: Path, line: str, told: str) -> None:
    with pytest.raises(BadFile) as caught:
        read_pilot(written(tmp_path, f"{LEAST}{line}\n"))
    (problem,) = caught.value.problems
    assert told in str(problem)


def test_a_certificate_that_does_not_exist_is_refused_with_those_that_do(tmp_path: Path) -> None:
    with pytest.raises(BadFile, match="'private', 'commercial' or 'airline transport'"):
        read_pilot(written(tmp_path, LEAST.replace("'private'", "'PPL'")))


LANDING = (
    "[[landing]]\non = 2026-11-14\ncategory_class = 'airplane single-engine land'\n"
    "tailwheel = false\ntakeoff_count = 3\nlanding_count = 3\n"
)


def test_landings_lessons_and_basicmed_are_kept(tmp_path: Path) -> None:
    lesson = "[[lesson]]\nfrom_utc = 2026-11-25T08:00:00-09:00\nflight_h = 1.5\n"
    basicmed = "[basicmed]\nexam_on = 2025-04-18\ncourse_on = 2025-04-22\n"
    pilot = read_pilot(written(tmp_path, f"{LEAST}{LANDING}{lesson}{basicmed}"))
    assert pilot.landings is not None
    assert (pilot.landings[0].landing_count, pilot.landings[0].full_stop_count) == (3, 0)
    assert pilot.lessons is not None
    assert f"{pilot.lessons[0].until_utc:%H:%MZ}" == "18:30Z"
    assert pilot.basicmed is not None
    assert pilot.basicmed.course_on == date(2025, 4, 22)


def test_no_lessons_is_not_the_same_as_lessons_not_on_file(tmp_path: Path) -> None:
    assert read_pilot(written(tmp_path, LEAST)).lessons is None
    assert read_pilot(written(tmp_path, f"{LEAST}lesson = []\n")).lessons == ()


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("full_stop_count = 4", "at most landing_count, 3"),
        ("night_takeoff_count = 4", "at most takeoff_count, 3"),
        ("full_stop_count = 1\nnight_full_stop_count = 2", "at most full_stop_count, 1"),
    ],
)
def test_no_part_of_the_landings_exceeds_the_whole(tmp_path: Path, line: str, told: str) -> None:
    with pytest.raises(BadFile) as caught:
        read_pilot(written(tmp_path, f"{LEAST}{LANDING}{line}\n"))
    (problem,) = caught.value.problems
    assert told in str(problem)


@pytest.mark.parametrize(
    "line", ["ratings = ['helicopter']", "endorsements = ['high-performance']"]
)
def test_a_rating_or_endorsement_that_does_not_exist_is_refused(tmp_path: Path, line: str) -> None:
    with pytest.raises(BadFile, match=r"airplane single-engine land|high performance"):
        read_pilot(written(tmp_path, f"{LEAST}{line}\n"))

"""``lubberline due``: text at 80 columns, JSON, the calendar file, and refusals."""

import json
import shutil
from pathlib import Path

import icalendar
import pytest
from typer.testing import CliRunner, Result

import lubberline
from lubberline.cli import commands  # noqa: F401 - registers the commands
from lubberline.cli.app import app


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A pilot's folder with the starter's pilot and airplane, and nothing else."""
    files = Path(lubberline.__file__).parent / "demo" / "files"
    home = tmp_path / "folder"
    shutil.copytree(files / "aircraft", home / "aircraft")
    shutil.copy(files / "pilot.toml", home)
    return home


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(app, ["due", *(str(word) for word in words)])


def refused(result: Result) -> str:
    assert result.exit_code == 1, result.output
    assert isinstance(result.exception, SystemExit)
    return result.stderr


def test_rows_come_by_day_at_80_columns(folder: Path) -> None:
    shown = run(folder, "--on", "2026-11-25", "--days", "600")
    assert shown.exit_code == 0, shown.output
    rows = shown.output.splitlines()
    assert max(map(len, rows)) <= 80
    assert rows[0] == "DUE  from 2026-11-25: in 600 days or 25 hours"
    days = [row[3:13] for row in rows if row[3:5] == "20"]
    assert days == sorted(days)
    assert any("~2026-12-30" in row and "oil and filter" in row for row in rows)
    assert any("flight review" in row and "R. Fenwick" in row for row in rows)
    assert "does not apply" in shown.output


def test_fewer_days_show_fewer_and_count_the_rest(folder: Path) -> None:
    shown = run(folder, "--on", "2026-11-25", "--days", "0", "--hours", "0")
    assert "Nothing comes due." in shown.output
    assert "14 more later" in shown.output


def test_what_is_past_is_marked(folder: Path) -> None:
    shown = run(folder, "--on", "2027-04-01", "--days", "0", "--hours", "0").output
    (annual,) = [row for row in shown.splitlines() if "annual inspection" in row]
    assert annual.startswith("✖")
    assert "-1 days" in annual


def test_what_is_not_known_names_its_entry(folder: Path) -> None:
    heron = folder / "aircraft" / "heron.toml"
    text = heron.read_text(encoding="utf-8").replace("annual_on = 2026-03-12\n", "")
    heron.write_text(text, encoding="utf-8")
    shown = run(folder, "--on", "2026-11-25").output
    assert "Not known:\n  Q-HRN, annual inspection: upkeep.annual_on in the aircraft file" in shown


def test_json_has_each_finding_in_full(folder: Path) -> None:
    document = json.loads(run(folder, "--on", "2026-11-25", "--days", "600", "--json").output)
    assert document["today"] == "2026-11-25"
    keys = [row["finding"]["key"] for row in document["due"]]
    assert "airplane.item.oil" in keys
    assert {"pilot.medical", "pilot.instructor_recency"} <= set(keys)
    assert document["unknown"] == []
    assert len(document["not_asked"]) == 2


def test_the_calendar_has_an_event_for_each_row(folder: Path, tmp_path: Path) -> None:
    path = tmp_path / "due.ics"
    shown = run(folder, "--on", "2026-11-25", "--days", "600", "--ics", path)
    assert f"wrote {path}: 11 events" in shown.output.replace("\n", "")
    calendar = icalendar.Calendar.from_ical(path.read_bytes())
    assert len(calendar.walk("VEVENT")) == 11
    assert len(calendar.walk("VALARM")) == 11  # due_buffer_days = 30 in the starter's pilot.toml
    assert run(folder, "--ics", path).exit_code == 0  # ours: written again


def test_a_file_of_another_kind_is_left_alone(folder: Path, tmp_path: Path) -> None:
    path = tmp_path / "notes.txt"
    path.write_text("mine", encoding="utf-8")
    assert "another kind" in refused(run(folder, "--ics", path))
    assert path.read_text(encoding="utf-8") == "mine"
    assert "a directory" in refused(run(folder, "--ics", tmp_path))
    assert "can be written to" in refused(run(folder, "--ics", path / "due.ics"))
    assert run(folder, "--ics", tmp_path / "made" / "due.ics").exit_code == 0


def test_all_airplanes_of_the_folder_are_listed(folder: Path) -> None:
    heron = folder / "aircraft" / "heron.toml"
    text = heron.read_text(encoding="utf-8").replace('"Q-HRN"', '"Q-TRN"')
    (folder / "aircraft" / "tern.toml").write_text(text, encoding="utf-8")
    shown = run(folder, "--on", "2026-11-25", "--days", "600").output
    assert "Q-HRN" in shown
    assert "Q-TRN" in shown


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--on", "9999-12-31"], "expected 1970-01-01 to 2150-01-01"),
        (["--hours", "inf"], "expected a number"),
    ],
)
def test_words_out_of_range_are_refused(folder: Path, words: list[str], told: str) -> None:
    assert told in refused(run(folder, *words))


def test_a_place_that_is_no_folder_of_a_pilot_is_refused(tmp_path: Path) -> None:
    assert "no pilot.toml in it" in refused(run(tmp_path))
    assert "no pilot.toml in it" in refused(run(tmp_path / "absent"))


@pytest.mark.parametrize("words", [["--days", "-1"], ["--hours", "nan"], ["--on", "spring"]])
def test_wrong_words_exit_with_two(folder: Path, words: list[str]) -> None:
    assert run(folder, *words).exit_code == 2


def test_a_wrong_aircraft_file_is_told_with_its_line(folder: Path) -> None:
    (folder / "aircraft" / "wrong.toml").write_text("name = 3\n", encoding="utf-8")
    assert "wrong.toml" in refused(run(folder))

"""``lubberline mark`` and ``flown``: own marks first, then three sentences, line, phases."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from lubberline import loop
from lubberline.cli import commands  # noqa: F401 - registers the commands
from lubberline.cli.app import app
from lubberline.demo import FLIGHTS, record_way, way_of, write_folder


@pytest.fixture(scope="module")
def flight(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The starter's flight with a recording, without a pledge."""
    folder = write_folder(tmp_path_factory.mktemp("flown") / "folder")
    prepared = loop.prepare(folder, None)
    record_way(prepared.plan, way_of(FLIGHTS[-1], prepared.ways), FLIGHTS[-1])
    return folder


def run(*words: str, typed: str = "") -> Result:
    return CliRunner().invoke(app, list(words), input=typed)


def flown(flight: Path, *words: str) -> Result:
    recording = next(flight.glob("recording.*"))
    result = run("flown", str(flight), str(recording), "--no-keep", *words)
    assert result.exit_code == 0, result.output
    return result


def test_the_three_sentences_come_before_the_line_and_the_phases(flight: Path) -> None:
    text = flown(flight).output
    places = [
        text.index(part) for part in ("Best:", "Cost most:", "Try next:", "verdict", "phase or")
    ]
    assert places == sorted(places)
    assert max(len(row) for row in text.splitlines() if " = " not in row) <= 80


def test_the_document_holds_all_of_it(flight: Path, tmp_path: Path) -> None:
    import polars

    path = tmp_path / "samples.parquet"
    found = json.loads(flown(flight, "--json", "--parquet", str(path)).output)
    assert [one["kind"] for one in found["summary"]] == ["best", "cost most", "try next"]
    assert found["logbook"]["takeoffs_count"] == 1
    assert {"phases_found", "maneuvers", "held", "marks"} <= set(found)
    assert {"time_s", "indicated_ft", "bank_deg", "ias_kt"} <= set(
        polars.read_parquet(path).columns
    )


def test_marks_are_given_and_set_beside(flight: Path) -> None:
    given = ("--mark", "climb=close", "--note", "climb=slow at first")
    assert run("mark", str(flight), *given).exit_code == 0
    text = flown(flight).output
    assert "own mark" in text
    assert "slow at first" in text
    (flight / "marks.toml").unlink()


def test_without_marks_nothing_is_said_of_them(flight: Path) -> None:
    assert "own mark" not in flown(flight).output


def test_marks_are_asked_phase_by_phase_and_skipped_by_enter(flight: Path) -> None:
    result = run("mark", str(flight), typed="\nc\nslow\no\n\nq\n")
    assert result.exit_code == 0, result.output
    said = (flight / "marks.toml").read_text(encoding="utf-8")
    assert said.count("[[mark]]") == 2
    assert 'phase = "climb"\nmark = "close"\nnote = "slow"' in said
    assert 'phase = "cruise"\nmark = "outside"' in said
    (flight / "marks.toml").unlink()


def test_nothing_said_is_nothing_written(flight: Path) -> None:
    assert "nothing was marked" in run("mark", str(flight), typed="q\n").output
    assert not (flight / "marks.toml").exists()


@pytest.mark.parametrize(
    ("given", "expected"),
    [("climb", "PHASE="), ("loop=inside", "take-off, climb"), ("climb=great", "inside, close")],
)
def test_a_wrong_mark_is_refused_with_what_is_expected(
    flight: Path, given: str, expected: str
) -> None:
    result = run("mark", str(flight), "--mark", given)
    assert result.exit_code == 2
    assert expected.split(",")[0] in result.output
    assert not (flight / "marks.toml").exists()


def test_a_correction_is_shown_as_one(flight: Path) -> None:
    found = json.loads(flown(flight, "--json").output)["phases"]
    cruise = next(one for one in found if one["name"] == "cruise")
    at = int(cruise["start_s"]) + 60
    clock = f"{at // 3600 % 24:02d}:{at // 60 % 60:02d}:{at % 60:02d}"
    text = f"[[phase]]\nat = {clock}\nname = 'descent'\nwhy = 'was going down'\n"
    (flight / "corrections.toml").write_text(text, encoding="utf-8")
    shown = flown(flight).output
    (flight / "corrections.toml").unlink()
    assert "descent (corrected; found as cruise)" in shown
    assert "was going down" in " ".join(shown.split())


def unknown_csv(flight: Path, folder: Path) -> Path:
    """The recording under headings that say nothing."""
    recording = next(flight.glob("recording.csv"))
    rows = [row for row in recording.read_text().splitlines() if not row.startswith("#")]
    path = folder / "unknown.csv"
    path.write_text("\n".join(["A,B,C,D,E,F,G", *rows[1:]]) + "\n")
    return path


def test_columns_that_nobody_agreed_to_are_refused_and_kept_when_asked(
    flight: Path, tmp_path: Path
) -> None:
    path = unknown_csv(flight, tmp_path)
    words = ("flown", str(flight), str(path), "--no-keep")
    refused = run(*words)
    assert refused.exit_code == 1
    assert "A, B, C, whose meaning only their values suggest" in refused.stderr
    assert "--keep-columns" in refused.stderr
    agreed = run(*words, "--keep-columns")
    assert agreed.exit_code == 0, agreed.output
    assert "kept the columns of unknown.csv" in agreed.output
    assert "What the columns are was read from unknown.toml" in " ".join(run(*words).output.split())

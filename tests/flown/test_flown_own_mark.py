"""Own marks: written, read back, set beside what was measured."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from lubberline.errors import BadFile
from lubberline.flown import OwnMark, add_marks, beside, read_marks
from lubberline.line import Finding, Limit, Verdict

NOW_UTC = datetime(2026, 11, 25, 22, 10, tzinfo=UTC)


def own(phase: str, mark: str, note: str = "") -> OwnMark:
    return OwnMark(phase=phase, mark=mark, note=note, made_utc=NOW_UTC)  # type: ignore[arg-type]


def finding(key: str, value: float | None) -> Finding:
    limit = Limit(
        key=f"flown.{key}", label=key, unit="ft", basis="standard", source="s", low=-100, high=100
    )
    return Finding(limit=limit, value=value, sigma=5.0, missing="" if value is not None else "more")


@pytest.mark.parametrize("note", ["", "fast over the fence", 'a "quote" and \\ a stroke', "é ü"])
def test_marks_come_back_as_they_were_said(tmp_path: Path, note: str) -> None:
    said = (own("cruise", "inside", note), own("approach", "close"))
    add_marks(tmp_path, said)
    assert read_marks(tmp_path) == said


def test_the_last_mark_of_a_phase_counts_and_the_first_stays_in_the_file(tmp_path: Path) -> None:
    add_marks(tmp_path, [own("cruise", "inside")])
    path = add_marks(tmp_path, [own("cruise", "outside")])
    assert [one.mark for one in read_marks(tmp_path)] == ["outside"]
    assert path.read_text(encoding="utf-8").count("[[mark]]") == 2


def test_nothing_marked_is_nothing(tmp_path: Path) -> None:
    assert read_marks(tmp_path) == ()


def test_a_wrong_word_is_refused(tmp_path: Path) -> None:
    (tmp_path / "marks.toml").write_text("[[mark]]\nphase = 'cruise'\nmark = 'great'\n")
    with pytest.raises(BadFile, match="great"):
        read_marks(tmp_path)


def test_the_worst_known_verdict_of_a_phase_stands_beside_the_mark() -> None:
    findings = [
        finding("cruise_height_worst", 150.0),
        finding("course_worst", 0.0),
        finding("steep_turn_height.2", 95.0),
        finding("touchdown", None),
        finding("takeoff_time", 500.0),
    ]
    rows = beside([own("cruise", "inside"), own("landing", "close")], findings)
    told = {one.phase: (one.own is not None, one.measured, one.agrees) for one in rows}
    assert told == {
        "cruise": (True, Verdict.OUTSIDE, False),
        "maneuvers": (False, Verdict.CLOSE, None),
        "landing": (True, None, None),
    }


def test_agreement_is_the_same_word() -> None:
    rows = beside([own("cruise", "outside")], [finding("cruise_height_worst", 150.0)])
    assert rows[0].agrees is True
    assert rows[0].decided_by is not None

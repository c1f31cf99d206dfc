"""Corrections: applied, said, and never over what was found."""

from pathlib import Path

import pytest
from flown_flights import NO_PLACES, cross_country, recorded

from lubberline.errors import BadFile
from lubberline.flown import Flown, debrief, read_corrections, read_standard

STANDARDS = Path(__file__).parents[2] / "src" / "lubberline" / "demo" / "files" / "standards"
PRIVATE = read_standard(STANDARDS / "private.toml")
RECORDING = recorded(cross_country(cruise_s=300.0).trace())


def corrected(folder: Path, text: str) -> Flown:
    (folder / "corrections.toml").write_text(text, encoding="utf-8")
    return debrief(
        RECORDING,
        places=NO_PLACES,
        pledge=None,
        standard=PRIVATE,
        corrections=read_corrections(folder),
    )


@pytest.fixture(scope="module")
def found() -> Flown:
    return debrief(RECORDING, places=NO_PLACES, pledge=None, standard=PRIVATE)


def day_time(time_s: float) -> str:
    whole = round(time_s) % 86_400
    return f"{whole // 3600:02d}:{whole // 60 % 60:02d}:{whole % 60:02d}"


def boundary(found: Flown) -> tuple[int, float]:
    """Which phase the cruise is, and when it was found to begin."""
    number = [one.name for one in found.phases].index("cruise")
    return number, found.phases[number].start_s


def test_a_boundary_is_moved_and_both_are_kept(tmp_path: Path, found: Flown) -> None:
    number, start_s = boundary(found)
    text = f"[[boundary]]\nfound = {day_time(start_s + 12)}\nat = {day_time(start_s + 40)}\n"
    flown = corrected(tmp_path, text + "why = 'leveled off late'\n")
    assert flown.phases[number].start_s == pytest.approx(start_s + 40.0, abs=1.0)
    assert flown.phases[number - 1].end_s == flown.phases[number].start_s
    assert flown.found_phases == found.phases
    assert any("leveled off late" in one and "found at" in one for one in flown.account)


def test_a_name_is_changed_for_the_phase_at_that_time(tmp_path: Path, found: Flown) -> None:
    number, start_s = boundary(found)
    text = f"[[phase]]\nat = {day_time(start_s + 60)}\nname = 'descent'\n"
    flown = corrected(tmp_path, text)
    assert flown.phases[number].name == "descent"
    assert flown.found_phases[number].name == "cruise"


@pytest.mark.parametrize("name", ["run-up", "line-up", "downwind", "holding", "taxi-in"])
def test_every_phase_can_be_named_with_its_side(tmp_path: Path, found: Flown, name: str) -> None:
    number, start_s = boundary(found)
    text = f"[[phase]]\nat = {day_time(start_s + 60)}\nname = '{name}'\nside = 'right'\n"
    flown = corrected(tmp_path, text)
    assert flown.phases[number].words == f"right {name}"
    assert flown.found_phases[number].words == "cruise"


@pytest.mark.parametrize(
    "text",
    [
        "[[boundary]]\nfound = 03:00:00\nat = 03:01:00\n",
        "[[phase]]\nat = 03:00:00\nname = 'climb'\n",
    ],
)
def test_what_meets_nothing_is_said(tmp_path: Path, text: str, found: Flown) -> None:
    flown = corrected(tmp_path, text)
    assert flown.phases == found.phases
    assert flown.found_phases == ()
    assert any(one.startswith("not applied") for one in flown.account)


def test_a_boundary_cannot_pass_its_neighbors(tmp_path: Path, found: Flown) -> None:
    _, start_s = boundary(found)
    text = f"[[boundary]]\nfound = {day_time(start_s)}\nat = {day_time(start_s + 7_000)}\n"
    flown = corrected(tmp_path, text)
    assert flown.phases == found.phases
    assert any("lies outside" in one for one in flown.account)


def test_a_maneuver_is_named_where_none_was_recognized(tmp_path: Path, found: Flown) -> None:
    _, start_s = boundary(found)
    text = (
        f"[[maneuver]]\nname = 'slow flight'\nstart = {day_time(start_s + 60)}\n"
        f"end = {day_time(start_s + 120)}\ntarget_ias_kt = 60\n"
    )
    flown = corrected(tmp_path, text)
    assert [(one.name, one.by_pilot) for one in flown.maneuvers] == [("slow flight", True)]
    keys = {one.limit.key for one in flown.findings}
    assert "flown.slow_flight_height" in keys


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("[[phase]]\nat = 10:00:00\nname = 'loitering'\n", "phase.0.name|name"),
        ("[[boundary]]\nfound = 'soon'\nat = 10:00:00\n", "found"),
        ("[[maneuver]]\nname = 'barrel roll'\nstart = 10:00:00\nend = 10:01:00\n", "name"),
        ("[[speed]]\nat = 10:00:00\n", "speed"),
    ],
)
def test_a_wrong_file_is_refused_with_its_key(tmp_path: Path, text: str, expected: str) -> None:
    with pytest.raises(BadFile, match=expected):
        corrected(tmp_path, text)


def test_without_a_file_nothing_is_corrected(tmp_path: Path) -> None:
    assert read_corrections(tmp_path) == ()

"""Standards of flying are read from TOML, and a wrong one is refused with its reasons."""

from pathlib import Path

import pytest

from lubberline.errors import BadFile
from lubberline.flown import read_standard

STANDARDS = Path(__file__).parents[2] / "src" / "lubberline" / "demo" / "files" / "standards"
GOOD = """
name = "mine"
document = "own standard"
read_on = 2026-11-25
basis = "own"
[[tolerance]]
measure = "cruise_height_ft"
label = "height"
unit = "ft"
low = -50
high = 50
code = "cruise"
"""


def refusal(tmp_path: Path, text: str) -> str:
    path = tmp_path / "mine.toml"
    path.write_text(text)
    with pytest.raises(BadFile) as caught:
        read_standard(path)
    return str(caught.value)


@pytest.mark.parametrize("name", ["private", "commercial", "own"])
def test_every_standard_in_the_demo_is_read(name: str) -> None:
    standard = read_standard(STANDARDS / f"{name}.toml")
    assert standard.name == name
    assert standard.read_on == "2026-11-25"
    assert standard.tolerance("cruise_height_ft") is not None


def test_a_standard_names_document_and_code_as_its_source(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text(GOOD)
    standard = read_standard(path)
    tolerance = standard.tolerance("cruise_height_ft")
    assert tolerance is not None
    assert (tolerance.low, tolerance.high) == (-50.0, 50.0)
    assert standard.source(tolerance) == "own standard, cruise"
    assert standard.basis == "own"


def test_a_measure_that_is_not_given_has_no_tolerance() -> None:
    assert read_standard(STANDARDS / "private.toml").tolerance("lazy_eight_height_ft") is None


def test_the_own_example_is_nowhere_wider_than_the_commercial_one() -> None:
    own, published = (read_standard(STANDARDS / f"{name}.toml") for name in ("own", "commercial"))
    for measure, tolerance in own.tolerances.items():
        wide = published.tolerance(measure)
        if wide is not None and tolerance.high is not None and wide.high is not None:
            assert tolerance.high <= wide.high, measure


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        (('unit = "ft"', 'unit = "deg"'), "unit = 'ft', as cruise_height_ft says"),
        (("low = -50\nhigh = 50\n", ""), "low, high or both"),
        (("low = -50", "low = 50"), "less than or equal to 0"),
        (("cruise_height_ft", "cruise_height"), "String should match"),
        (("code", "cod"), "found nothing"),
        (("read_on = 2026-11-25", 'read_on = "soon"'), "read_on"),
        (("low = -50", "low = nan"), "finite number"),
    ],
)
def test_a_wrong_tolerance_is_refused_with_its_reason(
    tmp_path: Path, change: tuple[str, str], expected: str
) -> None:
    assert expected in refusal(tmp_path, GOOD.replace(*change))


def test_a_measure_given_twice_is_refused(tmp_path: Path) -> None:
    twice = GOOD + GOOD[GOOD.index("[[tolerance]]") :]
    assert "cruise_height_ft more than once" in refusal(tmp_path, twice)


def test_a_standard_without_tolerances_is_refused(tmp_path: Path) -> None:
    assert "tolerance" in refusal(tmp_path, GOOD[: GOOD.index("[[tolerance]]")])

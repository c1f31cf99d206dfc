"""Airspace in sentences, and the line as a picture."""

import re

import pytest

from lubberline.line import Finding, Limit, Verdict
from lubberline.loop import Prepared
from lubberline.page.line_svg import MARK_PX, WIDTH_PX, line_rows
from lubberline.page.words import airspace_sentences


def test_every_volume_is_told_with_both_heights(prepared: Prepared) -> None:
    volumes = prepared.plan.places.volumes
    words = list(airspace_sentences(volumes))
    assert len(words) == len(volumes)
    assert "Marl (D): the ground to 2,500 ft MSL, Marl Tower 118.600" in words
    assert "Wren Island (E): 700 ft AGL to 17,999 ft MSL" in words


def finding(value: float | None, sigma: float = 0.0) -> Finding:
    limit = Limit(
        key="a.b", label="l", unit="ft", high=10.0, tolerance=5.0, basis="own", source="s"
    )
    return Finding(limit=limit, value=value, sigma=sigma, missing="" if value else "more")


def middle_px(picture: str) -> float:
    """Where the marker stands."""
    found = re.search(r'cx="([\d.]+)"|class="cross" d="M([\d.]+)', picture)
    assert found is not None
    return float(found[1]) if found[1] else float(found[2]) + 5.0


@pytest.mark.parametrize(
    ("value", "sigma", "verdict"),
    [(10.01, 0.0, "outside"), (9.99, 0.0, "inside"), (9.99, 1.0, "close"), (900.0, 0.0, "outside")],
)
def test_a_marker_stands_on_the_side_of_its_verdict(
    value: float, sigma: float, verdict: str
) -> None:
    (row,) = line_rows((finding(value, sigma),))
    assert row.verdict == verdict
    assert (middle_px(row.picture) < MARK_PX) == (verdict == "outside")
    assert 0.0 < middle_px(row.picture) < WIDTH_PX


def test_the_whisker_is_twice_the_doubt() -> None:
    (row,) = line_rows((finding(5.0, 0.5),))
    ends = re.search(r'class="whisker" x1="([\d.]+)" x2="([\d.]+)"', row.picture)
    assert ends is not None
    step_px = (middle_px(row.picture) - MARK_PX) / 1.0  # 5 ft under the limit is one step
    assert float(ends[2]) - float(ends[1]) == pytest.approx(4 * 0.5 / 5.0 * step_px, abs=0.2)


def test_an_unknown_value_is_a_question_on_the_mark() -> None:
    (row,) = line_rows((finding(None),))
    assert row.verdict == Verdict.UNKNOWN
    assert ">?</text>" in row.picture
    assert "would supply it: more" in row.remark

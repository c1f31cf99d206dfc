"""On which side of a volume a way passes, and what is left to it, in words."""

from dataclasses import replace
from math import inf, nan

import pytest
from ways_cases import box, level_path, problem, sloping_ground, volume

from lubberline.places import Footprint
from lubberline.ways import Encounter, check, room_words

MIDDLE: Footprint = box(-3.0, -3.0, 3.0, 3.0)


def met(
    msl_ft: float, *, floor: tuple[str, float], ceiling: tuple[str, float], ground_ft: float = 0.0
) -> Encounter:
    stated = problem(
        volume(MIDDLE, floor=floor, ceiling=ceiling), terrain=sloping_ground(ground_ft, ground_ft)
    )
    path = level_path(stated, msl_ft, (-20.0, 0.0), (20.0, 0.0))
    (one,) = check(stated, path, frozenset()).encounters
    return one


@pytest.mark.parametrize(
    ("msl_ft", "floor", "ceiling", "ground_ft", "words"),
    [
        (2_500.0, ("MSL", 3_000.0), ("MSL", 7_000.0), 0.0, "500 ft under"),
        (7_500.0, ("MSL", 3_000.0), ("MSL", 7_000.0), 0.0, "500 ft over"),
        (7_500.0, ("SFC", 0.0), ("MSL", 7_000.0), 0.0, "500 ft over"),
        # 700 ft above ground that stands at 3,000 ft is not under 700 ft MSL.
        (3_200.0, ("AGL", 700.0), ("MSL", 7_000.0), 3_000.0, "500 ft under"),
        (5_000.0, ("AGL", 700.0), ("AGL", 1_500.0), 3_000.0, "500 ft over"),
        (3_200.0, ("AGL", 700.0), ("AGL", 1_500.0), 3_000.0, "500 ft under"),
    ],
)
def test_a_way_says_over_or_under(
    msl_ft: float,
    floor: tuple[str, float],
    ceiling: tuple[str, float],
    ground_ft: float,
    words: str,
) -> None:
    one = met(msl_ft, floor=floor, ceiling=ceiling, ground_ft=ground_ft)
    assert room_words(one) == words


def test_inside_is_neither_over_nor_under() -> None:
    assert met(5_000.0, floor=("MSL", 3_000.0), ceiling=("MSL", 7_000.0)).side == ""


@pytest.mark.parametrize(
    ("lateral_nm", "vertical_ft", "words"),
    [
        (2.39, inf, "2.3 NM beside"),
        (0.0, 499.7, "499 ft under"),
        (0.99, 700.0, "700 ft under, 0.9 NM beside"),
        (1.0, nan, "its height above ground is not known here, 1.0 NM beside"),
        (0.0, inf, "at its edge"),
    ],
)
def test_what_is_left_is_rounded_down(lateral_nm: float, vertical_ft: float, words: str) -> None:
    one = met(2_500.0, floor=("MSL", 3_000.0), ceiling=("MSL", 7_000.0))
    assert room_words(replace(one, lateral_nm=lateral_nm, vertical_ft=vertical_ft)) == words

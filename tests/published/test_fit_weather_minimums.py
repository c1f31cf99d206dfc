"""Basic visual-flight weather minimums: every row of the table of 14 CFR 91.155(a)."""

import pytest

from lubberline.fit.us.minimums import FT_PER_SM, basic_minimums

CLEAR = (0.0, 0.0, 0.0)
OFF = (500.0, 1_000.0, 2_000.0)
FAR = (1_000.0, 1_000.0, 5_280.0)

# 14 CFR 91.155(a), table, edition of 2024, read 2026-11-25: class, height above sea level and
# above the surface [ft], by night, flight visibility [SM], below, above and beside clouds [ft].
TABLE = [
    ("B", 3_000.0, 3_000.0, False, 3.0, CLEAR),
    ("B", 10_000.0, 9_000.0, True, 3.0, CLEAR),
    ("C", 3_000.0, 3_000.0, False, 3.0, OFF),
    ("D", 11_000.0, 1_000.0, True, 3.0, OFF),
    ("E", 9_999.0, 9_000.0, False, 3.0, OFF),
    ("E", 9_999.0, 9_000.0, True, 3.0, OFF),
    ("E", 10_000.0, 9_000.0, False, 5.0, FAR),
    ("E", 17_500.0, 9_000.0, True, 5.0, FAR),
    ("G", 3_000.0, 1_200.0, False, 1.0, CLEAR),
    ("G", 11_000.0, 1_200.0, False, 1.0, CLEAR),
    ("G", 3_000.0, 1_200.0, True, 3.0, OFF),
    ("G", 11_000.0, 1_200.0, True, 3.0, OFF),
    ("G", 3_000.0, 1_201.0, False, 1.0, OFF),
    ("G", 9_999.0, 1_201.0, True, 3.0, OFF),
    ("G", 10_000.0, 1_201.0, False, 5.0, FAR),
    ("G", 10_000.0, 1_201.0, True, 5.0, FAR),
]


@pytest.mark.parametrize(("letter", "msl_ft", "agl_ft", "night", "seen_sm", "off_ft"), TABLE)
def test_every_row_of_the_table(
    letter: str,
    msl_ft: float,
    agl_ft: float,
    night: bool,
    seen_sm: float,
    off_ft: tuple[float, float, float],
) -> None:
    row = basic_minimums(letter, msl_ft=msl_ft, agl_ft=agl_ft, night=night)
    assert row is not None
    assert row.visibility_sm == seen_sm
    assert (row.below_ft, row.above_ft, row.beside_ft) == pytest.approx(off_ft)


def test_a_statute_mile_is_5280_ft() -> None:
    assert pytest.approx(5_280.0) == FT_PER_SM

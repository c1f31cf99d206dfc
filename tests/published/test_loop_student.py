"""Student's factors behind the interval of a learned number."""

import pytest

from lubberline.loop.learned import mean_interval

# JCGM 100:2008, table G.2, column 95 % (memory): degrees of freedom, factor.
TABLE_G2 = [
    *((1, "12.71"), (2, "4.30"), (3, "3.18"), (4, "2.78"), (5, "2.57"), (6, "2.45")),
    *((7, "2.36"), (8, "2.31"), (9, "2.26"), (10, "2.23")),
]


@pytest.mark.parametrize(("freedom", "factor"), TABLE_G2)
def test_the_interval_uses_the_printed_factor(freedom: int, factor: str) -> None:
    """Equal values whose measurement leaves a standard uncertainty of the mean of 1."""
    count = freedom + 1
    mean, _, high = mean_interval([5.0] * count, [count**0.5] * count)
    assert high is not None
    assert high - mean == pytest.approx(float(factor), abs=0.0051)

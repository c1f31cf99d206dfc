"""Age in whole years, on both sides of a birthday."""

from datetime import date

import pytest

from lubberline.fit.calendar import age_years_count


@pytest.mark.parametrize(
    ("on", "age_count"),
    [(date(2025, 11, 10), 39), (date(2025, 11, 11), 40), (date(2025, 11, 12), 40)],
)
def test_a_birthday_counts_from_the_day_itself(on: date, age_count: int) -> None:
    assert age_years_count(date(1985, 11, 11), on) == age_count

"""What a logbook adds up to, and what it tells the rules of recency."""

from datetime import date, timedelta

import pytest

from lubberline.logbook import Entry, landings_of, totals
from lubberline.pilot import Landings

DAY = date(2026, 11, 26)
LAND = "airplane single-engine land"


def entry(days: int = 0, **changed: object) -> Entry:
    base: dict[str, object] = {
        "flown_on": DAY - timedelta(days=days),
        "call_sign": "Q-HRN",
        "type_name": "Heron 200",
        "category_class": LAND,
        "tailwheel": False,
        "total_h": 1.5,
        "night_h": 0.5,
        "landing_count": 2,
        "full_stop_count": 1,
    }
    return Entry(**{**base, **changed})  # type: ignore[arg-type]


def values(entries: list[Entry], group: str, label: str) -> tuple[float, ...]:
    (one,) = [t for t in totals(entries, on=DAY) if (t.group, t.label) == (group, label)]
    return one.values


@pytest.mark.parametrize(
    ("days", "expected"),
    [
        (0, (1.5, 1.5, 1.5)),
        (90, (1.5, 1.5, 1.5)),
        (91, (1.5, 1.5, 0.0)),
        (365, (1.5, 1.5, 0.0)),
        (366, (1.5, 0.0, 0.0)),
    ],
)
def test_a_flight_counts_in_the_spans_it_lies_in(days: int, expected: tuple[float, ...]) -> None:
    assert values([entry(days)], "hours", "all flights") == expected


def test_what_is_later_than_the_day_does_not_count() -> None:
    assert totals([entry(-1)], on=DAY) == ()


def test_day_and_night_make_all() -> None:
    listed = [entry(), entry(5, night_h=0.0)]
    assert values(listed, "hours", "by day")[0] == 2.5
    assert values(listed, "hours", "by night")[0] == 0.5


def test_hours_are_told_by_category_type_and_airplane() -> None:
    listed = [entry(), entry(1, type_name="Tern", call_sign="Q-TRN", category_class=None)]
    assert values(listed, "type", "Tern")[0] == 1.5
    assert values(listed, "airplane", "Q-HRN")[0] == 1.5
    assert values(listed, "category", "not written down")[0] == 1.5
    assert values(listed, "landings", "landings")[0] == 4.0


def test_landings_of_a_day_are_put_together() -> None:
    (one,) = landings_of([entry(), entry(0, landing_count=3, full_stop_count=3)])
    assert one == Landings(
        on=DAY,
        category_class=LAND,
        tailwheel=False,
        type_name="Heron 200",
        takeoff_count=0,
        landing_count=5,
        full_stop_count=4,
    )


def test_an_airplane_that_is_not_known_counts_for_no_recency() -> None:
    assert landings_of([entry(category_class=None), entry(1, tailwheel=None)]) == ()

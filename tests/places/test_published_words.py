"""Hours, surfaces and numbers as they are written, understood only where that is sure."""

from math import isnan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lubberline.places.hours import otherwise_class, schedule_of
from lubberline.places.published._account import KEPT, KEPT_ALIKE, Accounting, Unfit
from lubberline.places.published._surface import surface_of
from lubberline.places.published._table import number, position_deg, within

WEEK = (0, 1, 2, 3, 4, 5, 6)
WORK = (0, 1, 2, 3, 4)


@pytest.mark.parametrize(
    ("text", "spans"),
    [
        ("0700-2100", [(WEEK, 420, 1_260, "local")]),
        ("0700-2100 MON-FRI", [(WORK, 420, 1_260, "local")]),
        ("MON - FRI, 0800 - 1700", [(WORK, 480, 1_020, "local")]),
        ("MONDAY-FRIDAY 0700-2200", [(WORK, 420, 1_320, "local")]),
        ("0800-1600 MON-FRI.", [(WORK, 480, 960, "local")]),
        ("0900 TO 1700 TUE THRU SAT", [((1, 2, 3, 4, 5), 540, 1_020, "local")]),
        ("MON,WED,FRI 0800-1200", [((0, 2, 4), 480, 720, "local")]),
        ("FRI-MON 0800-1200", [((0, 4, 5, 6), 480, 720, "local")]),
        ("0700-2100 LOCAL TIME MON-FRI EXC HOL.", [(WORK, 420, 1_260, "local")]),
        ("1300Z-1500Z DAILY", [(WEEK, 780, 900, "UTC")]),
        ("1300-2400", [(WEEK, 780, 1_440, "local")]),
        (
            "CLASS D SVC 0700-2100 MON-FRI; 0800-1700 SAT & SUN; OTHER TIMES CLASS G",
            [(WORK, 420, 1_260, "local"), ((5, 6), 480, 1_020, "local")],
        ),
        (
            "2200-0600 MON-FRI",
            [(WORK, 1_320, 1_440, "local"), ((1, 2, 3, 4, 5), 0, 360, "local")],
        ),
        ("2200-0000 SUN", [((6,), 1_320, 1_440, "local")]),
    ],
)
def test_spans_of_the_clock_on_days_are_understood(
    text: str, spans: list[tuple[tuple[int, ...], int, int, str]]
) -> None:
    schedule = schedule_of(text)
    assert schedule is not None
    assert schedule.text == text
    found = [(one.weekdays, one.from_min, one.until_min, one.zone) for one in schedule.spans or ()]
    assert found == spans


@pytest.mark.parametrize(
    "text",
    [
        *("BY NOTAM", "SR-SS", "INTERMITTENT 0700-2200", "0800-1700 MON-FRI, OTHER TIMES BY NOTAM"),
        *("1300Z-0100Z++", "9900-1200", "0960-1200", "2400-0100", "0800-1800 (1 HR EARLIER DST)"),
        *("0700-1200, 1300-1700 MON-FRI", "0700-2100 MON-WED-FRI", "0700-2100 MON-FRI JUN-AUG"),
        *("0700-2100 SUMMER", "MON-FRI", "2 HRS BEFORE SUNRISE"),
    ],
)
def test_everything_else_is_kept_as_text_and_counts_as_always_active(text: str) -> None:
    schedule = schedule_of(text)
    assert schedule is not None
    assert (schedule.text, schedule.spans) == (text, None)


@pytest.mark.parametrize("text", ["", "24", "H24", "CONTINUOUS", " 24 HOURS. ", "0000-2400"])
def test_always_is_no_schedule(text: str) -> None:
    assert schedule_of(text) is None


@pytest.mark.parametrize(
    ("text", "letter"),
    [
        ("0700-2100; OTHER TIMES CLASS G", "G"),
        ("0600-2300 DAILY; OT CLASS E", "E"),
        ("0700-2100", ""),
        ("CLASS D SVC 0700-2100 OTHER TIMES CLASS E", "E"),
    ],
)
def test_the_class_at_other_times_is_the_stated_one(text: str, letter: str) -> None:
    assert otherwise_class(text) == letter


@given(st.text("0123456789-MONTUEFRISAT ,;&Z.", max_size=40))
def test_any_words_give_hours_or_text(text: str) -> None:
    schedule = schedule_of(text)
    for span in (schedule and schedule.spans) or ():
        assert 0 <= span.from_min < span.until_min <= 1_440
        assert set(span.weekdays) <= set(WEEK)


@pytest.mark.parametrize(
    ("text", "surface"),
    [
        ("ASPH", "paved"),
        ("CONC", "paved"),
        ("ASPH-CONC", "paved"),
        ("ASPH-G", "paved"),
        ("PEM", "paved"),
        ("Bitumen", "paved"),
        ("TURF", "grass"),
        ("ASPH-TURF", "grass"),
        ("Grass / Sod", "grass"),
        ("TURF-GRVL", "gravel"),
        ("GVL", "gravel"),
        ("TURF-DIRT", "dirt"),
        ("GRE", "dirt"),
        ("SNOW", "snow"),
        ("WATER", "water"),
        ("MATS", "other"),
        ("ASPH-MATS", "other"),
        ("", "unknown"),
        ("UNK", "unknown"),
        ("X?", "unknown"),
    ],
)
def test_a_surface_is_the_worst_of_its_parts(text: str, surface: str) -> None:
    assert surface_of(text) == surface


@pytest.mark.parametrize(("text", "value"), [("12.5", 12.5), ("-3", -3.0), ("007", 7.0)])
def test_plain_numbers_are_read(text: str, value: float) -> None:
    assert number(text) == value


@pytest.mark.parametrize("text", ["", "nan", "inf", "-Infinity", "1_000", "12 ft", "0x10", "1e999"])
def test_what_is_no_plain_number_is_not_known(text: str) -> None:
    assert isnan(number(text))


def test_a_number_outside_what_can_be_is_unfit_and_a_blank_is_not_known() -> None:
    assert isnan(within("", 0.0, 10.0, "depth"))
    assert within("10", 0.0, 10.0, "depth") == 10.0
    with pytest.raises(Unfit, match="depth '11', expected 0 to 10"):
        within("11", 0.0, 10.0, "depth")


@pytest.mark.parametrize(("lat", "lon"), [("90.1", "0"), ("0", "-180.1"), ("nan", "0"), ("", "0")])
def test_a_place_that_is_not_on_earth_is_unfit(lat: str, lon: str) -> None:
    with pytest.raises(Unfit):
        position_deg(lat, lon)


def test_the_account_counts_all_and_tells_no_more_than_helps() -> None:
    account = Accounting()
    for n in range(200):
        account.leave_out("a.csv", n, f"row {n}", "alike")
    account.leave_out_all("a.csv", list(range(100)), "line", "alike as well")
    for n in range(2_000):
        account.leave_out("b.csv", n, "row", f"reason {n}")
    done = account.done()
    assert done.left_out_count == 2_300
    assert len(done.left_out) == KEPT
    assert sum(one.reason == "alike" for one in done.left_out) == KEPT_ALIKE
    assert sum(one.reason == "alike as well" for one in done.left_out) == KEPT_ALIKE

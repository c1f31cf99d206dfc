from datetime import UTC, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lubberline.errors import LubberlineError
from lubberline.weather import UnreadableText, read_pilot_report

NEAR_UTC = datetime(2026, 11, 25, 0, 30, tzinfo=UTC)
SPOTS = {"QWN": (41.0, -131.5), "QML": (41.3, -130.4)}
WHOLE = (
    "QWN UA /OV 35 SW/TM 2350/FL055/TP P28A/SK BKN025-TOP040/TA 04/WV 26020KT/TB LGT-MOD/RM SMTH"
)


def test_a_time_is_that_of_the_nearest_day() -> None:
    report = read_pilot_report(WHOLE, near_utc=NEAR_UTC, locate=SPOTS.get)
    assert report.at_utc == datetime(2026, 11, 24, 23, 50, tzinfo=UTC)


def test_a_direction_alone_is_from_the_station() -> None:
    report = read_pilot_report(WHOLE, near_utc=NEAR_UTC, locate=SPOTS.get)
    assert report.lat_deg == pytest.approx(41.0 - 35.0 / 60.0 * 0.7071, abs=0.02)
    assert report.undecoded == ()


def test_a_place_that_nobody_knows_is_told() -> None:
    report = read_pilot_report(WHOLE.replace("35 SW", "ZZZ"), near_utc=NEAR_UTC, locate=SPOTS.get)
    assert report.lat_deg is None
    assert report.undecoded == ("/OV ZZZ",)


@pytest.mark.parametrize(
    ("good", "bad", "part"),
    [
        ("2350", "2575", "/TM 2575"),
        ("FL055", "FLHIGH", "/FL HIGH"),
        ("TA 04", "TA COLD", "/TA COLD"),
        ("26020KT", "99920KT", "/WV 99920KT"),
        ("BKN025-TOP040", "CLOUDY", "/SK CLOUDY"),
    ],
)
def test_what_should_be_a_number_and_is_not_is_told(good: str, bad: str, part: str) -> None:
    report = read_pilot_report(WHOLE.replace(good, bad), near_utc=NEAR_UTC, locate=SPOTS.get)
    assert part in report.undecoded


def test_a_missing_part_is_told() -> None:
    report = read_pilot_report("UA /OV QWN/TM 2350/TP P28A", near_utc=NEAR_UTC, locate=SPOTS.get)
    assert report.undecoded == ("/FL",)


@pytest.mark.parametrize("text", ["", "UA", "METAR QWN", "/OV QWN"])
def test_what_is_no_report_is_refused(text: str) -> None:
    with pytest.raises(UnreadableText):
        read_pilot_report(text, near_utc=NEAR_UTC)


@settings(max_examples=400)
@given(st.integers(0, len(WHOLE)), st.text(max_size=4), st.integers(0, 8))
def test_a_damaged_report_is_read_or_refused_and_loses_nothing(at: int, put: str, cut: int) -> None:
    damaged = WHOLE[:at] + put + WHOLE[at + cut :]
    try:
        report = read_pilot_report(damaged, near_utc=NEAR_UTC, locate=SPOTS.get)
    except LubberlineError:
        return
    assert report.text == " ".join(damaged.upper().replace("=", " ").split())
    kept = " ".join(said for _, said in report.elements)
    body = report.text[report.text.index("/") :]
    assert sorted(kept.replace("/", "").split()) or not body.strip("/ ")


def test_a_report_without_parts_knows_nothing() -> None:
    told = read_pilot_report("QMRL UUA /", near_utc=NEAR_UTC)
    assert told.urgent
    assert told.undecoded == ("/OV", "/TM", "/FL", "/TP")

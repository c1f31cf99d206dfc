"""Flight categories against the weather service's table, and reports whose category is printed.

Table: National Weather Service, categories as archived 2004 ([AWC-AFC]); LIFR below 500 ft or
1 SM, IFR below 1,000 ft or 3 SM, MVFR to 3,000 ft or 5 SM, both inclusive, VFR above both.
Reports: the key of the manual (figure 7-1-22) and a flight instructor's notes;
categories by rule from their printed values.
"""

from datetime import UTC, datetime
from math import inf

import pytest

from lubberline.weather import flight_category, read_metar

NEAR_UTC = datetime(2026, 11, 9, 20, tzinfo=UTC)


@pytest.mark.parametrize(
    ("ceiling_agl_ft", "visibility_sm", "category"),
    [
        (3_000.0, 10.0, "MVFR"),
        (3_100.0, 10.0, "VFR"),
        (inf, 5.0, "MVFR"),
        (inf, 6.0, "VFR"),
        (900.0, 10.0, "IFR"),
        (1_000.0, 3.0, "MVFR"),
        (1_000.0, 2.75, "IFR"),
        (450.0, 10.0, "LIFR"),
        (500.0, 1.0, "IFR"),
        (inf, 0.75, "LIFR"),
        (None, 0.75, "LIFR"),
        (450.0, None, "LIFR"),
        (900.0, None, None),
        (None, 10.0, None),
        (None, None, None),
    ],
)
def test_the_worse_of_the_two_counts(
    ceiling_agl_ft: float | None, visibility_sm: float | None, category: str | None
) -> None:
    assert flight_category(ceiling_agl_ft, visibility_sm) == category


@pytest.mark.parametrize(
    ("text", "category"),
    [
        ("KPIT 091955Z COR 22015G25KT 3/4SM R28L/2600FT TSRA OVC010CB 18/16 A2992", "LIFR"),
        ("KIAD 241952Z 31005KT 1/2SM R01R/2000V2800FT FG VV002 07/06 A2946", "LIFR"),
        ("KDCA 242036Z 14016KT 4SM RA BR BKN019 BKN047 OVC070 17/15 A2943", "MVFR"),
        ("KRBD 112153Z 18013G25KT 10SM CLR 12/M03 A2982", "VFR"),
    ],
)
def test_printed_reports_have_their_category(text: str, category: str) -> None:
    report = read_metar(text, near_utc=NEAR_UTC)
    assert flight_category(report.ceiling_agl_ft, report.visibility_sm) == category

"""Pilot reports that are printed with their decoding.

* AIM: the manual's example, memory. Handbook: PHAK figure 13-7, the order of the parts and their
  forms, read: temperatures below zero with M or a hyphen, the wind's direction magnetic.
"""

from datetime import UTC, datetime
from math import isnan
from typing import Any

import pytest

from lubberline.weather import read_pilot_report

NEAR_UTC = datetime(2026, 11, 25, 19, tzinfo=UTC)
AIM = (
    "UA /OV KOKC-KTUL/TM 1800/FL120/TP BE90/SK BKN018-TOP055/OVC072-TOP089/CLR ABV/TA M7"
    "/WV 08021KT/TB LGT 055-072/IC LGT-MOD RIME 072-089"
)
FIELDS = {"KOKC": (35.393, -97.601), "KTUL": (36.198, -95.888)}


@pytest.mark.parametrize(
    ("name", "printed"),
    [
        ("urgent", False),
        ("at_utc", datetime(2026, 11, 25, 18, tzinfo=UTC)),
        ("place", "KOKC-KTUL"),
        ("msl_ft", 12_000.0),
        ("airplane", "BE90"),
        ("temperature_degc", -7.0),
        ("wind_from_mag_deg", 80.0),
        ("wind_kt", 21.0),
        ("turbulence", "LGT 055-072"),
        ("icing", "LGT-MOD RIME 072-089"),
        ("undecoded", ()),
    ],
)
def test_every_part_of_the_manual_s_example(name: str, printed: Any) -> None:
    report = read_pilot_report(AIM, near_utc=NEAR_UTC, locate=FIELDS.get)
    assert getattr(report, name) == printed


def test_its_layers_have_bases_and_tops_in_hundreds_of_feet() -> None:
    (first, second, third) = read_pilot_report(AIM, near_utc=NEAR_UTC).sky
    assert first == ("BKN", 1_800.0, 5_500.0)
    assert second == ("OVC", 7_200.0, 8_900.0)
    assert third[0] == "CLR"
    assert isnan(third[1])


def test_a_route_is_told_by_its_middle() -> None:
    report = read_pilot_report(AIM, near_utc=NEAR_UTC, locate=FIELDS.get)
    assert report.lat_deg == pytest.approx((35.393 + 36.198) / 2)
    assert report.lon_deg == pytest.approx((-97.601 - 95.888) / 2)


@pytest.mark.parametrize(
    ("part", "name", "printed"),
    [  # Handbook
        ("/TA M06", "temperature_degc", -6.0),
        ("/TA -06", "temperature_degc", -6.0),
        ("/TA 15", "temperature_degc", 15.0),
        ("/WX FV02SM RA HZ", "visibility_sm", 2.0),
        ("/WX FV02SM RA HZ", "weather", ("RA", "HZ")),
        ("/WV 270045KT", "wind_kt", 45.0),
        ("/WV 270045KT", "wind_from_mag_deg", 270.0),
        ("/RM LLWS +20KT/-10KT", "remarks", "LLWS +20KT/-10KT"),
    ],
)
def test_parts_of_the_handbook(part: str, name: str, printed: Any) -> None:
    text = f"QWN UUA /OV QWN 090025/TM 1800/FLUNKN/TP P28A{part}"
    report = read_pilot_report(text, near_utc=NEAR_UTC, locate={"QWN": (41.0, -131.5)}.get)
    assert getattr(report, name) == printed
    assert report.urgent
    assert report.msl_ft is None
    assert report.undecoded == ()


def test_a_radial_is_magnetic() -> None:
    text = "QWN UA /OV QWN 090025/TM 1800/FL055/TP P28A/TB NEG"
    report = read_pilot_report(text, near_utc=NEAR_UTC, locate={"QWN": (41.0, -131.5)}.get)
    assert report.lat_deg is not None
    assert report.lat_deg < 40.95  # 090 magnetic is some 104 true where variation is 14 east

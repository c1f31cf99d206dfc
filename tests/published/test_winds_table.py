"""Groups and headers of winds aloft that are printed with their decoding.

Sources, each named beside its rows:

* Service: National Weather Service, explanation of FD winds (2008 archive): the table of a
  station, 3,000 to 39,000 ft, the coding of strong, light and variable winds, the rules for levels
  that are left out.
* Header: a sample table's header with its times, as printed in an encyclopedia's article on winds
  aloft.
* Site: a pilot's page on the same coding (750456).
* Computed, memory: as marked.
"""

from datetime import UTC, datetime, timedelta
from math import isnan, nan

import numpy as np
import pytest

from lubberline.weather import read_winds_table, wind_at, winds_between

NEAR_UTC = datetime(2026, 11, 19, 6, tzinfo=UTC)
HEADER = "DATA BASED ON 190000Z\nVALID 190600Z   FOR USE 0600-1200Z. TEMPS NEG ABV 24000\n"
LEVELS = "FT  3000    6000    9000   12000   18000   24000  30000  34000  39000\n"
MKC = "MKC 2426 2726-09 2826-14 2930-21 2744-32 2751-41 275550 276050 276547\n"
SPOT = (39.0, -95.0)


def level(text: str, level_ft: float) -> tuple[float, float, float]:
    table = read_winds_table(HEADER + text, near_utc=NEAR_UTC, locate=lambda _: SPOT)
    (station,) = table.stations
    at = station.winds.msl_ft.tolist().index(level_ft)
    winds = station.winds
    return (float(winds.from_true_deg[at]), float(winds.wind_kt[at]), float(winds.oat_degc[at]))


@pytest.mark.parametrize(
    ("level_ft", "from_true_deg", "wind_kt", "oat_degc"),
    [  # Service
        (3_000, 240, 26, nan),  # no temperature at 3,000 ft
        (6_000, 270, 26, -9),
        (9_000, 280, 26, -14),
        (12_000, 290, 30, -21),
        (18_000, 270, 44, -32),
        (24_000, 270, 51, -41),
        (30_000, 270, 55, -50),  # the sign is left out above 24,000 ft
        (34_000, 270, 60, -50),
        (39_000, 270, 65, -47),
    ],
)
def test_every_group_of_the_printed_station(
    level_ft: float, from_true_deg: float, wind_kt: float, oat_degc: float
) -> None:
    found = level(LEVELS + MKC, level_ft)
    assert found == pytest.approx((from_true_deg, wind_kt, oat_degc), nan_ok=True)


@pytest.mark.parametrize(
    ("group", "level_ft", "expected"),
    [
        ("731960", 30_000, (230, 119, -60)),  # Service: 50 added to the direction, 100 taken off
        ("7799", 18_000, (270, 199, nan)),  # Service: 199 kt or more
        ("750456", 39_000, (250, 104, -56)),  # Site
        ("9900", 3_000, (0, 0, nan)),  # Service: light and variable
        ("9900+05", 6_000, (0, 0, 5)),  # memory
        ("2321-04", 9_000, (230, 21, -4)),  # computed
    ],
)
def test_groups_that_are_coded_otherwise(
    group: str, level_ft: int, expected: tuple[float, float, float]
) -> None:
    levels = f"FT  {level_ft:>{len(group)}}\n"
    assert level(f"{levels}QWN {group}", level_ft) == pytest.approx(expected, nan_ok=True)


def test_the_header_says_when_and_for_how_long() -> None:
    table = read_winds_table(HEADER + LEVELS + MKC, near_utc=NEAR_UTC)
    assert table.based_utc == datetime(2026, 11, 19, tzinfo=UTC)
    assert table.valid_utc == datetime(2026, 11, 19, 6, tzinfo=UTC)
    assert table.use_from_utc == datetime(2026, 11, 19, 6, tzinfo=UTC)
    assert table.use_until_utc == datetime(2026, 11, 19, 12, tzinfo=UTC)


@pytest.mark.parametrize(
    ("use", "from_h", "until_h"),
    # Service (2008): use periods of the 00Z run, by the time each is valid
    [("060000 0500-0900", -1, 3), ("121200 0900-1800", -3, 6), ("130000 1800-0500", -6, 5)],
)
def test_a_time_of_use_lies_round_the_time_it_is_valid(use: str, from_h: int, until_h: int) -> None:
    day_and_hour, hours = use.split()
    text = f"VALID {day_and_hour}Z FOR USE {hours}Z\n{LEVELS}{MKC}"
    if day_and_hour == "060000":  # valid at 06Z
        text = text.replace("060000Z", "190600Z")
    if day_and_hour == "121200":
        text = text.replace("121200Z", "191200Z")
    if day_and_hour == "130000":
        text = text.replace("130000Z", "200000Z")
    table = read_winds_table(text, near_utc=NEAR_UTC)
    assert table.use_from_utc == table.valid_utc + timedelta(hours=from_h)
    assert table.use_until_utc == table.valid_utc + timedelta(hours=until_h)


def test_between_two_levels_the_components_are_halved() -> None:
    table = read_winds_table(HEADER + LEVELS + MKC, near_utc=NEAR_UTC, locate=lambda _: SPOT)
    column = winds_between([table], lat_deg=39.0, lon_deg=-95.0, when_utc=NEAR_UTC)
    found_deg, found_kt, found_degc = wind_at(column, 7_500.0)
    assert float(found_deg) == pytest.approx(275, abs=1.0)  # computed; tolerance as printed there
    assert float(found_kt) == pytest.approx(25.9, abs=0.2)
    assert float(found_degc) == pytest.approx(-11.5, abs=0.05)


def test_levels_near_the_ground_may_be_missing() -> None:
    # Service: no wind within 1,500 ft of the station, no temperature within 2,500 ft of it
    row = "DEN              2321-04 2532-08 2434-19 2542-31 245244 256448 258649\n"
    table = read_winds_table(HEADER + LEVELS + row, near_utc=NEAR_UTC)
    winds = table.stations[0].winds
    assert winds.msl_ft[0] == 9_000.0
    assert (winds.from_true_deg[0], winds.wind_kt[0], winds.oat_degc[0]) == (230.0, 21.0, -4.0)
    squeezed = "\n".join(" ".join(line.split()) for line in (LEVELS + row).splitlines())
    again = read_winds_table(HEADER + squeezed, near_utc=NEAR_UTC).stations[0].winds
    np.testing.assert_array_equal(again.msl_ft, winds.msl_ft)
    assert isnan(float(wind_at(winds, nan)[0]))

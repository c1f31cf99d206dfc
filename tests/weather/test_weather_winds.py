from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lubberline.errors import LubberlineError, RangeError
from lubberline.weather import (
    AloftTable,
    UnreadableText,
    read_winds_table,
    wind_at,
    winds_along,
    winds_between,
)

NEAR_UTC = datetime(2026, 11, 25, 21, tzinfo=UTC)
SPOTS = {"QWN": (41.0, -131.0), "QML": (41.0, -129.0), "QFR": (60.0, -100.0)}
LEVELS = "FT  3000    6000    9000\n"


def table(rows: str, *, valid: str = "251800", use: str = "1400-2100") -> AloftTable:
    text = f"DATA BASED ON 251200Z\nVALID {valid}Z   FOR USE {use}Z. TEMPS NEG ABV 24000\n{rows}"
    return read_winds_table(text, near_utc=NEAR_UTC, locate=SPOTS.get)


FIRST = table(LEVELS + "QWN 2710 2720+02 2730-04\nQML 3610 3620+00 3630-06\n")
LATER = table(LEVELS + "QWN 2720 2740+04 2750-02\n", valid="260000", use="2100-0600")


def wind_over(lat_deg: float, lon_deg: float, when: str, msl_ft: float = 6_000.0) -> list[float]:
    when_utc = datetime.fromisoformat(f"2026-11-25T{when}Z")
    column = winds_between([LATER, FIRST], lat_deg=lat_deg, lon_deg=lon_deg, when_utc=when_utc)
    return [round(float(one), 1) for one in wind_at(column, msl_ft)]


def test_over_a_station_its_own_wind_blows() -> None:
    assert wind_over(41.0, -131.0, "18:00") == [270.0, 20.0, 2.0]
    assert wind_over(41.0, -129.0, "15:00") == [0.0, 20.0, 0.0]  # before the first: in use


def test_half_way_between_two_stations_the_components_are_halved() -> None:
    found_deg, found_kt, found_degc = wind_over(41.0, -130.0, "15:00")
    assert found_deg == pytest.approx(315.0, abs=0.2)
    assert found_kt == pytest.approx(20.0 / np.sqrt(2.0), abs=0.1)
    assert found_degc == pytest.approx(1.0, abs=0.05)


def test_half_way_between_two_times_so_are_they() -> None:
    assert wind_over(41.0, -131.0, "21:00") == [270.0, 30.0, 3.0]


def test_far_from_every_station_nothing_is_said() -> None:
    column = winds_between([FIRST], lat_deg=10.0, lon_deg=-131.0, when_utc=NEAR_UTC)
    assert column.msl_ft.size == 0


def test_outside_its_time_of_use_nothing_is_said() -> None:
    late_utc = NEAR_UTC + timedelta(hours=1)
    assert winds_between([FIRST], lat_deg=41.0, lon_deg=-131.0, when_utc=late_utc).msl_ft.size == 0


def test_of_two_tables_for_one_time_the_one_made_last_holds() -> None:
    text = "DATA BASED ON 251800Z\nVALID 251800Z FOR USE 1400-2100Z\n" + LEVELS
    newer = read_winds_table(text + "QWN 1810 1810+09 1810+03", near_utc=NEAR_UTC, locate=SPOTS.get)
    at_utc = datetime(2026, 11, 25, 18, tzinfo=UTC)
    for tables in ([FIRST, newer], [newer, FIRST]):
        column = winds_between(tables, lat_deg=41.0, lon_deg=-131.0, when_utc=at_utc)
        assert column.from_true_deg.tolist() == [180.0, 180.0, 180.0]


def test_along_a_way_the_mean_holds() -> None:
    at_utc = datetime(2026, 11, 25, 18, tzinfo=UTC)
    column = winds_along([FIRST], [(41.0, -131.0), (41.0, -129.0)], when_utc=at_utc)
    assert column.from_true_deg[1] == pytest.approx(315.0)


def test_199_kt_or_more_is_no_number_to_plan_with() -> None:
    strong = table(LEVELS + "QWN 2710 7799+02 2730-04\n")
    (station,) = strong.stations
    assert station.open_msl_ft == (6_000.0,)
    at_utc = datetime(2026, 11, 25, 18, tzinfo=UTC)
    column = winds_between([strong], lat_deg=41.0, lon_deg=-131.0, when_utc=at_utc)
    assert column.msl_ft.tolist() == [3_000.0, 9_000.0]
    column = winds_between([strong], lat_deg=41.0, lon_deg=-131.0, when_utc=at_utc)
    assert 6_000.0 not in column.msl_ft


@pytest.mark.parametrize("group", ["4020+02", "27A0+02", "272002", "8799+02", "2726 09"])
def test_a_group_that_is_no_wind_is_not_known(group: str) -> None:
    read = table(LEVELS + f"QWN 2710 {group:7} 2730-04\n")
    undecoded = [*read.undecoded, *(one for row in read.stations for one in row.undecoded)]
    assert undecoded
    known = [ft for row in read.stations for ft in row.winds.msl_ft[np.isfinite(row.winds.wind_kt)]]
    assert 6_000.0 not in known


def test_a_time_without_a_zone_is_refused() -> None:
    with pytest.raises(RangeError, match="time zone"):
        winds_between([FIRST], lat_deg=41.0, lon_deg=-131.0, when_utc=NEAR_UTC.replace(tzinfo=None))


@pytest.mark.parametrize("text", ["", "FT 3000 6000", "VALID 259900Z FOR USE 1400-2100Z\nFT 3000"])
def test_without_times_it_is_no_table(text: str) -> None:
    with pytest.raises(UnreadableText):
        read_winds_table(text, near_utc=NEAR_UTC)


@settings(max_examples=300)
@given(st.integers(0, len(FIRST.text) - 1), st.text(max_size=3), st.integers(0, 6))
def test_a_damaged_table_is_read_or_refused_and_no_row_is_lost(at: int, put: str, cut: int) -> None:
    text = FIRST.text[:at] + put + FIRST.text[at + cut :]
    try:
        read = read_winds_table(text, near_utc=NEAR_UTC, locate=SPOTS.get)
    except LubberlineError:
        return
    told = "\n".join([*read.undecoded, *(one.text for one in read.stations)]).split()
    after = text.upper().splitlines()
    start = next(n for n, line in enumerate(after) if line.strip().startswith("FT"))
    assert sorted(told) == sorted(" ".join(after[start + 1 :]).split())

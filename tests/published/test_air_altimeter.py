"""Altimeter settings, pressure altitudes, and the ICAO cold temperature table."""

from collections.abc import Callable
from typing import Any

import pytest

from lubberline.air import (
    indicated_altitude_ft,
    indicated_for_true_ft,
    isa_temperature_degc,
    pressure_altitude_ft,
    station_pressure_hpa,
    temperature_correction_ft,
    true_altitude_ft,
)

Printed = Callable[[str], Any]

# FAA density altitude chart, altimeter setting [inHg] and pressure altitude conversion factor
# [ft]: memory, but for 30.10, which PHAK (FAA-H-8083-25A), p. 10-19 prints as 165. The chart's
# column is cut to whole feet, so it is good to 1 ft. Its zero is printed at 29.92, which is the
# standard pressure of 29.9213 inHg rounded.
SETTING_COLUMN = [
    *((28.0, 1824.0), (28.1, 1727.0), (28.2, 1630.0), (28.3, 1533.0)),
    *((28.4, 1436.0), (28.5, 1340.0), (28.6, 1244.0), (28.7, 1148.0)),
    *((28.8, 1053.0), (28.9, 957.0), (29.0, 863.0), (29.1, 768.0)),
    *((29.2, 673.0), (29.3, 579.0), (29.4, 485.0), (29.5, 392.0)),
    *((29.6, 298.0), (29.7, 205.0), (29.8, 112.0), (29.9, 20.0)),
    *((29.9213, 0.0), (30.0, -73.0), (30.1, -165.0), (30.2, -257.0)),
    *((30.3, -348.0), (30.4, -440.0), (30.5, -531.0), (30.6, -622.0)),
    *((30.7, -712.0), (30.8, -803.0), (30.9, -893.0), (31.0, -983.0)),
]
COLUMN_FT = 1.0


@pytest.mark.parametrize(("altimeter_inhg", "factor_ft"), SETTING_COLUMN)
def test_the_setting_shifts_by_the_chart_factor(altimeter_inhg: float, factor_ft: float) -> None:
    assert pressure_altitude_ft(0.0, altimeter_inhg) == pytest.approx(factor_ft, abs=COLUMN_FT)


# Field elevation [ft], setting [inHg], pressure altitude [ft].
PRESSURE_ALTITUDES = [
    (5883.0, 30.10, "5718"),  # PHAK (FAA-H-8083-25A), p. 10-19, sample problem 1
    (1386.0, 29.97, "1341"),  # FAA knowledge-test question bank: memory
    (3563.0, 29.96, "3527"),  # FAA knowledge-test question bank: memory
    (5250.0, 29.25, "5876.5"),  # computed from the constants of Doc 7488/3
    (3894.0, 30.35, "3499.8"),  # computed
    (1000.0, 28.50, "2340.5"),  # computed
]


@pytest.mark.parametrize(("elev_ft", "altimeter_inhg", "expected"), PRESSURE_ALTITUDES)
def test_pressure_altitude_of_a_field(
    elev_ft: float, altimeter_inhg: float, expected: str, as_printed: Printed
) -> None:
    pressure_ft = pressure_altitude_ft(elev_ft, altimeter_inhg)
    assert pressure_ft == as_printed(expected)
    assert indicated_altitude_ft(pressure_ft, altimeter_inhg) == pytest.approx(elev_ft, abs=1e-8)


@pytest.mark.parametrize(("elev_ft", "altimeter_inhg", "_"), PRESSURE_ALTITUDES)
def test_station_pressure_by_the_weather_service_formula(
    elev_ft: float, altimeter_inhg: float, _: str
) -> None:
    # Smithsonian Meteorological Tables, 6th ed. (1951), altimeter setting: memory. Its exponent
    # is printed as 0.190263, which decides the sixth figure.
    exponent, lapse_per_ft = 0.190263, 0.0019812 / 288.15
    root = (altimeter_inhg * 33.86389 / 1013.25) ** exponent - lapse_per_ft * elev_ft
    by_formula_hpa = 1013.25 * root ** (1.0 / exponent)
    assert station_pressure_hpa(elev_ft, altimeter_inhg) == pytest.approx(by_formula_hpa, rel=2e-6)


# AIM (5 October 2023), table 7-3-1, ICAO cold temperature error: feet to add, by reported
# temperature [degC] and height above the airport [ft]. The table is made for a station at sea
# level and rounds up to 10 ft; its own way to the number differs by less than half of that.
COLD_HEIGHTS_FT = (200, 300, 400, 500, 600, 700, 800, 900, 1000, 1500, 2000, 3000, 4000, 5000)
COLD_TABLE = """
10 10 10 10 10 20 20 20 20 20 30 40 60 80 90
0 20 20 30 30 40 40 50 50 60 90 120 170 230 280
-10 20 30 40 50 60 70 80 90 100 150 200 290 390 490
-20 30 50 60 70 90 100 120 130 140 210 280 420 570 710
-30 40 60 80 100 120 140 150 170 190 280 380 570 760 950
-40 50 80 100 120 150 170 190 220 240 360 480 720 970 1210
-50 60 90 120 150 180 210 240 270 300 450 590 890 1190 1500
"""
COLD_CELLS = [
    (float(row.split()[0]), float(height_ft), float(cell))
    for row in COLD_TABLE.strip().split("\n")
    for height_ft, cell in zip(COLD_HEIGHTS_FT, row.split()[1:], strict=True)
]
ROUNDED_UP_FT, OWN_WAY_FT = 10.0, 5.0


@pytest.mark.parametrize(("oat_degc", "height_ft", "cell_ft"), COLD_CELLS)
def test_the_cold_temperature_table(oat_degc: float, height_ft: float, cell_ft: float) -> None:
    rounded_up_by_ft = cell_ft - temperature_correction_ft(height_ft, 0.0, oat_degc)
    assert -OWN_WAY_FT <= rounded_up_by_ft <= ROUNDED_UP_FT + OWN_WAY_FT


# Source elevation [ft], its temperature [degC], true height wanted above it [ft], feet to add
# by the equation of ICAO Doc 8168, Vol. I, Part III, Section 1, Chapter 4.3, iterated (computed),
# and what the same equation gives when the true height is put in without iterating.
CORRECTIONS = [
    (0.0, -50.0, 5000.0, "1500", 1148.0),
    (0.0, -30.0, 1500.0, "280", 235.0),
    (2000.0, -30.0, 1500.0, "255", 218.0),
    (0.0, -10.0, 1000.0, "95", 87.0),
    (0.0, 0.0, 3000.0, "167", 158.0),
    (0.0, -20.0, 2000.0, "279", 245.0),
    (0.0, 10.0, 5000.0, "90", 88.0),
    (5000.0, -20.0, 2000.0, "200", 182.0),
]


@pytest.mark.parametrize(("source_ft", "oat_degc", "height_ft", "iterated", "once_ft"), CORRECTIONS)
def test_the_correction_is_iterated(
    source_ft: float,
    oat_degc: float,
    height_ft: float,
    iterated: str,
    once_ft: float,
    as_printed: Printed,
) -> None:
    correction_ft = temperature_correction_ft(height_ft, source_ft, oat_degc)
    assert correction_ft == as_printed(iterated)
    assert correction_ft > once_ft + 1.0


# Indicated altitude [ft], deviation from standard [degC], true altitude [ft] with the setting of
# a station at sea level: computed by the equation of ICAO Doc 8168.
TRUE_ALTITUDES = [(8000.0, -20.0, "7429"), (8000.0, 20.0, "8571"), (10_000.0, -25.0, "9101")]


@pytest.mark.parametrize(("indicated_ft", "deviation_degc", "expected"), TRUE_ALTITUDES)
def test_true_altitude(
    indicated_ft: float, deviation_degc: float, expected: str, as_printed: Printed
) -> None:
    oat_degc = isa_temperature_degc(indicated_ft) + deviation_degc
    true_ft = true_altitude_ft(indicated_ft, 0.0, oat_degc)
    assert true_ft == as_printed(expected)
    assert indicated_for_true_ft(true_ft, 0.0, oat_degc) == pytest.approx(indicated_ft, abs=1e-6)

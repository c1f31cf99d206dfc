"""Manual of the ICAO Standard Atmosphere, and density altitudes of FAA handbooks."""

from collections.abc import Callable
from typing import Any

import pytest

from lubberline.air import (
    density_altitude_ft,
    isa_density_ratio,
    isa_height_ft,
    isa_pressure_hpa,
    isa_temperature_degc,
    pressure_altitude_ft,
    speed_of_sound_kt,
)
from lubberline.units import FT_PER_M, HPA_PER_INHG, MPS_PER_KT, degc_from_degf

Printed = Callable[[str], Any]

# ICAO Doc 7488/3, 3rd ed. (1993), main tables: geometric height [m], temperature [K], pressure
# [Pa], density [kg/m3], speed of sound [m/s]. Entered by geometric height, because the
# geopotential column beside it is rounded to 1 m. The row of 32 km is beyond our two layers.
DOC_7488_ROWS = [
    (-5000.0, "320.676", "177762", "1.93113", "358.986"),
    (-2500.0, "304.406", "135205", "1.54731", "349.761"),
    (0.0, "288.150", "101325", "1.22500", "340.294"),
    (1000.0, "281.651", "89876.3", "1.11166", "336.435"),
    (2000.0, "275.154", "79501.4", "1.00655", "332.532"),
    (11000.0, "216.774", "22699.9", "0.364801", "295.154"),
    (15000.0, "216.650", "12111.8", "0.194755", "295.069"),
    (20000.0, "216.650", "5529.29", "0.0889097", "295.069"),
]
# Same tables, entered by the geopotential heights where the layers end [m].
DOC_7488_LAYER_ENDS = [
    (11000.0, "216.650", "22632.0", "0.363918", "295.069"),
    (20000.0, "216.650", "5474.87", "0.0880345", "295.069"),
]
PRINTED_RTOL = 1e-5  # pressure and density have six printed figures
EARTH_RADIUS_M = 6_356_766.0  # same document
SEA_LEVEL_KG_PER_M3 = 1.225  # same document
GEOPOTENTIAL_ROWS = DOC_7488_LAYER_ENDS + [
    (EARTH_RADIUS_M * z_m / (EARTH_RADIUS_M + z_m), *texts) for z_m, *texts in DOC_7488_ROWS
]


@pytest.mark.parametrize(("height_m", "kelvin", "pascal", "density", "sound"), GEOPOTENTIAL_ROWS)
def test_the_atmosphere_is_that_of_doc_7488(
    height_m: float, kelvin: str, pascal: str, density: str, sound: str, as_printed: Printed
) -> None:
    pressure_ft = height_m * FT_PER_M
    oat_degc = isa_temperature_degc(pressure_ft)
    assert oat_degc + 273.15 == as_printed(kelvin)
    pressure_pa = isa_pressure_hpa(pressure_ft) * 100.0
    assert pressure_pa == pytest.approx(float(pascal), rel=PRINTED_RTOL)
    density_kg_per_m3 = isa_density_ratio(pressure_ft) * SEA_LEVEL_KG_PER_M3
    assert density_kg_per_m3 == pytest.approx(float(density), rel=PRINTED_RTOL)
    assert speed_of_sound_kt(oat_degc) * MPS_PER_KT == as_printed(sound)


# Pressure altitude [ft], temperature [degC], pressure [hPa] and [inHg], pressure ratio, density
# ratio, speed of sound [kt]: computed from the constants of Doc 7488/3 on their own, not
# published; they agree with every row above.
FEET_ROWS = """
-2000 18.96 1088.66 32.148 1.07442 1.05985 666.01
-1000 16.98 1050.41 31.018 1.03667 1.02959 663.75
0 15.00 1013.25 29.921 1.00000 1.00000 661.48
1000 13.02 977.17 28.856 0.96439 0.97106 659.20
2000 11.04 942.13 27.821 0.92981 0.94277 656.91
3000 9.06 908.12 26.817 0.89624 0.91512 654.62
4000 7.08 875.11 25.842 0.86366 0.88809 652.32
5000 5.09 843.07 24.896 0.83205 0.86167 650.01
6000 3.11 812.00 23.978 0.80138 0.83586 647.69
7000 1.13 781.85 23.088 0.77163 0.81065 645.36
8000 -0.85 752.62 22.225 0.74278 0.78602 643.03
9000 -2.83 724.28 21.388 0.71481 0.76196 640.69
10000 -4.81 696.82 20.577 0.68770 0.73848 638.33
11000 -6.79 670.20 19.791 0.66143 0.71555 635.97
12000 -8.77 644.41 19.029 0.63598 0.69317 633.60
13000 -10.76 619.43 18.292 0.61133 0.67133 631.22
14000 -12.74 595.24 17.577 0.58745 0.65003 628.84
15000 -14.72 571.82 16.886 0.56434 0.62924 626.44
16000 -16.70 549.15 16.216 0.54197 0.60896 624.03
17000 -18.68 527.22 15.569 0.52032 0.58919 621.62
18000 -20.66 506.00 14.942 0.49938 0.56991 619.19
19000 -22.64 485.48 14.336 0.47913 0.55112 616.76
20000 -24.62 465.63 13.750 0.45954 0.53281 614.32
25000 -34.53 376.01 11.104 0.37109 0.44812 601.95
30000 -44.44 300.90 8.885 0.29696 0.37413 589.32
36089.24 -56.50 226.32 6.683 0.22336 0.29708 573.57
40000 -56.50 187.54 5.538 0.18509 0.24617 573.57
"""


@pytest.mark.parametrize("row", [line.split() for line in FEET_ROWS.split("\n") if line])
def test_the_atmosphere_in_feet(row: list[str], as_printed: Printed) -> None:
    pressure_ft = float(row[0])
    pressure_hpa = isa_pressure_hpa(pressure_ft)
    assert isa_temperature_degc(pressure_ft) == as_printed(row[1])
    assert pressure_hpa == as_printed(row[2])
    assert pressure_hpa / HPA_PER_INHG == as_printed(row[3])
    assert pressure_hpa / 1013.25 == as_printed(row[4])
    assert isa_density_ratio(pressure_ft) == as_printed(row[5])
    assert speed_of_sound_kt(isa_temperature_degc(pressure_ft)) == as_printed(row[6])
    assert isa_height_ft(pressure_hpa) == pytest.approx(pressure_ft, abs=1e-6)


# Pressure altitude [ft], temperature [degC], density altitude [ft], computed from the constants.
DENSITY_ROWS = [
    (5718.0, degc_from_degf(70.0), "7709.5"),
    (3000.0, degc_from_degf(30.0), "1766.6"),
    (3000.0, degc_from_degf(50.0), "3111.7"),
    (5000.0, 25.0, "7261.8"),
    (0.0, 30.0, "1723.9"),
    (8000.0, 20.0, "10362.1"),
    (2000.0, 35.0, "4702.7"),
    (10_000.0, -5.0, "9977.7"),
]


@pytest.mark.parametrize(("pressure_ft", "oat_degc", "expected"), DENSITY_ROWS)
def test_density_altitude_from_the_constants(
    pressure_ft: float, oat_degc: float, expected: str, as_printed: Printed
) -> None:
    assert density_altitude_ft(pressure_ft, oat_degc) == as_printed(expected)


# Field elevation [ft], setting [inHg], temperature [degF], density altitude read off a chart,
# good to 100 ft as a chart is read.
CHART_ROWS = [
    (5883.0, 30.10, 70.0, 7700.0),  # PHAK (FAA-H-8083-25A), p. 10-19, sample problem 1
    (5250.0, 29.25, 81.0, 8500.0),  # FAA knowledge-test question bank: memory
    (3894.0, 30.35, 25.0, 2000.0),  # FAA knowledge-test question bank: memory
]
CHART_FT = 100.0


@pytest.mark.parametrize(("elev_ft", "altimeter_inhg", "oat_degf", "chart_ft"), CHART_ROWS)
def test_density_altitude_of_the_faa_chart(
    elev_ft: float, altimeter_inhg: float, oat_degf: float, chart_ft: float
) -> None:
    pressure_ft = pressure_altitude_ft(elev_ft, altimeter_inhg)
    density_ft = density_altitude_ft(pressure_ft, degc_from_degf(oat_degf))
    assert density_ft == pytest.approx(chart_ft, abs=CHART_FT)


def test_twenty_degrees_fahrenheit_raise_density_altitude_as_the_chart_says() -> None:
    # FAA knowledge-test question bank: 30 to 50 degF at 3,000 ft, "1,300-foot increase": memory.
    cold_ft, warm_ft = density_altitude_ft(3000.0, [degc_from_degf(30.0), degc_from_degf(50.0)])
    assert warm_ft - cold_ft == pytest.approx(1300.0, abs=CHART_FT)

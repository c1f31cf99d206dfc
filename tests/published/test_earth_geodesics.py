"""Geodesics: Karney's test cases, a second library, and survey lines."""

import csv
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic

from lubberline.arrays import wrap_180_deg
from lubberline.earth import LocalPlane, course_and_distance, destination_point
from lubberline.units import M_PER_NM, NM_PER_M

Printed = Callable[[str], Any]
SOLVER_M, SOLVER_DEG = 1e-6, 1e-9  # what a solver in double precision reaches


def geodesics() -> list[dict[str, float]]:
    text = (Path(__file__).parent / "data" / "geodesics.csv").read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if not line.startswith("#")]
    return [{key: float(cell) for key, cell in row.items()} for row in csv.DictReader(lines)]


def turn_deg(first_deg: Any, second_deg: float) -> float:
    return abs(float(wrap_180_deg(first_deg - second_deg)))


@pytest.mark.parametrize("row", geodesics())
def test_inverse_of_karney_cases(row: dict[str, float]) -> None:
    course_deg, distance_nm = course_and_distance(
        row["lat1_deg"], row["lon1_deg"], row["lat2_deg"], row["lon2_deg"]
    )
    assert distance_nm * M_PER_NM == pytest.approx(row["s12_m"], abs=SOLVER_M)
    assert turn_deg(course_deg, row["azi1_deg"]) < SOLVER_DEG


@pytest.mark.parametrize("row", geodesics())
def test_reverse_course_of_karney_cases(row: dict[str, float]) -> None:
    back_deg, _ = course_and_distance(
        row["lat2_deg"], row["lon2_deg"], row["lat1_deg"], row["lon1_deg"]
    )
    assert turn_deg(back_deg, row["azi2_deg"] + 180.0) < SOLVER_DEG


@pytest.mark.parametrize("row", geodesics())
def test_direct_of_karney_cases(row: dict[str, float]) -> None:
    lat_deg, lon_deg = destination_point(
        row["lat1_deg"], row["lon1_deg"], row["azi1_deg"], row["s12_m"] * NM_PER_M
    )
    assert lat_deg == pytest.approx(row["lat2_deg"], abs=SOLVER_DEG)
    assert turn_deg(lon_deg, row["lon2_deg"]) < SOLVER_DEG


# GeodSolve cases of geographiclib 2.1 (C. F. F. Karney), geographiclib/test/test_geodesic.py:
# two places, length [m] and initial azimuth [deg].
GEODSOLVE = [
    (40.6, -73.8, 49.01666667, 2.55, "5853226", "53.47022"),
    (0.0, 0.0, 0.0, 179.0, "19926189", "90.00000"),
    (0.0, 0.0, 0.0, 179.5, "19980862", "55.96650"),
    (0.0, 0.0, 0.0, 180.0, "20003931", "0.00000"),
    (0.0, 539.0, 0.0, 181.0, "222639", "90.00000"),
]


@pytest.mark.parametrize(("lat1", "lon1", "lat2", "lon2", "length", "azimuth"), GEODSOLVE)
def test_geodsolve_inverse_cases(
    lat1: float,
    lon1: float,
    lat2: float,
    lon2: float,
    length: str,
    azimuth: str,
    as_printed: Printed,
) -> None:
    course_deg, distance_nm = course_and_distance(lat1, lon1, lat2, lon2)
    assert distance_nm * M_PER_NM == as_printed(length)
    assert course_deg == as_printed(azimuth)


def test_geodsolve_shortest_line(as_printed: Printed) -> None:
    _, distance_nm = course_and_distance(36.493349428792, 0.0, 36.49334942879201, 0.0000008)
    assert distance_nm * M_PER_NM == as_printed("0.072")


def test_geodsolve_direct_case(as_printed: Printed) -> None:
    lat_deg, lon_deg = destination_point(40.63972222, -73.77888889, 53.5, 5_850_000.0 * NM_PER_M)
    assert lat_deg == as_printed("49.01467")
    assert lon_deg == as_printed("2.56106")


# Lines computed with geographiclib 2.1, not published: two places, distance [NM], course [deg].
LEGS = [
    (33.9425, -118.4081, 40.6398, -73.7789, "2150.6204", "65.9120"),
    (35.0972, -97.9678, 35.8517, -97.4156, "52.6815", "30.7484"),
    (39.0, -95.0, 39.0, -93.0, "93.5472", "89.3706"),
    (64.8, -147.9, 61.17, -150.0, "225.8745", "195.6823"),
    (0.0, 179.5, 0.0, -179.5, "60.1077", "90"),
]


@pytest.mark.parametrize(("lat1", "lon1", "lat2", "lon2", "distance", "course"), LEGS)
def test_legs(
    lat1: float,
    lon1: float,
    lat2: float,
    lon2: float,
    distance: str,
    course: str,
    as_printed: Printed,
) -> None:
    course_deg, distance_nm = course_and_distance(lat1, lon1, lat2, lon2)
    assert distance_nm == as_printed(distance)
    assert course_deg == as_printed(course)


# Latitude [deg], then the length [m] of one minute of latitude around it and of longitude on it:
# computed from the axes of WGS84 by the radii of curvature, not published.
MINUTES = [
    (0.0, "1842.905", "1855.325"),
    (30.0, "1847.541", "1608.105"),
    (39.0, "1850.258", "1443.773"),
    (45.0, "1852.196", "1314.114"),
    (60.0, "1856.871", "930.000"),
]


@pytest.mark.parametrize(("lat", "north", "east"), MINUTES)
def test_one_minute_of_arc(lat: float, north: str, east: str, as_printed: Printed) -> None:
    half = 0.5 / 60.0
    _, north_nm = course_and_distance(lat - half, 0.0, lat + half, 0.0)
    _, east_nm = course_and_distance(lat, -half, lat, half)
    assert north_nm * M_PER_NM == as_printed(north)
    assert east_nm * M_PER_NM == as_printed(east)


def test_the_survey_line_from_flinders_peak_to_buninyong() -> None:
    # GDA technical manual, worked example on GRS80: memory. GRS80 and WGS84 differ by 0.1 mm in
    # the short axis, which moves this line by less than its printed digits.
    course_deg, distance_nm = course_and_distance(
        -(37 + 57 / 60 + 3.72030 / 3600),
        144 + 25 / 60 + 29.52440 / 3600,
        -(37 + 39 / 60 + 10.15610 / 3600),
        143 + 55 / 60 + 35.38390 / 3600,
    )
    assert distance_nm * M_PER_NM == pytest.approx(54_972.271, abs=0.001)
    assert course_deg == pytest.approx(306 + 52 / 60 + 5.37 / 3600, abs=0.01 / 3600)


RANDOM = np.random.default_rng(20_260_101)
PLACES = np.column_stack(
    [
        RANDOM.uniform(-90.0, 90.0, 40),
        RANDOM.uniform(-180.0, 180.0, 40),
        RANDOM.uniform(-90.0, 90.0, 40),
        RANDOM.uniform(-180.0, 180.0, 40),
    ]
)


@pytest.mark.parametrize("places", PLACES.tolist())
def test_a_second_library_agrees(places: list[float]) -> None:
    answer = Geodesic.WGS84.Inverse(*places)
    course_deg, distance_nm = course_and_distance(*places)
    assert distance_nm * M_PER_NM == pytest.approx(answer["s12"], abs=SOLVER_M)
    assert turn_deg(course_deg, answer["azi1"]) < SOLVER_DEG


@pytest.mark.parametrize("places", PLACES.tolist())
def test_the_plane_keeps_distance_and_direction_from_its_center(places: list[float]) -> None:
    # Azimuthal equidistant by definition: Snyder, USGS Professional Paper 1395, chapter 25.
    answer = Geodesic.WGS84.Inverse(*places)
    east_nm, north_nm = LocalPlane(*places[:2]).to_plane_nm(*places[2:])
    bearing_rad = np.radians(answer["azi1"])
    assert east_nm * M_PER_NM == pytest.approx(answer["s12"] * np.sin(bearing_rad), abs=0.01)
    assert north_nm * M_PER_NM == pytest.approx(answer["s12"] * np.cos(bearing_rad), abs=0.01)

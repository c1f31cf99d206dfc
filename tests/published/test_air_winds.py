"""Wind components and wind triangles of FAA handbooks and examinations."""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from lubberline.air import track_made_good, wind_components_kt, wind_triangle

Printed = Callable[[str], Any]
CHART_KT = 1.0  # a component chart is read to 1 kt
PLOT_DEG, PLOT_KT = 1.0, 1.0  # a triangle drawn by hand

# Runway or course [deg], wind from [deg] and speed [kt], headwind and crosswind [kt], computed:
# W cos and W sin of the angle between (PHAK, FAA-H-8083-25B, chapter 11).
COMPONENTS = [
    (180.0, 220.0, 30.0, "22.98", "19.28"),
    (170.0, 140.0, 25.0, "21.65", "-12.50"),
    (320.0, 360.0, 30.0, "22.98", "19.28"),
    (130.0, 180.0, 25.0, "16.07", "19.15"),
    (60.0, 20.0, 20.0, "15.32", "-12.86"),
    (90.0, 270.0, 10.0, "-10.0", "0"),
    (360.0, 90.0, 15.0, "0", "15"),
    (10.0, 350.0, 20.0, "18.79", "-6.84"),
]


@pytest.mark.parametrize(("direction", "wind_from", "wind_kt", "head", "cross"), COMPONENTS)
def test_components(
    direction: float, wind_from: float, wind_kt: float, head: str, cross: str, as_printed: Printed
) -> None:
    head_kt, cross_kt = wind_components_kt(direction, wind_from_true_deg=wind_from, wind_kt=wind_kt)
    assert head_kt == as_printed(head)
    assert cross_kt == as_printed(cross)


# Chart answers: runway, wind, headwind, crosswind without its side.
CHART_ANSWERS = [
    (180.0, 220.0, 30.0, 23.0, 19.0),  # FAA knowledge-test question bank
    (170.0, 140.0, 25.0, 22.0, 13.0),  # PHAK chapter 11 sample problem: memory
]


@pytest.mark.parametrize(("direction", "wind_from", "wind_kt", "head", "cross"), CHART_ANSWERS)
def test_components_of_the_chart(
    direction: float, wind_from: float, wind_kt: float, head: float, cross: float
) -> None:
    head_kt, cross_kt = wind_components_kt(direction, wind_from_true_deg=wind_from, wind_kt=wind_kt)
    assert head_kt == pytest.approx(head, abs=CHART_KT)
    assert abs(cross_kt) == pytest.approx(cross, abs=CHART_KT)


# Course [deg], true airspeed [kt], wind from [deg] and speed [kt], correction [deg], ground speed
# [kt], computed: asin(W sin a / TAS) and TAS cos c - W cos a (PHAK chapter 16).
TRIANGLES = [
    (90.0, 120.0, 45.0, 40.0, "-13.63", "88.33"),
    (31.0, 115.0, 360.0, 10.0, "-2.57", "106.31"),
    (180.0, 120.0, 270.0, 30.0, "14.48", "116.19"),
    (0.0, 100.0, 180.0, 20.0, "0", "120"),
    (45.0, 140.0, 45.0, 25.0, "0", "115"),
    (350.0, 110.0, 20.0, 15.0, "3.91", "96.75"),
    (300.0, 150.0, 0.0, 0.0, "0", "150"),
    (270.0, 90.0, 200.0, 95.0, "-82.7", "-21"),
]


@pytest.mark.parametrize(
    ("course", "tas_kt", "wind_from", "wind_kt", "correction", "ground"), TRIANGLES
)
def test_triangles(
    course: float,
    tas_kt: float,
    wind_from: float,
    wind_kt: float,
    correction: str,
    ground: str,
    as_printed: Printed,
) -> None:
    correction_deg, ground_kt = wind_triangle(
        course, tas_kt, wind_from_true_deg=wind_from, wind_kt=wind_kt
    )
    assert correction_deg == as_printed(correction)
    assert ground_kt == as_printed(ground)


# Answers drawn by hand or rounded to whole degrees and knots.
PLOTTED = [
    (90.0, 120.0, 45.0, 40.0, -14.0, 88.0),  # PHAK chapter 16; ground speed read, angle memory
    (31.0, 115.0, 360.0, 10.0, -3.0, 106.0),  # PHAK chapter 16 flight log; results memory
    (180.0, 180.0, 100.0, 18.0, -6.0, 176.0),  # a pilot theory examination question
]


@pytest.mark.parametrize(
    ("course", "tas_kt", "wind_from", "wind_kt", "correction", "ground"), PLOTTED
)
def test_triangles_plotted_by_hand(
    course: float, tas_kt: float, wind_from: float, wind_kt: float, correction: float, ground: float
) -> None:
    correction_deg, ground_kt = wind_triangle(
        course, tas_kt, wind_from_true_deg=wind_from, wind_kt=wind_kt
    )
    assert correction_deg == pytest.approx(correction, abs=PLOT_DEG)
    assert ground_kt == pytest.approx(ground, abs=PLOT_KT)


def test_a_crosswind_above_the_airspeed_cannot_be_held() -> None:
    # Computed: course 100, airspeed 60 kt, wind 190 at 70 kt.
    answer = wind_triangle(100.0, 60.0, wind_from_true_deg=190.0, wind_kt=70.0)
    assert np.isnan(answer).all()


def test_track_and_ground_speed_of_a_heading() -> None:
    # A pilot theory examination question: heading 254, 163 kt, wind 130 at 30; drift 8 right.
    track_deg, ground_kt = track_made_good(254.0, 163.0, wind_from_true_deg=130.0, wind_kt=30.0)
    assert track_deg == pytest.approx(262.0, abs=PLOT_DEG)
    assert ground_kt == pytest.approx(182.0, abs=PLOT_KT)

"""Legs in a steady wind against the Pilot's Handbook of Aeronautical Knowledge.

FAA-H-8083-25A, chapter 15 "Navigation" (chapter 16 in 25B): the printed ground speeds are
rounded to a knot. Rows marked "computed" are the same triangle, solved by hand to 0.01 kt.
"""

import numpy as np
import pytest

from lubberline.ways import Motion
from lubberline.ways.motion import Flown, fly
from lubberline.weather import WindsAloft

# true course, TAS, wind from, wind, ground speed, tolerance, status
TRIANGLES = [
    (90.0, 120.0, 45.0, 40.0, 88.0, 0.5),  # printed, dead reckoning: read
    (31.0, 115.0, 360.0, 10.0, 106.0, 0.5),  # printed, Chickasha to Guthrie: memory
    (90.0, 120.0, 45.0, 40.0, 88.33, 0.005),  # computed
    (31.0, 115.0, 360.0, 10.0, 106.31, 0.005),  # computed
    (180.0, 120.0, 270.0, 30.0, 116.19, 0.005),  # computed
    (0.0, 100.0, 180.0, 20.0, 120.0, 0.005),  # computed
    (45.0, 140.0, 45.0, 25.0, 115.0, 0.005),  # computed
    (350.0, 110.0, 20.0, 15.0, 96.75, 0.005),  # computed
    (300.0, 150.0, 0.0, 0.0, 150.0, 0.005),  # computed
]
# true course, TAS, wind from, wind: no heading makes headway (computed)
HOPELESS = [(100.0, 60.0, 190.0, 70.0), (270.0, 90.0, 200.0, 95.0)]


def _airplane(cruise_tas_kt: float) -> Motion:
    return Motion(
        climb_fpm=500.0,
        zero_climb_ft=0.0,
        descent_fpm=500.0,
        climb_tas_kt=90.0,
        cruise_tas_kt=cruise_tas_kt,
        descent_tas_kt=120.0,
        ceiling_ft=12_000.0,
        glide_ratio=9.0,
        climb_gph=8.0,
        cruise_gph=8.0,
        descent_gph=8.0,
    )


def leg(course_deg: float, tas_kt: float, from_deg: float, wind_kt: float, run_nm: float) -> Flown:
    course = np.radians(course_deg)
    row = (np.array([value]) for value in (0.0, from_deg, wind_kt, 15.0))
    names = ("msl_ft", "from_true_deg", "wind_kt", "oat_degc")
    return fly(
        _airplane(tas_kt),
        WindsAloft(**dict(zip(names, row, strict=True))),
        east_nm=np.array([0.0, run_nm * np.sin(course)]),
        north_nm=np.array([0.0, run_nm * np.cos(course)]),
        msl_ft=np.array([4_500.0, 4_500.0]),
    )


@pytest.mark.parametrize(("course", "tas", "from_deg", "wind", "ground_kt", "tolerance"), TRIANGLES)
def test_ground_speed_is_that_of_the_handbook(
    course: float, tas: float, from_deg: float, wind: float, ground_kt: float, tolerance: float
) -> None:
    hours = float(leg(course, tas, from_deg, wind, 50.0).time_min[0]) / 60.0
    assert 50.0 / hours == pytest.approx(ground_kt, abs=tolerance)


@pytest.mark.parametrize(("course", "tas", "from_deg", "wind"), HOPELESS)
def test_no_leg_where_no_heading_makes_headway(
    course: float, tas: float, from_deg: float, wind: float
) -> None:
    assert np.isnan(leg(course, tas, from_deg, wind, 50.0).time_min).all()


def test_chickasha_to_guthrie_takes_thirty_minutes() -> None:
    """53 NM at 106 kt; the handbook's inputs are read, its result is from memory."""
    guthrie = leg(31.0, 115.0, 360.0, 10.0, 53.0)
    assert float(guthrie.time_min[0]) == pytest.approx(30.0, abs=0.5)
    # With the handbook's 5 min of climb: 35 min at 8 gph are 4.7 gal.
    assert float(guthrie.fuel_gal[0]) + 5.0 / 60.0 * 8.0 == pytest.approx(4.7, abs=0.05)


# Time, speed and distance, chapter 15 of 25A: read.
@pytest.mark.parametrize(
    ("run_nm", "tas", "minutes"), [(210.0, 140.0, 90.0), (210.0, 120.0, 105.0), (270.0, 90.0, 180)]
)
def test_time_is_distance_over_speed(run_nm: float, tas: float, minutes: float) -> None:
    assert float(leg(0.0, tas, 0.0, 0.0, run_nm).time_min[0]) == pytest.approx(minutes, abs=1e-6)

"""Wind and true airspeed from ground velocities, against worked examples in public print.

Doug Gray, Using GPS to accurately establish TAS, 1998 (three legs, read with code); a public
post with three tracks (read); two synthetic cases with exact answers; three prints of a flight
test spreadsheet with four legs each, geometric fit computed in the dossier on statistics,
section 10.
"""

import numpy as np
import pytest

from lubberline.flown.wind import WindFound, wind_by_courses

Leg = tuple[float, float]  # ground speed kt, track degrees true


def found(legs: list[Leg], *, robust: bool = False) -> WindFound:
    speed_kt, track_deg = np.array(legs).T
    track = np.radians(track_deg)
    wind = wind_by_courses(speed_kt * np.sin(track), speed_kt * np.cos(track), robust=robust)
    assert wind is not None
    return wind


@pytest.mark.parametrize("robust", [False, True])
@pytest.mark.parametrize(
    ("legs", "airspeed_kt", "from_deg", "wind_kt", "within"),
    [
        ([(140, 192), (112, 283), (120, 20)], 129.99852, 314.75845, 20.633444, 1e-5),
        ([(76.5, 0), (87.9, 120), (128.7, 240)], 99.99317, 45.054, 30.0228, 5e-4),
        (
            [(101.9803903, 11.3099325), (117.7459197, 115.1280790), (83.2820412, 233.1036321)],
            *(100.0, 270.0, 20.0, 1e-6),
        ),
        (
            [(67.0820393, 26.5650512), (136.0147051, 107.1027290), (143.1782106, 167.9052429)],
            *(100.0, 323.1301024, 50.0, 1e-6),
        ),
    ],
)
def test_three_courses_give_wind_and_airspeed(
    legs: list[Leg],
    airspeed_kt: float,
    from_deg: float,
    wind_kt: float,
    within: float,
    robust: bool,
) -> None:
    wind = found(legs, robust=robust)
    assert wind.airspeed_kt == pytest.approx(airspeed_kt, abs=within)
    assert wind.from_true_deg == pytest.approx(from_deg, abs=within)
    assert wind.wind_kt == pytest.approx(wind_kt, abs=within)


@pytest.mark.parametrize(
    ("legs", "airspeed_kt", "from_deg", "wind_kt"),
    [
        ([(65.6, 246), (58.0, 348), (62.4, 107), (67.0, 171)], 62.4913, 15.85, 5.022),
        ([(87.2, 266), (124.0, 4), (146.0, 103), (104.0, 190)], 118.7915, 257.83, 31.236),
        ([(98.2, 270), (132.0, 359), (157.0, 99), (119.0, 180)], 129.0099, 257.27, 30.967),
    ],
)
def test_four_courses_are_fitted_by_their_distance_from_the_circle(
    legs: list[Leg], airspeed_kt: float, from_deg: float, wind_kt: float
) -> None:
    wind = found(legs)
    assert wind.airspeed_kt == pytest.approx(airspeed_kt, abs=5e-5)
    assert wind.from_true_deg == pytest.approx(from_deg, abs=5e-3)
    assert wind.wind_kt == pytest.approx(wind_kt, abs=5e-4)

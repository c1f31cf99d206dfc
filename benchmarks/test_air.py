"""Speed of the air room: one call from a planner, and a recording of 100,000 samples."""

from collections.abc import Callable
from functools import partial
from typing import Any

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from lubberline.air import (
    cas_from_tas_kt,
    density_altitude_ft,
    indicated_for_true_ft,
    pressure_altitude_ft,
    tas_from_cas_kt,
    true_altitude_ft,
    wind_components_kt,
    wind_triangle,
)

RANDOM = np.random.default_rng(1)
COUNT = 100_000
HEIGHT_FT = RANDOM.uniform(0.0, 12_000.0, COUNT)
OAT_DEGC = RANDOM.uniform(-20.0, 30.0, COUNT)
SPEED_KT = RANDOM.uniform(60.0, 160.0, COUNT)
COURSE_DEG = RANDOM.uniform(0.0, 360.0, COUNT)
WIND = {
    "wind_from_true_deg": RANDOM.uniform(0.0, 360.0, COUNT),
    "wind_kt": RANDOM.uniform(0.0, 50.0, COUNT),
}
ONE_WIND = {"wind_from_true_deg": 140.0, "wind_kt": 25.0}
CALLS: dict[str, Callable[[], Any]] = {
    "one pressure altitude": partial(pressure_altitude_ft, 5_500.0, 30.02),
    "one true airspeed": partial(tas_from_cas_kt, 120.0, 5_500.0, 8.0),
    "one wind triangle": partial(wind_triangle, 170.0, 120.0, **ONE_WIND),
    "many pressure altitudes": partial(pressure_altitude_ft, HEIGHT_FT, 30.02),
    "many density altitudes": partial(density_altitude_ft, HEIGHT_FT, OAT_DEGC),
    "many true altitudes": partial(true_altitude_ft, HEIGHT_FT, 400.0, OAT_DEGC),
    "many indicated altitudes": partial(indicated_for_true_ft, HEIGHT_FT, 400.0, OAT_DEGC),
    "many true airspeeds": partial(tas_from_cas_kt, SPEED_KT, HEIGHT_FT, OAT_DEGC),
    "many calibrated airspeeds": partial(cas_from_tas_kt, SPEED_KT, HEIGHT_FT, OAT_DEGC),
    "many wind components": partial(wind_components_kt, COURSE_DEG, **WIND),
    "many wind triangles": partial(wind_triangle, COURSE_DEG, SPEED_KT, **WIND),
}


@pytest.mark.parametrize("name", CALLS)
def test_speed(name: str, benchmark: BenchmarkFixture) -> None:
    assert np.isfinite(benchmark(CALLS[name])).all()

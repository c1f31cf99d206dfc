"""Speed of the earth room: one call from a planner, and a recording of 100,000 samples."""

from collections.abc import Callable
from datetime import UTC, date, datetime
from functools import partial
from typing import Any

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from lubberline.earth import (
    LocalPlane,
    Terrain,
    Tile,
    course_and_distance,
    destination_point,
    sun_times,
    variation_deg,
)

RANDOM = np.random.default_rng(1)
COUNT = 100_000
LAT_DEG = RANDOM.uniform(40.0, 42.0, COUNT)
LON_DEG = RANDOM.uniform(-132.0, -130.0, COUNT)
COURSE_DEG = RANDOM.uniform(0.0, 360.0, COUNT)
NEAR_NM = RANDOM.uniform(-60.0, 60.0, (2, COUNT))
PLANE = LocalPlane(41.0, -131.0)
WHEN = datetime(2026, 5, 1, 12, tzinfo=UTC)
TERRAIN = Terrain(
    tiles=(
        Tile(
            south_deg=40.0,
            west_deg=-132.0,
            step_lat_deg=0.005,
            step_lon_deg=0.005,
            ground_ft=RANDOM.uniform(0.0, 6_000.0, (401, 401)),
        ),
    )
)
CALLS: dict[str, Callable[[], Any]] = {
    "one course": partial(course_and_distance, 41.0, -131.0, 41.5, -130.2),
    "one plane point": partial(PLANE.to_plane_nm, 41.5, -130.2),
    "one variation": partial(variation_deg, 41.0, -131.0, 5_500.0, WHEN),
    "many courses": partial(course_and_distance, 41.0, -131.0, LAT_DEG, LON_DEG),
    "many destinations": partial(destination_point, LAT_DEG, LON_DEG, COURSE_DEG, 20.0),
    "many plane points": partial(PLANE.to_plane_nm, LAT_DEG, LON_DEG),
    "many places": partial(PLANE.to_degrees, *NEAR_NM),
    "many variations": partial(variation_deg, LAT_DEG, LON_DEG, 5_500.0, WHEN),
    "many ground heights": partial(TERRAIN.ground_ft, LAT_DEG, LON_DEG),
}


@pytest.mark.parametrize("name", CALLS)
def test_speed(name: str, benchmark: BenchmarkFixture) -> None:
    assert np.isfinite(benchmark(CALLS[name])).all()


def test_speed_of_one_day_of_the_sun(benchmark: BenchmarkFixture) -> None:
    assert benchmark(sun_times, 41.0, -131.0, date(2026, 5, 1)).sunset_utc is not None

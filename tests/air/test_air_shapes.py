"""Every public function of the air room on every shape, and at both ends of its range."""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

import lubberline.air as air
from lubberline.errors import RangeError, ShapeError

TABLE_KT = ([60.0, 100.0, 140.0], [64.0, 101.0, 138.0])

# Function of positional numbers, a sample with an answer, and the range of each argument; None
# where the function takes any number.
CASES: dict[str, tuple[Callable[..., Any], list[float], list[tuple[float, float] | None]]] = {
    "isa_temperature_degc": (air.isa_temperature_degc, [4500.0], [(-16_420, 65_617)]),
    "isa_pressure_hpa": (air.isa_pressure_hpa, [4500.0], [(-16_420, 65_617)]),
    "isa_height_ft": (air.isa_height_ft, [850.0], [(54.74, 1778)]),
    "isa_density_ratio": (air.isa_density_ratio, [4500.0], [(-16_420, 65_617)]),
    "speed_of_sound_kt": (air.speed_of_sound_kt, [12.0], [(-90, 60)]),
    "density_altitude_ft": (
        air.density_altitude_ft,
        [4500.0, 25.0],
        [(-16_420, 65_617), (-90, 60)],
    ),
    "inhg_from_hpa": (air.inhg_from_hpa, [1013.0], [None]),
    "hpa_from_inhg": (air.hpa_from_inhg, [29.9], [None]),
    "pressure_altitude_ft": (air.pressure_altitude_ft, [4500.0, 30.1], [None, (25, 32)]),
    "indicated_altitude_ft": (air.indicated_altitude_ft, [4500.0, 30.1], [None, (25, 32)]),
    "station_pressure_hpa": (
        air.station_pressure_hpa,
        [4500.0, 30.1],
        [(-2000, 15_000), (25, 32)],
    ),
    "true_altitude_ft": (
        air.true_altitude_ft,
        [6500.0, 400.0, -12.0],
        [(-2000, 36_000), (-2000, 15_000), (-90, 60)],
    ),
    "indicated_for_true_ft": (
        air.indicated_for_true_ft,
        [6500.0, 400.0, -12.0],
        [(-2000, 36_000), (-2000, 15_000), (-90, 60)],
    ),
    "temperature_correction_ft": (
        air.temperature_correction_ft,
        [1500.0, 400.0, -12.0],
        [(0, 10_000), (-2000, 15_000), (-90, 60)],
    ),
    "mach_from_cas": (air.mach_from_cas, [140.0, 7500.0], [(0, 661), (-16_420, 65_617)]),
    "eas_from_cas_kt": (air.eas_from_cas_kt, [140.0, 7500.0], [(0, 661), (-16_420, 65_617)]),
    "tas_from_cas_kt": (
        air.tas_from_cas_kt,
        [140.0, 7500.0, 3.0],
        [(0, 661), (-16_420, 65_617), (-90, 60)],
    ),
    "cas_from_tas_kt": (
        air.cas_from_tas_kt,
        [140.0, 7500.0, 3.0],
        [(0, 750), (-16_420, 65_617), (-90, 60)],
    ),
    "cas_from_ias_kt": (lambda ias: air.cas_from_ias_kt(ias, *TABLE_KT), [90.0], [None]),
    "ias_from_cas_kt": (lambda cas: air.ias_from_cas_kt(cas, *TABLE_KT), [90.0], [None]),
    "wind_components_kt": (
        lambda toward, came, wind: air.wind_components_kt(
            toward, wind_from_true_deg=came, wind_kt=wind
        ),
        [170.0, 140.0, 25.0],
        [(-360, 720), (-360, 720), (0, 300)],
    ),
    "wind_triangle": (
        lambda course, tas, came, wind: air.wind_triangle(
            course, tas, wind_from_true_deg=came, wind_kt=wind
        ),
        [170.0, 130.0, 140.0, 25.0],
        [(-360, 720), (0, 750), (-360, 720), (0, 300)],
    ),
    "track_made_good": (
        lambda heading, tas, came, wind: air.track_made_good(
            heading, tas, wind_from_true_deg=came, wind_kt=wind
        ),
        [170.0, 130.0, 140.0, 25.0],
        [(-360, 720), (0, 750), (-360, 720), (0, 300)],
    ),
    "wind_east_north_kt": (air.wind_east_north_kt, [140.0, 25.0], [(-360, 720), (0, 300)]),
    "wind_from_east_north": (air.wind_from_east_north, [12.0, -5.0], [None, None]),
}
ENDS = [
    (name, place, bound)
    for name, (_, _, ranges) in CASES.items()
    for place, span in enumerate(ranges)
    for bound in (span or ())
]


def test_no_public_function_is_left_out() -> None:
    assert set(CASES) == set(air.__all__)


@pytest.mark.parametrize("name", CASES)
def test_every_shape_has_its_answer(name: str, holds_on_every_shape: Callable[..., None]) -> None:
    function, sample, _ = CASES[name]
    holds_on_every_shape(function, *sample)


@pytest.mark.parametrize("name", [name for name, case in CASES.items() if len(case[1]) > 1])
def test_shapes_that_do_not_fit_are_refused(name: str) -> None:
    function, sample, _ = CASES[name]
    with pytest.raises(ShapeError, match=r"\(3,\)"):
        function([sample[0]] * 3, [sample[1]] * 2, *sample[2:])


@pytest.mark.parametrize(("name", "place", "bound"), ENDS)
def test_the_end_of_a_range_is_taken_and_no_more(name: str, place: int, bound: float) -> None:
    function, sample, ranges = CASES[name]
    low, high = ranges[place] or (0.0, 0.0)
    function(*sample[:place], bound, *sample[place + 1 :])
    beyond = bound + (high - low) * (1e-3 if bound == high else -1e-3)
    with pytest.raises(RangeError, match="expected"):
        function(*sample[:place], beyond, *sample[place + 1 :])


@pytest.mark.parametrize(("name", "place", "bound"), ENDS)
def test_infinity_is_refused(name: str, place: int, bound: float) -> None:
    function, sample, _ = CASES[name]
    with pytest.raises(RangeError, match="inf"):
        function(*sample[:place], np.copysign(np.inf, bound), *sample[place + 1 :])

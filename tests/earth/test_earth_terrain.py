"""Ground between grid crossings, at edges, over voids, and on overlapping tiles."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lubberline.arrays import FloatArray
from lubberline.earth import Terrain, Tile, flat_terrain
from lubberline.errors import ShapeError

ROWS, COLUMNS = np.mgrid[0.0:4.0, 0.0:5.0]


def tile(ground_ft: FloatArray, west_deg: float = -131.0) -> Tile:
    return Tile(
        south_deg=41.0, west_deg=west_deg, step_lat_deg=0.5, step_lon_deg=0.25, ground_ft=ground_ft
    )


SLOPE = tile(100.0 + 40.0 * ROWS + 7.0 * COLUMNS)
TERRAIN = Terrain(tiles=(SLOPE,))


def test_every_shape_has_its_answer(holds_on_every_shape: Callable[..., None]) -> None:
    holds_on_every_shape(TERRAIN.ground_ft, 41.3, -130.4)
    with pytest.raises(ShapeError):
        TERRAIN.ground_ft([41.0] * 3, [-131.0] * 2)


@given(st.floats(41.0, 42.5), st.floats(-131.0, -130.0))
def test_a_slope_is_a_slope_between_the_crossings(lat_deg: float, lon_deg: float) -> None:
    expected_ft = 100.0 + 40.0 * (lat_deg - 41.0) / 0.5 + 7.0 * (lon_deg + 131.0) / 0.25
    assert TERRAIN.ground_ft(lat_deg, lon_deg) == pytest.approx(expected_ft, abs=1e-9)


@given(st.floats(41.0, 42.5), st.floats(-131.0, -130.0))
def test_no_place_is_higher_than_the_crossings_around_it(lat_deg: float, lon_deg: float) -> None:
    peaks_ft = np.random.default_rng(5).uniform(0.0, 9_000.0, (4, 5))
    ground_ft = Terrain(tiles=(tile(peaks_ft),)).ground_ft(lat_deg, lon_deg)
    assert peaks_ft.min() - 1e-9 <= ground_ft <= peaks_ft.max() + 1e-9


@pytest.mark.parametrize(
    ("lat_deg", "lon_deg"), [(40.99, -130.5), (42.51, -130.5), (41.5, -131.01), (41.5, -129.99)]
)
def test_beyond_the_tile_the_ground_is_unknown_or_its_edge(lat_deg: float, lon_deg: float) -> None:
    edge_ft = TERRAIN.ground_ft(np.clip(lat_deg, 41.0, 42.5), np.clip(lon_deg, -131.0, -130.0))
    assert np.isnan(TERRAIN.ground_ft(lat_deg, lon_deg))
    clamped = Terrain(tiles=(SLOPE,), clamped=True)
    assert clamped.ground_ft(lat_deg, lon_deg) == pytest.approx(float(edge_ft))


def test_a_void_is_unknown_and_not_sea_level() -> None:
    ground_ft = SLOPE.ground_ft[:, :].copy()
    ground_ft[1, 1] = np.nan
    holed = Terrain(tiles=(tile(ground_ft),))
    assert np.isnan(holed.ground_ft(41.4, -130.8))
    assert np.isfinite(holed.ground_ft(42.4, -130.1))


def test_the_first_tile_that_knows_answers() -> None:
    first = tile(np.where(COLUMNS < 3, 500.0, np.nan))
    terrain = Terrain(tiles=(first, tile(np.full((4, 5), 900.0), west_deg=-130.5)))
    np.testing.assert_allclose(terrain.ground_ft(41.5, [-130.9, -130.1, -129.6]), [500, 900, 900])


def test_no_tile_knows_nothing() -> None:
    assert np.isnan(Terrain().ground_ft(41.0, [-131.0, -130.0])).all()


@given(st.floats(-90.0, 90.0), st.floats(-180.0, 180.0))
def test_flat_terrain_is_flat_everywhere(lat_deg: float, lon_deg: float) -> None:
    assert flat_terrain(350.0).ground_ft(lat_deg, lon_deg) == pytest.approx(350.0)


@pytest.mark.parametrize(
    ("terrain", "level_ft"),
    [
        (flat_terrain(1_200.0), 1_200.0),
        (TERRAIN, None),
        (Terrain(tiles=(tile(np.full((4, 5), 90.0)),), clamped=True), 90.0),
        (Terrain(tiles=(tile(np.full((4, 5), 90.0)),)), None),
        (Terrain(tiles=(tile(np.repeat([90.0, 91.0], 10).reshape(4, 5)),), clamped=True), None),
        (Terrain(), None),
    ],
)
def test_ground_that_is_level_everywhere_says_so(terrain: Terrain, level_ft: float | None) -> None:
    assert terrain.level_ft == level_ft
    if level_ft is not None:
        assert terrain.ground_ft([10.0, np.nan], [20.0, 20.0]) == pytest.approx(
            [level_ft, np.nan], nan_ok=True
        )

"""From where a station is heard: over level ground, behind a hill, over ground not known."""

import numpy as np
import pytest
from ways_cases import CENTER, place, problem

from lubberline.earth import Terrain, Tile, flat_terrain
from lubberline.ways import Along, along_way, evaluate, radio_horizon_nm
from lubberline.ways.audible import ANTENNA_AGL_FT, Station, audible_from, in_sight

FLAT = flat_terrain(0.0)


def along(msl_ft: float, half_nm: float = 60.0, terrain: Terrain = FLAT) -> Along:
    way = evaluate(
        problem(half_nm=half_nm, terrain=terrain),
        "direct",
        via=(),
        cruise_msl_ft=msl_ft,
        permissions=frozenset(),
    )
    return along_way(way, terrain)


def station(east_nm: float) -> Station:
    lat_deg, lon_deg = place(east_nm, 0.0)
    return Station(lat_deg=lat_deg, lon_deg=lon_deg, elev_msl_ft=0.0)


def ridge(at_nm: float, top_ft: float) -> Terrain:
    """Level ground with a wall across the way."""
    lon_deg = [float(CENTER.to_degrees(at_nm + off, 0.0)[1]) for off in (-1.0, 0.0, 1.0)]
    step_deg = lon_deg[1] - lon_deg[0]
    ground_ft = np.zeros((2, 401))
    middle = 200
    ground_ft[:, middle] = top_ft
    tile = Tile(
        south_deg=40.0,
        west_deg=lon_deg[1] - middle * step_deg,
        step_lat_deg=2.0,
        step_lon_deg=step_deg,
        ground_ft=ground_ft,
    )
    return Terrain(tiles=(tile,), clamped=True)


@pytest.mark.parametrize("msl_ft", [1_500.0, 2_500.0, 4_500.0])
def test_over_a_level_sea_a_station_is_heard_up_to_both_horizons(msl_ft: float) -> None:
    flown, tower = along(msl_ft), station(60.0)
    seen, known = in_sight(flown, tower, FLAT)
    away_nm = flown.away_nm(tower.lat_deg, tower.lon_deg)
    both_nm = radio_horizon_nm(flown.msl_ft) + radio_horizon_nm(ANTENNA_AGL_FT)
    sure = np.abs(away_nm - both_nm) > 0.5  # ground is looked up every half mile
    assert known.all()
    assert (seen == (away_nm < both_nm))[sure].all()


def test_a_hill_between_hides_a_station_until_it_is_passed() -> None:
    hill = ridge(0.0, 3_000.0)
    flown, tower = along(2_500.0, terrain=hill), station(59.0)
    seen, _ = in_sight(flown, tower, hill)
    east_nm, _ = CENTER.to_plane_nm(flown.lat_deg, flown.lon_deg)
    assert not seen[(east_nm > -50.0) & (east_nm < -4.0)].any()
    assert seen[east_nm > 4.0].all()


def test_a_station_that_is_lost_again_says_for_how_long() -> None:
    hill = ridge(0.0, 3_000.0)
    flown = along(2_500.0, half_nm=30.0, terrain=hill)
    heard = audible_from(flown, station(-29.0), hill)
    assert heard.from_spot is not None
    assert heard.from_spot.after_min == 0.0
    assert heard.lost_min == pytest.approx(30.0 / 2.0, abs=2.5)  # two miles a minute


def test_a_station_beyond_the_horizon_is_heard_nowhere() -> None:
    heard = audible_from(along(1_500.0, half_nm=20.0), station(200.0), FLAT)
    assert heard.from_spot is None
    assert heard.away_nm is None


def test_ground_that_is_not_known_is_said() -> None:
    assert not audible_from(along(2_500.0), station(60.0), Terrain(tiles=())).over_known_ground


def test_a_way_is_sampled_without_being_changed() -> None:
    flown = along(2_500.0)
    assert np.diff(flown.along_nm).max() <= 0.25 + 1e-9
    assert flown.along_nm[-1] == pytest.approx(flown.way.distance_nm, rel=1e-4)
    spot = flown.spot(10.0)
    assert spot.msl_ft == pytest.approx(np.interp(10.0, *flown.way.path[:, [3, 2]].T))


def test_a_place_is_told_by_the_point_ahead() -> None:
    flown = along(2_500.0)
    assert flown.words(0.0) == "QAAA"
    assert flown.words(float(flown.after_min[-1])) == "QZZZ"
    assert flown.words(1.0).endswith("NM before top of climb")

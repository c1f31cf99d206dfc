"""The invented region keeps its promises: the three ways, the ground, the layers."""

from pathlib import Path

import numpy as np
import pytest

from lubberline.arrays import FloatArray
from lubberline.demo.relief import RISES, tile_ft, write_hgt, write_relief
from lubberline.earth import LocalPlane, Terrain, course_and_distance
from lubberline.places import Places, Volume, distance_nm, read_places, read_terrain

REGION = Path(__file__).parents[2] / "src" / "lubberline" / "demo" / "files" / "places"
PLANE = LocalPlane(41.0, -131.0)
LATERAL_NM, VERTICAL_FT, GROUND_FT = 1.0, 500.0, 1_000.0  # the margins the region's head names
CLIMB_FT_PER_NM, DESCENT_FT_PER_NM = 380.0, 214.0  # 700 fpm at 110 kt, 500 fpm at 140 kt
NEAR_FIELD_NM = 5.0


@pytest.fixture(scope="module")
def places() -> Places:
    return read_places(REGION)


@pytest.fixture(scope="module")
def terrain(places: Places, tmp_path_factory: pytest.TempPathFactory) -> Terrain:
    folder = tmp_path_factory.mktemp("terrain")
    write_relief(folder, places)
    return read_terrain(folder)


def apart_nm(places: Places, first: str, second: str) -> float:
    a, b = places.aerodromes[first], places.aerodromes[second]
    return float(course_and_distance(a.lat_deg, a.lon_deg, b.lat_deg, b.lon_deg)[1])


def flown(places: Places, via: list[str], cruise_msl_ft: float) -> tuple[FloatArray, ...]:
    """East, north [NM], height [ft MSL] and distance from the nearer end, in 4,000 places."""
    start, end = places.aerodromes["QWRN"], places.aerodromes["QMRL"]
    points = [places.points[name] for name in via]
    lat_deg = [start.lat_deg, *(point.lat_deg for point in points), end.lat_deg]
    lon_deg = [start.lon_deg, *(point.lon_deg for point in points), end.lon_deg]
    east, north = PLANE.to_plane_nm(lat_deg, lon_deg)
    gone = np.append(0.0, np.cumsum(np.hypot(np.diff(east), np.diff(north))))
    along = np.linspace(0.0, gone[-1], 4_000)
    up = start.elev_msl_ft + along * CLIMB_FT_PER_NM
    down = end.elev_msl_ft + (gone[-1] - along) * DESCENT_FT_PER_NM
    height = np.minimum(np.minimum(up, down), cruise_msl_ft)
    to_end = np.minimum(along, gone[-1] - along)
    return np.interp(along, gone, east), np.interp(along, gone, north), height, to_end


def floor_msl_ft(volume: Volume, ground_ft: FloatArray) -> FloatArray:
    above_ground = volume.floor.reference != "MSL"
    return volume.floor.ft + np.where(above_ground, ground_ft, 0.0)


WAYS = [
    (["Gull Light", "Split Rock", "Marsh Viaduct", "Gasworks chimney"], 2_500.0, 54.5),
    (["Long Mole", "The Anvil", "Kiln Point"], 3_500.0, 67.1),
    (["Gull Light", "Split Rock", "Marsh Viaduct"], 5_500.0, 54.4),
]
GROUPS = [
    {"sedge-tower", "marl-tower"},
    {"marl-tower"},
    {"gannet-approach", "marl-tower"},
]


@pytest.mark.parametrize(
    ("via", "cruise_msl_ft", "groups"), [(*w[:2], g) for w, g in zip(WAYS, GROUPS, strict=True)]
)
def test_each_way_asks_for_just_these_permissions(
    places: Places, terrain: Terrain, via: list[str], cruise_msl_ft: float, groups: set[str]
) -> None:
    east, north, height, _ = flown(places, via, cruise_msl_ft)
    ground = terrain.ground_ft(*PLANE.to_degrees(east, north))
    entered, touched = set(), set()
    for volume in places.volumes:
        beside = distance_nm(volume.footprint, PLANE, east, north)
        apart = np.maximum(floor_msl_ft(volume, ground) - height, height - volume.ceiling.ft)
        if ((beside < 0.0) & (apart < 0.0)).any():
            entered.add(volume.group)
        if ((beside < LATERAL_NM) & (apart < VERTICAL_FT)).any():
            touched.add(volume.group or volume.airspace_class)
    assert entered - {""} == groups
    assert touched - {"E"} == groups


@pytest.mark.parametrize(("via", "cruise_msl_ft", "length_nm"), WAYS)
def test_each_way_clears_the_ground(
    places: Places, terrain: Terrain, via: list[str], cruise_msl_ft: float, length_nm: float
) -> None:
    east, north, height, to_end = flown(places, via, cruise_msl_ft)
    above = height - terrain.ground_ft(*PLANE.to_degrees(east, north))
    assert above[to_end > NEAR_FIELD_NM].min() > GROUND_FT
    assert np.hypot(np.diff(east), np.diff(north)).sum() == pytest.approx(length_nm, abs=0.05)


def test_the_file_says_first_that_it_is_invented() -> None:
    first = (REGION / "region.toml").read_text(encoding="utf-8").splitlines()[0]
    assert "invented" in first
    assert "open ocean" in first


def test_every_code_begins_with_q_and_lies_in_open_ocean(places: Places) -> None:
    codes = [*places.aerodromes, *(volume.id for volume in places.volumes)]
    assert all(code.startswith("Q") for code in codes)
    for corners in places.land_deg:
        assert (np.abs(corners - [41.0, -131.0]) < 1.0).all()


def test_marl_lies_beside_gannet_and_beneath_its_shelves(places: Places) -> None:
    assert 50.0 < apart_nm(places, "QWRN", "QMRL") < 60.0
    assert apart_nm(places, "QMRL", "QGNT") == pytest.approx(13.0, abs=0.1)
    marl = places.aerodromes["QMRL"]
    here = PLANE.to_plane_nm(marl.lat_deg, marl.lon_deg)
    over = {v.id for v in places.volumes if distance_nm(v.footprint, PLANE, *here) < 0.0}
    assert over == {"QV-MARL", "QV-GANNET-OUTER"}
    sides = {end.name: end.pattern_side for _, end in marl.runway_ends()}
    assert sides == {"12": "right", "30": "left"}


def test_rings_and_gap_leave_no_slit(places: Places) -> None:
    """Every place within 20 NM of Gannet lies in one of its layers, edges included."""
    gannet = places.aerodromes["QGNT"]
    east, north = PLANE.to_plane_nm(gannet.lat_deg, gannet.lon_deg)
    bearing, away = np.meshgrid(np.radians(np.arange(0.0, 360.0, 1.7)), np.arange(0.3, 19.8, 0.4))
    here = (east + away * np.sin(bearing), north + away * np.cos(bearing))
    layers = [v for v in places.volumes if v.group == "gannet-approach"]
    inside = [distance_nm(v.footprint, PLANE, *here) <= 1e-6 for v in layers]
    assert np.any(inside, axis=0).all()


def test_the_strait_is_a_quarter_of_an_hour_wide(places: Places) -> None:
    light, rock = places.points["Gull Light"], places.points["Split Rock"]
    _, wide_nm = course_and_distance(light.lat_deg, light.lon_deg, rock.lat_deg, rock.lon_deg)
    assert 12.0 < float(wide_nm) < 18.0


def test_ground_is_level_at_the_aerodromes(places: Places, terrain: Terrain) -> None:
    bearings = np.radians(np.arange(0.0, 360.0, 30.0))
    for field in places.aerodromes.values():
        east, north = PLANE.to_plane_nm(field.lat_deg, field.lon_deg)
        round_deg = PLANE.to_degrees(east + 1.5 * np.sin(bearings), north + 1.5 * np.cos(bearings))
        ground_ft = terrain.ground_ft(*round_deg)
        level = np.abs(ground_ft - field.elev_msl_ft) < 2.0  # half a meter, and its rounding
        assert (level | (ground_ft < field.elev_msl_ft)).all(), field.id  # or the shore
        ends = [(end.lat_deg, end.lon_deg, end.elev_msl_ft) for _, end in field.runway_ends()]
        for lat_deg, lon_deg, elev_msl_ft in ends:
            assert float(terrain.ground_ft(lat_deg, lon_deg)) == pytest.approx(elev_msl_ft, abs=12)


def test_the_sea_is_level_and_the_ridge_is_not(places: Places, terrain: Terrain) -> None:
    sea = terrain.ground_ft([40.75, 40.79, 41.2], [-131.4, -130.75, -131.4])
    np.testing.assert_array_equal(sea, 0.0)
    top_ft = max(float(tile.ground_ft[:, :].max()) for tile in terrain.tiles)
    assert 3_300.0 < top_ft < 3_500.0
    ridge = next(rise for rise in RISES if rise.name == "ridge")
    assert float(terrain.ground_ft(*ridge.end_deg)) > 3_000.0


@pytest.mark.parametrize("name", ["Tarn Hills", "ridge", "its north arm"])
def test_hills_close_the_low_ways_beside(terrain: Terrain, name: str) -> None:
    """Under a 3,000 ft floor there is no height left that keeps both margins."""
    rise = next(rise for rise in RISES if rise.name == name)
    line_deg = np.linspace(rise.start_deg, rise.end_deg, 50)
    ground_ft = terrain.ground_ft(line_deg[:, 0], line_deg[:, 1])
    assert (ground_ft + GROUND_FT > 3_000.0 - VERTICAL_FT).all()


def test_the_relief_comes_back_from_its_tiles(places: Places, terrain: Terrain) -> None:
    written_ft = tile_ft(places, 41.0, -131.0)
    (tile,) = (t for t in terrain.tiles if (t.south_deg, t.west_deg) == (41.0, -131.0))
    np.testing.assert_allclose(tile.ground_ft[:, :], written_ft, atol=0.5 / 0.3048 + 1e-6)
    assert np.isnan(terrain.ground_ft(42.5, -131.0))


def test_an_unknown_height_is_written_as_a_void(tmp_path: Path) -> None:
    ground_m = np.zeros((1_201, 1_201))
    ground_m[7, 11] = np.nan
    write_hgt(tmp_path / "S02E009.hgt", ground_m)
    (tile,) = read_terrain(tmp_path).tiles
    assert np.argwhere(np.isnan(tile.ground_ft[:, :])).tolist() == [[7, 11]]


def test_tiles_are_named_after_their_corner(places: Places, tmp_path: Path) -> None:
    names = [path.name for path in write_relief(tmp_path / "new" / "folder", places)]
    assert names == ["N40W132.hgt", "N40W131.hgt", "N41W132.hgt", "N41W131.hgt"]

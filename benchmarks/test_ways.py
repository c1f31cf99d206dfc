"""How long ways take: to evaluate and check one route, and to find the best or all of them.

What is found is timed with preparation and check, in skies that the tests know.
"""

from dataclasses import replace
from pathlib import Path
from typing import Literal

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture
from random_skies import random_sky

from lubberline.demo import write_folder
from lubberline.earth import LocalPlane, Terrain, Tile
from lubberline.flight import Search, read_plan
from lubberline.places import (
    Circle,
    Footprint,
    Height,
    Polygon,
    VisualPoint,
    Volume,
)
from lubberline.ways import Margins, Motion, Rules, WayEnd, WaysProblem, check, evaluate
from lubberline.ways.found import search_problem
from lubberline.ways.motion import fly
from lubberline.ways.search import find_way, find_ways
from lubberline.weather import WindsAloft

CENTER = LocalPlane(41.0, -131.0)


def crowded(count: int) -> WaysProblem:
    """So many circles, rings and polygons of 24 corners round 60 NM, a fifth above ground."""
    draw = np.random.default_rng(20261125)
    ends = [_end("QAAA", -30.0), _end("QZZZ", 30.0)]
    levels = np.array([0.0, 3_000.0, 9_000.0])
    return WaysProblem(
        name="crowded",
        description="",
        departure=ends[0],
        destination=ends[1],
        motion=Motion(
            climb_fpm=900.0,
            zero_climb_ft=14_000.0,
            descent_fpm=500.0,
            climb_tas_kt=95.0,
            cruise_tas_kt=140.0,
            descent_tas_kt=150.0,
            ceiling_ft=12_000.0,
            glide_ratio=9.0,
            climb_gph=16.0,
            cruise_gph=11.0,
            descent_gph=8.0,
        ),
        wind=WindsAloft(
            msl_ft=levels,
            from_true_deg=np.array([240.0, 270.0, 300.0]),
            wind_kt=np.array([8.0, 20.0, 40.0]),
            oat_degc=np.array([15.0, 9.0, -3.0]),
        ),
        margins=Margins(lateral_nm=0.5, vertical_ft=300.0),
        rules=Rules(
            min_agl_ft=500.0,
            aerodrome_radius_nm=5.0,
            hemispheric=True,
            hemispheric_above_agl_ft=3_000.0,
            variation_deg=14.5,
            level_fpm=100.0,
        ),
        terrain=_hills(draw),
        land_deg=(),
        volumes=tuple(_volume(index, draw) for index in range(count)),
        points=(),
    )


def _end(name: str, east_nm: float) -> WayEnd:
    lat_deg, lon_deg = CENTER.to_degrees(east_nm, 0.0)
    return WayEnd(id=name, lat_deg=float(lat_deg), lon_deg=float(lon_deg), elev_msl_ft=100.0)


def _hills(draw: np.random.Generator) -> Terrain:
    tile = Tile(
        south_deg=40.0,
        west_deg=-132.0,
        step_lat_deg=0.01,
        step_lon_deg=0.01,
        ground_ft=draw.uniform(0.0, 800.0, (201, 201)),
    )
    return Terrain(tiles=(tile,), clamped=True)


def _volume(index: int, draw: np.random.Generator) -> Volume:
    east_nm, north_nm = draw.uniform(-32.0, 32.0), draw.uniform(-15.0, 15.0)
    floor_ft = float(draw.choice([700.0, 1_500.0, 3_000.0, 5_000.0]))
    above: Literal["AGL", "MSL"] = "AGL" if index % 5 == 0 else "MSL"
    return Volume(
        id=f"Q{index}",
        name=f"Volume {index}",
        airspace_class="BCDREP"[index % 6],
        group=f"group-{index % 9}",
        facility="",
        floor=Height(reference=above, ft=floor_ft),
        ceiling=Height(reference=above, ft=floor_ft + 2_500.0),
        footprint=_footprint(index, draw, east_nm, north_nm),
    )


def _footprint(index: int, draw: np.random.Generator, east_nm: float, north_nm: float) -> Footprint:
    if index % 2:
        lat_deg, lon_deg = (float(value) for value in CENTER.to_degrees(east_nm, north_nm))
        radius_nm = float(draw.uniform(1.0, 7.0))
        inner_nm = radius_nm / 2.0 if index % 4 == 1 else 0.0
        return Circle(lat_deg=lat_deg, lon_deg=lon_deg, radius_nm=radius_nm, inner_nm=inner_nm)
    turn, reach_nm = np.linspace(0.0, 2.0 * np.pi, 24, endpoint=False), draw.uniform(2.0, 7.0, 24)
    corners = CENTER.to_degrees(
        east_nm + reach_nm * np.sin(turn), north_nm + reach_nm * np.cos(turn)
    )
    return Polygon(corners_deg=np.column_stack(corners))


VIA = [
    VisualPoint(name=f"V{k}", lat_deg=41.0 + d, lon_deg=-131.3 + 0.3 * k)
    for k, d in enumerate((0.05, -0.06, 0.04))
]


@pytest.mark.parametrize("count", [0, 50, 200])
def test_evaluate_one_candidate(benchmark: BenchmarkFixture, count: int) -> None:
    stated = crowded(count)
    way = benchmark(
        evaluate, stated, "bench", via=VIA, cruise_msl_ft=4_500.0, permissions=frozenset()
    )
    assert way.time_min > 20.0


def test_check_one_path_among_200(benchmark: BenchmarkFixture) -> None:
    stated = crowded(200)
    way = evaluate(stated, "bench", via=VIA, cruise_msl_ft=4_500.0, permissions=frozenset())
    report = benchmark(check, stated, way.path, frozenset(["group-1"]))
    assert report.encounters


def test_fly_ten_thousand_legs(benchmark: BenchmarkFixture) -> None:
    stated, draw = crowded(0), np.random.default_rng(7)
    east_nm, north_nm = draw.uniform(-30.0, 30.0, (2, 10_001))
    msl_ft = draw.uniform(1_000.0, 9_000.0, 10_001)
    flown = benchmark(
        fly, stated.motion, stated.wind, east_nm=east_nm, north_nm=north_nm, msl_ft=msl_ft
    )
    assert np.isfinite(flown.time_min).all()


@pytest.mark.parametrize("count", [10, 50, 200, 500])
def test_find_the_best_way_among_volumes(benchmark: BenchmarkFixture, count: int) -> None:
    """Three skies of a size, one after another: a third of the time is one way's."""
    skies = [random_sky(seed, count=count) for seed in (1, 2, 6)]
    nobody: frozenset[str] = frozenset()
    find_way(skies[0], nobody)  # compiled by then
    ways = benchmark(lambda: [find_way(sky, nobody) for sky in skies])
    assert not any(way.violations for way in ways)


@pytest.mark.parametrize("count", [50, 200])
def test_find_all_ways_among_volumes(benchmark: BenchmarkFixture, count: int) -> None:
    ways = benchmark(find_ways, random_sky(1, count=count))
    assert ways


def test_find_all_ways_of_the_demo_region(benchmark: BenchmarkFixture, tmp_path: Path) -> None:
    plan = read_plan(next(write_folder(tmp_path / "folder").glob("**/flight.toml")))
    asked = replace(plan, flight=replace(plan.flight, candidates=(), search=Search()))
    ways = benchmark(find_ways, search_problem(asked))
    assert len(ways) >= 3

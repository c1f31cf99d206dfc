"""Ways between mountains against routes drawn by hand through the passes."""

from dataclasses import replace

import numpy as np
import pytest
from ways_cases import CENTER, HERON, NO_RULES, end, place, point, problem

from lubberline.earth import Terrain, Tile
from lubberline.ways import WaysProblem, check, evaluate
from lubberline.ways.search import find_way

HEIGHTS_FT = (2_500.0, 3_500.0, 4_500.0, 5_500.0, 6_500.0, 7_500.0, 8_500.0)
NONE: frozenset[str] = frozenset()
Range = tuple[float, float, float]  # east of the middle and north of its pass [NM], height [ft]


def mountains(*ranges: Range) -> Terrain:
    """Ranges from south to north over low ground, each with one pass of 2,000 ft."""
    lat_deg, lon_deg = np.linspace(40.0, 42.0, 121), np.linspace(-132.5, -129.5, 181)
    east_nm, north_nm = CENTER.to_plane_nm(*np.meshgrid(lat_deg, lon_deg, indexing="ij"))
    ground_ft = np.full(east_nm.shape, 300.0)
    for at_nm, pass_nm, high_ft in ranges:
        opened = np.exp(-(((north_nm - pass_nm) / 3.0) ** 2))
        rise = np.exp(-(((east_nm - at_nm) / 3.0) ** 2))
        ground_ft = np.maximum(ground_ft, rise * (high_ft + (2_000.0 - high_ft) * opened))
    tile = Tile(
        south_deg=40.0,
        west_deg=-132.5,
        step_lat_deg=2.0 / 120.0,
        step_lon_deg=3.0 / 180.0,
        ground_ft=ground_ft,
    )
    return Terrain(tiles=(tile,), clamped=True)


def among(*ranges: Range) -> WaysProblem:
    terrain = mountains(*ranges)
    fields = [
        end(name, east_nm, 0.0, float(terrain.ground_ft(*place(east_nm, 0.0))))
        for name, east_nm in (("QAAA", -45.0), ("QBBB", 45.0))
    ]
    return problem(
        departure=fields[0],
        destination=fields[1],
        terrain=terrain,
        motion=HERON,
        rules=replace(NO_RULES, min_agl_ft=500.0),
    )


@pytest.mark.parametrize(
    "ranges",
    [
        [(0.0, 12.0, 13_000.0)],
        [(-10.0, -15.0, 9_000.0)],
        [(-15.0, 10.0, 13_000.0), (12.0, -8.0, 13_000.0)],
        [(20.0, 14.0, 7_000.0)],
    ],
)
def test_a_way_through_passes_is_as_quick_as_one_drawn_by_hand(ranges: list[Range]) -> None:
    stated = among(*ranges)
    found = find_way(stated, NONE)
    assert check(stated, found.path, NONE).clean
    drawn = [
        evaluate(
            stated,
            "by hand",
            via=[point(f"V{n}", one[0], one[1]) for n, one in enumerate(ranges)],
            cruise_msl_ft=height_ft,
            permissions=NONE,
        )
        for height_ft in HEIGHTS_FT
    ]
    clear_min = [one.time_min for one in drawn if not one.violations]
    assert clear_min
    assert found.time_min < min(clear_min) * 1.002

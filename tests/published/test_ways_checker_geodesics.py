"""The checker against geodesics of pyproj and outlines of shapely: a foot inside is refused.

Random circles, rings and polygons anywhere up to 78 degrees of latitude and across the date line;
heights above a steep ridge. Each path lies just on one side of the margin, by a geometry that the
project had no hand in: geodesics on WGS84 for circles, and an azimuthal equidistant projection for
outlines of straight edges, as the problem defines them.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from pyproj import Geod, Transformer
from ways_cases import HERON, problem

from lubberline.earth import LocalPlane, Terrain, Tile
from lubberline.places import Circle, Footprint, Height, Polygon, Volume
from lubberline.ways import Margins, WaysProblem, check

GEOD = Geod(ellps="WGS84")
M_PER_NM = 1_852.0
# The problem's definition: at the margin counts, 20 ft and 0.02 NM short of it too; 1 ft inside
# the volume never does.
FORGIVEN_FT, FORGIVEN_NM, NEVER_FT = 20.0, 0.02, 1.0

latitudes = st.floats(-60.0, 78.0)
longitudes = st.one_of(st.floats(-179.0, 179.0), st.floats(179.7, 180.0), st.floats(-180.0, -179.7))


def shut(footprint: Footprint, floor: Height, ceiling: Height) -> Volume:
    return Volume(
        id="QR",
        name="Range",
        airspace_class="R",
        group="",
        facility="",
        floor=floor,
        ceiling=ceiling,
        footprint=footprint,
    )


def msl(ft: float) -> Height:
    return Height(reference="MSL", ft=ft)


def stated(lat: float, lon: float, one: Volume, lateral: float, vertical: float) -> WaysProblem:
    return problem(
        one,
        plane=LocalPlane(lat, lon),
        motion=replace(HERON, ceiling_ft=60_000.0),
        margins=Margins(lateral_nm=lateral, vertical_ft=vertical),
    )


def away(lat: float, lon: float, azimuth: float, nm: float) -> tuple[float, float]:
    east, north, _ = GEOD.fwd(lon, lat, azimuth, nm * M_PER_NM)
    return north, east


def refused(asked: WaysProblem, rows: Sequence[tuple[float, float, float]]) -> bool:
    path = np.column_stack([np.array(rows), np.arange(len(rows)) * 60.0])
    return any(one.rule == "airspace" for one in check(asked, path, frozenset()).violations)


@given(
    lat=latitudes,
    lon=longitudes,
    azimuth=st.floats(0.0, 360.0),
    off_nm=st.floats(0.0, 15.0),
    radius_nm=st.floats(1.0, 15.0),
    lateral_nm=st.sampled_from([0.0, 0.5, 2.0]),
)
@settings(max_examples=40, deadline=None)
def test_beside_a_circle_the_margin_is_a_geodesic_long(
    lat: float, lon: float, azimuth: float, off_nm: float, radius_nm: float, lateral_nm: float
) -> None:
    center = away(lat, lon, azimuth, off_nm)
    round_it = Circle(lat_deg=center[0], lon_deg=center[1], radius_nm=radius_nm)
    asked = stated(lat, lon, shut(round_it, msl(1_000.0), msl(4_000.0)), lateral_nm, 300.0)
    for nm, wanted in ((0.01, False), (-FORGIVEN_NM - 0.02, True)):
        middle = away(*center, azimuth + 77.0, radius_nm + lateral_nm + nm)
        side = [away(*middle, azimuth + 77.0 + turn, 0.1) for turn in (90.0, -90.0)]
        assert refused(asked, [(*place, 2_500.0) for place in side]) is wanted


@given(
    lat=latitudes,
    lon=longitudes,
    azimuth=st.floats(0.0, 360.0),
    floor_ft=st.floats(800.0, 9_000.0),
    thick_ft=st.floats(50.0, 8_000.0),
    vertical_ft=st.sampled_from([0.0, 10.0, 300.0, 1_000.0]),
)
@settings(max_examples=40, deadline=None)
def test_a_foot_too_high_or_too_low_is_refused(
    lat: float, lon: float, azimuth: float, floor_ft: float, thick_ft: float, vertical_ft: float
) -> None:
    one = shut(
        Circle(lat_deg=lat, lon_deg=lon, radius_nm=5.0), msl(floor_ft), msl(floor_ft + thick_ft)
    )
    asked = stated(lat, lon, one, 0.5, vertical_ft)
    across = [away(lat, lon, azimuth + turn, 3.0) for turn in (0.0, 180.0)]
    kept_ft = max(vertical_ft - FORGIVEN_FT, -NEVER_FT)
    for past_ft, wanted in ((0.5, False), (-1.0, True)):
        for level_ft in (floor_ft - kept_ft - past_ft, floor_ft + thick_ft + kept_ft + past_ft):
            assert refused(asked, [(*place, level_ft) for place in across]) is wanted
    dips = [(*across[0], floor_ft - kept_ft - 700.0), (*across[1], floor_ft - kept_ft + 1.0)]
    assert refused(asked, dips)


@given(
    lat=latitudes,
    lon=longitudes,
    seed=st.integers(0, 10_000),
    lateral_nm=st.sampled_from([0.0, 0.5, 2.0]),
    has_hole=st.booleans(),
)
@settings(max_examples=40, deadline=None)
def test_paths_beside_and_into_outlines_are_judged_as_shapely_measures(
    lat: float, lon: float, seed: int, lateral_nm: float, has_hole: bool
) -> None:
    rng = np.random.default_rng(seed)
    # The problem's plane is centered on the middle of its ends, here the place itself.
    to_degrees = Transformer.from_crs(
        f"+proj=aeqd +lat_0={lat} +lon_0={lon} +ellps=WGS84 +units=m", "EPSG:4326", always_xy=True
    )

    def degrees(xy_nm: np.ndarray) -> np.ndarray:
        east, north = to_degrees.transform(*(xy_nm.T * M_PER_NM))
        return np.column_stack([north, east])

    turns = np.sort(rng.uniform(0.0, 2.0 * np.pi, 9))
    ring = rng.uniform(3.0, 12.0, 9)[:, None] * np.column_stack([np.cos(turns), np.sin(turns)])
    hole = 2.0 * np.column_stack([np.cos(turns), np.sin(turns)])
    shape = shapely.Polygon(ring, [hole] if has_hole else [])
    if not shape.is_valid:
        return
    footprint = Polygon(corners_deg=degrees(ring), holes_deg=(degrees(hole),) if has_hole else ())
    asked = stated(lat, lon, shut(footprint, msl(1_000.0), msl(4_000.0)), lateral_nm, 300.0)
    for _ in range(8):
        legs = rng.uniform(-16.0, 16.0, (3, 2))
        nm = shapely.distance(shapely.LineString(legs), shape)
        inside = shapely.intersection(shapely.LineString(legs), shape.buffer(-0.01)).length
        if lateral_nm - FORGIVEN_NM - 0.003 <= nm <= lateral_nm + 0.003 and not inside:
            continue  # too near to the edge for either to be right
        rows = [(*place, 2_500.0) for place in degrees(legs)]
        assert refused(asked, rows) is bool(nm < lateral_nm or inside)


@pytest.mark.parametrize("lat", [-45.0, 0.0, 41.0, 70.0])
@pytest.mark.parametrize("vertical_ft", [0.0, 300.0])
@pytest.mark.parametrize(("floor_agl_ft", "ceiling_agl_ft"), [(1_000.0, 3_000.0), (0.0, 1_200.0)])
def test_over_a_steep_ridge_heights_above_ground_are_kept_to_a_few_feet(
    lat: float, vertical_ft: float, floor_agl_ft: float, ceiling_agl_ft: float
) -> None:
    lon, step = -131.0, 0.02
    columns = 5_000.0 - 150.0 * np.abs(np.arange(60) - 30.0)  # 150 ft every 0.02 degrees
    tile = Tile(
        south_deg=lat - 30 * step,
        west_deg=lon - 30 * step,
        step_lat_deg=step,
        step_lon_deg=step,
        ground_ft=np.tile(columns, (60, 1)),
    )
    low, high = (Height(reference="AGL", ft=ft) for ft in (floor_agl_ft, ceiling_agl_ft))
    one = shut(Circle(lat_deg=lat, lon_deg=lon, radius_nm=8.0), low, high)
    asked = replace(
        stated(lat, lon, one, 0.0, vertical_ft), terrain=Terrain(tiles=(tile,), clamped=True)
    )
    lons = np.linspace(lon - 0.08, lon + 0.08, 401)
    ground_ft = np.interp(lons, lon + (np.arange(60) - 30.0) * step, columns)
    kept_ft = max(vertical_ft - FORGIVEN_FT, -NEVER_FT)
    # The path bends at other places than the samples of the ground: up to 3 ft.
    heights = [(ceiling_agl_ft + kept_ft + 4.0, False), (ceiling_agl_ft + kept_ft - 4.0, True)]
    if floor_agl_ft:
        heights += [(floor_agl_ft - kept_ft - 4.0, False), (floor_agl_ft - kept_ft + 4.0, True)]
    for agl_ft, wanted in heights:
        rows = np.column_stack([np.full(401, lat), lons, ground_ft + agl_ft])
        assert refused(asked, [tuple(row) for row in rows]) is wanted

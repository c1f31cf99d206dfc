"""Heights to keep on each stretch, and beyond what a glide reaches."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ways_cases import (
    CENTER,
    FIELD,
    SHELF,
    circle,
    disc,
    level_path,
    msl,
    path_of,
    problem,
    sloping_ground,
)

from lubberline.earth import Terrain, Tile, flat_terrain
from lubberline.loop import Prepared
from lubberline.places import Height, Volume
from lubberline.ways import Along, Stretch, WaysProblem, along_way, check, evaluate, stretches
from lubberline.ways.bounds import NOTHING, bounds_along
from lubberline.ways.glide import beyond_fields, beyond_land
from lubberline.ways.lowest import extremes
from lubberline.ways.tolerance import VERTICAL_TOLERANCE_FT

FLAT = flat_terrain(0.0)


def flown(stated: WaysProblem, msl_ft: float, *permissions: str) -> Along:
    way = evaluate(
        stated, "direct", via=(), cruise_msl_ft=msl_ft, permissions=frozenset(permissions)
    )
    return along_way(way, stated.terrain)


def bounded(
    *volumes: Volume, msl_ft: float = 2_500.0, permissions: tuple[str, ...] = ()
) -> tuple[Stretch, ...]:
    stated = problem(*volumes)
    return stretches(stated, flown(stated, msl_ft, *permissions).way)


def test_a_shelf_overhead_bounds_the_stretch_beneath_it_and_its_margins() -> None:
    (under,) = (one for one in bounded(SHELF) if one.not_above_ft is not None)
    assert under.not_above_ft == 3_000.0 - 300.0
    assert under.above_why == "under Shelf (B), 3,000 MSL"
    assert under.to_min - under.from_min == pytest.approx(13.0 / 2.0, abs=0.5)  # 2 x 6.5 NM


def test_a_volume_beneath_bounds_from_below() -> None:
    (over,) = (one for one in bounded(FIELD) if one.below_why.startswith("over"))
    assert over.not_below_ft == 1_500.0 + 300.0
    assert over.below_why == "over Field (D), 1,500 MSL"


def test_where_one_is_let_in_nothing_bounds() -> None:
    assert all(one.not_above_ft is None for one in bounded(SHELF, permissions=("talk",)))


def test_stretches_follow_each_other_from_end_to_end() -> None:
    found = bounded(SHELF, FIELD)
    ends = [one.from_min for one in found[1:]]
    assert ends == [one.to_min for one in found[:-1]]
    assert found[0].from_min == 0.0


def test_the_ground_bounds_level_flight_by_the_height_that_is_asked_for() -> None:
    stated = problem(terrain=flat_terrain(700.0))
    found = stretches(stated, flown(stated, 2_500.0).way)
    grounded = [one for one in found if one.below_why == "ground"]
    assert [one.not_below_ft for one in grounded] == pytest.approx([700.0])


def test_over_a_ridge_the_least_height_goes_in_steps() -> None:
    ridge = np.maximum(3_000.0 - 12_000.0 * np.abs(np.arange(101) / 100.0 - 0.5), 0.0)
    tile = Tile(
        south_deg=40.0,
        west_deg=-131.5,
        step_lat_deg=2.0,
        step_lon_deg=0.01,
        ground_ft=np.tile(ridge, (2, 1)),
    )
    stated = problem(terrain=Terrain(tiles=(tile,), clamped=True))
    way = flown(stated, 4_500.0).way
    told = [one for one in stretches(stated, way) if one.below_by == "ground"]
    steps_ft = [one.not_below_ft or 0.0 for one in told]
    assert max(steps_ft) == pytest.approx(3_000.0, abs=20.0)
    assert min(steps_ft) < 2_000.0
    for one in told:
        miles = np.linspace(one.from_nm, one.to_nm, 200)
        lon_deg = np.interp(miles, [0.0, 40.0], way.path[[0, -1], 1])
        ground_ft = np.interp(lon_deg, -131.5 + np.arange(101) * 0.01, ridge)
        assert (one.not_below_ft or 0.0) >= ground_ft.max() - 20.0  # between two samples


def test_ground_that_is_not_known_bounds_without_a_number() -> None:
    stated = problem(terrain=Terrain(tiles=()))
    (grounded,) = (one for one in stretches(stated, flown(stated, 2_500.0).way) if one.below_why)
    assert (grounded.below_why, grounded.not_below_ft) == ("ground", None)


def agl_shelf(floor_agl_ft: float) -> Volume:
    return disc("Shelf", Height(reference="AGL", ft=floor_agl_ft), msl(30_000.0))


def test_a_floor_above_ground_bounds_by_the_lowest_of_it_on_the_stretch() -> None:
    # The ground rises by 10 ft each mile; the outline is 6 NM round the middle, half a mile beside.
    rise_ft = 10.0 * 2.0 * float(CENTER.to_plane_nm(41.0, -130.0)[0])
    stated = problem(agl_shelf(3_000.0), terrain=sloping_ground(0.0, rise_ft))
    (under,) = (one for one in stretches(stated, flown(stated, 2_500.0).way) if one.above_by)
    assert under.not_above_ft == pytest.approx(rise_ft / 2.0 - 65.0 + 3_000.0 - 300.0, abs=1.5)
    assert under.above_why == "under Shelf (B), 3,000 AGL"


def test_a_stretch_ends_where_its_number_would_forbid_what_is_planned() -> None:
    rise_ft = 200.0 * 2.0 * float(CENTER.to_plane_nm(41.0, -130.0)[0])
    stated = problem(agl_shelf(1_500.0), terrain=sloping_ground(-rise_ft / 2.0, rise_ft / 2.0))
    climb = path_of(
        stated, [(-20.0, 0.0, 0.0), (-7.0, 0.0, -500.0), (7.0, 0.0, 2_300.0), (20.0, 0.0, 0.0)]
    )
    way = replace(flown(stated, 2_500.0).way, path=climb, point_names=("QAAA", "", "", "QZZZ"))
    told = [one for one in stretches(stated, way) if one.above_by]
    assert len(told) > 1
    for one in told:
        inside = np.interp(np.linspace(one.from_min, one.to_min, 50)[:-1], climb[:, 3], climb[:, 2])
        assert one.not_above_ft is not None
        assert inside.max() <= one.not_above_ft + VERTICAL_TOLERANCE_FT + 20.0  # one sample


def test_a_floor_over_unknown_ground_bounds_without_a_number() -> None:
    stated = problem(agl_shelf(3_000.0), terrain=Terrain(tiles=()))
    told = [one for one in stretches(stated, flown(stated, 2_500.0).way) if one.above_by]
    assert [(one.above_by, one.not_above_ft) for one in told] == [("Shelf (B)", None)]


def test_a_volume_under_the_way_does_not_bound_it_by_a_floor_that_is_not_known() -> None:
    low = disc("Low", Height(reference="AGL", ft=500.0), msl(1_500.0))
    stated = problem(low, terrain=Terrain(tiles=()))
    bounds = bounds_along(stated, flown(stated, 2_500.0))
    assert set(bounds.above_index.tolist()) == {NOTHING}
    assert bounds.below_ft.max() == 1_500.0 + 300.0


@given(
    floor_ft=st.floats(2_000.0, 9_000.0),
    thick_ft=st.floats(100.0, 4_000.0),
    cruise_ft=st.floats(1_500.0, 11_000.0),
    radius_nm=st.floats(0.5, 15.0),
)
@settings(max_examples=40, deadline=None)
def test_what_a_stretch_allows_the_check_allows_and_no_more(
    floor_ft: float, thick_ft: float, cruise_ft: float, radius_nm: float
) -> None:
    shut = replace(
        disc("Q", msl(floor_ft), msl(floor_ft + thick_ft)), footprint=circle(0, 0, radius_nm)
    )
    stated = problem(shut)
    way = flown(stated, cruise_ft).way
    middle = next(o for o in stretches(stated, way) if o.from_nm <= 20.0 < o.to_nm)
    for bound_ft, off in ((middle.not_above_ft, 1.0), (middle.not_below_ft, -1.0)):
        if bound_ft is None or "ground" in (middle.above_by, middle.below_by):
            continue
        for past_ft, broken in ((-1.0, False), (VERTICAL_TOLERANCE_FT + 1.0, True)):
            level = level_path(stated, bound_ft + off * past_ft, (-20.0, 0.0), (20.0, 0.0))
            rules = {one.rule for one in check(stated, level, frozenset()).violations}
            assert ("airspace" in rules) == broken


def test_lowest_and_highest_leave_the_fields_out() -> None:
    stated = problem(terrain=flat_terrain(100.0))
    told = extremes(stated, flown(stated, 2_500.0))
    assert told.highest_msl_ft == 2_500.0
    assert told.least_agl_ft == pytest.approx(told.lowest_msl_ft - 100.0)
    assert told.lowest_msl_ft > 500.0


@pytest.fixture
def islands() -> Callable[[float], WaysProblem]:
    """Land round both ends, up to so far from the middle of the way."""

    def make(shore_nm: float) -> WaysProblem:
        rings = []
        for side in (-1.0, 1.0):
            corners = [(shore_nm, -9.0), (40.0, -9.0), (40.0, 9.0), (shore_nm, 9.0)]
            east_nm, north_nm = np.array(corners).T
            rings.append(np.column_stack(CENTER.to_degrees(side * east_nm, north_nm)))
        return problem(land_deg=tuple(rings))

    return make


def test_water_is_beyond_a_glide_where_the_shores_are_farther_than_it_reaches(
    prepared: Prepared, islands: Callable[[float], WaysProblem]
) -> None:
    airplane, stated = prepared.plan.aircraft, islands(10.0)
    beyond = beyond_land(airplane, stated, flown(stated, 2_500.0))
    reach_nm = 2_500.0 * airplane.glide_ratio / 6_076.1
    assert beyond.beyond_min == pytest.approx((20.0 - 2.0 * reach_nm) / 2.0, abs=0.3)
    assert beyond.short_nm == pytest.approx(10.0 - reach_nm, abs=0.2)


def test_a_narrow_strait_is_within_a_glide(
    prepared: Prepared, islands: Callable[[float], WaysProblem]
) -> None:
    stated = islands(3.0)
    told = beyond_land(prepared.plan.aircraft, stated, flown(stated, 2_500.0))
    assert told.beyond_min == 0.0


def test_without_land_or_aerodromes_on_file_nobody_knows(prepared: Prepared) -> None:
    stated = problem()
    along, airplane = flown(stated, 2_500.0), prepared.plan.aircraft
    told = (beyond_land(airplane, stated, along), beyond_fields(airplane, stated, along, ()))
    assert [one.beyond_min for one in told] == [None, None]
    assert all(one.missing for one in told)


def test_leave_for_the_margin_alone_still_bounds_by_the_edge() -> None:
    """1,000 ft under a floor of 1,100 ft with its leave: not entered, so the floor bounds."""
    low = disc("Low", msl(1_100.0), msl(9_000.0))
    stated = problem(low)
    way = flown(stated, 1_000.0, "talk").way
    (under,) = (one for one in stretches(stated, way) if one.above_by)
    assert under.not_above_ft == pytest.approx(1_100.0)
    assert under.above_why == "under Low (B), 1,100 MSL"

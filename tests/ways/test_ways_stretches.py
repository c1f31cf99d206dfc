"""Heights to keep on each stretch, and beyond what a glide reaches."""

from collections.abc import Callable

import numpy as np
import pytest
from ways_cases import CENTER, FIELD, SHELF, problem

from lubberline.earth import Terrain, flat_terrain
from lubberline.loop import Prepared
from lubberline.places import Volume
from lubberline.ways import Along, Stretch, WaysProblem, along_way, evaluate, stretches
from lubberline.ways.glide import beyond_fields, beyond_land
from lubberline.ways.lowest import extremes

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
    return stretches(stated, flown(stated, msl_ft, *permissions))


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
    found = stretches(stated, flown(stated, 2_500.0))
    grounded = [one for one in found if one.below_why == "ground"]
    assert [one.not_below_ft for one in grounded] == pytest.approx([700.0])


def test_ground_that_is_not_known_bounds_without_a_number() -> None:
    stated = problem(terrain=Terrain(tiles=()))
    (grounded,) = (one for one in stretches(stated, flown(stated, 2_500.0)) if one.below_why)
    assert (grounded.below_why, grounded.not_below_ft) == ("ground", None)


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

"""The room that a profile draws is the room that the independent check grants."""

import json
from typing import Any

import numpy as np
import pytest
from ways_cases import CENTER, aloft, box, circle, problem, volume

from lubberline.earth import Terrain, Tile
from lubberline.page.areas import filled, rings
from lubberline.page.figure import Stroke
from lubberline.page.map_airspace import OFF_NM, airspace_traces
from lubberline.page.profile_picture import Profile, profile_picture
from lubberline.page.room import Room, room_of
from lubberline.page.strokes import way_stroke
from lubberline.places import Volume
from lubberline.ways import Rules, Stretch, Way, WaysProblem, check, cut_along

RULES = Rules(
    min_agl_ft=800.0,
    aerodrome_radius_nm=5.0,
    hemispheric=False,
    hemispheric_above_agl_ft=3_000.0,
    variation_deg=0.0,
    level_fpm=100.0,
)
SHELF = volume(box(2.0, -5.0, 8.0, 5.0), floor=("MSL", 3_000.0), ceiling=("MSL", 5_000.0))
BLOCK = volume(box(-9.0, -5.0, -4.0, 5.0), ceiling=("MSL", 1_500.0), name="Q2")


def level(msl_ft: float, *, permissions: frozenset[str] = frozenset()) -> Way:
    """Straight through the middle at one height."""
    east_nm = np.array([-20.0, -6.0, 5.0, 20.0])
    lat_deg, lon_deg = CENTER.to_degrees(east_nm, np.zeros(4))
    minutes = (east_nm + 20.0) / 2.0
    return Way(
        name="level",
        permissions=permissions,
        path=np.column_stack([lat_deg, lon_deg, np.full(4, msl_ft), minutes]),
        point_names=("QAAA", "", "", "QZZZ"),
        legs=(),
        time_min=20.0,
        fuel_gal=4.0,
        distance_nm=40.0,
        cruise_msl_ft=msl_ft,
        encounters=(),
        findings=(),
    )


def room(stated: WaysProblem, way: Way) -> Room:
    return room_of(stated, way, cut_along(way.path, stated.volumes, stated.terrain))


def at(drawn: Room, along_nm: float) -> Stretch:
    return next(one for one in drawn.stretches if one.from_nm <= along_nm < one.to_nm)


def rules_broken(stated: WaysProblem, msl_ft: float) -> set[str]:
    report = check(stated, level(msl_ft).path, frozenset())
    return {str(one.rule) for one in report.violations} & {"airspace", "terrain"}


def test_the_check_grants_the_height_not_above_and_no_more() -> None:
    stated = problem(SHELF)
    drawn = room(stated, level(2_000.0))
    top_ft = at(drawn, 25.0).not_above_ft
    assert top_ft is not None
    assert rules_broken(stated, top_ft) == set()
    assert rules_broken(stated, top_ft + 50.0) == {"airspace"}


def test_the_check_grants_the_height_not_below_and_no_less() -> None:
    stated = problem(BLOCK)
    drawn = room(stated, level(2_500.0))
    low_ft = at(drawn, 13.0).not_below_ft
    assert low_ft is not None
    assert rules_broken(stated, low_ft) == set()
    assert rules_broken(stated, low_ft - 50.0) == {"airspace"}


@pytest.mark.parametrize(("along_nm", "closed"), [(21.4, False), (21.6, True), (28.4, True)])
def test_a_volume_closes_its_heights_within_the_margin_beside_it(
    along_nm: float, closed: bool
) -> None:
    drawn = room(problem(SHELF), level(2_000.0))  # from 22 to 28 NM, half a mile beside
    assert (at(drawn, along_nm).not_above_ft is not None) == closed


def test_a_permission_opens_the_volume() -> None:
    drawn = room(problem(SHELF), level(2_000.0, permissions=frozenset(["Q1-tower"])))
    assert all(one.not_above_ft is None for one in drawn.stretches)
    assert drawn.margins.is_empty


def test_margins_are_all_round_the_volume_and_not_in_it() -> None:
    drawn = room(problem(SHELF), level(2_000.0))
    # 300 ft above and below 7 NM, and half a mile at each end of 2,000 ft; samples 0.1 NM apart.
    assert drawn.margins.area == pytest.approx(7.0 * 2_600.0 - 6.0 * 2_000.0, rel=0.05)


def test_the_least_height_is_that_over_the_highest_ground_of_the_stretch() -> None:
    hill = Tile(
        south_deg=40.0,
        west_deg=-132.0,
        step_lat_deg=0.5,
        step_lon_deg=0.25,
        ground_ft=np.tile([0.0, 0.0, 0.0, 100.0, 640.0, 100.0, 0.0, 0.0, 0.0], (5, 1)),
    )
    drawn = room(problem(terrain=Terrain(tiles=(hill,), clamped=True), rules=RULES), level(3_000.0))
    assert at(drawn, 20.0).not_below_ft == pytest.approx(640.0 + 800.0, abs=1.0)
    ground_margin_nm_ft = drawn.margins.area
    # 800 ft for 30 NM, and falling to nothing for 5 NM at either end.
    assert ground_margin_nm_ft == pytest.approx(800.0 * 35.0, rel=0.01)


def test_unknown_ground_gives_no_least_height() -> None:
    drawn = room(problem(terrain=Terrain(), rules=RULES), level(3_000.0))
    assert {one.not_below_ft for one in drawn.stretches} == {None}
    assert "ground" in {one.below_by for one in drawn.stretches}
    assert drawn.margins.is_empty


def picture(stated: WaysProblem, way: Way) -> list[dict[str, Any]]:
    section = cut_along(way.path, stated.volumes, stated.terrain)
    profile = Profile(
        section=section,
        path=way.path,
        point_names=way.point_names,
        stroke=way_stroke(1, is_chosen=True),
        room=room_of(stated, way, section),
    )
    traces: list[dict[str, Any]] = json.loads(profile_picture("p", "t", profile).json)["data"]
    return traces


def test_the_profile_hatches_margins_and_names_the_steps() -> None:
    traces = picture(problem(SHELF, BLOCK), level(2_500.0))
    assert sum(trace.get("fillpattern", {}).get("fgcolor") == "@soft" for trace in traces) == 1
    assert {"not above 2,700", "not below 1,800"} <= set(traces[-1]["text"])


def test_a_way_with_nothing_to_keep_from_has_no_hatching() -> None:
    traces = picture(problem(wind=aloft((0.0, 0.0, 0.0))), level(2_500.0))
    assert not any("fillpattern" in trace for trace in traces)


@pytest.mark.parametrize("radius_nm", [1.0, 4.4, 30.0])
def test_circles_are_drawn_as_circles(radius_nm: float) -> None:
    ring = Volume(
        id="Q",
        name="Quay",
        airspace_class="B",
        group="",
        facility="",
        floor=SHELF.floor,
        ceiling=SHELF.ceiling,
        footprint=circle(0.0, 0.0, radius_nm, radius_nm / 2.0),
    )
    outer, inner = list(airspace_traces([ring], CENTER))
    for trace, true_nm in ((outer, radius_nm), (inner, radius_nm / 2.0)):
        corners = np.column_stack([trace["x"], trace["y"]])
        middles = (corners[1:] + corners[:-1]) / 2.0
        for places in (corners, middles):
            assert np.hypot(*places.T) == pytest.approx(true_nm, abs=OFF_NM + 0.0075)  # 2 digits


def test_a_hole_stays_open() -> None:
    import shapely

    ring = shapely.Point(0.0, 0.0).buffer(2.0).difference(shapely.Point(0.0, 0.0).buffer(1.0))
    outer, inner = rings(shapely.orient_polygons(ring))
    assert shapely.LinearRing(outer).is_ccw != shapely.LinearRing(inner).is_ccw
    assert None in filled(ring, Stroke(ink="soft"))["x"]

"""One path and one volume: crossings by hand, and against dense sampling for anything else."""

from dataclasses import replace
from math import inf, isnan, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ways_cases import (
    CENTER,
    box,
    circle,
    end,
    level_path,
    path_of,
    place,
    polygon,
    problem,
    sloping_ground,
    volume,
)

from lubberline.arrays import FloatArray
from lubberline.earth import LocalPlane, Terrain, Tile
from lubberline.places import Footprint, Volume, distance_nm
from lubberline.ways import Margins, WaysProblem
from lubberline.ways.contact import outlines
from lubberline.ways.meeting import Meeting, meet, meet_all
from lubberline.ways.samples import densified, path_samples

MARGINS = Margins(lateral_nm=0.5, vertical_ft=300.0)
NO_MARGINS = Margins(lateral_nm=0.0, vertical_ft=0.0)
PRECISE_MIN = 0.0005  # 0.001 NM at two miles a minute


def met(one: Volume, stated: WaysProblem, path: FloatArray, margins: Margins = MARGINS) -> Meeting:
    rows = densified(stated, path_samples(stated, path))
    meeting = meet(one, stated.plane, rows, margins)
    assert meeting is not None
    return meeting


def west_to_east(north_nm: float = 0.0, msl_ft: float = 3_000.0) -> FloatArray:
    """20 NM west to 20 NM east of the middle in 20 minutes."""
    return level_path(problem(), msl_ft, (-20.0, north_nm), (20.0, north_nm))


def stay(meeting: Meeting) -> tuple[float, float]:
    assert meeting.entry is not None
    assert meeting.leave_min is not None
    return meeting.entry.after_min, meeting.leave_min


@pytest.mark.parametrize(("north_nm", "half_chord_nm"), [(0.0, 5.0), (3.0, 4.0), (-4.0, 3.0)])
def test_a_circle_is_entered_and_left_where_its_chord_says(
    north_nm: float, half_chord_nm: float
) -> None:
    meeting = met(volume(circle(0, 0, 5)), problem(), west_to_east(north_nm))
    expected = (10.0 - half_chord_nm / 2.0, 10.0 + half_chord_nm / 2.0)
    assert stay(meeting) == pytest.approx(expected, abs=1e-6)
    assert meeting.entry is not None
    assert (meeting.entry.lat_deg, meeting.entry.lon_deg) == pytest.approx(
        place(-half_chord_nm, north_nm), abs=1e-9
    )


def test_a_ring_is_left_for_the_last_time_behind_its_hole() -> None:
    meeting = met(volume(circle(0, 0, 5, inner_nm=2)), problem(), west_to_east())
    assert stay(meeting) == pytest.approx((7.5, 12.5), abs=1e-6)


def test_a_flight_within_the_hole_of_a_ring_stays_outside() -> None:
    stated = problem(half_nm=1.0)
    path = level_path(stated, 3_000.0, (-1.0, 0.0), (1.0, 0.0))
    meeting = met(volume(circle(0, 0, 5, inner_nm=2)), stated, path)
    assert meeting.entry is None
    assert meeting.lateral_nm == pytest.approx(1.0, abs=1e-6)


def test_the_inner_edge_of_a_ring_has_the_margin_too() -> None:
    stated = problem(half_nm=3.7)
    path = level_path(stated, 3_000.0, (0.0, 0.0), (3.7, 0.0))
    meeting = met(volume(circle(0, 0, 8, inner_nm=4)), stated, path)
    assert meeting.near is not None
    assert meeting.near.after_min == pytest.approx(3.52 / 2.0, abs=1e-6)


def test_a_hole_in_a_polygon_is_outside() -> None:
    square = [(-5.0, -5.0), (5.0, -5.0), (5.0, 5.0), (-5.0, 5.0)]
    hole = [(-2.0, -2.0), (2.0, -2.0), (2.0, 2.0), (-2.0, 2.0)]
    stated = problem(half_nm=1.0)
    path = level_path(stated, 3_000.0, (-1.0, 0.5), (1.0, 0.5))
    meeting = met(volume(polygon(square, hole)), stated, path)
    assert meeting.entry is None
    assert meeting.lateral_nm == pytest.approx(1.0, abs=1e-6)


@pytest.mark.parametrize("thick_nm", [1.0, 0.01, 0.003])
def test_a_thin_wall_does_not_slip_between_samples(thick_nm: float) -> None:
    wall = volume(box(3.33, -5.0, 3.33 + thick_nm, 5.0))
    entry, leave = stay(met(wall, problem(), west_to_east(), NO_MARGINS))
    assert entry == pytest.approx((20.0 + 3.33) / 2.0, abs=1e-6)
    assert leave - entry == pytest.approx(thick_nm / 2.0, abs=1e-6)


def test_a_thin_layer_does_not_slip_between_rows_of_a_climb() -> None:
    stated = problem()
    path = path_of(stated, [(-20, 0, 0), (20, 0, 8_000)])
    layer = volume(circle(0, 0, 30), floor=("MSL", 4_001.0), ceiling=("MSL", 4_004.0))
    entry, leave = stay(met(layer, stated, path, NO_MARGINS))
    assert (entry, leave) == pytest.approx((20.0 * 4_001 / 8_000, 20.0 * 4_004 / 8_000), abs=1e-6)


def test_a_climb_out_of_a_shelf_leaves_it_at_its_ceiling() -> None:
    stated = problem()
    path = path_of(stated, [(-20, 0, 0), (20, 0, 8_000)])
    shelf = volume(circle(0, 0, 10), floor=("MSL", 1_000.0), ceiling=("MSL", 3_000.0))
    meeting = met(shelf, stated, path)
    assert stay(meeting) == pytest.approx((5.0, 7.5), abs=1e-6)  # at the rim, then at 3,000 ft
    assert meeting.entry is not None
    assert meeting.entry.msl_ft == pytest.approx(2_000.0, abs=1e-3)


@pytest.mark.parametrize(
    ("north_nm", "near"), [(5.5, False), (5.485, False), (5.47, True), (4.0, True)]
)
def test_exactly_at_the_lateral_margin_is_allowed(north_nm: float, near: bool) -> None:
    meeting = met(volume(circle(0, 0, 5)), problem(), west_to_east(north_nm))
    assert (meeting.near is not None) == near


@pytest.mark.parametrize(("msl_ft", "near"), [(2_700, False), (2_715, False), (2_725, True)])
def test_exactly_at_the_vertical_margin_is_allowed(msl_ft: float, near: bool) -> None:
    shelf = volume(circle(0, 0, 5), floor=("MSL", 3_000.0))
    meeting = met(shelf, problem(), west_to_east(msl_ft=msl_ft))
    assert (meeting.near is not None) == near
    assert meeting.vertical_ft == pytest.approx(3_000.0 - msl_ft, abs=1e-6)
    assert meeting.entry is None


@pytest.mark.parametrize(("msl_ft", "entered"), [(3_000, False), (3_000.5, False), (3_002, True)])
def test_without_margins_the_edge_is_free_and_nothing_beyond_it(
    msl_ft: float, entered: bool
) -> None:
    shelf = volume(circle(0, 0, 5), floor=("MSL", 3_000.0))
    meeting = met(shelf, problem(), west_to_east(msl_ft=msl_ft), NO_MARGINS)
    assert (meeting.entry is not None) == entered
    assert (meeting.near is not None) == entered


@pytest.mark.parametrize(("north_nm", "entered"), [(5.0, False), (4.9995, False), (4.99, True)])
def test_without_margins_a_hundredth_of_a_mile_inside_is_inside(
    north_nm: float, entered: bool
) -> None:
    meeting = met(volume(box(-5, -5, 5, 5)), problem(), west_to_east(north_nm), NO_MARGINS)
    assert (meeting.entry is not None) == entered
    assert (meeting.near is not None) == entered


def test_least_distances_are_taken_only_while_within_the_other_margin() -> None:
    stated = problem()
    # High beside the volume, low only 2 NM and more to the east of it.
    path = path_of(stated, [(-20, 0, 9_000), (7, 0, 9_000), (7.001, 0, 3_000), (20, 0, 3_000)])
    box_below = volume(box(-5, -5, 5, 5), ceiling=("MSL", 5_000.0))
    meeting = met(box_below, stated, path)
    assert meeting.vertical_ft == pytest.approx(4_000.0, abs=1e-6)
    assert meeting.lateral_nm == pytest.approx(2.0, abs=0.001)


def test_what_never_comes_within_a_margin_has_no_distance() -> None:
    above = met(volume(circle(0, 0, 5), ceiling=("MSL", 1_000.0)), problem(), west_to_east())
    assert above.lateral_nm == inf
    assert above.vertical_ft == 2_000.0
    beside = met(volume(circle(0, 7, 5)), problem(), west_to_east())
    assert beside.lateral_nm == pytest.approx(2.0, abs=1e-6)
    assert beside.vertical_ft == inf


def test_far_away_is_not_measured() -> None:
    rows = path_samples(problem(), west_to_east())
    assert meet(volume(circle(0, 12, 5)), CENTER, rows, MARGINS) is None


def test_a_floor_above_ground_follows_a_slope() -> None:
    stated = problem(terrain=sloping_ground(0.0, 4_000.0))
    # Ground is 2,000 ft in the middle; 700 ft above it meets 3,000 ft where ground is 2,300 ft.
    shelf = volume(box(-15, -5, 15, 5), floor=("AGL", 700.0), ceiling=("MSL", 9_000.0))
    meeting = met(shelf, stated, level_path(stated, 3_000.0, (-20, 0), (20, 0)), NO_MARGINS)
    east_deg = place(15.0, 0.0)[1]
    meeting_deg = -131.0 + 0.15  # 4,000 ft in 2 degrees
    assert meeting_deg < east_deg
    _, leave = stay(meeting)
    east_nm = float(stated.plane.to_plane_nm(41.0, meeting_deg)[0])
    # Inside where the ground is low enough for 3,000 ft to lie above the floor: to the west.
    assert leave == pytest.approx((20.0 + east_nm) / 2.0, abs=PRECISE_MIN)


@pytest.mark.parametrize(
    ("floor", "ceiling", "entered"),
    [
        (("SFC", 0.0), ("AGL", 2_500.0), True),  # 2,400 ft above ground of 600 ft
        (("SFC", 0.0), ("AGL", 2_300.0), False),
        (("SFC", 0.0), ("SFC", 2_500.0), True),
        (("SFC", 3_000.0), ("AGL", 4_000.0), False),  # SFC with a number is above the ground
        (("AGL", 0.0), ("MSL", 4_000.0), True),
        (("SFC", 0.0), ("MSL", 4_000.0), True),
    ],
)
def test_floors_and_ceilings_are_measured_from_what_they_say(
    floor: tuple[str, float], ceiling: tuple[str, float], entered: bool
) -> None:
    stated = problem(terrain=sloping_ground(600.0, 600.0))
    one = volume(circle(0, 0, 5), floor=floor, ceiling=ceiling)
    meeting = met(one, stated, level_path(stated, 3_000.0, (-20, 0), (20, 0)), NO_MARGINS)
    assert (meeting.entry is not None) == entered


def test_unknown_ground_leaves_a_volume_above_it_undecided() -> None:
    stated = problem(terrain=Terrain())
    one = volume(circle(0, 0, 5), floor=("AGL", 700.0))
    meeting = met(one, stated, west_to_east())
    assert meeting.entry is None
    assert meeting.near is None
    assert isnan(meeting.vertical_ft)
    assert meeting.undecided is not None
    assert meeting.undecided.after_min == pytest.approx((20.0 - 5.48) / 2.0, abs=0.03)


def test_unknown_ground_leaves_floor_and_ceiling_above_it_undecided() -> None:
    stated = problem(terrain=Terrain())
    one = volume(circle(0, 0, 5), floor=("AGL", 700.0), ceiling=("AGL", 2_500.0))
    assert met(one, stated, west_to_east()).undecided is not None


def test_an_entry_begins_where_the_ground_is_known() -> None:
    known_from_deg = -131.0 + 0.02
    tile = Tile(
        south_deg=40.0,
        west_deg=known_from_deg,
        step_lat_deg=2.0,
        step_lon_deg=1.0,
        ground_ft=np.zeros((2, 2)),
    )
    stated = problem(terrain=Terrain(tiles=(tile,)))
    meeting = met(volume(circle(0, 0, 5), floor=("AGL", 700.0)), stated, west_to_east())
    assert meeting.undecided is not None
    assert meeting.entry is not None
    assert meeting.entry.lon_deg == pytest.approx(known_from_deg, abs=0.0025)  # one sample


def test_unknown_ground_does_not_matter_above_a_known_ceiling() -> None:
    stated = problem(terrain=Terrain())
    one = volume(circle(0, 0, 5), floor=("AGL", 700.0), ceiling=("MSL", 2_500.0))
    assert met(one, stated, west_to_east()).undecided is None


def test_a_volume_s_own_lateral_margin_is_used_by_whoever_asks() -> None:
    wide = replace(MARGINS, lateral_nm=2.0)
    meeting = met(volume(circle(0, 7, 5)), problem(), west_to_east(), wide)
    assert meeting.near is None
    assert met(volume(circle(0, 6.9, 5)), problem(), west_to_east(), wide).near is not None


def test_the_date_line_is_no_edge() -> None:
    plane = LocalPlane(41.0, 180.0)
    stated = problem(plane=plane)
    path = level_path(stated, 3_000.0, (-20, 0), (20, 0))
    assert path[0, 1] > 179.0
    assert path[-1, 1] < -179.0
    meeting = met(volume(circle(1, 3, 5, plane=plane)), stated, path)
    assert stay(meeting) == pytest.approx((10.5 - 2.0, 10.5 + 2.0), abs=1e-6)


def test_ground_is_known_on_both_sides_of_the_date_line() -> None:
    plane = LocalPlane(41.0, 180.0)
    tile = Tile(
        south_deg=40.0,
        west_deg=179.0,
        step_lat_deg=2.0,
        step_lon_deg=2.0,
        ground_ft=np.array([[0.0, 2_000.0], [0.0, 2_000.0]]),
    )
    stated = problem(plane=plane, terrain=Terrain(tiles=(tile,), clamped=True))
    rows = densified(stated, path_samples(stated, level_path(stated, 3e3, (-20, 0), (20, 0))))
    assert (np.diff(rows.ground_ft) > 0.0).all()
    assert rows.ground_ft[rows.ground_ft.size // 2] == pytest.approx(1_000.0, abs=5.0)


def test_starting_and_ending_inside_counts_from_take_off_to_landing() -> None:
    meeting = met(volume(circle(0, 0, 30)), problem(), west_to_east())
    assert stay(meeting) == (0.0, 20.0)


def test_circling_up_inside_is_inside() -> None:
    stated = problem(departure=end("QAAA", -20.0, 0.0))
    path = np.array([[*place(0, 0), 0.0, 0.0], [*place(0, 0), 5_000.0, 10.0]])
    one = volume(circle(0, 0, 5), floor=("MSL", 1_000.0), ceiling=("MSL", 2_000.0))
    assert stay(met(one, stated, path)) == pytest.approx((2.0, 4.0), abs=1e-9)


COORDINATE = st.floats(-12.0, 12.0)
CORNERS = st.lists(st.tuples(COORDINATE, COORDINATE), min_size=2, max_size=5)
STAR = st.lists(st.floats(1.0, 8.0), min_size=3, max_size=9)


def star(radii: list[float]) -> Footprint:
    turn = np.linspace(0.0, 2.0 * np.pi, len(radii), endpoint=False)
    return polygon(list(zip(radii * np.sin(turn), radii * np.cos(turn), strict=True)))


FOOTPRINTS = st.one_of(
    STAR.map(star),
    st.tuples(COORDINATE, COORDINATE, st.floats(0.5, 8.0), st.floats(0.0, 0.9)).map(
        lambda c: circle(c[0], c[1], c[2], inner_nm=c[2] * c[3])
    ),
)


def each_leg_in(count: int, stated: WaysProblem, path: FloatArray) -> FloatArray:
    """The same path with so many rows for each leg."""
    east_nm, north_nm = stated.plane.to_plane_nm(path[:, 0], path[:, 1])
    index = np.arange(len(path), dtype=float)
    more = np.linspace(0.0, len(path) - 1.0, count * (len(path) - 1) + 1)
    columns = [np.interp(more, index, c) for c in (east_nm, north_nm, path[:, 2], path[:, 3])]
    lat_deg, lon_deg = stated.plane.to_degrees(columns[0], columns[1])
    return np.column_stack([lat_deg, lon_deg, columns[2], columns[3]])


@settings(max_examples=60, deadline=None)
@given(FOOTPRINTS, CORNERS, st.lists(st.floats(0.0, 9_000.0), min_size=5, max_size=5))
def test_nothing_that_dense_sampling_finds_is_missed(
    footprint: Footprint, corners: list[tuple[float, float]], heights: list[float]
) -> None:
    stated = problem()
    rows = [(*corner, height) for corner, height in zip(corners, heights, strict=False)]
    path = path_of(stated, rows)
    one = volume(footprint, floor=("MSL", 2_500.0), ceiling=("MSL", 5_000.0))
    meeting = meet(one, stated.plane, path_samples(stated, path), MARGINS)
    dense = densified(stated, path_samples(stated, each_leg_in(2_000, stated, path)))
    aside_nm = distance_nm(footprint, stated.plane, dense.east_nm, dense.north_nm)
    above_ft = np.maximum(2_500.0 - dense.msl_ft, dense.msl_ft - 5_000.0)
    inside = (aside_nm < -0.001) & (above_ft < -1.0)
    near = (aside_nm < 0.48) & (above_ft < 280.0)
    if meeting is None:
        assert not near.any()
        return
    if inside.any():
        assert meeting.entry is not None
        assert meeting.leave_min is not None
        assert meeting.entry.after_min <= dense.after_min[inside][0] + 1e-9
        assert meeting.leave_min >= dense.after_min[inside][-1] - 1e-9
    if near.any():
        assert meeting.near is not None
        assert meeting.near.after_min <= dense.after_min[near][0] + 1e-9
    level, beside = above_ft < 280.0, aside_nm < 0.48
    if meeting.entry is None and level.any() and meeting.lateral_nm < inf:
        sampled_nm = max(float(aside_nm[level].min()), 0.0)
        assert sampled_nm - 0.02 <= meeting.lateral_nm <= sampled_nm + 1e-9
    if meeting.entry is None and beside.any():
        assert meeting.vertical_ft <= max(float(above_ft[beside].min()), 0.0) + 1e-6


def test_the_chord_of_an_arc_is_not_the_arc() -> None:
    # A polygon of 12 corners round 5 NM lies 0.17 NM inside the circle at the middle of an edge.
    turn = np.linspace(0.0, 2.0 * np.pi, 12, endpoint=False) + np.pi / 12.0
    inscribed = polygon(list(zip(5 * np.sin(turn), 5 * np.cos(turn), strict=True)))
    path = west_to_east(north_nm=4.9)
    half_chord = sqrt(5.0**2 - 4.9**2)
    assert met(volume(inscribed), problem(), path, NO_MARGINS).entry is None
    entry, leave = stay(met(volume(circle(0, 0, 5)), problem(), path, NO_MARGINS))
    assert leave - entry == pytest.approx(half_chord, abs=1e-6)


@pytest.mark.parametrize("at_once", [10_000, 1])
def test_several_volumes_are_met_as_each_alone(
    at_once: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("lubberline.ways.meeting._AT_ONCE", at_once)
    stated = replace(problem(), terrain=sloping_ground(0.0, 2_000.0))
    path = densified(stated, path_samples(stated, path_of(stated, [(-20, 0, 0), (20, 0, 8_000)])))
    square, hole = [(-9, -3), (-4, -3), (-4, 3), (-9, 3)], [(-8, -2), (-5, -2), (-5, 2), (-8, 2)]
    volumes = [
        volume(polygon(square, hole)),
        volume(circle(0, 40, 3)),
        volume(circle(2, 1, 6, inner_nm=2), floor=("AGL", 900.0)),
        volume(box(12, 1, 15, 9), ceiling=("AGL", 9_000.0)),
    ]
    drawn = outlines([one.footprint for one in volumes], stated.plane)
    together = meet_all(volumes, drawn, path, [MARGINS] * len(volumes))
    assert together == [meet(one, stated.plane, path, MARGINS) for one in volumes]
    assert [one is None for one in together] == [False, True, False, False]


@given(FOOTPRINTS, COORDINATE, COORDINATE)
def test_the_distance_to_an_outline_is_that_of_the_places(
    footprint: Footprint, east_nm: float, north_nm: float
) -> None:
    plane = CENTER
    found_nm = outlines([footprint], plane).distance_nm(
        np.array([0]), np.array([east_nm]), np.array([north_nm])
    )
    expected_nm = distance_nm(footprint, plane, [east_nm], [north_nm])
    assert found_nm == pytest.approx(expected_nm, abs=1e-9)


def test_beside_a_corner_is_not_inside() -> None:
    ring = star([1.0, 2.72265625, 4.0, 1.0, 1.0])
    drawn = outlines([ring], CENTER)
    north_nm = drawn.corner_nm[1] + np.array([[-4e-16], [0.0], [4e-16]])
    east_nm = np.full_like(north_nm, -9.0)
    found_nm = drawn.distance_nm(np.zeros(15, dtype=np.int64), east_nm.ravel(), north_nm.ravel())
    assert (found_nm > 0.0).all()

"""The search against answers known in closed form, and against the independent checker."""

import json
import os
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from random_skies import random_sky
from typer.testing import CliRunner
from ways_cases import NO_RULES, aloft, box, circle, point, problem, volume

import lubberline.cli.commands  # noqa: F401  registers the commands
from lubberline.cli.app import app
from lubberline.errors import NoSolution, RangeError
from lubberline.ways import Way, check
from lubberline.ways.search import MOST_WAYS, find_way, find_ways
from lubberline.ways.search.laying import lay
from lubberline.ways.search.scene import prepare
from lubberline.ways.wishes import WISH

NOBODY: frozenset[str] = frozenset()
# ``make skies`` asks a thousand.
SKIES = int(os.environ.get("LUBBERLINE_SKIES", "32"))
EVEN = tuple(range(SKIES * 3 // 4))
UNEVEN = tuple(range(10_000, 10_000 + SKIES // 4))


@pytest.mark.parametrize("wind", [(0.0, 0.0), (270.0, 30.0), (90.0, 30.0), (0.0, 40.0)])
def test_an_empty_sky_is_flown_straight(wind: tuple[float, float]) -> None:
    """The wind triangle in closed form: sqrt(TAS^2 - cross^2) + tail."""
    stated = problem(wind=aloft((0.0, *wind), (10_000.0, *wind)))
    from_rad = np.radians(wind[0])
    tail_kt, cross_kt = -wind[1] * np.sin(from_rad), wind[1] * np.cos(from_rad)
    ground_kt = np.sqrt(120.0**2 - cross_kt**2) + tail_kt
    way = find_way(stated, NOBODY)
    assert way.time_min == pytest.approx(40.0 / ground_kt * 60.0, rel=1e-4)


@pytest.mark.parametrize("radius_nm", [3.0, 6.0, 10.0])
@pytest.mark.parametrize("off_nm", [0.0, 2.0])
def test_one_circle_is_passed_on_tangents(radius_nm: float, off_nm: float) -> None:
    """Tangent, arc, tangent: length in closed form from the right triangles at both ends."""
    around = volume(circle(0.0, off_nm, radius_nm), airspace_class="P", ceiling=("MSL", 30_000.0))
    stated = problem(around)
    margin_nm = radius_nm + 0.5
    end_nm = float(np.hypot(20.0, off_nm))
    tangent_nm = np.sqrt(end_nm**2 - margin_nm**2)
    half = np.arctan2(20.0, off_nm) - np.arccos(margin_nm / end_nm)  # beneath: the shorter side
    straight_nm = 2.0 * tangent_nm + 2.0 * margin_nm * half
    assert find_way(stated, NOBODY).distance_nm == pytest.approx(straight_nm, rel=5e-4)


def test_the_same_problem_has_the_same_answer() -> None:
    stated = random_sky(3)
    first, second = find_ways(stated), find_ways(stated)
    assert [way.name for way in first] == [way.name for way in second]
    for one, two in zip(first, second, strict=True):
        np.testing.assert_array_equal(one.path, two.path)


@pytest.mark.parametrize("seed", EVEN + UNEVEN)
def test_ways_through_a_random_sky_keep_every_rule(
    seed: int, caplog: pytest.LogCaptureFixture
) -> None:
    """None that breaks a rule is shown, nor was one found: that would be a defect, and logged."""
    stated = random_sky(seed, uneven=seed in UNEVEN)
    try:
        ways = find_ways(stated)
    except NoSolution:
        pytest.skip("no way through this sky")
    assert not caplog.records
    assert 1 <= len(ways) <= MOST_WAYS
    assert [way.time_min for way in ways] == sorted(way.time_min for way in ways)
    for way in ways:
        assert not check(stated, way.path, way.permissions).violations
        assert _entered(way) <= way.permissions


def test_more_permissions_never_take_longer() -> None:
    stated = random_sky(5, count=14)
    groups = sorted({one.group for one in stated.volumes if one.group})
    times_min = [find_way(stated, frozenset(groups[:n])).time_min for n in range(len(groups) + 1)]
    assert np.all(np.diff(times_min) <= 0.05)


def test_heights_over_a_limit_are_none_and_not_just_any() -> None:
    """A descent that begins before the ground asks for less takes longer than first guessed."""
    rules = replace(NO_RULES, min_agl_ft=800.0, aerodrome_radius_nm=3.0)
    stated = problem(half_nm=6.0, rules=rules)
    prepared = prepare(stated)
    scene = prepared.scene_for(NOBODY)
    best = lay(prepared, scene, prepared.route_nm, step_nm=0.5)
    assert best is not None
    for share in np.linspace(0.8, 1.1, 31):
        guess_min = float(best.time_min * share)
        again = lay(prepared, scene, prepared.route_nm, step_nm=0.5, guess_min=guess_min)
        assert again is not None
        assert again.time_min == pytest.approx(best.time_min)


def test_a_ring_is_left_only_with_permission() -> None:
    ring = volume(circle(-20.0, 0.0, 8.0, inner_nm=4.0), ceiling=("MSL", 30_000.0))
    with pytest.raises(NoSolution, match="without Q1-tower"):
        find_way(problem(ring), NOBODY)
    ways = find_ways(problem(ring))
    assert [sorted(way.permissions) for way in ways] == [["Q1-tower"]]


def test_what_closes_the_last_door_is_named() -> None:
    lid = volume(
        circle(20.0, 0.0, 5.0, inner_nm=1.0),
        airspace_class="P",
        name="Q2",
        ceiling=("MSL", 30_000.0),
    )
    with pytest.raises(NoSolution, match="Volume Q2 closes the last door"):
        find_ways(problem(lid))


def test_volumes_that_close_the_last_door_together_are_named() -> None:
    lids = [
        volume(circle(20.0, 0.0, radius_nm, inner_nm=1.0), airspace_class="P", name=name)
        for name, radius_nm in (("Q2", 5.0), ("Q3", 4.0))
    ]
    stated = problem(*(replace(one, ceiling=replace(one.ceiling, ft=30_000.0)) for one in lids))
    with pytest.raises(NoSolution, match=r"together close the last door: Volume Q2, Volume Q3$"):
        find_ways(stated)


def test_wind_that_lets_no_airplane_through_is_told() -> None:
    with pytest.raises(NoSolution, match="the wind closes the last door"):
        find_ways(problem(wind=aloft((0.0, 90.0, 170.0))))


def test_a_permission_that_opens_nothing_is_refused() -> None:
    with pytest.raises(RangeError, match="opened by Q9-tower; groups here: Q1-tower"):
        find_way(problem(volume(circle(0.0, 0.0, 4.0))), frozenset({"Q9-tower"}))


def test_two_places_that_are_one_are_refused() -> None:
    with pytest.raises(NoSolution, match="are one; name a point between them"):
        find_ways(problem(half_nm=0.0))


def test_a_long_wall_is_passed_round_its_end() -> None:
    wall = volume(box(-1.0, -9.0, 1.0, 60.0), airspace_class="P", ceiling=("MSL", 30_000.0))
    assert find_way(problem(wall), NOBODY).name == "south of Volume Q1"


def test_ground_that_is_too_high_is_told() -> None:
    wall = np.array([[0.0, 20_000.0, 0.0], [0.0, 20_000.0, 0.0]])
    from lubberline.earth import Terrain, Tile

    tile = Tile(
        south_deg=30.0, west_deg=-132.0, step_lat_deg=20.0, step_lon_deg=1.0, ground_ft=wall
    )
    with pytest.raises(NoSolution, match="the greatest height, 12,000 ft, closes the last door"):
        find_ways(problem(terrain=Terrain(tiles=(tile,), clamped=True)))


def test_both_sides_of_a_wall_are_told() -> None:
    wall = volume(box(-1.0, -6.0, 1.0, 6.2), airspace_class="P", ceiling=("MSL", 30_000.0))
    ways = find_ways(problem(wall))
    north = [float(way.path[np.argmin(np.abs(way.path[:, 1] + 131.0)), 0]) > 41.0 for way in ways]
    assert set(north) == {True, False}


def test_legal_levels_are_kept_above_their_limit() -> None:
    low = volume(box(-15.0, -60.0, 15.0, 60.0), airspace_class="P", ceiling=("MSL", 4_000.0))
    stated = problem(low, rules=replace(NO_RULES, hemispheric=True), half_nm=40.0)
    way = find_way(stated, NOBODY)
    assert way.cruise_msl_ft % 2_000.0 == 1_500.0


def test_points_to_go_over_are_gone_over_in_order() -> None:
    lid = volume(circle(5.0, 0.0, 4.0), airspace_class="P", ceiling=("MSL", 30_000.0))
    stated = replace(problem(lid), via=(point("north", -5.0, 8.0), point("south", 5.0, -8.0)))
    way = find_way(stated, NOBODY)
    assert [name for name in way.point_names if name in ("north", "south")] == ["north", "south"]
    straight_nm = 2.0 * np.hypot(15.0, 8.0) + np.hypot(10.0, 16.0)
    assert way.distance_nm == pytest.approx(straight_nm, rel=0.01)
    assert way.distance_nm >= straight_nm - 1e-6


def _entered(way: Way) -> set[str]:
    return {
        one.volume.group
        for one in way.encounters
        if one.entered and one.volume.airspace_class in ("B", "C", "D")
    }


# -- the command -------------------------------------------------------------------------------

RUN = CliRunner()
STATED: dict[str, Any] = {
    "name": "one tower",
    "description": "",
    "departure": {"id": "QAAA", "lat": 41.0, "lon": -131.4, "elev_ft": 0},
    "destination": {"id": "QBBB", "lat": 41.0, "lon": -130.6, "elev_ft": 0},
    "aircraft": {
        "climb_fpm": 700, "zero_climb_ft": 0, "descent_fpm": 500, "climb_tas_kt": 90,
        "cruise_tas_kt": 120, "descent_tas_kt": 120, "ceiling_ft": 12000, "glide_ratio": 9,
        "fuel_gph": {"climb": 15, "cruise": 12, "descent": 9},
    },
    "wind": [],
    "margins": {"lateral_nm": 0.5, "vertical_ft": 300},
    "rules": {
        "min_agl_ft": 0, "aerodrome_radius_nm": 5, "hemispheric": False,
        "hemispheric_above_agl_ft": 3000, "magvar_deg": 0, "level_vs_fpm": 100,
    },
    "terrain": {"type": "flat", "ft": 0},
    "volumes": [
        {
            "id": "D1", "name": "Marl D", "class": "D", "group": "marl", "facility": "Marl Tower",
            "floor": {"ref": "SFC", "ft": 0}, "ceiling": {"ref": "MSL", "ft": 30000},
            "shape": {"type": "circle", "center": [41.0, -131.0], "radius_nm": 4},
        }
    ],
}  # fmt: skip


@pytest.fixture
def stated_file(tmp_path: Path) -> Path:
    path = tmp_path / "problem.json"
    path.write_text(json.dumps(STATED), encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("permissions", "asked"), [("all", [["marl"], [], []]), ("none", [[]]), ("marl", [["marl"]])]
)
def test_a_problem_file_is_solved(
    stated_file: Path, permissions: str, asked: list[list[str]]
) -> None:
    """Straight through with the tower, or round it on either side."""
    done = RUN.invoke(
        app, ["ways", "--problem", str(stated_file), "--permissions", permissions, "--json"]
    )
    assert done.exit_code == 0, done.output
    assert [way["permissions"] for way in json.loads(done.stdout)["ways"]] == asked


def test_a_problem_is_answered_in_words(stated_file: Path) -> None:
    done = RUN.invoke(app, ["ways", "--problem", str(stated_file)])
    assert "through Marl D" in done.stdout
    assert "asks for: nothing" in done.stdout


def test_what_is_had_but_not_needed_is_not_asked_for(tmp_path: Path) -> None:
    far = {
        **STATED["volumes"][0],
        "shape": {"type": "circle", "radius_nm": 4, "center": [42.0, -131.0]},
    }
    path = tmp_path / "far.json"
    path.write_text(json.dumps({**STATED, "volumes": [far]}), encoding="utf-8")
    done = RUN.invoke(app, ["ways", "--problem", str(path), "--permissions", "marl"])
    assert "asks for: nothing" in done.stdout


@pytest.mark.parametrize("permissions", ["a,,b", "marl,none", "all,marl"])
def test_permissions_that_contradict_are_refused(stated_file: Path, permissions: str) -> None:
    done = RUN.invoke(app, ["ways", "--problem", str(stated_file), "--permissions", permissions])
    assert done.exit_code == 1
    assert "expected a,b or none or all" in done.stderr


@pytest.mark.parametrize("text", ["", "{}", "[1, 2", '{"name": "x", "wind": 3}'])
def test_a_wrong_problem_file_is_refused_with_its_name(tmp_path: Path, text: str) -> None:
    path = tmp_path / "wrong.json"
    path.write_text(text, encoding="utf-8")
    done = RUN.invoke(app, ["ways", "--problem", str(path)])
    assert done.exit_code == 1
    assert "wrong.json" in done.stderr


def test_a_way_past_nothing_says_how_far_aside_it_goes_or_by_what_points() -> None:
    lid = volume(circle(0.0, 0.0, 4.0), airspace_class="P", ceiling=("MSL", 30_000.0))
    wished = replace(lid, kind=WISH)
    names = [way.name for way in find_ways(problem(wished))]
    assert set(names) == {f"5 NM {side} of the straight line" for side in ("north", "south")}
    around = replace(problem(), via=(point("The Stack", 0.0, 6.0),))
    assert find_way(around, NOBODY).name == "by The Stack"
    assert find_way(problem(), NOBODY).name == "direct"


def test_the_far_side_of_a_region_is_no_choice() -> None:
    """Closed is all but a broad band: round it all would take eight times as long."""
    north = volume(box(-60.0, 4.0, 60.0, 60.0), airspace_class="P", ceiling=("MSL", 60_000.0))
    band = (replace(north, kind=WISH), replace(north, id="Q2", footprint=box(-60, -60, 60, -4)))
    mid = volume(box(-1.0, -10.0, 1.0, 1.0), airspace_class="P", name="Q3", ceiling=("MSL", 60_000))
    ways = find_ways(problem(*(replace(one, kind=WISH) for one in band), mid))
    assert len(ways) == 1


@pytest.mark.parametrize(
    ("floor", "ceiling", "name"),
    [
        (("MSL", 2_000.0), ("MSL", 30_000.0), "under Volume Q1"),
        (("SFC", 0.0), ("MSL", 1_000.0), "over Volume Q1"),
        (("AGL", 2_000.0), ("MSL", 30_000.0), "under Volume Q1"),
    ],
)
def test_a_way_exactly_at_the_margin_is_under_or_over(
    floor: tuple[str, float], ceiling: tuple[str, float], name: str
) -> None:
    wall = volume(box(-5, -60, 5, 60), airspace_class="P", floor=floor, ceiling=ceiling)
    high = replace(NO_RULES, min_agl_ft=800.0)
    assert find_way(problem(wall, rules=high), NOBODY).name == name


def test_a_way_that_asks_for_less_is_told_beside_a_slightly_quicker_one() -> None:
    """A small field on the line, in reach of its margin: a few seconds for one call."""
    beside = volume(circle(0.0, 2.2, 2.0), name="Q1", ceiling=("MSL", 30_000.0))
    through = volume(box(10, -60, 11, 60), name="Q2", ceiling=("MSL", 30_000.0))
    asked = [sorted(way.permissions) for way in find_ways(problem(beside, through))]
    assert asked[:2] == [["Q1-tower", "Q2-tower"], ["Q2-tower"]]

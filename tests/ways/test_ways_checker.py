from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ways_cases import (
    HERON,
    NO_RULES,
    aloft,
    box,
    circle,
    level_path,
    path_of,
    point,
    problem,
    sloping_ground,
    volume,
)

from lubberline.arrays import FloatArray
from lubberline.earth import Terrain, Tile
from lubberline.errors import RangeError, ShapeError
from lubberline.line import Verdict
from lubberline.places import Volume
from lubberline.ways import CheckReport, WaysProblem, check, evaluate
from lubberline.ways.checker import LEG_TOLERANCE_MIN

NONE: frozenset[str] = frozenset()
MID = [(-20.0, 0.0, 0.0), (-10.0, 0.0, 3_000.0), (8.0, 0.0, 3_000.0), (20.0, 0.0, 0.0)]


def flown(stated: WaysProblem, *allowed: str) -> CheckReport:
    """A way over the middle at 3,000 ft, slow enough for any wind here."""
    return check(stated, path_of(stated, MID, speed_kt=90.0), frozenset(allowed))


def rules_broken(report: CheckReport) -> list[str]:
    return [violation.rule for violation in report.violations]


def test_open_air_is_clean() -> None:
    report = flown(problem())
    assert report.clean
    assert report.encounters == ()
    assert {one.limit.key for one in report.findings} == {"ways.terrain", "ways.ceiling"}


@pytest.mark.parametrize(
    ("airspace_class", "needs", "open_to_permission"),
    [
        ("B", "clearance", True),
        ("C", "two-way contact", True),
        ("D", "two-way contact", True),
        ("R", "never", False),
        ("P", "never", False),
    ],
)
def test_a_class_asks_for_what_the_law_asks(
    airspace_class: str, needs: str, open_to_permission: bool
) -> None:
    stated = problem(volume(circle(0, 0, 5), airspace_class=airspace_class))
    refused = flown(stated)
    assert refused.encounters[0].needs == needs
    assert rules_broken(refused) == ["airspace"]
    allowed = flown(stated, "Q1-tower")
    assert allowed.encounters[0].entered
    assert allowed.encounters[0].permitted == open_to_permission
    assert (allowed.violations == ()) == open_to_permission
    (finding,) = (one for one in allowed.findings if one.limit.key == "ways.entry.Q1")
    expected = Verdict.INSIDE if open_to_permission else Verdict.OUTSIDE
    assert finding.verdict is expected
    assert finding.limit.source.startswith("14 CFR 91.1")


@pytest.mark.parametrize("airspace_class", ["E", "G", "MOA", "W", "Q"])
def test_other_classes_are_free(airspace_class: str) -> None:
    report = flown(problem(volume(circle(0, 0, 5), airspace_class=airspace_class)))
    assert report.encounters[0].entered
    assert report.encounters[0].needs == "nothing"
    assert report.clean


def test_class_a_is_free_in_the_problem_but_outside_the_law() -> None:
    report = flown(problem(volume(circle(0, 0, 5), airspace_class="A")))
    assert report.violations == ()
    assert not report.clean
    (finding,) = (one for one in report.findings if one.verdict is Verdict.OUTSIDE)
    assert "91.135" in finding.limit.source


def test_another_facility_s_permission_opens_nothing() -> None:
    stated = problem(volume(circle(0, 0, 5)), volume(circle(0, 0, 5), name="Q2"))
    report = flown(stated, "Q2-tower")
    assert rules_broken(report) == ["airspace"]
    assert "Volume Q1" in report.violations[0].what


def test_nearer_than_the_margins_needs_the_permission_too() -> None:
    stated = problem(volume(circle(0, 5.2, 5)))
    report = flown(stated)
    assert rules_broken(report) == ["airspace"]
    assert "passes too near" in report.violations[0].what
    assert report.violations[0].short_nm == pytest.approx(0.3, abs=1e-6)
    assert not report.encounters[0].entered
    assert report.encounters[0].within_margins
    assert flown(stated, "Q1-tower").clean


@pytest.mark.parametrize(
    ("one", "unit", "value", "verdict"),
    [
        (volume(circle(0, 6.5, 5)), "NM", 1.5, Verdict.INSIDE),
        (volume(circle(0, 5.5, 5)), "NM", 0.5, Verdict.CLOSE),
        (volume(circle(0, 5.49, 5)), "NM", 0.5, Verdict.CLOSE),
        (volume(circle(0, 0, 5), floor=("MSL", 4_000.0)), "ft", 1_000.0, Verdict.INSIDE),
        (volume(circle(0, 0, 5), ceiling=("MSL", 2_700.0)), "ft", 300.0, Verdict.CLOSE),
    ],
)
def test_what_is_kept_clear_of_is_a_finding_with_its_margin(
    one: Volume, unit: str, value: float, verdict: Verdict
) -> None:
    report = flown(problem(one))
    (finding,) = (f for f in report.findings if f.limit.key == "ways.airspace.Q1")
    assert finding.limit.unit == unit
    assert finding.value == pytest.approx(value, abs=1e-6)
    assert finding.verdict is verdict
    assert finding.where.startswith("3000 ft")
    assert report.violations == ()


def test_a_volume_s_own_margin_replaces_the_flight_s() -> None:
    assert flown(problem(volume(circle(0, 6, 5)))).clean
    assert not flown(problem(volume(circle(0, 6, 5), margin_nm=2.0))).clean


def test_unknown_ground_is_never_clear() -> None:
    above_ground = volume(circle(0, 0, 5), floor=("AGL", 700.0))
    report = flown(problem(above_ground, terrain=Terrain()))
    assert not report.clean
    undecided = {one.limit.key for one in report.findings if one.verdict is Verdict.UNKNOWN}
    assert undecided == {"ways.terrain", "ways.airspace.Q1"}


def test_a_ceiling_above_ground_is_lifted_by_a_ridge_between_rows() -> None:
    """The ground at the rows is the sea's; only in the middle does it reach 2,000 ft."""
    tile = Tile(
        south_deg=40.0,
        west_deg=-131.05,
        step_lat_deg=2.0,
        step_lon_deg=0.05,
        ground_ft=np.array([[0.0, 2_000.0, 0.0]] * 2),
    )
    stated = problem(
        volume(circle(0, 0, 5), ceiling=("AGL", 1_500.0)),
        terrain=Terrain(tiles=(tile,), clamped=True),
    )
    report = flown(stated)
    assert report.encounters[0].entered
    # 3,000 ft is 1,500 ft above ground of 1,500 ft: a quarter of the ridge's half from its top.
    west_nm = float(stated.plane.to_plane_nm(41.0, -131.0125)[0])
    minutes = (20.0 + west_nm) / 1.5
    assert report.encounters[0].entry_min == pytest.approx(minutes, abs=0.03)


def test_a_path_that_begins_or_ends_elsewhere_is_none_of_the_problem_s() -> None:
    stated = problem()
    rows = [(-20, 0.1, 0), (-10, 0, 3_000), (8, 0, 3_000), (20, 0, 100)]
    report = check(stated, path_of(stated, rows, speed_kt=90.0), NONE)
    assert rules_broken(report) == ["ends", "ends"]
    assert [one.what for one in report.violations] == [
        "does not begin at QAAA",
        "does not end at QZZZ",
    ]


def test_faster_than_the_airplane_is_told_slower_is_allowed() -> None:
    stated = problem()
    fast = check(stated, level_path(stated, 0.0, (-20, 0), (20, 0), speed_kt=130.0), NONE)
    assert rules_broken(fast) == ["motion"]
    assert fast.violations[0].short_min == pytest.approx(20.0 - 40.0 / 130.0 * 60.0, abs=1e-3)
    slow = check(stated, level_path(stated, 0.0, (-20, 0), (20, 0), speed_kt=80.0), NONE)
    assert slow.violations == ()


def test_a_climb_steeper_than_the_rate_is_too_fast() -> None:
    stated = problem()
    rows = [(-20, 0, 0), (-17, 0, 3_000), (8, 0, 3_000), (20, 0, 0)]
    report = check(stated, path_of(stated, rows, speed_kt=90.0), NONE)
    assert rules_broken(report) == ["motion"]


def test_small_gains_on_every_leg_add_up() -> None:
    stated = problem()
    places = [(-20.0 + k, 0.0) for k in range(41)]
    path = level_path(stated, 0.0, *places, speed_kt=122.0)  # half a second a mile
    assert rules_broken(check(stated, path, NONE)) == ["motion"]


def test_a_wind_that_outruns_the_airplane_is_told() -> None:
    stated = problem(wind=aloft((0.0, 90.0, 130.0)))
    report = check(stated, level_path(stated, 0.0, (-20, 0), (20, 0), speed_kt=5.0), NONE)
    assert report.violations[0].what == "not flyable in this wind"
    assert any(one.limit.key == "ways.wind" for one in report.findings)


def test_no_wind_on_file_is_an_unknown() -> None:
    report = flown(problem(wind=aloft()))
    assert report.violations == ()
    assert not report.clean
    (finding,) = (one for one in report.findings if one.verdict is Verdict.UNKNOWN)
    assert finding.missing == "winds aloft"


@pytest.mark.parametrize(
    ("change", "error", "words"),
    [
        (lambda path: path[:1], ShapeError, "2 rows or more"),
        (lambda path: path[:, :3], ShapeError, "shape"),
        (lambda path: path[::-1], RangeError, "backwards"),
        (lambda path: np.where(path == path[1, 2], np.nan, path), RangeError, "is nan"),
        (lambda path: path * [1e3, 1, 1, 1], RangeError, "-90 to 90"),
    ],
)
def test_what_is_no_path_is_refused(change: Any, error: type[Exception], words: str) -> None:
    stated = problem()
    with pytest.raises(error, match=words):
        check(stated, change(path_of(stated, MID)), NONE)


def busy() -> WaysProblem:
    """Volumes of every kind round the middle, over rising ground, with every rule on."""
    return problem(
        volume(circle(0, 0, 4, inner_nm=2), floor=("AGL", 900.0), ceiling=("MSL", 4_000.0)),
        volume(box(-9, -3, -6, 3), floor=("MSL", 2_400.0), airspace_class="B", name="Q2"),
        volume(circle(10, 2, 3), ceiling=("AGL", 2_500.0), airspace_class="R", name="Q3"),
        volume(box(4, -1, 4.05, 1), airspace_class="P", name="Q4"),
        volume(circle(-14, -3, 4), floor=("SFC", 0.0), airspace_class="E", name="Q5"),
        terrain=sloping_ground(0.0, 900.0),
        rules=replace(
            NO_RULES, hemispheric=True, min_agl_ft=500.0, hemispheric_above_agl_ft=2_000.0
        ),
        motion=replace(HERON, ceiling_ft=4_500.0),
    )


HEIGHTS = st.lists(st.floats(0.0, 6_000.0), min_size=3, max_size=3)
NORTHS = st.lists(st.floats(-4.0, 4.0), min_size=3, max_size=3)


def wild_path(stated: WaysProblem, norths: list[float], heights: list[float]) -> FloatArray:
    inner = zip([-9.0, 1.0, 11.0], norths, heights, strict=True)
    return path_of(stated, [(-20, 0, 0), *inner, (20, 0, 0)], speed_kt=100.0)


@settings(max_examples=40, deadline=None)
@given(NORTHS, HEIGHTS)
def test_every_violation_is_outside_in_a_finding(norths: list[float], heights: list[float]) -> None:
    stated = busy()
    report = check(stated, wild_path(stated, norths, heights), NONE)
    outside = {one.limit.key for one in report.findings if one.verdict is Verdict.OUTSIDE}
    keys = {
        "terrain": "ways.terrain",
        "ceiling": "ways.ceiling",
        "motion": "ways.motion",
        "hemispheric": "ways.hemispheric",
        "ends": "ways.end",
    }
    for violation in report.violations:
        if violation.rule == "airspace":
            named = [e.volume.id for e in report.encounters if e.volume.name in violation.what]
            assert {f"ways.entry.{one}" for one in named} & outside
        elif violation.short_min is not None and violation.rule == "hemispheric":
            assert "ways.turn" in outside
        else:
            assert keys[violation.rule] in outside
    assert report.clean == (not report.violations and not outside)


@settings(max_examples=40, deadline=None)
@given(NORTHS, HEIGHTS, st.lists(st.floats(0.01, 0.99), min_size=1, max_size=6))
def test_splitting_legs_changes_nothing(
    norths: list[float], heights: list[float], shares: list[float]
) -> None:
    stated = busy()
    path = wild_path(stated, norths, heights)
    split = split_path(stated, path, shares)
    whole, parts = check(stated, path, NONE), check(stated, split, NONE)
    assert told(whole) == told(parts)
    # More rows share what one leg lacks, and each has a tolerance of its own.
    assert lack_min(parts) <= lack_min(whole) + 1e-6
    assert lack_min(parts) > 0.0 or lack_min(whole) <= (len(shares) + 1) * LEG_TOLERANCE_MIN + 1e-6
    for one, other in zip(whole.encounters, parts.encounters, strict=True):
        assert one.volume.id == other.volume.id
        assert (one.entered, one.within_margins) == (other.entered, other.within_margins)
        if one.entry_min is not None:
            assert one.entry_min == pytest.approx(other.entry_min, abs=5e-3)
            assert one.exit_min == pytest.approx(other.exit_min, abs=5e-3)


def split_path(stated: WaysProblem, path: FloatArray, shares: list[float]) -> FloatArray:
    """The same path with more rows, at fractions of its whole number of rows."""
    east_nm, north_nm = stated.plane.to_plane_nm(path[:, 0], path[:, 1])
    index = np.arange(len(path), dtype=float)
    more = np.union1d(index, np.array(shares) * (len(path) - 1))
    columns = [np.interp(more, index, c) for c in (east_nm, north_nm, path[:, 2], path[:, 3])]
    lat_deg, lon_deg = stated.plane.to_degrees(columns[0], columns[1])
    return np.column_stack([lat_deg, lon_deg, columns[2], columns[3]])


def told(report: CheckReport) -> list[tuple[str, str]]:
    return sorted((one.rule, one.what) for one in report.violations if one.rule != "motion")


def lack_min(report: CheckReport) -> float:
    """What the path lacks for the airplane to keep its times; 0 within the tolerance."""
    return max(
        (one.short_min or 0.0 for one in report.violations if one.rule == "motion"), default=0.0
    )


def test_what_evaluate_lays_keeps_the_rules_of_motion_and_ends() -> None:
    stated = problem(
        motion=replace(HERON, climb_fpm=900.0, zero_climb_ft=14_000.0),
        wind=aloft((0.0, 200.0, 10.0), (6_000.0, 260.0, 45.0)),
    )
    way = evaluate(
        stated,
        "zigzag",
        via=[point("V1", -10, 8), point("V2", 3, -7)],
        cruise_msl_ft=5_500.0,
        permissions=NONE,
    )
    assert way.violations == ()

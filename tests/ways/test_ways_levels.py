from dataclasses import replace

import numpy as np
import pytest
from ways_cases import HERON, NO_RULES, path_of, place, problem

from lubberline.arrays import FloatArray
from lubberline.earth import Terrain
from lubberline.line import Verdict
from lubberline.ways import WaysProblem
from lubberline.ways.levels import check_levels, check_turns
from lubberline.ways.samples import densified, path_samples
from lubberline.ways.tolerance import Kept

RULES = replace(NO_RULES, hemispheric=True)
SLOW = replace(RULES, level_fpm=200.0)


def levels(stated: WaysProblem, path: FloatArray) -> Kept:
    rows = path_samples(stated, path)
    return check_levels(stated, rows, densified(stated, rows))


def turns(stated: WaysProblem, path: FloatArray) -> Kept:
    return check_turns(stated, path_samples(stated, path))


def eastbound(*rows: tuple[float, float]) -> FloatArray:
    """Places east of the middle [NM] and heights, at two miles a minute."""
    return path_of(problem(), [(east, 0.0, msl) for east, msl in rows])


def test_nothing_is_asked_where_the_rule_is_off() -> None:
    assert levels(problem(), eastbound((-20, 4_000), (20, 4_000))) == Kept()
    assert turns(problem(), eastbound((-20, 9_000), (0, 4_000), (20, 9_000))) == Kept()


def test_climbs_and_descents_pass_wrong_levels() -> None:
    stated = problem(rules=RULES)
    kept = levels(stated, eastbound((-20, 0), (-9, 5_500), (9, 5_500), (20, 0)))
    assert kept.violations == ()
    assert [one.verdict for one in kept.findings] == [Verdict.INSIDE]
    assert kept.findings[0].value == 0.0


def test_a_wrong_level_is_told_with_how_far_and_where() -> None:
    stated = problem(rules=RULES)
    kept = levels(stated, eastbound((-20, 0), (-10, 5_000), (9, 5_000), (20, 0)))
    assert [one.short_ft for one in kept.violations] == [pytest.approx(500.0)]
    assert kept.violations[0].spot.after_min == pytest.approx(5.0)
    assert kept.findings[0].verdict is Verdict.OUTSIDE


@pytest.mark.parametrize(("msl_ft", "broken"), [(5_515.0, False), (5_525.0, True)])
def test_twenty_feet_are_tolerated(msl_ft: float, broken: bool) -> None:
    kept = levels(problem(rules=RULES), eastbound((-20, msl_ft), (20, msl_ft)))
    assert bool(kept.violations) == broken


def test_a_climb_slower_than_the_rate_counts_as_level() -> None:
    # 1,500 ft in 10 minutes: 150 ft/min.
    path = eastbound((-20, 4_000), (0, 5_500), (20, 5_500))
    assert levels(problem(rules=SLOW), path).violations != ()
    assert levels(problem(rules=RULES), path).violations == ()


def test_both_sides_of_a_corner_are_looked_at() -> None:
    stated = problem(rules=RULES)
    rows = [(-10.0, 0.0, 5_500.0), (10.0, 0.0, 5_500.0), (-10.0, -1.0, 5_500.0)]
    kept = levels(stated, path_of(stated, rows))
    assert [one.spot.after_min for one in kept.violations] == [pytest.approx(10.0)]


def test_a_climb_cut_into_pieces_has_the_course_of_its_line() -> None:
    """Rounded coordinates of short pieces point anywhere; the line they lie on does not."""
    stated = problem(rules=SLOW, along="north")
    rows = [(0.0, -20.0 + 0.02 * k, 6_500.0) for k in range(11)] + [(0.0, 20.0, 6_500.0)]
    path = path_of(stated, rows)
    path[:, 1] += np.resize([1e-7, -1e-7], len(rows))
    assert levels(stated, path).violations[0].short_ft == pytest.approx(1_000.0)  # due north
    path[:, 2] = 5_500.0
    assert levels(stated, path).violations == ()


def test_unknown_ground_decides_nothing_at_a_wrong_level_only() -> None:
    stated = problem(rules=RULES, terrain=Terrain())
    wrong = levels(stated, eastbound((-20, 5_000), (20, 5_000)))
    assert wrong.violations == ()
    assert [one.verdict for one in wrong.findings] == [Verdict.UNKNOWN]
    right = levels(stated, eastbound((-20, 5_500), (20, 5_500)))
    assert [one.verdict for one in right.findings] == [Verdict.INSIDE]


@pytest.mark.parametrize(("level_nm", "broken"), [(0.0, True), (0.5, True), (1.0, False)])
def test_a_descent_becomes_a_climb_only_after_half_a_minute(level_nm: float, broken: bool) -> None:
    rows = [(-20, 9_500), (-10, 5_500), (-10 + level_nm, 5_500), (0 + level_nm, 9_500)]
    kept = turns(problem(rules=RULES), eastbound(*rows))
    assert bool(kept.violations) == broken
    if broken:
        assert kept.violations[0].short_min == pytest.approx(0.5 - level_nm / 2.0)
        assert kept.findings[0].verdict is Verdict.OUTSIDE


def test_level_flight_before_another_descent_does_not_count() -> None:
    rows = [(-20, 9_500), (-14, 6_500), (-10, 6_500), (-8, 5_500), (0, 9_500)]
    (violation,) = turns(problem(rules=RULES), eastbound(*rows)).violations
    assert violation.short_min == pytest.approx(0.5)
    assert violation.spot.msl_ft == 5_500.0


def test_turning_back_on_the_same_line_is_another_course() -> None:
    rows = [(-10.0, 0.0, 5_500.0), (10.0, 0.0, 5_500.0), (0.0, 0.0, 5_500.0)]
    stated = problem(rules=RULES)
    (violation,) = levels(stated, path_of(stated, rows)).violations
    assert violation.spot.after_min == pytest.approx(10.0)


def test_sawing_is_free_near_the_ground_and_peaks_are_free_anywhere() -> None:
    low = eastbound((-20, 2_500), (-10, 1_500), (0, 2_500), (10, 1_500))
    assert turns(problem(rules=RULES), low) == Kept()
    peak = eastbound((-20, 4_000), (-10, 9_000), (0, 4_000))
    assert turns(problem(rules=RULES), peak) == Kept()


def test_a_turn_over_unknown_ground_is_undecided() -> None:
    stated = problem(rules=RULES, terrain=Terrain())
    kept = turns(stated, eastbound((-20, 9_000), (-10, 5_000), (0, 9_000)))
    assert kept.violations == ()
    assert [one.verdict for one in kept.findings] == [Verdict.UNKNOWN]


def test_circling_has_no_course_and_breaks_no_level() -> None:
    stated = problem(rules=RULES, motion=replace(HERON, climb_fpm=500.0))
    here = place(0.0, 0.0)
    path = np.array([[*here, 4_000.0, 0.0], [*here, 4_000.0, 5.0], [*here, 6_000.0, 9.0]])
    assert levels(stated, path).violations == ()

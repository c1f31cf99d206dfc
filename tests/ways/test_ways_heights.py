from dataclasses import replace

import numpy as np
import pytest
from ways_cases import HERON, NO_RULES, end, level_path, path_of, problem, sloping_ground

from lubberline.arrays import FloatArray
from lubberline.earth import Terrain, Tile, flat_terrain
from lubberline.line import Verdict
from lubberline.ways import WaysProblem
from lubberline.ways.heights import check_ceiling, check_terrain
from lubberline.ways.samples import densified, path_samples
from lubberline.ways.tolerance import Kept

RULES = replace(NO_RULES, min_agl_ft=1_000.0, aerodrome_radius_nm=5.0)


def terrain(stated: WaysProblem, path: FloatArray) -> Kept:
    return check_terrain(stated, densified(stated, path_samples(stated, path)))


def ridge(top_ft: float, width_deg: float) -> Terrain:
    """A ridge from north to south across the middle, falling to the sea on both sides."""
    tile = Tile(
        south_deg=40.0,
        west_deg=-131.0 - width_deg,
        step_lat_deg=2.0,
        step_lon_deg=width_deg,
        ground_ft=np.array([[0.0, top_ft, 0.0]] * 2),
    )
    return Terrain(tiles=(tile,), clamped=True)


@pytest.mark.parametrize(
    ("msl_ft", "broken", "verdict"),
    [
        (1_300.0, False, Verdict.INSIDE),
        (1_000.0, False, Verdict.CLOSE),
        (985.0, False, Verdict.CLOSE),  # within the tolerance
        (975.0, True, Verdict.OUTSIDE),
    ],
)
def test_the_least_height_holds_away_from_the_aerodromes(
    msl_ft: float, broken: bool, verdict: Verdict
) -> None:
    stated = problem(rules=RULES)
    rows = [(-20, 0, 0), (-15, 0, msl_ft), (15, 0, msl_ft), (20, 0, 0)]
    kept = terrain(stated, path_of(stated, rows))
    assert bool(kept.violations) == broken
    assert [one.verdict for one in kept.findings] == [verdict]


def test_what_the_tolerance_forgives_is_said() -> None:
    stated = problem(rules=RULES)
    rows = [(-20, 0, 0), (-15, 0, 985.0), (15, 0, 985.0), (20, 0, 0)]
    finding = terrain(stated, path_of(stated, rows)).findings[0]
    assert finding.note == "985 ft: within the tolerance of 20 ft"


@pytest.mark.parametrize(("at_2_nm_ft", "broken"), [(400.0, False), (375.0, True)])
def test_the_least_height_falls_evenly_to_nothing_at_the_field(
    at_2_nm_ft: float, broken: bool
) -> None:
    stated = problem(rules=RULES)
    rows = [(-20, 0, 0), (-15, 0, 2_000), (15, 0, 2_000), (18, 0, at_2_nm_ft), (20, 0, 0)]
    kept = terrain(stated, path_of(stated, rows))
    assert bool(kept.violations) == broken
    if broken:
        assert kept.violations[0].short_ft == pytest.approx(25.0, abs=1.0)
        assert kept.findings[0].verdict is Verdict.OUTSIDE
        assert kept.findings[0].value == pytest.approx(975.0, abs=1.0)


def test_a_narrow_ridge_between_rows_is_seen() -> None:
    stated = problem(rules=RULES, terrain=ridge(1_500.0, 0.005))  # 0.45 NM wide
    path = level_path(stated, 2_000.0, (-10, 0), (10, 0))
    (violation,) = terrain(stated, path).violations
    assert violation.short_ft == pytest.approx(500.0, abs=0.1 / 0.225 * 1_500.0 / 2.0)
    assert violation.spot.after_min == pytest.approx(4.95, abs=0.1)


def test_every_stretch_is_told_once_with_its_worst() -> None:
    stated = problem(rules=RULES)
    rows = [(-10, 0, 900), (-2, 0, 900), (-1, 0, 2_000), (1, 0, 2_000), (2, 0, 700), (9, 0, 800)]
    kept = terrain(stated, path_of(stated, rows))
    assert [one.short_ft for one in kept.violations] == [
        pytest.approx(100.0),
        pytest.approx(300.0),
    ]


def test_the_height_is_above_the_slope_beneath() -> None:
    stated = problem(rules=RULES, terrain=sloping_ground(0.0, 2_000.0))
    path = level_path(stated, 2_000.0, (-10, 0), (10, 0))
    (violation,) = terrain(stated, path).violations
    east_nm = float(stated.plane.to_plane_nm(41.0, -131.0 + 0.02)[0])  # ground 1,020 ft
    assert violation.spot.after_min == pytest.approx((10.0 + east_nm) / 2.0, abs=0.06)


def test_data_that_stand_above_a_field_yield_to_its_survey() -> None:
    stated = problem(
        rules=RULES,
        terrain=flat_terrain(180.0),
        departure=end("QAAA", -20, 0, 100.0),
        destination=end("QZZZ", 20, 0, 100.0),
    )
    rows = [(-20, 0, 100), (-15, 0, 1_200), (15, 0, 1_200), (20, 0, 100)]
    assert terrain(stated, path_of(stated, rows)).violations == ()
    sunk = replace(stated, departure=end("QAAA", -20, 0, 180.0))  # its path starts too low
    assert terrain(sunk, path_of(sunk, rows)).violations != ()


def test_unknown_ground_is_unknown_even_where_the_rest_is_clear() -> None:
    tile = Tile(
        south_deg=40.0,
        west_deg=-132.0,
        step_lat_deg=2.0,
        step_lon_deg=1.0,
        ground_ft=np.zeros((2, 2)),
    )
    stated = problem(rules=RULES, terrain=Terrain(tiles=(tile,)))
    rows = [(-20, 0, 0), (-15, 0, 3_000), (15, 0, 3_000), (20, 0, 0)]
    (finding,) = terrain(stated, path_of(stated, rows)).findings
    assert finding.verdict is Verdict.UNKNOWN
    assert "terrain data" in finding.missing
    assert finding.where.startswith("3000 ft, 10.")


def test_a_short_hop_inside_both_ramps_is_measured_by_them() -> None:
    stated = problem(rules=RULES, half_nm=2.0)
    rows = [(-2, 0, 0), (-1, 0, 300), (1, 0, 300), (2, 0, 0)]
    (finding,) = terrain(stated, path_of(stated, rows)).findings
    # 300 of 400 ft halfway; half a sample beside it the ramp is 10 ft lower.
    assert finding.value == pytest.approx(1_000.0 - 100.0, abs=10.0)


@pytest.mark.parametrize(
    ("msl_ft", "verdict"),
    [
        (11_000.0, Verdict.INSIDE),
        (12_000.0, Verdict.CLOSE),
        (12_015.0, Verdict.CLOSE),
        (12_021.0, Verdict.OUTSIDE),
    ],
)
def test_the_ceiling_is_the_airplane_s(msl_ft: float, verdict: Verdict) -> None:
    stated = problem(motion=HERON)
    rows = path_samples(stated, level_path(stated, msl_ft, (-10, 0), (10, 0)))
    kept = check_ceiling(stated, rows)
    assert [one.verdict for one in kept.findings] == [verdict]
    assert bool(kept.violations) == (verdict is Verdict.OUTSIDE)

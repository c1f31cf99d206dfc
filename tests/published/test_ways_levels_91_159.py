"""The level rule against the words of 14 CFR 91.159(a), read 2026-11-25.

"... more than 3,000 feet above the surface ...: (1) below 18,000 feet MSL and (i) on a magnetic
course of zero degrees through 179 degrees, any odd thousand foot MSL altitude + 500 feet (such
as 3,500, 5,500, or 7,500); or (ii) on a magnetic course of 180 degrees through 359 degrees, any
even thousand foot MSL altitude + 500 feet (such as 4,500, 6,500, or 8,500)."
"""

import numpy as np
import pytest

from lubberline.earth import LocalPlane, flat_terrain
from lubberline.ways import Margins, Motion, Rules, WayEnd, WaysProblem, check
from lubberline.weather import WindsAloft

CENTER = LocalPlane(41.0, -131.0)
CALM = WindsAloft(
    msl_ft=np.zeros(1), from_true_deg=np.zeros(1), wind_kt=np.zeros(1), oat_degc=np.zeros(1)
)


def breaks_the_rule(
    mag_deg: float, msl_ft: float, *, ground_ft: float = 0.0, variation_deg: float = 0.0
) -> bool:
    """Whether 40 NM of level flight at a height on a magnetic course are against the rule."""
    true_rad = np.radians(mag_deg + variation_deg)
    east_nm, north_nm = 20.0 * np.sin(true_rad), 20.0 * np.cos(true_rad)
    lat_deg, lon_deg = CENTER.to_degrees([-east_nm, east_nm], [-north_nm, north_nm])
    ends = [
        WayEnd(id=name, lat_deg=float(lat), lon_deg=float(lon), elev_msl_ft=msl_ft)
        for name, lat, lon in zip(("QAAA", "QZZZ"), lat_deg, lon_deg, strict=True)
    ]
    stated = WaysProblem(
        name="level",
        description="",
        departure=ends[0],
        destination=ends[1],
        motion=_MOTION,
        wind=CALM,
        margins=Margins(lateral_nm=0.0, vertical_ft=0.0),
        rules=Rules(
            min_agl_ft=0.0,
            aerodrome_radius_nm=1.0,
            hemispheric=True,
            hemispheric_above_agl_ft=3_000.0,
            variation_deg=variation_deg,
            level_fpm=100.0,
        ),
        terrain=flat_terrain(ground_ft),
        land_deg=(),
        volumes=(),
        points=(),
    )
    path = np.column_stack([lat_deg, lon_deg, [msl_ft, msl_ft], [0.0, 30.0]])
    broken = check(stated, path, frozenset()).violations
    assert {one.rule for one in broken} <= {"hemispheric"}
    return bool(broken)


_MOTION = Motion(
    climb_fpm=500.0,
    zero_climb_ft=0.0,
    descent_fpm=500.0,
    climb_tas_kt=90.0,
    cruise_tas_kt=120.0,
    descent_tas_kt=120.0,
    ceiling_ft=17_500.0,
    glide_ratio=9.0,
    climb_gph=15.0,
    cruise_gph=12.0,
    descent_gph=9.0,
)

ODD = [3_500.0, 5_500.0, 7_500.0]  # "such as", in the rule itself
EVEN = [4_500.0, 6_500.0, 8_500.0]


@pytest.mark.parametrize("course", [0.0, 1.0, 90.0, 179.0, 179.9, 360.0])
@pytest.mark.parametrize(("odd", "even"), list(zip(ODD, EVEN, strict=True)))
def test_zero_through_179_is_odd_and_not_even(course: float, odd: float, even: float) -> None:
    assert not breaks_the_rule(course, odd)
    assert breaks_the_rule(course, even)


@pytest.mark.parametrize("course", [180.0, 180.1, 270.0, 359.0, 359.9])
@pytest.mark.parametrize(("odd", "even"), list(zip(ODD, EVEN, strict=True)))
def test_180_through_359_is_even_and_not_odd(course: float, odd: float, even: float) -> None:
    assert breaks_the_rule(course, odd)
    assert not breaks_the_rule(course, even)


@pytest.mark.parametrize(
    ("ground_ft", "msl_ft", "broken"),
    [
        (2_000.0, 4_500.0, False),  # 2,500 ft above the surface: no rule
        (1_000.0, 4_500.0, True),  # 3,500 ft above it: 5,500 ft instead
        (1_000.0, 5_500.0, False),
        (1_500.0, 4_500.0, False),  # 3,000 ft is not more than 3,000 ft
    ],
)
def test_the_rule_begins_above_three_thousand_feet_agl(
    ground_ft: float, msl_ft: float, broken: bool
) -> None:
    assert breaks_the_rule(90.0, msl_ft, ground_ft=ground_ft) == broken


@pytest.mark.parametrize("variation_deg", [14.5, -14.5])
@pytest.mark.parametrize(("mag_deg", "msl_ft"), [(179.0, 5_500.0), (180.0, 6_500.0)])
def test_the_course_is_magnetic(variation_deg: float, mag_deg: float, msl_ft: float) -> None:
    assert not breaks_the_rule(mag_deg, msl_ft, variation_deg=variation_deg)
    assert breaks_the_rule(mag_deg, msl_ft + 1_000.0, variation_deg=variation_deg)

"""Where 200 kt are the limit a way takes longer by just that, and no path is quicker."""

from dataclasses import replace

import numpy as np
import pytest
from ways_cases import HERON, SHELF, disc, level_path, msl, place, problem

from lubberline.places import Aerodrome, Height, Volume
from lubberline.ways import SlowAirspace, Way, WaysProblem, check, evaluate

FAST = replace(HERON, cruise_tas_kt=240.0, climb_tas_kt=160.0, descent_tas_kt=190.0)
# Density ratio of the standard atmosphere at 1,000 ft; compressibility is 0.1 kt at 200 kt.
SIGMA_1000_FT = 0.97107
TAS_AT_200_KT = 200.0 / np.sqrt(SIGMA_1000_FT)
SURFACE = Height(reference="SFC", ft=0.0)


def stated(*bravo: Volume, fields: tuple[Aerodrome, ...] = (), slow: bool = True) -> WaysProblem:
    limit = SlowAirspace(fields=fields, bravo=bravo)
    return problem(*bravo, motion=FAST, slow=limit if slow else None)


def flown(asked: WaysProblem) -> Way:
    return evaluate(asked, "direct", via=(), cruise_msl_ft=1_000.0, permissions=frozenset(["talk"]))


def longer_min(*bravo: Volume, fields: tuple[Aerodrome, ...] = ()) -> float:
    limited = flown(stated(*bravo, fields=fields))
    assert not limited.violations
    return limited.time_min - flown(stated(*bravo, slow=False)).time_min


def test_under_a_shelf_the_way_takes_longer_by_the_slower_miles() -> None:
    slower_min = 12.0 * 60.0 * (1.0 / TAS_AT_200_KT - 1.0 / 240.0)
    assert longer_min(SHELF) == pytest.approx(slower_min, abs=0.006)  # a tenth of a mile


def test_inside_class_b_there_is_no_such_limit() -> None:
    assert longer_min(disc("Core", SURFACE, msl(7_000.0))) == 0.0
    assert (
        longer_min(disc("Core", SURFACE, msl(2_000.0)), disc("Top", msl(2_000.0), msl(9_000.0)))
        == 0.0
    )


def test_under_another_class_nothing_is_limited() -> None:
    asked = stated(slow=True)
    assert flown(asked).time_min == flown(stated(slow=False)).time_min


@pytest.mark.parametrize(("elev_ft", "slower_nm"), [(0.0, 8.0), (-1_600.0, 0.0)])
def test_near_a_field_of_class_d_it_is_four_miles_and_2500_ft(
    elev_ft: float, slower_nm: float
) -> None:
    lat_deg, lon_deg = place(0.0, 0.0)
    field = Aerodrome(
        id="QD",
        name="Delta",
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        elev_msl_ft=elev_ft,
        pattern_agl_ft=1_000.0,
        runways=(),
        radios=(),
    )
    slower_min = slower_nm * 60.0 * (1.0 / TAS_AT_200_KT - 1.0 / 240.0)
    assert longer_min(fields=(field,)) == pytest.approx(slower_min, abs=0.006)


def test_a_path_that_keeps_its_speed_under_the_shelf_is_refused() -> None:
    asked = replace(stated(SHELF), departure=problem().departure)
    path = level_path(asked, 0.0, (-20.0, 0.0), (20.0, 0.0), speed_kt=239.0)
    rules = {one.rule for one in check(asked, path, frozenset(["talk"])).violations}
    assert "motion" in rules
    allowed = check(stated(SHELF, slow=False), path, frozenset(["talk"])).violations
    assert "motion" not in {one.rule for one in allowed}

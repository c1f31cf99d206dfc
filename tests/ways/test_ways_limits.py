"""Ways of a fast airplane come in the order of their times within the limits of speed."""

from dataclasses import replace

import pytest
from ways_cases import HERON, box, problem, volume

from lubberline.ways import SlowAirspace, WaysProblem
from lubberline.ways.search import find_way, find_ways

FAST = replace(HERON, cruise_tas_kt=230.0, climb_tas_kt=150.0, descent_tas_kt=180.0)
# Closed in the middle; the southern way round is the shorter one, under class B.
BLOCK = volume(box(-3.0, -5.0, 3.0, 6.0), airspace_class="P", name="Q1")
SHELF = volume(box(-25.0, -20.0, 25.0, -0.5), airspace_class="B", floor=("MSL", 6_000.0), name="Q2")


def asked(*, slow: bool) -> WaysProblem:
    limit = SlowAirspace(fields=(), bravo=(SHELF,))
    return problem(BLOCK, SHELF, half_nm=30.0, motion=FAST, slow=limit if slow else None)


def south_nm(stated: WaysProblem) -> float:
    way = find_way(stated, frozenset())
    return float(stated.plane.to_plane_nm(way.path[:, 0], way.path[:, 1])[1].min())


def test_the_side_that_is_quicker_within_the_limit_is_taken() -> None:
    assert south_nm(asked(slow=False)) < -5.0
    assert south_nm(asked(slow=True)) > -1.0


def test_ways_come_in_the_order_of_the_limited_times() -> None:
    ways = find_ways(asked(slow=True))
    times = [way.time_min for way in ways]
    assert times == sorted(times)
    assert times[0] == min(find_way(asked(slow=True), way.permissions).time_min for way in ways)
    unlimited = find_way(asked(slow=False), frozenset()).time_min
    assert times[0] > unlimited


def test_no_limit_no_difference() -> None:
    plain, none = (
        asked(slow=False),
        replace(asked(slow=False), slow=SlowAirspace(fields=(), bravo=())),
    )
    assert find_way(plain, frozenset()).time_min == pytest.approx(
        find_way(none, frozenset()).time_min, abs=1e-6
    )

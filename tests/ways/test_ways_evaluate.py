import json
from dataclasses import replace
from math import sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ways_cases import HERON, NO_RULES, aloft, circle, end, point, problem, volume

from lubberline.errors import NoSolution
from lubberline.line import Verdict
from lubberline.ways import Way, WaysProblem, answer_record, evaluate, way_record

NONE: frozenset[str] = frozenset()


def way(
    stated: WaysProblem, cruise_ft: float, *via: tuple[float, float], allowed: str | None = None
) -> Way:
    return evaluate(
        stated,
        "case",
        via=[point(f"V{k}", *corner) for k, corner in enumerate(via, start=1)],
        cruise_msl_ft=cruise_ft,
        permissions=frozenset([allowed]) if allowed else NONE,
    )


def test_a_calm_way_is_the_sum_of_its_phases() -> None:
    # 12 NM of climb at 90 kt, level flight at 120 kt, 12 and 4 NM of descent at 120 kt.
    flown = way(problem(), 4_000.0)
    assert flown.distance_nm == pytest.approx(40.0, abs=1e-6)
    assert flown.time_min == pytest.approx(8.0 + 28.0 / 2.0, abs=1e-6)
    climb_gal, cruise_gal, descent_gal = 8 * 15 / 60, (11 + 1) / 2 * 12 / 60, 8 * 9 / 60
    assert flown.fuel_gal == pytest.approx(climb_gal + cruise_gal + descent_gal, abs=1e-6)
    assert [(leg.from_name, leg.to_name, leg.phase) for leg in flown.legs] == [
        ("QAAA", "top of climb", "climb"),
        ("top of climb", "start down", "cruise"),
        ("start down", "pattern height", "descent"),
        ("pattern height", "leave pattern height", "cruise"),
        ("leave pattern height", "QZZZ", "descent"),
    ]
    assert [leg.ground_kt for leg in flown.legs] == pytest.approx([90, 120, 120, 120, 120])
    assert [leg.tas_kt for leg in flown.legs] == pytest.approx([90, 120, 120, 120, 120])


def test_legs_and_path_add_up_to_the_way() -> None:
    stated = problem(wind=aloft((0.0, 200.0, 15.0), (6_000.0, 260.0, 40.0)))
    flown = way(stated, 5_500.0, (-12, 6), (2, -5))
    assert sum(leg.time_min for leg in flown.legs) == pytest.approx(flown.time_min)
    assert sum(leg.fuel_gal for leg in flown.legs) == pytest.approx(flown.fuel_gal)
    assert sum(leg.distance_nm for leg in flown.legs) == pytest.approx(flown.distance_nm)
    assert flown.path[-1, 3] == flown.time_min
    assert len(flown.point_names) == len(flown.path)
    assert (np.diff(flown.path[:, 3]) > 0.0).all()


def test_a_leg_shows_its_wind_triangle() -> None:
    # From the north 72 kt, track east: 120 kt of airspeed leave 96 kt, heading 37 degrees left.
    stated = problem(
        wind=aloft((0.0, 0.0, 72.0)),
        motion=replace(HERON, climb_tas_kt=120.0),
        rules=replace(NO_RULES, variation_deg=14.0),
    )
    (cruise, *_) = (leg for leg in way(stated, 3_000.0).legs if leg.phase == "cruise")
    # The middle of the leg lies 0.01 degrees of convergence beside the middle of the plane.
    assert cruise.true_deg == pytest.approx(90.0, abs=0.05)
    assert cruise.mag_deg == pytest.approx(76.0, abs=0.05)
    turn = np.degrees(np.arctan2(72.0, 96.0))
    assert cruise.heading_mag_deg == pytest.approx(76.0 - turn, abs=0.05)
    assert cruise.ground_kt == pytest.approx(96.0, rel=1e-9)
    assert cruise.wind_from_true_deg % 360.0 == pytest.approx(0.0, abs=1e-6)
    assert cruise.wind_kt == pytest.approx(72.0, rel=1e-9)


def test_courses_are_measured_at_the_middle_of_a_leg() -> None:
    """Far east of the middle the plane's north is not true north; the course is the true one."""
    stated = problem(half_nm=80.0)
    leg = next(one for one in way(stated, 3_000.0, (80.0, 60.0)).legs if one.from_name == "V1")
    # Almost along the meridian of the destination: convergence of a degree and a half of
    # longitude at 41 N is over a degree, of which the plane shows about half.
    assert leg.true_deg == pytest.approx(180.0, abs=1.5)
    assert abs(leg.true_deg - 180.0) > 0.3


def test_what_is_met_and_what_is_entered_come_with_the_way() -> None:
    near = volume(circle(0, 6, 5), name="Q2", airspace_class="C")
    stated = problem(volume(circle(10, 0, 2)), volume(circle(-10, 0, 2), name="Q3"), near)
    refused, allowed = way(stated, 4_000.0), way(stated, 4_000.0, allowed="Q1-tower")
    assert [one.id for one in refused.entered] == ["Q3", "Q1"]  # in order of entry
    assert len(refused.violations) == 2
    assert [one.what for one in allowed.violations] == [
        "enters Volume Q3 (D) without two-way contact"
    ]
    assert {one.volume.id for one in allowed.encounters} == {"Q1", "Q2", "Q3"}


def test_a_way_keeps_its_name_height_and_permissions() -> None:
    flown = way(problem(), 4_000.0, allowed="Q1-tower")
    assert (flown.name, flown.cruise_msl_ft) == ("case", 4_000.0)
    assert flown.permissions == {"Q1-tower"}
    assert flown.path[:, 2].max() == 4_000.0


def test_overhead_circling_is_a_leg_of_no_distance() -> None:
    high = problem(half_nm=5.0, departure=end("QAAA", -5.0, 0.0, 4_000.0))
    last = way(high, 5_000.0).legs[-1]
    assert (last.from_name, last.to_name, last.phase) == ("over QZZZ", "QZZZ", "descent")
    assert last.distance_nm == 0.0
    assert last.time_min == pytest.approx(3.0, abs=1e-6)  # 1,500 ft at 500 ft/min


def test_a_level_way_that_the_wind_forbids_is_refused() -> None:
    calm_below = aloft((0.0, 90.0, 0.0), (2_000.0, 90.0, 0.0), (4_000.0, 90.0, 125.0))
    motion = replace(HERON, climb_tas_kt=130.0, descent_tas_kt=130.0)
    with pytest.raises(NoSolution, match="cannot be flown in 125 kt of wind"):
        way(problem(wind=calm_below, motion=motion), 4_000.0)


@settings(max_examples=25, deadline=None)
@given(st.floats(0.0, 40.0), st.floats(0.0, 15.0))
def test_more_headwind_never_makes_a_way_quicker(head_kt: float, more_kt: float) -> None:
    lighter = way(problem(wind=aloft((0.0, 90.0, head_kt))), 4_000.0)
    stronger = way(problem(wind=aloft((0.0, 90.0, head_kt + more_kt))), 4_000.0)
    assert stronger.time_min >= lighter.time_min - 1e-9


def test_there_and_back_in_calm_air_take_the_same_time() -> None:
    level = problem(motion=replace(HERON, climb_tas_kt=120.0))
    back = replace(level, departure=level.destination, destination=level.departure)
    there = way(level, 2_000.0, (-5, 4), (6, -3))
    assert way(back, 2_000.0, (6, -3), (-5, 4)).time_min == pytest.approx(there.time_min, rel=1e-9)


def test_a_way_as_plain_values_is_json_and_says_what_the_answer_form_asks() -> None:
    stated = problem(volume(circle(0, 0, 3)), volume(circle(0, 5, 4), name="Q2"))
    flown = way(stated, 4_000.0, allowed="Q1-tower")
    record = json.loads(json.dumps(answer_record([flown]), allow_nan=False))["ways"][0]
    assert {"time_min", "fuel_gal", "distance_nm", "permissions", "entered", "path", "name"} <= set(
        record
    )
    assert record["entered"] == ["Q1"]
    assert record["permissions"] == ["Q1-tower"]
    assert len(record["path"][0]) == 4
    assert record["margins"][0]["volume"] == "Q1"
    assert record["violations"] == []
    assert way_record(flown)["time_min"] == flown.time_min


def test_a_finding_tells_the_least_distance_where_it_is() -> None:
    stated = problem(volume(circle(-4, 3, 2), airspace_class="P"))
    (finding,) = (f for f in way(stated, 4_000.0).findings if f.limit.key == "ways.airspace.Q1")
    assert finding.value == pytest.approx(1.0, abs=1e-6)
    assert finding.verdict is Verdict.INSIDE
    minutes = 8.0 + (16.0 - 12.0) / 2.0  # abeam, 4 NM west of the middle
    assert finding.where == f"4000 ft, {minutes:.1f} min after take-off"


def test_the_diagonal_is_longer_than_the_straight_line_by_the_triangle() -> None:
    straight, bent = way(problem(), 2_000.0), way(problem(), 2_000.0, (0.0, 15.0))
    assert bent.distance_nm == pytest.approx(2.0 * sqrt(20.0**2 + 15.0**2), rel=1e-9)
    assert bent.time_min - straight.time_min == pytest.approx(10.0 / 2.0, abs=1e-6)

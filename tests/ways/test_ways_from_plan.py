"""A plan as a problem: the demo flight with tables, weather and wishes set by hand."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from lubberline.aircraft import Table
from lubberline.demo import write_folder
from lubberline.earth import variation_deg
from lubberline.errors import NoSolution
from lubberline.flight import Plan, Search, read_plan
from lubberline.line import Verdict
from lubberline.ways import evaluate, evaluate_candidates, evaluate_plan, problem_from_plan
from lubberline.ways.found import search_problem
from lubberline.ways.from_plan import tabulated_ft
from lubberline.weather import WindsAloft


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    return read_plan(write_folder(tmp_path_factory.mktemp("ways") / "folder"))


def table(name: str, axis: str, points: list[float], values: list[float]) -> Table:
    return Table(name=name, axes={axis: np.array(points)}, values=np.array(values))


def with_tables(plan: Plan, *tables: Table) -> Plan:
    known = dict(plan.aircraft.tables) | {one.name: one for one in tables}
    return replace(plan, aircraft=replace(plan.aircraft, tables=known))


def with_weather(
    plan: Plan,
    *,
    rows: list[tuple[float, float]],
    altimeter_inhg: float | None = 29.92,
    field_degc: float | None = None,
) -> Plan:
    """Temperatures by height in still air, and the departure's report."""
    columns = np.array(rows, dtype=float).reshape(-1, 2).T
    calm = np.zeros(columns.shape[1])
    aloft = WindsAloft(msl_ft=columns[0], from_true_deg=calm, wind_kt=calm, oat_degc=columns[1])
    here = plan.flight.departure_id
    seen = plan.weather.reports[here]
    report = replace(seen, altimeter_inhg=altimeter_inhg, temperature_degc=field_degc)
    weather = replace(plan.weather, aloft=aloft, reports={here: report})
    return replace(plan, weather=weather)


STANDARD = [(0.0, 15.0), (10_000.0, -4.812)]  # 1.9812 degrees in a thousand feet [ISA]


def test_a_straight_climb_table_is_kept_as_it_is(demo: Plan) -> None:
    plan = with_tables(demo, table("climb_fpm", "pressure_ft", [-1_000, 9_000], [1_100, 100]))
    motion = problem_from_plan(with_weather(plan, rows=STANDARD), 5_500.0).motion
    assert motion.climb_fpm == pytest.approx(1_000.0, abs=0.5)
    assert motion.zero_climb_ft == pytest.approx(10_000.0, abs=5.0)


def test_a_bent_climb_table_is_fitted_over_the_heights_of_the_flight(demo: Plan) -> None:
    bent = table("climb_fpm", "pressure_ft", [-1_000, 3_000, 9_000], [1_000, 800, 200])
    plan = with_weather(with_tables(demo, bent), rows=STANDARD)
    low, high = (problem_from_plan(plan, cruise).motion for cruise in (3_000.0, 8_500.0))
    assert low.climb_fpm / low.zero_climb_ft == pytest.approx(0.05, rel=0.01)
    assert high.climb_fpm / high.zero_climb_ft == pytest.approx(0.08, abs=0.02)
    at_5000 = high.climb_fpm * (1.0 - 5_000.0 / high.zero_climb_ft)
    assert at_5000 == pytest.approx(600.0, abs=40.0)


def test_a_climb_that_does_not_fall_with_height_is_taken_as_its_least(demo: Plan) -> None:
    rising = table("climb_fpm", "pressure_ft", [-1_000, 9_000], [600, 700])
    motion = problem_from_plan(with_weather(with_tables(demo, rising), rows=STANDARD), 4_500).motion
    assert motion.zero_climb_ft == 0.0
    assert motion.climb_fpm == pytest.approx(600.0 + (60.0 + 1_000.0) / 100.0, abs=1.0)


def test_tables_are_asked_at_pressure_height(demo: Plan) -> None:
    by_height = table("cruise_tas_kt", "pressure_ft", [0.0, 10_000.0], [100.0, 200.0])
    plan = with_tables(demo, by_height)
    standard = problem_from_plan(with_weather(plan, rows=STANDARD), 4_000.0).motion
    assert standard.cruise_tas_kt == pytest.approx(140.0, abs=0.05)
    # An inch less is about a thousand feet more (PHAK, chapter 11: 1 inHg per 1,000 ft).
    low = problem_from_plan(with_weather(plan, rows=STANDARD, altimeter_inhg=28.92), 4_000.0).motion
    assert low.cruise_tas_kt == pytest.approx(149.4, abs=0.6)


@pytest.mark.parametrize(
    ("rows", "oat_degc"),
    [
        ([(4_000.0, 20.0)], 20.0),
        ([(2_000.0, 20.0)], 20.0 - 2 * 1.9812),  # beyond the rows the departure from standard holds
        ([(0.0, 25.0), (8_000.0, 25.0 - 8 * 1.9812)], 25.0 - 4 * 1.9812),
        ([], 15.0 - 4 * 1.9812),  # nothing known: standard
    ],
)
def test_tables_are_asked_at_the_temperature_of_the_day(
    demo: Plan, rows: list[tuple[float, float]], oat_degc: float
) -> None:
    by_heat = table("cruise_tas_kt", "oat_degc", [-40.0, 60.0], [60.0, 160.0])
    plan = with_weather(with_tables(demo, by_heat), rows=rows)
    motion = problem_from_plan(plan, 4_000.0).motion
    assert motion.cruise_tas_kt == pytest.approx(100.0 + oat_degc, abs=0.05)


def test_without_temperatures_aloft_the_departure_s_decides(demo: Plan) -> None:
    by_heat = table("cruise_tas_kt", "oat_degc", [-40.0, 60.0], [60.0, 160.0])
    plan = with_weather(with_tables(demo, by_heat), rows=[], field_degc=25.0)
    warmer_degc = 25.0 - (15.0 - 1.9812 * demo.departure.elev_msl_ft / 1_000.0)
    motion = problem_from_plan(plan, 4_000.0).motion
    expected = 100.0 + 15.0 - 4 * 1.9812 + warmer_degc
    assert motion.cruise_tas_kt == pytest.approx(expected, abs=0.05)


@pytest.mark.parametrize(("field_degc", "told"), [(25.0, False), (None, True)])
def test_air_that_had_to_be_assumed_is_an_unknown(
    demo: Plan, field_degc: float | None, told: bool
) -> None:
    ways = evaluate_plan(with_weather(demo, rows=[], field_degc=field_degc))
    unknowns = {one.limit.key for one in ways[0].findings if one.verdict is Verdict.UNKNOWN}
    assert unknowns == {"ways.wind"} | ({"ways.temperature"} if told else set())


def test_tables_are_asked_at_the_weight_of_take_off(demo: Plan) -> None:
    by_weight = table("cruise_gph", "weight_lb", [1_000.0, 4_000.0], [10.0, 40.0])
    plan = with_tables(demo, by_weight)
    loading, flight = plan.aircraft.loading, plan.flight
    fuel_gal = sum(flight.fuel_gal.values()) - plan.aircraft.taxi_gal
    weight_lb = loading.empty_lb + sum(flight.load_lb.values()) + fuel_gal * loading.fuel_lb_per_gal
    motion = problem_from_plan(plan, 4_500.0).motion
    assert motion.cruise_gph == pytest.approx(weight_lb / 100.0)


def test_climb_and_descent_speeds_are_true_at_middle_heights(demo: Plan) -> None:
    plan = with_weather(demo, rows=STANDARD)
    aircraft = replace(plan.aircraft, climb_ias_kt=100.0, descent_ias_kt=100.0)
    motion = problem_from_plan(replace(plan, aircraft=aircraft), 9_900.0).motion
    # Density at 5,000 ft of the standard atmosphere is 0.8617 of sea level's [ISA].
    assert motion.climb_tas_kt == pytest.approx(100.0 / np.sqrt(0.8617), rel=0.003)
    assert motion.descent_tas_kt == pytest.approx(motion.climb_tas_kt, rel=0.003)


def test_beyond_the_tables_there_is_no_solution_and_the_table_is_named(demo: Plan) -> None:
    hot = with_weather(demo, rows=[(0.0, 58.0), (10_000.0, 55.0)])
    with pytest.raises(NoSolution, match=r"cruise_tas_kt|climb_fpm"):
        problem_from_plan(hot, 4_500.0)
    with pytest.raises(NoSolution, match=r"way .*tables have no answer"):
        evaluate_plan(hot)


def test_the_rules_are_the_law_s_and_the_pilot_s(demo: Plan) -> None:
    def rules(**own: Any) -> Any:
        pilot = replace(demo.pilot, own=replace(demo.pilot.own, **own))
        return problem_from_plan(replace(demo, pilot=pilot), 4_500.0)

    assert rules(terrain_clearance_ft=None).rules.min_agl_ft == 500.0  # 14 CFR 91.119(c)
    assert rules(terrain_clearance_ft=300.0).rules.min_agl_ft == 500.0
    assert rules(terrain_clearance_ft=1_500.0).rules.min_agl_ft == 1_500.0
    assert rules().rules.hemispheric_above_agl_ft == 3_000.0  # 14 CFR 91.159
    margins = rules(airspace_lateral_nm=1.5, airspace_vertical_ft=400.0).margins
    assert (margins.lateral_nm, margins.vertical_ft) == (1.5, 400.0)


def test_variation_is_that_of_the_middle_on_the_day(demo: Plan) -> None:
    stated = problem_from_plan(demo, 4_500.0)
    middle = stated.plane
    expected = variation_deg(middle.lat_deg, middle.lon_deg, 0.0, demo.flight.off_block_utc)
    assert stated.rules.variation_deg == pytest.approx(float(expected))


def test_ends_volumes_and_points_are_the_plan_s(demo: Plan) -> None:
    stated = problem_from_plan(demo, 4_500.0)
    assert stated.departure.id == demo.flight.departure_id
    assert stated.destination.pattern_agl_ft == demo.destination.pattern_agl_ft
    assert stated.volumes == demo.places.volumes
    assert len(stated.points) == len(demo.places.points)


def test_every_candidate_becomes_a_way_fastest_first(demo: Plan) -> None:
    ways = evaluate_plan(demo)
    assert {way.name for way in ways} == {one.name for one in demo.flight.candidates}
    assert [way.time_min for way in ways] == sorted(way.time_min for way in ways)
    for way in ways:
        candidate = next(one for one in demo.flight.candidates if one.name == way.name)
        alone = evaluate(
            problem_from_plan(demo, candidate.cruise_msl_ft),
            candidate.name,
            via=candidate.via,
            cruise_msl_ft=candidate.cruise_msl_ft,
            permissions=candidate.permissions,
        )
        assert alone.time_min == way.time_min


def test_the_demo_s_ways_are_clean_and_its_pattern_does_not_break_the_terrain(demo: Plan) -> None:
    for way in evaluate_plan(demo):
        assert way.violations == ()


def test_a_candidate_too_low_is_named(demo: Plan) -> None:
    low = replace(demo.flight.candidates[0], name="low", cruise_msl_ft=50.0)
    plan = replace(demo, flight=replace(demo.flight, candidates=(low,)))
    with pytest.raises(NoSolution, match="way 'low': cruise_msl_ft is 50 ft"):
        evaluate_plan(plan)


def test_one_candidate_that_cannot_be_flown_leaves_the_others(demo: Plan) -> None:
    low = replace(demo.flight.candidates[0], name="low", cruise_msl_ft=50.0)
    plan = replace(demo, flight=replace(demo.flight, candidates=(low, *demo.flight.candidates)))
    ways, (impossible,) = evaluate_candidates(plan)
    assert [way.name for way in ways] == [way.name for way in evaluate_plan(demo)]
    assert "cruise_msl_ft is 50 ft" in impossible.reason
    assert impossible.remedy == ""


def test_too_heavy_for_the_tables_points_to_the_command_that_helps(demo: Plan) -> None:
    heavy = replace(demo, flight=replace(demo.flight, load_lb={"front": 900.0}))
    with pytest.raises(NoSolution, match=r"lb above the greatest.*see: lubberline reload"):
        evaluate_plan(heavy)


def test_the_aerodromes_reach_as_far_as_the_airplane_needs(demo: Plan) -> None:
    slow = replace(demo, aircraft=replace(demo.aircraft, descent_fpm=200.0))
    reach_nm = problem_from_plan(demo, 4_500.0).rules.aerodrome_radius_nm
    assert reach_nm >= 5.0
    assert problem_from_plan(slow, 4_500.0).rules.aerodrome_radius_nm > 1.5 * reach_nm


def test_the_folder_is_only_read(demo: Plan) -> None:
    before = {path: path.read_bytes() for path in demo.inputs}
    evaluate_plan(demo)
    assert {path: path.read_bytes() for path in demo.inputs} == before
    assert all(isinstance(path, Path) for path in demo.inputs)


def test_a_fast_airplane_is_slow_where_the_law_limits_it(demo: Plan) -> None:
    assert problem_from_plan(demo, 3_500.0).slow is None  # it never flies 200 kt
    fast = replace(demo, aircraft=replace(demo.aircraft, descent_ias_kt=230.0))
    slow = problem_from_plan(fast, 3_500.0).slow
    assert slow is not None
    assert {one.id for one in slow.fields} == {"QMRL", "QSDG"}  # the fields of class D
    assert {one.airspace_class for one in slow.bravo} == {"B"}
    usual, limited = (
        {way.name: way.time_min for way in evaluate_plan(one)}
        for one in (replace(fast, places=replace(fast.places, volumes=())), fast)
    )
    assert all(limited[name] > usual[name] for name in usual)


def test_the_search_goes_no_higher_than_the_tables(demo: Plan) -> None:
    """The demo's tables end at 10,000 ft, its ceiling is 16,000 ft."""
    plan = with_weather(demo, rows=STANDARD)
    top_ft = tabulated_ft(plan, 5_500.0)
    assert top_ft == pytest.approx(10_000.0, abs=20.0)
    assert problem_from_plan(plan, top_ft).motion.cruise_tas_kt > 0.0
    with pytest.raises(NoSolution):
        problem_from_plan(plan, top_ft + 100.0)
    sought = search_problem(replace(plan, flight=replace(plan.flight, search=Search())))
    assert sought.motion.ceiling_ft == pytest.approx(10_000.0, abs=20.0)

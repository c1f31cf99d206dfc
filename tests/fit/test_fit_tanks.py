"""Tanks kept level, the last moment to turn, and what is told of both."""

from dataclasses import replace
from math import inf

import numpy as np
import pytest
from fit_cases import found, keys, with_aircraft, with_flight
from hypothesis import given, settings
from hypothesis import strategies as st

from lubberline.arrays import FloatArray
from lubberline.earth import course_and_distance
from lubberline.fit import fuel_plan, rules_of, trip_gal
from lubberline.fit.decisions import last_moment_min
from lubberline.fit.direct import Direct, direct_of
from lubberline.fit.ends import weights_lb
from lubberline.fit.tank_order import TankOrder, tank_order
from lubberline.fit.tanks import FuelPlan
from lubberline.flight import Plan
from lubberline.line import Verdict
from lubberline.loop import Prepared
from lubberline.weather import WindsAloft

ANYWHERE = (0.0, inf)


def order(
    left_gal: float,
    right_gal: float,
    burn_gal: float,
    most_gal: float | None,
    cruise_gal: tuple[float, float] = ANYWHERE,
) -> TankOrder | None:
    return tank_order(
        {"left": left_gal, "right": right_gal},
        burn_gal,
        imbalance_max_gal=most_gal,
        cruise_gal=cruise_gal,
    )


def planned(plan: Plan, one: Prepared) -> FuelPlan:
    return fuel_plan(plan, one.way, rules_of(plan))


def test_a_burn_within_the_difference_needs_no_change() -> None:
    made = order(20.0, 12.0, 8.0, 10.0)
    assert made is not None
    assert [run.tank for run in made.runs] == ["left"]
    assert made.worst_gal == 8.0


def test_beyond_it_one_change_leaves_the_fuller_tank_for_the_landing() -> None:
    made = order(20.0, 20.0, 10.0, 10.0)
    assert made is not None
    first, second = made.runs
    assert (first.tank, second.tank) == ("left", "right")
    assert 5.0 <= first.until_gal <= 10.0  # less: the right tank would end the emptier one
    assert second.left_gal["right"] >= second.left_gal["left"]


@pytest.mark.parametrize(
    ("most_gal", "runs_count"),
    [
        (20.0, 2),  # 20 of 40 gal on the first tank: the other ends level with it
        (19.9, 3),
        (10.0, 3),  # 10, then 20, then 10
        (9.9, 4),
    ],
)
def test_changes_are_as_few_as_the_limit_lets(most_gal: float, runs_count: int) -> None:
    made = order(40.0, 40.0, 40.0, most_gal)
    assert made is not None
    assert len(made.runs) == runs_count
    assert made.worst_gal <= most_gal


def test_changes_lie_in_cruise_where_they_can() -> None:
    made = order(20.0, 20.0, 10.0, 10.0, (6.0, 7.0))
    assert made is not None
    assert made.in_cruise
    assert 6.0 <= made.runs[0].until_gal <= 7.0
    early = order(20.0, 20.0, 10.0, 10.0, (0.0, 1.0))
    assert early is not None
    assert not early.in_cruise


def test_no_order_serves_where_fuel_does_not() -> None:
    assert order(5.0, 5.0, 10.1, 10.0) is None


@settings(deadline=None)
@given(
    left_gal=st.floats(0.0, 60.0),
    right_gal=st.floats(0.0, 60.0),
    burn_gal=st.floats(0.0, 100.0),
    most_gal=st.none() | st.floats(1.0, 20.0),
)
def test_every_order_keeps_what_it_says(
    left_gal: float, right_gal: float, burn_gal: float, most_gal: float | None
) -> None:
    made = order(left_gal, right_gal, burn_gal, most_gal)
    if made is None:
        return
    last = made.runs[-1]
    assert sum(last.left_gal.values()) == pytest.approx(left_gal + right_gal - burn_gal)
    assert last.left_gal[last.tank] >= max(last.left_gal.values()) - 1e-9
    assert min(min(run.left_gal.values()) for run in made.runs) >= -1e-9
    if most_gal is not None:
        assert made.worst_gal <= max(most_gal, abs(left_gal - right_gal)) + 1e-9


def test_the_tanks_of_the_starter_add_up(prepared: Prepared) -> None:
    fuel = planned(prepared.plan, prepared)
    used_gal = prepared.plan.aircraft.taxi_gal + trip_gal(prepared.plan, prepared.way)
    assert fuel.landing_gal == pytest.approx(44.0 - used_gal)
    assert sum(part.gal for part in fuel.parts) == pytest.approx(used_gal)
    assert sum(fuel.landing_left_gal.values()) == pytest.approx(fuel.landing_gal)
    (change,) = fuel.changes
    assert sum(change.left_gal.values()) > fuel.landing_gal
    assert fuel.points[-1].left_gal == pytest.approx(fuel.landing_gal)
    assert fuel.points[-1].least_gal == pytest.approx(fuel.reserve_gal)


def test_endurance_is_climb_and_then_cruise_to_dry_tanks(prepared: Prepared) -> None:
    fuel = planned(prepared.plan, prepared)
    climb = next(part for part in fuel.parts if part.name == "climb")
    assert fuel.cruise_gph is not None
    assert climb.time_min is not None
    cruise_gal = 44.0 - prepared.plan.aircraft.taxi_gal - climb.gal
    assert fuel.endurance_min == pytest.approx(climb.time_min + cruise_gal / fuel.cruise_gph * 60)


@pytest.mark.parametrize("more_gal", [0.01, -0.01])
def test_an_imbalance_is_held_to_the_manual(prepared: Prepared, more_gal: float) -> None:
    uneven = with_flight(prepared.plan, fuel_gal={"left": 28.0, "right": 18.0 - more_gal})
    finding = found(uneven, prepared, "flight.tank_imbalance")
    assert finding.value == pytest.approx(10.0 + more_gal)
    assert (finding.verdict is Verdict.OUTSIDE) == (more_gal > 0.0)


def test_without_a_limit_on_file_the_imbalance_is_not_decided(prepared: Prepared) -> None:
    limits = replace(prepared.plan.aircraft.loading, imbalance_max_gal=None)
    finding = found(with_aircraft(prepared.plan, loading=limits), prepared, "flight.tank_imbalance")
    assert finding.verdict is Verdict.UNKNOWN
    assert "imbalance_max_gal" in finding.missing
    assert "land on right, the fullest" in finding.where


# f(t) = 10 - t / 2 falls below nought at 20; one that never falls; one that is below at once.
@pytest.mark.parametrize(
    ("at_start", "per_min", "last_min"),
    [(10.0, 0.5, 20.0), (10.0, 1.0 / 3.0, 30.0), (10.0, 0.1, 60.0), (0.0, 0.0, 60.0)],
)
def test_the_last_moment_is_where_nothing_is_left_to_spare(
    at_start: float, per_min: float, last_min: float
) -> None:
    def spare(after: FloatArray) -> FloatArray:
        return np.asarray(at_start - per_min * after)

    assert last_moment_min(spare, 60.0) == pytest.approx(last_min, abs=1e-6)


def test_too_little_at_once_has_no_last_moment() -> None:
    assert last_moment_min(lambda after: -1.0 + 0.0 * after, 60.0) is None


def short_of_fuel(plan: Plan, gal: float) -> Plan:
    return with_flight(plan, fuel_gal={"left": gal / 2.0, "right": gal / 2.0})


def test_at_the_last_moment_what_is_left_takes_it_back_with_the_reserve(
    prepared: Prepared,
) -> None:
    """The state there by hand: the fuel left is that of the straight way back, and the reserve."""
    plan = short_of_fuel(prepared.plan, 17.0)
    fuel = planned(plan, prepared)
    back = fuel.decisions[0]
    assert back.turns_back
    assert not back.always
    assert back.after_min is not None
    direct = direct_of(plan, prepared.way, weight_lb=weights_lb(plan, prepared.way)[0])
    assert isinstance(direct, Direct)
    path, home = prepared.way.path, plan.departure
    lat_deg, lon_deg = (np.interp(back.after_min, path[:, 3], path[:, n]) for n in (0, 1))
    course_deg, apart_nm = course_and_distance(lat_deg, lon_deg, home.lat_deg, home.lon_deg)
    across_rad = np.radians(direct.wind_from_true_deg - course_deg)
    ahead_kt = np.sqrt(direct.tas_kt**2 - (direct.wind_kt * np.sin(across_rad)) ** 2)
    ground_kt = ahead_kt - direct.wind_kt * np.cos(across_rad)
    needs_gal = apart_nm / ground_kt * direct.flow_gph + direct.pattern_gal
    assert fuel.reserve_gal is not None
    assert back.left_gal == pytest.approx(float(needs_gal) + fuel.reserve_gal, abs=1e-6)


@pytest.mark.parametrize(("more_gal", "verdict"), [(0.01, Verdict.CLOSE), (-0.01, Verdict.OUTSIDE)])
def test_fuel_to_go_on_is_held_from_both_sides(
    prepared: Prepared, more_gal: float, verdict: Verdict
) -> None:
    fuel = planned(prepared.plan, prepared)
    spare_gal = fuel.decisions[1].over_destination_gal
    plan = short_of_fuel(prepared.plan, fuel.aboard_gal - spare_gal + more_gal)
    assert found(plan, prepared, "flight.divert_QSDG").verdict is verdict


def test_a_flight_that_cannot_even_turn_back_at_once_is_outside(prepared: Prepared) -> None:
    finding = found(short_of_fuel(prepared.plan, 10.0), prepared, "flight.turn_back")
    assert finding.verdict is Verdict.OUTSIDE
    assert finding.where == "not even at take-off"


def test_a_headwind_on_the_way_back_brings_the_moment_forward(prepared: Prepared) -> None:
    def last_min(wind_kt: float) -> float:
        one = np.array([0.0])
        west = WindsAloft(
            msl_ft=one, from_true_deg=one + 270.0, wind_kt=one + wind_kt, oat_degc=one
        )
        plan = short_of_fuel(prepared.plan, 16.0)
        plan = replace(plan, weather=replace(plan.weather, aloft=west))
        after_min = planned(plan, prepared).decisions[0].after_min
        assert after_min is not None
        return after_min

    assert last_min(40.0) < last_min(20.0) < last_min(0.0)


@pytest.mark.parametrize("key", ["turn_back", "divert_QSDG"])
def test_without_a_cruise_table_no_moment_is_told(prepared: Prepared, key: str) -> None:
    finding = found(with_aircraft(prepared.plan, tables={}), prepared, f"flight.{key}")
    assert finding.verdict is Verdict.UNKNOWN
    assert "a table cruise_gph" in finding.missing


def test_three_tanks_have_no_order_here(prepared: Prepared) -> None:
    limits = prepared.plan.aircraft.loading
    third = replace(limits.tanks[0], name="tip")
    plan = with_aircraft(prepared.plan, loading=replace(limits, tanks=(*limits.tanks, third)))
    finding = found(plan, prepared, "flight.tank_imbalance")
    assert finding.verdict is Verdict.UNKNOWN
    assert "3 tanks" in finding.missing


def test_a_selector_that_is_on_or_off_leaves_nothing_to_choose(prepared: Prepared) -> None:
    systems = replace(prepared.plan.aircraft.systems, fuel_selector="on or off")
    plan = with_aircraft(prepared.plan, systems=systems)
    assert "flight.tank_imbalance" not in keys(plan, prepared)
    assert planned(plan, prepared).changes == ()


def test_an_order_of_the_manual_is_not_overruled(prepared: Prepared) -> None:
    limits = replace(prepared.plan.aircraft.loading, burn_order=("right", "left"))
    finding = found(with_aircraft(prepared.plan, loading=limits), prepared, "flight.tank_imbalance")
    assert finding.verdict is Verdict.UNKNOWN
    assert "right, left emptied in that order" in finding.missing

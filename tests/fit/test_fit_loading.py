"""Weight and balance of a flight, both sides of each bound; sums made by hand."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from lubberline.aircraft import Aircraft
from lubberline.demo import write_folder
from lubberline.fit.loading import loading_findings
from lubberline.flight import Flight, Plan, read_plan
from lubberline.line import Finding, Verdict

# The demo's airplane is 1,795 lb empty and starts with 44 gal at 6 lb; 1.5 gal go in taxi and, in
# these tests, 10 gal on the way. So weights are 2,059 lb at the ramp, 9 lb less for take-off,
# 69 lb less for landing and 264 lb less without fuel, each plus what is loaded.
TRIP_GAL = 10.0


@pytest.fixture(scope="module")
def plan(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    return read_plan(write_folder(tmp_path_factory.mktemp("loading") / "folder"))


def found(aircraft: Aircraft, flight: Flight, key: str) -> Finding:
    findings = loading_findings(aircraft, flight, trip_gal=TRIP_GAL)
    return next(one for one in findings if one.limit.key == f"airplane.{key}")


def loaded(plan: Plan, load_lb: float) -> Flight:
    return replace(plan.flight, load_lb={"front": load_lb})


def all_at(aircraft: Aircraft, arm_in: float) -> Aircraft:
    """The airplane with everything at one arm, where its center of gravity then lies."""
    limits = aircraft.loading
    parts: dict[str, Any] = {
        "stations": tuple(replace(one, arm_in=arm_in) for one in limits.stations),
        "tanks": tuple(replace(one, arm_in=arm_in) for one in limits.tanks),
    }
    return replace(aircraft, loading=replace(limits, empty_arm_in=arm_in, **parts))


@pytest.mark.parametrize(
    ("name", "most_lb", "load_lb"),
    [
        ("ramp", 2_912.0, 853.0),
        ("takeoff", 2_900.0, 850.0),
        ("landing", 2_900.0, 910.0),
        ("zero_fuel", 2_750.0, 955.0),
    ],
)
def test_each_weight_may_be_its_limit_and_no_more(
    plan: Plan, name: str, most_lb: float, load_lb: float
) -> None:
    aircraft, key = plan.aircraft, f"weight_{name}"
    at_limit = found(aircraft, loaded(plan, load_lb), key)
    assert at_limit.value == pytest.approx(most_lb)
    assert at_limit.limit.high == most_lb
    assert at_limit.verdict is Verdict.INSIDE
    over = found(aircraft, loaded(plan, load_lb + 0.1), key)
    assert over.verdict is Verdict.OUTSIDE
    assert over.note.startswith("lubberline reload")


def test_an_airplane_without_a_zero_fuel_limit_is_not_asked_for_it(plan: Plan) -> None:
    aircraft = plan.aircraft
    free = replace(aircraft, loading=replace(aircraft.loading, max_zero_fuel_lb=None))
    keys = [one.limit.key for one in loading_findings(free, plan.flight, trip_gal=TRIP_GAL)]
    assert "airplane.weight_zero_fuel" not in keys
    assert "airplane.balance_zero_fuel" in keys


@pytest.mark.parametrize(
    ("arm_in", "load_lb", "verdict"),
    [
        (110.0, 200.0, Verdict.INSIDE),
        (110.01, 200.0, Verdict.OUTSIDE),
        (96.0, 200.0, Verdict.INSIDE),
        (95.99, 200.0, Verdict.OUTSIDE),
        # 2,631 lb is half way up the edge from 96.0 in, 2,350 lb to 100.5 in, 2,912 lb: 98.25 in.
        (98.25, 572.0, Verdict.INSIDE),
        (98.24, 572.0, Verdict.OUTSIDE),
    ],
)
def test_the_edge_of_the_envelope_belongs_to_it(
    plan: Plan, arm_in: float, load_lb: float, verdict: Verdict
) -> None:
    aircraft = all_at(plan.aircraft, arm_in)
    finding = found(aircraft, loaded(plan, load_lb), "balance_ramp")
    assert finding.value == pytest.approx(arm_in)
    assert finding.verdict is verdict


def test_a_weight_above_the_envelope_has_no_balance_and_says_so(plan: Plan) -> None:
    finding = found(plan.aircraft, loaded(plan, 854.0), "balance_ramp")
    assert finding.verdict is Verdict.UNKNOWN
    assert "an envelope that reaches 2,913 lb" in finding.missing


def utility(aircraft: Aircraft, aft_in: float) -> Aircraft:
    """The airplane with a utility envelope up to 2,350 lb and this aft limit."""
    limits = replace(
        aircraft.loading,
        utility_arm_in=np.array([96.0, 96.0, aft_in, aft_in]),
        utility_lb=np.array([1_700.0, 2_350.0, 2_350.0, 1_700.0]),
    )
    return replace(aircraft, loading=limits)


@pytest.mark.parametrize(
    ("arm_in", "load_lb", "words"),
    [
        (104.0, 291.0, "in the utility envelope"),  # 2,350 lb at the ramp: its corner
        (104.01, 291.0, "in the normal envelope only"),
        (104.0, 291.1, "in the normal envelope only"),
    ],
)
def test_the_finding_says_which_envelope(
    plan: Plan, arm_in: float, load_lb: float, words: str
) -> None:
    aircraft = utility(all_at(plan.aircraft, arm_in), 104.0)
    for key in ("balance_ramp", "balance_burn"):
        finding = found(aircraft, loaded(plan, load_lb), key)
        assert words in finding.note
        assert finding.verdict is Verdict.INSIDE
    none = replace(aircraft, loading=replace(aircraft.loading, utility_lb=np.array([])))
    assert found(none, loaded(plan, load_lb), "balance_ramp").note == ""


def aft_tank(plan: Plan, *, order: tuple[str, ...] = ()) -> Aircraft:
    """The airplane with one tank far in front and one far behind."""
    limits = plan.aircraft.loading
    left, right = limits.tanks
    tanks = (replace(left, arm_in=60.0), replace(right, arm_in=155.0))
    return replace(plan.aircraft, loading=replace(limits, tanks=tanks, burn_order=order))


def test_the_balance_between_the_ends_decides(plan: Plan) -> None:
    # 1,795 lb at 101.5 in and 200 lb at 103 in, then 22 gal at 60 and at 155 in. With the front
    # tank empty first: (202,792 + 132 x 155) / 2,127 = 104.96 in; with the rear one, 99.07 in.
    flight = replace(loaded(plan, 200.0), fuel_gal={"left": 22.0, "right": 22.0})
    aircraft = aft_tank(plan)
    burn = found(aircraft, flight, "balance_burn")
    limits = replace(
        aircraft.loading,
        envelope_arm_in=np.array([96.0, 96.0, 104.9, 104.9]),
        envelope_lb=np.array([1_700.0, 2_912.0, 2_912.0, 1_700.0]),
    )
    assert burn.verdict is Verdict.INSIDE
    narrow = found(replace(aircraft, loading=limits), flight, "balance_burn")
    assert narrow.value == pytest.approx((202_792.5 + 132.0 * 155.0) / 2_127.0)
    assert narrow.verdict is Verdict.OUTSIDE
    assert narrow.where == "2,127 lb, 22.0 gal left"
    for key in ("balance_ramp", "balance_takeoff", "balance_landing", "balance_zero_fuel"):
        assert found(replace(aircraft, loading=limits), flight, key).verdict is Verdict.INSIDE
    rear_first = replace(limits, burn_order=("right", "left"))
    kept = found(replace(aircraft, loading=rear_first), flight, "balance_burn")
    assert kept.verdict is Verdict.INSIDE
    assert "the manual's order: right, left" in kept.note


def test_what_is_planned_is_looked_at_where_not_every_order_is_inside(plan: Plan) -> None:
    flight = replace(loaded(plan, 200.0), fuel_gal={"left": 22.0, "right": 22.0})
    aircraft = aft_tank(plan)
    draws = [("right", 10.0), ("left", 12.0)]
    findings = loading_findings(aircraft, flight, trip_gal=TRIP_GAL, draws=draws)
    burn = next(one for one in findings if one.limit.key == "airplane.balance_burn")
    assert burn.note.startswith("tanks as planned")
    assert burn.workings[1].startswith("2,199.0 lb at ")  # 2,259 lb less 60 lb from the right


def test_useful_load_left_is_up_to_the_limit_that_is_reached_first(plan: Plan) -> None:
    # Empty 1,795 lb and 200 lb aboard: 755 lb to the zero fuel limit, 650 lb to that of take-off.
    finding = found(plan.aircraft, loaded(plan, 200.0), "weight_takeoff")
    assert finding.note.startswith("useful load left 650 lb;")
    limits = replace(plan.aircraft.loading, max_zero_fuel_lb=2_195.0)
    tight = found(replace(plan.aircraft, loading=limits), loaded(plan, 200.0), "weight_takeoff")
    assert tight.note.startswith("useful load left 200 lb, up to the limit zero fuel;")


def test_the_maneuvering_speed_is_that_of_the_weight(plan: Plan) -> None:
    # 117 kt times the root of 2,250 / 2,900 is 103.05 kt.
    finding = found(plan.aircraft, loaded(plan, 200.0), "weight_takeoff")
    assert finding.note.endswith("maneuvering speed 103 kt at this weight")


@pytest.mark.parametrize(
    ("load_lb", "verdict"), [(120.0, Verdict.INSIDE), (120.1, Verdict.OUTSIDE)]
)
def test_a_station_may_carry_its_limit_and_no_more(
    plan: Plan, load_lb: float, verdict: Verdict
) -> None:
    flight = replace(plan.flight, load_lb={"baggage": load_lb})
    assert found(plan.aircraft, flight, "station_baggage").verdict is verdict


def test_the_workings_add_up_to_the_weight(plan: Plan) -> None:
    finding = found(plan.aircraft, loaded(plan, 200.0), "weight_landing")
    weights_lb = [
        float(words.split(": ")[1].split(" lb")[0].replace(",", "")) for words in finding.workings
    ]
    assert sum(weights_lb[:-1]) == pytest.approx(weights_lb[-1], abs=0.2)
    assert finding.value == pytest.approx(weights_lb[-1], abs=0.05)

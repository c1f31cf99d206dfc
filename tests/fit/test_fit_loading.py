"""Weight and balance of a flight, both sides of each bound; sums made by hand."""

from dataclasses import replace
from typing import Any

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

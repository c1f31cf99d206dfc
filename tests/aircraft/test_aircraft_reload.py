"""The fewest changes of a load: the result is inside, and no fewer would do."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations, product
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lubberline.aircraft import (
    Aircraft,
    Burn,
    LoadingLimits,
    Reload,
    Station,
    Tank,
    arm_margin_in,
    burn_paths,
    burned,
    fewest_changes,
    loaded,
    states,
    tightest,
)
from lubberline.aircraft.reload import BAG_STEP_LB, FUEL_STEP_GAL, MOST_CHANGES
from lubberline.errors import NoSolution

SMALL = LoadingLimits(
    empty_lb=1000.0,
    empty_arm_in=80.0,
    stations=(
        Station(name="seats", arm_in=85.0),
        Station(name="shelf", arm_in=110.0, max_lb=40.0),
        Station(name="tail", arm_in=130.0, max_lb=30.0),
    ),
    tanks=(Tank(name="main", arm_in=90.0, usable_gal=5.0),),
    max_ramp_lb=1250.0,
    max_takeoff_lb=1244.0,
    max_landing_lb=1240.0,
    max_zero_fuel_lb=1225.0,
    envelope_arm_in=np.array([80.0, 80.5, 83.0, 83.0]),
    envelope_lb=np.array([900.0, 1150.0, 1250.0, 900.0]),
    fuel_lb_per_gal=6.0,
)
BURN = Burn(taxi_gal=0.5, trip_gal=1.0, least_gal=2.0)


def inside(
    limits: LoadingLimits, load_lb: dict[str, float], fuel_gal: dict[str, float], burn: Burn
) -> bool:
    """By the definition: four states against weights and envelope, stations against theirs.

    And thirty moments between against the envelope.
    """
    most_lb = {one.name: one.max_lb for one in limits.stations}
    if any(lb > (most_lb[name] or np.inf) + 1e-9 for name, lb in load_lb.items()):
        return False
    at = states(
        limits,
        load_lb=load_lb,
        fuel_gal=fuel_gal,
        taxi_gal=burn.taxi_gal,
        trip_gal=burn.trip_gal,
    )
    rows = (
        (at.ramp, limits.max_ramp_lb),
        (at.takeoff, limits.max_takeoff_lb),
        (at.landing, limits.max_landing_lb),
        (at.zero_fuel, limits.max_zero_fuel_lb or np.inf),
    )
    between = (
        loaded(limits, load_lb=load_lb, fuel_gal=burned(fuel_gal, part * sum(fuel_gal.values())))
        for part in np.linspace(0.0, 1.0, 30)
    )
    return all(
        float(arm_margin_in(limits, one.weight_lb, one.arm_in)) >= -1e-6 for one in between
    ) and all(
        one.weight_lb <= most + 1e-6
        and float(arm_margin_in(limits, one.weight_lb, one.arm_in)) >= -1e-6
        for one, most in rows
    )


def steps_to(most: float, step: float) -> list[float]:
    """Every amount of whole steps below all there is, and all there is."""
    whole = [step * count for count in range(1, 200) if step * count < most]
    return [*whole, most] if most > 0.0 else []


def brute(
    load_lb: dict[str, float], fuel_gal: dict[str, float], count: int
) -> Iterator[tuple[dict[str, float], dict[str, float]]]:
    """Loads after so many changes of bags and fuel, one after the other in plain Python."""
    bags = [one.name for one in SMALL.stations if one.max_lb is not None]
    kinds: list[tuple[str, str]] = [(bag, "") for bag in bags] + [("main", "drain")]
    kinds += [(bag, one.name) for bag in bags for one in SMALL.stations if one.name != bag]
    for chosen in combinations(kinds, count):
        ranges = [
            steps_to(fuel_gal["main"], FUEL_STEP_GAL)
            if kind == "drain"
            else steps_to(load_lb[source], BAG_STEP_LB)
            for source, kind in chosen
        ]
        for amounts in product(*ranges):
            load, fuel = dict(load_lb), dict(fuel_gal)
            for (source, kind), amount in zip(chosen, amounts, strict=True):
                if kind == "drain":
                    fuel[source] -= amount
                else:
                    load[source] -= amount
                    if kind:
                        load[kind] += amount
            drained = fuel["main"] < fuel_gal["main"]
            if min(load.values()) >= 0.0 and not (drained and fuel["main"] < BURN.least_gal):
                yield load, fuel


def changes_are_true(result: Reload, load_lb: dict[str, float], fuel_gal: dict[str, float]) -> None:
    """The changes, made by hand on the old load, give the new one."""
    load, fuel = dict(load_lb), dict(fuel_gal)
    for one in result.changes:
        if one.kind == "drain":
            assert one.weight_lb == pytest.approx(one.drained_gal * 6.0)
            fuel[one.source] -= one.drained_gal
        else:
            load[one.source] -= one.weight_lb
            if one.kind == "move":
                load[one.target] += one.weight_lb
    assert result.load_lb == pytest.approx(load, abs=1e-6)
    assert result.fuel_gal == pytest.approx(fuel, abs=1e-6)


@settings(max_examples=60, deadline=None)
@given(st.integers(80, 200), st.integers(0, 60), st.integers(0, 50), st.integers(0, 5))
def test_the_result_is_inside_and_no_fewer_changes_would_do(
    seats: int, shelf: int, tail: int, fuel: int
) -> None:
    load_lb = {"seats": float(seats), "shelf": float(shelf), "tail": float(tail)}
    fuel_gal = {"main": float(fuel)}
    try:
        result = fewest_changes(SMALL, load_lb=load_lb, fuel_gal=fuel_gal, burn=BURN)
    except NoSolution:
        for count in range(3):
            assert not any(inside(SMALL, *one, BURN) for one in brute(load_lb, fuel_gal, count))
        return
    assert inside(SMALL, dict(result.load_lb), dict(result.fuel_gal), BURN)
    changes_are_true(result, load_lb, fuel_gal)
    assert len(result.changes) <= MOST_CHANGES
    fewer = len(result.changes) if not _from_seats(result) else 3
    for count in range(fewer):
        assert not any(inside(SMALL, *one, BURN) for one in brute(load_lb, fuel_gal, count))


def _from_seats(result: Reload) -> bool:
    return any(one.source == "seats" for one in result.changes)


FRONT: dict[str, float] = {"front": 172.0, "rear": 0.0, "baggage": 30.0}
FULL: dict[str, float] = {"left": 30.0, "right": 30.0}
TRIP = Burn(taxi_gal=1.5, trip_gal=6.0, least_gal=20.0)


def reload(heron: Aircraft, load_lb: dict[str, float], burn: Burn = TRIP) -> Reload:
    return fewest_changes(heron.loading, load_lb=FRONT | load_lb, fuel_gal=FULL, burn=burn)


def test_a_load_that_is_inside_is_left_alone(heron: Aircraft) -> None:
    result = reload(heron, {})
    assert result.changes == ()
    assert result.load_lb == FRONT
    assert result.fuel_gal == FULL


@pytest.mark.parametrize(
    ("load_lb", "words"),
    [
        # 30 lb over what the baggage space may carry, otherwise inside: just these are moved.
        ({"baggage": 150.0}, ["move 30 lb from baggage to front"]),
        # Zero fuel 2,437 lb with 360 lb of fuel is inside; at 2,925 lb the ramp is 13 lb over
        # and take-off after 1.5 gal 16 lb: 3 gal, each 6 lb.
        ({"front": 360.0, "rear": 380.0}, ["drain 3 gal from tank left"]),
    ],
)
def test_one_change_is_enough_where_it_is(
    heron: Aircraft, load_lb: dict[str, float], words: list[str]
) -> None:
    assert [one.words for one in reload(heron, load_lb).changes] == words


def test_fuel_is_not_drained_below_what_the_flight_needs(heron: Aircraft) -> None:
    heavy = {"front": 360.0, "rear": 380.0}
    result = reload(heron, heavy, Burn(taxi_gal=1.5, trip_gal=6.0, least_gal=59.0))
    assert [one.kind for one in result.changes] == ["leave"]
    assert result.fuel_gal == FULL
    unknown = reload(heron, heavy, Burn(taxi_gal=1.5, trip_gal=6.0, least_gal=np.inf))
    assert unknown.changes == result.changes


def test_people_stay_behind_only_where_bags_and_fuel_will_not_do(heron: Aircraft) -> None:
    result = reload(heron, {"front": 400.0, "rear": 600.0, "baggage": 0.0})
    assert {one.source for one in result.changes if one.kind == "leave"} <= {"front", "rear"}
    assert all(one.kind != "move" for one in result.changes)


def test_where_nothing_will_do_it_says_so(heron: Aircraft) -> None:
    limits: Any = heron.loading
    nowhere = LoadingLimits(
        **{
            name: getattr(limits, name)
            for name in LoadingLimits.__dataclass_fields__
            if name not in {"envelope_arm_in"}
        },
        envelope_arm_in=limits.envelope_arm_in + 60.0,
    )
    with pytest.raises(NoSolution, match="no 3 changes bring the load inside"):
        fewest_changes(nowhere, load_lb=FRONT, fuel_gal=FULL, burn=TRIP)


def test_every_order_of_tanks_is_kept_inside(heron: Aircraft) -> None:
    # All four states are inside, but with the tank in front emptied first the arm is 104.96 in.
    left, right = heron.loading.tanks
    limits = replace(
        heron.loading,
        tanks=(replace(left, arm_in=60.0), replace(right, arm_in=155.0)),
        envelope_arm_in=np.array([96.0, 96.0, 104.9, 104.9]),
        envelope_lb=np.array([1_700.0, 2_912.0, 2_912.0, 1_700.0]),
    )
    load_lb, fuel_gal = {"front": 200.0}, {"left": 22.0, "right": 22.0}
    assert inside(limits, load_lb, fuel_gal, TRIP)
    done = fewest_changes(limits, load_lb=load_lb, fuel_gal=fuel_gal, burn=TRIP)
    assert [one.words for one in done.changes] == ["drain 1 gal from tank right"]
    paths = burn_paths(limits, load_lb=done.load_lb, fuel_gal=done.fuel_gal)
    assert tightest(limits, paths).margin_in >= 0.0
    rear_first = replace(limits, burn_order=("right", "left"))
    assert not fewest_changes(rear_first, load_lb=load_lb, fuel_gal=fuel_gal, burn=TRIP).changes

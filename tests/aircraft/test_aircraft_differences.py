"""Two airplanes side by side: only what differs, the most dangerous confusion first."""

from dataclasses import fields, replace
from typing import Any

import pytest

from lubberline.aircraft import Aircraft, Difference, Flap, Oil, Station, Tank, differences
from lubberline.aircraft.difference import SUBJECTS


def speeds(plane: Aircraft, **changed: float | None) -> Aircraft:
    values: dict[str, Any] = changed
    return replace(plane, speeds=replace(plane.speeds, **values))


def only(old: Aircraft, new: Aircraft) -> Difference:
    (one,) = differences(old, new)
    return one


def test_an_airplane_does_not_differ_from_itself(heron: Aircraft) -> None:
    assert differences(heron, heron) == ()


TRAPS: list[tuple[str, float, str]] = [
    # by habit too slow where the new airplane asks for more
    ("final_kt", 81.0, "by habit 6 kt too slow"),
    ("stall_flaps_down_kt", 55.0, "by habit 2 kt too slow"),
    ("stall_clean_kt", 61.0, "by habit 1 kt too slow"),
    ("rotate_kt", 65.5, "by habit 2.5 kt too slow"),
    ("best_glide_kt", 90.0, "by habit 8 kt too slow"),
    ("best_rate_kt", 90.0, "by habit 2 kt too slow"),
    ("best_angle_kt", 76.0, "by habit 2 kt too slow"),
    # by habit too fast where it allows less
    ("flaps_kt", 95.0, "by habit 10 kt too fast"),
    ("maneuvering_kt", 110.0, "by habit 7 kt too fast"),
    ("normal_operating_kt", 140.0, "by habit 5 kt too fast"),
    ("never_exceed_kt", 170.0, "by habit 6 kt too fast"),
    ("gear_operate_kt", 120.0, "by habit 5 kt too fast"),
    ("gear_extended_kt", 125.0, "by habit 5 kt too fast"),
]


@pytest.mark.parametrize(("name", "value_kt", "trap"), TRAPS)
def test_a_speed_is_a_trap_on_its_dangerous_side_only(
    heron: Aircraft, name: str, value_kt: float, trap: str
) -> None:
    other = speeds(heron, **{name: value_kt})
    there, back = only(heron, other), only(other, heron)
    assert there.trap == trap
    assert back.trap == ""
    assert (there.old, there.new) == (back.new, back.old)
    assert there.old == f"{getattr(heron.speeds, name):g} kt"


def test_every_speed_is_compared(heron: Aircraft) -> None:
    named = {"gear_retract_kt", *(name for name, _, _ in TRAPS)}
    assert named == {one.name for one in fields(heron.speeds)}


def test_a_gear_that_goes_up_slower_than_down_is_a_trap(heron: Aircraft) -> None:
    other = speeds(heron, gear_retract_kt=107.0)
    there = only(speeds(heron, gear_retract_kt=None), other)
    assert (there.label, there.old, there.new) == ("gear up speed", "125 kt", "107 kt")
    assert there.trap == "by habit 18 kt too fast"


def test_gear_tailwheel_and_propeller_are_traps_for_who_is_not_used_to_them(
    heron: Aircraft,
) -> None:
    plain = speeds(
        replace(heron, retractable=False, controllable_propeller=False, tailwheel=False),
        gear_operate_kt=None,
        gear_extended_kt=None,
    )
    moving = replace(heron, tailwheel=True)
    found = differences(plain, moving)
    assert [(one.label, one.trap) for one in found if one.trap] == [
        ("gear", "the gear must be put down"),
        ("tailwheel", "it swings on the ground"),
        ("propeller", "power is set by two levers"),
    ]
    (speed,) = [one for one in found if one.label == "gear operating speed"]
    assert (speed.old, speed.new) == ("none", "125 kt")
    assert [one for one in differences(moving, plain) if one.trap] == []


def tanks(plane: Aircraft, **usable_gal: float) -> Aircraft:
    held = tuple(Tank(name=name, arm_in=107.5, usable_gal=gal) for name, gal in usable_gal.items())
    return replace(plane, loading=replace(plane.loading, tanks=held))


def test_other_tanks_and_less_fuel_are_traps(heron: Aircraft) -> None:
    one_tank = only(heron, tanks(heron, both=60.0))
    assert (one_tank.label, one_tank.old, one_tank.new) == ("tanks", "left, right", "both")
    assert one_tank.trap == "other tanks to select"
    less = differences(heron, tanks(heron, left=25.0, right=30.0))
    assert [(one.label, one.trap) for one in less] == [
        ("usable, left", "by habit 5 gal too much"),
        ("usable, all tanks", "by habit 5 gal too much"),
    ]


def test_a_station_that_carries_less_is_a_trap(heron: Aircraft) -> None:
    stations = tuple(
        Station(name=one.name, arm_in=one.arm_in, max_lb=80.0 if one.max_lb else None)
        for one in heron.loading.stations
    )
    other = replace(heron, loading=replace(heron.loading, stations=stations))
    assert only(heron, other).trap == "by habit 40 lb too much"


def test_traps_come_first_then_by_subject_then_the_greater_change(heron: Aircraft) -> None:
    other = replace(
        speeds(heron, final_kt=80.0, stall_clean_kt=70.0, flaps_kt=120.0, best_glide_kt=86.0),
        crosswind_shown_kt=12.0,
        climb_gph=15.0,
    )
    found = differences(heron, other)
    assert [one.label for one in found] == [
        *("stall, clean", "final approach", "best glide", "crosswind shown"),
        *("flaps", "climb flow"),
    ]
    ranks = [(not one.trap, SUBJECTS.index(one.subject)) for one in found]
    assert ranks == sorted(ranks)


def test_what_only_one_file_gives_is_told(heron: Aircraft) -> None:
    silent = replace(heron, crosswind_shown_kt=None)
    gone = only(heron, silent)
    assert (gone.old, gone.new) == ("17 kt", "not given")
    assert only(silent, heron).trap == "a limit that the other file does not give"


def test_things_on_board_of_only_one_are_told(heron: Aircraft) -> None:
    fitted = tuple(one for one in heron.equipment.fitted or () if one != "fuel pump")
    other = replace(heron, equipment=replace(heron.equipment, fitted=fitted))
    pump = only(heron, other)
    assert (pump.label, pump.old, pump.new) == ("fuel pump", "fitted", "not fitted")
    unsaid = replace(heron, equipment=replace(heron.equipment, fitted=None))
    assert only(heron, unsaid).new == "not given"


SYSTEMS: list[tuple[str, str | None, str, str]] = [
    ("fuel_selector", "left, right or both", "left or right", "tanks must be changed in flight"),
    ("fuel_selector", "on or off", "each tank", "tanks must be changed in flight"),
    ("fuel_selector", "left or right", "each tank", "the selector has other positions"),
    ("fuel_selector", "each tank", "on or off", "the selector has other positions"),
    ("boost_pump", "none", "on for landing", "by habit it stays off"),
    ("boost_pump", None, "on for landing", "by habit it stays off"),
    ("boost_pump", "off for landing", "on for landing", "used at other times"),
    ("carburetor_heat", "none", "on below 1,800 rpm", "by habit it stays cold"),
    ("alternate_air", "none", "pull in ice", "by habit it stays shut"),
    ("cowl_flaps", "none", "open in climb", "by habit they stay as they are"),
    ("gear_by_hand", "none", "pump under the seat", "by habit nothing is known of it"),
]


@pytest.mark.parametrize(("name", "before", "now", "trap"), SYSTEMS)
def test_a_system_handled_otherwise_is_a_trap(
    heron: Aircraft, name: str, before: str | None, now: str, trap: str
) -> None:
    def plane(words: str | None) -> Aircraft:
        return replace(heron, systems=replace(heron.systems, **{name: words}))  # type: ignore[arg-type]

    assert only(plane(before), plane(now)).trap == trap
    gone = only(plane(now), plane(None))
    assert (gone.old, gone.new, gone.trap) == (now, "not given", "")


def flapped(plane: Aircraft, *flaps: Flap) -> Aircraft:
    return replace(plane, flaps=flaps)


def test_flap_settings_are_compared_by_name(heron: Aircraft) -> None:
    half, full = Flap(name="half", max_kt=110.0, approach_kt=80.0), Flap(name="full", max_kt=105.0)
    old = flapped(heron, half, full)
    slower = only(old, flapped(heron, replace(half, max_kt=100.0), full))
    assert (slower.label, slower.trap) == ("flaps, half", "by habit 10 kt too fast")
    approach = only(old, flapped(heron, replace(half, approach_kt=85.0), full))
    assert approach.trap == "by habit 5 kt too slow"
    assert differences(old, flapped(heron, half, replace(full, max_kt=95.0))) == ()
    other = only(old, flapped(heron, half))
    assert (other.old, other.new) == ("half, full", "half")
    assert other.trap == "other settings to select"
    assert only(old, flapped(heron)).trap == ""


def test_only_limitations_of_the_new_airplane_are_told(heron: Aircraft) -> None:
    plain = replace(heron, systems=replace(heron.systems, limitations=None))
    bound = replace(heron, systems=replace(heron.systems, limitations=("no slips",)))
    assert only(plain, bound).new == "no slips"
    assert differences(bound, plain) == ()


def test_more_oil_and_fuel_asked_for_are_traps(heron: Aircraft) -> None:
    few = replace(heron, oil=Oil(min_qt=5.0), systems=replace(heron.systems, fuel_min_gal=8.0))
    oil = only(few, replace(few, oil=Oil(min_qt=6.0)))
    assert oil.trap == "by habit 1 qt too little"
    fuel = only(few, replace(few, systems=replace(few.systems, fuel_min_gal=10.0)))
    assert fuel.trap == "by habit 2 gal too little"


def test_equipment_that_only_the_new_airplane_must_have_is_told(heron: Aircraft) -> None:
    asked = (*(heron.equipment.required or ()), "radio")
    other = replace(heron, equipment=replace(heron.equipment, required=asked))
    told = only(heron, other)
    assert (told.label, told.new) == ("radio", "must work")
    assert differences(other, heron) == ()


def loading(plane: Aircraft, **changed: Any) -> Aircraft:
    return replace(plane, loading=replace(plane.loading, **changed))


def test_how_tanks_are_to_be_burned_is_compared(heron: Aircraft) -> None:
    ordered = loading(heron, burn_order=("left", "right"))
    there = only(heron, ordered)
    assert (there.label, there.new, there.trap) == (
        *("order of tanks", "left, right", "emptied in an order"),
    )
    assert only(ordered, heron).trap == ""
    level = only(heron, loading(heron, imbalance_max_gal=6.0))
    assert level.trap == "by habit 4 gal too much"


def test_a_lower_zero_fuel_weight_is_a_trap(heron: Aircraft) -> None:
    assert only(heron, loading(heron, max_zero_fuel_lb=2_700.0)).trap == "by habit 50 lb too heavy"

"""What must be on board against 14 CFR 91.205, and the steps of 91.213(d).

91.205(b) paragraphs (1) to (12) and (14), (c)(3) to (6): read 2026-11-25 in the edition of 2014;
(b)(13), (15), (16) and (c)(2): list read, wording and the day in (16) from memory. 91.213(d),
91.215(b), 91.225: read 2026-11-25. 91.131: memory.
"""

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import lubberline
from lubberline.aircraft import Aircraft, Equipment, Inoperative, read_aircraft
from lubberline.fit.operation import Operation
from lubberline.fit.us.equipment import Scene, equipment_findings
from lubberline.fit.us.needed import needs
from lubberline.line import Finding, Verdict

HERON = read_aircraft(
    Path(lubberline.__file__).parent / "demo" / "files" / "aircraft" / "heron.toml"
)
DAY = date(2026, 11, 25)
BY_DAY = Scene(day=DAY, night=False, operation=Operation(hire="none"), classes=frozenset("EG"))
BY_NIGHT = replace(BY_DAY, night=True)
FOR_HIRE = replace(BY_NIGHT, operation=Operation(hire="persons", carries_persons=True))
LAMP = HERON.equipment.inoperative[0]
DEFERRED = {
    "type_certificate": False,
    "directive": False,
    "deactivated": True,
    "took_maintenance": False,
    "placarded": True,
    "no_hazard_by": "A. Example, pilot",
}


def plane(retractable: bool = True, **changes: Any) -> Aircraft:
    equipment = replace(HERON.equipment, inoperative=(), **changes)
    return replace(HERON, equipment=equipment, retractable=retractable)


def asked(aircraft: Aircraft, scene: Scene = BY_DAY) -> set[str]:
    found = needs(aircraft, night=scene.night, for_hire=scene.operation.for_hire)
    return {need.name for need in found if need.applies}


def on_board(aircraft: Aircraft, scene: Scene = BY_DAY) -> Finding:
    return equipment_findings(aircraft, scene)[0]


def deferred(scene: Scene = BY_DAY, name: str = "cabin lamp", **changes: Any) -> Finding:
    one = Inoperative(name=name, **{**DEFERRED, **changes})
    aircraft = replace(HERON, equipment=replace(HERON.equipment, inoperative=(one,)))
    return equipment_findings(aircraft, scene)[1]


ALWAYS = {
    *("airspeed indicator", "altimeter", "magnetic compass", "tachometer", "oil pressure gauge"),
    *("oil temperature gauge", "fuel gauge left", "fuel gauge right", "safety belts", "ELT"),
    *("gear position indicator", "front shoulder harness"),
}


def test_the_list_by_day() -> None:
    assert asked(plane()) == ALWAYS


def test_the_list_by_night() -> None:
    more = {"position lights", "anticollision lights", "electrical source"}
    assert asked(plane(), BY_NIGHT) == ALWAYS | more
    assert asked(plane(), FOR_HIRE) == ALWAYS | more | {"landing light"}


@pytest.mark.parametrize(
    ("changes", "gained", "lost"),
    [
        ({"cooling": "liquid"}, {"coolant temperature gauge"}, {"oil temperature gauge"}),
        ({"altitude_engine": True}, {"manifold pressure gauge"}, set()),
        ({"retractable": False}, set(), {"gear position indicator"}),
        ({"certificated_on": date(1996, 3, 11)}, set(), set()),
        ({"certificated_on": date(1996, 3, 12)}, {"anticollision lights"}, set()),
        ({"manufactured_on": date(1978, 7, 18)}, set(), {"front shoulder harness"}),
        ({"manufactured_on": date(1978, 7, 19)}, set(), set()),
        ({"manufactured_on": date(1986, 12, 12)}, set(), set()),
        ({"manufactured_on": date(1986, 12, 13)}, {"rear shoulder harness"}, set()),  # memory
    ],
)
def test_what_the_list_depends_on(
    changes: dict[str, Any], gained: set[str], lost: set[str]
) -> None:
    assert asked(plane(**changes)) == (ALWAYS | gained) - lost


def test_fuses_are_carried_where_there_are_any() -> None:
    assert "spare fuses" in asked(plane(has_fuses=True), BY_NIGHT)
    assert "spare fuses" not in asked(plane(has_fuses=True), BY_DAY)


def test_all_on_board_is_inside() -> None:
    assert on_board(plane()).verdict is Verdict.INSIDE
    assert on_board(plane(), BY_NIGHT).verdict is Verdict.INSIDE


@pytest.mark.parametrize("name", sorted(ALWAYS | {"stall warning", "fuel pump"}))
def test_each_thing_asked_for_that_is_not_fitted_is_named(name: str) -> None:
    fitted = tuple(one for one in HERON.equipment.fitted or () if one != name)
    found = on_board(plane(fitted=fitted))
    assert found.verdict is Verdict.OUTSIDE
    assert found.value == 1.0
    assert name in found.note


def test_what_is_asked_for_and_does_not_work_is_missing() -> None:
    broken = replace(HERON.equipment, inoperative=(Inoperative(name="altimeter"),))
    found = on_board(replace(HERON, equipment=broken))
    assert found.verdict is Verdict.OUTSIDE
    assert "altimeter (91.205(b)(2))" in found.note


def test_the_own_list_has_a_part_for_the_night() -> None:
    fitted = tuple(one for one in HERON.equipment.fitted or () if one != "panel lights")
    assert on_board(plane(fitted=fitted)).verdict is Verdict.INSIDE
    assert on_board(plane(fitted=fitted), BY_NIGHT).verdict is Verdict.OUTSIDE


@pytest.mark.parametrize(
    ("changes", "missing"),
    [
        ({"fitted": None}, "equipment.fitted"),
        ({"required": None}, "equipment.required"),
        (
            {"altitude_engine": None, "fitted": tuple(ALWAYS | {"stall warning", "fuel pump"})},
            "equipment.altitude_engine",
        ),
        ({"manufactured_on": None}, "equipment.manufactured_on"),
    ],
)
def test_what_was_not_said_is_unknown_and_named(changes: dict[str, Any], missing: str) -> None:
    found = on_board(plane(**changes))
    assert found.verdict is Verdict.UNKNOWN
    assert missing in found.missing


def test_what_is_fitted_anyway_needs_no_answer() -> None:
    assert on_board(plane(altitude_engine=None)).verdict is Verdict.INSIDE


def test_a_day_from_memory_says_so_where_it_decides() -> None:
    found = on_board(plane(manufactured_on=date(1990, 1, 1)))
    assert found.verdict is Verdict.OUTSIDE
    assert "rear shoulder harness: the rule's date is from memory" in found.note


def test_an_item_that_nothing_asks_for_may_stay_out_of_use() -> None:
    found = deferred()
    assert found.verdict is Verdict.INSIDE
    assert found.note == (
        "no type certification for day VFR asks for it; not on the airplane's own required list;"
        " 91.205 does not ask for it by day; no rule on airspace asks for it;"
        " no directive asks for it; deactivated; placarded; no hazard, found by A. Example, pilot"
    )


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"type_certificate": True}, "a type certification for day VFR asks for it"),
        ({"directive": True}, "a directive asks for it"),
        ({"other_rule": True}, "another rule asks for it, as stated"),
        ({"name": "stall warning"}, "on the airplane's own required list"),
        ({"name": "altimeter"}, "91.205(b)(2) asks for it by day"),
        ({"deactivated": False}, "not deactivated"),
        ({"placarded": False}, "not placarded"),
        ({"took_maintenance": True}, "took maintenance, not recorded"),
        ({"removed": True}, "removed, not recorded"),
    ],
)
def test_one_step_that_is_not_met_keeps_it_on_the_ground(
    changes: dict[str, Any], told: str
) -> None:
    found = deferred(**changes)
    assert found.verdict is Verdict.OUTSIDE
    assert found.value == 1.0
    assert told in found.note


@pytest.mark.parametrize(
    ("changes", "missing"),
    [
        ({"type_certificate": None}, "type_certificate of equipment.inoperative 'cabin lamp'"),
        ({"directive": None}, "directive of equipment.inoperative"),
        ({"deactivated": None}, "deactivated of equipment.inoperative"),
        ({"placarded": None}, "placarded of equipment.inoperative"),
        ({"took_maintenance": None}, "took_maintenance of equipment.inoperative"),
        ({"no_hazard_by": ""}, "no_hazard_by of equipment.inoperative"),
    ],
)
def test_one_step_that_was_not_looked_at_leaves_it_unknown(
    changes: dict[str, Any], missing: str
) -> None:
    found = deferred(**changes)
    assert found.verdict is Verdict.UNKNOWN
    assert missing in found.missing


def test_removed_and_recorded_serves_like_deactivated() -> None:
    found = deferred(removed=True, deactivated=None, recorded="airframe log, page 78")
    assert found.verdict is Verdict.INSIDE
    assert "removed, recorded in airframe log, page 78" in found.note


def test_maintenance_that_was_recorded_is_met() -> None:
    found = deferred(took_maintenance=True, recorded="airframe log, page 78")
    assert found.verdict is Verdict.INSIDE


@pytest.mark.parametrize(
    ("name", "day", "night", "for_hire"),
    [
        ("landing light", Verdict.INSIDE, Verdict.INSIDE, Verdict.OUTSIDE),
        ("position lights", Verdict.INSIDE, Verdict.OUTSIDE, Verdict.OUTSIDE),
        ("panel lights", Verdict.INSIDE, Verdict.OUTSIDE, Verdict.OUTSIDE),
        ("anticollision lights", Verdict.INSIDE, Verdict.OUTSIDE, Verdict.OUTSIDE),
        ("attitude indicator", Verdict.INSIDE, Verdict.INSIDE, Verdict.INSIDE),
    ],
)
def test_light_and_hire_decide(name: str, day: Verdict, night: Verdict, for_hire: Verdict) -> None:
    found = [deferred(scene, name).verdict for scene in (BY_DAY, BY_NIGHT, FOR_HIRE)]
    assert found == [day, night, for_hire]


def test_hire_that_was_not_said_leaves_the_landing_light_open() -> None:
    scene = replace(BY_NIGHT, operation=Operation(carries_persons=True))
    found = deferred(scene, "landing light")
    assert found.verdict is Verdict.UNKNOWN
    assert found.missing == "hire in flight.toml"


@pytest.mark.parametrize(
    ("name", "classes", "top_msl_ft", "verdict"),
    [
        ("transponder", "EG", 9_999.0, Verdict.UNKNOWN),
        ("transponder", "EG", 10_000.0, Verdict.OUTSIDE),
        ("transponder", "CG", 2_000.0, Verdict.OUTSIDE),
        ("transponder", "DG", 2_000.0, Verdict.UNKNOWN),
        ("ADS-B Out", "BG", 2_000.0, Verdict.OUTSIDE),
        ("radio", "DG", 2_000.0, Verdict.OUTSIDE),
        ("radio", "EG", 12_000.0, Verdict.UNKNOWN),
    ],
)
def test_airspace_asks_for_what_it_asks_for(
    name: str, classes: str, top_msl_ft: float, verdict: Verdict
) -> None:
    scene = replace(BY_DAY, classes=frozenset(classes), top_msl_ft=top_msl_ft)
    assert deferred(scene, name).verdict is verdict


def test_a_statement_settles_only_what_no_class_decides() -> None:
    quiet, busy = (replace(BY_DAY, classes=frozenset(letters)) for letters in ("EG", "C"))
    assert deferred(quiet, "transponder", other_rule=False).verdict is Verdict.INSIDE
    assert deferred(busy, "transponder", other_rule=False).verdict is Verdict.OUTSIDE


def test_an_approved_list_takes_the_place_of_these_steps() -> None:
    equipment = replace(HERON.equipment, has_list=True)
    found = equipment_findings(replace(HERON, equipment=equipment), BY_DAY)[1]
    assert found.verdict is Verdict.UNKNOWN
    assert "minimum equipment list" in found.missing


def test_what_failed_after_the_day_of_the_flight_still_worked() -> None:
    assert LAMP.since is not None
    before = replace(BY_DAY, day=LAMP.since - timedelta(days=1))
    assert len(equipment_findings(HERON, before)) == 1
    assert len(equipment_findings(HERON, replace(BY_DAY, day=LAMP.since))) == 2


CHOICE = st.sampled_from([True, False, None])


@given(CHOICE, CHOICE, CHOICE, CHOICE, CHOICE, st.booleans(), st.sampled_from(["", "log"]))
def test_it_is_inside_only_when_every_step_is_met(
    type_certificate: bool | None,
    directive: bool | None,
    deactivated: bool | None,
    placarded: bool | None,
    took_maintenance: bool | None,
    removed: bool,
    recorded: str,
) -> None:
    """Against the steps written as one condition."""
    out_of_use = (
        (removed and bool(recorded))
        or (not removed and deactivated is True and took_maintenance is False)
        or (not removed and deactivated is True and took_maintenance is True and bool(recorded))
    )
    allowed = type_certificate is False and directive is False and placarded is True and out_of_use
    found = deferred(
        type_certificate=type_certificate,
        directive=directive,
        deactivated=deactivated,
        placarded=placarded,
        took_maintenance=took_maintenance,
        removed=removed,
        recorded=recorded,
    )
    assert (found.verdict is Verdict.INSIDE) == allowed


def test_an_airplane_without_any_equipment_on_file_is_unknown() -> None:
    (found,) = equipment_findings(replace(HERON, equipment=Equipment()), BY_DAY)
    assert found.verdict is Verdict.UNKNOWN

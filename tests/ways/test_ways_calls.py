"""The radio ladder of the demo's ways: order, standby, places of the calls."""

from dataclasses import replace

import pytest

from lubberline.loop import Prepared
from lubberline.places import Aerodrome
from lubberline.ways import (
    Call,
    Way,
    asked,
    evaluate,
    problem_from_plan,
    radio_calls,
    speaker,
    way_down,
)


def way_named(prepared: Prepared, name: str) -> Way:
    return next(one for one in prepared.ways if one.name == name)


@pytest.fixture
def through(prepared: Prepared) -> Way:
    return way_named(prepared, "direct through Sedge")


@pytest.fixture
def ladder(prepared: Prepared, through: Way) -> tuple[Call, ...]:
    return radio_calls(prepared.plan, through)


def rung(ladder: tuple[Call, ...], facility: str) -> Call:
    return next(one for one in ladder if one.facility == facility)


def with_field(prepared: Prepared, field: Aerodrome) -> Prepared:
    places = prepared.plan.places
    fields = {**places.aerodromes, field.id: field}
    return replace(prepared, plan=replace(prepared.plan, places=replace(places, aerodromes=fields)))


def test_the_ladder_leads_from_stand_to_stand(ladder: tuple[Call, ...]) -> None:
    assert [one.facility for one in ladder] == [
        *("Wren Island weather", "Wren Island", "Wren Island"),
        *("Marl ATIS", "Sedge Tower", "Marl Tower", "Marl Ground"),
    ]
    assert [one.moment for one in ladder] == ["stand", "stand", "runway", *["air"] * 3, "landed"]
    minutes = [one.spot.after_min for one in ladder]
    assert minutes == sorted(minutes)


def test_beside_each_frequency_the_next_is_set(ladder: tuple[Call, ...]) -> None:
    assert ladder[0].standby_mhz == 122.800
    assert [one.standby_mhz for one in ladder[1:3]] == [125.900, 125.900]
    assert ladder[-1].standby_mhz is None


def test_a_tower_is_called_in_time_before_its_airspace(ladder: tuple[Call, ...]) -> None:
    sedge = rung(ladder, "Sedge Tower")
    assert sedge.have_by is not None
    assert sedge.have_by.after_min - sedge.spot.after_min >= 5.0
    assert (sedge.need, sedge.by_law, sedge.heard) == ("two-way contact", True, True)


def test_the_next_tower_is_called_when_the_last_is_left(
    prepared: Prepared, through: Way, ladder: tuple[Call, ...]
) -> None:
    told = {one.volume.name: one for one in asked(speaker(prepared.plan, through))}
    assert rung(ladder, "Marl Tower").spot.after_min >= told["Sedge"].leave_min
    assert told["Marl"].call_at == rung(ladder, "Marl Tower").spot


def test_a_broadcast_is_heard_before_the_call_that_names_it(ladder: tuple[Call, ...]) -> None:
    atis, tower = rung(ladder, "Marl ATIS"), rung(ladder, "Marl Tower")
    assert atis.phrase == ""
    assert atis.heard
    assert tower.spot.after_min - atis.spot.after_min >= 5.0
    assert "information [letter]" in tower.phrase


def test_the_weather_is_heard_in_time_to_settle_the_arrival(prepared: Prepared) -> None:
    for way in prepared.ways:
        down = way_down(way, prepared.plan.destination)
        assert down is not None
        heard_min = rung(radio_calls(prepared.plan, way), "Marl ATIS").spot.after_min
        assert down.from_min - heard_min >= 5.0
        assert float(way.path[-1, 3]) - heard_min >= 15.0


def test_a_tower_behind_a_hill_is_called_where_it_is_in_sight(prepared: Prepared) -> None:
    south = way_named(prepared, "south round by the gap")
    tower = rung(radio_calls(prepared.plan, south), "Marl Tower")
    assert tower.heard
    assert tower.with_whom == "Gannet Approach"


def test_radar_is_asked_for_advisories_unless_the_pilot_does_not_want_them(
    prepared: Prepared,
) -> None:
    plan, south = prepared.plan, way_named(prepared, "south round by the gap")
    assert "flight following" in rung(radio_calls(plan, south), "Gannet Approach").asks
    alone = replace(plan, flight=replace(plan.flight, flight_following=False))
    assert all(one.facility != "Gannet Approach" for one in radio_calls(alone, south))


def test_own_margins_ask_without_law(prepared: Prepared) -> None:
    over = way_named(prepared, "over the top with Gannet")
    ladder = radio_calls(prepared.plan, over)
    assert rung(ladder, "Gannet Approach").by_law
    assert not rung(ladder, "Sedge Tower").by_law


def test_a_field_without_a_tower_is_told_at_ten_miles(prepared: Prepared, through: Way) -> None:
    marl = prepared.plan.destination
    ctaf = replace(marl.radios[0], facility="Marl common", use="ctaf", frequency_mhz=122.7)
    plan = with_field(prepared, replace(marl, radios=(ctaf,))).plan
    bare = replace(through, encounters=())
    ladder = radio_calls(plan, bare)
    told = rung(ladder, "Marl common")
    assert told.asks == "announce"
    assert told.phrase.startswith("Marl traffic, Heron")
    assert told.phrase.endswith(", Marl")
    assert "one zero miles" in told.phrase


def test_fields_without_any_radio_have_no_calls(prepared: Prepared, through: Way) -> None:
    plan = prepared.plan
    for field in plan.places.aerodromes.values():
        plan = with_field(replace(prepared, plan=plan), replace(field, radios=())).plan
    assert radio_calls(plan, replace(through, encounters=())) == ()


def test_a_volume_whose_facility_is_not_on_file_says_so(prepared: Prepared, through: Way) -> None:
    nobody = tuple(
        replace(one, volume=replace(one.volume, facility="", frequency_mhz=None))
        for one in through.encounters
    )
    plan = prepared.plan
    for field in plan.places.aerodromes.values():
        plan = with_field(replace(prepared, plan=plan), replace(field, radios=())).plan
    (first, *_) = radio_calls(plan, replace(through, encounters=nobody))
    assert first.facility == "facility not on file"
    assert first.frequency_mhz is None
    assert first.heard is None


def test_a_towered_field_is_left_through_ground_and_tower(prepared: Prepared) -> None:
    plan = prepared.plan
    back = replace(
        plan, flight=replace(plan.flight, departure_id="QMRL", destination_id="QWRN", candidates=())
    )
    way = evaluate(
        problem_from_plan(back, 2_500.0),
        "back",
        via=(),
        cruise_msl_ft=2_500.0,
        permissions=frozenset({"sedge-tower", "marl-tower"}),
    )
    ladder = radio_calls(back, way)
    assert [one.facility for one in ladder[:3]] == ["Marl ATIS", "Marl Ground", "Marl Tower"]
    assert sum(one.facility == "Marl Tower" for one in ladder) == 1  # its airspace is let out of
    assert [one.asks for one in ladder[-2:]] == ["announce", "announce"]


def test_a_broadcast_comes_before_the_call_even_on_the_shortest_flight(prepared: Prepared) -> None:
    plan = prepared.plan
    near = replace(plan, flight=replace(plan.flight, departure_id="QMRL", destination_id="QGNT"))
    way = evaluate(
        problem_from_plan(near, 2_500.0),
        "hop",
        via=(),
        cruise_msl_ft=2_500.0,
        permissions=frozenset({"gannet-approach", "marl-tower"}),
    )
    names = [one.facility for one in radio_calls(near, way)]
    assert names.index("Gannet ATIS") < names.index("Gannet Tower")

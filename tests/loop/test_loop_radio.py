"""The plan of calls with its times, settings, runway, and what stays legal unanswered."""

from dataclasses import replace

import pytest

from lubberline.loop import Prepared, RadioCall, RadioPlan, radio_plan, radio_record
from lubberline.places import Circle
from lubberline.ways import Spot, Violation

BROKEN = Violation(
    rule="terrain",
    what="too near to the ground",
    spot=Spot(after_min=1.0, lat_deg=41.0, lon_deg=-131.0, msl_ft=500.0),
)


def way_number(prepared: Prepared, name: str) -> int:
    return next(n for n, one in enumerate(prepared.ways, 1) if one.name == name)


def planned(prepared: Prepared, name: str) -> RadioPlan:
    way = prepared.ways[way_number(prepared, name) - 1]
    return radio_plan(replace(prepared, way=way), way)


@pytest.fixture
def through(prepared: Prepared) -> RadioPlan:
    return planned(prepared, "direct through Sedge")


def call(plan: RadioPlan, facility: str) -> RadioCall:
    return next(one for one in plan.calls if one.rung.facility == facility)


def test_calls_have_the_times_of_the_flight(prepared: Prepared, through: RadioPlan) -> None:
    times = [one.at_utc for one in through.calls]
    assert times == sorted(times)
    assert times[0] == prepared.plan.flight.off_block_utc
    sedge = call(through, "Sedge Tower")
    assert sedge.have_by_utc is not None
    assert sedge.have_by_utc > sedge.at_utc


def test_each_call_comes_with_the_setting_of_the_station_nearest_then(through: RadioPlan) -> None:
    assert through.calls[0].station == "QWRN"
    assert through.calls[-1].station == "QMRL"
    assert all(one.altimeter_inhg is not None for one in through.calls)


def test_the_runway_is_in_the_phrase(through: RadioPlan) -> None:
    phrases = [one.rung.phrase for one in through.calls]
    assert not any("[runway]" in words for words in phrases)
    assert any("departing runway two five" in words for words in phrases)


def test_unheard_one_stays_out_and_takes_a_way_that_does_without(
    prepared: Prepared, through: RadioPlan
) -> None:
    words = call(through, "Sedge Tower").unanswered
    assert words.startswith("stay out: turn away at the latest ")
    without = way_number(prepared, "over the top with Gannet")  # passes above by own margins
    assert f"way {without} " in words


def test_without_a_radio_the_way_that_needs_only_the_tower_at_the_end_stays_legal(
    prepared: Prepared, through: RadioPlan
) -> None:
    assert through.fallback == way_number(prepared, "south round by the gap")
    assert any("light" in words or "steady green" in words for words in through.lost)


def test_a_way_that_breaks_a_rule_is_no_fallback(prepared: Prepared) -> None:
    ways = tuple(
        replace(one, violations=(BROKEN,)) if one.name == "south round by the gap" else one
        for one in prepared.ways
    )
    plan = radio_plan(replace(prepared, ways=ways, way=ways[0]), ways[0])
    assert plan.fallback is None
    assert any("no way on file" in words for words in plan.lost)


def test_own_margins_close_nothing_when_nobody_answers(prepared: Prepared) -> None:
    over = planned(prepared, "over the top with Gannet")
    assert "own margins" in call(over, "Sedge Tower").unanswered


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("south round by the gap", "requested from Gannet Approach"),
        ("direct through Sedge", "not requested: no approach facility"),
    ],
)
def test_whether_advisories_are_asked_for_is_said(
    prepared: Prepared, name: str, words: str
) -> None:
    assert planned(prepared, name).following.startswith(words)


def test_the_record_has_one_row_for_each_call(through: RadioPlan) -> None:
    record = radio_record(through)
    assert [one["number"] for one in record["calls"]] == list(range(1, len(through.calls) + 1))
    assert {"facility", "frequency_mhz", "standby_mhz", "phrase"} <= set(record["calls"][0])


def test_no_runway_is_said_where_nobody_knows_the_wind(prepared: Prepared) -> None:
    weather = replace(prepared.plan.weather, reports={}, forecasts={})
    silent = replace(prepared, plan=replace(prepared.plan, weather=weather))
    phrases = [one.rung.phrase for one in radio_plan(silent, silent.way).calls]
    assert sum("runway [runway]" in words for words in phrases) == 3
    flight = replace(silent.plan.flight, departure_runway="07", destination_runway="12")
    asked = replace(silent, plan=replace(silent.plan, flight=flight))
    phrases = [one.rung.phrase for one in radio_plan(asked, asked.way).calls]
    assert not any("[runway]" in words for words in phrases)


def test_fields_where_somebody_has_to_answer_are_no_refuge(
    prepared: Prepared, through: RadioPlan
) -> None:
    assert through.lost[-1] == "fields where nobody has to answer: QWRN, QHVN"
    places = prepared.plan.places
    over_haven = [
        replace(one, footprint=replace(one.footprint, lat_deg=40.8015, lon_deg=-130.9868))
        for one in places.volumes
        if one.id == "QV-SEDGE" and isinstance(one.footprint, Circle)
    ]
    changed = replace(places, volumes=(*places.volumes, *over_haven))
    inside = replace(prepared, plan=replace(prepared.plan, places=changed))
    assert radio_plan(inside, inside.way).lost[-1].endswith(": QWRN")

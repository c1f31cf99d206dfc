"""Heights to keep, ways in, fields to divert to, gates: held to the plan they come from."""

from collections.abc import Sequence
from dataclasses import replace
from math import ceil, floor
from typing import Literal

import pytest

from lubberline.card.bounds import stretch_rows
from lubberline.card.divert import divert_rows
from lubberline.card.entry import entry_rows, inbound_deg, joins
from lubberline.card.facts import wind_figures
from lubberline.card.gates import gate_rows
from lubberline.card.legs import leg_rows
from lubberline.card.rows import NAME_SIGNS, short
from lubberline.earth import course_and_distance, flat_terrain
from lubberline.fit import fuel_plan, rules_of, settings
from lubberline.flight import Plan
from lubberline.loop import Prepared
from lubberline.units import FT_PER_NM
from lubberline.ways import Way
from lubberline.ways.room import margins_of
from lubberline.weather import Conditions, Wind


def way_named(prepared: Prepared, name: str) -> Way:
    return next(way for way in prepared.ways if way.name == name)


@pytest.mark.parametrize(
    ("text", "most", "cut"),
    [
        ("Gull Light", 17, "Gull Light"),
        ("x" * 17, 17, "x" * 17),
        ("abcdefghijklmnopqr", 17, "abcdefghij…mnopqr"),
        ("over the middle of it", 12, "over th…f it"),
    ],
)
def test_a_long_name_loses_its_middle(text: str, most: int, cut: str) -> None:
    assert short(text, most) == cut
    assert len(short(text * 9)) <= NAME_SIGNS


def test_a_shelf_above_bounds_the_height_by_its_floor_less_the_margin(prepared: Prepared) -> None:
    way = way_named(prepared, "direct through Sedge")
    volumes = {one.name: one for one in prepared.plan.places.volumes}
    rows = [row for row in stretch_rows(prepared.plan, way) if row.most]
    assert rows[0].most_why == "Gannet west shelf (B)"
    floor_ft = volumes["Gannet west shelf"].floor.ft
    margin_ft = prepared.plan.pilot.own.airspace_vertical_ft
    assert float(rows[0].most.replace(",", "")) == floor_ft - margin_ft


def test_the_way_itself_keeps_every_height_that_it_is_told(prepared: Prepared) -> None:
    for way in prepared.ways:
        heights = {leg.to_name: leg.to_msl_ft for leg in way.legs}
        for row in stretch_rows(prepared.plan, way):
            name = next(one for one in heights if short(one) == row.to)
            if row.most:
                assert heights[name] <= float(row.most.replace(",", "")) + 1.0
            if row.least_why == "ground":
                assert heights[name] >= float(row.least.replace(",", "")) - 1.0


def test_the_card_keeps_the_room_that_altimeter_and_hand_need(prepared: Prepared) -> None:
    way = way_named(prepared, "direct through Sedge")
    swaying = replace(prepared.plan, pilot=replace(prepared.plan.pilot, height_keeping_ft=700.0))
    room_ft = margins_of(swaying).vertical_ft
    assert room_ft > swaying.pilot.own.airspace_vertical_ft
    lower = replace(way, path=way.path * [1.0, 1.0, 0.5, 1.0])
    shelf = next(one for one in swaying.places.volumes if one.name == "Gannet west shelf")
    most_ft = [float(row.most.replace(",", "")) for row in stretch_rows(swaying, lower) if row.most]
    assert most_ft[0] == floor((shelf.floor.ft - room_ft) / 10.0) * 10.0


def test_what_may_be_entered_bounds_nothing(prepared: Prepared) -> None:
    way = way_named(prepared, "direct through Sedge")
    asked = replace(way, permissions=way.permissions | {"gannet-approach"})
    assert not any(row.most for row in stretch_rows(prepared.plan, asked))


def test_below_the_airplane_a_ceiling_bounds_the_height(prepared: Prepared) -> None:
    way = way_named(prepared, "over the top with Gannet")
    without = replace(way, permissions=way.permissions - {"sedge-tower"})
    whys = [row.least_why for row in stretch_rows(prepared.plan, without)]
    assert "Sedge (D)" in whys


def test_ground_that_is_not_known_bounds_by_what_is_not_known(prepared: Prepared) -> None:
    nowhere = replace(prepared.plan.terrain, tiles=())
    rows = list(stretch_rows(replace(prepared.plan, terrain=nowhere), prepared.way))
    assert "?" in [row.least for row in rows if row.least_why == "ground"]


def test_a_glide_goes_as_far_as_the_manual_s_ratio(prepared: Prepared) -> None:
    plan = replace(prepared.plan, terrain=flat_terrain(100.0))
    departure = settings(plan, prepared.way)[0]
    rows = leg_rows(plan, prepared.way, departure, fuel_plan(plan, prepared.way, rules_of(plan)))
    told = {row.to: row.glide for row in rows}
    pattern_ft = plan.destination.elev_msl_ft + plan.destination.pattern_agl_ft
    for leg in prepared.way.legs:
        end_ft = pattern_ft if leg is prepared.way.legs[-1] else leg.to_msl_ft
        reach_nm = (end_ft - 100.0) * plan.aircraft.glide_ratio / FT_PER_NM
        assert reach_nm - 0.11 <= float(told[short(leg.to_name)]) <= max(reach_nm, 0.0) + 0.01


# Relative to a landing to the north: from which course, with the pattern on which side.
@pytest.mark.parametrize(
    ("inbound_true_deg", "side", "first"),
    [
        (0.0, "left", "final"),
        (350.0, "right", "final"),
        (90.0, "left", "base"),
        (270.0, "right", "base"),
        (135.0, "left", "downwind"),
        (180.0, "left", "downwind"),
        (180.0, "right", "downwind"),
        (225.0, "right", "downwind"),
    ],
)
def test_the_likeliest_entry_turns_least(
    prepared: Prepared, inbound_true_deg: float, side: Literal["left", "right"], first: str
) -> None:
    to = settings(prepared.plan, prepared.way)[1]
    to = replace(to, end=replace(to.end, true_deg=0.0, pattern_side=side))
    legs = tuple(replace(leg, true_deg=inbound_true_deg) for leg in prepared.way.legs)
    way = replace(prepared.way, legs=legs)
    assert inbound_deg(way, to) == pytest.approx((inbound_true_deg + 180.0) % 360.0 - 180.0)
    assert joins(way, to) == first
    rows = list(entry_rows(way, to))
    assert 1 <= len(rows) <= 2
    if first in ("base", "downwind"):
        assert rows[0].how.startswith(f"{side} {first} ")
        assert rows[0].say.startswith(f"enter {side} {first} runway ")


def test_without_a_tower_the_other_side_is_crossed_to_and_announced(prepared: Prepared) -> None:
    to = settings(prepared.plan, prepared.way)[1]
    quiet = replace(to.aerodrome, radios=())
    to = replace(to, aerodrome=quiet, end=replace(to.end, true_deg=0.0, pattern_side="left"))
    legs = tuple(replace(leg, true_deg=270.0) for leg in prepared.way.legs)
    row = next(entry_rows(replace(prepared.way, legs=legs), to))
    over_ft = quiet.elev_msl_ft + quiet.pattern_agl_ft + 500.0
    assert row.how.startswith(f"over the middle, {over_ft:,.0f} ft, left downwind ")
    assert row.say == f"Marl traffic, left downwind {to.end.name}"


def test_a_divert_field_is_as_far_as_it_is(prepared: Prepared) -> None:
    plan, way = prepared.plan, prepared.way
    halfway, over = divert_rows(plan, way, weight_lb=2_250.0)
    field, end = plan.alternates[0], plan.destination
    away_nm = float(course_and_distance(end.lat_deg, end.lon_deg, field.lat_deg, field.lon_deg)[1])
    assert (halfway.start, over.start) == ("halfway", "over QMRL")
    assert halfway.field == over.field == field.id
    assert float(over.distance) == pytest.approx(away_nm, abs=0.06)
    fastest_kt = max(leg.tas_kt for leg in way.legs) + 40.0
    assert float(over.minutes) >= ceil(away_nm / fastest_kt * 60.0 + plan.flight.pattern_min)
    assert 0.0 < float(halfway.needs) < float(over.needs)


def test_without_alternates_the_nearest_fields_are_named(prepared: Prepared) -> None:
    plan = replace(prepared.plan, flight=replace(prepared.plan.flight, alternate_ids=()))
    rows = list(divert_rows(plan, prepared.way, weight_lb=2_250.0))
    assert len(rows) == 4
    assert plan.destination.id not in {row.field for row in rows}


def test_without_tables_a_divert_says_that_nobody_knows(prepared: Prepared) -> None:
    bare = replace(prepared.plan, aircraft=replace(prepared.plan.aircraft, tables={}))
    rows = list(divert_rows(bare, prepared.way, weight_lb=2_250.0))
    assert {(row.minutes, row.needs) for row in rows} == {("?", "?")}


def heights_ft(plan: Plan, way: Way, labels: Sequence[str]) -> list[float]:
    rows = {row.label: row.by for row in gate_rows(plan, way, settings(plan, way)[1])}
    return [float(rows[one].removesuffix(" ft").replace(",", "")) for one in labels]


def test_flaps_are_due_one_after_the_other_down_to_where_all_is_stable(prepared: Prepared) -> None:
    labels = ["gear down", "flaps 10 degrees", "flaps 25 degrees", "flaps full", "on speed"]
    due_ft = heights_ft(prepared.plan, prepared.way, labels)
    field_ft = prepared.plan.destination.elev_msl_ft
    assert due_ft == [field_ft + agl_ft for agl_ft in (1_000.0, 1_000.0, 750.0, 500.0, 500.0)]


def test_a_fixed_gear_and_propeller_are_due_nowhere(prepared: Prepared) -> None:
    plain = replace(
        prepared.plan.aircraft, retractable=False, controllable_propeller=False, power_down=None
    )
    plan = replace(prepared.plan, aircraft=plain)
    rows = list(gate_rows(plan, prepared.way, settings(plan, prepared.way)[1]))
    text = " ".join(f"{row.label} {row.text}" for row in rows)
    assert "gear down" not in text
    assert "propeller" not in text
    assert "inHg" not in text


@pytest.mark.parametrize(
    ("wind", "text"),
    [
        (None, "not known"),
        (Wind(from_true_deg=5.0, mean_kt=8.0), "005/08"),
        (Wind(from_true_deg=280.0, mean_kt=12.0, gust_kt=19.0), "280/12G19"),
        (Wind(from_true_deg=None, mean_kt=3.0), "VRB/03"),
        (Wind(from_true_deg=0.0, mean_kt=0.0), "calm"),
    ],
)
def test_wind_is_told_as_reports_tell_it(prepared: Prepared, wind: Wind | None, text: str) -> None:
    to = settings(prepared.plan, prepared.way)[1]
    spans: tuple[Conditions, ...] = (replace(to.spans[0], wind=wind),)
    assert wind_figures(replace(to, spans=spans)) == text

"""Every runway end side by side, and the one that is chosen."""

from dataclasses import replace

import pytest
from fit_cases import found, with_aerodrome, with_flight, with_own, with_weather

from lubberline.aircraft import takeoff_distance
from lubberline.fit import RunwayRow, field_runways, settings
from lubberline.flight import Plan
from lubberline.line import Verdict
from lubberline.loop import Prepared

INSIDE, OUTSIDE, UNKNOWN = Verdict.INSIDE, Verdict.OUTSIDE, Verdict.UNKNOWN
REPORT = "METAR QWRN 252045Z 26009KT 10SM CLR 30/07 A2992="


def rows(plan: Plan, one: Prepared, place: int = 0) -> dict[str, RunwayRow]:
    return {row.name: row for row in field_runways(plan, one.way)[place][1]}


def two_strips(plan: Plan, length_ft: float) -> Plan:
    """A second strip at the departure, right into the wind from 260 true, so long."""
    (runway,) = plan.places.aerodromes["QWRN"].runways
    low, high = runway.ends
    ends = (replace(low, name="08", true_deg=80.0), replace(high, name="26", true_deg=260.0))
    crossing = replace(runway, length_ft=length_ft, ends=ends)
    turned = replace(
        runway,
        ends=(replace(low, true_deg=50.0), replace(high, true_deg=230.0)),
    )
    return with_aerodrome(with_weather(plan, REPORT), "QWRN", runways=(turned, crossing))


def test_every_end_of_every_field_has_a_row(prepared: Prepared) -> None:
    tables = field_runways(prepared.plan, prepared.way)
    assert [end.place for end, _ in tables] == ["departure", "destination", "alternate_QSDG"]
    assert [[row.name for row in table] for _, table in tables] == [
        ["07", "25"],
        ["12", "30"],
        ["15", "33"],
    ]


def test_what_the_day_adds_is_the_difference_of_two_table_figures(prepared: Prepared) -> None:
    """By hand from the tables: today's figure less that of 15 degC at sea level, same wind."""
    plan = with_weather(with_own(prepared.plan, runway_factor=1.0), REPORT)
    row, (departure, _) = rows(plan, prepared)["25"], settings(plan, prepared.way)
    weight_lb = found(plan, prepared, "airplane.weight_takeoff").value
    assert weight_lb is not None
    assert departure.pressure_ft is not None
    assert row.headwind_kt is not None
    figures = [
        takeoff_distance(
            plan.aircraft,
            weight_lb=weight_lb,
            pressure_ft=at_ft,
            oat_degc=degc,
            headwind_kt=row.headwind_kt,
            surface="paved",
        ).value
        for at_ft, degc in ((departure.pressure_ft, 30.0), (0.0, 15.0))
    ]
    assert figures[0] is not None
    assert figures[1] is not None
    assert figures[0] > figures[1]
    assert row.over_sea_level_ft == pytest.approx(figures[0] - figures[1])
    assert row.over_50_ft == pytest.approx(figures[0])


def test_the_own_factor_counts_in_lengths_and_not_in_what_the_day_adds(prepared: Prepared) -> None:
    once, twice = (
        rows(with_own(prepared.plan, runway_factor=factor), prepared)["25"] for factor in (1.0, 2.0)
    )
    assert once.roll_ft is not None
    assert once.over_50_ft is not None
    assert twice.roll_ft == pytest.approx(2.0 * once.roll_ft)
    assert twice.over_50_ft == pytest.approx(2.0 * once.over_50_ft)
    assert twice.over_field_ft == once.over_field_ft


def test_most_into_the_wind_if_it_is_long_enough_else_the_next_that_serves(
    prepared: Prepared,
) -> None:
    plan = two_strips(prepared.plan, 3_000.0)
    needs_ft = rows(plan, prepared)["26"].over_50_ft
    assert needs_ft is not None
    for length_ft, name in ((needs_ft + 0.1, "26"), (needs_ft - 0.1, "25")):
        made = two_strips(prepared.plan, length_ft)
        assert settings(made, prepared.way)[0].end.name == name
    finding = found(made, prepared, "flight.runways_departure")
    assert finding.where == "25: most into the wind of those that are long enough"


def test_a_runway_that_is_asked_for_stays(prepared: Prepared) -> None:
    plan = with_flight(two_strips(prepared.plan, 200.0), departure_runway="26")
    assert settings(plan, prepared.way)[0].end.name == "26"
    assert found(plan, prepared, "flight.takeoff_distance").verdict is OUTSIDE
    finding = found(plan, prepared, "flight.runways_departure")
    assert finding.where == "26: asked for in flight.toml"


def test_no_end_that_serves_is_outside(prepared: Prepared) -> None:
    plan = with_weather(prepared.plan, REPORT.replace("26009KT", "17030KT"))
    assert found(plan, prepared, "flight.runways_departure").verdict is OUTSIDE


def test_without_wind_no_end_is_decided(prepared: Prepared) -> None:
    plan = with_weather(prepared.plan, "")
    finding = found(plan, prepared, "flight.runways_departure")
    assert finding.verdict is UNKNOWN
    assert "a METAR or TAF for QWRN" in finding.missing
    row = rows(plan, prepared)["25"]
    assert (row.headwind_kt, row.roll_ft, row.over_field_ft) == (None, None, None)


def test_an_alternate_is_asked_like_the_destination(prepared: Prepared) -> None:
    finding = found(prepared.plan, prepared, "flight.landing_distance_alternate_QSDG")
    assert finding.verdict is INSIDE
    after = found(prepared.plan, prepared, "flight.crosswind_alternate_QSDG")
    assert after.limit.label == "crosswind, QSDG 33"

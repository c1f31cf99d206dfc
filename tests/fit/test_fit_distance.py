"""Runway slope and accelerate-stop against the runway of a flight."""

from dataclasses import replace

import numpy as np
import pytest
from fit_cases import found, keys, with_aircraft, with_runway

from lubberline.aircraft import Table
from lubberline.fit.distance import slope_percent
from lubberline.fit.ends import settings
from lubberline.flight import Plan
from lubberline.line import Verdict
from lubberline.loop import Prepared

KEY = "flight.takeoff_distance"


def sloped(prepared: Prepared, rise_ft: float) -> Plan:
    """The plan with the end of departure so much below the other."""
    plan, (departure, _) = prepared.plan, settings(prepared.plan, prepared.way)
    first, second = (
        replace(one, elev_msl_ft=100.0 + (0.0 if one.name == departure.end.name else rise_ft))
        for one in departure.runway.ends
    )
    aerodrome = plan.departure
    runways = tuple(
        replace(one, ends=(first, second)) if one.ends == departure.runway.ends else one
        for one in aerodrome.runways
    )
    places = {**plan.places.aerodromes, aerodrome.id: replace(aerodrome, runways=runways)}
    return replace(plan, places=replace(plan.places, aerodromes=places))


def noted(plan: Plan) -> Plan:
    tables = dict(plan.aircraft.tables)
    tables["takeoff_over_50_ft"] = replace(
        tables["takeoff_over_50_ft"],
        uphill_percent_per_percent=10.0,
        downhill_percent_per_percent=0.0,
        slope_max_percent=2.0,
    )
    return with_aircraft(plan, tables=tables)


@pytest.mark.parametrize(("rise_ft", "sign"), [(40.0, 1.0), (-40.0, -1.0)])
def test_slope_is_the_rise_from_this_end_to_the_other(
    prepared: Prepared, rise_ft: float, sign: float
) -> None:
    departure, _ = settings(sloped(prepared, rise_ft), prepared.way)
    expected = sign * 4_000.0 / departure.runway.length_ft
    assert slope_percent(departure) == pytest.approx(expected)


def test_slope_without_a_note_is_told_and_not_counted(prepared: Prepared) -> None:
    level = found(sloped(prepared, 0.0), prepared, KEY)
    steep = found(sloped(prepared, 40.0), prepared, KEY)
    assert steep.value == pytest.approx(level.value)
    assert "not looked at" not in level.note
    assert "% uphill not looked at" in steep.note
    assert "slope of the runway not known" in found(sloped(prepared, np.nan), prepared, KEY).note


def test_slope_with_a_note_counts_and_ends_where_the_note_does(prepared: Prepared) -> None:
    level = found(noted(sloped(prepared, 0.0)), prepared, KEY)
    steep_plan = noted(sloped(prepared, 40.0))
    steep = found(steep_plan, prepared, KEY)
    departure, _ = settings(steep_plan, prepared.way)
    table_ft = next(
        float(words.rpartition("+")[2].removesuffix(" ft").replace(",", ""))
        for words in steep.workings
        if words.startswith("table at")
    )
    assert steep.value is not None
    assert level.value is not None
    added_ft = (steep.value - level.value) / prepared.plan.pilot.own.runway_factor
    # Ten percent of the figure, which is told to five digits, for each percent of slope.
    assert added_ft == pytest.approx(table_ft * 0.10 * slope_percent(departure), rel=1e-4)
    assert found(noted(sloped(prepared, 400.0)), prepared, KEY).verdict is Verdict.UNKNOWN
    assert found(noted(sloped(prepared, np.nan)), prepared, KEY).verdict is Verdict.UNKNOWN


@pytest.mark.parametrize(("share", "verdict"), [(1.0, "inside"), (1.001, "outside")])
def test_accelerate_and_stop_needs_the_whole_runway(
    prepared: Prepared, share: float, verdict: str
) -> None:
    plan = prepared.plan
    assert "flight.accelerate_stop" not in keys(plan, prepared)
    departure, _ = settings(plan, prepared.way)
    stop_ft = departure.runway.length_ft / plan.pilot.own.runway_factor * share
    table = Table(
        name="accelerate_stop_ft",
        axes={"pressure_ft": np.array([-2_000.0, 8_000.0])},
        values=np.array([stop_ft, stop_ft]),
        tailwind_max_kt=30.0,
        source="section 5",
    )
    with_table = with_aircraft(plan, tables={**plan.aircraft.tables, table.name: table})
    finding = found(with_table, prepared, "flight.accelerate_stop")
    assert finding.verdict == verdict
    assert finding.limit.high == departure.runway.length_ft
    lengthened = with_runway(with_table, plan.departure.id, length_ft=99_999.0)
    assert found(lengthened, prepared, "flight.accelerate_stop").verdict is Verdict.INSIDE

"""Rules by country: chosen by the departure, another set added without touching the rest."""

from collections.abc import Iterator
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from fit_cases import with_aerodrome, with_flight

from lubberline.fit import check_fit, us
from lubberline.fit.rules import RULE_SETS, country_of, rules_of
from lubberline.flight import Plan
from lubberline.line import Finding, Limit, Verdict
from lubberline.loop import Prepared
from lubberline.ways import Way


def moved(plan: Plan, place: str, new_id: str) -> Plan:
    """The plan with one end called otherwise."""
    aerodromes = dict(plan.places.aerodromes)
    aerodromes[new_id] = replace(aerodromes[getattr(plan.flight, f"{place}_id")], id=new_id)
    plan = replace(plan, places=replace(plan.places, aerodromes=aerodromes))
    return with_flight(plan, **{f"{place}_id": new_id})


@pytest.fixture
def fake(monkeypatch: pytest.MonkeyPatch) -> Any:
    """A made-up country whose pilots may fly if they slept eight hours, with 20 min of fuel."""
    limit = Limit(key="pilot.sleep", label="sleep", unit="h", low=8.0, basis="law", source="made")

    def pilot_findings(plan: Plan, way: Way) -> Iterator[Finding]:
        yield Finding(limit=limit, value=9.0)

    shared = ("basic_minimums", "cloud_finding", "duties", "is_night", "pilot_dates")
    made = SimpleNamespace(
        COUNTRY="'ZZ'",
        WEATHER_SOURCE="made",
        DAY_RESERVE_MIN=20.0,
        pilot_findings=pilot_findings,
        airplane_findings=lambda plan, way: (),
        weather_findings=lambda field: (),
        fuel_reserve=lambda night, night_soon: us.Reserve(
            least_min=20.0, buffer_min=0.0, source="made"
        ),
        **{name: getattr(us, name) for name in shared},
    )
    monkeypatch.setitem(RULE_SETS, made.COUNTRY, made)
    return made


@pytest.mark.parametrize(
    ("name", "country"),
    [
        ("QWRN", ""),  # no country has Q
        ("KXYZ", "US"),
        ("PAXX", "US"),
        ("7S3", ""),  # a local identifier
        ("CYXX", "'CY'"),
        ("ZZXX", "'ZZ'"),
        ("K1X2", ""),
    ],
)
def test_a_country_is_told_by_a_location_indicator(
    prepared: Prepared, name: str, country: str
) -> None:
    assert country_of(replace(prepared.plan.departure, id=name)) == country


def test_without_a_country_the_default_holds(prepared: Prepared) -> None:
    assert rules_of(prepared.plan).COUNTRY == "US"
    assert rules_of(moved(prepared.plan, "departure", "CYXX")).COUNTRY == "US"


def test_another_country_answers_for_its_departures(prepared: Prepared, fake: Any) -> None:
    plan = moved(prepared.plan, "departure", "ZZXX")
    found = {one.limit.key: one for one in check_fit(plan, prepared.way)}
    assert rules_of(plan) is fake
    assert [key for key in found if key.startswith("pilot.")] == ["pilot.sleep"]
    assert found["flight.fuel_legal"].limit.low == 20.0
    assert "airplane.annual" not in found
    assert "airplane.weight_takeoff" in found
    assert "flight.other_rules" not in found


@pytest.mark.parametrize("place", ["departure", "destination"])
def test_a_field_under_rules_that_are_not_written_is_not_passed_over(
    prepared: Prepared, place: str
) -> None:
    (found,) = (
        one
        for one in check_fit(moved(prepared.plan, place, "CYXX"), prepared.way)
        if one.limit.key == "flight.other_rules"
    )
    assert found.verdict is Verdict.UNKNOWN
    assert "CYXX (country 'CY')" in found.missing


def test_an_alternate_abroad_is_told_too(prepared: Prepared) -> None:
    abroad = with_aerodrome(prepared.plan, "QSDG", id="CYXX")
    assert abroad.flight.alternate_ids == ("QSDG",)
    keys = {one.limit.key for one in check_fit(abroad, prepared.way)}
    assert "flight.other_rules" in keys

"""Weather along the way and special clearances, at the time of passage, from both sides."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from math import inf
from typing import Any

import numpy as np
import pytest
from fit_cases import found, keys, with_flight, with_weather

from lubberline.fit import us
from lubberline.fit.along import NEAR_NM, passages
from lubberline.fit.freezing import freezing_level, is_moist
from lubberline.flight import Plan
from lubberline.line import Finding, Verdict
from lubberline.loop import Prepared
from lubberline.weather import Conditions, WindsAloft

INSIDE, CLOSE, OUTSIDE, UNKNOWN = (
    Verdict.INSIDE,
    Verdict.CLOSE,
    Verdict.OUTSIDE,
    Verdict.UNKNOWN,
)
NOON = datetime(2026, 11, 25, 20, tzinfo=UTC)


def reports(said: str, **others: str) -> str:
    """The same report at the ends and between, except where another is given."""
    stations = dict.fromkeys(("QWRN", "QSDG", "QMRL"), said) | others
    return "\n".join(
        f"METAR {name} 252045Z 26009KT {text} 11/07 A3002=" for name, text in stations.items()
    )


def with_aloft(plan: Plan, *rows: tuple[float, float]) -> Plan:
    """The plan with calm air of these temperatures by height."""
    msl_ft, degc = np.array(rows, dtype=np.float64).reshape(-1, 2).T
    none = np.zeros_like(msl_ft)
    aloft = WindsAloft(msl_ft=msl_ft, from_true_deg=none, wind_kt=none, oat_degc=degc)
    return replace(plan, weather=replace(plan.weather, aloft=aloft))


@pytest.mark.parametrize(
    ("said", "verdict"),
    [("3SM CLR", INSIDE), ("2 3/4SM CLR", OUTSIDE), ("////SM CLR", UNKNOWN)],
)
def test_visibility_between_the_ends_is_held_to_the_class(
    prepared: Prepared, said: str, verdict: Verdict
) -> None:
    plan = with_weather(prepared.plan, reports("10SM CLR", QSDG=said))
    finding = found(plan, prepared, "flight.visibility_along")
    assert finding.verdict is verdict
    assert "QSDG" in finding.where


def test_temporary_weather_along_the_way_counts(prepared: Prepared) -> None:
    taf = "TAF QSDG 251730Z 2518/2618 26009KT P6SM CLR TEMPO 2520/2522 1SM BR"
    plan = with_weather(prepared.plan, f"{reports('10SM CLR')}\n{taf}=")
    assert found(plan, prepared, "flight.visibility_along").value == 1.0
    later = taf.replace("2520/2522", "2600/2602")
    plan = with_weather(prepared.plan, f"{reports('10SM CLR')}\n{later}=")
    assert found(plan, prepared, "flight.visibility_along").verdict is INSIDE


def test_each_moment_asks_the_nearest_field_that_speaks(prepared: Prepared) -> None:
    moments = passages(with_weather(prepared.plan, reports("10SM CLR")), prepared.way)
    names = list(dict.fromkeys(one.field.id for one in moments if one.field))
    assert names[0] == "QWRN"
    assert names[-1] == "QMRL"
    silent = passages(with_weather(prepared.plan, reports("10SM CLR", QSDG="")), prepared.way)
    assert {one.field.id for one in silent if one.field} >= {"QWRN", "QMRL"}


def test_where_nobody_within_reach_speaks_the_weather_is_unknown(prepared: Prepared) -> None:
    text = "METAR QMRL 252045Z 26009KT 10SM CLR 11/07 A3002="
    plan = with_weather(prepared.plan, text)
    assert all(one.away_nm <= NEAR_NM for one in passages(plan, prepared.way) if one.field)
    assert not passages(plan, prepared.way)[0].field  # the departure is 55 NM away
    for key in ("flight.visibility_along", "flight.clouds_along"):
        finding = found(plan, prepared, key)
        assert finding.verdict is UNKNOWN
        assert f"within {NEAR_NM:g} NM" in finding.missing


def test_low_visibility_is_outside_although_other_places_are_silent(prepared: Prepared) -> None:
    plan = with_weather(prepared.plan, "METAR QMRL 252045Z 26009KT 1SM CLR 11/07 A3002=")
    assert found(plan, prepared, "flight.visibility_along").verdict is OUTSIDE


@pytest.mark.parametrize(("more_ft", "verdict"), [(0.0, INSIDE), (-100.0, OUTSIDE)])
def test_clouds_along_are_held_to_the_planned_height(
    prepared: Prepared, more_ft: float, verdict: Verdict
) -> None:
    """Class E, 500 ft below: the field's height and the ceiling's hundreds are matched by hand."""
    plan = prepared.plan
    elev_ft = plan.places.aerodromes["QSDG"].elev_msl_ft
    near = passages(with_weather(plan, reports("10SM CLR")), prepared.way)
    top_ft = max(one.msl_ft for one in near if one.field and one.field.id == "QSDG")
    base_ft = np.ceil((top_ft + 500.0 - elev_ft) / 100.0) * 100.0 + more_ft
    text = reports("10SM CLR", QSDG=f"10SM BKN{base_ft / 100.0:03.0f}")
    finding = found(with_weather(plan, text), prepared, "flight.clouds_along")
    assert finding.value == pytest.approx(elev_ft + base_ft - top_ft)
    assert finding.verdict is verdict


def test_far_above_a_ceiling_the_tops_are_not_known(prepared: Prepared) -> None:
    text = reports("10SM CLR", QSDG="10SM OVC008")
    finding = found(with_weather(prepared.plan, text), prepared, "flight.clouds_along")
    assert finding.verdict is UNKNOWN
    assert "tops over QSDG" in finding.missing


def test_an_alternate_has_its_own_weather(prepared: Prepared) -> None:
    plan = with_weather(prepared.plan, reports("10SM CLR", QSDG="2SM BKN006"))
    assert found(plan, prepared, "flight.visibility_alternate_QSDG").verdict is OUTSIDE
    assert found(plan, prepared, "flight.ceiling_alternate_QSDG").verdict is OUTSIDE
    assert found(plan, prepared, "flight.visibility_destination").verdict is INSIDE
    none = with_flight(plan, alternate_ids=())
    assert not any("alternate" in key for key in keys(none, prepared))


def field(seen_sm: float | None, ceiling_ft: float | None, **changes: Any) -> us.FieldWeather:
    conditions = Conditions(
        from_utc=NOON,
        until_utc=NOON + timedelta(hours=1),
        wind=None,
        visibility_sm=seen_sm,
        ceiling_agl_ft=ceiling_ft,
        text="made for the test",
    )
    made = us.FieldWeather(
        place="destination",
        name="QMRL",
        surface_class="D",
        elev_msl_ft=110.0,
        night=False,
        conditions=conditions,
        supply="a METAR",
    )
    return replace(made, **changes)


def notes(one: us.FieldWeather) -> list[str]:
    return [found.note for found in us.weather_findings(one) if found.verdict is OUTSIDE]


# 14 CFR 91.157: 1 SM, clear of clouds; by night an instrument rating; below 10,000 ft MSL.
@pytest.mark.parametrize(
    ("one", "words"),
    [
        (field(1.0, 5_000.0), "could be asked for: 1 SM, clear of clouds"),
        (field(0.99, 5_000.0), "below a special clearance too"),
        (field(10.0, 999.0), "could be asked for"),
        (field(2.0, 5_000.0, night=True, instrument_rated=False), "without an instrument rating"),
        (field(2.0, 5_000.0, night=True, instrument_rated=True), "airplane equipped as 91.205(d)"),
        (field(2.0, 5_000.0, night=True), "an instrument rating and an airplane equipped"),
        (field(2.0, inf, elev_msl_ft=10_000.0), "no special clearance at or above 10,000 ft"),
        (field(None, 900.0), "is open: no visibility"),
    ],
)
def test_below_basic_minimums_a_finding_says_whether_one_could_ask(
    one: us.FieldWeather, words: str
) -> None:
    (note,) = notes(one)
    assert words in note
    assert "14 CFR 91.157" in note


@pytest.mark.parametrize(
    "one", [field(3.0, 1_000.0), field(10.0, inf), field(0.5, 5_000.0, surface_class="G")]
)
def test_elsewhere_nothing_is_said_of_it(one: us.FieldWeather) -> None:
    assert not any("special" in found.note for found in us.weather_findings(one))


def freezing(plan: Plan, one: Prepared) -> Finding:
    return found(plan, one, "flight.freezing")


@pytest.mark.parametrize(
    ("rows", "level_ft", "is_least"),
    [
        ([(3_000.0, 3.0), (6_000.0, -3.0)], 4_500.0, False),
        ([(3_000.0, 3.0), (6_000.0, 0.0)], 6_000.0, False),
        ([(3_000.0, 9.0), (6_000.0, 3.0)], 6_000.0, True),
        ([(3_000.0, -9.0), (6_000.0, -3.0)], None, False),  # under the first: from the field up
    ],
)
def test_the_freezing_level_is_where_a_line_between_rows_crosses(
    prepared: Prepared, rows: list[tuple[float, float]], level_ft: float | None, is_least: bool
) -> None:
    plan = with_aloft(with_weather(prepared.plan, reports("10SM CLR")), *rows)
    level = freezing_level(plan)
    assert level is not None
    assert level.is_least is is_least
    if level_ft is None:  # 11 degrees at the field, -9 at 3,000 ft
        elev_ft = plan.departure.elev_msl_ft
        level_ft = elev_ft + 11.0 / 20.0 * (3_000.0 - elev_ft)
    assert level.msl_ft == pytest.approx(level_ft)


@pytest.mark.parametrize(
    ("said", "cold_ft", "verdict"),
    [
        ("10SM CLR", 1_000.0, INSIDE),  # dry
        ("5SM -RA OVC060", 1_000.0, OUTSIDE),
        ("5SM -RA OVC060", 2_600.0, CLOSE),  # 100 ft, with 500 ft of doubt
        ("5SM -RA OVC060", 6_000.0, INSIDE),
        ("5SM VCSH OVC060", 1_000.0, INSIDE),  # in the vicinity only
    ],
)
def test_freezing_air_counts_where_water_falls(
    prepared: Prepared, said: str, cold_ft: float, verdict: Verdict
) -> None:
    plan = with_weather(prepared.plan, reports(said))
    plan = with_aloft(plan, (500.0, 5.0), (cold_ft, 0.0), (9_000.0, -20.0))
    assert prepared.way.cruise_msl_ft == 2_500.0
    assert freezing(plan, prepared).verdict is verdict


def test_without_temperatures_or_below_the_top_of_the_way_it_is_unknown(
    prepared: Prepared,
) -> None:
    plan = with_weather(prepared.plan, reports("10SM CLR"))
    low = freezing(with_aloft(plan, (500.0, 5.0), (2_000.0, 4.0)), prepared)
    assert low.verdict is UNKNOWN
    assert "oat_degc at 2,500 ft or higher" in low.missing
    assert freezing(with_aloft(plan), prepared).verdict is UNKNOWN


@pytest.mark.parametrize(
    ("groups", "moist"),
    [(("-RA",), True), (("FZFG",), True), (("HZ",), False), (("VCFG",), False), ((), False)],
)
def test_water_is_told_by_its_group(groups: tuple[str, ...], moist: bool) -> None:
    assert is_moist(groups) is moist

"""Every limit of a flight from both sides, asked through the whole check of the demo's plan."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest
from fit_cases import (
    found,
    keys,
    with_aerodrome,
    with_aircraft,
    with_flight,
    with_own,
    with_runway,
    with_weather,
)

from lubberline.fit import check_fit, settings, times_utc, trip_gal, wind_text
from lubberline.flight import Plan
from lubberline.line import Finding, Verdict
from lubberline.loop import Prepared
from lubberline.weather import Wind, WindsAloft, unread_weather

INSIDE, CLOSE, OUTSIDE, UNKNOWN = (
    Verdict.INSIDE,
    Verdict.CLOSE,
    Verdict.OUTSIDE,
    Verdict.UNKNOWN,
)
STARTER_KEYS = {
    *("pilot.flight_review", "pilot.medical", "airplane.annual", "airplane.transponder"),
    *("airplane.elt", "airplane.elt_battery", "flight.takeoff_distance"),
    *("flight.landing_distance", "flight.cloud_clearance", "flight.fuel_legal"),
    *("flight.fuel_own", "flight.daylight", "flight.appointment", "flight.ceiling_destination"),
    *(
        f"airplane.{what}_{when}"
        for what in ("weight", "balance")
        for when in ("ramp", "takeoff", "landing", "zero_fuel")
    ),
    *(
        f"flight.{what}_{place}"
        for what in ("crosswind", "tailwind", "density_altitude", "visibility")
        for place in ("departure", "destination")
    ),
    *(
        f"flight.own_{what}_{place}"
        for what in ("ceiling", "visibility")
        for place in ("departure", "destination")
    ),
}


def metars(qwrn: str = "26009KT 10SM SCT040 11/07 A3002", qmrl: str = "") -> str:
    """Reports of both ends that hold at take-off and landing."""
    rows = {"QWRN": qwrn, "QMRL": qmrl or "28012G19KT 10SM BKN045 10/05 A2996"}
    return "\n".join(f"METAR {station} 252045Z {said}=" for station, said in rows.items())


def test_the_keys_of_the_starter_stay_as_they_are(prepared: Prepared) -> None:
    assert keys(prepared.plan, prepared) >= STARTER_KEYS


def test_the_starter_has_nothing_outside_and_nothing_unknown(prepared: Prepared) -> None:
    verdicts = {one.limit.key: one.verdict for one in check_fit(prepared.plan, prepared.way)}
    assert [key for key, verdict in verdicts.items() if verdict in (OUTSIDE, UNKNOWN)] == []


def test_nothing_found_is_infinite_and_all_that_is_unknown_says_what_is_missing(
    prepared: Prepared,
) -> None:
    bare = replace(
        prepared.plan,
        weather=replace(prepared.plan.weather, reports={}, forecasts={}),
        aircraft=replace(prepared.plan.aircraft, tables={}),
    )
    for finding in check_fit(bare, prepared.way):
        assert finding.value is None or np.isfinite(finding.value)
        assert finding.verdict is not UNKNOWN or finding.missing


# Dates of the starter: the last good day of each; a buffer of 30 days makes it close.
@pytest.mark.parametrize(
    ("key", "last_day"),
    [
        ("pilot.flight_review", datetime(2027, 12, 31, 20, tzinfo=UTC)),  # 14 CFR 61.56(c)
        ("pilot.medical", datetime(2028, 2, 29, 20, tzinfo=UTC)),  # 14 CFR 61.23(d), 40 or over
        ("airplane.annual", datetime(2027, 3, 31, 20, tzinfo=UTC)),  # 14 CFR 91.409(a)
        ("airplane.transponder", datetime(2027, 2, 28, 20, tzinfo=UTC)),  # 14 CFR 91.413(a)
        ("airplane.elt", datetime(2027, 3, 31, 20, tzinfo=UTC)),  # 14 CFR 91.207(d)
    ],
)
def test_a_date_is_good_through_its_last_day(
    prepared: Prepared, key: str, last_day: datetime
) -> None:
    def on(when_utc: datetime) -> Finding:
        plan = with_flight(prepared.plan, off_block_utc=when_utc, arrive_by_utc=None)
        return found(plan, prepared, key)

    assert on(last_day - timedelta(days=31)).verdict is INSIDE
    assert (on(last_day).verdict, on(last_day).value) == (CLOSE, 0.0)
    assert on(last_day + timedelta(days=1)).verdict is OUTSIDE


def test_the_day_is_that_of_the_sun_at_the_departure(prepared: Prepared) -> None:
    late_utc = datetime(2028, 1, 1, 3, tzinfo=UTC)  # evening of 31 December at 131 W
    plan = with_flight(prepared.plan, off_block_utc=late_utc, arrive_by_utc=None)
    assert found(plan, prepared, "pilot.flight_review").value == 0.0


@pytest.mark.parametrize("when", ["ramp", "takeoff", "landing", "zero_fuel"])
def test_a_weight_is_inside_up_to_its_limit(prepared: Prepared, when: str) -> None:
    weight_lb = found(prepared.plan, prepared, f"airplane.weight_{when}").value
    assert weight_lb is not None
    for limit_lb, verdict in ((weight_lb, INSIDE), (weight_lb - 0.1, OUTSIDE)):
        changed: dict[str, Any] = {f"max_{when}_lb": limit_lb}
        limits = replace(prepared.plan.aircraft.loading, **changed)
        plan = with_aircraft(prepared.plan, loading=limits)
        assert found(plan, prepared, f"airplane.weight_{when}").verdict is verdict


@pytest.mark.parametrize("when", ["ramp", "takeoff", "landing", "zero_fuel"])
@pytest.mark.parametrize(("edge_in", "step_in"), [(96.0, -0.01), (110.0, 0.01)])
def test_the_center_of_gravity_is_inside_up_to_the_envelope(
    prepared: Prepared, when: str, edge_in: float, step_in: float
) -> None:
    key, limits = f"airplane.balance_{when}", prepared.plan.aircraft.loading
    here = found(prepared.plan, prepared, key)
    weight = found(prepared.plan, prepared, key.replace("balance", "weight"))
    assert here.value is not None
    assert weight.value is not None
    for off_in, verdict in ((0.0, INSIDE), (step_in, OUTSIDE)):
        shift_in = (edge_in + off_in - here.value) * weight.value / limits.empty_lb
        moved = replace(limits, empty_arm_in=limits.empty_arm_in + shift_in)
        finding = found(with_aircraft(prepared.plan, loading=moved), prepared, key)
        assert finding.value == pytest.approx(edge_in + off_in)
        assert finding.verdict is verdict


@pytest.mark.parametrize(
    ("key", "aerodrome_id"),
    [("flight.takeoff_distance", "QWRN"), ("flight.landing_distance", "QMRL")],
)
def test_a_distance_must_fit_the_runway(prepared: Prepared, key: str, aerodrome_id: str) -> None:
    finding = found(prepared.plan, prepared, key)
    assert finding.value is not None
    before_ft = 0.0 if aerodrome_id == "QWRN" else 300.0  # of the displaced threshold
    for more_ft, verdict in ((10.0 * finding.sigma, INSIDE), (0.1, CLOSE), (-0.1, OUTSIDE)):
        length_ft = finding.value + before_ft + more_ft
        plan = with_runway(prepared.plan, aerodrome_id, length_ft=length_ft)
        assert found(plan, prepared, key).verdict is verdict


def test_a_displaced_threshold_shortens_landing_and_not_take_off(prepared: Prepared) -> None:
    plan = prepared.plan
    for aerodrome_id, key, shorter_ft in (
        ("QWRN", "flight.takeoff_distance", 0.0),
        ("QMRL", "flight.landing_distance", 800.0),
    ):
        length_ft = plan.places.aerodromes[aerodrome_id].runways[0].length_ft
        moved = with_runway(plan, aerodrome_id, ends={"displaced_ft": 800.0})
        assert found(moved, prepared, key).limit.high == length_ft - shorter_ft


def test_the_own_factor_multiplies_the_distance(prepared: Prepared) -> None:
    once, twice = (
        found(with_own(prepared.plan, runway_factor=f), prepared, "flight.landing_distance")
        for f in (1.0, 2.0)
    )
    assert once.value is not None
    assert twice.value == pytest.approx(2.0 * once.value)
    assert twice.sigma == pytest.approx(2.0 * once.sigma)


def test_grass_is_longer_than_pavement(prepared: Prepared) -> None:
    grass = with_runway(prepared.plan, "QWRN", surface="grass")
    paved, soft = (
        found(p, prepared, "flight.takeoff_distance").value for p in (prepared.plan, grass)
    )
    assert paved is not None
    assert soft is not None
    assert soft > paved


def test_beyond_a_table_the_distance_is_unknown_and_says_what_ran_out(prepared: Prepared) -> None:
    plan = with_weather(prepared.plan, metars(qwrn="26009KT 10SM CLR 45/07 A3002"))
    finding = found(plan, prepared, "flight.takeoff_distance")
    assert finding.verdict is UNKNOWN
    assert "oat_degc 45 is 5 beyond the last printed 40" in finding.missing
    assert "aircraft/heron.toml" in finding.missing


def test_before_a_table_that_may_not_be_used_there_the_distance_is_unknown(
    prepared: Prepared,
) -> None:
    aircraft = prepared.plan.aircraft
    tables = {name: replace(table, use_first_below=()) for name, table in aircraft.tables.items()}
    finding = found(
        with_aircraft(prepared.plan, tables=tables), prepared, "flight.takeoff_distance"
    )
    assert finding.verdict is UNKNOWN
    assert "before the first printed" in finding.missing


@pytest.mark.parametrize("key", ["flight.takeoff_distance", "flight.landing_distance"])
def test_without_its_table_a_distance_is_unknown(prepared: Prepared, key: str) -> None:
    finding = found(with_aircraft(prepared.plan, tables={}), prepared, key)
    assert finding.verdict is UNKNOWN
    assert finding.missing.startswith("a table ")


@pytest.mark.parametrize("name", ["crosswind", "tailwind"])
@pytest.mark.parametrize("place", ["departure", "destination"])
def test_a_wind_is_held_to_the_lower_of_manual_and_own(
    prepared: Prepared, name: str, place: str
) -> None:
    manual_key = {"crosswind": "crosswind_shown_kt", "tailwind": "tailwind_max_kt"}[name]
    key = f"flight.{name}_{place}"
    own = with_aircraft(with_own(prepared.plan, **{f"{name}_kt": 5.0}), **{manual_key: 9.0})
    manual = with_aircraft(with_own(prepared.plan, **{f"{name}_kt": 12.0}), **{manual_key: 9.0})
    assert (found(own, prepared, key).limit.high, found(own, prepared, key).limit.basis) == (
        5.0,
        "own",
    )
    assert found(manual, prepared, key).limit.high == 9.0
    assert "manual" in found(manual, prepared, key).limit.source
    bare = with_aircraft(with_own(prepared.plan, **{f"{name}_kt": None}), **{manual_key: None})
    assert found(bare, prepared, key).verdict is UNKNOWN
    assert f"{name}_kt under [own] in pilot.toml" in found(bare, prepared, key).missing
    assert f"{manual_key} in aircraft/heron.toml" in found(bare, prepared, key).missing


def test_a_crosswind_is_inside_up_to_its_limit_less_its_doubt(prepared: Prepared) -> None:
    finding = found(prepared.plan, prepared, "flight.crosswind_destination")
    assert finding.value is not None
    for more_kt, verdict in ((2.01, INSIDE), (1.99, CLOSE), (0.01, CLOSE), (-0.01, OUTSIDE)):
        plan = with_own(prepared.plan, crosswind_kt=finding.value + more_kt)
        assert found(plan, prepared, "flight.crosswind_destination").verdict is verdict


def test_a_tailwind_is_counted_on_the_runway_that_is_asked_for(prepared: Prepared) -> None:
    plan = with_flight(prepared.plan, departure_runway="07")
    finding = found(plan, prepared, "flight.tailwind_departure")
    assert finding.limit.label == "tailwind, QWRN 07"
    assert finding.value == pytest.approx(9.0, abs=0.2)
    assert finding.verdict is OUTSIDE  # own: 5 kt


WINDS: list[tuple[str, str, float, float]] = [
    # Runway 07/25 laid at 90 and 270 degrees true; crosswind and tailwind in knots, computed.
    ("calm", "00000KT", 0.0, 0.0),
    ("from the side", "36010KT", 10.0, 0.0),
    ("the gust counts", "33010G20KT", 17.32, 0.0),
    ("a variable wind may stand anywhere", "VRB08G12KT", 12.0, 12.0),
    ("between two directions the worst counts", "30010KT 270V340", 9.40, 0.0),
    ("across, if that lies between", "30010KT 240V020", 10.0, 3.42),
    ("behind, if that lies between", "34010KT 340V110", 10.0, 10.0),
    ("clockwise over north", "35010KT 320V040", 10.0, 6.43),
]


@pytest.mark.parametrize(
    ("said", "cross_kt", "tail_kt"), [row[1:] for row in WINDS], ids=[row[0] for row in WINDS]
)
def test_what_a_wind_comes_to_on_the_runway(
    prepared: Prepared, said: str, cross_kt: float, tail_kt: float
) -> None:
    plan = with_weather(prepared.plan, metars(qwrn=f"{said} 10SM CLR 11/07 A3002"))
    aerodrome = plan.places.aerodromes["QWRN"]
    (runway,) = aerodrome.runways
    east, west = (replace(e, true_deg=t) for e, t in zip(runway.ends, (90.0, 270.0), strict=True))
    plan = with_aerodrome(plan, "QWRN", runways=(replace(runway, ends=(east, west)),))
    plan = with_flight(plan, departure_runway="25")
    crosswind = found(plan, prepared, "flight.crosswind_departure")
    assert crosswind.value == pytest.approx(cross_kt, abs=0.005)
    tailwind = found(plan, prepared, "flight.tailwind_departure")
    assert tailwind.value == pytest.approx(tail_kt, abs=0.005)


def test_a_temporary_wind_counts_and_does_not_choose_the_runway(prepared: Prepared) -> None:
    taf = "TAF QMRL 251730Z 2518/2618 28012KT P6SM SCT045 TEMPO 2520/2523 10025G35KT"
    plan = with_weather(prepared.plan, f"{metars()}\n{taf}=")
    assert settings(plan, prepared.way)[1].name == "QMRL 30"
    finding = found(plan, prepared, "flight.tailwind_destination")
    assert finding.value is not None
    assert finding.value > 25.0
    assert finding.where == "wind 100° true 25 kt gusting 35"


def test_a_wind_that_a_text_leaves_open_is_unknown_unless_another_is_outside(
    prepared: Prepared,
) -> None:
    taf = "TAF QMRL 251730Z 2518/2618 /////KT P6SM SCT045"
    for said, verdict in (("28012KT", UNKNOWN), ("01030KT", OUTSIDE)):
        text = metars(qmrl=f"{said} 10SM BKN045 10/05 A2996")
        plan = with_weather(prepared.plan, f"{text}\n{taf}=")
        assert found(plan, prepared, "flight.crosswind_destination").verdict is verdict


@pytest.mark.parametrize(
    ("said", "runway"),
    [("26009KT", "25"), ("08009KT", "07"), ("00000KT", "07"), ("VRB05KT", "07"), ("34003KT", "25")],
)
def test_the_runway_is_the_one_most_into_the_wind(
    prepared: Prepared, said: str, runway: str
) -> None:
    plan = with_weather(prepared.plan, metars(qwrn=f"{said} 10SM CLR 11/07 A3002"))
    assert settings(plan, prepared.way)[0].end.name == runway


def test_of_two_that_lie_alike_the_longer_runway_is_taken(prepared: Prepared) -> None:
    (runway,) = prepared.plan.places.aerodromes["QWRN"].runways
    first, second = (replace(end, name=f"{end.name}L") for end in runway.ends)
    longer = replace(runway, length_ft=runway.length_ft + 1.0, ends=(first, second))
    plan = with_aerodrome(prepared.plan, "QWRN", runways=(runway, longer))
    assert settings(plan, prepared.way)[0].end.name == "25L"


def test_a_gust_is_not_counted_on_for_a_distance(prepared: Prepared) -> None:
    steady, gusty = (
        found(
            with_weather(prepared.plan, metars(qwrn=f"{said} 10SM CLR 11/07 A3002")),
            prepared,
            "flight.takeoff_distance",
        ).value
        for said in ("26009KT", "26009G25KT")
    )
    assert steady == gusty


def test_a_gust_from_behind_lengthens_the_distance(prepared: Prepared) -> None:
    plan = with_flight(prepared.plan, departure_runway="07")
    steady, gusty = (
        found(
            with_weather(plan, metars(qwrn=f"{said} 10SM CLR 11/07 A3002")),
            prepared,
            "flight.takeoff_distance",
        ).value
        for said in ("26004KT", "26004G09KT")
    )
    assert steady is not None
    assert gusty is not None
    assert gusty > steady


@pytest.mark.parametrize("place", ["departure", "destination"])
def test_density_altitude_is_held_to_the_pilot_s_own(prepared: Prepared, place: str) -> None:
    key = f"flight.density_altitude_{place}"
    finding = found(prepared.plan, prepared, key)
    assert finding.value is not None
    for more_ft, verdict in ((2.1 * finding.sigma, INSIDE), (1.0, CLOSE), (-1.0, OUTSIDE)):
        plan = with_own(prepared.plan, density_altitude_ft=finding.value + more_ft)
        assert found(plan, prepared, key).verdict is verdict
    assert key not in keys(with_own(prepared.plan, density_altitude_ft=None), prepared)


@pytest.mark.parametrize(
    ("key", "qmrl", "verdict"),
    [
        # Marl is class D: 14 CFR 91.155(a) table and (c), the latter from memory.
        ("flight.visibility_destination", "28012KT 3SM BKN045 10/05 A2996", INSIDE),
        ("flight.visibility_destination", "28012KT 2 3/4SM BKN045 10/05 A2996", OUTSIDE),
        ("flight.ceiling_destination", "28012KT 10SM BKN010 10/05 A2996", INSIDE),
        ("flight.ceiling_destination", "28012KT 10SM BKN009 10/05 A2996", OUTSIDE),
        ("flight.ceiling_destination", "28012KT 10SM SCT009 10/05 A2996", INSIDE),
        ("flight.own_visibility_destination", "28012KT 6SM BKN045 10/05 A2996", INSIDE),
        ("flight.own_visibility_destination", "28012KT 5SM BKN045 10/05 A2996", OUTSIDE),
        ("flight.own_ceiling_destination", "28012KT 10SM BKN025 10/05 A2996", INSIDE),
        ("flight.own_ceiling_destination", "28012KT 10SM OVC024 10/05 A2996", OUTSIDE),
        # Marl lies at 110 ft, cruise at 2,500 ft: 500 ft below a ceiling of 2,890 ft and more.
        ("flight.cloud_clearance", "28012KT 10SM BKN029 10/05 A2996", INSIDE),
        ("flight.cloud_clearance", "28012KT 10SM BKN028 10/05 A2996", OUTSIDE),
    ],
)
def test_weather_at_the_destination_from_both_sides(
    prepared: Prepared, key: str, qmrl: str, verdict: Verdict
) -> None:
    plan = with_weather(prepared.plan, metars(qmrl=qmrl))
    assert found(plan, prepared, key).verdict is verdict


@pytest.mark.parametrize(
    ("said", "verdict"), [("26009KT 1SM CLR", INSIDE), ("26009KT 3/4SM CLR", OUTSIDE)]
)
def test_a_field_without_surface_area_asks_for_a_mile_by_day(
    prepared: Prepared, said: str, verdict: Verdict
) -> None:
    plan = with_weather(prepared.plan, metars(qwrn=f"{said} 11/07 A3002"))
    assert found(plan, prepared, "flight.visibility_departure").verdict is verdict
    assert "flight.ceiling_departure" not in keys(plan, prepared)


def test_weather_that_holds_at_another_time_is_no_weather(prepared: Prepared) -> None:
    plan = with_weather(prepared.plan, metars().replace("252045Z", "251845Z"))
    for key in ("flight.visibility_destination", "flight.crosswind_destination"):
        finding = found(plan, prepared, key)
        assert finding.verdict is UNKNOWN
        assert "a METAR or TAF for QMRL at 25 21:12Z in weather.txt" in finding.missing


@pytest.mark.parametrize(("report", "verdict"), [("251813Z", CLOSE), ("251811Z", UNKNOWN)])
def test_temperature_and_setting_of_a_report_serve_three_hours(
    prepared: Prepared, report: str, verdict: Verdict
) -> None:
    taf = "TAF QMRL 251730Z 2518/2618 28012KT P6SM SCT045="
    text = metars().replace("QMRL 252045Z", f"QMRL {report}")
    plan = with_weather(with_own(prepared.plan, density_altitude_ft=0.0), f"{text}\n{taf}")
    assert times_utc(plan, prepared.way)[1].strftime("%H:%M") == "21:12"
    finding = found(plan, prepared, "flight.density_altitude_destination")
    assert finding.verdict is verdict
    if verdict is UNKNOWN:
        assert "within 3 h of 25 21:12Z in weather.txt" in finding.missing


def test_without_any_weather_nothing_that_needs_it_is_inside(prepared: Prepared) -> None:
    none = np.empty(0)
    aloft = WindsAloft(msl_ft=none, from_true_deg=none, wind_kt=none, oat_degc=none)
    weather = replace(prepared.plan.weather, reports={}, forecasts={}, aloft=aloft)
    plan = replace(prepared.plan, weather=weather)
    dry = {"flight.watch", "flight.beacon_1", "flight.speed_limit"}
    flight = [
        one
        for one in check_fit(plan, prepared.way)
        if one.limit.group == "flight" and one.limit.key not in dry
    ]
    assert {one.verdict for one in flight} == {UNKNOWN}
    assert all("weather.txt" in one.missing or "flight.toml" in one.missing for one in flight)


def test_without_a_weather_file_the_finding_says_how_to_name_one(prepared: Prepared) -> None:
    plan = with_flight(with_weather(prepared.plan, ""), weather_file=None)
    finding = found(plan, prepared, "flight.visibility_departure")
    assert 'the file that weather = "..." names' in finding.missing


def with_left(plan: Plan, one: Prepared, left_gal: float) -> Plan:
    """The plan with so much fuel that this is left at landing."""
    fuel_gal = plan.aircraft.taxi_gal + trip_gal(plan, one.way) + left_gal
    return with_flight(plan, fuel_gal={"left": fuel_gal / 2.0, "right": fuel_gal / 2.0})


def gph_of(one: Prepared, gph: float) -> Plan:
    """The plan of an airplane that always burns so much in cruise."""
    tables = dict(one.plan.aircraft.tables)
    table = tables["cruise_gph"]
    tables["cruise_gph"] = replace(table, values=np.full_like(table.values, gph))
    return with_aircraft(one.plan, tables=tables)


@pytest.mark.parametrize(
    ("night", "left_gal", "minutes"),
    # 14 CFR 91.151(a): at 9.0 gph the reserve is 4.5 gal by day and 6.75 gal by night, computed.
    [(False, 4.5, 30.0), (True, 6.75, 45.0)],
)
def test_the_legal_reserve_in_gallons(
    prepared: Prepared, night: bool, left_gal: float, minutes: float
) -> None:
    plan = gph_of(prepared, 9.0)
    if night:
        off_block_utc = plan.flight.off_block_utc + timedelta(hours=6)
        plan = with_flight(plan, off_block_utc=off_block_utc, arrive_by_utc=None)
    finding = found(with_left(plan, prepared, left_gal), prepared, "flight.fuel_legal")
    assert finding.limit.low == minutes
    assert finding.value == pytest.approx(minutes)
    assert finding.verdict is CLOSE
    less = found(with_left(plan, prepared, left_gal - 0.01), prepared, "flight.fuel_legal")
    assert less.verdict is OUTSIDE


def test_the_own_reserve_from_both_sides(prepared: Prepared) -> None:
    plan = gph_of(prepared, 10.0)
    for left_gal, verdict in ((12.0, INSIDE), (10.0, CLOSE), (9.99, OUTSIDE)):
        made = with_left(plan, prepared, left_gal)
        assert found(made, prepared, "flight.fuel_own").verdict is verdict
    assert "flight.fuel_own" not in keys(with_own(plan, fuel_reserve_min=None), prepared)


def test_the_day_s_reserve_is_close_where_night_falls_within_it(prepared: Prepared) -> None:
    dusk_utc = _dusk_utc(prepared)
    for before_min, low_min, verdict in ((40.0, 30.0, INSIDE), (20.0, 30.0, CLOSE)):
        plan = landing_at(gph_of(prepared, 10.0), prepared, dusk_utc, before_min=before_min)
        finding = found(with_left(plan, prepared, 6.7), prepared, "flight.fuel_legal")
        assert (finding.limit.low, finding.verdict) == (low_min, verdict)


def _dusk_utc(one: Prepared) -> datetime:
    finding = found(one.plan, one, "flight.daylight")
    assert finding.value is not None
    return times_utc(one.plan, one.way)[1] + timedelta(minutes=finding.value)


def landing_at(plan: Plan, one: Prepared, when_utc: datetime, *, before_min: float) -> Plan:
    """The plan, off so that it lands so many minutes before a moment."""
    shift = when_utc - timedelta(minutes=before_min) - times_utc(plan, one.way)[1]
    return with_flight(plan, off_block_utc=plan.flight.off_block_utc + shift, arrive_by_utc=None)


@pytest.mark.parametrize(("before_min", "verdict"), [(10.0, INSIDE), (0.5, CLOSE), (-0.5, OUTSIDE)])
def test_daylight_ends_with_civil_twilight(
    prepared: Prepared, before_min: float, verdict: Verdict
) -> None:
    plan = landing_at(prepared.plan, prepared, _dusk_utc(prepared), before_min=before_min)
    finding = found(plan, prepared, "flight.daylight")
    assert finding.value == pytest.approx(before_min, abs=0.05)
    assert finding.verdict is verdict


def test_before_dawn_it_is_dark(prepared: Prepared) -> None:
    plan = landing_at(prepared.plan, prepared, _dusk_utc(prepared), before_min=-8 * 60.0)
    finding = found(plan, prepared, "flight.daylight")
    assert finding.verdict is OUTSIDE
    assert "civil twilight begins" in finding.note
    assert "night_landing = true in flight.toml" in finding.note


def test_a_night_landing_that_is_meant_asks_for_no_daylight(prepared: Prepared) -> None:
    plan = landing_at(prepared.plan, prepared, _dusk_utc(prepared), before_min=-60.0)
    assert "flight.daylight" in keys(plan, prepared)
    assert "flight.daylight" not in keys(with_flight(plan, night_landing=True), prepared)


@pytest.mark.parametrize(
    ("day", "verdict"), [(datetime(2026, 6, 21, 20, tzinfo=UTC), INSIDE), (None, UNKNOWN)]
)
def test_in_the_far_north_the_sun_may_not_set_or_not_rise(
    prepared: Prepared, day: datetime | None, verdict: Verdict
) -> None:
    when_utc = day or datetime(2026, 12, 21, 20, tzinfo=UTC)
    plan = with_aerodrome(prepared.plan, "QMRL", lat_deg=75.0)
    plan = with_flight(plan, off_block_utc=when_utc, arrive_by_utc=None)
    assert found(plan, prepared, "flight.daylight").verdict is verdict


@pytest.mark.parametrize(("more_min", "verdict"), [(40.0, INSIDE), (0.1, CLOSE), (-0.1, OUTSIDE)])
def test_the_appointment_from_both_sides(
    prepared: Prepared, more_min: float, verdict: Verdict
) -> None:
    finding = found(prepared.plan, prepared, "flight.appointment")
    assert finding.value is not None
    assert prepared.plan.flight.arrive_by_utc is not None
    wanted_utc = prepared.plan.flight.arrive_by_utc + timedelta(minutes=more_min - finding.value)
    plan = with_flight(prepared.plan, arrive_by_utc=wanted_utc)
    assert found(plan, prepared, "flight.appointment").verdict is verdict


def test_of_many_pieces_that_were_not_understood_the_rest_is_counted(prepared: Prepared) -> None:
    text = metars() + "".join(f"\n\nremark number {n}" for n in range(9))
    unread = unread_weather(text, near_utc=prepared.plan.flight.off_block_utc)
    plan = replace(prepared.plan, weather=replace(prepared.plan.weather, unread=unread))
    finding = found(plan, prepared, "flight.weather_text")
    assert "REMARK NUMBER 5" in finding.missing.upper()
    assert "REMARK NUMBER 6" not in finding.missing.upper()
    assert finding.missing.endswith("; and 3 more")
    assert finding.where == "9 in weather.txt"


def test_weather_that_was_not_understood_is_shown_and_never_inside(prepared: Prepared) -> None:
    text = f"{metars(qmrl='28012KT 10SM BKN045 10/05 A2996 QQQ99')}\n\nGood flight!\n"
    plan = with_weather(prepared.plan, text)
    unread = unread_weather(text, near_utc=plan.flight.off_block_utc)
    plan = replace(plan, weather=replace(plan.weather, unread=unread))
    finding = found(plan, prepared, "flight.weather_text")
    assert finding.verdict is UNKNOWN
    assert "GOOD FLIGHT!" in finding.missing.upper()
    assert "'QQQ99' in the METAR of QMRL" in finding.missing
    assert finding.where == "2 in weather.txt"
    assert "flight.weather_text" not in keys(with_weather(prepared.plan, metars()), prepared)


@pytest.mark.parametrize(
    ("wind", "words"),
    [
        (Wind(from_true_deg=10.0, mean_kt=0.0), "wind calm"),
        (Wind(from_true_deg=5.0, mean_kt=12.0, gust_kt=19.0), "wind 005° true 12 kt gusting 19"),
        (Wind(from_true_deg=None, mean_kt=3.0), "wind variable 3 kt"),
        (
            Wind(from_true_deg=300.0, mean_kt=9.0, between_true_deg=(270.0, 340.0)),
            "wind 300° true, between 270° and 340°, 9 kt",
        ),
    ],
)
def test_a_wind_is_told_as_it_is_spoken(wind: Wind, words: str) -> None:
    assert wind_text(wind) == words

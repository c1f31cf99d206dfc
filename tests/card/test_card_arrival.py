"""The back of the card: flow, gates, runway and what if, held to the plan they come from."""

from dataclasses import replace
from datetime import timedelta
from math import cos, radians, sin
from pathlib import Path

import numpy as np
import pytest

from lubberline.card.astray import elsewhere, near_rows
from lubberline.card.flow import OURS, flow_rows
from lubberline.card.gates import gate_rows
from lubberline.card.legs import clock_text
from lubberline.card.runway import runway_sketch
from lubberline.card.talk import ladder
from lubberline.earth import course_and_distance, variation_deg
from lubberline.errors import BadFile
from lubberline.fit import decision_words, fuel_plan, rules_of, settings, times_utc
from lubberline.loop import Prepared
from lubberline.units import FT_PER_NM
from lubberline.ways import along_way, power_steps, radio_calls, way_down


def due_min(prepared: Prepared, clock: str) -> float:
    """Minutes after take-off of a time on the card, to the minute."""
    takeoff_utc = times_utc(prepared.plan, prepared.way)[0]
    hours, minutes = (int(part) for part in clock.split(":"))
    return hours * 60.0 + minutes - takeoff_utc.hour * 60.0 - takeoff_utc.minute


SETTLED_MIN = ((5, 15), (3, 13), (2, 12), (1, 10))  # before the way down, and before the field


@pytest.mark.parametrize("number", [1, 2, 3])
def test_the_weather_is_written_down_when_the_ladder_listens(
    prepared: Prepared, number: int
) -> None:
    way = prepared.ways[number - 1]
    row = next(row for row in ladder(prepared.plan, way) if row.who == "Marl ATIS")
    assert next(flow_rows(prepared.plan, way)).due == row.at


def test_what_cannot_be_heard_yet_is_waited_for(prepared: Prepared) -> None:
    plan, way = prepared.plan, prepared.way
    late_min = float(way.path[-1, 3]) - 4.0
    atis = next(one for one in radio_calls(plan, way) if one.facility == "Marl ATIS")
    late = replace(atis, spot=along_way(way, plan.terrain).spot(late_min))
    due = [due_min(prepared, row.due) for row in flow_rows(plan, way, [late])]
    assert due == sorted(due)
    assert due[0] == pytest.approx(late_min, abs=0.51)


def test_to_a_silent_field_without_a_descent_there_is_a_flow(prepared: Prepared) -> None:
    plan, low = prepared.plan, prepared.way.path.copy()
    low[:, 2] = plan.destination.elev_msl_ft + 500.0
    silent = replace(plan.destination, radios=())
    fields = {**plan.places.aerodromes, silent.id: silent}
    plan = replace(plan, places=replace(plan.places, aerodromes=fields))
    rows = list(flow_rows(plan, replace(prepared.way, path=low)))
    before_min = [float(low[-1, 3]) - due_min(prepared, row.due) for row in rows]
    assert before_min == pytest.approx([15, 13, 12, 11, 6, 4, 2, 1], abs=0.51)


def test_our_flow_falls_where_its_minutes_say(prepared: Prepared) -> None:
    rows = list(flow_rows(prepared.plan, prepared.way))
    end_min = float(prepared.way.path[-1, 3])
    takeoff_utc = times_utc(prepared.plan, prepared.way)[0]
    down = way_down(prepared.way, prepared.plan.destination)
    assert down is not None
    due_min = [min(down.from_min - one, end_min - least) for one, least in SETTLED_MIN]
    due_min += [end_min - one for one in (6, 4, 2, 1)]
    assert [row.due for row in rows] == [
        clock_text(takeoff_utc + timedelta(minutes=one)) for one in due_min
    ]
    assert [row.boxed for row in rows].count(True) == 2
    assert all("GEAR" in row.say for row in rows if row.boxed)


def test_a_fixed_gear_is_not_asked_for(prepared: Prepared) -> None:
    fixed = replace(prepared.plan, aircraft=replace(prepared.plan.aircraft, retractable=False))
    assert not any("GEAR" in row.say for row in flow_rows(fixed, prepared.way))
    assert "gear" not in " ".join(gates(replace(prepared, plan=fixed)).values())


def test_a_fixed_propeller_is_not_asked_for(prepared: Prepared) -> None:
    plain = replace(prepared.plan.aircraft, controllable_propeller=False)
    for aircraft in (prepared.plan.aircraft, plain):
        plan = replace(prepared.plan, aircraft=aircraft)
        checks = [row.say for row in flow_rows(plan, prepared.way) if row.say.startswith("CHECK")]
        assert [one[:7] for one in checks] == ["CHECK 1", "CHECK 2"]
        assert ("prop" in checks[1]) is aircraft.controllable_propeller


@pytest.fixture
def own(prepared: Prepared, tmp_path: Path) -> tuple[Prepared, Path]:
    """The flight in a folder of its own, and the place of the pilot's flow there."""
    path = tmp_path / "flows" / "arrival.toml"
    path.parent.mkdir()
    (tmp_path / "pilot.toml").touch()
    folder = tmp_path / "flights" / "one"
    folder.mkdir(parents=True)
    return replace(prepared, plan=replace(prepared.plan, folder=folder)), path


def test_the_pilot_s_own_flow_takes_the_place_of_ours(own: tuple[Prepared, Path]) -> None:
    prepared, path = own
    path.write_text(
        '[[step]]\nsay = "too early"\nbefore_min = 200\n'
        '[[step]]\nsay = "by distance"\nbefore_nm = 10\n'
        '[[step]]\nsay = "by height, or at the field"\nbelow_agl_ft = 1000\nbefore_min = 0\n'
        '[[step]]\nsay = "not before the last"\nbefore_min = 90\n',
        encoding="utf-8",
    )
    way, plan = prepared.way, prepared.plan
    early, by_distance, by_height, last = flow_rows(plan, way)
    left_nm = sum(leg.distance_nm for leg in way.legs) - 10.0
    along_nm = np.cumsum([0.0, *(leg.distance_nm for leg in way.legs)])
    at_min = np.cumsum([0.0, *(leg.time_min for leg in way.legs)])
    assert due_min(prepared, by_distance.due) == pytest.approx(
        float(np.interp(left_nm, along_nm, at_min)), abs=0.51
    )
    height_ft = float(np.interp(due_min(prepared, by_height.due), way.path[:, 3], way.path[:, 2]))
    assert height_ft - plan.destination.elev_msl_ft == pytest.approx(1_000.0, abs=300.0)
    climb_min = next(t for t, leg in zip(at_min, way.legs, strict=False) if leg.phase != "climb")
    assert due_min(prepared, early.due) == pytest.approx(climb_min, abs=0.51)
    assert last.due == by_height.due


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "step"),
        ('[[step]]\nsay = "x"\n', "step 1 with before_down_min, "),
        ('[[step]]\nsay = "x"\nbefore_nm = 1\nonly = "floats"\n', "only"),
        ('[[step]]\nsya = "x"\n', "sya"),
    ],
)
def test_a_flow_that_cannot_be_is_refused(own: tuple[Prepared, Path], text: str, said: str) -> None:
    prepared, path = own
    path.write_text(text, encoding="utf-8")
    with pytest.raises(BadFile, match=said):
        list(flow_rows(prepared.plan, prepared.way))


def test_our_flow_is_shipped() -> None:
    assert OURS.is_file()


def gates(prepared: Prepared) -> dict[str, str]:
    destination = settings(prepared.plan, prepared.way)[1]
    rows = gate_rows(prepared.plan, prepared.way, destination)
    return {row.label: f"{row.by} {row.text}" for row in rows}


def test_the_start_down_is_that_of_the_way(prepared: Prepared) -> None:
    way = prepared.way
    start_min = float(way.path[way.point_names.index("start down"), 3])
    when = clock_text(times_utc(prepared.plan, way)[0] + timedelta(minutes=start_min))
    assert gates(prepared)["start down"].startswith(f"{when}Z ")
    assert gates(prepared)["start down"].endswith(
        f"{prepared.plan.aircraft.descent_fpm:.0f} ft/min"
    )


def without_power(prepared: Prepared) -> Prepared:
    aircraft = replace(prepared.plan.aircraft, power_down=None)
    return replace(prepared, plan=replace(prepared.plan, aircraft=aircraft))


@pytest.mark.parametrize("most_fpm", [None, 1_000.0])
def test_the_latest_start_down_needs_the_steepest_rate(
    prepared: Prepared, most_fpm: float | None
) -> None:
    """Without one in the airplane's file, twice the planned rate: here 1,000 ft/min, too."""
    aircraft, field = prepared.plan.aircraft, prepared.plan.destination
    start_min = float(prepared.way.path[prepared.way.point_names.index("start down"), 3])
    drop_ft = prepared.way.cruise_msl_ft - field.elev_msl_ft - field.pattern_agl_ft
    latest_min = start_min + drop_ft / aircraft.descent_fpm - drop_ft / 1_000.0
    latest_utc = times_utc(prepared.plan, prepared.way)[0] + timedelta(minutes=latest_min)
    said = gates(prepared if most_fpm else without_power(prepared))
    assert said["not later"].startswith(f"{clock_text(latest_utc)}Z ")
    assert said["not later"].endswith("1,000 ft/min")
    assert ("power" in said) is (most_fpm is not None)


def test_power_comes_off_in_the_steps_of_the_airplane_s_file(prepared: Prepared) -> None:
    power, way = prepared.plan.aircraft.power_down, prepared.way
    down = way_down(way, prepared.plan.destination)
    assert power is not None
    assert down is not None
    takeoff_utc = times_utc(prepared.plan, way)[0]
    first, last = (
        clock_text(takeoff_utc + timedelta(minutes=one))
        for one in (power_steps(way, down, power)[0].after_min, down.until_min)
    )
    assert gates(prepared)["power"] == f"{first}Z 23 to 19, to 15 inHg by {last}Z, 2 a step"


def test_limit_speeds_are_the_airplane_s(prepared: Prepared) -> None:
    aircraft, said = prepared.plan.aircraft, gates(prepared)
    assert said["gear down"] == f"1,110 ft under {aircraft.speeds.gear_operate_kt:.0f} kt"
    for flap in aircraft.flaps:
        if flap.max_kt is not None:
            assert f" ft under {flap.max_kt:.0f} kt" in said[f"flaps {flap.name}"]
    plain = replace(prepared.plan, aircraft=replace(aircraft, flaps=(), retractable=False))
    simple = gates(replace(prepared, plan=plain))
    assert simple["flaps"] == f"610 ft under {aircraft.speeds.flaps_kt:.0f} kt"
    assert "gear down" not in simple


def test_half_of_the_gusts_is_added_on_final(prepared: Prepared) -> None:
    wind = settings(prepared.plan, prepared.way)[1].wind
    assert wind is not None
    assert wind.gust_kt is not None
    final_kt = prepared.plan.aircraft.speeds.final_kt
    gusty_kt = final_kt + (wind.gust_kt - wind.mean_kt) / 2.0
    assert gates(prepared)["on speed"] == f"610 ft {final_kt:.0f}, in these gusts {gusty_kt:.0f} kt"


def test_the_sketch_is_the_runway_on_the_day(prepared: Prepared) -> None:
    destination = settings(prepared.plan, prepared.way)[1]
    by_key = {one.limit.key: one for one in prepared.findings}
    landing = by_key["flight.landing_distance"]
    sketch = runway_sketch(prepared.way, destination, landing)
    runway, end, wind = destination.runway, destination.end, destination.wind
    assert wind is not None
    assert wind.from_true_deg is not None
    assert landing.value is not None
    assert sketch.used_fraction == pytest.approx(landing.value / runway.length_ft)
    assert sketch.wind_deg == pytest.approx((wind.from_true_deg - end.true_deg) % 360.0)
    angle = radians(wind.from_true_deg - end.true_deg)
    head_kt, cross_kt = wind.worst_kt * cos(angle), wind.worst_kt * sin(angle)
    side = "right" if cross_kt >= 0 else "left"
    assert sketch.components == f"{head_kt:.0f} kt ahead, {abs(cross_kt):.0f} kt from the {side}"
    variation = float(variation_deg(end.lat_deg, end.lon_deg, 0.0, destination.when_utc))
    assert int(sketch.heading.split()[0]) == pytest.approx(end.true_deg - variation, abs=0.5)


def test_without_wind_or_distance_the_sketch_says_so(prepared: Prepared) -> None:
    destination = replace(settings(prepared.plan, prepared.way)[1], spans=())
    sketch = runway_sketch(prepared.way, destination, None)
    assert (sketch.wind, sketch.wind_deg, sketch.used_fraction) == ("not known", None, None)


def test_a_landing_longer_than_what_is_open_fills_it(prepared: Prepared) -> None:
    destination = settings(prepared.plan, prepared.way)[1]
    landing = next(one for one in prepared.findings if one.limit.key == "flight.landing_distance")
    sketch = runway_sketch(prepared.way, destination, replace(landing, value=99_999.0))
    assert sketch.used_fraction == pytest.approx(1.0 - sketch.displaced_fraction)


def test_the_nearest_field_is_the_nearest(prepared: Prepared) -> None:
    plan, way = prepared.plan, prepared.way
    rows = list(near_rows(plan, way))
    assert len(rows) >= 3
    for row in rows:
        at_min = due_min(prepared, row.over)
        place = [float(np.interp(at_min, way.path[:, 3], way.path[:, n])) for n in (0, 1, 2)]
        away_nm = {
            one.id: float(course_and_distance(place[0], place[1], one.lat_deg, one.lon_deg)[1])
            for one in plan.places.aerodromes.values()
        }
        slack_nm = 170.0 / 60.0 * 0.5  # the time is told to the minute
        assert away_nm[row.field] <= min(away_nm.values()) + slack_nm
        assert float(row.distance) == pytest.approx(away_nm[row.field], abs=slack_nm + 0.05)
        field = plan.places.aerodromes[row.field]
        reach_nm = (place[2] - field.elev_msl_ft) * plan.aircraft.glide_ratio / FT_PER_NM
        if abs(reach_nm - float(row.distance)) > 2.0 * slack_nm:
            assert (row.glide == "yes") == (reach_nm > float(row.distance))
        assert row.glide != "0.0 NM short"


def test_the_last_moments_are_those_of_the_fuel_plan(prepared: Prepared) -> None:
    fuel = fuel_plan(prepared.plan, prepared.way, rules_of(prepared.plan))
    rows = {row.label: row.text for row in elsewhere(prepared.plan, fuel)}
    for one in fuel.decisions:
        label = "turn back" if one.turns_back else f"to {one.to_id}"
        assert rows[label] == decision_words(one)
    assert rows["in trouble"].endswith("7700")

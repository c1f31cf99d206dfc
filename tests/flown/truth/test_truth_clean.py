"""What a clean recorder with attitude shows, held to simulated flights with known answers."""

from dataclasses import replace

import numpy as np
import pytest
from truth_airplane import LEGS, along_across_ft
from truth_judged import FINAL_KT, ROOT, STANDARD, Judged, judged, value
from truth_make import ELEV_FT, read
from truth_recorders import CLEAN, STEPPED, field

from lubberline.aircraft import Aircraft, read_aircraft
from lubberline.arrays import BoolArray, FloatArray
from lubberline.flown import Aims, debrief
from lubberline.flown.gates import GATE_FT
from lubberline.flown.motion import flown_motion

TRUTHS = read()
CASES = [judged(truth, CLEAN, seed=seed) for seed, truth in enumerate(TRUTHS)]
LANDINGS = ("landing", "touch-and-go")
LOWERED = ("downwind", "base")


@pytest.fixture(params=CASES, ids=lambda case: f"{case.truth.wind_kt:.0f}kt")
def case(request: pytest.FixtureRequest) -> Judged:
    found: Judged = request.param
    return found


def test_no_movement_and_no_go_around_is_missed_or_invented(case: Judged) -> None:
    assert case.found == case.expected


@pytest.mark.parametrize("number", range(len(TRUTHS)))
def test_nor_with_whole_feet_and_noise(number: int) -> None:
    stepped = judged(TRUTHS[number], STEPPED, seed=100 + number)
    assert stepped.found == stepped.expected


def test_whole_feet_leave_nine_moments_in_ten_in_the_stated_interval() -> None:
    inside = []
    for number, truth in enumerate(TRUTHS):
        stepped = judged(truth, STEPPED, seed=200 + number)
        sigma_s = {one.time_s: one.sigma_s for one in stepped.flown.movements}
        for one, event in stepped.pairs("take-off", *LANDINGS):
            inside.append(abs(one.time_s - event.time_s) <= 1.645 * sigma_s[one.time_s])
    assert np.mean(inside) >= 0.9


def test_touchdown_is_within_1_s_50_ft_along_and_10_ft_across(case: Judged) -> None:
    for one, event in case.pairs(*LANDINGS):
        assert one.time_s == pytest.approx(event.time_s, abs=1.0)
        assert value(one, "touchdown_threshold")[0] == pytest.approx(event.along_ft, abs=50.0)
        assert value(one, "touchdown_centerline")[0] == pytest.approx(event.right_ft, abs=10.0)


def test_lift_off_is_within_1_s_and_60_ft(case: Judged) -> None:
    for one, event in case.pairs("take-off"):
        assert one.time_s == pytest.approx(event.time_s, abs=1.0)
        assert value(one, "liftoff_point")[0] == pytest.approx(event.along_ft, abs=60.0)


def test_height_over_the_threshold_is_within_2_ft(case: Judged) -> None:
    for one, event in case.pairs(*LANDINGS):
        columns = case.truth.columns
        rows = np.flatnonzero(np.abs(columns["time_s"] - event.time_s) < 60.0)
        along_ft = np.array([
            along_across_ft(*place)[0]
            for place in zip(columns["lat_deg"][rows], columns["lon_deg"][rows], strict=True)
        ])  # fmt: skip
        coming = columns["time_s"][rows] <= event.time_s
        true_ft = np.interp(0.0, along_ft[coming], columns["wheel_ft"][rows][coming])
        assert value(one, "threshold_height")[0] == pytest.approx(true_ft, abs=2.0)


def test_the_gate_is_timed_within_1_s_and_its_speed_within_2_kt(case: Judged) -> None:
    for one, event in case.pairs(*LANDINGS):
        columns = case.truth.columns
        high = (columns["time_s"] < event.time_s) & (columns["wheel_ft"] > GATE_FT)
        k = int(np.flatnonzero(high)[-1])
        true_s = float(
            np.interp(-GATE_FT, -columns["wheel_ft"][k : k + 2], columns["time_s"][k : k + 2])
        )
        found = next(f for f in one.findings if f.limit.key == "flown.gate_airspeed")
        clock = f"{int(true_s) // 3600 % 24:02d}:{int(true_s) // 60 % 60:02d}:"
        assert found.where.startswith(clock) or int(true_s) % 60 in (0, 59)
        seconds = float(found.where[6:8])
        assert abs((seconds - true_s % 60.0 + 30.0) % 60.0 - 30.0) <= 1.0
        assert found.value is not None
        assert found.value + FINAL_KT == pytest.approx(case.column("ias_kt", true_s), abs=2.0)


def test_a_go_around_is_found_where_it_was_begun(case: Judged) -> None:
    for one, event in case.pairs("go-around"):
        assert one.time_s == pytest.approx(event.time_s, abs=3.0)
        true_ft = case.column("wheel_ft", event.time_s)
        assert value(one, "go_around_decision")[0] == pytest.approx(true_ft, abs=15.0)
        near = np.abs(case.truth.columns["time_s"] - event.time_s) < 20.0
        lowest_ft = float(case.truth.columns["wheel_ft"][near].min())
        assert value(one, "go_around_lowest")[0] == pytest.approx(lowest_ft, abs=3.0)


def test_the_wind_is_within_1_kt_and_3_degrees(case: Judged) -> None:
    truth = case.truth
    smooth = any(truth is one for one in (TRUTHS[0], TRUTHS[1], TRUTHS[3]))  # the rest: gusts
    assert case.flown.winds
    for wind in case.flown.winds:
        assert wind.wind_kt == pytest.approx(truth.wind_kt, abs=1.0 if smooth else 2.0)
        off_deg = (wind.from_true_deg - truth.wind_from_deg + 180.0) % 360.0 - 180.0
        if truth.wind_kt >= 5.0:
            assert abs(off_deg) <= (3.0 if smooth else 6.0)


def airborne(case: Judged, time_s: FloatArray) -> BoolArray:
    columns = case.truth.columns
    return np.asarray(np.interp(time_s, columns["time_s"], columns["wheel_ft"]) > 50.0)


def test_bank_from_turning_flight_alone_is_within_2_degrees(case: Judged) -> None:
    track = case.flown.recording.track
    bare = type(track)(
        time_s=track.time_s, lat_deg=track.lat_deg, lon_deg=track.lon_deg, gnss_ft=track.gnss_ft,
        pressure_ft=track.pressure_ft, channels={},
    )  # fmt: skip
    toward = np.radians(case.truth.wind_from_deg + 180.0)
    wind_kt = case.truth.wind_kt
    found = flown_motion(bare, wind_toward_kt=(wind_kt * np.sin(toward), wind_kt * np.cos(toward)))
    true_deg = np.interp(found.time_s, case.truth.columns["time_s"], case.truth.columns["bank_deg"])
    off_deg = (found.bank_deg - true_deg)[airborne(case, found.time_s)]
    assert np.sqrt(np.mean(off_deg**2)) <= 2.0
    assert np.mean(np.abs(off_deg) <= 2.0) >= 0.9
    assert np.mean(np.abs(off_deg) <= 1.645 * found.bank_sigma_deg.max()) >= 0.9


def test_load_is_that_of_the_turn(case: Judged) -> None:
    found = flown_motion(case.flown.recording.track)
    columns = case.truth.columns
    smooth = np.convolve(columns["load_ratio"], np.ones(5) / 5.0, mode="same")
    true_ratio = np.interp(found.time_s, columns["time_s"], smooth)
    off = (found.load_ratio - true_ratio)[airborne(case, found.time_s)]
    assert np.sqrt(np.mean(off**2)) <= 0.1


@pytest.mark.parametrize(
    "case", [one for one in CASES if len(one.truth.events) == 2], ids=["breeze", "rough"]
)
def test_the_worst_height_in_cruise_is_within_10_ft(case: Judged) -> None:
    columns = case.truth.columns
    cruise = next(p for p in case.flown.phases if p.name == "cruise")
    settled = (columns["time_s"] >= cruise.start_s + 60.0) & (
        columns["time_s"] <= cruise.end_s - 60.0
    )
    msl_ft = columns["wheel_ft"][settled] + ELEV_FT
    # Without a pledge the level is not known; the drawn heights are those that would be judged.
    drawn = case.flown.track
    inside = (drawn.time_s >= cruise.start_s + 60.0) & (drawn.time_s <= cruise.end_s - 60.0)
    assert drawn.indicated_ft[inside].max() == pytest.approx(msl_ft.max(), abs=10.0)
    assert drawn.indicated_ft[inside].min() == pytest.approx(msl_ft.min(), abs=10.0)


def heron() -> Aircraft:
    """The demo's airplane with speeds that these slow flights reach."""
    plane = read_aircraft(ROOT / "src/lubberline/demo/files/aircraft/heron.toml")
    speeds = replace(plane.speeds, flaps_kt=80.0, gear_operate_kt=70.0, gear_extended_kt=85.0)
    return replace(plane, speeds=speeds)


def moved_s(case: Judged, event_s: float) -> float:
    """When the flaps last came to rest before a touchdown, by the simulator."""
    time_s, flap_deg = case.truth.columns["time_s"], case.truth.columns["flap_deg"]
    before = np.flatnonzero(time_s < event_s - 2.0)
    moving = np.flatnonzero(np.abs(flap_deg[before] - flap_deg[before[-1]]) > 0.5)
    return float(time_s[moving[-1] + 1])


def test_flaps_are_seen_at_rest_within_1_s(case: Judged) -> None:
    for one, event in case.pairs(*LANDINGS):
        found = next(f for f in one.findings if f.limit.key == "flown.configured_by")
        if not found.where:  # at rest from above 1,000 ft
            assert case.column("wheel_ft", moved_s(case, event.time_s)) >= 950.0
            continue
        seconds = sum(float(part) * k for part, k in zip(
            found.where.rstrip("Z").split(":"), (3600.0, 60.0, 1.0), strict=True
        ))  # fmt: skip
        off_s = (seconds - moved_s(case, event.time_s) + 43_200.0) % 86_400.0 - 43_200.0
        assert abs(off_s) <= 1.0 + 0.5  # the clock is written in whole seconds


def test_worst_speeds_with_flaps_and_gear_out_are_within_2_kt(case: Judged) -> None:
    """The gear runs out for seven seconds from abeam the threshold, and stays out."""
    columns = case.truth.columns
    legs = [LEGS[int(one)] for one in columns["leg_index"]]
    out_s = float(columns["time_s"][next(k for k, leg in enumerate(legs) if leg in LOWERED)])
    gear = np.clip((columns["time_s"] - out_s) / 7.0, 0.0, 1.0)
    plane, track = heron(), case.flown.recording.track
    recorded_gear = np.interp(track.time_s, columns["time_s"], gear)
    track = replace(track, channels={**track.channels, "gear_fraction": recorded_gear})
    flown = debrief(
        replace(case.flown.recording, track=track), places=field(), pledge=None,
        standard=STANDARD, aims=Aims(aircraft=plane),
    )  # fmt: skip
    found = {one.limit.key: one.value for one in flown.findings}
    fast = columns["ias_kt"] > 30.0
    flaps_out = fast & (columns["flap_deg"] > 0.03 * columns["flap_deg"].max())
    assert found["flown.flap_speed"] == pytest.approx(
        float(columns["ias_kt"][flaps_out].max()) - plane.speeds.flaps_kt, abs=2.0
    )
    moving = (gear > 0.03) & (gear < 0.97)
    limit_kt = np.where(moving, 70.0, 85.0)
    over_kt = (columns["ias_kt"] - limit_kt)[fast & (gear > 0.03)]
    assert found["flown.gear_speed"] == pytest.approx(float(over_kt.max()), abs=2.0)


def test_the_downwind_closes_in_on_the_runway_as_it_did(case: Judged) -> None:
    columns = case.truth.columns
    legs = np.array([LEGS[int(one)] for one in columns["leg_index"]])
    for one, event in case.pairs(*LANDINGS):
        found_deg, _ = value(one, "pattern_drift")
        if np.isnan(found_deg):  # a straight-in approach
            continue
        before = (columns["time_s"] < event.time_s) & (columns["time_s"] > event.time_s - 300.0)
        rows = np.flatnonzero(before & (legs == "downwind"))
        place_ft = np.array([
            along_across_ft(columns["lat_deg"][k], columns["lon_deg"][k]) for k in rows
        ])  # fmt: skip
        back_deg = np.degrees(np.arctan2(*np.diff(np.abs(place_ft), axis=0).T[::-1]))
        ahead = (place_ft[1:, 0] > 0.0) & (np.abs(back_deg) > 155.0)
        slope = np.polyfit(place_ft[1:][ahead][20:, 0], np.abs(place_ft[1:][ahead][20:, 1]), 1)[0]
        assert found_deg == pytest.approx(float(np.degrees(np.arctan(slope))), abs=1.0)

"""Maneuvers: found by name and time, nothing invented, measured as they were flown."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from flown_airwork import Airwork
from flown_flights import NO_PLACES, START_S, Trace, circuits, cross_country, recorded

from lubberline.air import cas_from_tas_kt, isa_temperature_degc
from lubberline.earth import flat_terrain
from lubberline.flown import Flown, Standard, debrief, read_standard
from lubberline.flown.corrections import Correction, ManeuverNamed
from lubberline.line import Finding, Verdict
from lubberline.recording import Recording

STANDARDS = Path(__file__).parents[2] / "src" / "lubberline" / "demo" / "files" / "standards"
COMMERCIAL = read_standard(STANDARDS / "commercial.toml")
PRIVATE = read_standard(STANDARDS / "private.toml")
STALL_KT = 52.0
TRACE = cross_country(cruise_s=300.0).trace()
ALL = ("ias_kt", "roll_deg", "heading_true_deg")


def judged(
    recording: Recording,
    standard: Standard = COMMERCIAL,
    stall_ias_kt: float | None = STALL_KT,
    corrections: tuple[Correction, ...] = (),
) -> Flown:
    return debrief(
        recording,
        places=NO_PLACES,
        pledge=None,
        standard=standard,
        terrain=flat_terrain(100.0),
        stall_ias_kt=stall_ias_kt,
        corrections=corrections,
    )


def found(flown: Flown) -> list[str]:
    return [one.name for one in flown.maneuvers]


def named(flown: Flown) -> dict[str, Finding]:
    return {one.limit.key.removeprefix("flown."): one for one in flown.findings}


def value(flown: Flown, name: str) -> float:
    known = named(flown)[name].value
    assert known is not None
    return known


def steep_turn(bank_deg: float = 50.0, by_deg: float = 360.0) -> Airwork:
    work = Airwork().piece(90.0)
    begin_s = work.now_s
    return work.turn(by_deg, bank_deg).named("steep turn", begin_s).piece(90.0)


def steep_spiral() -> Airwork:
    work = Airwork(height_ft=5_500.0, kt=85.0).piece(90.0).piece(5.0, fpm=-900.0)
    begin_s = work.now_s
    work.turn(1_080.0, 40.0).named("steep spiral", begin_s)
    return work.piece(5.0, fpm=0.0).piece(90.0, kt=110.0)


def chandelle(off_deg: float = 0.0) -> Airwork:
    """Thirty degrees of bank for the first half, then rolled out evenly while slowing."""
    work = Airwork(kt=110.0).piece(90.0)
    begin_s = work.now_s
    work.piece(3.0, bank_deg=30.0, fpm=1_000.0).piece(13.0, kt=90.0)
    work.piece(16.0, bank_deg=10.0, kt=68.0)
    left_deg = 180.0 + off_deg - turned_so_far(work)
    rate = np.degrees(9.80665 * np.tan(np.radians(10.0)) / (68.0 * 0.514444))
    work.piece(left_deg / rate - 1.0).piece(2.0, bank_deg=0.0, fpm=0.0)
    return work.named("chandelle", begin_s).piece(15.0).piece(90.0, kt=110.0)


def turned_so_far(work: Airwork) -> float:
    kt, bank_deg, _ = np.concatenate(work.rows).T
    return float(
        np.sum(np.degrees(9.80665 * np.tan(np.radians(bank_deg)) / (kt * 0.514444))) * 0.05
    )


def lazy_eight() -> Airwork:
    work = Airwork(kt=105.0).piece(90.0)
    begin_s = work.now_s
    for side in (1.0, -1.0):
        work.piece(13.71, bank_deg=side * 15.0, kt=90.0, fpm=1_000.0)
        work.piece(12.34, bank_deg=side * 30.0, kt=75.0, fpm=0.0)
        work.piece(12.34, bank_deg=side * 15.0, kt=90.0, fpm=-1_000.0)
        work.piece(13.71, bank_deg=0.0, kt=105.0, fpm=0.0)
    return work.named("lazy eight", begin_s).piece(90.0, kt=110.0)


def slow_flight(kt: float = 62.0) -> Airwork:
    work = Airwork(height_ft=3_000.0).piece(90.0).piece(40.0, kt=kt)
    begin_s = work.now_s
    work.piece(90.0).named("slow flight", begin_s)
    return work.piece(30.0, kt=110.0).piece(90.0)


def stall() -> Airwork:
    work = Airwork(height_ft=4_000.0).piece(90.0).piece(30.0, kt=62.0)
    begin_s = work.now_s
    work.piece(8.0, kt=50.0).piece(3.0, fpm=-1_200.0).piece(8.0, kt=75.0, fpm=0.0)
    return work.named("stall", begin_s).piece(20.0, kt=110.0).piece(90.0)


def around_a_point() -> Airwork:
    work = Airwork(height_ft=900.0).piece(90.0).piece(20.0, kt=95.0).piece(20.0)
    begin_s = work.now_s
    return work.turn(360.0, 25.0).named("ground reference", begin_s).piece(90.0, kt=110.0)


WIND_KT = (8.0, 6.0)


def pylon_turn(
    work: Airwork, by_deg: float, radius_nm: float, wind_kt: tuple[float, float]
) -> None:
    """A turn in which one point of the ground stays abeam; the bank is what that asks for."""
    heading_rad = np.radians(work.heading_deg + turned_in_all(work))
    side = float(np.sign(by_deg))
    pylon = radius_nm * side * np.array([np.cos(heading_rad), -np.sin(heading_rad)])
    place, turned, rows = np.zeros(2), 0.0, []
    while abs(turned) < abs(by_deg):
        through = work.kt * np.array([np.sin(heading_rad), np.cos(heading_rad)])
        place = place + (through + np.array(wind_kt)) * 0.05 / 3600.0
        toward = pylon - place
        now_rad = np.arctan2(toward[0], toward[1]) - side * np.pi / 2.0
        step_rad = (now_rad - heading_rad + np.pi) % (2.0 * np.pi) - np.pi
        heading_rad += step_rad
        turned += float(np.degrees(step_rad))
        bank_deg = np.degrees(np.arctan(step_rad / 0.05 * work.kt * 0.514444 / 9.80665))
        rows.append([work.kt, bank_deg, 0.0])
    work.rows.append(np.array(rows))
    work.now_s += len(rows) * 0.05


def turned_in_all(work: Airwork) -> float:
    return turned_so_far(work) if work.rows else 0.0


def eights_on_pylons(wind_kt: tuple[float, float] = (0.0, 0.0), radius_nm: float = 0.27) -> Airwork:
    """Two and a half eights at the pivotal altitude of 98 kt, 850 ft over ground of 100 ft."""
    work = Airwork(height_ft=950.0, kt=98.0).piece(90.0)
    begin_s = work.now_s
    for side in (-1.0, 1.0, -1.0, 1.0, -1.0):
        pylon_turn(work, side * 240.0, radius_nm, wind_kt)
        work.piece(6.0, bank_deg=0.0)
    return work.named("eights on pylons", begin_s).piece(90.0, kt=110.0)


def emergency_descent(bank_deg: float = 38.0) -> Airwork:
    """Into a bank and down at 2,000 ft/min, through half a circle, and level at 2,500 ft."""
    work = Airwork(height_ft=5_000.0, kt=100.0).piece(90.0)
    begin_s = work.now_s
    work.piece(6.0, bank_deg=bank_deg, fpm=-2_000.0, kt=120.0)
    work.piece(30.0).piece(5.0, bank_deg=0.0).piece(25.0)
    left_ft = work.height_ft + float(np.concatenate(work.rows)[:, 2].sum()) * 0.05 / 60.0 - 2_500.0
    work.piece((left_ft - 100.0) / 2_000.0 * 60.0).piece(6.0, fpm=0.0)
    return work.named("emergency descent", begin_s).piece(90.0, kt=110.0)


FLIGHTS: dict[str, Callable[..., Airwork]] = {
    "eights on pylons": eights_on_pylons,
    "emergency descent": emergency_descent,
    "steep turn": steep_turn,
    "steep spiral": steep_spiral,
    "chandelle": chandelle,
    "lazy eight": lazy_eight,
    "slow flight": slow_flight,
    "ground reference": around_a_point,
    "stall": stall,
}


@pytest.mark.parametrize("channels", [ALL, ("ias_kt",)], ids=["attitude", "airspeed only"])
@pytest.mark.parametrize("name", FLIGHTS)
def test_a_maneuver_is_found_by_its_name_and_time(name: str, channels: tuple[str, ...]) -> None:
    work = FLIGHTS[name]()
    flown = judged(work.recording(channels=channels))
    assert found(flown) == [name]
    start_s, end_s = work.spans[name]
    assert flown.maneuvers[0].start_s < end_s
    assert flown.maneuvers[0].end_s > start_s
    if name not in ("slow flight", "stall"):
        assert flown.maneuvers[0].start_s == pytest.approx(start_s, abs=6.0)
        assert flown.maneuvers[0].end_s == pytest.approx(end_s, abs=8.0)


@pytest.mark.parametrize("name", ["steep turn", "steep spiral", "ground reference"])
def test_turns_are_found_from_positions_alone(name: str) -> None:
    assert found(judged(FLIGHTS[name]().recording(channels=()))) == [name]


@pytest.mark.parametrize("channels", [ALL, ("ias_kt",)], ids=["attitude", "airspeed only"])
def test_eights_on_pylons_are_found_in_wind(channels: tuple[str, ...]) -> None:
    flown = judged(eights_on_pylons(WIND_KT).recording(wind_kt=WIND_KT, channels=channels))
    assert found(flown) == ["eights on pylons"]


@pytest.mark.parametrize(
    ("radius_nm", "verdict"), [(0.27, Verdict.INSIDE), (0.15, Verdict.OUTSIDE)]
)
def test_the_steepest_bank_on_a_pylon_is_judged(radius_nm: float, verdict: Verdict) -> None:
    flown = judged(eights_on_pylons(radius_nm=radius_nm).recording())
    one = named(flown)["eights_on_pylons_bank"]
    true_deg = np.degrees(np.arctan((98.0 * 0.514444) ** 2 / (9.80665 * radius_nm * 1852.0)))
    assert one.value == pytest.approx(true_deg, abs=1.5)
    assert one.verdict is verdict
    assert one.limit.source.startswith("FAA-S-ACS-7B")
    assert "off the pivotal altitude" in one.note


def test_s_turns_and_eights_high_up_are_no_eights_on_pylons() -> None:
    s_turns = Airwork(height_ft=950.0, kt=98.0).piece(90.0)
    for side in (-1.0, 1.0, -1.0):
        s_turns.turn(side * 180.0, 25.0)
    high = eights_on_pylons()
    high.height_ft = 3_000.0
    for work in (s_turns.piece(90.0), high):
        assert "eights on pylons" not in found(judged(work.recording()))


@pytest.mark.parametrize(
    ("bank_deg", "verdict"),
    [(38.0, Verdict.INSIDE), (27.0, Verdict.OUTSIDE), (50.0, Verdict.OUTSIDE)],
)
def test_the_bank_of_an_emergency_descent_is_judged(bank_deg: float, verdict: Verdict) -> None:
    flown = judged(emergency_descent(bank_deg).recording())
    assert named(flown)["emergency_descent_bank"].verdict is verdict
    assert value(flown, "emergency_descent_bank") == pytest.approx(bank_deg, abs=1.5)


def test_what_an_emergency_descent_aimed_at_only_the_pilot_knows() -> None:
    work = emergency_descent()
    flown = judged(work.recording())
    for name in ("emergency_descent_airspeed", "emergency_descent_height"):
        assert named(flown)[name].verdict is Verdict.UNKNOWN
        assert "corrections.toml" in named(flown)[name].missing
    one = flown.maneuvers[0]
    said = ManeuverNamed(
        name="emergency descent", start_s=one.start_s, end_s=one.end_s, target_ias_kt=115.0,
        target_bank_deg=None, target_msl_ft=2_450.0, why="",
    )  # fmt: skip
    flown = judged(work.recording(), corrections=(said,))
    assert value(flown, "emergency_descent_height") == pytest.approx(50.0, abs=15.0)
    ias_kt = float(cas_from_tas_kt(120.0, 3_500.0, isa_temperature_degc(3_500.0)))
    assert value(flown, "emergency_descent_airspeed") == pytest.approx(ias_kt - 115.0, abs=4.0)


@pytest.mark.parametrize("fpm", [-700.0, -900.0])
def test_an_ordinary_descent_in_a_turn_is_no_emergency(fpm: float) -> None:
    work = Airwork(height_ft=5_000.0, kt=110.0).piece(90.0).piece(5.0, fpm=fpm)
    work.turn(180.0, 25.0).piece(60.0).piece(5.0, fpm=0.0).piece(90.0)
    assert "emergency descent" not in found(judged(work.recording()))


@pytest.mark.parametrize("bank_deg", [42.0, 45.0, 50.0, 56.0])
def test_bank_of_a_steep_turn_is_the_one_flown(bank_deg: float) -> None:
    for channels, within_deg in ((ALL, 0.6), (("ias_kt",), 2.5), ((), 4.0)):
        flown = judged(steep_turn(bank_deg).recording(channels=channels))
        assert value(flown, "steep_turn_bank") == pytest.approx(bank_deg, abs=within_deg), channels


@pytest.mark.parametrize("off_deg", [-16.0, -8.0, 0.0, 8.0, 16.0])
def test_a_roll_out_is_off_by_what_was_flown(off_deg: float) -> None:
    flown = judged(steep_turn(by_deg=360.0 + off_deg).recording())
    assert value(flown, "steep_turn_rollout") == pytest.approx(off_deg, abs=2.0)
    inside = named(flown)["steep_turn_rollout"].verdict is not Verdict.OUTSIDE
    assert inside == (abs(off_deg) <= 10.0)


def test_height_lost_in_a_steep_turn_is_told_from_the_entry() -> None:
    work = Airwork().piece(90.0).piece(3.0, bank_deg=50.0).piece(10.0, fpm=-700.0)
    work.piece(10.0, fpm=0.0).piece(12.0).piece(3.0, bank_deg=0.0).piece(90.0)
    flown = judged(work.recording())
    assert found(flown) == ["steep turn"]
    assert value(flown, "steep_turn_height") == pytest.approx(-117.0, abs=10.0)
    assert named(flown)["steep_turn_height"].verdict is Verdict.OUTSIDE
    assert "CA.V.A.S5" in named(flown)["steep_turn_height"].limit.source


def test_the_standard_sets_the_bank() -> None:
    recording = steep_turn(45.0).recording()
    assert named(judged(recording, PRIVATE))["steep_turn_bank"].verdict is Verdict.INSIDE
    limit = named(judged(recording))["steep_turn_bank"].limit
    assert (limit.low, limit.target, limit.high) == (45.0, 50.0, 55.0)


def test_slow_flight_is_held_to_the_speed_that_the_pilot_names() -> None:
    from lubberline.flown.corrections import ManeuverNamed

    work = slow_flight(62.0)
    recording = work.recording()
    asked = named(judged(recording))["slow_flight_airspeed"]
    assert asked.verdict is Verdict.UNKNOWN
    assert "corrections.toml" in asked.missing
    ias_kt = float(np.median(recording.track.channels["ias_kt"][150:200]))
    start_s, end_s = work.spans["slow flight"]
    mine = ManeuverNamed(
        name="slow flight",
        start_s=(start_s + 10.0) % 86_400.0,
        end_s=(end_s - 10.0) % 86_400.0,
        target_ias_kt=ias_kt - 3.0,
        target_bank_deg=None,
        why="",
    )
    flown = debrief(
        recording,
        places=NO_PLACES,
        pledge=None,
        standard=COMMERCIAL,
        stall_ias_kt=STALL_KT,
        corrections=(mine,),
    )
    assert [(one.name, one.by_pilot) for one in flown.maneuvers] == [("slow flight", True)]
    assert value(flown, "slow_flight_airspeed") == pytest.approx(3.0, abs=0.3)
    assert any("found as slow flight" in one for one in flown.account)


@pytest.mark.parametrize(
    ("rpm", "kind"),
    [(1_000.0, "power-off stall"), (2_300.0, "power-on stall"), (1_500.0, "stall")],
)
def test_power_tells_one_stall_from_the_other(rpm: float, kind: str) -> None:
    work = stall()
    revolutions = np.full(400, 2_400.0)
    begin = round(work.spans["stall"][0] - START_S)
    revolutions[begin - 25 : begin + 12] = rpm
    flown = judged(work.recording(rpm=revolutions))
    assert found(flown) == [kind]


def test_a_chandelle_and_a_lazy_eight_are_compared_where_their_tasks_say() -> None:
    assert value(judged(chandelle(0.0).recording()), "chandelle_rollout") == pytest.approx(
        0.0, abs=3.0
    )
    assert value(judged(chandelle(14.0).recording()), "chandelle_rollout") == pytest.approx(
        14.0, abs=3.0
    )
    flown = judged(lazy_eight().recording())
    assert abs(value(flown, "lazy_eight_height")) < 15.0
    assert abs(value(flown, "lazy_eight_airspeed")) < 3.0


def test_ground_under_a_maneuver_counts() -> None:
    work = steep_spiral()
    at_end = round((work.spans["steep spiral"][1] - START_S) / 0.05)
    lost_ft = float(np.concatenate(work.rows)[:at_end, 2].sum()) * 0.05 / 60.0
    flown = judged(work.recording())
    low = named(flown)["steep_spiral_floor"]
    assert low.limit.low == 1_500.0
    assert low.value == pytest.approx(5_500.0 + lost_ft - 100.0, abs=30.0)  # 2 s of it
    without = debrief(
        work.recording(channels=()), places=NO_PLACES, pledge=None, standard=COMMERCIAL
    )
    assert named(without)["steep_spiral_floor"].verdict is Verdict.UNKNOWN


def test_two_of_a_kind_have_keys_of_their_own() -> None:
    work = steep_turn().turn(-360.0, 50.0).piece(60.0)
    flown = judged(work.recording())
    assert found(flown) == ["steep turn", "steep turn"]
    assert {"steep_turn_bank", "steep_turn_bank.2"} <= set(named(flown))


@pytest.mark.parametrize("seed", range(4))
def test_wind_makes_no_maneuver_and_hides_none(seed: int) -> None:
    rng = np.random.default_rng(seed)
    wind_kt = tuple(float(one) for one in rng.normal(0.0, 15.0, 2))
    recording = steep_turn().recording(wind_kt=(wind_kt[0], wind_kt[1]), seed=seed)
    assert found(judged(recording)) == ["steep turn"]


@pytest.mark.parametrize("trace", [circuits(1).trace(), circuits(3).trace(), TRACE])
def test_circuits_and_a_journey_hold_no_maneuvers(trace: Trace) -> None:
    flown = debrief(recorded(trace), places=NO_PLACES, pledge=None, standard=COMMERCIAL)
    assert set(found(flown)) <= {"level turn"}


def test_what_fits_nothing_is_unknown() -> None:
    work = Airwork().piece(90.0).piece(3.0, bank_deg=55.0, fpm=-2_500.0).piece(14.0)
    work.piece(3.0, bank_deg=0.0, fpm=0.0).piece(90.0)
    flown = judged(work.recording())
    assert found(flown) == ["unknown"]
    assert not [key for key in named(flown) if "steep" in key]


def test_without_airspeed_or_stall_speed_no_stall_is_claimed() -> None:
    assert found(judged(stall().recording(channels=()))) == []
    assert found(judged(stall().recording(), stall_ias_kt=None)) == []


def turning_stall() -> Airwork:
    work = Airwork(height_ft=4_000.0).piece(90.0).piece(30.0, kt=62.0)
    work.piece(3.0, bank_deg=20.0).piece(6.0, kt=50.0).piece(3.0, fpm=-1_200.0)
    work.piece(8.0, kt=75.0, bank_deg=0.0, fpm=0.0)
    return work.piece(20.0, kt=110.0).piece(90.0)


@pytest.mark.parametrize(
    ("work", "asked"),
    [(stall(), {"heading"}), (turning_stall(), {"bank"})],
    ids=["straight", "turn"],
)
def test_a_stall_is_held_to_heading_or_to_bank_as_it_was_entered(
    work: Airwork, asked: set[str]
) -> None:
    flown = judged(work.recording(rpm=np.full(400, 2_400.0)))
    assert found(flown) == ["power-on stall"]
    keys = {key.removeprefix("power_on_stall_") for key in named(flown)}
    assert keys & {"heading", "bank"} == asked


def test_turns_in_slow_flight_are_no_heading_that_was_not_held() -> None:
    work = Airwork(height_ft=3_000.0).piece(90.0).piece(40.0, kt=62.0).piece(40.0)
    work.turn(90.0, 12.0).piece(40.0).piece(30.0, kt=110.0).piece(90.0)
    flown = judged(work.recording())
    assert "slow flight" in found(flown)
    asked = named(flown)["slow_flight_heading"]
    assert asked.verdict is Verdict.UNKNOWN
    assert "turned" in asked.missing

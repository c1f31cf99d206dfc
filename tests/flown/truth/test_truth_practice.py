"""Maneuvers, a holding and low passes of the simulated airplane, found as they were flown."""

import os

import numpy as np
import pytest
from truth_judged import ROOT, Judged, judged
from truth_practice import Practised, kept, practised
from truth_recorders import CLEAN, NOISY, STEPPED, Recorder, field, recorded

from lubberline.arrays import FloatArray
from lubberline.earth import flat_terrain
from lubberline.flown import Flown, debrief, read_standard

COMMERCIAL = read_standard(ROOT / "src/lubberline/demo/files/standards/commercial.toml")
STALL_KT = 50.0  # of the simulated airplane, clean
ROUGH = Recorder(place_m=1.0, height_ft=3.0)
PRACTICE, LOW = kept()
COUNT = 4 if os.environ.get("LUBBERLINE_TRUTH") else 0
NEW = [
    practised(wind=(100.0 * seed, 4.0 + 2.0 * seed, 1.0 + 0.5 * seed), seed=seed)
    for seed in range(1, COUNT + 1)  # hands that hold no wind off drift away from their fix
]
ALL = [*PRACTICE, *NEW]
FROM_PLACES = ("slow flight", "stall")  # these need an airspeed


def flown(one: Practised, recorder: Recorder) -> Flown:
    return debrief(
        recorded(one.truth.columns, recorder), places=field(), pledge=None, standard=COMMERCIAL,
        terrain=flat_terrain(400.0), stall_ias_kt=STALL_KT,
    )  # fmt: skip


def true_bank_deg(one: Practised, time_s: float) -> FloatArray:
    """Banks within two seconds."""
    near = np.abs(one.truth.columns["time_s"] - time_s) <= 2.0
    return np.abs(one.truth.columns["bank_deg"][near])


@pytest.mark.parametrize("one", ALL)
@pytest.mark.parametrize("recorder", [CLEAN, STEPPED, NOISY], ids=["clean", "feet", "satellites"])
def test_each_maneuver_is_found_by_name_and_time(one: Practised, recorder: Recorder) -> None:
    asked = [span for span in one.spans if span[0] != "holding"]
    if recorder is NOISY:
        asked = [span for span in asked if span[0] not in FROM_PLACES]
    found = flown(one, recorder).maneuvers
    assert [m.name.removeprefix("power-off ") for m in found] == [name for name, _, _ in asked]
    for maneuver, (name, begin_s, end_s) in zip(found, asked, strict=True):
        assert maneuver.start_s < end_s
        assert maneuver.end_s > begin_s
        if name not in FROM_PLACES:  # slow flight and stalls begin when the speed says so
            assert maneuver.start_s == pytest.approx(begin_s, abs=8.0)
            assert maneuver.end_s == pytest.approx(end_s, abs=10.0)


@pytest.mark.parametrize("one", ALL)
@pytest.mark.parametrize("recorder", [CLEAN, NOISY], ids=["clean", "satellites"])
def test_the_holding_is_where_it_was_held(one: Practised, recorder: Recorder) -> None:
    (true,) = (span for span in one.spans if span[0] == "holding")
    (held,) = (phase for phase in flown(one, recorder).phases if phase.name == "holding")
    assert held.start_s == pytest.approx(true[1], abs=1.645 * held.start_sigma_s)
    assert held.end_s == pytest.approx(true[2], abs=1.645 * held.start_sigma_s)


@pytest.mark.parametrize("one", ALL)
@pytest.mark.parametrize(("recorder", "within_deg"), [(CLEAN, 1.0), (NOISY, 5.0)])
def test_banks_are_those_flown(one: Practised, recorder: Recorder, within_deg: float) -> None:
    """The worst bank of each is held to the truth at the moment that the finding names."""
    found = [f for f in flown(one, recorder).findings if f.limit.key.endswith(("_bank", "_bank.2"))]
    asked = [f for f in found if f.limit.key.startswith("flown.steep_")]
    assert len(asked) == 3  # two steep turns and the spiral
    day_s = one.truth.columns["time_s"][0] // 86_400.0 * 86_400.0
    for one_found in asked:
        hours, minutes, seconds = (float(part) for part in one_found.where[:8].split(":"))
        true_deg = true_bank_deg(one, day_s + hours * 3600.0 + minutes * 60.0 + seconds)
        assert one_found.value is not None
        off_deg = np.abs(true_deg - one_found.value).min()
        assert off_deg <= within_deg


@pytest.mark.parametrize("one", ALL)
def test_height_and_heading_of_the_steep_turns_are_those_flown(one: Practised) -> None:
    columns = one.truth.columns
    found = {f.limit.key.removeprefix("flown."): f.value for f in flown(one, CLEAN).findings}
    for tail, (_, begin_s, end_s) in zip(("", ".2"), one.spans[:2], strict=True):
        during = (columns["time_s"] >= begin_s) & (columns["time_s"] <= end_s)
        off_ft = columns["wheel_ft"][during] - columns["wheel_ft"][during][0]
        worst_ft = found[f"steep_turn_height{tail}"]
        assert worst_ft is not None
        assert min(abs(worst_ft - off_ft.min()), abs(worst_ft - off_ft.max())) <= 10.0
        heading_deg = np.interp([begin_s - 3.0, end_s + 3.0], columns["time_s"],
                                np.unwrap(columns["heading_deg"], period=360.0))  # fmt: skip
        turned_deg = heading_deg[1] - heading_deg[0]
        off_deg = turned_deg - np.copysign(360.0, turned_deg)
        assert found[f"steep_turn_rollout{tail}"] == pytest.approx(off_deg, abs=3.0)


def told(case: Judged) -> int:
    return sum("climbed again" in sentence for sentence in case.flown.account)


@pytest.mark.parametrize("recorder", [CLEAN, STEPPED, ROUGH], ids=["clean", "feet", "3 ft"])
def test_what_passed_low_did_not_touch(recorder: Recorder) -> None:
    """A landing balked at 8 ft, a touch-and-go, 18 s along the runway at 8 ft, a landing."""
    case = judged(LOW, recorder, seed=1)
    moves = [kind for kind in case.found if kind != "go-around"]
    assert moves == ["take-off", "touch-and-go", "landing"]
    assert case.found.count("go-around") + told(case) == 2


def test_nor_do_satellites_make_a_touch_of_a_balked_landing() -> None:
    balked_s = LOW.of("go-around")[0].time_s
    for seed in range(6):
        case = judged(LOW, NOISY, seed=seed)
        touched = [m for m in case.flown.movements if abs(m.time_s - balked_s) < 30.0]
        assert not touched

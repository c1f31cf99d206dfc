"""The engine monitor of the demo: another clock, no position, and what the debrief makes of it."""

from pathlib import Path

import numpy as np
import pytest
from demo_cases import Case

from lubberline.demo.monitor import CLOCK_FAST_S
from lubberline.flown import Flown, debrief, read_standard
from lubberline.flown.measures import Aims
from lubberline.recording import Recording, joined, read_recording


@pytest.fixture(scope="module")
def monitor(cases: dict[str, Case]) -> tuple[Case, Recording]:
    case = list(cases.values())[-1]
    return case, read_recording(case.path.with_name("recording_engine.csv"))


@pytest.fixture(scope="module")
def flown(monitor: tuple[Case, Recording]) -> Flown:
    case, engine = monitor
    files = Path(__file__).parents[2] / "src" / "lubberline" / "demo" / "files" / "standards"
    return debrief(
        joined(case.recording, engine),
        places=case.plan.places,
        pledge=None,
        standard=read_standard(files / "private.toml"),
        aims=Aims(aircraft=case.plan.aircraft),
    )


def test_only_the_recorder_of_the_last_flight_has_a_monitor_beside_it(
    cases: dict[str, Case],
) -> None:
    there = [case.path.with_name("recording_engine.csv").exists() for case in cases.values()]
    assert there == [False] * (len(there) - 1) + [True]


def test_its_clock_is_set_by_the_ground_speed(monitor: tuple[Case, Recording]) -> None:
    case, engine = monitor
    assert not np.isfinite(engine.track.lat_deg).any()
    told = joined(case.recording, engine).account[-1]
    assert f"its clock is {CLOCK_FAST_S:+.1f} s off" in told


def test_the_engine_kept_its_limits(flown: Flown) -> None:
    engine = [one for one in flown.findings if one.limit.key.startswith("flown.engine_")]
    assert len(engine) == 5
    assert {str(one.verdict) for one in engine} == {"inside"}


def test_run_up_leaning_and_fuel_are_seen(flown: Flown) -> None:
    assert [one.name for one in flown.phases].count("run-up") == 1
    assert any("from 12.6 to 10.2 gph" in one for one in flown.account)
    assert any("manifold pressure" in one.what for one in flown.changes)

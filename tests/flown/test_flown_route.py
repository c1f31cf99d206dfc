"""Distance from the planned track: found where it was greatest, unknown where a gap hides it."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from flown_flights import NO_PLACES, START_S, Flying, Trace, cross_country, pledge_of, recorded

from lubberline.earth import course_and_distance
from lubberline.flight import Pledge
from lubberline.flown import Standard, debrief, read_standard
from lubberline.flown.even import even_track
from lubberline.flown.route import on_route, route_of
from lubberline.line import Finding, Verdict
from lubberline.recording import Recording

STANDARDS = Path(__file__).parents[2] / "src" / "lubberline" / "demo" / "files" / "standards"


@pytest.fixture(scope="module")
def private() -> Standard:
    return read_standard(STANDARDS / "private.toml")


def distance(recording: Recording, standard: Standard, pledge: Pledge | None) -> Finding:
    flown = debrief(recording, places=NO_PLACES, pledge=pledge, standard=standard)
    return next(one for one in flown.findings if one.limit.key == "flown.track_distance")


def aside(nm: float) -> tuple[Trace, Pledge]:
    """A flight whose track leaves the plan to the north by so much in the middle, and returns."""
    trace = cross_country(cruise_s=1500.0).trace()
    pledge = pledge_of(trace)
    since_s = trace.time_s - START_S
    middle_s = (trace.marks["level"][0] + trace.marks["leaves level"][0]) / 2.0 - START_S
    north_nm = trace.north_nm + nm * np.exp(-(((since_s - middle_s) / 250.0) ** 2))
    away = Trace(trace.time_s, trace.east_nm, north_nm, trace.msl_ft, trace.marks)
    return away, pledge


@pytest.mark.parametrize(("nm", "verdict"), [(0.4, "inside"), (2.9, "inside"), (3.4, "outside")])
def test_the_greatest_distance_is_the_one_flown(private: Standard, nm: float, verdict: str) -> None:
    trace, pledge = aside(nm)
    found = distance(recorded(trace), private, pledge)
    # The plan is a geodesic along the parallel through both ends of an eastward flight.
    assert found.value == pytest.approx(nm, abs=0.03)
    assert found.verdict == verdict
    assert found.limit.source == "FAA-S-ACS-6C, PA.VI.A.S5"


def test_commercial_tolerance_is_narrower(private: Standard) -> None:
    trace, pledge = aside(2.5)
    commercial = read_standard(STANDARDS / "commercial.toml")
    assert distance(recorded(trace), private, pledge).verdict is Verdict.INSIDE
    assert distance(recorded(trace), commercial, pledge).verdict is Verdict.OUTSIDE


def test_a_gap_that_may_hide_an_excursion_makes_it_unknown(private: Standard) -> None:
    trace, pledge = aside(0.3)
    short = distance(recorded(trace, gaps_s=[(900.0, 1000.0)]), private, pledge)
    assert short.verdict is Verdict.INSIDE
    long = distance(recorded(trace, gaps_s=[(900.0, 1150.0)]), private, pledge)
    assert long.verdict is Verdict.UNKNOWN
    assert "the track from" in long.missing


def test_an_excursion_that_was_recorded_is_outside_whatever_the_gaps(private: Standard) -> None:
    trace, pledge = aside(5.0)
    found = distance(recorded(trace, gaps_s=[(500.0, 700.0)]), private, pledge)
    assert found.verdict is Verdict.OUTSIDE


def test_without_a_pledge_it_is_unknown(private: Standard) -> None:
    found = distance(recorded(aside(0.0)[0]), private, None)
    assert found.verdict is Verdict.UNKNOWN
    assert "pledge" in found.missing


def test_the_course_of_a_leg_turns_with_the_geodesic() -> None:
    flying = Flying().park(30.0).mark("off block").takeoff().climb_to(4500.0, kt=110.0, fpm=700.0)
    trace = flying.piece(3600.0).climb_to(1400.0, kt=110.0, fpm=-500.0).land().mark("on block")
    track = trace.park(30.0).trace()
    route = route_of(pledge_of(track))
    assert route is not None
    even = even_track(recorded(track, fix_noise_m=0.0).track)
    index = np.array([200, len(even) // 2, len(even) - 200])
    placed = on_route(route, even, index, turn_deg=5.0)
    lat_deg, lon_deg = even.lat_deg[index], even.lon_deg[index]
    to_end, _ = course_and_distance(lat_deg, lon_deg, even.lat_deg[-1], even.lon_deg[-1])
    assert placed.course_true_deg == pytest.approx(to_end, abs=0.1)
    assert placed.distance_nm.max() < 0.02


def test_a_plan_at_one_place_has_no_route() -> None:
    trace = cross_country(cruise_s=100.0).trace()
    pledge = pledge_of(trace)
    same = (pledge.points[0], pledge.points[0])
    assert route_of(replace(pledge, points=same)) is None

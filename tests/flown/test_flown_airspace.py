"""Airspace: entered or not, permitted or not, and never silently clear."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from flown_flights import (
    NO_PLACES,
    Trace,
    aerodrome,
    cross_country,
    degrees,
    places_with,
    pledge_of,
    recorded,
)

from lubberline.earth import flat_terrain
from lubberline.flight import Pledge
from lubberline.flown import Standard, debrief, read_standard
from lubberline.flown.airspace import Approach
from lubberline.line import Finding, Verdict
from lubberline.places import Circle, Height, Places, Polygon, Volume
from lubberline.recording import Recording

STANDARDS = Path(__file__).parents[2] / "src" / "lubberline" / "demo" / "files" / "standards"
TRACE = cross_country(cruise_s=1200.0).trace()  # eastward along north_nm = 0 at 4,500 ft
PRIVATE = read_standard(STANDARDS / "private.toml")


def msl(ft: float) -> Height:
    return Height(reference="MSL", ft=ft)


def circle(
    north_nm: float,
    *,
    radius_nm: float = 3.0,
    floor: Height | None = None,
    ceiling: Height | None = None,
    airspace_class: str = "D",
) -> Volume:
    """A round volume beside or over the middle of the cruise, 22 NM east."""
    lat_deg, lon_deg = degrees(np.array([22.0]), np.array([north_nm]))
    footprint = Circle(lat_deg=float(lat_deg[0]), lon_deg=float(lon_deg[0]), radius_nm=radius_nm)
    return Volume(
        id="QGNT-1",
        name="Gannet",
        airspace_class=airspace_class,
        group="gannet",
        facility="Gannet tower",
        floor=Height(reference="SFC", ft=0.0) if floor is None else floor,
        ceiling=msl(5000.0) if ceiling is None else ceiling,
        footprint=footprint,
    )


def square(north_nm: float, half_nm: float = 2.0) -> Volume:
    corners = [
        (22.0 + e * half_nm, north_nm + n * half_nm)
        for e, n in [(-1, -1), (-1, 1), (1, 1), (1, -1)]
    ]
    east_nm, north = np.array(corners).T
    return replace(
        circle(0.0), footprint=Polygon(corners_deg=np.column_stack(degrees(east_nm, north)))
    )


def judged(
    volume: Volume,
    recording: Recording | None = None,
    *,
    pledge: Pledge | None = None,
    places: Places = NO_PLACES,
    standard: Standard = PRIVATE,
) -> Finding | None:
    flown = debrief(
        recorded(TRACE) if recording is None else recording,
        places=replace(places, volumes=(volume,)),
        pledge=pledge_of(TRACE) if pledge is None else pledge,
        standard=standard,
    )
    found = [one for one in flown.findings if one.limit.key.startswith("flown.airspace")]
    assert len(found) <= 1
    return found[0] if found else None


def known(finding: Finding | None) -> Finding:
    assert finding is not None
    return finding


def test_flying_through_without_permission_is_outside_with_its_moments() -> None:
    found = known(judged(circle(0.0)))
    assert found.verdict is Verdict.OUTSIDE
    assert found.limit.key == "flown.airspace.QGNT-1"
    assert found.value == pytest.approx(-500.0, abs=15.0)  # the ceiling is the nearest way out
    assert found.limit.source.startswith("14 CFR 91.129(c)(1)")
    assert "inside from" in found.note


def test_entry_and_exit_are_timed_within_seconds() -> None:
    found = known(judged(circle(0.0)))
    crossed = np.abs(np.hypot(TRACE.east_nm - 22.0, TRACE.north_nm)) < 3.0
    times_s = TRACE.time_s[crossed][[0, -1]]
    said = found.note.split("inside from ")[1].split(";")[0].split(" to ")
    for text, truth_s in zip(said, times_s, strict=True):
        hour, minute, second = (int(part) for part in text.strip("Z").split(":"))
        of_day_s = hour * 3600 + minute * 60 + second
        assert abs(of_day_s - truth_s % 86400.0) <= 3.0


def test_with_permission_in_the_pledge_it_is_inside_the_limit_and_says_what_is_not_known() -> None:
    found = known(judged(circle(0.0), pledge=pledge_of(TRACE, permissions=("gannet",))))
    assert found.verdict is Verdict.INSIDE
    assert "whether it was given is not" in found.note
    assert "inside from" in found.note


@pytest.mark.parametrize("beside_nm", [0.3, 1.0, 1.8])
def test_passing_beside_is_inside_by_the_distance(beside_nm: float) -> None:
    for volume in (circle(3.0 + beside_nm), square(2.0 + beside_nm)):
        found = known(judged(volume))
        assert found.verdict is Verdict.INSIDE
        assert found.value == pytest.approx(beside_nm * 6076.1, abs=100.0)


@pytest.mark.parametrize("over_ft", [300.0, 1200.0])
def test_passing_above_or_below_is_inside_by_the_height(over_ft: float) -> None:
    above = circle(0.0, ceiling=msl(4500.0 - over_ft))
    below = circle(0.0, floor=msl(4500.0 + over_ft), ceiling=msl(9000.0))
    for volume in (above, below):
        found = known(judged(volume))
        assert found.verdict is Verdict.INSIDE
        assert found.value == pytest.approx(over_ft, abs=15.0)


@pytest.mark.parametrize("over_ft", [-25.0, -5.0, 5.0, 25.0])
def test_at_the_edge_within_the_doubt_it_is_close_on_either_side(over_ft: float) -> None:
    found = known(judged(circle(0.0, ceiling=msl(4500.0 - over_ft))))
    assert found.verdict is Verdict.CLOSE


def test_inside_beyond_the_doubt_is_outside_the_limit() -> None:
    found = known(judged(circle(0.0, ceiling=msl(4600.0))))
    assert found.verdict is Verdict.OUTSIDE


def test_satellite_heights_leave_a_ceiling_100_ft_away_in_doubt() -> None:
    recording = recorded(TRACE, pressure_shift_ft=None, gnss_shift_ft=0.0)
    found = known(judged(circle(0.0, ceiling=msl(4600.0)), recording))
    assert found.verdict is Verdict.CLOSE
    assert "within the doubt" in found.note


@pytest.mark.parametrize(("north_nm", "ceiling_ft"), [(20.0, 5000.0), (0.0, 2000.0)])
def test_what_is_far_away_is_not_mentioned(north_nm: float, ceiling_ft: float) -> None:
    assert judged(circle(north_nm, ceiling=msl(ceiling_ft))) is None


@pytest.mark.parametrize("airspace_class", ["E", "F", "G"])
def test_free_airspace_is_not_judged(airspace_class: str) -> None:
    assert judged(circle(0.0, airspace_class=airspace_class)) is None


@pytest.mark.parametrize(
    ("airspace_class", "section"),
    [
        ("A", "91.135"),
        ("B", "91.131(a)(1)"),
        ("C", "91.130(c)(1)"),
        ("D", "91.129(c)(1)"),
        ("R", "91.133(a)"),
        ("P", "91.133(a)"),
    ],
)
def test_each_class_names_its_rule(airspace_class: str, section: str) -> None:
    assert section in known(judged(circle(0.0, airspace_class=airspace_class))).limit.source


def test_a_gap_within_reach_makes_it_unknown() -> None:
    volume = circle(4.0)
    whole = known(judged(volume))
    assert whole.verdict is Verdict.INSIDE
    middle_s = float(np.interp(22.0, TRACE.east_nm, TRACE.time_s)) - TRACE.time_s[0]
    hidden = recorded(TRACE, gaps_s=[(middle_s - 60.0, middle_s + 60.0)])
    found = known(judged(volume, hidden))
    assert found.verdict is Verdict.UNKNOWN
    assert "the track from" in found.missing


def test_an_unknown_height_over_the_footprint_is_unknown_and_beside_it_is_not() -> None:
    blind = pledge_of(TRACE, settings_inhg=(None, None))
    over = known(judged(circle(0.0), pledge=blind))
    assert over.verdict is Verdict.UNKNOWN
    assert "altimeter setting" in over.missing
    assert known(judged(circle(4.0), pledge=blind)).verdict is Verdict.INSIDE


def test_without_a_pledge_an_entry_is_unknown_and_a_clear_pass_is_inside() -> None:
    places = places_with(aerodrome("QAAA", 0.49, 0.0))
    for volume, verdict in ((circle(0.0), Verdict.UNKNOWN), (circle(4.0), Verdict.INSIDE)):
        flown = debrief(
            recorded(TRACE),
            places=replace(places, volumes=(volume,)),
            pledge=None,
            standard=PRIVATE,
        )
        found = next(one for one in flown.findings if "airspace" in one.limit.key)
        assert found.verdict is verdict


def test_a_floor_above_ground_needs_the_ground() -> None:
    volume = circle(0.0, floor=Height(reference="AGL", ft=700.0), ceiling=msl(5000.0))
    assert known(judged(volume)).verdict is Verdict.UNKNOWN
    for ground_ft, verdict in ((300.0, Verdict.OUTSIDE), (4200.0, Verdict.INSIDE)):
        flown = debrief(
            recorded(TRACE),
            places=replace(NO_PLACES, volumes=(volume,)),
            pledge=pledge_of(TRACE),
            standard=PRIVATE,
            terrain=flat_terrain(ground_ft),
        )
        found = next(one for one in flown.findings if "airspace" in one.limit.key)
        assert found.verdict is verdict


def test_slow_recorders_do_not_miss_a_narrow_volume() -> None:
    narrow = circle(0.0, radius_nm=0.15)
    found = known(judged(narrow, recorded(TRACE, every_s=10.0)))
    assert found.verdict is Verdict.OUTSIDE


def test_a_hole_is_not_inside() -> None:
    ring = replace(circle(0.0), footprint=Polygon(corners_deg=_box(4.0), holes_deg=(_box(2.0),)))
    found = known(judged(ring))
    assert found.verdict is Verdict.OUTSIDE
    assert found.note.split(";")[0].count(" to ") == 2  # in, out over the hole, in again


def _box(half_nm: float) -> np.ndarray:
    east_nm = 22.0 + half_nm * np.array([-1.0, -1.0, 1.0, 1.0])
    north_nm = half_nm * np.array([-1.0, 1.0, 1.0, -1.0])
    return np.column_stack(degrees(east_nm, north_nm))


def test_the_trace_is_what_the_tests_take_it_for() -> None:
    trace: Trace = TRACE
    cruise = (trace.time_s > trace.marks["level"][0]) & (
        trace.time_s < trace.marks["leaves level"][0]
    )
    assert trace.msl_ft[cruise] == pytest.approx(4500.0, abs=2.0)


@pytest.mark.parametrize(
    ("over_sigmas", "chance"),
    # Upper tail of the normal distribution, to the four digits that tables of it print.
    [(0.0, 0.5000), (1.0, 0.1587), (2.0, 0.0228), (-1.0, 0.8413), (-2.0, 0.9772)],
)
def test_the_chance_of_an_entry_is_that_of_the_doubt_about_the_height(
    over_sigmas: float, chance: float
) -> None:
    steps = np.zeros(5)
    above = Approach(
        beside_ft=steps - 10_000.0,
        over_ft=np.array([900.0, over_sigmas * 40.0, 500.0, 700.0, 900.0]),
        sigma_ft=steps + 40.0,
        beside_sigma_ft=steps + 60.0,
        over_sigma_ft=steps + 40.0,
    )
    assert above.chance_fraction == pytest.approx(chance, abs=5e-5)


def test_the_chance_of_an_entry_is_told_with_the_closest_approach() -> None:
    near = judged(circle(0.0, ceiling=msl(4_470.0)))
    far = judged(circle(5.0))
    assert "chance that it was entered" in known(near).note
    assert "chance" not in known(far).note

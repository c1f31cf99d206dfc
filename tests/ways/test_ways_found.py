"""Ways that are found for a flight: flyable, clear, as the pilot wants them, and kept."""

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import numpy as np
import pytest

from lubberline.demo import write_folder
from lubberline.earth import course_and_distance
from lubberline.errors import BadFile, NoSolution
from lubberline.flight import Avoid, Plan, RoutePoint, Search, read_plan
from lubberline.places import Circle, Height, Schedule, Volume, WeeklySpan
from lubberline.ways import Way, all_ways, problem_of, stretches
from lubberline.ways.found import search_problem
from lubberline.ways.hours import before_better, same_sky
from lubberline.ways.kept import found_ways

Asking = Callable[..., Plan]


@pytest.fixture(scope="module")
def flight_path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = write_folder(tmp_path_factory.mktemp("found") / "folder")
    return next(folder.glob("**/flight.toml"))


@pytest.fixture
def asking(
    flight_path: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> Callable[..., Plan]:
    """The demo's flight without ways of its own, and a cache of the test's."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    plan = read_plan(flight_path)

    def asked(**wanted: object) -> Plan:
        search = Search(**wanted)  # type: ignore[arg-type]
        return replace(plan, flight=replace(plan.flight, candidates=(), search=search))

    return asked


def test_found_ways_are_clear_and_differ(asking: Asking) -> None:
    ways, impossible = all_ways(asking())
    assert not impossible
    assert len({way.name for way in ways}) == len(ways) >= 3
    assert not any(way.violations for way in ways)
    assert len({way.permissions for way in ways}) >= 2
    assert [way.time_min for way in ways] == sorted(way.time_min for way in ways)


def test_nothing_is_sought_unless_asked_for(asking: Asking, flight_path: Path) -> None:
    plan = read_plan(flight_path)
    assert {way.name for way in all_ways(plan)[0]} <= {one.name for one in plan.flight.candidates}


def test_kept_ways_are_the_found_ones(asking: Asking, tmp_path: Path) -> None:
    first = found_ways(asking())
    assert list(tmp_path.rglob("ways/*.json"))
    second = found_ways(asking())
    assert [way.name for way in first] == [way.name for way in second]
    for one, two in zip(first, second, strict=True):
        np.testing.assert_allclose(one.path, two.path, atol=1e-9)
        assert one.time_min == pytest.approx(two.time_min, abs=1e-9)


@pytest.mark.parametrize("text", ["", "{}", "[{}]", '[{"name": 1, "path": []}]'])
def test_kept_ways_that_cannot_be_read_are_sought_again(
    asking: Asking, tmp_path: Path, text: str
) -> None:
    first = found_ways(asking())
    (kept,) = tmp_path.rglob("ways/*.json")
    kept.write_text(text, encoding="utf-8")
    assert [way.name for way in found_ways(asking())] == [way.name for way in first]


def test_what_the_pilot_avoids_is_kept_away_from(asking: Asking) -> None:
    spot = _middle(found_ways(asking())[0])
    ways = found_ways(asking(avoid=(Avoid(point=spot, radius_nm=5.0),)))
    for way in ways:
        assert _away_nm(way, spot) >= 5.0 - 0.03


def test_found_ways_stay_below_what_the_pilot_says(asking: Asking) -> None:
    for way in found_ways(asking(not_above_msl_ft=3_000.0)):
        assert way.path[:, 2].max() <= 3_000.0


def test_found_ways_go_over_the_pilot_s_points(asking: Asking) -> None:
    over = RoutePoint(name="over there", lat_deg=40.85, lon_deg=-131.3)
    for way in found_ways(asking(via=(over,))):
        assert _away_nm(way, over) < 0.1


def quickest(plan: Plan) -> Way:
    return found_ways(plan)[0]


def ranged(plan: Plan, spot: RoutePoint, from_min: float, until_min: float) -> Plan:
    """A restricted area about a place, active so long after take-off."""
    takeoff_utc = plan.flight.off_block_utc + timedelta(minutes=plan.flight.taxi_out_min)
    day_min = takeoff_utc.hour * 60.0 + takeoff_utc.minute
    span = WeeklySpan(
        weekdays=tuple(range(7)),
        from_min=round(day_min + from_min),
        until_min=round(day_min + until_min),
        zone="UTC",
    )
    area = Volume(
        id="QR-1",
        name="Range",
        airspace_class="R",
        group="",
        facility="",
        floor=Height(reference="SFC", ft=0.0),
        ceiling=Height(reference="MSL", ft=14_000.0),
        footprint=Circle(lat_deg=spot.lat_deg, lon_deg=spot.lon_deg, radius_nm=4.0),
        schedule=Schedule(text="made up", spans=(span,)),
    )
    return replace(plan, places=replace(plan.places, volumes=(*plan.places.volumes, area)))


def test_found_ways_go_by_the_hours_of_what_they_pass(
    asking: Asking, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    plan = asking()
    straight = quickest(plan)
    spot, all_min = _middle(straight), straight.time_min
    times = {}
    for case, hours in {
        "at all times": (-60.0, 300.0),
        "opens when all are gone": (all_min + 32.0, 300.0),
        "closed before": (-60.0, -6.0),
        "opens soon after": (all_min / 2.0 + 15.0, 300.0),
    }.items():
        monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / case))  # the folder's files are alike
        way = quickest(ranged(plan, spot, *hours))
        assert not way.violations
        times[case] = way.time_min
    assert times["opens when all are gone"] == pytest.approx(all_min, abs=1e-6)
    assert times["closed before"] == pytest.approx(all_min, abs=1e-6)
    assert times["at all times"] > all_min + 0.3
    assert times["opens soon after"] == pytest.approx(times["at all times"], abs=1e-6)


def test_an_end_that_is_shut_later_is_reached(
    asking: Asking, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    plan = asking()
    field, all_min = plan.destination, quickest(plan).time_min
    spot = RoutePoint(name="end", lat_deg=field.lat_deg, lon_deg=field.lon_deg)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "late"))  # the folder's files are alike
    late = ranged(plan, spot, all_min + 33.0, 300.0)
    assert quickest(late).time_min == pytest.approx(all_min, abs=1e-6)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "shut"))
    with pytest.raises(NoSolution, match="Range closes the last door"):
        found_ways(ranged(plan, spot, all_min + 20.0, 300.0))


def test_hours_that_do_not_change_in_flight_ask_for_no_second_search(asking: Asking) -> None:
    plan = asking()
    spot = RoutePoint(name="there", lat_deg=41.0, lon_deg=-131.0)
    for one in (plan, ranged(plan, spot, -60.0, 300.0)):
        problem = search_problem(one)
        assert same_sky(problem, before_better(one, problem, 30.0))


def test_ways_that_cannot_be_kept_are_the_same(
    asking: Asking, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    kept = found_ways(asking())
    (tmp_path / "none").write_text("no folder", encoding="utf-8")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "none"))
    for one, two in zip(kept, found_ways(asking()), strict=True):
        np.testing.assert_array_equal(one.path, two.path)
        assert one.encounters == two.encounters


def test_wished_heights_are_among_the_heights_to_keep(asking: Asking) -> None:
    plan = asking(not_above_msl_ft=5_400.0, not_below_msl_ft=2_000.0)
    way = quickest(plan)
    told = stretches(problem_of(plan, way), way)
    above = {one.not_above_ft for one in told if one.above_why == "your own wish"}
    below = {one.not_below_ft for one in told if one.below_why == "your own wish"}
    assert above == {5_400.0}
    assert below == {2_000.0}
    way = quickest(asking())
    told = stretches(problem_of(asking(), way), way)
    assert not any("wish" in one.above_why + one.below_why for one in told)


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("[search]\nvia = ['Nowhere At All']", "search.via.0"),
        ("[search]\navoid = [{ place = 'Nowhere', radius_nm = 3 }]", "search.avoid.0.place"),
        (
            "[search]\navoid = [{ place = 'Split Rock', radius_nm = -3 }]",
            "search.avoid.0.radius_nm",
        ),
        ("[search]\navoid = [{ place = [1, 2, 3], radius_nm = 3 }]", "search.avoid.0.place"),
        ("[search]\nnot_above_msl_ft = 'high'", "search.not_above_msl_ft"),
        ("[search]\nheight = 3", "search.height"),
    ],
)
def test_a_wrong_wish_is_refused_at_its_place(flight_path: Path, text: str, key: str) -> None:
    before = flight_path.read_text(encoding="utf-8")
    try:
        flight_path.write_text(f"{before}\n{text}\n", encoding="utf-8")
        with pytest.raises(BadFile) as refused:
            read_plan(flight_path)
    finally:
        flight_path.write_text(before, encoding="utf-8")
    assert [one.key for one in refused.value.problems] == [key]


def _middle(way: Way) -> RoutePoint:
    """Halfway along, far from both fields."""
    share = np.linspace(0.0, 1.0, len(way.path))
    lat_deg, lon_deg = (float(np.interp(0.5, share, way.path[:, n])) for n in (0, 1))
    return RoutePoint(name="there", lat_deg=lat_deg, lon_deg=lon_deg)


def _away_nm(way: Way, spot: RoutePoint) -> float:
    share = np.linspace(0.0, len(way.path) - 1.0, 20_000)
    rows = np.arange(len(way.path))
    lat_deg, lon_deg = (np.interp(share, rows, way.path[:, n]) for n in (0, 1))
    _, away_nm = course_and_distance(spot.lat_deg, spot.lon_deg, lat_deg, lon_deg)
    return float(away_nm.min())

"""Ways that are found for a flight: flyable, clear, as the pilot wants them, and kept."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from lubberline.demo import write_folder
from lubberline.earth import course_and_distance
from lubberline.errors import BadFile
from lubberline.flight import Avoid, Plan, RoutePoint, Search, read_plan
from lubberline.ways import Way, all_ways
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

"""A flight that names data sets gets what lies along its ways, with its own places first."""

import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest
from places_made import aerodrome, data_set, obstacles, volume

from lubberline.demo import write_folder
from lubberline.errors import BadFile
from lubberline.flight import read_plan, region
from lubberline.places import DataSet, KeptData, Waypoint, read_places
from lubberline.places.kept import Progress

NOW_UTC = datetime(2026, 11, 1, tzinfo=UTC)


def waypoint(id_: str, lat_deg: float, lon_deg: float) -> Waypoint:
    return Waypoint(id=id_, kind="WP", name="", lat_deg=lat_deg, lon_deg=lon_deg)


@pytest.fixture(scope="module")
def starter(tmp_path_factory: pytest.TempPathFactory) -> Path:
    home = write_folder(tmp_path_factory.mktemp("starter") / "pilot").parents[1]
    for tile in home.glob("places/*.hgt"):
        tile.unlink()
    return home


@pytest.fixture
def flight(starter: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The starter's flight with ``data_sets = ["all"]``; its region is published, too."""
    home = shutil.copytree(starter, tmp_path / "pilot")
    own = read_places(home / "places")

    def read(path: Path, progress: Progress | None) -> DataSet:
        fields = [aerodrome("QNEAR", lat_deg=41.0, lon_deg=-131.0, aliases=("NEAR",))]
        fields += [aerodrome("QFAR", lat_deg=48.0), *own.aerodromes.values()]
        return data_set(
            aerodromes=tuple(fields),
            volumes=(volume("QV-NEW", facility="", group="QMRL"), *own.volumes),
            points=tuple(own.points.values()),
            waypoints=(waypoint("QAMBR", 41.1, -130.9), waypoint("QAMBR", -41.1, 170.0)),
            obstacles=obstacles([41.1, 10.0], [-130.9, 10.0]),
        )

    monkeypatch.setenv("LUBBERLINE_DATA", str(tmp_path / "data"))
    monkeypatch.setattr(region, "read_published", read)
    (tmp_path / "cycle.csv").write_text("published")
    KeptData(tmp_path / "data", read).add(tmp_path / "cycle.csv", now_utc=NOW_UTC)
    path = next(home.glob("flights/*/flight.toml"))
    path.write_text('data_sets = ["all"]\n' + path.read_text(encoding="utf-8"), encoding="utf-8")
    return path


def edit(flight: Path, old: str, new: str) -> None:
    text = flight.read_text(encoding="utf-8")
    assert old in text
    flight.write_text(text.replace(old, new), encoding="utf-8")


def test_published_places_along_the_ways_join_the_own(flight: Path) -> None:
    plan = read_plan(flight)
    assert "QNEAR" in plan.places.aerodromes
    assert "QFAR" not in plan.places.aerodromes
    assert [one.name for one in plan.places.datasets] == ["invented cycle"]
    (some,) = plan.places.obstacles.values()
    assert len(some) == 1
    added = next(one for one in plan.places.volumes if one.id == "QV-NEW")
    assert added.frequency_mhz == 118.6
    assert "cycle.json" in [path.name for path in plan.inputs]


def test_nothing_is_published_to_a_flight_that_does_not_ask(flight: Path) -> None:
    edit(flight, 'data_sets = ["all"]\n', "")
    plan = read_plan(flight)
    assert plan.places.datasets == ()
    assert "QNEAR" not in plan.places.aerodromes


def test_without_own_places_a_flight_rests_on_the_published_alone(flight: Path) -> None:
    (flight.parents[2] / "places" / "region.toml").unlink()
    assert set(read_plan(flight).places.aerodromes) >= {"QWRN", "QMRL", "QNEAR"}


def test_a_way_leads_over_a_published_waypoint_the_one_nearest(flight: Path) -> None:
    edit(flight, "via = [", 'via = ["QAMBR", ')
    (first, *_) = read_plan(flight).flight.candidates
    assert (first.via[0].name, first.via[0].lat_deg) == ("QAMBR", 41.1)


def test_another_name_of_an_aerodrome_serves(flight: Path) -> None:
    edit(flight, 'departure = "QWRN"', 'departure = "NEAR"')
    plan = read_plan(flight)
    assert plan.flight.departure_id == plan.departure.id == "QNEAR"


def test_a_data_set_that_was_not_added_is_refused(flight: Path) -> None:
    edit(flight, '["all"]', '["nasr"]')
    with pytest.raises(BadFile, match=r"found 'nasr', expected all, cycle"):
        read_plan(flight)


def test_an_unknown_departure_is_told_as_ever(flight: Path) -> None:
    edit(flight, 'departure = "QWRN"', 'departure = "QNOT"')
    with pytest.raises(BadFile, match="departure: found 'QNOT'"):
        read_plan(flight)

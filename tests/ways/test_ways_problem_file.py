import json
from copy import deepcopy
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from lubberline.errors import BadFile
from lubberline.places import Circle, Height, Polygon
from lubberline.ways import WaysProblem, read_problem

GOOD: dict[str, Any] = {
    "name": "two shelves",
    "description": "A tower under two shelves.",
    "departure": {"id": "QAAA", "lat": 41.0, "lon": -131.5, "elev_ft": 100},
    "destination": {"id": "QZZZ", "lat": 41.2, "lon": -130.5, "elev_ft": 20},
    "aircraft": {
        "climb_fpm": 900,
        "zero_climb_ft": 14000,
        "descent_fpm": 500,
        "climb_tas_kt": 95,
        "cruise_tas_kt": 140,
        "descent_tas_kt": 150,
        "ceiling_ft": 12000,
        "glide_ratio": 9.5,
        "fuel_gph": {"climb": 16, "cruise": 11, "descent": 8},
    },
    "wind": [{"alt_ft": 6000, "from_deg": 270, "kt": 30}, {"alt_ft": 0, "from_deg": 240, "kt": 8}],
    "margins": {"lateral_nm": 0.5, "vertical_ft": 300},
    "rules": {
        "min_agl_ft": 500,
        "aerodrome_radius_nm": 3,
        "hemispheric": True,
        "hemispheric_above_agl_ft": 3000,
        "magvar_deg": 14.5,
        "level_vs_fpm": 150,
    },
    "terrain": {
        "type": "grid",
        "lat0": 40.5,
        "lon0": -132.0,
        "dlat": 0.5,
        "dlon": 1.0,
        "ft": [[0, 100, 200], [1000, 1100, 1200], [0, 0, 0]],
    },
    "land": [[[40.9, -131.6], [40.9, -131.4], [41.1, -131.5]]],
    "volumes": [
        {
            "id": "Q1",
            "name": "Marl",
            "class": "D",
            "group": "marl-tower",
            "facility": "Marl Tower",
            "floor": {"ref": "SFC", "ft": 0},
            "ceiling": {"ref": "AGL", "ft": 2500},
            "shape": {"type": "circle", "center": [41.2, -130.5], "radius_nm": 4.2},
            "lateral_margin_nm": 1.0,
        },
        {
            "id": "Q2",
            "name": "Gannet",
            "class": "C",
            "group": "gannet",
            "facility": "Gannet Approach",
            "floor": {"ref": "MSL", "ft": 1200},
            "ceiling": {"ref": "MSL", "ft": 4000},
            "shape": {
                "type": "polygon",
                "points": [[41.0, -131.0], [41.0, -130.8], [41.2, -130.8], [41.2, -131.0]],
                "holes": [[[41.05, -130.95], [41.05, -130.9], [41.1, -130.9]]],
            },
        },
    ],
    "points": [{"name": "Split Rock", "lat": 41.1, "lon": -131.0}],
}


def read(tmp_path: Path, data: Any) -> WaysProblem:
    path = tmp_path / "case.json"
    path.write_text(data if isinstance(data, str) else json.dumps(data))
    return read_problem(path)


def changed(*place: str | int, to: Any) -> dict[str, Any]:
    """The good file with one value replaced, or taken out where ``to`` is ``...``."""
    data = deepcopy(GOOD)
    where: Any = data
    for part in place[:-1]:
        where = where[part]
    if to is ...:
        del where[place[-1]]
    else:
        where[place[-1]] = to
    return data


def test_every_value_arrives_where_it_belongs(tmp_path: Path) -> None:
    stated = read(tmp_path, GOOD)
    assert (stated.name, stated.departure.id, stated.departure.elev_msl_ft) == (
        "two shelves",
        "QAAA",
        100.0,
    )
    assert (stated.motion.climb_gph, stated.motion.descent_tas_kt) == (16.0, 150.0)
    assert stated.wind.msl_ft.tolist() == [0.0, 6_000.0]  # in ascending order
    assert stated.wind.wind_kt.tolist() == [8.0, 30.0]
    assert (stated.margins.lateral_nm, stated.margins.vertical_ft) == (0.5, 300.0)
    assert (stated.rules.variation_deg, stated.rules.level_fpm) == (14.5, 150.0)
    assert stated.rules.hemispheric is True
    assert stated.land_deg[0].shape == (3, 2)
    assert stated.points[0].name == "Split Rock"
    marl, gannet = stated.volumes
    assert marl.footprint == Circle(lat_deg=41.2, lon_deg=-130.5, radius_nm=4.2)
    assert (marl.airspace_class, marl.group, marl.lateral_margin_nm) == ("D", "marl-tower", 1.0)
    assert marl.ceiling == Height(reference="AGL", ft=2_500.0)
    assert isinstance(gannet.footprint, Polygon)
    assert gannet.footprint.corners_deg.shape == (4, 2)
    assert gannet.footprint.holes_deg[0].shape == (3, 2)


@pytest.mark.parametrize(
    ("lat_deg", "lon_deg", "ground_ft"),
    [
        (40.5, -132.0, 0.0),
        (40.75, -131.5, 550.0),  # bilinear
        (41.0, -130.5, 1_150.0),
        (40.0, -140.0, 0.0),  # clamped
        (41.0, -120.0, 1_200.0),
    ],
)
def test_a_grid_is_bilinear_and_clamped(
    tmp_path: Path, lat_deg: float, lon_deg: float, ground_ft: float
) -> None:
    terrain = read(tmp_path, GOOD).terrain
    assert float(terrain.ground_ft(lat_deg, lon_deg)) == pytest.approx(ground_ft)


def test_flat_ground_is_flat_everywhere(tmp_path: Path) -> None:
    terrain = read(tmp_path, changed("terrain", to={"type": "flat", "ft": 850})).terrain
    assert terrain.ground_ft([-80.0, 0.0, 41.0], [10.0, 179.9, -131.0]) == pytest.approx(850.0)


@pytest.mark.parametrize("key", ["land", "volumes", "points", "description"])
def test_what_may_be_absent_may(tmp_path: Path, key: str) -> None:
    read(tmp_path, changed(key, to=...))


def test_no_wind_rows_mean_calm_air(tmp_path: Path) -> None:
    assert read(tmp_path, changed("wind", to=[])).wind.wind_kt.tolist() == [0.0]


def test_a_ring_may_be_closed_and_a_circle_may_be_a_ring(tmp_path: Path) -> None:
    points = GOOD["volumes"][1]["shape"]["points"]
    shape = {"type": "polygon", "points": [*points, points[0]]}
    footprint = read(tmp_path, changed("volumes", 1, "shape", to=shape)).volumes[1].footprint
    assert isinstance(footprint, Polygon)
    assert len(footprint.corners_deg) == 4
    annulus = {"type": "circle", "center": [41.0, -131.0], "radius_nm": 5, "inner_nm": 2}
    circle = read(tmp_path, changed("volumes", 0, "shape", to=annulus)).volumes[0].footprint
    assert isinstance(circle, Circle)
    assert circle.inner_nm == 2.0


FLAT_BOX = [[41.0, -131.0], [41.0, -130.9], [41.0, -130.8]]
BOW = [[41.0, -131.0], [41.1, -130.9], [41.1, -131.0], [41.0, -130.9]]


@pytest.mark.parametrize(
    ("place", "to", "words"),
    [
        (("departure", "lat"), 95, ["departure.lat: found 95", "90", '"lat": 41.099']),
        (("destination", "lon"), "west", ["destination.lon: found 'west'", "number"]),
        (("aircraft", "cruise_tas_kt"), 0, ["aircraft.cruise_tas_kt: found 0"]),
        (("aircraft", "fuel_gph", "climb"), ..., ["aircraft.fuel_gph.climb: found nothing"]),
        (("aircraft", "glide"), 9, ["aircraft.glide: found 9", "known key", "glide_ratio"]),
        (("margins", "lateral_nm"), -1, ["margins.lateral_nm: found -1"]),
        (("rules", "hemispheric"), "perhaps", ["rules.hemispheric: found 'perhaps'"]),
        (("rules", "aerodrome_radius_nm"), 0, ["rules.aerodrome_radius_nm: found 0"]),
        (("wind", 0, "kt"), -5, ["wind.0.kt: found -5"]),
        (("wind", 0, "alt_ft"), 0, ["wind: ", "each alt_ft once"]),
        (("terrain", "ft"), [[1, 2], [3]], ["rows of one length"]),
        (("terrain", "ft"), [[1, 2]], ["terrain.grid.ft"]),
        (("terrain", "type"), "hills", ["terrain: ", "'flat', 'grid'"]),
        (("volumes", 0, "floor", "ref"), "FL", ["volumes.0.floor.ref: found 'FL'", "'MSL', 'AGL'"]),
        (("volumes", 1, "ceiling", "ft"), 1200, ["volumes.1.ceiling", "above the floor, 1200 MSL"]),
        (("volumes", 1, "id"), "Q1", ["volumes: ", "each id once, not Q1 twice"]),
        (("volumes", 0, "group"), "", ["volumes.0.group", "the group that opens class D"]),
        (("volumes", 0, "shape", "radius_nm"), 0, ["radius_nm: found 0", '"radius_nm": 4.2']),
        (("volumes", 0, "shape", "inner_nm"), 9, ["less than radius_nm, 4.2"]),
        (("volumes", 0, "shape", "points"), [], ["known key"]),
        (("volumes", 1, "shape", "points"), FLAT_BOX, ["neither cross nor touch"]),
        (("volumes", 1, "shape", "points"), BOW, ["neither cross nor touch: self-intersection"]),
        (("volumes", 1, "shape", "points"), [[41, -131]] * 4, ["at least 3 different corners"]),
        (("volumes", 1, "shape", "holes"), [BOW[:3]], ["neither cross nor touch"]),
        (("land"), [BOW], ["land", "neither cross nor touch"]),
    ],
)
def test_a_wrong_value_is_told_with_key_found_and_expected(
    tmp_path: Path, place: Any, to: Any, words: list[str]
) -> None:
    where = (place,) if isinstance(place, str) else place
    with pytest.raises(BadFile) as caught:
        read(tmp_path, changed(*where, to=to))
    for word in words:
        assert word in str(caught.value)


def test_all_problems_come_together(tmp_path: Path) -> None:
    data = changed("departure", "lat", to=100)
    data["aircraft"]["climb_fpm"] = -1
    data["volumes"][1]["shape"]["points"][2] = [41.2, 400]
    with pytest.raises(BadFile) as caught:
        read(tmp_path, data)
    assert [problem.key for problem in caught.value.problems] == [
        "departure.lat",
        "aircraft.climb_fpm",
        "volumes.1.shape.polygon.points.2.1",
    ]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('{\n"name": ,\n}', "line 2, syntax: found expecting value"),
        ("", "line 1, syntax"),
        ('{"name": "x"', "syntax"),
        ("[" * 100_000, "syntax"),
        ("[1, 2]", "file: found [1, 2]"),
        (json.dumps(changed("departure", "lat", to=float("nan"))), "departure.lat"),
    ],
)
def test_what_is_not_such_a_file_is_refused(tmp_path: Path, text: str, words: str) -> None:
    with pytest.raises(BadFile, match="problem") as caught:
        read(tmp_path, text)
    assert words in str(caught.value)


def test_a_missing_file_is_told(tmp_path: Path) -> None:
    with pytest.raises(BadFile, match="found nothing, expected a JSON file"):
        read_problem(tmp_path / "absent.json")


def test_the_plane_lies_halfway_between_the_ends(tmp_path: Path) -> None:
    stated = read(tmp_path, GOOD)
    lat_deg = [stated.departure.lat_deg, stated.destination.lat_deg]
    lon_deg = [stated.departure.lon_deg, stated.destination.lon_deg]
    east_nm, north_nm = stated.plane.to_plane_nm(lat_deg, lon_deg)
    assert np.hypot(east_nm, north_nm)[0] == pytest.approx(np.hypot(east_nm, north_nm)[1])
    assert east_nm.sum() == pytest.approx(0.0, abs=1e-9)

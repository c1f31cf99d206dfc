"""The best source is used, the others are compared, and nothing is merged in silence."""

from dataclasses import replace
from typing import Any

import pytest
from places_made import SOURCE, aerodrome, data_set, end, obstacles, polygon, volume

from lubberline.places import (
    Circle,
    Conflict,
    DataSet,
    Height,
    Places,
    Radio,
    Runway,
    VisualPoint,
    Volume,
    Waypoint,
    merged,
)
from lubberline.places.conflicts import shared_fraction


def named(name: str, **items: Any) -> DataSet:
    return data_set(source=replace(SOURCE, name=name), **items)


def told(first: dict[str, Any], second: dict[str, Any]) -> list[str]:
    """What differs between the items of two sets, in words."""
    places = merged(None, [named("first", **first), named("second", **second)])
    return [difference for conflict in places.conflicts for difference in conflict.differs]


def fields(**changed: Any) -> dict[str, Any]:
    return {"aerodromes": (aerodrome(**changed),)}


def strip(first: str, second: str, length_ft: float) -> Runway:
    ends = (end(first), end(second))
    return Runway(ends=ends, length_ft=length_ft, width_ft=75.0, surface="paved")


def tower(frequency_mhz: float) -> Radio:
    return Radio(facility="Marl Tower", use="tower", frequency_mhz=frequency_mhz)


def test_the_first_source_is_used_and_the_other_told() -> None:
    high = named("high", **fields(elev_msl_ft=112.4))
    low = named("low", **fields(elev_msl_ft=153.0))
    places = merged(None, [high, low])
    assert places.aerodromes["QMRL"].elev_msl_ft == 112.4
    assert places.aerodromes["QMRL"].source == "high"
    (conflict,) = places.conflicts
    words = "aerodrome QMRL: elevation 112.4 ft, not 153 (used: high, not low)"
    assert str(conflict) == words
    assert merged(None, [low, high]).aerodromes["QMRL"].elev_msl_ft == 153.0


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({}, []),
        ({"elev_msl_ft": 120.0, "name": "MARL MUNI", "lat_deg": 41.101}, []),
        ({"elev_msl_ft": float("nan")}, []),
        ({"radios": ()}, []),
        ({"runways": ()}, []),
        ({"pattern_agl_ft": 800.0}, ["pattern height 1000 ft, not 800"]),
        ({"pattern_agl_ft": 800.0, "pattern_customary": True}, []),
        ({"lat_deg": 41.11}, ["place 0.6 NM apart"]),
        ({"radios": (tower(119.1),)}, ["tower 118.600, not 119.100"]),
        ({"radios": (tower(119.1), tower(118.6))}, []),
        ({"runways": (strip("12", "30", 4_240.0),)}, []),
        ({"runways": (strip("12", "30", 4_900.0),)}, ["length of 12/30 4200 ft, not 4900"]),
        ({"runways": (strip("11", "29", 4_200.0),)}, ["runways 12/30, not 11/29"]),
    ],
)
def test_what_differs_between_two_aerodromes(changed: dict[str, Any], words: list[str]) -> None:
    assert told(fields(), fields(**changed)) == words


def test_another_name_of_an_aerodrome_is_the_same_aerodrome() -> None:
    places = merged(
        None,
        [named("a", **fields(aliases=("MRL",))), named("b", aerodromes=(aerodrome("MRL"),))],
    )
    assert list(places.aerodromes) == ["QMRL"]
    assert places.place("MRL") is places.aerodromes["QMRL"]


def test_an_alias_far_away_is_another_aerodrome_but_an_id_is_a_conflict() -> None:
    far = aerodrome("MRL", lat_deg=43.0)
    near = named("a", **fields(aliases=("MRL",)))
    assert sorted(merged(None, [near, named("b", aerodromes=(far,))]).aerodromes) == ["MRL", "QMRL"]
    assert told(fields(), fields(lat_deg=42.1))[0] == "place 60.0 NM apart"


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({}, []),
        ({"airspace_class": "C"}, ["class D, not C"]),
        (
            {"ceiling": Height(reference="MSL", ft=2_500.0)},
            ["ceiling 2600 MSL, not 2500 MSL"],
        ),
        ({"frequency_mhz": 119.0}, []),
        (
            {"footprint": Circle(lat_deg=41.1, lon_deg=-130.5, radius_nm=5.0)},
            ["edges 1.1 NM apart"],
        ),
    ],
)
def test_what_differs_between_two_volumes(changed: dict[str, Any], words: list[str]) -> None:
    assert told({"volumes": (volume(),)}, {"volumes": (volume(**changed),)}) == words


def test_pieces_with_one_id_all_stay_and_one_set_answers_for_it() -> None:
    """A class B area has many pieces; the same area from a second set adds none."""
    pieces = (volume("QB"), volume("QB", footprint=polygon(41.3, -130.9)))
    places = merged(None, [named("a", volumes=pieces), named("b", volumes=pieces[::-1])])
    assert [one.source for one in places.volumes] == ["a", "a"]
    assert places.conflicts == ()


def spaces(*sets: tuple[Volume, ...]) -> Places:
    return merged(None, [named(f"s{n}", volumes=some) for n, some in enumerate(sets)])


def test_one_id_for_two_places_means_two_volumes() -> None:
    far = volume(footprint=Circle(lat_deg=44.0, lon_deg=-130.5, radius_nm=4.2))
    places = spaces((volume(),), (far,))
    assert [one.id for one in places.volumes] == ["QV-MARL", "QV-MARL of s1"]
    assert places.conflicts == ()


@pytest.mark.parametrize(
    ("changed", "count"),
    [
        ({}, 1),
        ({"footprint": Circle(lat_deg=41.1, lon_deg=-130.5, radius_nm=4.23)}, 1),
        ({"footprint": Circle(lat_deg=41.1, lon_deg=-130.5, radius_nm=4.3)}, 2),
        ({"airspace_class": "E"}, 2),
        ({"ceiling": Height(reference="MSL", ft=2_500.0)}, 2),
    ],
)
def test_two_ids_for_one_block_of_air_mean_one(changed: dict[str, Any], count: int) -> None:
    other = volume("QX-OTHER", **changed)
    assert len(spaces((volume(),), (other,)).volumes) == count
    assert len(spaces((volume(), other)).volumes) == 2


def test_what_a_second_name_says_otherwise_is_told() -> None:
    first, second = volume(frequency_mhz=118.6), volume("QX-OTHER", frequency_mhz=119.1)
    (conflict,) = spaces((first,), (second,)).conflicts
    assert (conflict.id, conflict.differs) == ("QV-MARL", ("frequency 118.6 MHz, not 119.1",))


def test_a_ring_is_not_the_disk_inside_it_though_over_the_date_line() -> None:
    ring = Circle(lat_deg=41.1, lon_deg=180.0, radius_nm=10.0, inner_nm=5.0)
    disk = replace(ring, inner_nm=0.0)
    one, other = volume(footprint=ring), volume("QX-OTHER", footprint=disk)
    assert shared_fraction(one, other) == pytest.approx(0.75, abs=1e-3)
    assert shared_fraction(one, one) == pytest.approx(1.0)


def test_a_radio_aid_and_a_fix_of_one_name_are_two_things() -> None:
    aid = Waypoint(
        id="QVO", kind="VOR", name="Quiver", lat_deg=41.0, lon_deg=-131.0, frequency_mhz=113.0
    )
    fix = replace(aid, kind="WP", frequency_mhz=None)
    other = replace(aid, frequency_mhz=113.4)
    places = merged(None, [named("a", waypoints=(aid, fix)), named("b", waypoints=(other,))])
    assert [one.kind for one in places.waypoints] == ["VOR", "WP"]
    assert [one.differs for one in places.conflicts] == [("frequency 113 MHz, not 113.4",)]


OWN = Places(
    aerodromes={"QMRL": aerodrome(elev_msl_ft=90.0)},
    volumes=(volume(),),
    points={"Pier": VisualPoint(name="Pier", lat_deg=41.0, lon_deg=-131.0)},
    land_deg=(),
    sources=("own.toml: seen",),
)


def test_own_places_come_first() -> None:
    pier = VisualPoint(name="Pier", lat_deg=41.3, lon_deg=-131.0)
    land = polygon(41.0, -131.0).corners_deg
    places = merged(OWN, [named("a", **fields(), points=(pier,), land_deg=(land,))])
    assert places.aerodromes["QMRL"].elev_msl_ft == 90.0
    assert places.points["Pier"].lat_deg == 41.0
    assert [one.used for one in places.conflicts] == ["own places"]
    assert places.land_deg == (land,)
    assert places.sources == ("own.toml: seen", "a: NASR CSV, from 2026-10-29")
    assert [one.name for one in places.datasets] == ["a"]


def test_obstacles_keep_their_source_even_if_two_have_one_name() -> None:
    some = obstacles([41.0], [-131.0])
    places = merged(None, [named("dof", obstacles=some), named("dof", obstacles=some)])
    assert list(places.obstacles) == ["dof", "dof too"]


def unanswered(**changed: Any) -> Volume:
    places = merged(None, [named("a", **fields(), volumes=(volume(**changed),))])
    return places.volumes[0]


def test_a_volume_gets_the_frequency_of_its_facility() -> None:
    assert unanswered(group="").frequency_mhz == 118.6


def test_or_of_the_aerodrome_that_its_group_names() -> None:
    found = unanswered(facility="")
    assert (found.frequency_mhz, found.facility) == (118.6, "Marl Tower")


@pytest.mark.parametrize(
    "changed",
    [{"group": "QNON", "facility": ""}, {"facility": "", "airspace_class": "E"}],
)
def test_without_an_answer_the_frequency_stays_unknown(changed: dict[str, Any]) -> None:
    assert unanswered(**changed).frequency_mhz is None


def test_a_published_frequency_is_not_replaced() -> None:
    assert unanswered(frequency_mhz=127.1).frequency_mhz == 127.1


def test_several_frequencies_are_all_told() -> None:
    radios = (tower(118.6), tower(119.9))
    items = {"aerodromes": (aerodrome(radios=radios),), "volumes": (volume(note="busy"),)}
    (found,) = merged(None, [named("a", **items)]).volumes
    assert found.note == "busy; Marl Tower also on 119.900"


def test_a_conflict_is_one_sentence() -> None:
    conflict = Conflict(kind="volume", id="QV", used="a", other="b", differs=("class D, not C",))
    assert str(conflict) == "volume QV: class D, not C (used: a, not b)"

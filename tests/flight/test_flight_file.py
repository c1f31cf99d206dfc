"""A flight file becomes a plan, or one error that lists everything wrong with it."""

import shutil
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from lubberline.demo import write_folder
from lubberline.errors import BadFile, Problem
from lubberline.flight import read_plan

Edited = Callable[..., Path]


@pytest.fixture(scope="module")
def starter(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A pilot's folder as it is written, without the large tiles of the ground."""
    home = write_folder(tmp_path_factory.mktemp("starter") / "pilot").parents[1]
    for tile in home.glob("places/*.hgt"):
        tile.unlink()
    return home


@pytest.fixture
def edited(starter: Path, tmp_path: Path) -> Edited:
    """The flight's folder in a copy of the starter, with pieces of its flight file replaced."""

    def edit(*pieces: tuple[str, str]) -> Path:
        home = shutil.copytree(starter, tmp_path / "pilot")
        path = next(home.glob("flights/*/flight.toml"))
        text = path.read_text(encoding="utf-8")
        for old, new in pieces:
            assert old in text
            text = text.replace(old, new, 1)
        path.write_text(text, encoding="utf-8")
        return path.parent

    return edit


def problems(path: Path) -> tuple[Problem, ...]:
    with pytest.raises(BadFile) as refused:
        read_plan(path)
    return refused.value.problems


def line_of(home: Path, words: str) -> int:
    """Line of the first of these words in the starter's flight file."""
    text = next(home.glob("flights/*/flight.toml")).read_text(encoding="utf-8")
    return text[: text.index(words)].count("\n") + 1


def test_the_plan_says_which_files_it_was_read_from(edited: Edited) -> None:
    plan = read_plan(edited())
    names = [path.name for path in plan.inputs]
    assert names == ["flight.toml", "heron.toml", "pilot.toml", "region.toml", "weather.txt"]
    assert plan.flight.aircraft_file == "aircraft/heron.toml"
    assert plan.flight.weather_file == "weather.txt"


def test_the_ground_is_among_the_files(edited: Edited) -> None:
    folder = edited()
    tile = folder.parents[1] / "places" / "N41W131.hgt"
    tile.write_bytes(bytes(2 * 1201 * 1201))
    assert tile.name in [path.name for path in read_plan(folder).inputs]


def test_times_are_turned_into_utc(edited: Edited) -> None:
    plan = read_plan(edited(("2026-11-25T20:40:00Z", "2026-11-25T12:40:00-08:00")))
    assert plan.flight.off_block_utc == datetime(2026, 11, 25, 20, 40, tzinfo=UTC)


@pytest.mark.parametrize(
    ("old", "new", "key", "found", "expected", "example"),
    [
        (
            *('departure = "QWRN"', 'departure = "QWRM"'),
            *("departure", "'QWRM'", "one of: QWRN,", "departure = 'QWRN'"),
        ),
        (
            *('destination = "QMRL"', 'destination = "qmrl"'),
            *("destination", "'qmrl'", "one of: QMRL,", "destination = 'QMRL'"),
        ),
        ('"Split Rock"', '"Split Rok"', "way.0.via.1", "'Split Rok'", "Split Rock,", "Split Rock"),
        (
            *('"Long Mole"', "[141.0, -131.0]", "way.1.via.0"),
            *("[141.0, -131.0]", "a name, or [latitude, longitude]", "via = ['Split Rock',"),
        ),
        ('"Long Mole"', "[41.0]", "way.1.via.0", "[41.0]", "a name, or [latitude, longitude]", ""),
        (
            *('["marl-tower"]', '["marl-towr"]', "way.1.permissions.0"),
            *("'marl-towr'", "one of: marl-tower,", "'marl-tower'"),
        ),
        ("front = 172", "frunt = 172", "load_lb.frunt", "'frunt'", "one of: front,", "front = ..."),
        ("front = 172", "front = -5", "load_lb.front", "-5", "greater than or equal to 0", ""),
        ("left = 22", "lift = 22", "fuel_gal.lift", "'lift'", "one of: left, right", "left = ..."),
        (
            *("left = 22", "left = 31", "fuel_gal.left"),
            *("31", "at most 30 usable in that tank", "left = 30"),
        ),
        (
            *('# departure_runway = "07"', 'departure_runway = "18"', "departure_runway"),
            *("'18'", "one of: 07, 25", "departure_runway = '07'"),
        ),
        (
            *("2026-11-25T20:40:00Z", "2026-11-25T20:40:00", "off_block_utc"),
            *("2026-11-25 20:40:00", "a time with its zone: UTC ends in Z", "2026-11-25T21:00:00Z"),
        ),
        ("2026-11-25T20:40:00Z", "2026", "off_block_utc", "2026", "a valid datetime", "T21:00:00Z"),
        (
            *("2026-11-25T21:55:00Z", "2026-11-25T20:30:00Z", "arrive_by_utc"),
            *("2026-11-25 20:30:00", "a time after off_block_utc", "2026-11-25T22:15:00Z"),
        ),
        (
            *("taxi_in_min = 3", "altimeter_hpa = 1013", "altimeter_hpa"),
            *("1013", "a known key", "remove the line"),
        ),
        ("taxi_in_min = 3", "taxi_in = 3", "taxi_in", "3", "a known key", "taxi_in_min = ..."),
        ("taxi_in_min = 3", "taxi_in_min = nan", "taxi_in_min", "nan", "a finite number", "= 5"),
        (
            *('aircraft = "heron"', 'aircraft = "herom"', "aircraft"),
            *("'herom'", "a file in aircraft/, one of: heron", "aircraft = 'heron'"),
        ),
        ('"heron"', '"../heron"', "aircraft", "'../heron'", "match pattern", "aircraft = 'heron'"),
        (
            *('standard = "commercial"', 'standard = "comercial"', "standard"),
            *("'comercial'", "a file in standards/, one of: commercial", "'commercial'"),
        ),
        (
            *('weather = "weather.txt"', 'weather = "wether.txt"', "weather"),
            *("'wether.txt'", "beside flight.toml, one of: weather.txt", "weather = 'weather.txt'"),
        ),
        (
            *("msl_ft = 6000", "msl_ft = 3000", "wind_aloft.2.msl_ft"),
            *("3000", "a msl_ft that is not used above", ""),
        ),
        (
            *('name = "south round by the gap"', 'name = "direct through Sedge"', "way.1.name"),
            *("'direct through Sedge'", "a name that is not used above", ""),
        ),
        ('title = "Wren Island to Marl"', "title = Wren", "syntax", "title = Wren", "TOML", ""),
    ],
)
def test_a_wrong_flight_says_where_what_and_how(
    starter: Path,
    edited: Edited,
    old: str,
    new: str,
    key: str,
    found: str,
    expected: str,
    example: str,
) -> None:
    folder = edited((old, new))
    one, *others = [one for one in problems(folder) if one.expected != "a value"]
    assert others == []
    assert one.key == key
    assert found in one.found
    assert expected in one.expected
    assert example in one.example
    assert one.line == line_of(starter, old)


def test_loads_and_fuel_may_be_written_in_other_units(edited: Edited) -> None:
    plan = read_plan(edited(("front = 172", 'front = "80 kg"'), ("left = 22", 'left = "83.28 L"')))
    assert plan.flight.load_lb["front"] == pytest.approx(176.37, abs=0.005)  # NIST SP 811, B.8
    assert plan.flight.fuel_gal["left"] == pytest.approx(22.0, abs=0.001)  # the same


def test_a_unit_of_another_kind_is_refused(edited: Edited) -> None:
    (one,) = problems(edited(("left = 22", 'left = "80 kg"')))
    assert one.key == "fuel_gal.left"
    assert "80 kg" in one.found


def test_all_wrong_names_come_in_one_error_in_the_order_of_the_file(edited: Edited) -> None:
    folder = edited(
        ('departure = "QWRN"', 'departure = "QXXX"'),
        ("left = 22", "lift = 22"),
        ('"Kiln Point"', '"Kiln"'),
    )
    found = problems(folder)
    assert [one.key for one in found] == ["departure", "fuel_gal.lift", "way.1.via.2"]
    assert [one.line for one in found] == sorted(one.line or 0 for one in found)


def test_many_names_are_not_all_listed(edited: Edited) -> None:
    expected = problems(edited(('"Split Rock"', '"Splitt Rock"')))[0].expected
    assert expected.startswith("one of: Split Rock, ")
    assert expected.endswith(" more")


def test_an_empty_file_lists_every_key_that_is_needed(edited: Edited) -> None:
    folder = edited()
    (folder / "flight.toml").write_text("", encoding="utf-8")
    assert {"title", "departure", "off_block_utc", "load_lb", "way"} <= {
        one.key for one in problems(folder)
    }


def test_binary_data_is_refused(edited: Edited) -> None:
    folder = edited()
    (folder / "flight.toml").write_bytes(bytes(range(256)))
    (one,) = problems(folder)
    assert (one.key, one.expected) == ("file", "a TOML file")
    assert "not UTF-8 text" in one.found


def test_a_folder_without_a_flight_is_refused(starter: Path) -> None:
    (one,) = problems(starter)
    assert one.found == "nothing"
    assert "flight.toml" in one.expected


def test_a_flight_that_is_a_directory_is_refused(edited: Edited) -> None:
    folder = edited()
    (folder / "flight.toml").unlink()
    (folder / "flight.toml").mkdir()
    (one,) = problems(folder)
    assert one.found == "a directory"


def test_weather_that_is_a_directory_is_no_file(edited: Edited) -> None:
    folder = edited()
    (folder / "weather.txt").unlink()
    (folder / "weather.txt").mkdir()
    assert problems(folder)[0].key == "weather"


def test_a_flight_outside_a_pilots_folder_is_refused(edited: Edited) -> None:
    folder = edited()
    (folder.parents[1] / "pilot.toml").unlink()
    (one,) = problems(folder)
    assert one.found == "no pilot.toml in any folder above"
    assert "lubberline init" in one.example


def test_a_wrong_airplane_is_named_by_its_own_file(edited: Edited) -> None:
    folder = edited()
    path = folder.parents[1] / "aircraft" / "heron.toml"
    path.write_text(path.read_text(encoding="utf-8").replace("taxi_gal = 1.5", "taxi_gal = -1"))
    with pytest.raises(BadFile, match=r"heron\.toml: 1 problem") as refused:
        read_plan(folder)
    assert refused.value.problems[0].key == "taxi_gal"

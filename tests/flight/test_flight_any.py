"""Whatever stands in a flight file, it is a plan or one refusal that says where and what."""

import re
from pathlib import Path

import pytest

from lubberline.demo import write_folder
from lubberline.errors import BadFile
from lubberline.flight import Plan, read_plan

VALUE = re.compile(r"^(\s*[a-z_]+ = )([^\n#]+)", re.MULTILINE)
WRONG = ["true", "-1", "1e300", "inf", '""', '"x"', "[]", "[[]]", "{}", "1979-05-27", '"../../x"']


@pytest.fixture(scope="module")
def flight_path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = write_folder(tmp_path_factory.mktemp("any") / "pilot")
    for tile in folder.parents[1].glob("places/*.hgt"):
        tile.unlink()
    return folder / "flight.toml"


@pytest.fixture(scope="module")
def text(flight_path: Path) -> str:
    return flight_path.read_text(encoding="utf-8")


def read(path: Path, text: str) -> Plan | BadFile:
    """The plan or the refusal; anything else is a defect."""
    path.write_text(text, encoding="utf-8")
    try:
        return read_plan(path)
    except BadFile as refused:
        return refused


@pytest.mark.parametrize("value", WRONG)
def test_a_wrong_value_of_any_key_is_refused_at_its_line_or_is_a_plan(
    flight_path: Path, text: str, value: str
) -> None:
    refused_count = 0
    for place in VALUE.finditer(text):
        made = read(flight_path, text[: place.start(2)] + value + text[place.end(2) :])
        if isinstance(made, BadFile):
            refused_count += 1
            line = text[: place.start(2)].count("\n") + 1
            for one in made.problems:
                assert one.line == line, f"{place[0]!r} as {value}: {one}"
                assert one.found, one
                assert one.expected, one
    assert refused_count > 0


def test_each_line_that_is_left_out_gives_a_plan_or_names_its_key(
    flight_path: Path, text: str
) -> None:
    lines = text.splitlines(keepends=True)
    for number in range(len(lines)):
        made = read(flight_path, "".join(lines[:number] + lines[number + 1 :]))
        if isinstance(made, BadFile):
            assert made.problems
            assert all(one.key and one.expected for one in made.problems)


@pytest.mark.parametrize("part", [0.1, 0.3, 0.5, 0.7, 0.9, 0.99])
def test_a_file_that_was_cut_off_is_refused_or_is_a_plan(
    flight_path: Path, text: str, part: float
) -> None:
    made = read(flight_path, text[: int(part * len(text))])
    assert isinstance(made, Plan) or made.problems


def test_a_flight_without_a_way_says_what_a_way_is(flight_path: Path, text: str) -> None:
    for without in (text[: text.index("[[way]]")], "way = []\n" + text[: text.index("[[way]]")]):
        made = read(flight_path, without)
        assert isinstance(made, BadFile)
        (one,) = made.problems
        assert one.key == "way"
        assert one.expected.startswith("at least one [[way]]")


def test_all_that_is_wrong_in_a_file_comes_together(flight_path: Path, text: str) -> None:
    wrong = text.replace("taxi_out_min = ", "taxi_out_min = -").replace("wind_kt = ", "wind_kn = ")
    made = read(flight_path, wrong)
    assert isinstance(made, BadFile)
    keys = [one.key for one in made.problems]
    assert keys[0] == "taxi_out_min"
    assert {"wind_aloft.0.wind_kt", "wind_aloft.0.wind_kn", "wind_aloft.2.wind_kn"} <= set(keys)

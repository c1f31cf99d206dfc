"""Whatever stands in the files of a flight: an answer or one clear refusal, never a traceback."""

import re
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from lubberline.cli import commands  # noqa: F401 - registers the commands
from lubberline.cli.app import app
from lubberline.demo import write_folder
from lubberline.errors import LubberlineError
from lubberline.flight import read_plan
from lubberline.loop import prepare_plan

SOME = settings(max_examples=12, deadline=None)
VALUE = re.compile(r"(?<== )[^\n#]+")
VALUES = st.sampled_from(
    [
        *("0", "-1", "1e-300", "1e300", "nan", "inf", "0.5", "999999", "true", '"x"', '""', "[]"),
        *("2026-11-25", "2026-11-25T21:00:00Z", "1900-01-01", '["QMRL"]', '["QSDG"]', "{}"),
    ]
)
GROUPS = st.sampled_from(
    [
        *("METAR QMRL 252045Z", "TAF QSDG 251730Z 2518/2618", "26009KT", "VRB99G99KT", "0SM"),
        *("P6SM", "M1/4SM", "9999", "CAVOK", "VV000", "OVC000", "BKN///", "A2992", "Q1013", "-RA"),
        *("M40/M41", "60/60", "TEMPO 2520/2522", "FM252000", "PROB30", "=", "RMK", "////", "NIL"),
    ]
)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    flight = write_folder(tmp_path_factory.mktemp("any") / "pilot")
    for tile in flight.parents[1].glob("places/*.hgt"):
        tile.unlink()
    return flight


def ask(folder: Path, path: Path, text: str) -> None:
    """Check the flight with another text in one of its files, which is put back afterwards."""
    before = path.read_bytes()
    path.write_text(text, encoding="utf-8")
    try:
        done = CliRunner().invoke(app, ["fit", str(folder)])
        if not isinstance(done.exception, SystemExit | None):
            raise done.exception
        assert done.exit_code in (0, 1)
        assert done.output.startswith("FIT" if done.exit_code == 0 else "error")
    finally:
        path.write_bytes(before)


@SOME
@given(data=st.data())
@pytest.mark.parametrize("name", ["flight.toml", "../../pilot.toml", "../../aircraft/heron.toml"])
def test_any_values_in_a_file(folder: Path, name: str, data: st.DataObject) -> None:
    path = folder / name
    text = path.read_text(encoding="utf-8")
    for _ in range(data.draw(st.integers(1, 3))):
        places = list(VALUE.finditer(text))
        place = data.draw(st.sampled_from(places))
        text = text[: place.start()] + data.draw(VALUES) + text[place.end() :]
    ask(folder, path, text)


@SOME
@given(groups=st.lists(GROUPS | st.text(max_size=8), max_size=12))
def test_any_groups_in_the_weather(folder: Path, groups: list[str]) -> None:
    path = folder / "weather.txt"
    ask(folder, path, path.read_text(encoding="utf-8") + "\n" + " ".join(groups))


@SOME
@given(
    fuel_gal=st.floats(0.0, 60.0),
    front_lb=st.floats(0.0, 600.0),
    wind_kt=st.integers(0, 250),
    degc=st.integers(-90, 60),
)
def test_any_load_wind_and_temperature(
    folder: Path, fuel_gal: float, front_lb: float, wind_kt: int, degc: int
) -> None:
    """Numbers that a file may have, at their extremes; the plan is asked in process."""
    path = folder / "flight.toml"
    text = before = path.read_text(encoding="utf-8")
    for key, value in (("left", fuel_gal / 2.0), ("front", front_lb), ("wind_kt", wind_kt)):
        text = re.sub(rf"^{key} = [^\n#]+", f"{key} = {value!r}", text, flags=re.MULTILINE)
    text = re.sub(r"^oat_degc = [^\n#]+", f"oat_degc = {degc}", text, flags=re.MULTILINE)
    path.write_text(text, encoding="utf-8")
    try:
        with suppress(LubberlineError):
            assert prepare_plan(read_plan(folder), None).findings
    finally:
        path.write_text(before, encoding="utf-8")

"""Damaged aircraft files: a value or one clear refusal, and never a traceback."""

import copy
import os
import tomllib
from pathlib import Path
from typing import Any

import pytest
import tomlkit
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import lubberline
from lubberline.aircraft import (
    Aircraft,
    burn_paths,
    climb,
    climb_rate,
    cruise_figures,
    differences,
    glide,
    landing_distance,
    landing_roll,
    maneuvering_speed,
    read_aircraft,
    takeoff_distance,
    takeoff_roll,
    tightest,
)
from lubberline.errors import BadFile, LubberlineError

HERON = Path(lubberline.__file__).parent / "demo" / "files" / "aircraft" / "heron.toml"
TEXT = HERON.read_text(encoding="utf-8")
# Without the long tables, which are damaged as text: what is left has every kind of key.
SHORT = (
    TEXT[: TEXT.index('[[table]]\nname = "takeoff_over')]
    + (TEXT[TEXT.index('[[table]]\nname = "climb_min"') :])
)
DATA = tomllib.loads(SHORT)
FUZZED = settings(
    deadline=None,
    max_examples=int(os.environ.get("LUBBERLINE_FUZZ", "100")),
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
ODD = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**12), 10**12),
    st.floats(),
    st.sampled_from([0, -1, 1e308, -0.0, float("nan"), float("inf")]),
    st.text(max_size=8),
    st.sampled_from(["80 kg", "-3 L", "7 qt", "1e3 lb", "٣ kg", "none", ""]),
    st.lists(st.integers(-9, 9) | st.text(max_size=3), max_size=4),
    st.dictionaries(st.sampled_from(["name", "arm_in", "x"]), st.integers(), max_size=2),
    st.dates(),
)


def read(path: Path, text: str) -> Aircraft | None:
    """The airplane, or None where the file was refused in words."""
    path.write_text(text, encoding="utf-8", errors="surrogatepass")
    try:
        return read_aircraft(path)
    except BadFile as refused:
        told = str(refused)
    assert "problem(s)\n" in told
    assert "pydantic" not in told
    return None


def use(plane: Aircraft, heron: Aircraft) -> None:
    """Ask everything of an airplane; it may refuse in its own words only."""
    weight_lb = 0.5 * (plane.loading.empty_lb + plane.loading.max_takeoff_lb)
    air: dict[str, Any] = {"weight_lb": weight_lb, "pressure_ft": 1_000.0, "oat_degc": 12.0}
    for question in (takeoff_roll, takeoff_distance, landing_roll, landing_distance):
        for surface in ("paved", "grass"):
            found = question(plane, **air, headwind_kt=5.0, surface=surface, slope_percent=0.5)
            assert (found.value is None) is bool(found.missing)
    climb_rate(plane, **air)
    cruise_figures(plane, **air)
    climb(plane, weight_lb=weight_lb, from_ft=500.0, to_ft=5_000.0)
    glide(plane, agl_ft=3_000.0)
    maneuvering_speed(plane, weight_lb=weight_lb)
    differences(heron, plane)
    differences(plane, heron)
    fuel_gal = {tank.name: tank.usable_gal for tank in plane.loading.tanks}
    tightest(plane.loading, burn_paths(plane.loading, load_lb={}, fuel_gal=fuel_gal))


@FUZZED
@given(
    st.lists(
        st.tuples(
            st.integers(0, len(SHORT)),
            st.integers(0, 12),
            st.text(max_size=6) | st.sampled_from(["[", "]]", "\n", "=", '"', "nan", "-", "{"]),
        ),
        min_size=1,
        max_size=4,
    )
)
def test_damaged_text_is_read_or_refused(
    heron: Aircraft, tmp_path: Path, cuts: list[tuple[int, int, str]]
) -> None:
    text = SHORT
    for start, length, other in cuts:
        text = text[:start] + other + text[start + length :]
    plane = read(tmp_path / "damaged.toml", text)
    if plane is not None:
        use(plane, heron)


def places(data: Any) -> list[tuple[Any, Any]]:
    """Every table or list of the file, with each of its keys; a row of figures is one."""
    found: list[tuple[Any, Any]] = []
    items = data.items() if isinstance(data, dict) else enumerate(data)
    for key, value in items:
        found.append((data, key))
        if isinstance(value, dict) or (isinstance(value, list) and not _figures(value)):
            found += places(value)
    return found


def _figures(values: list[Any]) -> bool:
    """A row of figures: damaged as a whole, or there would be little but cells."""
    return all(isinstance(one, int | float) for one in values)


COUNT = len(places(DATA))


@FUZZED
@given(
    st.lists(st.tuples(st.integers(0, COUNT - 1), st.just("remove") | ODD), min_size=1, max_size=3)
)
def test_damaged_values_are_read_or_refused(
    heron: Aircraft, tmp_path: Path, changes: list[tuple[int, Any]]
) -> None:
    data = copy.deepcopy(DATA)
    every = places(data)
    for number, value in changes:
        table, key = every[number]
        if value == "remove" or value is None:
            table[key] = {} if isinstance(table, list) else []
        else:
            table[key] = value
    try:
        text = tomlkit.dumps(data)
    except (ValueError, TypeError):  # what no TOML file can say
        return
    plane = read(tmp_path / "damaged.toml", text)
    if plane is not None:
        use(plane, heron)


@pytest.mark.parametrize("key", sorted({key for _, key in places(DATA) if isinstance(key, str)}))
def test_a_file_without_any_one_key_is_read_or_refused(
    heron: Aircraft, tmp_path: Path, key: str
) -> None:
    data = copy.deepcopy(DATA)
    for table, name in places(data):
        if name == key:
            table.pop(name, None)
    plane = read(tmp_path / "without.toml", tomlkit.dumps(data))
    if plane is not None:
        use(plane, heron)


def test_a_refusal_is_one_of_ours() -> None:
    assert issubclass(BadFile, LubberlineError)

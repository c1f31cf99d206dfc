"""A wrong aircraft file is refused with every problem, each at its own line."""

from pathlib import Path

import numpy as np
import pytest

import lubberline
from lubberline.aircraft import Table, read_aircraft
from lubberline.errors import BadFile, ShapeError

HERON = Path(lubberline.__file__).parent / "demo" / "files" / "aircraft" / "heron.toml"
TEXT = HERON.read_text(encoding="utf-8")


def problems(tmp_path: Path, *changes: tuple[str, str]) -> list[str]:
    """What the reader says after each first text was replaced by the second, once."""
    text = TEXT
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    path = tmp_path / "heron.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(BadFile) as caught:
        read_aircraft(path)
    return [str(problem) for problem in caught.value.problems]


def line_of(text: str) -> int:
    """Line of the first place in the heron's file that has this text."""
    return TEXT[: TEXT.index(text)].count("\n") + 1


def test_the_heron_is_read_whole() -> None:
    heron = read_aircraft(HERON)
    assert heron.call_sign == "Q-HRN"
    assert heron.loading.envelope_lb.tolist() == [1700, 2350, 2912, 2912, 1700]
    assert [tank.usable_gal for tank in heron.loading.tanks] == [30, 30]
    assert heron.tables["takeoff_roll_ft"].values.shape == (3, 5, 5)
    assert heron.tables["cruise_tas_kt"].axes["oat_degc"].tolist() == [-20, 0, 20, 40]
    assert heron.upkeep.elt_battery_until is not None


def test_the_heron_says_first_that_it_is_invented() -> None:
    assert "invented" in TEXT.splitlines()[0]


def test_every_table_of_the_heron_grows_worse_with_weight_height_and_heat() -> None:
    tables = read_aircraft(HERON).tables
    for name in ("takeoff_roll_ft", "takeoff_over_50_ft", "landing_roll_ft", "landing_over_50_ft"):
        assert all((np.diff(tables[name].values, axis=axis) > 0).all() for axis in range(3))
    assert all((np.diff(tables["climb_fpm"].values, axis=axis) < 0).all() for axis in range(3))
    rolls = (("takeoff_roll_ft", "takeoff_over_50_ft"), ("landing_roll_ft", "landing_over_50_ft"))
    for roll, over in rolls:
        assert (tables[roll].values < tables[over].values).all()


def test_arrays_that_were_read_cannot_be_changed() -> None:
    heron = read_aircraft(HERON)
    with pytest.raises(ValueError, match="read-only"):
        heron.tables["climb_fpm"].values[0, 0, 0] = 1.0


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("stall_clean_kt = 60", "stall_clean_kt = 180", "at most normal_operating_kt, 145"),
        ("stall_flaps_down_kt = 53", "stall_flaps_down_kt = 61", "at most stall_clean_kt, 60"),
        ("best_angle_kt = 74", "best_angle_kt = 90", "at most best_rate_kt, 88"),
        ("final_kt = 75", "final_kt = 50", "above stall_flaps_down_kt, 53"),
        ("flaps_kt = 105", "flaps_kt = 177", "at most never_exceed_kt, 176"),
        ("max_landing_lb = 2900", "max_landing_lb = 3000", "at most max_ramp_lb, 2912"),
        ("max_zero_fuel_lb = 2750", "max_zero_fuel_lb = 2905", "at most max_takeoff_lb, 2900"),
        ("empty_lb = 1795", "empty_lb = 2800", "at most max_zero_fuel_lb, 2750"),
        ("annual_on = 2026-03-12", "annual_on = 'spring'", "a valid date"),
        ("retractable = true", "retractable = 'maybe'", "a valid boolean"),
        ("usable_gal = 30", "usable_gal = -30", "greater than 0"),
        ("oat_degc = [0, 10, 20, 30, 40]", "oat_degc = [0, 10, 10, 30, 40]", "10 comes after 10"),
        ("headwind_max_kt = 30", "headwind_max_kt = 91", "less than or equal to 60"),
    ],
)
def test_an_impossible_value_is_told_at_its_line(
    tmp_path: Path, old: str, new: str, told: str
) -> None:
    (problem,) = problems(tmp_path, (old, new))
    assert problem.startswith(f"line {line_of(old)}, ")
    assert told in problem


def test_a_headwind_may_not_take_the_whole_distance(tmp_path: Path) -> None:
    percent = "headwind_percent_per_kt = 1.1\n"
    (problem,) = problems(tmp_path, (percent, percent.replace("1.1", "4")))
    assert f"line {line_of('headwind_max_kt = 30')}, table.0.headwind_max_kt" in problem
    assert "less than 25, where nothing would be left" in problem


def test_names_that_come_twice_are_told_at_the_second(tmp_path: Path) -> None:
    told = problems(
        tmp_path,
        ('name = "rear"', 'name = "front"'),
        ('name = "right"', 'name = "left"'),
        ('name = "takeoff_over_50_ft"', 'name = "takeoff_roll_ft"'),
    )
    assert [problem.partition(": ")[0].partition(", ")[2] for problem in told] == [
        "loading.station.1.name",
        "loading.tank.1.name",
        "table.1.name",
    ]
    at = line_of('name = "rear"')
    assert told[0].startswith(f"line {at}, ")


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        # One figure short in a row, one row short in a weight, no such axis, axis without points.
        ("[575, 615, 660, 700, 745]", "[575, 615, 660, 700]", "at least 5 items, not 4"),
        ("    [660, 705, 755, 805, 855],      # 2,000 ft\n", "", "at least 5 items, not 4"),
        ('axes = ["weight_lb", ', 'axes = ["wieght_lb", ', "'weight_lb', 'pressure_ft', 'oat"),
        ("weight_lb = [2300, 2600, 2900]\n", "", "its printed points, because axes names"),
        ('axes = ["weight_lb", ', "axes = [", "weight_lb among axes, or no such key"),
        ("[575, 615,", "[575, -615,", "a figure of at least 0, or nan for a blank"),
        ("[575, 615,", "[575, inf,", "a figure of at least 0, or nan for a blank"),
        ("[575, 615,", '[575, "?",', "a valid number"),
        ('name = "takeoff_roll_ft"', 'name = "takeof_roll_ft"', "'takeoff_roll_ft', "),
        (
            "headwind_max_kt = 30",
            "above_standard_percent_per_degc = 1",
            "0, because axes names oat_degc already",
        ),
    ],
)
def test_a_table_that_does_not_fit_its_axes_is_told_where(
    tmp_path: Path, old: str, new: str, told: str
) -> None:
    (problem,) = problems(tmp_path, (old, new))
    assert told in problem
    assert "table.0" in problem


def test_a_wrong_cell_is_told_by_its_place(tmp_path: Path) -> None:
    (problem,) = problems(tmp_path, ("[660, 705, 755,", "[660, 705, -755,"))
    at = line_of("[660, 705, 755,")
    assert problem.startswith(f"line {at}, table.0.values.0.1.2: found -755.0, expected")


def test_a_blank_cell_is_kept_as_not_known(tmp_path: Path) -> None:
    path = tmp_path / "heron.toml"
    path.write_text(TEXT.replace("1235, 1310]", "1235, nan]"), encoding="utf-8")
    values = read_aircraft(path).tables["takeoff_roll_ft"].values
    assert np.argwhere(np.isnan(values)).tolist() == [[0, 4, 4]]


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        # Last two corners exchanged: the outline crosses itself.
        (
            "{ arm_in = 110.0, weight_lb = 2912 },\n  { arm_in = 110.0, weight_lb = 1700 },",
            "{ arm_in = 110.0, weight_lb = 1700 },\n  { arm_in = 110.0, weight_lb = 2912 },",
            "corners in order around one area",
        ),
        # The first corner is repeated and nothing but a line is left.
        (
            "{ arm_in = 100.5, weight_lb = 2912 },\n  { arm_in = 110.0, weight_lb = 2912 },\n"
            "  { arm_in = 110.0, weight_lb = 1700 },",
            "{ arm_in = 96.0, weight_lb = 1700 },",
            "at least 3 different corners",
        ),
    ],
)
def test_an_envelope_that_bounds_no_area_is_refused(
    tmp_path: Path, old: str, new: str, told: str
) -> None:
    (problem,) = problems(tmp_path, (old, new))
    assert problem.startswith(f"line {line_of('envelope = [')}, loading.envelope: ")
    assert told in problem


def test_a_repeated_closing_corner_is_dropped(tmp_path: Path) -> None:
    path = tmp_path / "heron.toml"
    last = "  { arm_in = 110.0, weight_lb = 1700 },\n"
    path.write_text(TEXT.replace(last, last + "  { arm_in = 96.0, weight_lb = 1700 },\n"))
    assert read_aircraft(path).loading.envelope_lb.size == 5


def test_a_gear_that_moves_has_speeds_and_one_that_does_not_has_none(tmp_path: Path) -> None:
    told = problems(tmp_path, ("gear_extended_kt = 130\n", ""))
    assert "speeds.gear_extended_kt: found nothing, expected a value, because" in told[0]
    told = problems(tmp_path, ("retractable = true", "retractable = false"))
    assert len(told) == 3
    assert all("no such key, because retractable is false" in problem for problem in told)


def test_a_descent_faster_than_the_last_limit_is_refused(tmp_path: Path) -> None:
    (problem,) = problems(tmp_path, ("descent_ias_kt = 140", "descent_ias_kt = 190"))
    assert "never_exceed_kt: found 176.0, expected at least descent_ias_kt, 190" in problem


def test_what_is_left_out_is_not_known(tmp_path: Path) -> None:
    text = TEXT.replace("crosswind_shown_kt = 17", "").replace("annual_on = 2026-03-12", "")
    text = text.replace("grass_percent = 15", "")
    path = tmp_path / "heron.toml"
    path.write_text(text, encoding="utf-8")
    plane = read_aircraft(path)
    assert plane.crosswind_shown_kt is None
    assert plane.upkeep.annual_on is None
    assert plane.tables["takeoff_roll_ft"].grass_percent is None


def test_all_problems_come_together(tmp_path: Path) -> None:
    told = problems(
        tmp_path,
        ("horsepower_hp = 200", "horsepower = 200"),
        ("empty_arm_in = 101.5", "empty_arm_in = nan"),
        ("grass_percent = 15", "grass_percent = 500"),
    )
    assert len(told) == 4  # the misspelled key is both unknown and absent
    assert any("expected a known key; e.g. horsepower_hp = ..." in problem for problem in told)


BELOW = 'use_first_below = ["weight_lb", "pressure_ft"]'
CRUISE = 'name = "cruise_gph"'


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        (BELOW, "use_first_below = ['msl_ft']", "expected 'weight_lb'"),
        (BELOW, "use_first_below = 'weight_lb'", "expected a"),
        (CRUISE, f"{CRUISE}\nuse_first_below = ['pressure_ft']", "no such key for cruise"),
        (CRUISE, f"{CRUISE}\nuse_first_below = ['weight_lb']", "weight_lb is none of them"),
    ],
)
def test_the_first_figure_stands_only_for_axes_of_its_table_and_never_in_cruise(
    tmp_path: Path, old: str, new: str, told: str
) -> None:
    (problem,) = problems(tmp_path, (old, new))
    assert "use_first_below" in problem
    assert told in problem


@pytest.mark.parametrize(
    ("points", "shape"),
    [([0.0, 0.0], (2,)), ([1.0], (1,)), ([0.0, 1.0], (3,)), ([0.0, np.nan], (2,))],
)
def test_a_table_cannot_be_built_on_axes_it_does_not_fit(
    points: list[float], shape: tuple[int, ...]
) -> None:
    with pytest.raises(ShapeError, match="climb_fpm"):
        Table(name="climb_fpm", axes={"pressure_ft": np.array(points)}, values=np.zeros(shape))

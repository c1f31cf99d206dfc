"""Flaps, systems, oil, envelopes, tables and units of an aircraft file, as read and as refused."""

from pathlib import Path

import numpy as np
import pytest

import lubberline
from lubberline.air import isa_temperature_degc
from lubberline.aircraft import Aircraft, Flap, Oil, Systems, look_up, read_aircraft
from lubberline.errors import BadFile

HERON = Path(lubberline.__file__).parent / "demo" / "files" / "aircraft" / "heron.toml"
TEXT = HERON.read_text(encoding="utf-8")


def changed(tmp_path: Path, *changes: tuple[str, str]) -> Aircraft:
    """The heron's file with each first text replaced by the second, once."""
    text = TEXT
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    path = tmp_path / "heron.toml"
    path.write_text(text, encoding="utf-8")
    return read_aircraft(path)


def problem(tmp_path: Path, *changes: tuple[str, str]) -> str:
    with pytest.raises(BadFile) as caught:
        changed(tmp_path, *changes)
    (only,) = caught.value.problems
    return str(only)


def test_flaps_systems_and_oil_are_read(tmp_path: Path) -> None:
    heron = changed(tmp_path)
    assert [one.name for one in heron.flaps] == ["up", "10 degrees", "25 degrees", "full"]
    assert heron.flaps[2] == Flap(name="25 degrees", max_kt=110, approach_kt=77, use="base leg")
    assert heron.systems.fuel_selector == "left or right"
    assert heron.systems.carburetor_heat == "none"
    assert heron.oil.min_qt == 5
    assert heron.loading.utility_lb.tolist() == [1700, 2350, 2350, 1700]


def test_what_is_left_out_is_not_known(tmp_path: Path) -> None:
    start, end = TEXT.index("# Flap settings"), TEXT.index("# Weight and balance. Arms")
    bare = changed(tmp_path, (TEXT[start:end], ""))
    assert bare.flaps == ()
    assert bare.systems == Systems()
    assert bare.oil == Oil()
    assert bare.systems.boost_pump is None


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("max_kt = 110", "max_kt = 130", "flap.2.max_kt: found 130.0, expected at most 125"),
        ("max_kt = 105", "max_kt = 100", "speeds.flaps_kt, 105, for the last setting"),
        ('name = "25 degrees"', 'name = "10 degrees"', "a name not used above"),
        ('"left or right"', '"both wings"', "'on or off', 'left or right'"),
        ("min_qt = 5", "min_qt = 9", "at most max_qt, 8"),
        ("read_qt = 7\n", "", "read_qt and read_on together, or neither"),
        ("read_on = 2026-11-25\n", "", "read_qt and read_on together, or neither"),
        ("gear_retract_kt = 107", "gear_retract_kt = 180", "at most never_exceed_kt, 176"),
        (
            "{ arm_in = 102.5, weight_lb = 2350 }",
            "{ arm_in = 111, weight_lb = 2350 }",
            "inside envelope",
        ),
        (
            '# burn_order = ["tips", "mains"]',
            'burn_order = ["left"]',
            "each tank once: left, right",
        ),
        ("values = [88, 86, 84, 82]", "values = [88, 86, 84, 182]", "at most never_exceed_kt, 176"),
        ('name = "best_rate_kt"', 'name = "best_rate_kt"\nsurface = "grass"', "is of no distance"),
        (
            'name = "best_rate_kt"',
            'name = "best_rate_kt"\nprinted_as = "m"',
            "one of kt, km/h, mph",
        ),
        (
            'name = "climb_min"',
            'name = "climb_min"\nuse_first_below = ["pressure_ft"]',
            "for climb",
        ),
        ("empty_lb = 1795 ", 'empty_lb = "814 kilo" ', "a text with a number and one of lb, kg"),
        ("empty_lb = 1795 ", 'empty_lb = "kg" ', "a text with a number and one of lb, kg"),
        ("usable_gal = 30", 'usable_gal = "30 lb"', "one of gal, l, qt"),
        (
            "tailwind_max_kt = 10\ngrass",
            "slope_max_percent = -1\ngrass",
            "greater than or equal to 0",
        ),
    ],
)
def test_what_cannot_be_is_told(tmp_path: Path, old: str, new: str, told: str) -> None:
    text = problem(tmp_path, (old, new))
    assert text.startswith("line ")
    assert told in text


STOP = """[[table]]
name = "accelerate_stop_ft"
source = "section 5"
axes = ["headwind_kt", "slope_percent"]
headwind_kt = ["-5 kt", 0, 10]
slope_percent = [-2, 2]
values = [[1400, 1500], [1200, 1300], [1000, 1100]]
"""


@pytest.mark.parametrize(
    ("note", "axis"),
    [
        ("headwind_percent_per_kt = 1", "headwind_kt"),
        ("tailwind_percent_per_kt = 1", "headwind_kt"),
        ("uphill_percent_per_percent = 10", "slope_percent"),
        ("downhill_percent_per_percent = -5", "slope_percent"),
    ],
)
def test_wind_and_slope_are_an_axis_or_a_note(tmp_path: Path, note: str, axis: str) -> None:
    before = '[[table]]\nname = "climb_fpm"'
    stop = changed(tmp_path, (before, STOP + before)).tables["accelerate_stop_ft"]
    assert stop.axes["headwind_kt"].tolist() == [-5.0, 0.0, 10.0]
    told = problem(tmp_path, (before, f"{STOP}{note}\n{before}"))
    assert f"expected 0, because axes names {axis} already" in told


@pytest.mark.parametrize(
    ("old", "written", "expected"),
    [
        ("empty_lb = 1795 ", 'empty_lb = "814.2 kg" ', 814.2 / 0.45359237),
        ("empty_arm_in = 101.5", 'empty_arm_in = "2578.1 mm"', 101.5),
        ("empty_arm_in = 101.5", 'empty_arm_in = "257.81cm"', 101.5),
        ("usable_gal = 30", 'usable_gal = "113.562 L"', 30.0),
        ("climb_gph = 16.5", 'climb_gph = "62.459 L/h"', 16.5),
        ("ceiling_ft = 16000", 'ceiling_ft = "4876.8 m"', 16_000.0),
        ("rotate_kt = 63", 'rotate_kt = "116.676 km/h"', 63.0),
        ("rotate_kt = 63", 'rotate_kt = "72.498 mph"', 63.0),
        ("max_qt = 8", 'max_qt = "2 gal"', 8.0),
        ("horsepower_hp = 200", 'horsepower_hp = "149.14 kW"', 200.0),
    ],
)
def test_another_unit_is_kept_in_the_unit_of_the_key(
    tmp_path: Path, old: str, written: str, expected: float
) -> None:
    # Factors: NIST SP 811 (2008), appendix B.8; the text of a number has five figures.
    heron = changed(tmp_path, (old, written))
    found = {
        "empty_lb": heron.loading.empty_lb,
        "empty_arm_in": heron.loading.empty_arm_in,
        "usable_gal": heron.loading.tanks[0].usable_gal,
        "climb_gph": heron.climb_gph,
        "ceiling_ft": heron.ceiling_ft,
        "rotate_kt": heron.speeds.rotate_kt,
        "max_qt": heron.oil.max_qt,
        "horsepower_hp": heron.horsepower_hp,
    }[written.partition(" ")[0]]
    assert found == pytest.approx(expected, rel=2e-5)


def test_a_bound_counts_in_the_unit_of_the_key(tmp_path: Path) -> None:
    told = problem(tmp_path, ("max_ramp_lb = 2912", 'max_ramp_lb = "10000 kg"'))
    assert "less than or equal to 20000" in told


def test_a_metric_table_is_kept_in_the_unit_of_its_name(tmp_path: Path) -> None:
    heron = changed(
        tmp_path,
        ('name = "takeoff_roll_ft"', 'name = "takeoff_roll_ft"\nprinted_as = "m"'),
        ("weight_lb = [2300, 2600, 2900]", 'weight_lb = ["1043 kg", "1179 kg", "1315 kg"]'),
    )
    roll = heron.tables["takeoff_roll_ft"]
    assert roll.values[0, 0, 0] == pytest.approx(575.0 / 0.3048)
    assert roll.axes["weight_lb"] == pytest.approx([2_299.4, 2_599.3, 2_899.1], abs=0.05)


def test_a_table_of_another_surface_has_its_own_place(tmp_path: Path) -> None:
    part = TEXT[TEXT.index('[[table]]\nname = "takeoff_roll_ft"') :]
    part = part[: part.index("[[table]]", 9)]
    grass = part.replace('_roll_ft"', '_roll_ft"\nsurface = "grass"', 1).replace("575", "675", 1)
    heron = changed(tmp_path, (part, part + grass))
    assert heron.tables["takeoff_roll_ft grass"].values[0, 0, 0] == 675.0
    assert heron.tables["takeoff_roll_ft"].values[0, 0, 0] == 575.0
    told = problem(tmp_path, (part, part + grass + grass))
    assert "a name not used above" in told


def test_the_climb_tables_of_the_heron_are_those_of_its_rates() -> None:
    # The sums of figure 5-6 against the rates of figure 5-5 at standard temperature, 2,900 lb.
    heron = read_aircraft(HERON)
    rates, sums = heron.tables["climb_fpm"], heron.tables["climb_min"]
    height_ft = np.linspace(0.0, 10_000.0, 1_001)
    rate_fpm = look_up(
        rates, weight_lb=2_900.0, pressure_ft=height_ft, oat_degc=isa_temperature_degc(height_ft)
    )
    steps_min = np.diff(height_ft) * 0.5 * (1.0 / rate_fpm[1:] + 1.0 / rate_fpm[:-1])
    found_min = np.interp(sums.axes["pressure_ft"], height_ft[1:], np.cumsum(steps_min))
    assert sums.values[1:] == pytest.approx(found_min[1:], abs=0.1)

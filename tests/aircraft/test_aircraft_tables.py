"""A table answers between its printed points, exactly on them, and nowhere else."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from lubberline.aircraft import Aircraft, Table, beyond, look_up
from lubberline.arrays import FloatArray
from lubberline.errors import RangeError, ShapeError

WEIGHT_LB = np.array([2300.0, 2600.0, 2900.0])
PRESSURE_FT = np.array([0.0, 2000.0, 5000.0])
OAT_DEGC = np.array([-10.0, 10.0])


def cube(values: FloatArray) -> Table:
    """A table of three axes, as most are."""
    return Table(
        name="climb_fpm",
        axes={"weight_lb": WEIGHT_LB, "pressure_ft": PRESSURE_FT, "oat_degc": OAT_DEGC},
        values=values,
    )


FIGURES = arrays(float, (3, 3, 2), elements=st.floats(-500, 5_000, width=32))
PLAIN = cube(np.arange(18.0).reshape(3, 3, 2))


@given(FIGURES, st.floats(2300, 2900), st.floats(0, 5000), st.floats(-10, 10))
def test_a_figure_never_exceeds_its_printed_neighbors(
    figures: FloatArray, weight_lb: float, pressure_ft: float, oat_degc: float
) -> None:
    figure = look_up(cube(figures), weight_lb=weight_lb, pressure_ft=pressure_ft, oat_degc=oat_degc)
    row, column = int(weight_lb >= 2600), int(pressure_ft >= 2000)
    around = figures[row : row + 2, column : column + 2]
    noise = 1e-9 * max(1.0, float(np.abs(around).max()))
    assert around.min() - noise <= figure <= around.max() + noise


@given(FIGURES)
def test_a_printed_point_gives_the_printed_figure(figures: FloatArray) -> None:
    weight_lb, pressure_ft, oat_degc = np.meshgrid(WEIGHT_LB, PRESSURE_FT, OAT_DEGC, indexing="ij")
    found = look_up(cube(figures), weight_lb=weight_lb, pressure_ft=pressure_ft, oat_degc=oat_degc)
    assert (found == figures).all()


@pytest.mark.parametrize(
    ("axis", "before", "after"),
    [
        ("weight_lb", 2299.99, 2900.01),
        ("pressure_ft", -0.01, 5000.01),
        ("oat_degc", -10.01, 10.01),
    ],
)
def test_beyond_either_end_of_any_axis_there_is_no_answer(
    axis: str, before: float, after: float
) -> None:
    place = {"weight_lb": 2500.0, "pressure_ft": 100.0, "oat_degc": 0.0}
    assert np.isfinite(look_up(PLAIN, **place))
    ends = {"weight_lb": WEIGHT_LB, "pressure_ft": PRESSURE_FT, "oat_degc": OAT_DEGC}[axis]
    at = np.array([before, ends[0], ends[-1], after])
    found = look_up(PLAIN, **(place | {axis: at}))
    assert np.isnan(found).tolist() == [True, False, False, True]


def test_the_noise_of_a_sum_does_not_push_a_weight_off_the_table() -> None:
    weight_lb = 2900.0 + 4e-13 * 2900.0
    assert weight_lb > 2900.0
    assert look_up(PLAIN, weight_lb=weight_lb, pressure_ft=0.0, oat_degc=10.0) == 13.0
    assert beyond(PLAIN, weight_lb=weight_lb, pressure_ft=0.0, oat_degc=10.0) == ""


@pytest.mark.parametrize("axis", ["weight_lb", "pressure_ft", "oat_degc"])
def test_unknown_in_is_unknown_out(axis: str) -> None:
    place = {"weight_lb": 2500.0, "pressure_ft": 100.0, "oat_degc": 0.0} | {axis: np.nan}
    assert np.isnan(look_up(PLAIN, **place))
    assert beyond(PLAIN, **place) == f"{axis} is not known"


def test_a_blank_cell_spreads_to_the_cells_around_it_but_not_to_printed_points() -> None:
    figures = PLAIN.values.copy()
    figures[1, 1, 0] = np.nan
    table = cube(figures)
    oat_degc = np.array([-10.0, -9.0, 9.0, 10.0])
    found = look_up(table, weight_lb=2600.0, pressure_ft=2000.0, oat_degc=oat_degc)
    assert np.isnan(found).tolist() == [True, True, True, False]
    beside = look_up(table, weight_lb=[2300.0, 2599.0], pressure_ft=2000.0, oat_degc=-10.0)
    assert np.isnan(beside).tolist() == [False, True]


@pytest.mark.parametrize("place", [(2650.0, 3500.0, 4.0), (2300.0, 0.0, -10.0)])
def test_every_shape_is_answered_in_its_shape(
    holds_on_every_shape: Callable[..., None], place: tuple[float, float, float]
) -> None:
    def by_name(weight_lb: float, pressure_ft: float, oat_degc: float) -> FloatArray:
        return look_up(PLAIN, weight_lb=weight_lb, pressure_ft=pressure_ft, oat_degc=oat_degc)

    holds_on_every_shape(by_name, *place)


def test_an_axis_without_a_value_is_refused_by_name() -> None:
    with pytest.raises(RangeError, match="climb_fpm needs pressure_ft, oat_degc; got weight_lb"):
        look_up(PLAIN, weight_lb=2500.0)


def test_a_name_without_an_axis_is_not_looked_at(heron: Aircraft) -> None:
    cruise = heron.tables["cruise_tas_kt"]
    assert look_up(cruise, weight_lb=9e9, pressure_ft=4000.0, oat_degc=0.0) == 137.0


def test_shapes_that_do_not_fit_are_refused() -> None:
    with pytest.raises(ShapeError, match=r"\(2,\), \(3,\)"):
        look_up(PLAIN, weight_lb=[1.0, 2.0], pressure_ft=[1.0, 2.0, 3.0], oat_degc=0.0)


@pytest.mark.parametrize(
    ("weight_lb", "pressure_ft", "words"),
    [
        (2600.0, 2000.0, ""),
        (3000.0, 2000.0, "weight_lb 3000 is 100 beyond the last printed 2900"),
        (2600.0, -155.0, "pressure_ft -155 is 155 before the first printed 0"),
        (
            2999.0,
            5100.5,
            "weight_lb 2999 is 99 beyond the last printed 2900;"
            " pressure_ft 5100.5 is 100.5 beyond the last printed 5000",
        ),
    ],
)
def test_words_say_which_axis_ran_out_and_by_how_much(
    weight_lb: float, pressure_ft: float, words: str
) -> None:
    assert beyond(PLAIN, weight_lb=weight_lb, pressure_ft=pressure_ft, oat_degc=0.0) == words

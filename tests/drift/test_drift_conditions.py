"""Conditions are taken out as far as the flights show what they do, and no further."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lubberline.drift.conditions import in_usual_conditions
from lubberline.errors import ShapeError

RNG = np.random.default_rng(20261125)


def test_what_wind_does_is_found_and_taken_out() -> None:
    wind_kt = RNG.uniform(0.0, 20.0, 200)
    values = 50.0 + 3.0 * wind_kt + RNG.normal(0.0, 10.0, 200)
    found = in_usual_conditions(values, {"wind": wind_kt})
    (effect,) = found.effects
    assert effect.per_unit == pytest.approx(3.0, abs=3.0 * effect.sigma)
    assert abs(np.corrcoef(found.values, wind_kt)[0, 1]) < 0.05
    assert found.values.std() == pytest.approx(10.0, rel=0.15)
    assert found.values.mean() == pytest.approx(values.mean())


def test_with_many_clear_flights_it_is_least_squares() -> None:
    conditions = {"wind": RNG.normal(size=400), "weight": RNG.normal(size=400)}
    values = 2.0 * conditions["wind"] - conditions["weight"] + RNG.normal(0.0, 0.01, 400)
    found = in_usual_conditions(values, conditions)
    columns = np.column_stack([np.ones(400), *conditions.values()])
    plain = np.linalg.lstsq(columns, values, rcond=None)[0]
    assert [one.per_unit for one in found.effects] == pytest.approx(plain[1:], rel=1e-4)


def test_from_noise_little_is_explained() -> None:
    explained = []
    for _ in range(200):
        conditions = {name: RNG.normal(size=15) for name in "abcde"}
        found = in_usual_conditions(RNG.normal(size=15), conditions)
        explained.append(found.explained_fraction)
    assert np.mean(explained) < 0.15  # least squares would explain 5/14 = 36 %


def test_the_stated_doubt_of_an_effect_holds() -> None:
    """90 % of the truths, drawn as the shrinkage assumes, lie within 1.645 sigma."""
    inside = []
    for _ in range(400):
        truth = RNG.normal(0.0, 1.0, 4)
        conditions = RNG.normal(size=(30, 4))
        values = conditions @ truth + RNG.normal(size=30)
        found = in_usual_conditions(values, dict(zip("abcd", conditions.T, strict=True)))
        inside += [
            abs(one.per_unit - true) <= 1.645 * one.sigma
            for one, true in zip(found.effects, truth, strict=True)
        ]
    assert 0.86 <= np.mean(inside) <= 0.94


def test_a_course_is_not_explained_away() -> None:
    """Wind that rose with the months does not take a real change with it."""
    months = np.arange(40.0)
    wind_kt = months * 0.2 + RNG.normal(0.0, 2.0, 40)
    values = 5.0 * months + RNG.normal(0.0, 3.0, 40)
    found = in_usual_conditions(values, {"wind": wind_kt}, course=months)
    assert np.polyfit(months, found.values, 1)[0] == pytest.approx(5.0, abs=0.3)


def test_what_is_taken_out_adds_doubt_where_the_day_was_unusual() -> None:
    wind_kt = np.array([*RNG.uniform(4.0, 6.0, 19), 20.0])
    found = in_usual_conditions(RNG.normal(size=20) + wind_kt, {"wind": wind_kt})
    assert found.sigmas.argmax() == 19


@pytest.mark.parametrize("conditions", [{}, {"night": np.zeros(12)}, {"wind": np.full(12, np.nan)}])
def test_without_a_condition_that_varies_nothing_is_taken(
    conditions: dict[str, np.ndarray[tuple[int], np.dtype[np.float64]]],
) -> None:
    values = RNG.normal(size=12)
    found = in_usual_conditions(values, conditions)
    assert found.values.tolist() == values.tolist()
    assert found.effects == ()


def test_an_unknown_condition_counts_as_usual() -> None:
    wind_kt = np.array([np.nan, *RNG.uniform(0.0, 20.0, 29)])
    values = np.where(np.isnan(wind_kt), 7.0, wind_kt) + RNG.normal(0.0, 0.1, 30)
    found = in_usual_conditions(values, {"wind": wind_kt})
    assert found.values[0] == values[0]


def test_columns_of_another_length_are_refused() -> None:
    with pytest.raises(ShapeError):
        in_usual_conditions([1.0, 2.0], {"wind": [1.0]})
    with pytest.raises(ShapeError):
        in_usual_conditions([1.0, 2.0], {"wind": [1.0, 2.0]}, course=[1.0])


@settings(max_examples=100, deadline=None)
@given(
    st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=12),
    st.lists(st.floats(-1e6, 1e6), min_size=12, max_size=12),
)
def test_any_columns_give_finite_values(values: list[float], wind: list[float]) -> None:
    found = in_usual_conditions(values, {"wind": wind[: len(values)]})
    assert np.isfinite(found.values).all()
    assert np.isfinite(found.sigmas).all()

"""What must hold for every atmosphere, beside the published tables."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lubberline.air import (
    density_altitude_ft,
    isa_density_ratio,
    isa_height_ft,
    isa_pressure_hpa,
    isa_temperature_degc,
)
from lubberline.errors import RangeError

HEIGHTS = st.floats(-16_000.0, 65_000.0)


@given(HEIGHTS)
def test_height_and_pressure_invert_each_other(pressure_ft: float) -> None:
    assert isa_height_ft(isa_pressure_hpa(pressure_ft)) == pytest.approx(pressure_ft, abs=1e-6)


@given(HEIGHTS, st.floats(1.0, 500.0))
def test_higher_air_is_thinner(pressure_ft: float, higher_ft: float) -> None:
    low, high = isa_density_ratio([pressure_ft, pressure_ft + higher_ft])
    assert high < low


@given(HEIGHTS)
def test_density_altitude_of_a_standard_day_is_the_pressure_altitude(pressure_ft: float) -> None:
    found_ft = density_altitude_ft(pressure_ft, isa_temperature_degc(pressure_ft))
    assert found_ft == pytest.approx(pressure_ft, abs=1e-6)


@given(st.floats(-2_000.0, 36_000.0), st.floats(-50.0, 50.0), st.floats(0.1, 10.0))
def test_warmer_air_is_higher(pressure_ft: float, oat_degc: float, warmer_degc: float) -> None:
    cool, warm = density_altitude_ft(pressure_ft, [oat_degc, oat_degc + warmer_degc])
    assert warm > cool


def test_the_layers_meet_at_the_tropopause() -> None:
    tropopause_ft = 11_000.0 / 0.3048
    below, above = isa_pressure_hpa([tropopause_ft - 1e-6, tropopause_ft + 1e-6])
    assert above == pytest.approx(below, rel=1e-9)
    assert np.diff(isa_temperature_degc([tropopause_ft, 60_000.0])) == 0.0


@pytest.mark.parametrize(("pressure_ft", "oat_degc"), [(-16_000.0, -60.0), (65_000.0, 20.0)])
def test_a_density_no_layer_has_is_unknown(pressure_ft: float, oat_degc: float) -> None:
    assert np.isnan(density_altitude_ft(pressure_ft, oat_degc))


def test_fahrenheit_is_refused_and_the_message_shows_where() -> None:
    with pytest.raises(RangeError, match=r"oat_degc\[1\] is 95 degC; expected -90 to 60"):
        density_altitude_ft(5000.0, [20.0, 95.0])

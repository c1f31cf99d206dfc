"""What must hold for every setting and every temperature, beside the published tables."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from lubberline.air import (
    hpa_from_inhg,
    indicated_altitude_ft,
    indicated_for_true_ft,
    inhg_from_hpa,
    isa_height_ft,
    isa_temperature_degc,
    pressure_altitude_ft,
    station_pressure_hpa,
    temperature_correction_ft,
    true_altitude_ft,
)
from lubberline.errors import RangeError

SETTINGS = st.floats(25.0, 32.0)
ELEVATIONS = st.floats(-1_000.0, 15_000.0)
AIR = st.floats(-60.0, 50.0)


@given(st.floats(-2_000.0, 60_000.0), SETTINGS)
def test_the_altimeter_inverts_exactly(shown_ft: float, altimeter_inhg: float) -> None:
    pressure_ft = pressure_altitude_ft(shown_ft, altimeter_inhg)
    assert indicated_altitude_ft(pressure_ft, altimeter_inhg) == pytest.approx(shown_ft, abs=1e-7)


@given(st.floats(-1_000.0, 20_000.0), st.floats(25.0, 31.9), st.floats(0.01, 0.1))
def test_low_pressure_is_high_altitude(shown_ft: float, altimeter_inhg: float, more: float) -> None:
    low, high = pressure_altitude_ft(shown_ft, [altimeter_inhg, altimeter_inhg + more])
    assert low > high


@given(ELEVATIONS, SETTINGS)
def test_a_parked_altimeter_shows_the_field(elev_ft: float, altimeter_inhg: float) -> None:
    pressure_ft = isa_height_ft(station_pressure_hpa(elev_ft, altimeter_inhg))
    assert indicated_altitude_ft(pressure_ft, altimeter_inhg) == pytest.approx(elev_ft, abs=1e-6)


@given(st.floats(500.0, 1100.0))
def test_inches_and_hectopascals_invert(pressure_hpa: float) -> None:
    assert hpa_from_inhg(inhg_from_hpa(pressure_hpa)) == pytest.approx(pressure_hpa, rel=1e-14)


def test_the_standard_setting_is_29_92() -> None:
    # 760 mm of mercury over 25.4 mm: the factor's seven figures are good to 1e-5 inHg here.
    assert inhg_from_hpa(1013.25) == pytest.approx(760.0 / 25.4, abs=1e-5)


@given(st.floats(-1_000.0, 30_000.0), ELEVATIONS, AIR)
def test_true_and_indicated_invert(shown_ft: float, source_ft: float, oat_degc: float) -> None:
    true_ft = float(true_altitude_ft(shown_ft, source_ft, oat_degc))
    assume(-2_000.0 <= true_ft <= 36_000.0)
    again_ft = indicated_for_true_ft(true_ft, source_ft, oat_degc)
    assert again_ft == pytest.approx(shown_ft, abs=1e-6)


@given(st.floats(-1_000.0, 36_000.0), ELEVATIONS)
def test_standard_air_shows_the_true_altitude(shown_ft: float, source_ft: float) -> None:
    true_ft = true_altitude_ft(shown_ft, source_ft, isa_temperature_degc(shown_ft))
    assert true_ft == pytest.approx(shown_ft, abs=1e-7)


@given(ELEVATIONS, AIR)
def test_at_the_source_temperature_does_not_matter(source_ft: float, oat_degc: float) -> None:
    assert true_altitude_ft(source_ft, source_ft, oat_degc) == pytest.approx(source_ft, abs=1e-9)


@given(st.floats(100.0, 10_000.0), ELEVATIONS, AIR, st.floats(0.1, 10.0))
def test_colder_air_asks_for_more(
    height_ft: float, source_ft: float, oat_degc: float, colder_degc: float
) -> None:
    mild, cold = temperature_correction_ft(height_ft, source_ft, [oat_degc, oat_degc - colder_degc])
    assert cold > mild


@given(st.floats(0.0, 8_000.0), st.floats(-1_000.0, 10_000.0), st.floats(-50.0, 40.0))
def test_correction_and_true_altitude_tell_one_story(
    height_ft: float, source_ft: float, source_degc: float
) -> None:
    correction_ft = float(temperature_correction_ft(height_ft, source_ft, source_degc))
    shown_ft = source_ft + height_ft + correction_ft
    deviation_degc = source_degc - isa_temperature_degc(source_ft)
    oat_degc = isa_temperature_degc(shown_ft) + deviation_degc
    assume(-90.0 <= oat_degc <= 60.0)
    true_ft = true_altitude_ft(shown_ft, source_ft, oat_degc)
    assert true_ft == pytest.approx(source_ft + height_ft, abs=1e-6)


def test_an_indicated_altitude_above_the_troposphere_is_unknown() -> None:
    assert np.isnan(indicated_for_true_ft(36_000.0, 0.0, -85.0))


def test_hectopascals_are_refused_and_the_message_shows_why() -> None:
    with pytest.raises(RangeError, match=r"altimeter_inhg\[1\] is 1013 inHg; expected 25 to 32"):
        pressure_altitude_ft([0.0, 0.0], [29.92, 1013.0])

"""What must hold for every airspeed, and the manual's calibration table."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lubberline.air import (
    cas_from_ias_kt,
    cas_from_tas_kt,
    eas_from_cas_kt,
    ias_from_cas_kt,
    isa_density_ratio,
    isa_temperature_degc,
    tas_from_cas_kt,
)
from lubberline.errors import RangeError, ShapeError

IAS_KT, CAS_KT = [50.0, 70.0, 100.0, 140.0], [56.0, 72.0, 100.0, 137.0]
LEVELS = st.floats(-2_000.0, 30_000.0)
AIR = st.floats(-60.0, 50.0)


@given(st.floats(0.0, 300.0), LEVELS, AIR)
def test_calibrated_and_true_invert(cas_kt: float, pressure_ft: float, oat_degc: float) -> None:
    tas_kt = tas_from_cas_kt(cas_kt, pressure_ft, oat_degc)
    assert cas_from_tas_kt(tas_kt, pressure_ft, oat_degc) == pytest.approx(cas_kt, rel=1e-12)


@given(st.floats(1.0, 290.0), st.floats(0.1, 10.0), LEVELS, AIR)
def test_faster_is_faster(
    cas_kt: float, more_kt: float, pressure_ft: float, oat_degc: float
) -> None:
    slow, fast = tas_from_cas_kt([cas_kt, cas_kt + more_kt], pressure_ft, oat_degc)
    assert fast > slow


@given(st.floats(1.0, 290.0), LEVELS)
def test_equivalent_airspeed_is_true_times_root_density(cas_kt: float, pressure_ft: float) -> None:
    tas_kt = tas_from_cas_kt(cas_kt, pressure_ft, isa_temperature_degc(pressure_ft))
    expected_kt = tas_kt * np.sqrt(isa_density_ratio(pressure_ft))
    assert eas_from_cas_kt(cas_kt, pressure_ft) == pytest.approx(expected_kt, rel=1e-12)


def test_slow_flight_keeps_its_digits() -> None:
    # Without compressibility the ratio is 1/sqrt(density ratio); at 0.01 kt that is all there is.
    ratio = tas_from_cas_kt(0.01, 8000.0, isa_temperature_degc(8000.0)) / 0.01
    assert ratio == pytest.approx(1.0 / np.sqrt(isa_density_ratio(8000.0)), rel=1e-9)


def test_faster_than_sound_there_is_no_answer() -> None:
    assert np.isnan(tas_from_cas_kt(500.0, 45_000.0, -56.5))
    assert np.isnan(cas_from_tas_kt(700.0, 0.0, 15.0))


def test_calibration_is_straight_between_rows() -> None:
    np.testing.assert_allclose(cas_from_ias_kt([50.0, 60.0, 140.0], IAS_KT, CAS_KT), [56, 64, 137])


def test_calibration_beyond_the_table_is_unknown() -> None:
    assert np.isnan(cas_from_ias_kt([49.9, 140.1], IAS_KT, CAS_KT)).all()
    assert np.isnan(ias_from_cas_kt([55.9, 137.1], IAS_KT, CAS_KT)).all()


@given(st.floats(50.0, 140.0))
def test_calibration_inverts(ias_kt: float) -> None:
    cas_kt = cas_from_ias_kt(ias_kt, IAS_KT, CAS_KT)
    assert ias_from_cas_kt(cas_kt, IAS_KT, CAS_KT) == pytest.approx(ias_kt, abs=1e-9)


@pytest.mark.parametrize("column", [[50.0, 50.0, 60.0, 70.0], [50.0, 60.0, np.nan, 70.0]])
def test_a_table_that_does_not_rise_is_refused(column: list[float]) -> None:
    with pytest.raises(RangeError, match="table_cas_kt must strictly increase"):
        cas_from_ias_kt(60.0, IAS_KT, column)


@pytest.mark.parametrize(("shown", "calibrated"), [([60.0], [62.0]), (IAS_KT, CAS_KT[:3])])
def test_a_table_without_two_equal_columns_is_refused(
    shown: list[float], calibrated: list[float]
) -> None:
    with pytest.raises(ShapeError, match="two equal columns"):
        cas_from_ias_kt(60.0, shown, calibrated)

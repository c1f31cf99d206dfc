"""Calibrated, equivalent and true airspeed and Mach number by the equations of NASA RP-1046."""

from collections.abc import Callable
from typing import Any

import pytest

from lubberline.air import (
    cas_from_tas_kt,
    eas_from_cas_kt,
    isa_temperature_degc,
    mach_from_cas,
    tas_from_cas_kt,
)

Printed = Callable[[str], Any]

# Calibrated airspeed [kt], pressure altitude [ft], temperature [degC] or None for standard; then
# Mach number, equivalent and true airspeed [kt]: computed by the equations of NASA Reference
# Publication 1046 (1980) with the constants of Doc 7488/3, not published as a table.
ROWS = [
    (100.0, 0.0, None, "0.1512", "100.00", "100.00"),
    (100.0, 5000.0, None, "0.1656", "99.94", "107.67"),
    (120.0, 5000.0, None, "0.1987", "119.90", "129.17"),
    (120.0, 8000.0, None, "0.2102", "119.83", "135.16"),
    (120.0, 10_000.0, None, "0.2184", "119.78", "139.38"),
    (140.0, 10_000.0, None, "0.2546", "139.65", "162.51"),
    (150.0, 12_000.0, None, "0.2833", "149.46", "179.52"),
    (200.0, 15_000.0, None, "0.3991", "198.32", "250.01"),
    (250.0, 10_000.0, None, "0.4523", "248.10", "288.70"),
    (130.0, 8000.0, 20.0, "0.2277", "129.79", "151.89"),
    (130.0, 8000.0, -20.0, "0.2277", "129.79", "141.15"),
    (300.0, 30_000.0, None, "0.7906", "285.00", "465.94"),
]


@pytest.mark.parametrize(("cas_kt", "pressure_ft", "oat_degc", "mach", "eas", "tas"), ROWS)
def test_speeds_by_the_compressible_equations(
    cas_kt: float,
    pressure_ft: float,
    oat_degc: float | None,
    mach: str,
    eas: str,
    tas: str,
    as_printed: Printed,
) -> None:
    air_degc = isa_temperature_degc(pressure_ft) if oat_degc is None else oat_degc
    tas_kt = tas_from_cas_kt(cas_kt, pressure_ft, air_degc)
    assert mach_from_cas(cas_kt, pressure_ft) == as_printed(mach)
    assert eas_from_cas_kt(cas_kt, pressure_ft) == as_printed(eas)
    assert tas_kt == as_printed(tas)
    assert cas_from_tas_kt(tas_kt, pressure_ft, air_degc) == pytest.approx(cas_kt, rel=1e-12)


def test_true_is_calibrated_at_the_standard_sea_level() -> None:
    # By definition of calibrated airspeed: 14 CFR 1.1.
    assert tas_from_cas_kt(173.0, 0.0, 15.0) == pytest.approx(173.0, rel=1e-12)

"""Ranges of VHF radio against a published table and the definition of the effective earth."""

import numpy as np
import pytest

from lubberline.units import FT_PER_NM, M_PER_FT
from lubberline.ways import radio_horizon_nm

# A public page on VHF range for pilots, read 2026-11-25: height [ft], range printed [NM].
PRINTED = [
    (1_000.0, "39"),
    (5_000.0, "87"),
    (10_000.0, "123"),
    (20_000.0, "174"),
    (30_000.0, "213"),
]

# Recommendation ITU-R P.834 (memory): effective radius 4/3 of the mean radius, 6,371 km.
EFFECTIVE_M = 4.0 / 3.0 * 6_371_000.0


@pytest.mark.parametrize(("height_ft", "range_nm"), PRINTED)
def test_ranges_are_those_of_the_table(height_ft: float, range_nm: str) -> None:
    assert round(float(radio_horizon_nm(height_ft))) == int(range_nm)


@pytest.mark.parametrize("height_ft", [100.0, 1_000.0, 5_000.0, 10_000.0])
def test_ranges_are_tangents_to_the_effective_earth(height_ft: float) -> None:
    height_m = height_ft * M_PER_FT
    tangent_nm = np.sqrt(2.0 * EFFECTIVE_M * height_m) / M_PER_FT / FT_PER_NM
    assert float(radio_horizon_nm(height_ft)) == pytest.approx(tangent_nm, rel=0.005)  # 1.23


def test_below_the_ground_nothing_is_seen_and_unknown_stays_unknown() -> None:
    low_nm, lost_nm = radio_horizon_nm([-10.0, np.nan])
    assert low_nm == 0.0
    assert np.isnan(lost_nm)

"""Gliding reach along a way against worked examples."""

from dataclasses import replace

import numpy as np
import pytest
from ways_cases import CALM, aloft

from lubberline.air import isa_temperature_degc, tas_from_cas_kt
from lubberline.aircraft import Aircraft
from lubberline.loop import Prepared
from lubberline.ways.glide import drifted_reach
from lubberline.weather import WindsAloft

# Worked example (computed in the reference notes on engine and airmanship, section 10):
# ratio 9 to 1 from 5,500 ft above ground is 8.15 NM; 10 kt against a glide at 80 kt leaves 7.13.
HEIGHT_FT = 5_500.0


@pytest.fixture
def glider(prepared: Prepared) -> Aircraft:
    """Glides 9 to 1, at 80 kt true at the middle of the descent."""
    middle_ft = HEIGHT_FT / 2.0
    true_kt = float(tas_from_cas_kt(80.0, middle_ft, isa_temperature_degc(middle_ft)))
    airplane = prepared.plan.aircraft
    tables = {key: one for key, one in airplane.tables.items() if key != "glide_nm"}
    speeds = replace(airplane.speeds, best_glide_kt=80.0 * 80.0 / true_kt)
    return replace(airplane, glide_ratio=9.0, speeds=speeds, tables=tables)


def ends_nm(glider: Aircraft, wind: WindsAloft) -> tuple[float, float]:
    """How far a glide reaches against west and with it, from level flight at the height."""
    start_ft = np.array([HEIGHT_FT])
    drift_nm, _, reach_nm = drifted_reach(glider, wind, start_ft, np.zeros(1))
    return float(reach_nm[0] - drift_nm[0]), float(reach_nm[0] + drift_nm[0])


def test_in_still_air_a_glide_reaches_as_far_as_printed(glider: Aircraft) -> None:
    assert ends_nm(glider, CALM) == pytest.approx((8.15, 8.15), abs=0.005)


def test_a_headwind_shortens_it_as_printed(glider: Aircraft) -> None:
    against_nm, with_nm = ends_nm(glider, aloft((0.0, 270.0, 10.0)))
    assert against_nm == pytest.approx(7.13, abs=0.005)
    assert with_nm == pytest.approx(8.15 * 90.0 / 80.0, abs=0.01)

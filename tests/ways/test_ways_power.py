"""Power off in steps: the steps of worked descents, and the last moment to start down."""

from dataclasses import replace

import numpy as np
import pytest

from lubberline.aircraft import PowerDown
from lubberline.loop import Prepared
from lubberline.ways import Way, power_steps, way_down

POWER = PowerDown(unit="inHg", values=(24.0, 20.0, 16.0), step=2.0, each_min=1.0)


def descending(prepared: Prepared, *, from_ft: float, at_min: float, until_min: float) -> Way:
    """Level, then down to 1,000 ft over the destination, level there, and down to it."""
    field_ft = prepared.plan.destination.elev_msl_ft
    pattern_ft = field_ft + 1_000.0
    rows = [(from_ft, 0.0), (from_ft, at_min), (pattern_ft, until_min), (pattern_ft, until_min + 2)]
    rows.append((field_ft, until_min + 4.0))
    path = np.array([[41.0, -131.0 + minute / 100.0, ft, minute] for ft, minute in rows])
    return replace(prepared.way, path=path)


def test_steps_begin_where_it_starts_down_and_end_at_pattern_height(prepared: Prepared) -> None:
    field = replace(prepared.plan.destination, pattern_agl_ft=1_000.0)
    # 6,000 ft at 500 ft/min take 12 min: the worked descent of 7,500 to 1,500 ft.
    way = descending(prepared, from_ft=field.elev_msl_ft + 7_000.0, at_min=10.0, until_min=22.0)
    down = way_down(way, field)
    assert down is not None
    assert down.drop_ft == pytest.approx(6_000.0)
    assert down.late_fpm(6.0) == pytest.approx(1_000.0)
    assert [(one.after_min, one.value) for one in power_steps(way, down, POWER)] == [
        (10.0, 22.0),
        (11.0, 20.0),
        (pytest.approx(20.0), 18.0),
        (pytest.approx(21.0), 16.0),
    ]
    assert down.latest_min(1_000.0) == pytest.approx(16.0)  # 6,000 ft at 1,000 ft/min take 6 min


def test_before_a_short_descent_power_comes_off_early(prepared: Prepared) -> None:
    field = replace(prepared.plan.destination, pattern_agl_ft=1_000.0)
    way = descending(prepared, from_ft=field.elev_msl_ft + 2_500.0, at_min=10.0, until_min=13.0)
    down = way_down(way, field)
    assert down is not None
    moments = [one.after_min for one in power_steps(way, down, POWER)]
    assert moments == pytest.approx([9.0, 10.0, 11.0, 12.0])


def test_no_step_is_larger_than_allowed(prepared: Prepared) -> None:
    field = replace(prepared.plan.destination, pattern_agl_ft=1_000.0)
    way = descending(prepared, from_ft=5_000.0, at_min=5.0, until_min=15.0)
    down = way_down(way, field)
    assert down is not None
    power = replace(POWER, values=(24.0, 19.0, 16.0))
    settings = [24.0, *(one.value for one in power_steps(way, down, power))]
    assert np.abs(np.diff(settings)).max() <= 2.0 + 1e-9
    assert settings[-1] == 16.0


def test_a_way_that_is_never_above_the_pattern_has_no_way_down(prepared: Prepared) -> None:
    field = replace(prepared.plan.destination, pattern_agl_ft=1_000.0)
    way = descending(prepared, from_ft=field.elev_msl_ft + 1_000.0, at_min=5.0, until_min=6.0)
    assert way_down(way, field) is None

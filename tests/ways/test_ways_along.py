"""A way as samples: places between them, also across the date line and while it circles."""

import numpy as np
import pytest
from ways_cases import NO_RULES, box, problem, volume

from lubberline.earth import LocalPlane
from lubberline.ways import along_way, evaluate
from lubberline.ways.search import find_way


def test_a_place_between_samples_across_the_date_line_is_there() -> None:
    stated = problem(plane=LocalPlane(41.0, 180.0))
    way = evaluate(stated, "case", via=(), cruise_msl_ft=2_000.0, permissions=frozenset())
    along = along_way(way, stated.terrain)
    lon_deg = [along.spot(minute).lon_deg for minute in np.linspace(0.0, way.time_min, 3_001)]
    assert all(abs(one) > 179.0 for one in lon_deg)
    assert all(-180.0 <= one <= 180.0 for one in lon_deg)


def test_what_is_circled_over_a_field_is_a_leg_of_its_own_without_a_course() -> None:
    """A wall up to 7,500 ft stands 2 NM before the field, which leaves no distance to come down."""
    wall = volume(box(16.0, -60.0, 17.0, 60.0), airspace_class="P", ceiling=("MSL", 7_500.0))
    way = find_way(problem(wall, rules=NO_RULES), frozenset())
    *_, before, last = way.legs
    assert (before.to_name, last.to_name) == ("over QZZZ", "QZZZ")
    assert last.is_circling
    assert not before.is_circling
    assert last.time_min == pytest.approx((before.to_msl_ft - last.to_msl_ft) / 500.0)

"""Distances and courses round a place, against the geodesic; order; what is not known."""

from dataclasses import replace

import numpy as np
import pytest
from places_made import aerodrome, data_set, obstacles, volume

from lubberline.earth import destination_point
from lubberline.places import Circle, Height, Nearby, VisualPoint, merged, nearby

HERE = (41.1, -130.5)


def around(within_nm: float = 30.0, **items: object) -> Nearby:
    return nearby(merged(None, [data_set(**items)]), *HERE, within_nm)


def away(true_deg: float, away_nm: float) -> dict[str, float]:
    lat_deg, lon_deg = destination_point(*HERE, true_deg, away_nm)
    return {"lat_deg": float(lat_deg), "lon_deg": float(lon_deg)}


def test_fields_come_nearest_first_with_distance_and_course() -> None:
    fields = [aerodrome(f"Q{d}", **away(77.0, float(d))) for d in (20, 5, 31)]
    found = around(aerodromes=(*fields, aerodrome("QUNK", lat_deg=np.nan)))
    assert [one.item.id for one in found.aerodromes] == ["Q5", "Q20"]
    assert [one.away_nm for one in found.aerodromes] == pytest.approx([5.0, 20.0], abs=1e-6)
    assert [one.true_deg for one in found.aerodromes] == pytest.approx([77.0, 77.0], abs=1e-6)


def test_airspace_overhead_comes_first_from_below() -> None:
    over = Circle(lat_deg=HERE[0], lon_deg=HERE[1], radius_nm=5.0)
    high = volume("QHIGH", floor=Height(reference="MSL", ft=3_000.0), footprint=over)
    beside = Circle(**away(90.0, 10.0), radius_nm=4.0)
    found = around(
        volumes=(volume("QSIDE", footprint=beside), high, volume("QLOW", footprint=over))
    )
    assert [one.item.id for one in found.volumes] == ["QLOW", "QHIGH", "QSIDE"]
    assert [one.away_nm <= 0.0 for one in found.volumes] == [True, True, False]
    assert found.volumes[2].away_nm == pytest.approx(6.0, abs=0.01)


def test_obstacles_come_the_tallest_first_and_are_all_counted() -> None:
    some = obstacles(np.full(1_500, 41.2), np.full(1_500, -130.5))
    some = replace(some, top_agl_ft=np.where(np.arange(1_500) == 700, 900.0, some.top_agl_ft))
    found = around(obstacles=some)
    assert (found.obstacle_count, len(found.obstacles)) == (1_500, 1_000)
    assert found.obstacles[0].item.top_agl_ft == 900.0
    assert found.obstacles[0].item.source == "invented cycle"


def test_nothing_near_is_nothing() -> None:
    point = VisualPoint(name="Far", lat_deg=45.0, lon_deg=-130.5)
    found = around(points=(point,), volumes=(volume(),), within_nm=0.1)
    assert found.points == ()
    assert around().aerodromes == ()

"""What the pilot wants of found ways: heights, landing places and land within reach."""

from dataclasses import replace
from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from lubberline.aircraft import glide
from lubberline.arrays import FloatArray
from lubberline.earth import LocalPlane
from lubberline.errors import NoSolution
from lubberline.flight import Plan, Search
from lubberline.loop import Prepared
from lubberline.ways import Way, all_ways, along_way, beyond_land
from lubberline.ways.found import search_problem
from lubberline.ways.search import find_ways


def asking(prepared: Prepared, **wishes: Any) -> Plan:
    plan = prepared.plan
    return replace(plan, flight=replace(plan.flight, candidates=(), search=Search(**wishes)))


def found(plan: Plan) -> tuple[Way, ...]:
    return tuple(find_ways(search_problem(plan)))


def rows(plan: Plan, way: Way) -> tuple[LocalPlane, FloatArray]:
    """Points every few hundred feet along a way: columns east, north [NM] and height [ft]."""
    plane = LocalPlane((plan.departure.lat_deg + plan.destination.lat_deg) / 2.0, -131.0)
    east_nm, north_nm = plane.to_plane_nm(way.path[:, 0], way.path[:, 1])
    corners = np.column_stack([east_nm, north_nm, way.path[:, 2]])
    fine = [np.linspace(a, b, 60) for a, b in pairwise(corners)]
    return plane, np.concatenate(fine)


def away_nm(plane: LocalPlane, points: FloatArray, field: Any) -> FloatArray:
    x, y = plane.to_plane_nm(field.lat_deg, field.lon_deg)
    return np.asarray(np.hypot(points[:, 0] - x, points[:, 1] - y))


def test_a_least_height_holds_away_from_the_fields(prepared: Prepared) -> None:
    plan = asking(prepared, not_below_msl_ft=3_000.0)
    for way in found(plan):
        plane, points = rows(plan, way)
        far = (away_nm(plane, points, plan.departure) > 25.0) & (
            away_nm(plane, points, plan.destination) > 25.0
        )
        assert far.any()
        assert points[far, 2].min() >= 3_000.0 - 1e-6


@pytest.mark.parametrize("within_nm", [16.0, 20.0])
def test_ways_stay_near_landing_places(prepared: Prepared, within_nm: float) -> None:
    plan = asking(prepared, near_landing_nm=within_nm)
    for way in found(plan):
        plane, points = rows(plan, way)
        nearest = np.min(
            [away_nm(plane, points, one) for one in plan.places.aerodromes.values()], axis=0
        )
        assert nearest.max() <= within_nm


def test_ways_keep_land_within_gliding_reach(prepared: Prepared) -> None:
    """Against the plain formula, and the minutes beyond a glide that each way tells."""
    import shapely

    plan = asking(prepared, glide_to_land=True)
    for way in found(plan):
        plane, points = rows(plan, way)
        land = shapely.union_all(
            [
                shapely.Polygon(np.column_stack(plane.to_plane_nm(one[:, 0], one[:, 1])))
                for one in plan.places.land_deg
            ]
        )
        away = shapely.distance(land, shapely.points(points[:, :2]))
        reach = [glide(plan.aircraft, agl_ft=float(msl)).value or 0.0 for msl in points[:, 2]]
        field = np.minimum(
            away_nm(plane, points, plan.departure), away_nm(plane, points, plan.destination)
        )
        # With the wind behind, a glide over open sea goes farther than in still air, by its drift.
        wind_kt, least_tas_kt = plan.weather.aloft.wind_kt.max(), 70.0
        assert ((away <= np.array(reach) * (1.0 + wind_kt / least_tas_kt)) | (field <= 3.0)).all()
        told = beyond_land(plan.aircraft, search_problem(plan), along_way(way, plan.terrain))
        assert told.beyond_min == 0.0


def test_without_land_on_file_gliding_is_refused(prepared: Prepared) -> None:
    plan = asking(prepared, glide_to_land=True)
    with pytest.raises(NoSolution, match="no land is on file"):
        search_problem(replace(plan, places=replace(plan.places, land_deg=())))


def test_a_wish_that_nothing_fulfills_leaves_the_own_routes(prepared: Prepared) -> None:
    search = Search(near_landing_nm=2.0)
    plan = replace(prepared.plan, flight=replace(prepared.plan.flight, search=search))
    ways, impossible = all_ways(plan)
    assert len(ways) == len(plan.flight.candidates)
    assert "farther than 2 NM from a landing place" in impossible[-1].reason

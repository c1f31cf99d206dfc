"""Where airspace asks for a transponder, and where it limits the speed: both sides of each edge."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from lubberline.fit.crossing import passing
from lubberline.fit.us.sky import sky_findings, transponder_asked
from lubberline.flight import Plan
from lubberline.line import Finding, Verdict
from lubberline.loop import Prepared
from lubberline.places import Circle, Height, Volume
from lubberline.ways import Way


def volume(kind: str, floor_ft: float, ceiling_ft: float, radius_nm: float = 5.0) -> Volume:
    """A circle halfway along the flight."""
    surface = floor_ft == 0.0
    return Volume(
        id="T",
        name="test",
        airspace_class=kind,
        group="",
        facility="",
        floor=Height(reference="SFC" if surface else "MSL", ft=floor_ft),
        ceiling=Height(reference="MSL", ft=ceiling_ft),
        footprint=Circle(lat_deg=41.0, lon_deg=-131.0, radius_nm=radius_nm),
    )


def level(prepared: Prepared, msl_ft: float) -> Way:
    """The demo's way with all of its rows at one height."""
    path = prepared.way.path.copy()
    path[:, 2] = msl_ft
    return replace(prepared.way, path=path)


def found(prepared: Prepared, way: Way, *volumes: Volume, **aircraft: Any) -> dict[str, Finding]:
    plan: Plan = prepared.plan
    middle = way.path[len(way.path) // 2]
    moved = [
        replace(
            one,
            footprint=Circle(
                lat_deg=float(middle[0]),
                lon_deg=float(middle[1]),
                radius_nm=getattr(one.footprint, "radius_nm", 5.0),
            ),
        )
        for one in volumes
    ]
    plan = replace(
        plan,
        places=replace(plan.places, volumes=tuple(moved)),
        aircraft=replace(plan.aircraft, **aircraft),
    )
    return {one.limit.key: one for one in sky_findings(plan, way)}


def bare(prepared: Prepared) -> Any:
    fitted = [one for one in prepared.plan.aircraft.equipment.fitted or () if one != "transponder"]
    return replace(prepared.plan.aircraft.equipment, fitted=tuple(fitted))


@pytest.mark.parametrize(
    ("kind", "floor_ft", "msl_ft", "asked"),
    [
        ("C", 3_000.0, 2_990.0, False),  # under a shelf of class C nothing is asked
        ("C", 3_000.0, 3_010.0, True),
        ("B", 3_000.0, 6_000.0, True),  # above its ceiling of 5,000 ft, too
        ("C", 3_000.0, 9_990.0, True),
        ("D", 0.0, 2_000.0, False),
        ("E", 700.0, 9_990.0, False),
        ("E", 700.0, 10_000.0, True),  # everywhere, from here on
        ("V", 0.0, 4_990.0, True),  # a published veil, which ends at its ceiling of 5,000 ft
        ("V", 0.0, 5_010.0, False),
    ],
)
def test_a_transponder_is_asked_for_where_the_rule_says(
    prepared: Prepared, kind: str, floor_ft: float, msl_ft: float, asked: bool
) -> None:
    way = level(prepared, msl_ft)
    one = volume(kind, floor_ft, 5_000.0)
    lacking = found(prepared, way, one, equipment=bare(prepared))["airplane.transponder_asked"]
    assert (lacking.verdict is Verdict.OUTSIDE) is asked
    assert found(prepared, way, one)["airplane.transponder_asked"].verdict is Verdict.INSIDE


@pytest.mark.parametrize(
    ("ground_ft", "asked"), [(7_900.0, True), (8_100.0, False), (float("nan"), True)]
)
def test_low_over_high_ground_nothing_is_asked(
    prepared: Prepared, ground_ft: float, asked: bool
) -> None:
    """The exception is at and below 2,500 ft above the surface; unknown ground gives none."""
    flown = passing(prepared.plan, level(prepared, 10_500.0))
    flown = replace(flown, ground_ft=np.full_like(flown.msl_ft, ground_ft))
    plan = replace(prepared.plan, places=replace(prepared.plan.places, volumes=()))
    assert bool(transponder_asked(plan, flown).any()) is asked


@pytest.mark.parametrize(("away_nm", "asked"), [(29.5, True), (30.5, False)])
def test_the_veil_reaches_thirty_miles(prepared: Prepared, away_nm: float, asked: bool) -> None:
    plan = prepared.plan
    field = plan.destination
    surface = replace(
        volume("B", 0.0, 3_000.0),
        footprint=Circle(lat_deg=field.lat_deg, lon_deg=field.lon_deg, radius_nm=3.0),
    )
    north = np.array([[field.lat_deg + away_nm / 60.0, field.lon_deg, 5_000.0, t] for t in (0, 9)])
    north[1, 0] += 1e-4
    way = replace(prepared.way, path=north)
    changed = replace(
        plan,
        places=replace(plan.places, volumes=(surface,)),
        aircraft=replace(plan.aircraft, equipment=bare(prepared)),
    )
    (finding, *_) = sky_findings(changed, way)
    assert (finding.verdict is Verdict.OUTSIDE) is asked


@pytest.mark.parametrize(("cruise_kt", "slowed"), [(199.0, False), (230.0, True)])
def test_under_class_b_no_more_than_two_hundred_knots_are_flown(
    prepared: Prepared, cruise_kt: float, slowed: bool
) -> None:
    way = level(prepared, 100.0)  # near the sea calibrated and true speeds are nearly equal
    way = replace(way, legs=tuple(replace(one, tas_kt=cruise_kt) for one in way.legs))
    found_ones = found(prepared, way, volume("B", 3_000.0, 9_000.0))
    speed = found_ones["flight.speed_limit"]
    assert speed.value == pytest.approx(min(cruise_kt, 200.0), abs=0.5)
    assert ("slowed" in speed.note) is slowed
    assert "flight.speed_limit" not in found(prepared, way, volume("E", 3_000.0, 9_000.0))

"""Oxygen by pressure altitude and time, lights by the sun: both sides of each boundary.

14 CFR 91.211(a) and 91.209(a), read in the dossier on United States rules.
"""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest

from lubberline.earth import sun_position
from lubberline.fit.us.aloft import lights_finding, oxygen_findings
from lubberline.flight import Plan
from lubberline.line import Finding, Verdict
from lubberline.loop import Prepared
from lubberline.ways import Way

INSIDE, OUTSIDE, UNKNOWN = Verdict.INSIDE, Verdict.OUTSIDE, Verdict.UNKNOWN


def standard(plan: Plan, **equipment: Any) -> Plan:
    """Without a report, so that pressure altitude is height; with changed equipment."""
    aircraft = replace(plan.aircraft, equipment=replace(plan.aircraft.equipment, **equipment))
    return replace(plan, aircraft=aircraft, weather=replace(plan.weather, reports={}))


def at_height(way: Way, msl_ft: float, spent_min: float) -> Way:
    """Level at this height for so long, at 5,000 ft else."""
    rows = way.path[:4].copy()
    rows[:, 2] = (5_000.0, msl_ft, msl_ft, 5_000.0)
    rows[:, 3] = (0.0, 1e-6, spent_min, spent_min + 1e-6)
    path = np.vstack([rows, [*rows[-1, :2], 5_000.0, 200.0]])
    return replace(way, path=path)


def by_key(plan: Plan, way: Way) -> dict[str, Finding]:
    return {one.limit.key: one for one in oxygen_findings(plan, way)}


@pytest.mark.parametrize(
    ("msl_ft", "spent_min", "verdicts"),
    [
        (12_500.0, 120.0, {"crew": INSIDE}),
        (12_501.0, 29.9, {"crew": INSIDE}),
        (12_501.0, 30.2, {"crew": OUTSIDE}),
        (14_000.0, 29.9, {"crew": INSIDE}),
        (14_001.0, 5.0, {"crew": INSIDE, "always": OUTSIDE}),
        (15_000.0, 5.0, {"crew": INSIDE, "always": OUTSIDE}),
        (15_001.0, 5.0, {"crew": INSIDE, "always": OUTSIDE, "everybody": OUTSIDE}),
    ],
)
def test_minutes_above_each_height(
    prepared: Prepared, msl_ft: float, spent_min: float, verdicts: dict[str, Verdict]
) -> None:
    plan = standard(prepared.plan, fitted=("altimeter",))
    found = by_key(plan, at_height(prepared.way, msl_ft, spent_min))
    assert {
        key.removeprefix("pilot.oxygen_"): one.verdict for key, one in found.items()
    } == verdicts


def test_with_oxygen_aboard_it_must_be_used(prepared: Prepared) -> None:
    plan = standard(prepared.plan, fitted=("oxygen",))
    (crew, always) = by_key(plan, at_height(prepared.way, 14_500.0, 60.0)).values()
    assert {crew.verdict, always.verdict} == {INSIDE}
    assert "must be used" in always.note


def test_whether_it_is_aboard_must_be_known(prepared: Prepared) -> None:
    plan = standard(prepared.plan, fitted=None)
    (crew,) = by_key(plan, at_height(prepared.way, 13_000.0, 60.0)).values()
    assert crew.verdict is UNKNOWN


def test_low_pressure_counts_as_height(prepared: Prepared) -> None:
    """With 29.42 inHg the cabin at 12,300 ft is above 12,500 ft of pressure altitude."""
    report = prepared.plan.weather.reports["QWRN"]
    low = replace(report, altimeter_inhg=29.42)
    plan = standard(prepared.plan, fitted=("altimeter",))
    plan = replace(plan, weather=replace(plan.weather, reports={"QWRN": low}))
    (crew,) = by_key(plan, at_height(prepared.way, 12_300.0, 60.0)).values()
    assert crew.verdict is OUTSIDE


def leaving(plan: Plan, off_block_utc: datetime) -> Plan:
    return replace(plan, flight=replace(plan.flight, off_block_utc=off_block_utc))


@pytest.mark.parametrize("fitted", [("position lights",), (), None])
@pytest.mark.parametrize("hour", [20, 6])
def test_lights_burn_while_the_sun_is_down(
    prepared: Prepared, fitted: tuple[str, ...] | None, hour: int
) -> None:
    off_utc = datetime(2026, 11, 25, hour, 0, tzinfo=UTC)
    plan = leaving(standard(prepared.plan, fitted=fitted), off_utc)
    place = plan.departure
    up = float(sun_position(place.lat_deg, place.lon_deg, off_utc)[1]) > 0.0
    verdict = lights_finding(plan, prepared.way).verdict
    if up:
        assert verdict is INSIDE
    else:
        assert verdict is (UNKNOWN if fitted is None else INSIDE if fitted else OUTSIDE)


def test_from_sunset_on_to_the_minute(prepared: Prepared) -> None:
    """The sun's middle passes 50 minutes of arc below the horizon within the two minutes."""
    place = prepared.plan.departure
    moments = [datetime(2026, 11, 26, 0, 0, tzinfo=UTC) + timedelta(minutes=n) for n in range(300)]
    down = next(
        when
        for when in moments
        if float(sun_position(place.lat_deg, place.lon_deg, when)[1]) < -50.0 / 60.0
    )
    dark = standard(prepared.plan, fitted=())
    dark = replace(dark, flight=replace(dark.flight, destination_id=dark.flight.departure_id))
    still = replace(prepared.way, path=prepared.way.path * [1.0, 1.0, 1.0, 0.0])
    for when, verdict in ((down - timedelta(minutes=60), INSIDE), (down, OUTSIDE)):
        assert lights_finding(leaving(dark, when), still).verdict is verdict

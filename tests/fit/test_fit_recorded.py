"""Take-offs and landings that only recordings show, and how they count for recency."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from lubberline.aircraft import Aircraft
from lubberline.fit.us.landings import flown_landings, was_night
from lubberline.fit.us.recency import Carriage, recency_findings
from lubberline.loop import Prepared
from lubberline.pilot import Landings, Pilot, Recorded

DAY = date(2026, 11, 14)
KIND = "airplane single-engine land"


def shown(kind: str, hour: float, *, on: date = DAY) -> Recorded:
    """A movement near Wren Island, so many hours after 00Z of the civil day."""
    return Recorded(
        kind=kind,
        on=on,
        at_utc=datetime(on.year, on.month, on.day, tzinfo=UTC) + timedelta(hours=hour),
        lat_deg=41.0,
        lon_deg=-131.6,
        category_class=KIND,
        tailwheel=False,
        type_name="Heron 200",
    )


def logged(**counts: int) -> Landings:
    given: dict[str, Any] = {"takeoff_count": 0, "landing_count": 0, **counts}
    return Landings(on=DAY, category_class=KIND, tailwheel=False, **given)


def lacking(prepared: Prepared, pilot: Pilot) -> float | None:
    aircraft: Aircraft = prepared.plan.aircraft
    carriage = Carriage(day=DAY + timedelta(days=10), carries_persons=True, in_night=False)
    (finding,) = recency_findings(aircraft, pilot, carriage)
    return finding.value


def test_a_day_that_stands_in_both_counts_once(prepared: Prepared) -> None:
    flights = tuple(shown(kind, 20.0 + n) for n in range(2) for kind in ("take-off", "landing"))
    log = logged(takeoff_count=1, landing_count=3)
    pilot = replace(prepared.plan.pilot, landings=(log,), recorded=flights)
    (day,) = flown_landings(pilot, DAY)
    assert (day.takeoff_count, day.landing_count, day.full_stop_count) == (2, 3, 2)
    assert lacking(prepared, pilot) == 1.0


def test_recordings_alone_make_recent(prepared: Prepared) -> None:
    touched = tuple(shown("touch-and-go", 20.0 + n / 10) for n in range(2))
    flights = (shown("take-off", 19.0), *touched, shown("landing", 21.0))
    pilot = replace(prepared.plan.pilot, landings=(), recorded=flights)
    (day,) = flown_landings(pilot, DAY)
    assert (day.takeoff_count, day.landing_count, day.full_stop_count) == (3, 3, 1)
    assert lacking(prepared, pilot) == 0.0
    assert lacking(prepared, replace(pilot, recorded=flights[:-1])) == 1.0


@pytest.mark.parametrize("told", [{"category_class": None}, {"tailwheel": None}])
def test_an_airplane_that_is_not_known_counts_nothing(
    prepared: Prepared, told: dict[str, Any]
) -> None:
    flights = tuple(replace(shown("touch-and-go", 20.0 + n), **told) for n in range(3))
    pilot = replace(prepared.plan.pilot, landings=(), recorded=flights)
    assert lacking(prepared, pilot) == 3.0


# Sunset on 14 November 2026 at 41 N 131.6 W: 25.49 h, sunrise 39.54 h, by the hour angle of the sun
# at -0.833 deg with declination -18.2 deg and equation of time +15.6 min (memory).
@pytest.mark.parametrize(
    ("hour", "by_night"), [(24.0, False), (26.4, False), (26.6, True), (38.4, True), (38.7, False)]
)
def test_night_begins_an_hour_after_sunset(hour: float, by_night: bool) -> None:
    assert was_night(shown("landing", hour)) is by_night

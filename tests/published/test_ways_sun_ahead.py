"""The sun ahead on the last legs, at sunrises and sunsets of a published almanac.

Rows as in the reference notes on geodesy and sun (computed there with an ephemeris of the
planets, DE421): at these moments the center of the sun stands 50' below the horizon. At an
equinox it rises in the east and sets in the west, on the equator within half a degree.
"""

from datetime import UTC, datetime, timedelta

import pytest
from ways_cases import NO_RULES, problem

from lubberline.earth import LocalPlane, flat_terrain
from lubberline.ways import SunAhead, along_way, evaluate, sun_ahead

EQUATOR = LocalPlane(0.0, 0.0)
SUNRISE_UTC = datetime(2025, 3, 20, 6, 4, 6, tzinfo=UTC)
SUNSET_UTC = datetime(2025, 3, 20, 18, 10, 36, tzinfo=UTC)
MINUTE_DEG = 0.25  # the tolerance of the rows is one minute of time


def sun(at_utc: datetime) -> SunAhead:
    """Flying east over the equator; the sun at the middle of the last leg."""
    stated = problem(plane=EQUATOR, half_nm=10.0, rules=NO_RULES)
    way = evaluate(stated, "direct", via=(), cruise_msl_ft=1_500.0, permissions=frozenset())
    along = along_way(way, flat_terrain(0.0))
    middle_min = way.time_min - way.legs[-1].time_min / 2.0
    return sun_ahead(along, at_utc - timedelta(minutes=middle_min))[-1]


@pytest.mark.parametrize(("at_utc", "off_deg"), [(SUNRISE_UTC, 0.0), (SUNSET_UTC, 180.0)])
def test_the_sun_rises_ahead_of_an_eastbound_flight_and_sets_behind(
    at_utc: datetime, off_deg: float
) -> None:
    seen = sun(at_utc)
    assert seen.elevation_deg == pytest.approx(-50.0 / 60.0, abs=MINUTE_DEG)
    assert abs(seen.off_course_deg) == pytest.approx(off_deg, abs=0.5)


@pytest.mark.parametrize(
    ("after_min", "dazzles"), [(-10.0, False), (15.0, True), (90.0, True), (180.0, False)]
)
def test_it_is_in_the_eyes_while_it_is_low(after_min: float, dazzles: bool) -> None:
    assert sun(SUNRISE_UTC + timedelta(minutes=after_min)).in_eyes is dazzles


def test_behind_the_airplane_it_is_not_in_the_eyes() -> None:
    assert not sun(SUNSET_UTC - timedelta(minutes=30)).in_eyes

"""Hours of airspace against the time of a flight."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from lubberline.places import Circle, Height, Volume, in_force
from lubberline.places.hours import schedule_of


def at(day: int, hour: int, minute: int = 0) -> datetime:
    """A day of November 2026: the 23rd is a Monday."""
    return datetime(2026, 11, day, hour, minute, tzinfo=UTC)


TOWER = Volume(
    id="D1",
    name="Marl",
    airspace_class="D",
    group="marl-tower",
    facility="Marl Tower",
    floor=Height(reference="SFC", ft=0.0),
    ceiling=Height(reference="MSL", ft=2_500.0),
    footprint=Circle(lat_deg=41.0, lon_deg=-131.0, radius_nm=4.0),
    schedule=schedule_of("1500-0300Z MON-FRI"),
)


@pytest.mark.parametrize(
    ("start_utc", "end_utc", "holds"),
    [
        (at(23, 16), at(23, 17), True),
        (at(23, 13), at(23, 14, 59), False),
        (at(23, 13), at(23, 15), True),  # active at the very end
        (at(24, 2, 59), at(24, 4), True),  # past midnight of the day before
        (at(24, 3), at(24, 4), False),  # until is exclusive
        (at(28, 2), at(28, 2, 30), True),  # Friday's night
        (at(28, 16), at(28, 20), False),  # a Saturday
        (at(28, 16), at(30, 16), True),  # longer than a weekend
    ],
)
def test_a_volume_holds_in_its_hours(start_utc: datetime, end_utc: datetime, holds: bool) -> None:
    assert in_force((TOWER,), start_utc, end_utc) == ((TOWER,) if holds else ())


def test_outside_its_hours_it_is_what_is_published() -> None:
    (held,) = in_force((replace(TOWER, otherwise_class="E"),), at(28, 16), at(28, 17))
    assert held.airspace_class == "E"


@pytest.mark.parametrize("text", ["BY NOTAM", "SR-SS", "1500-0300 MON-FRI", "SEE NOTES"])
def test_hours_that_are_not_known_for_sure_count_as_active(text: str) -> None:
    volume = replace(TOWER, schedule=schedule_of(text))
    assert in_force((volume,), at(28, 16), at(28, 17)) == (volume,)


def test_validity_bounds_a_volume() -> None:
    volume = replace(TOWER, schedule=None, valid_from_utc=at(24, 0), valid_until_utc=at(26, 0))
    assert in_force((volume,), at(23, 20), at(23, 23)) == ()
    assert in_force((volume,), at(23, 23), at(24, 1)) == (volume,)
    assert in_force((volume,), at(26, 0), at(26, 1)) == ()

"""Special use airspace of the US subscription: AIXM 5.0 with an extension, zipped three deep."""

from datetime import UTC, datetime
from pathlib import Path

import pytest
import saa_made as made

from lubberline.places import Circle, Polygon, Volume, read_published
from lubberline.places.published import read_aixm


def read(tmp_path: Path, name: str = "special-use-2026-10-29.zip") -> dict[str, Volume]:
    path = tmp_path / name
    path.write_bytes(made.subscription_zip())
    data = read_published(path)
    assert data.account.left_out == ()
    return {one.name: one for one in data.volumes}


@pytest.mark.parametrize(
    ("name", "letter"),
    [
        ("GANNET MOA", "M"),
        ("R-9901 SPLIT ROCK", "R"),
        ("W-990", "W"),
        ("P-99", "P"),
        ("A-990", "L"),
        ("MARL NSA", "U"),
    ],
)
def test_the_extension_tells_the_kind(tmp_path: Path, name: str, letter: str) -> None:
    found = read(tmp_path)
    known = next(one for key, one in found.items() if name in key)
    assert known.airspace_class == letter
    assert known.facility == "QZZ CENTER"
    assert known.frequency_mhz == 125.3


def test_longitude_stands_first_and_limits_have_their_references(tmp_path: Path) -> None:
    moa = read(tmp_path)["GANNET MOA"]
    assert isinstance(moa.footprint, Polygon)
    assert moa.footprint.corners_deg[:, 0].min() == pytest.approx(41.0, abs=1e-3)
    assert moa.footprint.corners_deg[:, 1].min() == -131.0
    assert (moa.floor.reference, moa.floor.ft, moa.ceiling.ft) == ("AGL", 500.0, 17_999.0)


def test_ground_and_unlimited_of_another_unit_are_understood(tmp_path: Path) -> None:
    area = next(one for one in read(tmp_path).values() if "SPLIT ROCK" in one.name)
    assert isinstance(area.footprint, Circle)
    assert area.footprint.radius_nm == pytest.approx(5.0)
    assert area.floor.reference == "SFC"
    assert area.ceiling.ft >= 60_000.0


def test_an_arc_turns_from_east_over_north(tmp_path: Path) -> None:
    half = read(tmp_path)["W-990"].footprint
    assert isinstance(half, Polygon)
    assert half.corners_deg[:, 0].min() == pytest.approx(41.0, abs=1e-3)
    assert half.corners_deg[:, 0].max() == pytest.approx(41.0 + 5.0 / 60.0, abs=1e-3)


def test_times_of_use_are_kept_as_words(tmp_path: Path) -> None:
    assert "Times of use. Monday to Friday" in read(tmp_path)["GANNET MOA"].note


@pytest.mark.parametrize("place", ["special-use-2026-10-29.zip", "2026-10-29/aixm5.0.zip"])
def test_the_name_tells_the_cycle(tmp_path: Path, place: str) -> None:
    path = tmp_path / place
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(made.subscription_zip())
    source = read_aixm(path).source
    assert source.valid_from_utc == datetime(2026, 10, 29, 9, 1, tzinfo=UTC)
    assert source.valid_until_utc == datetime(2026, 11, 26, 9, 1, tzinfo=UTC)


def test_a_name_without_a_cycle_tells_no_dates(tmp_path: Path) -> None:
    path = tmp_path / "aixm5.0-2026-10-30.zip"
    path.write_bytes(made.subscription_zip())
    assert read_aixm(path).source.valid_until_utc is None

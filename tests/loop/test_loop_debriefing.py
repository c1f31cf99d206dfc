"""What is kept of a debriefed flight: movements, airplane, conditions, numbers, files."""

from collections.abc import Iterator
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path

import numpy as np
import polars
import pytest
from sqlalchemy.orm import Session

from lubberline import loop
from lubberline.demo.truth import Truth
from lubberline.errors import BadFile
from lubberline.flight import read_plan
from lubberline.flown import OwnMark, add_marks
from lubberline.loop.debriefing import judge
from lubberline.loop.debriefing_word import read_word
from lubberline.store import (
    Observed,
    conditions_of,
    files_of,
    find_flight,
    marks_of,
    observed_of,
    open_store,
)

Kept = tuple[Path, Truth]
STEP_S = 1.0  # the truth has a row a second


@pytest.fixture
def session(kept: Kept) -> Iterator[Session]:
    with open_store(loop.store_path(kept[0].parents[1])) as store, store.reading() as reading:
        yield reading


def observed(session: Session) -> dict[str, Observed]:
    return {one.key: one for one in observed_of(session, 1)}


def test_movements_and_airplane_are_kept(session: Session, kept: Kept) -> None:
    flight, aircraft = find_flight(session, 1), read_plan(kept[0]).aircraft
    assert [one.kind for one in flight.movements] == ["take-off", "landing"]
    assert flight.category_class == aircraft.category_class == "airplane single-engine land"
    assert (flight.tailwheel, flight.type_name) == (aircraft.tailwheel, aircraft.type_name)


def test_the_runway_landed_on_and_the_wind_across_it_are_kept(session: Session) -> None:
    """Wind 270° at 12 kt, gusting 19, in the report; runway 30 lies at 305.2° true."""
    found = conditions_of(session, 1)
    assert found is not None
    assert (found.wind_kt, found.gust_kt, found.night) == (12.0, 19.0, False)
    assert found.runway_length_ft == 4200.0
    assert found.crosswind_kt == pytest.approx(12.0 * np.sin(np.radians(35.2)), abs=0.1)


def test_the_weight_is_that_after_taxi(session: Session, kept: Kept) -> None:
    plan, found = read_plan(kept[0]), conditions_of(session, 1)
    limits = plan.aircraft.loading
    fuel_gal = sum(plan.flight.fuel_gal.values()) - plan.aircraft.taxi_gal
    expected = limits.empty_lb + sum(plan.flight.load_lb.values())
    assert found is not None
    assert found.weight_lb == pytest.approx(expected + fuel_gal * limits.fuel_lb_per_gal)


def test_true_airspeed_comes_out_as_it_was_flown(session: Session, kept: Kept) -> None:
    truth, found = kept[1], observed(session)["cruise_tas_kt"]
    cruise_kt = float(np.median(truth.tas_kt[truth.tas_kt > 100.0]))
    assert abs(found.value - cruise_kt) < 2.0 * found.sigma
    assert found.target == pytest.approx(137.2, abs=0.5)


def test_taxi_and_air_time_come_out_as_they_were(session: Session, kept: Kept) -> None:
    truth, found = kept[1], observed(session)
    air_h = (truth.touchdown_s - truth.liftoff_s) / 3600.0
    assert found["airborne_h"].value == pytest.approx(air_h, abs=10.0 * STEP_S / 3600.0)
    assert found["block_h"].value == pytest.approx(truth.on_block_s / 3600.0, abs=0.01)
    assert found["taxi_out_min"].value == pytest.approx(truth.liftoff_s / 60.0, abs=0.2)


def test_a_flight_by_day_has_no_night_hours(session: Session) -> None:
    assert observed(session)["night_h"].value == 0.0


def test_the_own_word_is_kept_with_the_fuel(session: Session) -> None:
    marks = {one.key: one for one in marks_of(session, 1)}
    assert marks["approach"].mark == "close"
    assert marks["flown.cruise_height_rms"].chance_fraction == 0.8
    fuel = observed(session)["fuel_used_gal"]
    assert (fuel.value, fuel.unit) == (7.5, "gal")
    assert fuel.target is not None
    assert 4.0 < fuel.target < 12.0


def test_files_are_kept_as_they_were(session: Session, kept: Kept) -> None:
    home = kept[0].parents[1]
    (airplane,) = files_of(session, 1, "airplane")
    assert airplane.content == (home / "aircraft" / airplane.name).read_bytes()
    (pilot,) = files_of(session, 1, "pilot")
    assert pilot.content == (home / "pilot.toml").read_bytes()


def test_samples_are_kept_as_parquet_with_units_in_names(session: Session) -> None:
    (file,) = files_of(session, 1, "samples")
    frame = polars.read_parquet(BytesIO(file.content))
    assert frame.columns[:5] == ["time_s", "segment_index", "lat_deg", "lon_deg", "indicated_ft"]
    assert all("_" in name for name in frame.columns)
    assert frame.height > 1_000
    assert len(file.content) < 8 * frame.width * frame.height  # smaller than the bare numbers


def test_marks_written_later_join_a_kept_flight(kept: Kept) -> None:
    folder, _ = kept
    recording = next(folder.glob("recording.*"))
    said_utc = datetime(2026, 11, 25, 23, 0, tzinfo=UTC)
    add_marks(folder, [OwnMark(phase="cruise", mark="inside", note="", made_utc=said_utc)])
    again = judge(folder, recording, keep=True)
    assert again.kept.endswith("as flight 1: 1 own marks were added")


def test_a_mark_in_other_words_is_refused_with_its_line(tmp_path: Path) -> None:
    (tmp_path / "after.toml").write_text(
        'made_utc = 2026-11-25T23:00:00Z\n[mark]\n"flown.cruise_height_rms" = "superb"\n',
        encoding="utf-8",
    )
    with pytest.raises(BadFile, match=r"line 3, mark\.flown\.cruise_height_rms: found 'superb'"):
        read_word(tmp_path)


def test_a_phase_is_marked_in_one_place(tmp_path: Path) -> None:
    (tmp_path / "after.toml").write_text(
        'made_utc = 2026-11-25T23:00:00Z\n[mark]\napproach = "close"\n', encoding="utf-8"
    )
    with pytest.raises(BadFile, match=r"line 3, mark\.approach: .*lubberline mark"):
        read_word(tmp_path)


def test_another_recording_of_a_flight_counts_once_in_drift(kept: Kept, tmp_path: Path) -> None:
    """Both are kept, the second names the first, and the surer value stands."""
    import shutil

    home = tmp_path / "folder"
    shutil.copytree(kept[0].parents[1], home)
    folder = home / "flights" / kept[0].name
    rows = next(folder.glob("recording.*")).read_text(encoding="utf-8").splitlines()
    other = tmp_path / "slow.csv"  # every fifth row, without airspeed
    lines = [row.rsplit(",", 2)[0] for row in (rows[1], *rows[2::5])]
    other.write_text("\n".join(lines) + "\n", encoding="utf-8")
    judged = judge(folder, other, keep=True)
    assert "beside another recording of it, flight 1" in judged.kept
    course = loop.follow(home, "flown.takeoff_time")
    assert len(course.measure) == 1
    sigmas = [one.sigma for one in judged.flown.findings if one.limit.key == "flown.takeoff_time"]
    assert course.measure.sigmas[0] < sigmas[0]

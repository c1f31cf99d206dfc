"""Take-offs and landings in recordings that nobody here made, against what their rows show.

The moments were read off the raw rows by hand: the last row of the roll and the first of the
climb, or the change of a transponder from ground to air; sources are in ``samples``.
"""

from datetime import UTC, datetime
from pathlib import Path

import polars as pl
import pytest
from samples import sample, sample_map

from lubberline.earth import course_and_distance
from lubberline.flown import Flown, debrief, read_standard
from lubberline.places import Places
from lubberline.recording import read_recording

NOWHERE = Places(aerodromes={}, volumes=(), points={}, land_deg=(), sources=())
STANDARD = Path(__file__).parents[2] / "src/lubberline/demo/files/standards/private.toml"

# Sample, take-off and landing [UTC] and how well the rows show them [s].
FLOWN = [
    ("airliner", "2024-07-06 06:59:21", 2.0, "2024-07-06 07:58:42", 2.0),
    ("navaid check", "2019-12-11 12:52:12", 10.0, "2019-12-11 16:09:30", 30.0),
]
# The four aerodromes in the middle of the crowded sky, from its country's official publication
# (from memory, to a hundredth of a degree).
CROWDED_FIELDS_DEG = ((48.72, 2.38), (49.01, 2.55), (48.97, 2.44), (48.77, 2.20))
WITHIN_NM = 4.0  # a runway's far end
SURE_S = 10.0  # one transponder contradicts itself for a minute, and its moment says so


def judged(path: Path, column_map: Path | None) -> Flown:
    recording = read_recording(path, column_map=column_map)
    return debrief(recording, places=NOWHERE, pledge=None, standard=read_standard(STANDARD))


def seconds(clock: str) -> float:
    return datetime.fromisoformat(clock).replace(tzinfo=UTC).timestamp()


@pytest.mark.parametrize(("name", "takeoff", "off_s", "landing", "on_s"), FLOWN)
def test_a_real_flight_takes_off_and_lands_when_its_rows_say(
    name: str, takeoff: str, off_s: float, landing: str, on_s: float
) -> None:
    first, last = judged(sample(name), sample_map(name)).movements
    assert (first.kind, last.kind) == ("take-off", "landing")
    assert first.time_s == pytest.approx(seconds(takeoff), abs=off_s + 2.0 * first.sigma_s)
    assert last.time_s == pytest.approx(seconds(landing), abs=on_s + 2.0 * last.sigma_s)


@pytest.mark.parametrize("name", ["lake walk", "hill walk", "drive"])
def test_what_never_flew_has_no_movement(name: str) -> None:
    assert judged(sample(name), sample_map(name)).movements == ()


@pytest.mark.parametrize("name", ["light airplane", "glider", "paraglider"])
def test_what_the_rows_do_not_show_is_not_invented(name: str) -> None:
    """These begin in the air, end in a gap, or never pass a speed that only flight has."""
    assert judged(sample(name), sample_map(name)).movements == ()


@pytest.fixture(scope="module")
def crowd(tmp_path_factory: pytest.TempPathFactory) -> list[tuple[pl.DataFrame, Flown]]:
    """Every fourth aircraft of the crowded sky, alone in a file."""
    name = "sky full of aircraft"
    rows = pl.read_csv(sample(name), infer_schema_length=None)
    folder, found = tmp_path_factory.mktemp("crowd"), []
    for number, address in enumerate(sorted(rows["icao24"].unique().drop_nulls())[::4]):
        alone = rows.filter(pl.col("icao24") == address).sort("timestamp")
        if len(alone) >= 60:
            alone.write_csv(folder / f"{number}.csv")
            found.append((alone, judged(folder / f"{number}.csv", sample_map(name))))
    return found


def test_movements_in_a_crowded_sky_are_at_its_aerodromes(
    crowd: list[tuple[pl.DataFrame, Flown]],
) -> None:
    movements = [move for _, flown in crowd for move in flown.movements]
    assert len(movements) >= 8
    for move in movements:
        away_nm = min(
            float(course_and_distance(move.lat_deg, move.lon_deg, lat, lon)[1])
            for lat, lon in CROWDED_FIELDS_DEG
        )
        assert away_nm <= WITHIN_NM


def test_the_transponder_says_air_on_one_side_of_each_take_off(
    crowd: list[tuple[pl.DataFrame, Flown]],
) -> None:
    """Half a minute after a take-off the wheels are off, and a minute before it they are not."""
    checked = 0
    for rows, flown in crowd:
        for move in flown.movements:
            sign = 1.0 if move.kind == "take-off" else -1.0
            away_s = (rows["timestamp"].cast(pl.Float64) / 1_000.0 - move.time_s) * sign
            air = rows.filter((away_s > 20.0) & (away_s < 40.0))["onground"]
            ground = rows.filter((away_s > -75.0) & (away_s < -45.0))["onground"]
            if len(air) and len(ground) and move.sigma_s <= SURE_S:
                checked += 1
                assert not air.any()
                assert ground.all()
    assert checked >= 5

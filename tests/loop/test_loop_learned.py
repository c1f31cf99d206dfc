"""Numbers learned: their intervals, the files that take them, and what they improve."""

import shutil
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from lubberline import loop
from lubberline.aircraft import cruise_tas, read_aircraft, relearned
from lubberline.demo.truth import Truth
from lubberline.errors import BadFile, NoSolution
from lubberline.flight import latest_pledge, read_plan
from lubberline.loop.learned import Learned, Number, learn, mean_interval, shown_by_flights
from lubberline.loop.learned_files import InUse, Patch, in_use, patch_for, take, with_value
from lubberline.loop.learned_held_back import held_back
from lubberline.pilot import read_pilot
from lubberline.store import NewFlight, Observed, add_flight, find_flight, open_store
from lubberline.ways import evaluate_plan

Kept = tuple[Path, Truth]
HERE = {"weight_lb": 2250.0, "pressure_ft": 3500.0, "oat_degc": 8.0}


def tas(value: float, sigma: float = 0.5) -> dict[str, Observed]:
    one = Observed(key="cruise_tas_kt", unit="kt", value=value, sigma=sigma, target=140.0)
    return {one.key: one}


def of_name(learned: tuple[Learned, ...], name: str) -> Learned:
    return next(one for one in learned if one.number.name == name)


def test_the_interval_is_students_over_the_scatter_between_flights() -> None:
    """Of 4, 5, 6, 7, 8: s = 1.5811, t for 4 degrees of freedom 2.776 (JCGM 100, table G.2)."""
    mean, low, high = mean_interval([4.0, 5.0, 6.0, 7.0, 8.0], [0.0] * 5)
    assert mean == 6.0
    assert low is not None
    assert high is not None
    assert high - mean == pytest.approx(2.776 * 1.5811 / 5**0.5, abs=0.002)
    assert mean - low == pytest.approx(high - mean)


def test_equal_values_keep_the_doubt_of_their_measurement() -> None:
    _, low, high = mean_interval([6.0] * 4, [2.0] * 4)
    assert low is not None
    assert high is not None
    assert high - low == pytest.approx(2.0 * 3.182 * 1.0, abs=0.002)


def test_one_flight_has_a_value_and_no_interval() -> None:
    assert mean_interval([6.0], [1.0]) == (6.0, None, None)


def test_a_factor_is_flown_over_printed() -> None:
    learned = of_name(learn([tas(133.0 + x) for x in (-1.0, 0.0, 1.0, 0.5, -0.5)]), "cruise_tas")
    assert learned.value == pytest.approx(133.0 / 140.0)
    assert learned.differs_from(1.0)
    assert not learned.differs_from(0.95)


def test_four_flights_are_too_few_to_propose_anything() -> None:
    learned = of_name(learn([tas(120.0)] * 4), "cruise_tas")
    assert learned.flights_needed_count == 1
    assert not learned.differs_from(1.0)


def test_what_no_flight_shows_is_not_learned() -> None:
    assert [one.number.name for one in learn([tas(133.0)])] == ["cruise_tas"]


@pytest.mark.parametrize(
    ("text", "table", "expected"),
    [
        ("a = 1  # why\nb = 2\n", None, "a = 5  # why\nb = 2\n"),
        ("b = 2\n", None, "b = 2\na = 5\n"),
        (
            "b = 2\n\n# of the table\n[t]\na = 1\n",
            None,
            "b = 2\na = 5\n\n# of the table\n[t]\na = 1\n",
        ),
        ("# a = 9\nb = [\n  [1, 2],\n]\n[t]\n", None, "# a = 9\nb = [\n  [1, 2],\n]\na = 5\n[t]\n"),
        ("b = 2\n", "t", "b = 2\n\n[t]\na = 5\n"),
        ("b = 2", "t", "b = 2\n\n[t]\na = 5\n"),
        ("[t]\na = 1\n[u]\na = 2\n", "t", "[t]\na = 5\n[u]\na = 2\n"),
        ("[t]\n[u]\na = 2\n", "t", "[t]\na = 5\n[u]\na = 2\n"),
        ("[t] # x\nc = 1", "t", "[t] # x\nc = 1\na = 5\n"),
        ("", None, "a = 5\n"),
    ],
)
def test_one_line_changes_and_the_rest_stays(text: str, table: str | None, expected: str) -> None:
    assert with_value(text, "a", "5", table=table) == expected


@pytest.fixture
def home(kept: Kept, tmp_path: Path) -> Path:
    """A copy of the folder with its store."""
    return Path(shutil.copytree(kept[0].parents[1], tmp_path / "home"))


def learned_tas(value: float) -> Learned:
    return of_name(learn([tas(value * 140.0)] * 6), "cruise_tas")


def test_a_factor_once_taken_is_in_the_plan_and_not_before(home: Path) -> None:
    place = in_use(home, learned_tas(0.95), call_sign="Q-HRN", flight=None)
    assert place is not None
    assert place.value == 1.0
    before = cruise_tas(read_aircraft(place.path), **HERE)
    flight = next((home / "flights").iterdir())
    times = [way.time_min for way in evaluate_plan(read_plan(flight))]
    take(patch_for(place, 0.95))
    after = cruise_tas(read_aircraft(place.path), **HERE)
    assert before.value is not None
    assert after.value == pytest.approx(0.95 * before.value)
    assert "times 0.95 as learned" in after.source
    assert [way.time_min for way in evaluate_plan(read_plan(flight))] > times


def test_what_was_taken_can_be_left_out_again(home: Path) -> None:
    path = home / "aircraft" / "heron.toml"
    before = read_aircraft(path)
    take(patch_for(InUse(path=path, key="cruise_gph_factor", value=1.0), 1.1))
    bare = relearned(read_aircraft(path), {})
    figures = bare.tables["cruise_gph"].values
    assert figures == pytest.approx(before.tables["cruise_gph"].values, rel=1e-12)


def test_height_keeping_goes_where_the_ways_look_for_it(home: Path) -> None:
    number = Number(
        name="height_keeping",
        label="",
        unit="ft",
        observed=(),
        file="pilot",
        key="height_keeping_ft",
    )
    one = Learned(number=number, value=62.0, low=50.0, high=70.0, flight_count=6)
    place = in_use(home, one, call_sign="Q-HRN", flight=None)
    assert place is not None
    take(patch_for(place, one.proposed))
    assert read_pilot(home / "pilot.toml").height_keeping_ft == 62.0


def test_taxi_time_goes_into_the_flight_that_was_named(home: Path) -> None:
    flight = next((home / "flights").iterdir())
    number = Number(
        name="taxi_out",
        label="",
        unit="min",
        observed=(),
        file="flight",
        key="taxi_out_min",
        digits_count=1,
    )
    one = Learned(number=number, value=9.5, low=9.0, high=10.0, flight_count=6)
    assert in_use(home, one, call_sign="Q-HRN", flight=None) is None
    place = in_use(home, one, call_sign="Q-HRN", flight=flight)
    assert place is not None
    take(patch_for(place, one.proposed))
    assert read_plan(flight).flight.taxi_out_min == 9.5


def test_a_number_that_spoils_the_file_is_not_written(home: Path) -> None:
    path = home / "aircraft" / "heron.toml"
    before = path.read_bytes()
    with pytest.raises(BadFile, match="cruise_tas_factor: found 3"):
        take(patch_for(InUse(path=path, key="cruise_tas_factor", value=1.0), 3.0))
    assert path.read_bytes() == before
    assert [one.name for one in path.parent.iterdir() if one.name.startswith(".")] == []


def test_an_airplane_without_a_file_is_refused(home: Path) -> None:
    with pytest.raises(NoSolution, match="has the call sign Q-NIL"):
        in_use(home, learned_tas(0.95), call_sign="Q-NIL", flight=None)


def test_a_patch_shows_only_what_changes() -> None:
    patch = Patch(path=Path("x"), before="a = 1\nb = 2\n", after="a = 1\nb = 3\n")
    assert patch.rows() == ["-b = 2", "+b = 3"]


def test_flights_held_back_are_predicted_better_where_the_manual_is_wrong(home: Path) -> None:
    """Six flights, late by just what an airplane of 0.93 times the manual's speed is late by."""
    flight = next((home / "flights").iterdir())
    plan, found = read_plan(flight), latest_pledge(flight)
    assert found is not None
    slow = replace(plan, aircraft=relearned(plan.aircraft, {"cruise_tas_factor": 0.93}))
    times = [
        next(way.time_min for way in evaluate_plan(one) if way.name == found[1].way_name)
        for one in (plan, slow)
    ]
    assert times[1] - times[0] > 1.0
    path = loop.store_path(home)
    with open_store(path) as store, store.writing() as session:
        first = find_flight(session, 1)
        for number in range(6):
            off = 0.002 * (number % 3 - 1)
            late = Observed(
                key="eta_error_min", unit="min", value=times[1] - times[0], sigma=0.1, target=0.0
            )
            taxi = [
                Observed(key=key, unit="min", value=value + off, sigma=0.1, target=5.0)
                for key, value in (("taxi_out_min", 9.0), ("taxi_in_min", 5.0))
            ]
            add_flight(
                session,
                NewFlight(
                    flown_utc=first.flown_utc + timedelta(days=number + 1),
                    **{
                        name: getattr(first, name)
                        for name in ("title", "departure_id", "destination_id", "movement_count")
                    },
                    aircraft="Q-HRN",
                    pilot="B. Pilot",
                    recording_name="x",
                    recording=bytes([number + 1]),
                    findings=(),
                    pledge=found[1].canonical(),
                    observed=(*tas(140.0 * (0.93 + off)).values(), late, *taxi),
                ),
            )
    time, block = held_back(home, shown_by_flights(home, pilot="B. Pilot", aircraft="Q-HRN"))
    assert (time.label, time.flight_count, time.better_count) == ("time en route", 6, 6)
    assert time.values[0] == pytest.approx(times[1] - times[0], abs=1e-6)
    assert time.values[1] < 0.1 * time.values[0]
    assert block.values[0] == pytest.approx(time.values[0] + 4.0, abs=0.01)
    assert block.values[1] < 0.1 * block.values[0]

"""From the store to the table: every measure, what slips first, within 80 columns."""

import json
import shutil
import sqlite3
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import polars as pl
import pytest
from typer.testing import CliRunner

from lubberline.cli import commands  # noqa: F401 - registers the commands
from lubberline.cli.app import app
from lubberline.line import Finding, Limit
from lubberline.loop import follow, follow_all
from lubberline.store import FlightConditions, NewFlight, OwnMark, add_flight, open_store

COUNT = 40
FIRST_UTC = datetime(2026, 1, 3, 15, tzinfo=UTC)


def finding(key: str, value: float, **bounds: float) -> Finding:
    limit = Limit(key=key, label=key, unit="ft", basis="own", source="own", **bounds)
    return Finding(limit=limit, value=value, sigma=1.0)


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Forty flights: one error slips, one margin shrinks, one error goes with the wind."""
    folder = tmp_path_factory.mktemp("home")
    rng = np.random.default_rng(4)
    with open_store(folder / "lubberline.db") as store, store.writing() as session:
        for number in range(COUNT):
            late = number >= COUNT - 10
            wind_kt = float(rng.uniform(14, 22) if late else rng.uniform(0, 14))
            when = FIRST_UTC + timedelta(days=7 * number)
            flight = NewFlight(
                flown_utc=when,
                title=f"flight {number}",
                departure_id="QWRN",
                destination_id="QMRL",
                aircraft="Q-1",
                pilot="A. Pilot",
                movement_count=2,
                recording_name="r.csv",
                recording=b"%d" % number,
                findings=(
                    finding("flown.slips", rng.normal(20, 3) + 15 * late, high=50.0),
                    finding("flown.steady", -rng.normal(20, 3), low=-50.0, high=50.0, target=0.0),
                    finding("flown.margin", rng.normal(200, 10) - 60 * late, low=0.0),
                    finding("flown.windy", 10 + 2 * wind_kt + rng.normal(0, 2), high=90.0),
                ),
                conditions=FlightConditions(wind_kt=wind_kt),
                marks=(
                    OwnMark(key="flown.slips", made_utc=when, mark="inside", chance_fraction=0.9),
                ),
            )
            add_flight(session, flight)
    return folder


def said(*words: object) -> str:
    result = CliRunner().invoke(app, ["drift", *map(str, words)])
    assert result.exit_code == 0, result.output
    return result.output


def test_what_slips_comes_first_and_each_sense_is_right(home: Path) -> None:
    words = {one.measure.key: str(one.verdict.word) for one in follow_all(home).drifted}
    assert words["flown.slips"] == words["flown.margin"] == "slipping"
    assert words["flown.steady"] == "holding"
    assert words["flown.windy"] == "holding"  # the wind rose, the pilot did not change
    ranked = [str(one.verdict.word) for one in follow_all(home).drifted]
    assert ranked == sorted(ranked, key=["slipping", "improving", "holding"].index)


def test_a_signed_error_counts_by_its_size_and_a_margin_by_itself(home: Path) -> None:
    assert (follow(home, "flown.steady").measure.values > 0.0).all()
    assert follow(home, "flown.margin").measure.better == "larger"


def test_the_table_keeps_to_80_columns(home: Path) -> None:
    rows = said(home).splitlines()
    assert max(map(len, rows)) <= 80
    blocks = [row for row in rows if row.startswith(("▼", "▲", "●", "…"))]
    assert {row.index("flights") for row in blocks} == {56}
    assert rows.index(blocks[0]) < rows.index(next(row for row in rows if "flown.slips" in row))


def test_one_measure_says_what_it_rests_on(home: Path) -> None:
    text = said(home, "flown.windy")
    assert "wind, kt makes it worse" in " ".join(text.split())
    assert "Trend" in text
    assert max(map(len, text.splitlines())) <= 80


def test_json_has_every_measure_and_its_doubt(home: Path) -> None:
    found = json.loads(said(home, "--json"))
    assert found["pilot"] == "A. Pilot"
    first = found["measures"][0]
    assert {"word", "latest", "effects", "flights_to_show_count", "finding"} <= set(first)
    one = json.loads(said(home, "flown.slips", "--json"))
    assert len(one["flights"]) == COUNT
    assert one["steps"][0]["index"] == COUNT - 10


def test_parquet_has_one_row_for_each_value(home: Path, tmp_path: Path) -> None:
    said(home, "--parquet", tmp_path / "drift.parquet")
    frame = pl.read_parquet(tmp_path / "drift.parquet")
    assert frame.filter(pl.col("key") == "flown.slips").height == COUNT
    assert "wind, kt" in frame.columns


def test_own_marks_stand_beside_what_was_measured(home: Path) -> None:
    found = json.loads(said(home, "--marks", "--json"))
    assert found["phases"][0]["flight_count"] == COUNT
    assert found["chance_count"] == COUNT
    assert "you mark yourself" in said(home, "--marks")


def test_an_unknown_measure_is_refused_by_name(home: Path) -> None:
    result = CliRunner().invoke(app, ["drift", str(home), "flown.nothing"])
    assert result.exit_code == 1
    assert "flown.slips" in result.output


def test_what_a_pause_costs_is_pooled_where_others_share_the_store(
    home: Path, tmp_path: Path
) -> None:
    assert "Pooled" not in said(home, "flown.windy")
    other = tmp_path / "lubberline.db"
    shutil.copy(home / "lubberline.db", other)
    with closing(sqlite3.connect(other)) as base, base:
        base.execute("UPDATE flight SET pilot = 'B. Other' WHERE id % 3 = 0")
        base.execute(
            "UPDATE flight SET flown_utc = datetime(flown_utc, '+2 days') WHERE id % 4 = 0"
        )
        base.execute(
            "UPDATE flight SET flown_utc = strftime('%Y-%m-%d %H:%M:%S.000000', flown_utc)"
        )
    assert "Pooled with 1 more in this store" in " ".join(said(other, "flown.windy").split())
    one = json.loads(said(other, "flown.windy", "--pilot", "B. Other", "--json"))
    assert one["fading_shared"]["pilot_count"] == 2
    assert len(one["flights"]) == COUNT // 3

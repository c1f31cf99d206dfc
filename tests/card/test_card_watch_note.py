"""The watch note says what somebody on the ground needs, and nothing that was not arranged."""

import io
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import icalendar
import pytest
from pypdf import PdfReader
from typer.testing import CliRunner

from lubberline.card import WatchNote, flight_calendar, watch_note, watch_note_pdf
from lubberline.cli import commands  # noqa: F401 - registers the commands
from lubberline.cli.app import app
from lubberline.demo import write_folder
from lubberline.errors import BadFile, NoSolution
from lubberline.fit import fuel_plan, rules_of, times_utc
from lubberline.flight import Beacon, Watch, read_plan
from lubberline.loop import Prepared

WATCH = Watch(who="Ada", phone="1", call="the coast guard, 2", overdue_min=30.0, persons_count=1)


def note_of(prepared: Prepared, watch: Watch | None) -> WatchNote:
    flight = replace(prepared.plan.flight, watch=watch)
    return watch_note(replace(prepared.plan, flight=flight), prepared.way)


def test_nobody_who_watches_is_told(prepared: Prepared) -> None:
    with pytest.raises(NoSolution, match="names nobody who watches"):
        note_of(prepared, None)


@pytest.mark.parametrize(
    ("watch", "after_min"),
    [(WATCH, 30.0), (replace(WATCH, overdue_min=None), 30.0), (replace(WATCH, overdue_min=5), 5.0)],
)
def test_overdue_counts_from_the_arrival_on_the_block(
    prepared: Prepared, watch: Watch, after_min: float
) -> None:
    on_block_utc = times_utc(prepared.plan, prepared.way)[2]
    note = note_of(prepared, watch)
    assert note.overdue_utc == on_block_utc + timedelta(minutes=after_min)


def test_a_given_moment_is_taken_as_it_is(prepared: Prepared) -> None:
    overdue_utc = datetime(2026, 11, 26, 0, 15, tzinfo=UTC)
    note = note_of(prepared, replace(WATCH, overdue_utc=overdue_utc, zone="America/Anchorage"))
    assert note.overdue == (
        "If you have not heard from the pilot by 15:15 on 25 November (00:15 UTC):"
    )


def test_everything_that_was_named_is_said(prepared: Prepared) -> None:
    text = note_of(prepared, replace(WATCH, survival=("life vest", "raft"))).text()
    plan = prepared.plan
    for said in (
        *("Ada (1)", "the coast guard, 2", "life vest, raft", "One person aboard"),
        *(plan.aircraft.call_sign, plan.aircraft.type_name, plan.aircraft.colors),
        *(plan.pilot.name, plan.departure.name, plan.destination.name, prepared.way.name),
        *(leg.to_name for leg in prepared.way.legs if leg.to_name),
        "Planning aid only.",
    ):
        assert said in text, said


def test_times_places_and_heights_are_those_of_the_way(prepared: Prepared) -> None:
    rows = {row.label: row.text for row in note_of(prepared, WATCH).route}
    takeoff_utc = times_utc(prepared.plan, prepared.way)[0]
    way = prepared.way
    for name, (lat_deg, lon_deg, msl_ft, at_min) in zip(way.point_names, way.path, strict=True):
        if not name:
            continue
        clock, place, height = rows[name].split(", ")
        moment = takeoff_utc + timedelta(minutes=float(at_min), seconds=30)
        assert clock == f"{moment:%H:%M}"
        north, west = place.split()
        assert angle_deg(north, "N") == pytest.approx(lat_deg, abs=0.05 / 60 + 1e-9)
        assert angle_deg(west, "W") == pytest.approx(-lon_deg, abs=0.05 / 60 + 1e-9)
        assert float(height.removesuffix(" ft").replace(",", "")) == pytest.approx(msl_ft, abs=50)


def angle_deg(text: str, sign: str) -> float:
    assert text.endswith(sign)
    whole, minutes = text[: -len(sign)].rstrip("'").split("°")
    return int(whole) + float(minutes) / 60.0


def test_the_fuel_is_that_of_the_plan(prepared: Prepared) -> None:
    lasts_min = fuel_plan(prepared.plan, prepared.way, rules_of(prepared.plan)).endurance_min
    assert lasts_min is not None
    fuel = next(row.text for row in note_of(prepared, WATCH).facts if row.label == "fuel")
    assert fuel == f"for {int(lasts_min) // 60} h {int(lasts_min) % 60:02d} min from take-off"


@pytest.mark.parametrize(
    ("beacons", "fact", "watcher", "gap"),
    [
        (None, "not on file", None, ""),
        ((), "none", "no beacon", "looked for by eye"),
        (
            (Beacon(kind="ELT 406 MHz", registered=False),),
            *("ELT 406 MHz, NOT registered", "beacon, ELT 406 MHz", "nobody knows whose it is"),
        ),
        (
            (Beacon(kind="ELT 121.5 MHz", registered=True, battery_until=date(2029, 6, 30)),),
            "ELT 121.5 MHz, registered, battery until 2029-06-30",
            *("beacon, ELT 121.5 MHz; battery good until 2029-06-30", "no satellite hears it"),
        ),
        (
            (Beacon(kind="personal 406 MHz"),),
            "personal 406 MHz, registration not on file",
            *("beacon, personal 406 MHz", "a hand must switch it on"),
        ),
    ],
)
def test_a_beacon_is_told_with_what_it_does_not_give(
    prepared: Prepared,
    beacons: tuple[Beacon, ...] | None,
    fact: str,
    watcher: str | None,
    gap: str,
) -> None:
    note = note_of(prepared, replace(WATCH, beacons=beacons))
    assert {row.label: row.text for row in note.facts}["beacon"] == fact
    gaps = {one.what: one.gap for one in note.watchers}
    if watcher is None:
        assert not any("beacon" in what for what in gaps)
    else:
        assert gap in gaps[watcher]


def test_the_paper_says_what_the_text_says(prepared: Prepared) -> None:
    note = note_of(prepared, replace(WATCH, who="Žofie " + "x" * 70, beacons=()))
    (page,) = PdfReader(io.BytesIO(watch_note_pdf(note))).pages
    printed = "".join(page.extract_text().split())
    rows = [part for row in (*note.facts, *note.route) for part in (row.label, row.text)]
    cells = [part for one in note.watchers for part in (one.what, one.gives, one.gap)]
    for said in (note.title, note.overdue, note.say, *note.steps, *rows, *cells):
        assert "".join(said.split()) in printed, said


def test_the_calendar_rings_when_the_flight_is_overdue(prepared: Prepared) -> None:
    note = note_of(prepared, WATCH)
    made_utc = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
    text = flight_calendar(prepared.plan, prepared.way, note, made_utc=made_utc)
    (event,) = icalendar.Calendar.from_ical(text).walk("VEVENT")
    (alarm,) = event.walk("VALARM")
    assert event.decoded("dtstart") == prepared.plan.flight.off_block_utc
    on_block_utc = times_utc(prepared.plan, prepared.way)[2]
    assert abs(event.decoded("dtend") - on_block_utc) <= timedelta(seconds=0.5)
    assert abs(alarm.decoded("trigger") - note.overdue_utc) <= timedelta(seconds=0.5)
    assert b"TRIGGER;VALUE=DATE-TIME:" in text  # RFC 5545, 3.8.6.3: a span of time without it
    assert all(len(line) <= 75 for line in text.split(b"\r\n"))  # RFC 5545, 3.1


def test_the_command_writes_three_files(tmp_path: Path) -> None:
    folder = write_folder(tmp_path / "folder")
    done = CliRunner().invoke(app, ["watch", str(folder)])
    assert done.exit_code == 0, done.output
    assert "If you have not heard from the pilot by" in done.output
    for name in ("watch-note.pdf", "watch-note.txt", "flight.ics"):
        assert (folder / name).stat().st_size > 500


def test_a_zone_that_is_none_is_refused(tmp_path: Path) -> None:
    folder = write_folder(tmp_path / "folder")
    path = folder / "flight.toml"
    text = path.read_text(encoding="utf-8").replace("America/Anchorage", "Nowhere/Land")
    path.write_text(text, encoding="utf-8")
    with pytest.raises(BadFile, match=r"watch\.zone: found 'Nowhere/Land'"):
        read_plan(path)

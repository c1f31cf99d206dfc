"""Printing makes a pledge and its card, together or not at all; old ones stay."""

import hashlib
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
import typst
from pypdf import PdfReader

from lubberline import card, loop
from lubberline.demo import write_folder
from lubberline.errors import BadFile
from lubberline.fit import open_findings
from lubberline.flight import latest_pledge, read_pledge
from lubberline.loop import Prepared

PRINTED = datetime(2026, 11, 25, 19, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def starter(tmp_path_factory: pytest.TempPathFactory) -> Prepared:
    return loop.prepare(write_folder(tmp_path_factory.mktemp("card") / "folder"), None)


@pytest.fixture
def prepared(starter: Prepared, tmp_path: Path) -> Prepared:
    """The starter's flight with an empty folder to print to."""
    folder = tmp_path / "home" / "flight"
    folder.mkdir(parents=True)
    (folder.parent / "pilot.toml").touch()
    return replace(starter, plan=replace(starter.plan, folder=folder))


def test_the_pledge_reads_back_as_it_was_printed(prepared: Prepared) -> None:
    printed = loop.print_card(prepared, png=False, printed_utc=PRINTED)
    assert read_pledge(printed.pledge_path) == printed.pledge
    assert printed.pledge_path.read_bytes() == printed.pledge.canonical()
    assert printed.pledge.sha256[:12] in printed.card_path.name


def test_the_pledge_has_the_plan_s_times_and_fuel(prepared: Prepared) -> None:
    pledge = loop.print_card(prepared, png=False, printed_utc=PRINTED).pledge
    plan, way = prepared.plan, prepared.way
    assert pledge.takeoff_utc == plan.flight.off_block_utc + timedelta(minutes=8)
    in_air = (pledge.landing_utc - pledge.takeoff_utc) / timedelta(minutes=1)
    assert in_air == pytest.approx(way.time_min + plan.flight.pattern_min, abs=1 / 60)
    start_gal = sum(plan.flight.fuel_gal.values()) - plan.aircraft.taxi_gal
    pattern_gal = plan.flight.pattern_min / 60.0 * plan.aircraft.descent_gph
    left_gal = start_gal - way.fuel_gal - pattern_gal
    assert pledge.points[-1].fuel_left_gal == pytest.approx(left_gal, abs=0.01)
    assert len(pledge.findings) == len(open_findings(prepared.findings))
    assert not any(one["key"].startswith("pilot.self_") for one in pledge.findings)


def test_printing_later_makes_a_new_pledge_and_keeps_the_old(prepared: Prepared) -> None:
    first = loop.print_card(prepared, png=False, printed_utc=PRINTED)
    later = loop.print_card(prepared, png=False, printed_utc=PRINTED + timedelta(minutes=5))
    assert first.pledge.sha256 != later.pledge.sha256
    assert first.card_path.exists()
    latest = latest_pledge(prepared.plan.folder)
    assert latest is not None
    assert latest[1] == later.pledge


def test_the_same_numbers_at_the_same_time_are_the_same_pledge(prepared: Prepared) -> None:
    once = loop.print_card(prepared, png=False, printed_utc=PRINTED)
    again = loop.print_card(prepared, png=False, printed_utc=PRINTED)
    assert once.pledge_path == again.pledge_path


def test_one_changed_byte_is_refused(prepared: Prepared) -> None:
    path = loop.print_card(prepared, png=False, printed_utc=PRINTED).pledge_path
    path.write_bytes(path.read_bytes().replace(b'"cruise_msl_ft":', b'"cruise_msl_ft": ', 1))
    with pytest.raises(BadFile, match="a changed pledge"):
        read_pledge(path)


@pytest.mark.parametrize("content", [b"", b"{}", b"[1]", b"\xff\xfe", b'{"schema_version":99}'])
def test_what_is_no_pledge_is_refused(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "pledge-x.json"
    path.write_bytes(content)
    with pytest.raises(BadFile):
        read_pledge(path)


def test_a_flight_without_a_card_has_no_pledge(prepared: Prepared) -> None:
    assert latest_pledge(prepared.plan.folder) is None


def test_a_template_that_fails_leaves_nothing_behind(prepared: Prepared, tmp_path: Path) -> None:
    broken = tmp_path / "broken.typ"
    broken.write_text("#panic()", encoding="utf-8")
    folder = tmp_path / "cards"
    with pytest.raises(typst.TypstError):
        card.print_card(
            prepared.plan,
            prepared.way,
            prepared.findings,
            folder=folder,
            printed_utc=PRINTED,
            template=broken,
        )
    assert not folder.exists()


def test_what_cannot_be_written_leaves_no_part_of_it(prepared: Prepared, tmp_path: Path) -> None:
    printed = loop.print_card(prepared, png=False, printed_utc=PRINTED)
    folder = tmp_path / "cards"
    (folder / printed.pledge_path.name).mkdir(parents=True)  # a directory where the pledge goes
    with pytest.raises(OSError, match=printed.pledge_path.name):
        card.print_card(
            prepared.plan, prepared.way, prepared.findings, folder=folder, printed_utc=PRINTED
        )
    assert {path.name for path in folder.iterdir()} == {
        printed.card_path.name,
        printed.pledge_path.name,
    }


def test_card_and_pledge_are_readable_as_other_files_are(prepared: Prepared) -> None:
    printed = loop.print_card(prepared, png=True, printed_utc=PRINTED)
    (prepared.plan.folder / "note.txt").write_text("x", encoding="utf-8")
    usual = (prepared.plan.folder / "note.txt").stat().st_mode
    assert printed.png_path is not None
    for path in (printed.card_path, printed.pledge_path, printed.png_path):
        assert path.stat().st_mode == usual


def test_the_card_carries_the_pledge_that_its_files_are_named_after(prepared: Prepared) -> None:
    printed = loop.print_card(prepared, png=False, printed_utc=PRINTED)
    assert printed.pledge_path.name == printed.pledge.file_name
    text = PdfReader(printed.card_path).pages[0].extract_text()
    assert f"pledge {printed.pledge.short_sha256}" in text


def test_the_files_that_the_numbers_came_from_are_hashed(prepared: Prepared) -> None:
    hashes = loop.print_card(prepared, png=False, printed_utc=PRINTED).pledge.inputs_sha256
    names = {name.rpartition("/")[2] for name in hashes}
    assert {"flight.toml", "heron.toml", "pilot.toml", "region.toml", "weather.txt"} <= names
    for path in prepared.plan.inputs:
        content = hashlib.sha256(path.read_bytes()).hexdigest()
        assert hashes[f"{path.parent.name}/{path.name}"] == content

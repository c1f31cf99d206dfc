"""A plan becomes the flight plan form, and what changes becomes its amendments."""

import io
import json
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from pypdf import PdfReader
from typer.testing import CliRunner

from lubberline.card import (
    BadMessage,
    FlightPlanForm,
    cancellation,
    change,
    delay,
    filed_plan,
    filing_pdf,
    flight_plan_form,
    form_of_record,
    form_record,
)
from lubberline.cli import commands  # noqa: F401 - registers the commands
from lubberline.cli.app import app
from lubberline.demo import write_folder
from lubberline.errors import NoSolution
from lubberline.fit import fuel_plan, rules_of
from lubberline.flight import Filing
from lubberline.loop import Prepared

FILING = Filing(equipment="SG", surveillance="C", radios="VE")


def form_of(prepared: Prepared, filing: Filing | None = FILING) -> FlightPlanForm:
    plan = prepared.plan
    plan = replace(plan, flight=replace(plan.flight, filing=filing))
    return flight_plan_form(plan, prepared.way)


def test_every_number_is_that_of_the_plan(prepared: Prepared) -> None:
    form, plan, way = form_of(prepared), prepared.plan, prepared.way
    assert form.off_block_utc == plan.flight.off_block_utc
    assert form.elapsed_min == pytest.approx(way.time_min + plan.flight.pattern_min)
    cruise = [leg.tas_kt for leg in way.legs if leg.phase == "cruise"]
    assert form.true_airspeed_kt == pytest.approx(max(cruise))
    assert form.supplement is not None
    lasts_min = fuel_plan(plan, way, rules_of(plan)).endurance_min
    assert form.supplement.endurance_min == lasts_min
    assert form.alternates == ("QSDG",)


def test_the_route_is_the_turning_points(prepared: Prepared) -> None:
    way = prepared.way
    turns = [n for n in way.point_names[1:-1] if n and n not in ("top of climb", "start down")]
    assert len(form_of(prepared).route) == len(turns)
    assert filed_plan(form_of(prepared)).count(" DCT") == len(turns) + 1


def test_letters_that_the_form_lacks_are_written_without_their_marks(prepared: Prepared) -> None:
    plan = replace(prepared.plan, pilot=replace(prepared.plan.pilot, name="Žofie Bjørk-Weiß"))
    plan = replace(plan, flight=replace(plan.flight, filing=FILING))
    form = flight_plan_form(plan, prepared.way)
    assert form.supplement is not None
    assert form.supplement.pilot == "ZOFIE BJORK WEISS"
    assert filed_plan(form)


def test_what_is_not_known_is_not_filed(prepared: Prepared) -> None:
    with pytest.raises(NoSolution, match="does not say what to file"):
        form_of(prepared, None)
    dry = replace(prepared.plan.aircraft, tables={})
    with pytest.raises(NoSolution, match="how long the fuel lasts is not known"):
        form_of(replace(prepared, plan=replace(prepared.plan, aircraft=dry)))


def test_a_code_that_the_form_does_not_have_is_refused(prepared: Prepared) -> None:
    with pytest.raises(BadMessage, match="item 19, J"):
        filed_plan(form_of(prepared, replace(FILING, jackets="X")))


def test_a_kept_form_reads_back(prepared: Prepared) -> None:
    form = form_of(prepared)
    assert form_of_record(json.dumps(form_record(form))) == form


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"route": 1}', "null"])
def test_what_was_not_kept_is_refused(text: str) -> None:
    with pytest.raises(BadMessage, match="cannot be read"):
        form_of_record(text)


def test_the_paper_shows_every_item_and_the_message(prepared: Prepared) -> None:
    form = form_of(prepared)
    later = replace(form, equipment="SDG")
    for message in (
        filed_plan(form),
        delay(form, form.off_block_utc + timedelta(minutes=30)),
        cancellation(form),
        change(form, later),
    ):
        check_paper(message)


def check_paper(message: str) -> None:
    (page,) = PdfReader(io.BytesIO(filing_pdf(message))).pages
    printed = "".join(page.extract_text().split())
    assert "".join(message.split()) in printed
    for item in message.strip("()").split("-")[1:]:
        assert printed.count("".join(item.split())) >= 2, item


@pytest.fixture
def flight(tmp_path: Path) -> Path:
    return write_folder(tmp_path / "folder")


def run(*words: object) -> tuple[int, str]:
    done = CliRunner().invoke(app, ["filing", *(f"{word}" for word in words)])
    return done.exit_code, " ".join(done.output.split())


def test_a_plan_is_given_out_changed_delayed_and_withdrawn(flight: Path) -> None:
    code, said = run(flight)
    assert code == 0
    assert said.startswith("(FPL-QHRN-VG-ZZZZ/L-SG/C-QWRN2040-")
    assert "Not filed" in said
    assert (flight / "flight-plan.pdf").stat().st_size > 1_000
    path = flight / "flight.toml"
    text = path.read_text(encoding="utf-8").replace('equipment = "SG"', 'equipment = "SDG"')
    path.write_text(text, encoding="utf-8")
    assert run(flight, "--change")[1].startswith("(CHG-QHRN-QWRN2040-QMRL-DOF/261125-10/SDG/C)")
    assert run(flight, "--delay", "2026-11-25T21:05")[1].startswith("(DLA-QHRN-QWRN2105-QMRL-")
    assert run(flight, "--cancel")[1].startswith("(CNL-QHRN-QWRN2040-QMRL-DOF/261125)")
    assert json.loads(run(flight, "--json")[1])["kind"] == "FPL"


def test_nothing_can_be_changed_that_was_not_given_out(flight: Path) -> None:
    for words in (("--change",), ("--cancel",), ("--delay", "2026-11-25T21:05")):
        code, said = run(flight, *words)
        assert code == 1
        assert "has no flight plan yet" in said


def test_one_amendment_at_a_time(flight: Path) -> None:
    assert run(flight, "--change", "--cancel")[0] == 2

"""What holds for all findings of a check together: keys, sources, order, and the page on them."""

import re
from math import isfinite
from pathlib import Path

import pytest
from fit_cases import with_aircraft, with_flight, with_weather

from lubberline.fit import check_fit
from lubberline.flight import Plan
from lubberline.line import Verdict
from lubberline.loop import Prepared

PAGE = Path(__file__).parents[2] / "docs" / "science" / "fit.md"


def variants(plan: Plan) -> dict[str, Plan]:
    """The demo's flight, and some that ask for more rules or know less."""
    night_utc = plan.flight.off_block_utc.replace(hour=6)
    return {
        "demo": plan,
        "no weather": with_weather(plan, ""),
        "garbled weather": with_weather(plan, "METAR QMRL 252045Z 28012KT 10SM QQQ99="),
        "no tables": with_aircraft(plan, tables={}),
        "at night with persons": with_flight(
            plan, off_block_utc=night_utc, arrive_by_utc=None, carries_persons=True, hire=None
        ),
        "instruction": with_flight(plan, hire="instruction", carries_persons=True),
        "overloaded": with_flight(plan, load_lb={"front": 900.0, "rear": 900.0, "baggage": 300.0}),
    }


@pytest.fixture(
    params=[
        "demo",
        "no weather",
        "garbled weather",
        "no tables",
        "at night with persons",
        "instruction",
        "overloaded",
    ]
)
def plan(request: pytest.FixtureRequest, prepared: Prepared) -> Plan:
    return variants(prepared.plan)[request.param]


def test_no_two_findings_have_the_same_key(plan: Plan, prepared: Prepared) -> None:
    for way in prepared.ways:
        keys = [one.limit.key for one in check_fit(plan, way)]
        assert sorted(keys) == sorted(set(keys))


def test_each_finding_has_a_source_a_finite_value_or_what_is_missing(
    plan: Plan, prepared: Prepared
) -> None:
    for one in check_fit(plan, prepared.way):
        assert one.limit.source.strip(), one.limit.key
        assert one.limit.label.strip(), one.limit.key
        assert one.value is None or isfinite(one.value), one.limit.key
        assert one.verdict is not Verdict.UNKNOWN or one.missing, one.limit.key


def test_the_same_flight_gets_the_same_findings(plan: Plan, prepared: Prepared) -> None:
    assert check_fit(plan, prepared.way) == check_fit(plan, prepared.way)


def test_a_law_names_its_section_and_when_it_was_read(plan: Plan, prepared: Prepared) -> None:
    for one in check_fit(plan, prepared.way):
        if one.limit.basis == "law":
            assert re.search(r"14 CFR \d+|memory", one.limit.source), one.limit.key
            assert re.search(r"read 20\d\d|memory", one.limit.source), one.limit.source


def test_the_page_of_this_room_tells_every_finding_of_the_flight(
    plan: Plan, prepared: Prepared
) -> None:
    page = PAGE.read_text(encoding="utf-8")
    for one in check_fit(plan, prepared.way):
        if one.limit.group == "flight":
            name = one.limit.key.removeprefix("flight.")
            name = re.sub(r"_(departure|destination|alternate_[A-Z0-9]+)$", "_PLACE", name)
            name = re.sub(r"^divert_[A-Z0-9]+$", "divert_NAME", name)
            name = re.sub(r"^beacon_\d+$", "beacon_N", name)
            assert f"`{name}`" in page, name

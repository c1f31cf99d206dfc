"""The section of ways tells what the terminal tells, by subject, and the calls."""

import pytest

from lubberline.loop import Prepared, account_words, way_account
from lubberline.page import make_report
from lubberline.page.view import WayView


@pytest.fixture(scope="module")
def view(prepared: Prepared) -> WayView:
    return make_report(prepared).ways[1]


def test_every_subject_of_the_account_is_on_the_page(prepared: Prepared, view: WayView) -> None:
    told = account_words(way_account(prepared, prepared.ways[1]))
    shown = {one.name: one.sentences for one in (*view.subjects, *view.details)}
    assert {name: shown[name] for name, _ in told} == dict(told)
    assert "Who lets you in" in [one.name for one in view.subjects]


def test_the_calls_stand_at_the_end_with_their_phrases(view: WayView) -> None:
    calls = view.details[-1]
    assert calls.name == "Calls"
    assert any("Sedge Tower 119.550, then set 118.600" in words for words in calls.sentences)
    assert any("transponder 7600" in words for words in calls.sentences)


def test_ways_stand_side_by_side_with_units(view: WayView) -> None:
    minutes, fuel, distance, height, cost, on_block, chance = view.row
    assert (minutes, fuel, distance, height) == ("21 min", "3.7 gal", "54.5 NM", "2,500 ft")
    assert cost.endswith(" USD")
    assert on_block.endswith("Z")
    assert chance == "over 99 %"
    assert (view.needs, view.verdict) == ("marl-tower, sedge-tower", "close")


def test_what_tells_a_way_apart_stands_before_all_of_it(view: WayView) -> None:
    assert view.short[0] == "asks for marl-tower, sedge-tower; speaks to Sedge Tower → Marl Tower"
    assert "beyond a glide to land" in view.short[1]

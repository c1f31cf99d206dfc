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
    assert [(one.name, one.sentences) for one in view.subjects[:-1]] == list(told)


def test_the_calls_stand_at_the_end_with_their_phrases(view: WayView) -> None:
    calls = view.subjects[-1]
    assert calls.name == "Calls"
    assert any("Sedge Tower 119.550, then set 118.600" in words for words in calls.sentences)
    assert any("transponder 7600" in words for words in calls.sentences)


def test_what_tells_a_way_apart_stands_before_all_of_it(view: WayView) -> None:
    assert view.short[0] == "asks for marl-tower, sedge-tower; speaks to Sedge Tower → Marl Tower"
    assert "beyond a glide to land" in view.short[1]

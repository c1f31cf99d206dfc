"""What a way says of itself beside its legs, put together from the rooms that know it."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from lubberline import loop
from lubberline.line import Verdict
from lubberline.loop import Prepared
from lubberline.ways import along_way
from lubberline.ways.demands import demands


def test_an_airplane_without_a_transponder_is_outside_on_a_way_that_asks_for_one(
    prepared: Prepared,
) -> None:
    aircraft = prepared.plan.aircraft
    bare = replace(aircraft.equipment, fitted=("radio",))
    lacking = replace(
        prepared, plan=replace(prepared.plan, aircraft=replace(aircraft, equipment=bare))
    )
    for one, verdict in ((prepared, Verdict.INSIDE), (lacking, Verdict.OUTSIDE)):
        told = loop.way_account(one, one.way)
        assert told.sky[0].verdict is verdict
        assert (told.worst.verdict is Verdict.OUTSIDE) == (verdict is Verdict.OUTSIDE)
        told_of = [words for words in loop.short_words(told) if "lacking: transponder" in words]
        assert bool(told_of) == (verdict is Verdict.OUTSIDE)


def test_the_way_down_begins_at_the_start_down_and_may_begin_later(prepared: Prepared) -> None:
    told = loop.way_account(prepared, prepared.way)
    down, latest_min = told.down, told.latest_down_min
    assert down is not None
    assert latest_min is not None
    name = prepared.way.point_names.index("start down")
    assert down.from_min == pytest.approx(prepared.way.path[name, 3])
    assert down.from_min < latest_min < down.until_min
    power = prepared.plan.aircraft.power_down
    assert power is not None
    most_fpm = power.most_fpm or 2.0 * down.late_fpm(0.0)
    assert down.late_fpm(latest_min - down.from_min) == pytest.approx(most_fpm)
    assert len(told.down_where) == 2
    steps = np.array([one.value for one in told.power])
    assert (np.abs(np.diff(steps)) <= power.step + 1e-9).all()
    assert told.power[-1].after_min <= down.until_min


def test_heights_to_keep_follow_each_other_over_the_whole_way(prepared: Prepared) -> None:
    for way in prepared.ways:
        told = loop.way_account(prepared, way).stretches
        assert [one.from_nm for one in told[1:]] == [one.to_nm for one in told[:-1]]
        assert told[-1].to_nm == pytest.approx(way.distance_nm, rel=1e-3)
        assert told[-1].to_min == pytest.approx(way.time_min)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({}, "nothing needed"),
        ({"airspace_class": "V"}, "transponder and ADS-B Out needed"),
        (
            {"airspace_class": "M", "facility": "Range control", "frequency_mhz": 133.1},
            "nothing needed; advice from Range control 133.100",
        ),
    ],
)
def test_what_needs_no_word_says_what_it_needs_and_who_advises(
    prepared: Prepared, changes: dict[str, Any], words: str
) -> None:
    places = prepared.plan.places
    way = prepared.way
    met = tuple(
        replace(one, volume=replace(one.volume, **changes)) if one.needs == "nothing" else one
        for one in way.encounters
    )
    told = loop.way_account(prepared, way)
    free = demands(places, along_way(replace(way, encounters=met), prepared.plan.terrain))
    sentences = dict(loop.account_words(replace(told, demands=free)))["Who lets you in"]
    assert sentences[0].startswith("Wren Island (")
    assert sentences[0].endswith(words)

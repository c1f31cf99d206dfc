"""Three sentences that say no more than the findings, and the row of the logbook."""

import re
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from flown_flights import NO_PLACES, aerodrome, cross_country, places_with, recorded

from lubberline.flown import Flown, debrief, logbook_row, read_standard, three_sentences
from lubberline.flown.logbook import logbook_words
from lubberline.flown.summary import ADVICE
from lubberline.line import Finding, Limit

STANDARDS = Path(__file__).parents[2] / "src" / "lubberline" / "demo" / "files" / "standards"
PRIVATE = read_standard(STANDARDS / "private.toml")
TRACE = cross_country(cruise_s=300.0).trace()


def finding(key: str, value: float | None, where: str = "") -> Finding:
    limit = Limit(
        key=f"flown.{key}",
        label=key.replace("_", " "),
        unit="ft",
        basis="standard",
        source="s",
        low=-100,
        high=100,
        target=0.0,
    )
    missing = "" if value is not None else "a longer recording"
    return Finding(limit=limit, value=value, sigma=1.0, where=where, missing=missing)


def test_each_sentence_points_at_its_finding() -> None:
    findings = [
        finding("course_worst", 5.0),
        finding("cruise_height_worst", -160.0, "20:04:30Z at 41.0 N 131.0 W"),
        finding("approach_airspeed", 99.5),
    ]
    best, cost, following = three_sentences(findings)
    assert (best.key, cost.key) == ("flown.course_worst", "flown.cruise_height_worst")
    assert "-160 ft (-100 to 100, 20:04:30Z)" in cost.text
    assert following.key == cost.key
    assert "trim" in following.text


def test_a_close_call_costs_where_nothing_is_outside() -> None:
    cost = three_sentences([finding("course_worst", 0.0), finding("touchdown", 99.0)])[1]
    assert cost.key == "flown.touchdown"


def test_what_the_manual_forbids_costs_more_than_a_tolerance() -> None:
    hot = finding("engine_cht", 101.0)
    hot = replace(hot, limit=replace(hot.limit, basis="manual"))
    _, cost, following = three_sentences([finding("course_worst", 180.0), hot])
    assert cost.key == "flown.engine_cht"
    assert "richer" in following.text


def test_a_late_arrival_is_not_named_after_a_late_take_off() -> None:
    late = [finding("arrival_time", 190.0), finding("takeoff_time", 180.0)]
    cost, following = three_sentences(late)[1:]
    assert cost.key == "flown.takeoff_time"
    assert "count back" in following.text


def test_whatever_is_measured_has_an_advice() -> None:
    """A sentence that only repeats the limit helps nobody."""
    named = set()
    for path in (STANDARDS.parents[2] / "flown").glob("*.py"):
        text = path.read_text(encoding="utf-8")
        named |= set(re.findall(r'(?:Gauge|Measure)\(\s*name="([a-z_]+)"', text))
    assert len(named) > 40
    assert not {one for one in named if not one.startswith(tuple(start for start, _ in ADVICE))}


def test_to_be_on_time_and_clear_is_no_skill() -> None:
    findings = [finding("takeoff_time", 0.0), finding("airspace.X", 0.0)]
    assert three_sentences(findings)[0].key == ""


def test_what_is_not_known_is_not_praised_and_asks_for_what_supplies_it() -> None:
    best, cost, following = three_sentences([finding("course_worst", None)])
    assert "nothing" in best.text
    assert "nothing could be measured" in cost.text
    assert "a longer recording" in following.text


def test_where_all_is_well_nothing_is_invented() -> None:
    _, cost, following = three_sentences([finding("course_worst", 0.0)])
    assert "nothing known is outside" in cost.text
    assert "own.toml" in following.text


def judged(places: bool = True) -> Flown:
    fields = ()
    if places:
        at_start, at_end = TRACE.marks["take-off"][0], TRACE.marks["landing"][0]
        spots = []
        for name, moment_s in (("QAAA", at_start), ("QBBB", at_end)):
            k = int(abs(TRACE.time_s - moment_s).argmin())
            spots.append(aerodrome(name, float(TRACE.east_nm[k]), float(TRACE.north_nm[k])))
        fields = tuple(spots)  # type: ignore[assignment]
    known = places_with(*fields) if fields else NO_PLACES
    return debrief(recorded(TRACE), places=known, pledge=None, standard=PRIVATE)


def test_the_row_holds_times_and_landings() -> None:
    row = logbook_row(judged())
    assert row is not None
    assert (row.from_id, row.to_id) == ("QAAA", "QBBB")
    flown_min = (TRACE.marks["landing"][0] - TRACE.marks["take-off"][0]) / 60.0
    block_min = (TRACE.marks["on block"][0] - TRACE.marks["off block"][0]) / 60.0
    assert row.air_min == pytest.approx(flown_min, abs=0.1)
    assert row.block_min == pytest.approx(block_min, abs=0.7)
    assert (row.takeoffs_count, row.landings_day_count + row.landings_night_count) == (1, 1)
    assert row.cross_country_min == row.block_min
    assert row.far is False
    assert "QAAA to QBBB" in logbook_words(row)


@pytest.mark.parametrize(
    ("hour_utc", "at_night", "night"),
    # At 41 N 131 W on 4 June the sun sets near 0411 UTC, civil dusk is near 0444.
    [(21, 0, False), (5, 0, True), (7, 1, True)],
)
def test_night_flight_and_night_landings_have_rules_of_their_own(
    hour_utc: int, at_night: int, night: bool
) -> None:
    flown = judged(places=False)
    last = flown.movements[-1].time_s
    wanted = datetime(2026, 6, 5, hour_utc, 5, tzinfo=UTC).timestamp()
    moved = tuple(replace(one, time_s=one.time_s + wanted - last) for one in flown.movements)
    track = replace(flown.track, time_s=flown.track.time_s + wanted - last)
    row = logbook_row(replace(flown, movements=moved, track=track))
    assert row is not None
    assert row.landings_night_count == at_night
    assert row.night_min is not None
    assert (row.night_min > 0.0) == night


def test_without_both_ends_times_are_not_known() -> None:
    flown = judged(places=False)
    row = logbook_row(replace(flown, movements=flown.movements[1:]))
    assert row is not None
    assert row.air_min is None
    assert row.cross_country_min is None
    assert "not known" in logbook_words(row)
    assert logbook_row(replace(flown, movements=())) is None

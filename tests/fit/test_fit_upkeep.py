"""Whether a flight runs past anything: both sides of every end, and what is not known."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import lubberline
from lubberline.aircraft import (
    Aircraft,
    Applies,
    Clocks,
    Directive,
    Done,
    Due,
    End,
    First,
    HourBound,
    Interval,
    Item,
    Kind,
    Upkeep,
    Use,
    read_aircraft,
)
from lubberline.fit.upkeep import Duty, Occasion, duty_finding, duty_findings
from lubberline.fit.us.upkeep import duties
from lubberline.line import Finding, Verdict

HERON = Path(lubberline.__file__).parent / "demo" / "files" / "aircraft" / "heron.toml"
TODAY = date(2026, 11, 25)
READ = Clocks(on=TODAY, tach_h=2_000.0, hobbs_h=2_400.0, in_service_h=2_000.0, cycles=4_000)
ONE_HOUR = Use(tach_h=1.2, hobbs_h=1.2, in_service_h=1.0, cycles=1)
Judge = Callable[..., Finding]


@pytest.fixture(scope="module")
def plane() -> Aircraft:
    """The demo's airplane with no logbooks at all."""
    return replace(read_aircraft(HERON), upkeep=Upkeep(), directives=(), clocks=READ, serials={})


@pytest.fixture
def judge(plane: Aircraft) -> Judge:
    """The finding of one key on a day, for one hour of flight."""

    def judged(
        key: str,
        *items: Item,
        day: date = TODAY,
        clocks: Clocks = READ,
        use: Use = ONE_HOUR,
        directive: Directive | None = None,
        **upkeep: date | float,
    ) -> Finding:
        aircraft = replace(
            plane,
            clocks=clocks,
            upkeep=Upkeep(items=items, **upkeep),  # type: ignore[arg-type]
            directives=(directive,) if directive else (),
        )
        occasion = Occasion(day=day, clocks=clocks, use=use)
        found = {duty.key: duty_finding(duty, occasion) for duty in duties(aircraft, None)}
        return found[key]

    return judged


def item(kind: Kind, **entries: object) -> Item:
    return Item(name=kind, kind=kind, label=kind, clock="tach", **entries)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("key", "entry", "done_on", "last_day"),
    [
        # 14 CFR 91.409(a)(1) and 91.207(d): 12 calendar months; 91.413(a): 24.
        ("airplane.annual", "annual_on", date(2025, 5, 20), date(2026, 5, 31)),
        ("airplane.elt", "elt_inspected_on", date(2025, 5, 20), date(2026, 5, 31)),
        ("airplane.transponder", "transponder_on", date(2024, 2, 29), date(2026, 2, 28)),
    ],
)
def test_an_inspection_is_good_through_the_last_day_of_its_month(
    judge: Judge, key: str, entry: str, done_on: date, last_day: date
) -> None:
    upkeep = {entry: done_on}
    assert judge(key, day=last_day, **upkeep).verdict is Verdict.INSIDE
    after = judge(key, day=last_day + timedelta(days=1), **upkeep)
    assert after.verdict is Verdict.OUTSIDE
    assert after.value == -1.0


@pytest.mark.parametrize(
    ("key", "entry"),
    [
        ("airplane.annual", "upkeep.annual_on"),
        ("airplane.transponder", "upkeep.transponder_on"),
        ("airplane.elt", "upkeep.elt_inspected_on"),
        ("airplane.elt_battery", "upkeep.elt_battery_"),
        ("airplane.registration", "kind 'registration'"),
        ("airplane.hundred_hour", "kind 'hundred-hour'"),
    ],
)
def test_what_is_not_on_file_is_unknown_and_names_its_entry(
    judge: Judge, key: str, entry: str
) -> None:
    found = judge(key)
    assert found.verdict is Verdict.UNKNOWN
    assert entry in found.missing


def test_the_static_test_is_told_but_not_asked_for(judge: Judge) -> None:
    # 14 CFR 91.411: instrument rules only.
    found = judge("airplane.altimeter_static")
    assert found.verdict is Verdict.INSIDE
    assert "not asked for" in found.limit.label


@pytest.mark.parametrize(
    ("used_h", "verdict"),
    [(0.0, Verdict.INSIDE), (1.0, Verdict.INSIDE), (1.01, Verdict.OUTSIDE)],
)
def test_a_battery_is_replaced_after_more_than_an_hour_of_use(
    judge: Judge, used_h: float, verdict: Verdict
) -> None:
    # 14 CFR 91.207(c)(1): more than 1 cumulative hour.
    found = judge(
        "airplane.elt_battery", elt_battery_until=date(2029, 6, 30), elt_battery_used_h=used_h
    )
    assert found.verdict is verdict


def test_a_battery_s_use_that_is_not_on_file_is_unknown(judge: Judge) -> None:
    found = judge("airplane.elt_battery", elt_battery_until=date(2029, 6, 30))
    assert found.verdict is Verdict.UNKNOWN
    assert "elt_battery_used_h" in found.missing


@pytest.mark.parametrize(
    ("day", "verdict"),
    [(date(2029, 6, 30), Verdict.INSIDE), (date(2029, 7, 1), Verdict.OUTSIDE)],
)
def test_a_battery_is_good_through_its_marked_day(
    judge: Judge, day: date, verdict: Verdict
) -> None:
    until = {"elt_battery_until": date(2029, 6, 30), "elt_battery_used_h": 0.0}
    assert judge("airplane.elt_battery", day=day, **until).verdict is verdict


@pytest.mark.parametrize(
    ("day", "verdict"),
    [(date(2028, 5, 31), Verdict.INSIDE), (date(2028, 6, 1), Verdict.OUTSIDE)],
)
def test_a_battery_is_good_for_half_of_its_useful_life(
    judge: Judge, day: date, verdict: Verdict
) -> None:
    # 14 CFR 91.207(c)(2): 50 percent. 60 months from 2025-12-01 are 1,826 days; 913 are half.
    battery = item(
        "elt-battery", last=Done(on=date(2025, 12, 1)), useful_life_months=60, used_h=0.0
    )
    assert date(2025, 12, 1) + timedelta(days=913) == date(2028, 6, 1)
    shorter = replace(battery, last=Done(on=date(2025, 11, 30)))
    assert judge("airplane.elt_battery", battery, day=date(2028, 6, 1)).verdict is Verdict.INSIDE
    assert judge("airplane.elt_battery", battery, day=date(2028, 6, 2)).verdict is Verdict.OUTSIDE
    assert judge("airplane.elt_battery", shorter, day=day).verdict is verdict


def oil(**entries: object) -> Item:
    return item("oil", every=Interval(h=50.0, months=4), **entries)


@pytest.mark.parametrize(
    ("last_h", "verdict"),
    # 1.2 h of tach on 2,000.0: due at 2,001.2 is reached exactly, 2,001.1 is run past.
    [(1_951.2, Verdict.INSIDE), (1_951.1, Verdict.OUTSIDE)],
)
def test_the_flight_s_own_hours_count(judge: Judge, last_h: float, verdict: Verdict) -> None:
    found = judge("airplane.item.oil", oil(last=Done(on=TODAY, h=last_h)))
    assert found.limit.unit == "h"
    assert found.verdict is verdict


@pytest.mark.parametrize(
    ("last_on", "verdict"),
    [(date(2026, 7, 25), Verdict.INSIDE), (date(2026, 7, 24), Verdict.OUTSIDE)],
)
def test_whichever_end_comes_first_counts(judge: Judge, last_on: date, verdict: Verdict) -> None:
    found = judge("airplane.item.oil", oil(last=Done(on=last_on, h=1_999.0)))
    assert found.limit.unit == "days"
    assert found.verdict is verdict
    assert "besides: due at 2,049.0 h tach; 2,000.0 h on 2026-11-25" in found.note


def test_each_clock_counts_its_own_hours(judge: Judge) -> None:
    by_hobbs = replace(oil(last=Done(on=TODAY, h=2_390.0)), clock="hobbs")
    assert judge("airplane.item.oil", by_hobbs).value == pytest.approx(38.8)
    in_service = replace(oil(last=Done(on=TODAY, h=1_990.0)), clock="in_service")
    assert judge("airplane.item.oil", in_service).value == pytest.approx(39.0)


@pytest.mark.parametrize(
    ("last_cycles", "verdict"), [(3_701, Verdict.INSIDE), (3_700, Verdict.OUTSIDE)]
)
def test_cycles_count_with_the_flight_s_own(
    judge: Judge, last_cycles: int, verdict: Verdict
) -> None:
    wheel = item("life-limited", every=Interval(cycles=300), last=Done(cycles=last_cycles))
    found = judge("airplane.item.life-limited", wheel)
    assert found.limit.unit == "cycles"
    assert found.verdict is verdict


def test_a_cycle_of_the_database_has_28_days_with_its_first(judge: Judge) -> None:
    # Consecutive AIRAC dates, from memory: 2026-10-29 and 2026-11-26.
    loaded = item("database", last=Done(on=date(2026, 10, 29)))
    assert judge("airplane.item.database", loaded, day=date(2026, 11, 25)).value == 0.0
    outside = judge("airplane.item.database", loaded, day=date(2026, 11, 26))
    assert outside.verdict is Verdict.OUTSIDE


def test_an_entry_of_after_the_flight_says_nothing_about_it(judge: Judge) -> None:
    found = judge("airplane.annual", annual_on=TODAY + timedelta(days=1))
    assert found.verdict is Verdict.UNKNOWN
    assert "the entry that stood on 2026-11-25" in found.missing


class TestHoursSinceTheReading:
    """The clocks were read three days ago; others may have flown."""

    day = TODAY + timedelta(days=3)

    def test_the_usual_week_is_taken_off_with_its_doubt(self, judge: Judge) -> None:
        clocks = replace(READ, weekly_h=7.0)
        found = judge(
            "airplane.item.oil", oil(last=Done(on=TODAY, h=1_960.0)), day=self.day, clocks=clocks
        )
        assert found.value == pytest.approx(10.0 - 1.2 - 3.0)
        assert found.sigma == pytest.approx(1.5)

    def test_doubt_that_reaches_the_end_is_close(self, judge: Judge) -> None:
        clocks = replace(READ, weekly_h=7.0)
        found = judge(
            "airplane.item.oil", oil(last=Done(on=TODAY, h=1_957.0)), day=self.day, clocks=clocks
        )
        assert found.verdict is Verdict.CLOSE

    @pytest.mark.parametrize(
        ("due_h", "verdict"),
        [
            # 1.2 h of this flight and 3 days of 24 h: 2,073.2 cannot be run past.
            (2_073.2, Verdict.INSIDE),
            (2_073.1, Verdict.UNKNOWN),
            (2_001.2, Verdict.UNKNOWN),
            (2_001.1, Verdict.OUTSIDE),
        ],
    )
    def test_without_it_only_what_could_not_be_flown_away_is_inside(
        self, judge: Judge, due_h: float, verdict: Verdict
    ) -> None:
        found = judge("airplane.item.oil", item("oil", until=End(h=due_h)), day=self.day)
        assert found.verdict is verdict
        if verdict is Verdict.UNKNOWN:
            assert found.missing == "clocks.tach_h read on the day, or clocks.weekly_h"

    def test_nobody_flies_it_says_a_week_of_no_hours(self, judge: Judge) -> None:
        clocks = replace(READ, weekly_h=0.0)
        found = judge(
            "airplane.item.oil", item("oil", until=End(h=2_001.2)), day=self.day, clocks=clocks
        )
        assert found.verdict is Verdict.INSIDE
        assert found.sigma == 0.0

    def test_cycles_without_a_usual_week_are_not_known(self, judge: Judge) -> None:
        found = judge("airplane.item.oil", item("oil", until=End(cycles=9_000)), day=self.day)
        assert found.verdict is Verdict.UNKNOWN
        assert "clocks.weekly_cycles" in found.missing

    def test_a_reading_of_after_the_flight_counts_as_long_as_it_is_inside(
        self, judge: Judge
    ) -> None:
        before = TODAY - timedelta(days=30)
        found = judge("airplane.item.oil", item("oil", until=End(h=2_010.0)), day=before)
        assert found.value == pytest.approx(8.8)
        past = judge("airplane.item.oil", item("oil", until=End(h=1_990.0)), day=before)
        assert past.verdict is Verdict.UNKNOWN
        assert past.missing == "clocks as they were on 2026-10-26"


def test_a_clock_that_was_not_read_is_named(judge: Judge) -> None:
    found = judge("airplane.item.oil", item("oil", until=End(h=2_010.0)), clocks=Clocks())
    assert found.missing == "clocks.tach_h in the aircraft file"


def directive(**changes: object) -> Directive:
    given = {"number": "Q-1", "subject": "invented", "effective_on": date(2026, 1, 5), **changes}
    return Directive(**given)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("tach_h", "verdict"),
    # "Inspect at 5,000 h": one hour in service from 4,999.0 reaches it, from 4,999.1 runs past.
    [(4_999.0, Verdict.INSIDE), (4_999.1, Verdict.OUTSIDE)],
)
def test_a_directive_at_five_thousand_hours_may_not_be_run_past(
    judge: Judge, tach_h: float, verdict: Verdict
) -> None:
    clocks = replace(READ, in_service_h=tach_h)
    one = directive(first=First(at=End(h=5_000.0)))
    found = judge("airplane.directive.Q-1", directive=one, clocks=clocks)
    assert found.verdict is verdict
    assert found.limit.low == 0.0


@pytest.mark.parametrize(
    ("day", "verdict"),
    [(date(2026, 1, 4), Verdict.INSIDE), (date(2026, 1, 5), Verdict.OUTSIDE)],
)
def test_a_directive_without_a_time_binds_from_its_day(
    judge: Judge, day: date, verdict: Verdict
) -> None:
    clocks = replace(READ, on=day)
    found = judge("airplane.directive.Q-1", directive=directive(), day=day, clocks=clocks)
    assert found.verdict is verdict


@pytest.mark.parametrize(
    ("in_service_h", "verdict"),
    # Within 100 h of 1,950.0, or at 5,000 h, whichever comes later: 5,000 h.
    [(2_500.0, Verdict.INSIDE), (4_999.0, Verdict.INSIDE), (4_999.5, Verdict.OUTSIDE)],
)
def test_of_two_ends_of_which_the_later_counts_one_may_be_past(
    judge: Judge, in_service_h: float, verdict: Verdict
) -> None:
    first = First(within=Interval(h=100.0), at=End(h=5_000.0), whichever="later")
    one = directive(first=first, effective_h=1_950.0)
    clocks = replace(READ, in_service_h=in_service_h)
    assert judge("airplane.directive.Q-1", directive=one, clocks=clocks).verdict is verdict


def test_the_later_of_an_end_past_and_one_not_known_is_unknown(judge: Judge) -> None:
    first = First(within=Interval(h=100.0), at=End(h=1_900.0), whichever="later")
    found = judge("airplane.directive.Q-1", directive=directive(first=first))
    assert found.verdict is Verdict.UNKNOWN
    assert "effective_h of directive Q-1" in found.missing


def test_a_directive_that_does_not_apply_is_inside_and_says_why(judge: Judge) -> None:
    one = directive(applies=Applies(only_with=("float kit",)))
    found = judge("airplane.directive.Q-1", directive=one)
    assert found.verdict is Verdict.INSIDE
    assert found.limit.label == "directive Q-1: does not apply"
    assert "it has no float kit" in found.note


def test_a_directive_that_may_apply_is_unknown(judge: Judge) -> None:
    one = directive(applies=Applies(serial_ranges=(("HR-1", "HR-2"),)))
    found = judge("airplane.directive.Q-1", directive=one)
    assert found.verdict is Verdict.UNKNOWN
    assert "serials.airframe" in found.missing


def test_a_closed_directive_shows_its_compliance(judge: Judge) -> None:
    entry = Done(on=date(2026, 2, 1), h=1_980.0, method="replaced", reference="log, page 3")
    found = judge("airplane.directive.Q-1", directive=directive(done=(entry,)))
    assert found.verdict is Verdict.INSIDE
    assert "done 2026-02-01 (replaced; log, page 3)" in found.note


@given(
    st.floats(0.0, 300.0),
    st.floats(0.0, 12.0),
    st.floats(0.0, 12.0),
    st.integers(0, 20),
    st.one_of(st.none(), st.floats(0.0, 168.0)),
)
def test_flying_longer_never_leaves_more(
    left_h: float, one_h: float, other_h: float, days: int, weekly_h: float | None
) -> None:
    """A longer flight is never judged better than a shorter one, known or not."""
    due = Due(bounds=(HourBound(clock="tach", at_h=2_000.0 + left_h, account="due"),))
    duty = Duty(key="airplane.x", label="x", basis="own", source="own", due=due)
    clocks = replace(READ, weekly_h=weekly_h)
    judged = [
        duty_finding(
            duty,
            Occasion(day=TODAY + timedelta(days=days), clocks=clocks, use=Use(tach_h=flown_h)),
        )
        for flown_h in sorted((one_h, other_h))
    ]
    better = {Verdict.OUTSIDE: 0, Verdict.UNKNOWN: 1, Verdict.CLOSE: 2, Verdict.INSIDE: 3}
    assert better[judged[0].verdict] >= better[judged[1].verdict]


def test_every_duty_of_the_demo_has_a_source_and_no_key_comes_twice() -> None:
    heron = read_aircraft(HERON)
    occasion = Occasion(day=TODAY, clocks=heron.clocks, use=ONE_HOUR)
    found = [duty_finding(duty, occasion) for duty in duties(heron, None)]
    keys = [one.limit.key for one in found]
    assert len(set(keys)) == len(keys)
    assert {one.verdict for one in found} == {Verdict.INSIDE}
    assert all(duty_findings(duty, occasion) for duty in duties(heron, None))

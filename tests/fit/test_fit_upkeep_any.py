"""Whatever a logbook holds, it is judged in words: nothing raises, nothing unknown is inside."""

from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

import lubberline
from lubberline.aircraft import (
    Alternative,
    Applies,
    Clocks,
    Directive,
    Done,
    End,
    First,
    Interval,
    Item,
    Upkeep,
    Use,
    read_aircraft,
)
from lubberline.cli.ics import calendar_bytes
from lubberline.fit import airplane_due
from lubberline.fit.operation import Operation
from lubberline.fit.upkeep import Occasion, duty_findings
from lubberline.fit.us import duties, upkeep_findings
from lubberline.line import Verdict

HERON = read_aircraft(
    Path(lubberline.__file__).parent / "demo" / "files" / "aircraft" / "heron.toml"
)


def maybe(strategy: st.SearchStrategy[object]) -> st.SearchStrategy[object]:
    return st.one_of(st.none(), strategy)


DAYS = st.dates(date(2015, 1, 1), date(2035, 1, 1))
HOURS = st.floats(0.0, 9_000.0)
COUNTS = st.integers(0, 20_000)
CLOCK = st.sampled_from(["tach", "hobbs", "in_service"])
INTERVALS = st.builds(
    Interval,
    days=maybe(st.integers(1, 900)),
    months=maybe(st.integers(1, 60)),
    calendar_months=maybe(st.integers(1, 60)),
    h=maybe(st.floats(1.0, 3_000.0)),
    cycles=maybe(st.integers(1, 5_000)),
)
ENDS = st.builds(End, on=maybe(DAYS), h=maybe(HOURS), cycles=maybe(COUNTS))
ENTRIES = st.builds(Done, on=maybe(DAYS), h=maybe(HOURS), cycles=maybe(COUNTS), due_h=maybe(HOURS))
KINDS = st.sampled_from(
    [
        *("annual", "hundred-hour", "transponder", "altimeter-static", "elt", "elt-battery"),
        *("registration", "adsb", "database", "oil", "life-limited", "other"),
    ]
)
ITEMS = st.lists(
    st.builds(
        Item,
        name=KINDS,
        kind=KINDS,
        label=st.just("thing"),
        every=INTERVALS,
        until=ENDS,
        last=ENTRIES,
        clock=CLOCK,
        used_h=maybe(st.floats(0.0, 3.0)),
        useful_life_months=maybe(st.integers(1, 90)),
    ),
    max_size=4,
    unique_by=(lambda item: item.kind, lambda item: item.name),
).map(tuple)
COMPLIANCES = st.builds(
    Done,
    on=DAYS,
    h=maybe(HOURS),
    cycles=maybe(COUNTS),
    method=st.just("inspected"),
    reference=st.just("log"),
    action=st.sampled_from(["", "bolt", "end"]),
)
DIRECTIVES = st.builds(
    Directive,
    number=st.just("Q-1"),
    subject=st.just("thing"),
    effective_on=DAYS,
    effective_h=maybe(HOURS),
    clock=CLOCK,
    applies=st.builds(Applies, from_h=maybe(HOURS), below_h=maybe(HOURS)),
    first=st.builds(
        First, within=INTERVALS, at=ENDS, whichever=st.sampled_from(["first", "later"])
    ),
    then=maybe(INTERVALS.filter(lambda every: not every.is_empty)),
    alternatives=st.just(
        (Alternative(action="bolt", every=Interval(h=500.0)), Alternative(action="end"))
    ),
    done=st.lists(COMPLIANCES, max_size=3).map(
        lambda done: tuple(sorted(done, key=lambda entry: entry.on or date.min))
    ),
)
CLOCKS = st.builds(
    Clocks,
    on=DAYS,
    tach_h=maybe(HOURS),
    hobbs_h=maybe(HOURS),
    in_service_h=maybe(HOURS),
    cycles=maybe(COUNTS),
    weekly_h=maybe(st.floats(0.0, 168.0)),
    weekly_cycles=maybe(st.integers(0, 300)),
)
OPERATIONS = st.builds(
    Operation,
    hire=st.sampled_from([None, "none", "rental", "persons", "instruction"]),
    carries_persons=st.booleans(),
    to_inspection=st.booleans(),
)


@settings(max_examples=150, deadline=None)
@given(ITEMS, maybe(DIRECTIVES), CLOCKS, OPERATIONS, DAYS, st.floats(0.0, 12.0))
def test_any_logbook_is_judged_and_listed(
    items: tuple[Item, ...],
    directive: Directive | None,
    clocks: Clocks,
    operation: Operation,
    day: date,
    flown_h: float,
) -> None:
    aircraft = replace(
        HERON,
        upkeep=Upkeep(items=items),
        directives=(directive,) if directive else (),
        clocks=clocks,
    )
    occasion = Occasion(day=day, clocks=clocks, use=Use(tach_h=flown_h, in_service_h=flown_h))
    found = upkeep_findings(aircraft, operation, occasion)
    assert len({one.limit.key for one in found}) == len(found)
    for duty, counts in zip(duties(aircraft, operation), found, strict=True):
        each = [one.verdict for one in duty_findings(duty, occasion)]
        later = duty.due is not None and duty.due.whichever == "later"
        if counts.verdict in (Verdict.INSIDE, Verdict.CLOSE) and not duty.settled_as and not later:
            assert Verdict.OUTSIDE not in each
            assert Verdict.UNKNOWN not in each
        assert (counts.verdict is Verdict.UNKNOWN) == bool(counts.missing)
    rows = airplane_due(aircraft, day)
    calendar = calendar_bytes(rows, made_utc=datetime(2026, 1, 1, tzinfo=UTC), remind_days=7)
    assert calendar.count(b"BEGIN:VEVENT") == sum(row.on is not None for row in rows)

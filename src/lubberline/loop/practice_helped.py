"""Whether practice helped: what the pledges asked for, whether it was kept, and what came after."""

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from math import hypot
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from lubberline.line import Finding, Verdict, finding_from_record
from lubberline.loop.course import store_path
from lubberline.loop.practice_tasks import LATEST_COUNT, PRACTICE

if TYPE_CHECKING:
    from lubberline.store import MeasuredFlight

LOOK_BACK_COUNT: Final = 200
FEWEST_COUNT: Final = 3  # own: of fewer flights on one side nothing is said


@dataclass(frozen=True, slots=True, kw_only=True)
class Practiced:
    """A task of a flown flight: what was asked, what came, and the size of it before and since.

    ``done`` is the asked finding with the value that was flown, unknown if it was not measured.
    ``change`` is the mean size since less that before, negative where it got better, with its
    standard uncertainty; both None while it is too early to say.
    """

    flown_utc: datetime
    title: str
    done: Finding
    before_count: int
    since_count: int
    change: tuple[float, float] | None

    @property
    def word(self) -> str:
        """In words: helped, did not help, or too early to say."""
        if self.change is None:
            return "too early to say"
        value, sigma = self.change
        if value < -2.0 * sigma:
            return "helped"
        return "got worse since" if value > 2.0 * sigma else "no change to be seen"


def practiced(home: Path, *, pilot: str, before_utc: datetime) -> tuple[Practiced, ...]:
    """Every task that the pilot's flights had in their pledges, latest flight first."""
    from lubberline.store import list_flights, measures, open_store, pledge_of

    path = store_path(home)
    if not path.exists():
        return ()
    found = []
    with open_store(path) as store, store.reading() as session:
        for flight in list_flights(session, limit=LOOK_BACK_COUNT):
            if flight.pilot != pilot or flight.flown_utc >= before_utc:
                continue
            canonical = pledge_of(session, flight.flight_id)
            records = [] if canonical is None else json.loads(canonical)["findings"]
            for asked in pledged_tasks(records):
                key = f"flown.{asked.limit.key.partition('.')[2]}"
                course = measures(session, key, limit=LOOK_BACK_COUNT, pilot=pilot)
                found.append(
                    _practiced(asked, flight.flown_utc, flight.title, course, flight.flight_id)
                )
    return tuple(found)


def pledged_tasks(records: Iterable[Mapping[str, Any]]) -> Iterator[Finding]:
    """The tasks among the findings of a pledge."""
    for record in records:
        if str(record["key"]).startswith(f"{PRACTICE}."):
            yield finding_from_record(dict(record))


def _practiced(
    asked: Finding,
    flown_utc: datetime,
    title: str,
    course: list["MeasuredFlight"],
    flight_id: int,
) -> Practiced:
    before = [one for one in course if one.flown_utc < flown_utc][-LATEST_COUNT:]
    since = [one for one in course if one.flown_utc >= flown_utc][:LATEST_COUNT]
    here = next((one for one in course if one.flight_id == flight_id), None)
    done = asked
    if here is not None:
        done = Finding(limit=asked.limit, value=here.value, sigma=here.sigma, note=asked.note)
    return Practiced(
        flown_utc=flown_utc,
        title=title,
        done=done,
        before_count=len(before),
        since_count=len(since),
        change=_change(before, since),
    )


def _change(
    before: list["MeasuredFlight"], since: list["MeasuredFlight"]
) -> tuple[float, float] | None:
    """Difference of the mean sizes, with the doubt that their scatter leaves."""
    if min(len(before), len(since)) < FEWEST_COUNT:
        return None
    sizes = [np.abs([one.value for one in side]) for side in (before, since)]
    doubts = [float(one.std(ddof=1)) / one.size**0.5 for one in sizes]
    return float(sizes[1].mean() - sizes[0].mean()), hypot(*doubts)


def was_kept(one: Practiced) -> str:
    """Whether the task was kept, in words."""
    if one.done.value is None:
        return "not measured"
    return "not kept" if one.done.verdict is Verdict.OUTSIDE else "kept"

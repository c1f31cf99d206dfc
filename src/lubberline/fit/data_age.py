"""Whether the published data of a flight hold on its day, and whether they agree.

A file of published data holds between two dates, mostly for a cycle of 28 days. One that says
no dates leaves it unknown, but shores and the pilot's own points know no cycle. Where two
sources differ about an end of the flight or airspace it enters, which of them is right is not
known.
"""

import re
from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Final

from lubberline.fit.setting import times_utc
from lubberline.flight import Plan
from lubberline.line import Finding, Limit, unknown
from lubberline.places import Source
from lubberline.ways import Way

SOON_DAYS: Final = 2.0  # own: a flight that is put off by so much should look for newer data
CYCLE_DAYS: Final = 28.0  # one cycle of aeronautical information: ICAO Annex 15, 6.2 (memory)
TIMELESS: Final = ("own points", "land polygons")
_LAW: Final = "14 CFR 91.103, all available information"


def data_findings(plan: Plan, way: Way) -> Iterator[Finding]:
    """Days in hand of every data set asked for, and conflicts between them on this way."""
    _, _, on_block_utc = times_utc(plan, way)
    names: list[str] = []
    for source in (one for one in plan.places.datasets if one.form not in TIMELESS):
        plain = re.sub(r"[^a-z0-9]+", "_", source.name.lower()).strip("_")
        names.append(plain if plain not in names else f"{plain}_{len(names) + 1}")
        yield data_age(source, plan.flight.off_block_utc, on_block_utc, name=names[-1])
    touched = {plan.departure.id, plan.destination.id, *(one.id for one in way.entered)}
    told = [f"{one}" for one in plan.places.conflicts if one.id in touched]
    if told:
        limit = Limit(
            key="flight.data_conflicts",
            label="sources that disagree",
            unit="sources",
            high=0.0,
            basis="law",
            source=_LAW,
        )
        yield unknown(limit, f"which is right: {'; '.join(told)}")


def data_age(source: Source, from_utc: datetime, until_utc: datetime, *, name: str) -> Finding:
    """Days by which a flight keeps from either end of the time that a source holds."""
    limit = Limit(
        key=f"flight.data_age_{name}",
        label=f"{source.name} within its dates",
        unit="days",
        low=0.0,
        buffer=SOON_DAYS,
        tolerance=CYCLE_DAYS / 2.0,
        basis="law",
        source=f"{_LAW}; dates as published in {source.name}",
    )
    if source.valid_until_utc is None:
        missing = f"the day until which {source.name} holds: {source.form} does not say"
        return unknown(limit, missing)
    left = source.valid_until_utc - until_utc
    begun = source.valid_from_utc
    since = from_utc - begun if begun is not None else left
    dates = f"until {source.valid_until_utc:%Y-%m-%d}"
    return Finding(
        limit=limit,
        value=min(left, since) / timedelta(days=1),
        note=f"holds from {begun:%Y-%m-%d} {dates}" if begun else f"holds {dates}",
    )

"""Findings of many flights as measures: one size per flight, and what it was flown in.

A finding that aims at something counts by how far it is off; one with an upper limit only by
its value; one with a lower limit only is better the larger it is. Where a flight has several
findings of a key, the worst stands for it.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from itertools import groupby
from math import log2
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.drift import Better, Measure

if TYPE_CHECKING:
    from lubberline.store import FlightInConditions
    from lubberline.store.courses import ValueRow

TOGETHER: Final = "together"
SINCE: Final = "doubling of days not flown"
FEWEST_COUNT: Final = 11  # own: flights of a measure that may say something about all together


def measure_of(
    key: str, rows: Sequence["ValueRow"], same: Mapping[int, int] = MappingProxyType({})
) -> tuple[Measure, tuple[int, ...]]:
    """The measure and the numbers of its flights; rows of another unit or sense are left out.

    ``same`` gives for a further recording the flight that it holds, too: of one flight's
    recordings the surest value counts.
    """
    newest = rows[-1]
    better = _better(newest)
    alike = [row for row in rows if (row.unit, _better(row)) == (newest.unit, better)]
    worst = max if better == "smaller" else min
    flights: dict[int, ValueRow] = {}
    for number, group in groupby(alike, key=lambda row: row.flight_id):
        found = worst(group, key=_size)
        flight = same.get(number, number)
        flights[flight] = min(flights.get(flight, found), found, key=lambda row: row.sigma)
    one_each = list(flights.values())
    measure = Measure(
        key=key,
        label=newest.label,
        unit=newest.unit,
        better=better,
        flown_utc=tuple(row.flown_utc for row in one_each),
        values=np.array([_size(row) for row in one_each]),
        sigmas=np.array([row.sigma for row in one_each]),
        titles=tuple(row.title for row in one_each),
    )
    return measure, tuple(row.flight_id for row in one_each)


def conditions_by_flight(
    flights: Iterable["FlightInConditions"],
) -> dict[int, dict[str, float]]:
    """What each flight was flown in, as numbers; NaN where it is not known.

    Night is 0 or 1, an airplane type 0 or 1 for each but the commonest, the days since the
    last flight as doublings.
    """
    listed = list(flights)
    types = [one.type_name or one.aircraft for one in listed]
    others = [name for name, _ in Counter(types).most_common()][1:]
    return {
        one.flight_id: {
            **_known(one),
            **{f"in {name}": float(kind == name) for name in others},
        }
        for one, kind in zip(listed, types, strict=True)
    }


def columns_of(
    flight_ids: Sequence[int], flights: Mapping[int, Mapping[str, float]]
) -> dict[str, FloatArray]:
    """The conditions of these flights, one column for each."""
    rows = [flights.get(one, {}) for one in flight_ids]
    names = dict.fromkeys(name for row in rows for name in row)
    return {name: np.array([row.get(name, np.nan) for row in rows]) for name in names}


def together(
    measures: Sequence[tuple[Measure, tuple[int, ...]]],
) -> tuple[Measure, tuple[int, ...]] | None:
    """All sizes of errors as one measure: 1 is usual; None where fewer than two are known.

    The square of the mean root of each size over its median: what slips in several measures at
    once shows sooner in their mean. Flights that know at least half of the measures count.
    """
    sizes = [
        (dict(zip(ids, np.sqrt(one.values / np.median(one.values)), strict=True)), one, ids)
        for one, ids in measures
        if one.better == "smaller" and len(one) >= FEWEST_COUNT and np.median(one.values) > 0.0
    ]
    if len(sizes) < 2:
        return None
    flown = {
        flight: (when, title)
        for _, one, ids in sizes
        for flight, when, title in zip(ids, one.flown_utc, one.titles, strict=True)
    }
    kept = [
        flight
        for flight in sorted(flown, key=lambda flight: (flown[flight][0], flight))
        if 2 * sum(flight in known for known, _, _ in sizes) >= len(sizes)
    ]
    roots = [
        np.mean([known[flight] for known, _, _ in sizes if flight in known]) for flight in kept
    ]
    measure = Measure(
        key=TOGETHER,
        label=f"{len(sizes)} errors together",
        unit="",
        better="smaller",
        flown_utc=tuple(flown[flight][0] for flight in kept),
        values=np.square(roots),
        sigmas=np.zeros(len(kept)),
        titles=tuple(flown[flight][1] for flight in kept),
    )
    return measure, tuple(kept)


def _better(row: "ValueRow") -> Better:
    only_low = row.target is None and row.low is not None and row.high is None
    return "larger" if only_low else "smaller"


def _size(row: "ValueRow") -> float:
    if row.target is not None:
        return abs(row.value - row.target)
    if row.low is not None:
        return row.value if row.high is None else abs(row.value - (row.low + row.high) / 2.0)
    return abs(row.value)


def _known(one: "FlightInConditions") -> dict[str, float]:
    from lubberline.store import FlightConditions

    found = one.conditions or FlightConditions()
    since = one.since_last_days
    return {
        "wind, kt": _number(found.wind_kt),
        "crosswind, kt": _number(found.crosswind_kt),
        "gust, kt": _number(found.gust_kt),
        "weight, lb": _number(found.weight_lb),
        "runway length, ft": _number(found.runway_length_ft),
        "night": _number(found.night),
        SINCE: np.nan if since is None else log2(1.0 + max(since, 0.0)),
    }


def _number(value: float | bool | None) -> float:
    return np.nan if value is None else float(value)

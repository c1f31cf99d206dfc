"""What a logbook adds up to: hours and landings, by category, type, day and night, instruction."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, Final

from lubberline.logbook.model import COUNTS, HOURS, Entry
from lubberline.pilot import Landings

SPANS_DAYS: Final = (None, 365, 90)
UNKNOWN: Final = "not written down"
_WORDS: Final = {
    "total_h": "all flights",
    "pic_h": "as pilot in command",
    "dual_received_h": "instruction received",
    "instruction_given_h": "instruction given",
    "solo_h": "solo",
    "night_h": "by night",
    "instrument_h": "in cloud",
    "hood_h": "under the hood",
    "cross_country_h": "cross-country",
    "landing_count": "landings",
    "full_stop_count": "landings to a full stop",
    "night_full_stop_count": "by night to a full stop",
    "takeoff_count": "take-offs",
    "night_takeoff_count": "take-offs by night",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Total:
    """One line of totals: over everything, the last 365 days, the last 90.

    ``group`` is what it is counted by; ``unit`` is "h" or "".
    """

    group: str
    label: str
    unit: str
    values: tuple[float, ...]


def totals(entries: Sequence[Entry], *, on: date) -> tuple[Total, ...]:
    """Every line of totals on a day, groups in a fixed order; a line of nothing is left out."""
    found = [_total("hours", _WORDS[name], name, entries, on) for name in HOURS]
    found.insert(1, _by_day(entries, on))
    for group, field in (
        ("category", "category_class"),
        ("type", "type_name"),
        ("airplane", "call_sign"),
    ):
        parts: dict[str, list[Entry]] = defaultdict(list)
        for one in entries:
            parts[getattr(one, field) or UNKNOWN].append(one)
        found += [_total(group, name, "total_h", parts[name], on) for name in sorted(parts)]
    found += [_total("landings", _WORDS[name], name, entries, on) for name in COUNTS]
    return tuple(one for one in found if any(one.values))


def landings_of(entries: Iterable[Entry]) -> tuple[Landings, ...]:
    """Take-offs and landings by day and class, for the rules of recency, oldest first.

    Lines that do not say what the airplane counts as are left out. What is written as the pilot's
    take-offs and landings counts as flown at the controls alone, as the rules ask.
    """
    by_day: defaultdict[tuple[date, str, bool, str], Counter[str]] = defaultdict(Counter)
    for one in entries:
        if one.category_class is None or one.tailwheel is None:
            continue
        if any(getattr(one, name) for name in COUNTS):
            key = (one.flown_on, one.category_class, one.tailwheel, one.type_name or "")
            by_day[key].update({name: getattr(one, name) for name in COUNTS})
    return tuple(_landings(key, by_day[key]) for key in sorted(by_day))


def _landings(key: tuple[date, str, bool, str], counted: Counter[str]) -> Landings:
    counts: dict[str, Any] = {name: counted[name] for name in COUNTS}
    on, category_class, tailwheel, type_name = key
    return Landings(
        on=on,
        category_class=category_class,
        tailwheel=tailwheel,
        type_name=type_name or None,
        **counts,
    )


def _total(group: str, label: str, name: str, entries: Iterable[Entry], on: date) -> Total:
    listed = list(entries)
    sums = tuple(
        float(sum(getattr(one, name) for one in _since(listed, on, d))) for d in SPANS_DAYS
    )
    return Total(group=group, label=label, unit="h" if name in HOURS else "", values=sums)


def _by_day(entries: Sequence[Entry], on: date) -> Total:
    """By day is what was not by night."""
    sums = tuple(
        float(sum(one.total_h - one.night_h for one in _since(entries, on, days)))
        for days in SPANS_DAYS
    )
    return Total(group="hours", label="by day", unit="h", values=sums)


def _since(entries: Iterable[Entry], on: date, days: int | None) -> list[Entry]:
    """Entries up to a day, from so many days before it."""
    first = date.min if days is None else on - timedelta(days=days)
    return [one for one in entries if first <= one.flown_on <= on]

"""The logbook on paper: lines in pages of equal length, each with its sums, then the totals."""

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any, Final

from lubberline.card.printing import compiled
from lubberline.logbook import Entry, Total, totals
from lubberline.loop.logbook import Line

TEMPLATE: Final = Path(__file__).with_name("logbook.typ")
LINES_COUNT: Final = 30  # own: of a landscape sheet
_SUMS: Final = (
    *("total_h", "night_h", "cross_country_h", "pic_h", "dual_received_h", "instruction_given_h"),
    *("landing_count", "night_full_stop_count"),
)


def logbook_pdf(lines: Sequence[Line], *, pilot: str, on: date, paper: str = "a4") -> bytes:
    """Every line that counts up to a day with sums carried forward, and what it adds up to."""
    counted = [line for line in lines if line.counts and line.entry.flown_on <= on]
    entries = [line.entry for line in counted]
    sheet: dict[str, Any] = {
        "title": f"Logbook of {pilot}",
        "day": f"up to {on.isoformat()}",
        "pages": _pages(entries),
        "totals": [_total(one) for one in totals(entries, on=on)],
        "note": _note(lines, counted),
    }
    return compiled(sheet, "pdf", TEMPLATE, paper=paper)[0]


def _pages(entries: Sequence[Entry]) -> list[dict[str, Any]]:
    carried = dict.fromkeys(_SUMS, 0.0)
    pages = []
    for start in range(0, len(entries), LINES_COUNT):
        part = entries[start : start + LINES_COUNT]
        here = {name: float(sum(getattr(one, name) for one in part)) for name in _SUMS}
        before = carried
        carried = {name: carried[name] + here[name] for name in _SUMS}
        pages.append(
            {
                "rows": [_row(one) for one in part],
                "sums": [
                    _sums("this page", here),
                    _sums("brought forward", before),
                    _sums("carried forward", carried),
                ],
            }
        )
    return pages


def _row(one: Entry) -> list[str]:
    return [
        one.flown_on.isoformat(),
        one.call_sign,
        one.type_name or "",
        " to ".join(filter(None, (one.from_id, one.to_id))),
        *(_figure(name, getattr(one, name)) for name in _SUMS),
        one.remark[:40],
    ]


def _sums(label: str, sums: dict[str, float]) -> list[str]:
    return [label, *(_figure(name, sums[name]) for name in _SUMS)]


def _figure(name: str, value: float) -> str:
    if not value:
        return ""
    return f"{value:.1f}" if name.endswith("_h") else f"{value:.0f}"


def _total(one: Total) -> list[str]:
    digits = 1 if one.unit else 0
    return [one.group, one.label, *(f"{value:,.{digits}f}" for value in one.values)]


def _note(lines: Sequence[Line], counted: Sequence[Line]) -> str:
    left = len(lines) - len(counted)
    return (
        f"{len(counted)} lines count; {left} more are kept and do not: withdrawn, later than the"
        " day, or recordings of a day that the logbook has."
        if left
        else f"{len(counted)} lines."
    )

"""Heights to keep, as the card prints them: the stretches of the way, to the safe ten feet."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby
from math import ceil, floor
from typing import Final

from lubberline.card.rows import StretchRow, short
from lubberline.flight import Plan
from lubberline.ways import Along, Stretch, Way, along_way, problem_of, stretches

WHYS_SIGNS: Final = 29  # own: what both columns of reasons hold together on half a letter


def stretch_rows(plan: Plan, way: Way) -> Iterator[StretchRow]:
    """A row for each stretch up to the last that is bounded; neighbors of the same figures are one.

    What bounds two of them is told by the first.
    """
    along = along_way(way, plan.terrain)
    rows = [_row(along, one) for one in stretches(problem_of(plan, way), way)]
    while rows and not (rows[-1].least or rows[-1].most):
        rows.pop()
    if len(rows) > 1 and not (rows[0].least or rows[0].most or rows[1].most):
        del rows[0]  # the way up, before a least height that begins with level flight
    for _, run in groupby(rows, key=lambda row: (row.least, row.most)):
        first, *others = run
        last = others[-1] if others else first
        yield replace(first, before=last.before, to=last.to)


def fitted(rows: Sequence[StretchRow]) -> Iterator[StretchRow]:
    """The rows with reasons that keep to one line; the longer column gives way first."""
    below = max((len(row.least_why) for row in rows), default=0)
    above = max((len(row.most_why) for row in rows), default=0)
    below = min(below, max(WHYS_SIGNS - above, WHYS_SIGNS // 2))
    for row in rows:
        yield replace(
            row,
            least_why=short(row.least_why, below),
            most_why=short(row.most_why, WHYS_SIGNS - below),
        )


def _row(along: Along, one: Stretch) -> StretchRow:
    before, to = along.next_point(one.to_min)
    return StretchRow(
        before=before,
        to=short(to),
        least=_height(one.not_below_ft, one.below_by, up=True),
        least_why=one.below_by,
        most=_height(one.not_above_ft, one.above_by, up=False),
        most_why=one.above_by,
    )


def _height(ft: float | None, by: str, *, up: bool) -> str:
    """To the safe ten feet; "?" if what bounds is not known."""
    if ft is None:
        return "?" if by else ""
    tens = round(ft / 10.0, 6)
    return f"{(ceil(tens) if up else floor(tens)) * 10:,d}"

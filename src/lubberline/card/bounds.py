"""Heights to keep, as the card prints them: the stretches of the way, to the safe ten feet."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import groupby
from math import ceil, floor

from lubberline.card.rows import VOLUME_SIGNS, StretchRow, short
from lubberline.flight import Plan
from lubberline.ways import Along, Stretch, Way, along_way, problem_of, stretches


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


def _row(along: Along, one: Stretch) -> StretchRow:
    before, to = along.next_point(one.to_min)
    return StretchRow(
        before=before,
        to=short(to),
        least=_height(one.not_below_ft, one.below_by, up=True),
        least_why=short(one.below_by, VOLUME_SIGNS),
        most=_height(one.not_above_ft, one.above_by, up=False),
        most_why=short(one.above_by, VOLUME_SIGNS),
    )


def _height(ft: float | None, by: str, *, up: bool) -> str:
    """To the safe ten feet; "?" if what bounds is not known."""
    if ft is None:
        return "?" if by else ""
    tens = round(ft / 10.0, 6)
    return f"{(ceil(tens) if up else floor(tens)) * 10:,d}"

"""The drift part of a report: every measure in a table, the one that matters most as charts."""

from collections.abc import Iterator

from lubberline.drift import drift_finding
from lubberline.loop import Courses, Drifted
from lubberline.loop.drift_words import (
    SIGNS,
    change_rows,
    condition_rows,
    number,
    sparkline,
    to_know,
)
from lubberline.page.drift_picture import drift_picture
from lubberline.page.drift_pictures import more_pictures
from lubberline.page.drift_view import DriftRow, DriftView
from lubberline.page.line_svg import line_rows


def drift_view(courses: Courses) -> DriftView | None:
    """What the page shows of a pilot's measures; None where there are none."""
    one = courses.told
    if one is None:
        return None
    measure, verdict = one.measure, one.verdict
    count = verdict.flights_needed_count
    more = f"; {count} more flight{'' if count == 1 else 's'} would tell" if count else ""
    return DriftView(
        sentence=f"{measure.label}: {verdict.word} ({len(measure)} flights{more}).",
        behind=(*condition_rows(one), *change_rows(one)),
        rows=line_rows((drift_finding(measure, verdict),)),
        figures=(drift_picture(measure, verdict), *more_pictures(one)),
        measures=tuple(_rows(courses)),
    )


def _rows(courses: Courses) -> Iterator[DriftRow]:
    for one in courses.drifted:
        latest = one.verdict.latest
        yield DriftRow(
            label=one.measure.label,
            word=str(one.verdict.word),
            shape=SIGNS[one.verdict.word],
            latest=_value(one, None if latest is None else latest.level),
            usual=_value(one, None if latest is None else latest.usual),
            spark=sparkline(one.measure.values),
            to_know=to_know(one),
        )


def _value(one: Drifted, value: float | None) -> str:
    return "" if value is None else f"{number(value)} {one.measure.unit}".strip()

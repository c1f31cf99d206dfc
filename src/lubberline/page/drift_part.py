"""The drift part of a report: every measure in a table, the one that matters most as charts."""

from collections.abc import Iterator

from lubberline.drift import drift_finding
from lubberline.errors import RangeError
from lubberline.loop import Courses, Drifted
from lubberline.loop.drift_words import (
    SIGNS,
    change_rows,
    condition_rows,
    levels,
    promise_rows,
    sparkline,
    to_know,
)
from lubberline.page.drift_behind import more_pictures
from lubberline.page.drift_picture import drift_picture
from lubberline.page.drift_view import DriftPage, DriftRow, DriftView
from lubberline.page.line_svg import line_rows
from lubberline.wording import CAUTION


def drift_page(courses: Courses, key: str | None = None) -> DriftPage:
    """A pilot's measures as a page of its own, with the charts of one of them.

    Raises
    ------
    RangeError
        If there is no such measure.
    """
    shown = [one for one in courses.drifted if key in (None, one.measure.key)]
    view = drift_view(courses, shown[0] if key and shown else None)
    if view is None or not shown:
        known = ", ".join(one.measure.key for one in courses.drifted) or "none yet"
        raise RangeError(f"the measure is {key!r}; expected one of: {known}")
    return DriftPage(title="Drift", subtitle=courses.pilot, caution=CAUTION, drift=view)


def drift_view(courses: Courses, one: Drifted | None = None) -> DriftView | None:
    """What the page shows of a pilot's measures; None where there are none.

    Charts are of the one asked for, else of the one to look at first.
    """
    one = one or courses.told
    if one is None:
        return None
    measure, verdict = one.measure, one.verdict
    count = verdict.flights_needed_count
    more = f"; {count} more flight{'' if count == 1 else 's'} would tell" if count else ""
    return DriftView(
        sentence=f"{measure.label}: {verdict.word} ({len(measure)} flights{more}).",
        behind=(*promise_rows(one), *condition_rows(one), *change_rows(one)),
        rows=line_rows((drift_finding(measure, verdict),)),
        figures=(drift_picture(measure, verdict), *more_pictures(one)),
        measures=tuple(_rows(courses)),
    )


def _rows(courses: Courses) -> Iterator[DriftRow]:
    for one in courses.drifted:
        latest, usual = levels(one)
        yield DriftRow(
            label=one.measure.label,
            word=str(one.verdict.word),
            shape=SIGNS[one.verdict.word],
            latest=latest,
            usual=usual,
            spark=sparkline(one.measure.values),
            to_know=to_know(one),
        )

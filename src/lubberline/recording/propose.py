"""What columns hold by their values, where their headings do not say: to be confirmed.

Only what a range and a form can tell: times that are written in one way, and a latitude beside a
longitude. A height or a speed in an unknown unit cannot be told from its values and is left out.
"""

import re
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.recording.column_map import NUMBER_FORMS, Source, TimeSource

MOST_FRACTION: Final = 0.9  # own: of the sampled rows, the rest may be empty or odd
LEAST_DIGITS: Final = 3  # own: a position to less than 0.001 degrees tells no flight
WIDEST_DEG: Final = 30.0  # own: no recording spans more
SINCE_1970_S: Final = (3.1e8, 4.2e9)  # 1979 to 2103: nothing else is this large
_CLOCK: Final = r"\d\d?:\d\d:\d\d(\.\d+)?"
_FORMS: Final = (  # a form is sure of day and month by itself, or by a row with a 13th
    ("iso", re.compile(rf"\d{{4}}[-/]\d\d?[-/]\d\d?[T ]\s*{_CLOCK}\s*(Z|[+-]\d\d:?\d\d)?")),
    ("%d.%m.%Y %H:%M:%S", re.compile(rf"\d\d?\.\d\d?\.\d{{4}} {_CLOCK}")),
    ("%m/%d/%Y %H:%M:%S", re.compile(rf"\d\d?/(\d\d?)/\d{{4}} {_CLOCK}")),
    ("%d/%m/%Y %H:%M:%S", re.compile(rf"(\d\d?)/\d\d?/\d{{4}} {_CLOCK}")),
)


def unix_form(text: str) -> str | None:
    """The form of a count since 1970, None if it is none."""
    if not re.fullmatch(r"[+]?\d+(\.\d*)?([eE][+]?\d+)?", text):
        return None
    count = float(text)
    low_s, high_s = SINCE_1970_S
    return next(
        (f for f, s_each in NUMBER_FORMS.items() if low_s <= count * s_each <= high_s), None
    )


def proposed_time(names: Sequence[str], rows: Sequence[Sequence[str]]) -> TimeSource | None:
    """The column, or the date beside a clock, that holds times by every sign; None if unclear."""
    columns = dict(zip(names, zip(*rows, strict=False), strict=False))
    for name, texts in columns.items():
        form = _form(texts)
        if form is not None:
            return TimeSource(heading=name, form=form)
    for (date, dates), (clock, clocks) in pairwise(columns.items()):
        form = _form([f"{a} {b}" for a, b in zip(dates, clocks, strict=True)])
        if form is not None:
            return TimeSource(heading=clock, form=form, date_heading=date)
    return None


def _form(texts: Sequence[str]) -> str | None:
    given = [text for text in texts if text.strip()]
    if not given:
        return None
    forms = {unix_form(text) for text in given}
    if len(forms) == 1 and None not in forms:
        return forms.pop()
    for form, pattern in _FORMS:
        found = [match for text in given if (match := pattern.fullmatch(text))]
        if len(found) < MOST_FRACTION * len(given):
            continue
        if "/" in form and form != "iso" and not any(int(one[1]) > 12 for one in found):
            continue  # could be the day or the month
        return form
    return None


def proposed_position(
    names: Sequence[str], rows: Sequence[Sequence[str]], *, decimal: str
) -> Mapping[str, Source]:
    """Two neighboring columns that can be a latitude and a longitude of one flight; {} if none."""
    columns = list(zip(*rows, strict=False))
    values = [_degrees(texts, decimal) for texts in columns]
    for number, (one, other) in enumerate(pairwise(values)):
        if one is None or other is None:
            continue
        pair = ("lat_deg", "lon_deg") if np.nanmax(np.abs(one)) <= 90.0 else ("lon_deg", "lat_deg")
        latitude = one if pair[0] == "lat_deg" else other
        if np.nanmax(np.abs(latitude)) <= 90.0:
            there = zip(pair, names[number : number + 2], strict=True)
            return {ours: Source(heading=name, unit="deg") for ours, name in there}
    return {}


def _degrees(texts: Sequence[str], decimal: str) -> FloatArray | None:
    """The column as degrees, None if it cannot be a coordinate."""
    pattern = re.compile(rf"[+-]?\d{{1,3}}{re.escape(decimal)}\d{{{LEAST_DIGITS},}}")
    fits = [bool(pattern.fullmatch(text)) for text in texts]
    if not texts or sum(fits) < MOST_FRACTION * len(texts):
        return None
    given = [text.replace(",", ".") for text, fit in zip(texts, fits, strict=True) if fit]
    written_deg = np.array(given, dtype=float)
    known_deg: FloatArray = written_deg[written_deg != 0.0]
    if not known_deg.size or np.abs(known_deg).max() > 180.0 or np.ptp(known_deg) > WIDEST_DEG:
        return None
    return known_deg

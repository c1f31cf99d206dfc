"""How long what the US government publishes holds, and from when, where only a name says it."""

import re
from datetime import UTC, date, datetime, time
from typing import Final

from lubberline.places.model import Source
from lubberline.places.published.zips import Files, content_sha256
from lubberline.places.update import CYCLE, cycle_day

FROM_CLOCK: Final = time(9, 1, tzinfo=UTC)  # 0901 UTC: FAA Order 8260.26 (memory)
_DAY: Final = re.compile(r"(20\d\d)[-_](\d\d)[-_](\d\d)")


def period_utc(day: date | None) -> tuple[datetime | None, datetime | None]:
    """From when until when the cycle holds that begins on a day; not known without one."""
    if day is None:
        return None, None
    from_utc = datetime.combine(day, FROM_CLOCK)
    return from_utc, from_utc + CYCLE


def source_of(files: Files, form: str, day: date | None = None) -> Source:
    """Where a data set comes from, and how long the cycle holds that begins on a day."""
    from_utc, until_utc = period_utc(day)
    return Source(
        name=files.path.name,
        form=form,
        sha256=content_sha256(files),
        valid_from_utc=from_utc,
        valid_until_utc=until_utc,
    )


def day_in(*names: str) -> date | None:
    """The first day of a cycle that one of the names tells, in their order."""
    for name in names:
        for match in _DAY.finditer(name):
            try:
                day = date(*map(int, match.groups()))
            except ValueError:
                continue
            if cycle_day(day) == day:
                return day
    return None

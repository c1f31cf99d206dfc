"""How long what the US government publishes holds."""

from datetime import UTC, date, datetime, time
from typing import Final

from lubberline.places.update import CYCLE

FROM_CLOCK: Final = time(9, 1, tzinfo=UTC)  # 0901 UTC: FAA Order 8260.26 (memory)


def period_utc(day: date | None) -> tuple[datetime | None, datetime | None]:
    """From when until when the cycle holds that begins on a day; not known without one."""
    if day is None:
        return None, None
    from_utc = datetime.combine(day, FROM_CLOCK)
    return from_utc, from_utc + CYCLE

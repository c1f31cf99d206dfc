"""Take-offs and landings by day, from the logbook and from recordings, none counted twice.

A day's flying in one class of airplane may stand in both; then the larger count of each kind
holds, never the sum. What a recording shows counts as flown at the controls by its pilot alone.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from datetime import date, datetime, timedelta
from typing import Any, Final

from lubberline.earth import sun_position
from lubberline.pilot import Landings, Pilot, Recorded

NIGHT_MARGIN: Final = timedelta(hours=1)  # [14CFR61.57]_ (b)(1): after sunset, before sunrise
HORIZON_DEG: Final = -50.0 / 60.0  # height of the sun's middle at sunset: [USNO-RST]_
COUNTS: Final = (
    *("takeoff_count", "landing_count", "full_stop_count"),
    *("night_takeoff_count", "night_full_stop_count"),
)
_Key = tuple[date, str, bool]  # day, category and class, tailwheel


def flown_landings(pilot: Pilot, since: date, *, type_name: str = "") -> tuple[Landings, ...]:
    """Every day with flying, the logbook's and the recordings' together, oldest first.

    With a ``type_name`` only what was flown in that type, as far as it is written down.
    """

    def counts(one: Landings | Recorded) -> bool:
        return one.on >= since and type_name in ("", one.type_name)

    written = _by_day(one for one in pilot.landings or () if counts(one))
    shown = _by_day(one for each in pilot.recorded if counts(each) for one in _as_landings(each))
    return tuple(_larger(key, written[key], shown[key]) for key in sorted({*written, *shown}))


def was_night(one: Recorded) -> bool:
    """Whether it was later than 1 h after sunset and earlier than 1 h before sunrise there.

    So it is where the sun is down now, was so 1 h before and will be 1 h later.
    """
    moments = (one.at_utc - NIGHT_MARGIN, one.at_utc, one.at_utc + NIGHT_MARGIN)
    return all(_sun_is_down(one, when_utc) for when_utc in moments)


def _larger(key: _Key, written: Counter[str], shown: Counter[str]) -> Landings:
    counts: dict[str, Any] = {name: max(written[name], shown[name]) for name in COUNTS}
    return Landings(on=key[0], category_class=key[1], tailwheel=key[2], **counts)


def _sun_is_down(one: Recorded, when_utc: datetime) -> bool:
    return float(sun_position(one.lat_deg, one.lon_deg, when_utc)[1]) < HORIZON_DEG


def _by_day(landings: Iterable[Landings]) -> defaultdict[_Key, Counter[str]]:
    found: defaultdict[_Key, Counter[str]] = defaultdict(Counter)
    for one in landings:
        key = (one.on, one.category_class, one.tailwheel)
        found[key].update({name: getattr(one, name) for name in COUNTS})
    return found


def _as_landings(one: Recorded) -> Iterator[Landings]:
    """As the logbook would have it; nothing where the airplane is not known."""
    if one.category_class is None or one.tailwheel is None:
        return
    up, down, stopped = one.kind != "landing", one.kind != "take-off", one.kind == "landing"
    night = was_night(one)
    yield Landings(
        on=one.on,
        category_class=one.category_class,
        tailwheel=one.tailwheel,
        takeoff_count=up,
        landing_count=down,
        full_stop_count=stopped,
        night_takeoff_count=up and night,
        night_full_stop_count=stopped and night,
    )

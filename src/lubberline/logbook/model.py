"""One line of a pilot's logbook, as [14CFR61.51]_ (b) lists what is written down of a flight."""

from dataclasses import dataclass
from datetime import date
from typing import Final

from lubberline.errors import RangeError

HOURS: Final = (
    *("total_h", "pic_h", "dual_received_h", "instruction_given_h", "solo_h"),
    *("night_h", "instrument_h", "hood_h", "cross_country_h"),
)
COUNTS: Final = (
    *("takeoff_count", "landing_count", "full_stop_count"),
    *("night_takeoff_count", "night_full_stop_count"),
)
_MOST_H: Final = 24.0  # one line is one day at most


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One flight, or a day's flights in one airplane. Hours and counts are 0 where none are given.

    ``pic_h`` is as pilot in command, ``dual_received_h`` with an instructor, ``hood_h`` by
    instruments with the view limited, ``instrument_h`` in cloud. ``landing_count`` counts all
    landings, ``full_stop_count`` those to a full stop; the night counts as the rules count night.
    """

    flown_on: date
    from_id: str = ""
    to_id: str = ""
    call_sign: str = ""
    type_name: str | None = None
    category_class: str | None = None
    tailwheel: bool | None = None
    total_h: float = 0.0
    pic_h: float = 0.0
    dual_received_h: float = 0.0
    instruction_given_h: float = 0.0
    solo_h: float = 0.0
    night_h: float = 0.0
    instrument_h: float = 0.0
    hood_h: float = 0.0
    cross_country_h: float = 0.0
    takeoff_count: int = 0
    landing_count: int = 0
    full_stop_count: int = 0
    night_takeoff_count: int = 0
    night_full_stop_count: int = 0
    remark: str = ""

    def __post_init__(self) -> None:
        """No part is more than the whole, and a day has 24 hours."""
        for name in HOURS:
            value_h = getattr(self, name)
            if not 0.0 <= value_h <= _MOST_H:
                raise RangeError(f"{name} is {value_h:g} h; expected 0 to {_MOST_H:g} h")
            if name != "total_h" and value_h > self.total_h + 1e-9:
                raise RangeError(f"{name} is {value_h:g} h, more than total_h {self.total_h:g} h")
        for name in COUNTS:
            if not 0 <= getattr(self, name) <= 200:
                raise RangeError(f"{name} is {getattr(self, name)}; expected 0 to 200")
        if self.full_stop_count > self.landing_count:
            raise RangeError(
                f"full_stop_count is {self.full_stop_count},"
                f" more than landing_count {self.landing_count}"
            )

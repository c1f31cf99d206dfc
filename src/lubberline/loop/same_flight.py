"""Which recordings are of one flight: nobody flies two at once."""

from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from lubberline.store import StoredEntry, StoredFlight

Span = tuple[datetime, datetime]
FROM, UNTIL = "from_utc", "until_utc"
SLACK: Final = timedelta(minutes=1)  # own: two recorders' clocks and moments of touchdown


def overlap(one: Span, other: Span) -> bool:
    """Whether two spans from first to last movement have a time in common."""
    return one[0] <= other[1] + SLACK and other[0] <= one[1] + SLACK


def span_of(flight: "StoredFlight") -> Span | None:
    """From a flight's first movement to its last; None where none was recorded."""
    if not flight.movements:
        return None
    return flight.movements[0].at_utc, flight.movements[-1].at_utc


def seen_before(flights: Iterable["StoredFlight"]) -> dict[int, int]:
    """For each flight that another recording holds, too, the number of that one: it counts."""
    spans = [(span, one.flight_id) for one in flights if (span := span_of(one)) is not None]
    return recorded_before(spans)


def recorded_before(spans: Iterable[tuple[Span, int]]) -> dict[int, int]:
    """For each span that overlaps another, with its number, the number of that one."""
    found: dict[int, int] = {}
    last: tuple[Span, int] | None = None  # spans that are kept do not overlap: the last ends last
    for span, number in sorted(spans, key=lambda each: (each[0][0], each[1])):
        if last is not None and overlap(span, last[0]):
            found[number] = last[1]
        else:
            last = span, number
    return found


def raw_span(span: Span) -> dict[str, str]:
    """A span as a line that was taken from a recording keeps it."""
    return {FROM: span[0].isoformat(), UNTIL: span[1].isoformat()}


def taken_span(one: "StoredEntry") -> Span | None:
    """From first to last movement of a line that was taken from a recording; None for others."""
    if FROM not in one.raw or UNTIL not in one.raw:
        return None
    return datetime.fromisoformat(one.raw[FROM]), datetime.fromisoformat(one.raw[UNTIL])

"""Hours of use as the US government publishes them, as far as they can be understood for sure.

Understood are spans of the clock on days of the week ("0700-2100 MON-FRI; 0800-1700 SAT & SUN"),
in local time unless they end in Z or say UTC. What comes by notice, by the sun, by season or
in other words is kept as text only, and such hours count as always active. Days excepted count
as active, too.
"""

import re
from collections.abc import Iterator
from typing import Final

from lubberline.places.model import Schedule, WeeklySpan

_DAYS: Final = ("MON", "TUE", "WED", "THU", "FRI", "SAT", "SUN")
_DAY_MIN: Final = 1_440
_ALWAYS: Final = frozenset(
    ("24", "H24", "24 HOURS", "24 HRS", "CONTINUOUS", "CONT", "24H", "0000-2400", "24 H", "24/7")
)
_EXCEPT: Final = re.compile(r"\(?,? ?\b(?:EXC|EXCL|EXCEPT|EXCLUDING)\b[^;)]*\bHOL\w*\)?")
_OTHERWISE: Final = re.compile(
    r"[;,.]?\s*\bO(?:THER )?T(?:I?MES?|MS)?\b,? (?:CLASS|CLS) ([A-G])\b.*"
)
_DAY_NAME: Final = re.compile(
    r"\b(MON|TUE|WED|THU|FRI|SAT|SUN)(?:S|DAY|SDAY|NESDAY|RSDAY|RS|URDAY)?\b"
)
_CLOCK: Final = re.compile(
    r"(\d{4}) ?(Z|UTC|LOCAL|LCL|L)? ?(?:-|TO) ?(\d{4}) ?(Z|UTC|LOCAL|LCL|L)?"
)
_NOISE: Final = re.compile(
    r"\b(?:CLASS [A-G]|SVC|SERVICE|EFF|EFFECTIVE|OPR|HRS|HOURS|LOCAL TIME|LOCAL|LT|LCL|TIME"
    r"|FROM|ALL|ACTIVE)\b"
)
_DAY_LIST: Final = re.compile(
    r"(?:MON|TUE|WED|THU|FRI|SAT|SUN)(?:[-,&]+(?:MON|TUE|WED|THU|FRI|SAT|SUN))*"
)


def schedule_of(text: str) -> Schedule | None:
    """The schedule that a text says; None for always, or where nothing is said.

    >>> (span,) = schedule_of("2100-0600Z MON").spans[:1]
    >>> span.weekdays, span.from_min, span.until_min, span.zone
    ((0,), 1260, 1440, 'UTC')
    """
    plain = " ".join(text.upper().split()).strip(" .;,")
    if not plain or plain in _ALWAYS:
        return None
    plain = _OTHERWISE.sub("", _EXCEPT.sub("", plain)).strip(" .;,")
    spans: list[WeeklySpan] = []
    for part in re.split(r"[;.]", plain):
        found = tuple(_spans(part))
        if not found:
            return Schedule(text=text)
        spans += found
    return Schedule(text=text, spans=tuple(spans))


def otherwise_class(text: str) -> str:
    """The class that a text states for other times; "" if it states none."""
    match = _OTHERWISE.search(" ".join(text.upper().split()))
    return match[1] if match else ""


def _spans(part: str) -> Iterator[WeeklySpan]:
    """What one part says; nothing if any word of it is not understood."""
    clock = _CLOCK.findall(part)
    rest = _NOISE.sub(" ", _CLOCK.sub(" ", part))
    rest = re.sub(r"\b(?:AND|THRU|THROUGH|TO)\b", lambda m: "&" if m[0] == "AND" else "-", rest)
    named = re.sub(r"[\s:]+", "", _DAY_NAME.sub(r"\1", rest)).strip(",-&")
    days = _weekdays(named)
    if len(clock) != 1 or days is None:
        return
    start, zone_1, end, zone_2 = clock[0]
    from_min, until_min = _minutes(start), _minutes(end)
    if from_min is None or until_min is None or from_min == _DAY_MIN:
        return
    zone = "UTC" if {zone_1, zone_2} & {"Z", "UTC"} else "local"
    if until_min > from_min:
        yield WeeklySpan(weekdays=days, from_min=from_min, until_min=until_min, zone=zone)
        return
    yield WeeklySpan(weekdays=days, from_min=from_min, until_min=_DAY_MIN, zone=zone)
    if until_min:
        after = tuple(sorted((day + 1) % 7 for day in days))
        yield WeeklySpan(weekdays=after, from_min=0, until_min=until_min, zone=zone)


def _weekdays(named: str) -> tuple[int, ...] | None:
    """The days that a list or a run of names says; every day if none is named."""
    if named in ("", "DAILY", "DLY"):
        return tuple(range(7))
    if not _DAY_LIST.fullmatch(named):
        return None
    days: set[int] = set()
    for run in re.split(r"[,&]+", named):
        ends = [_DAYS.index(name) for name in run.split("-")]
        if len(ends) > 2:
            return None
        days |= {(ends[0] + n) % 7 for n in range((ends[-1] - ends[0]) % 7 + 1)}
    return tuple(sorted(days))


def _minutes(clock: str) -> int | None:
    hours, minutes = int(clock[:2]), int(clock[2:])
    total = 60 * hours + minutes
    return total if minutes < 60 and total <= _DAY_MIN else None

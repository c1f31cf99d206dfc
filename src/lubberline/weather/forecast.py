"""Reads one TAF into spans of time.

FM replaces everything. BECMG changes what it names: from the end of its span the new
conditions prevail, during the span the worse of old and new. TEMPO, INTER and PROB lie over
what prevails and take from it what they do not name. A change group that holds something
undecoded takes nothing over: what it does not name is unknown. A forecast whose change groups
cannot be told apart or dated is refused, because what stands before them would seem to go on.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from itertools import pairwise
from typing import Final

from lubberline.weather.clock import nearest_utc
from lubberline.weather.groups import Elements, one_line, read_groups
from lubberline.weather.model import Conditions, Forecast, UnreadableText
from lubberline.weather.worse import worse

_HEADER: Final = re.compile(
    r"(?:TAF )?(?:(?:AMD|COR) )?(?:TAF )?(?:(?:AMD|COR) )?(?P<station>[A-Z][A-Z0-9]{3})"
    r"(?: (?P<issued>\d{6})Z)?(?: (?:AMD|COR))? (?P<from>\d{4})/(?P<until>\d{4})(?: (?P<body>.*))?",
    re.ASCII,
)
_PERIOD: Final = re.compile(r"\d{4}/\d{4}", re.ASCII)
_DATED: Final = re.compile(
    r"(?:FM(?P<start>\d{6})|(?:(?P<becomes>BECMG)|TEMPO|INTER|PROB\d\d(?: (?:TEMPO|INTER))?)"
    r" (?P<from>\d{4})/(?P<until>\d{4}))(?: |$)",
    re.ASCII,
)
_CHANGE: Final = re.compile(r"FM\d.*|BECMG|TEMPO|INTER|PROB\d.*", re.ASCII)
_REMARKS: Final = re.compile(r" (?:RMK|AMD (?:NOT|LTD))\b.*")
_EXAMPLE: Final = "TAF QWRN 251730Z 2518/2618 24010KT P6SM SCT040"


class _UnfitError(Exception):
    """Why the groups do not make a forecast."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Part:
    """What holds at first, or one change group: when, and what it names; FM has no end."""

    kind: str
    from_utc: datetime
    until_utc: datetime | None
    said: Elements
    text: str


def read_taf(text: str, *, near_utc: datetime) -> Forecast:
    """What a TAF says, span by span.

    Parameters
    ----------
    text : str
        The forecast, with or without its keyword, over any number of lines.
    near_utc : datetime
        Time less than half a month from the forecast's own, with its zone.

    Returns
    -------
    Forecast
        Prevailing and temporary spans; groups that were not understood in ``undecoded``. A
        forecast that names no time of issue counts as issued at the start of its validity.

    Raises
    ------
    UnreadableText
        If there is no station with a validity that exists, if a change group cannot be dated
        or told from the one before it, or if the forecast is missing (NIL).

    References
    ----------
    [AIM-7-1]_, key to TAF; [WMO306]_, FM 51. What holds during a BECMG: common practice,
    no source.

    Examples
    --------
    >>> near_utc = datetime.fromisoformat("2026-11-25T21:00Z")
    >>> text = "TAF QWRN 251730Z 2518/2618 24010KT P6SM SCT040 TEMPO 2520/2522 BKN025"
    >>> forecast = read_taf(text, near_utc=near_utc)
    >>> forecast.prevailing[0].ceiling_agl_ft, forecast.temporary[0].ceiling_agl_ft
    (inf, 2500.0)
    """
    whole = one_line(text)
    header = _HEADER.fullmatch(whole)
    if header is None:
        raise UnreadableText(whole, f"no station and validity; expected e.g. {_EXAMPLE}")
    try:
        return _forecast(header, whole, near_utc)
    except _UnfitError as exc:
        raise UnreadableText(whole, str(exc)) from exc


def _forecast(header: re.Match[str], whole: str, near_utc: datetime) -> Forecast:
    issued_utc = _time(header["issued"] or header["from"], near_utc)
    from_utc = _time(header["from"], issued_utc)
    until_utc = _time(header["until"], from_utc)
    if until_utc <= from_utc:
        raise _UnfitError("the validity ends before it starts")
    groups = (header["body"] or "").split()
    base, *changes = _parts(groups, from_utc)
    _refuse_mixed((base, *changes))
    _refuse_undated(changes, from_utc, until_utc)
    canceled = "CNL" in groups
    prevailing = () if canceled else tuple(_prevailing(base, changes, from_utc, until_utc))
    return Forecast(
        station=header["station"],
        issued_utc=issued_utc,
        valid_from_utc=from_utc,
        valid_until_utc=until_utc,
        prevailing=prevailing,
        temporary=tuple(_temporary(changes, prevailing)),
        text=whole,
        undecoded=tuple(group for part in (base, *changes) for group in part.said.undecoded),
    )


def _time(group: str, near_utc: datetime) -> datetime:
    """Time of "ddhh" or "ddhhmm"."""
    day, hour, minute = int(group[:2]), int(group[2:4]), int(group[4:] or 0)
    time_utc = nearest_utc(day, hour, minute, near_utc=near_utc)
    if time_utc is None:
        raise _UnfitError(f"no such day and time as {group}")
    return time_utc


def _parts(groups: Sequence[str], from_utc: datetime) -> list[_Part]:
    """What prevails at first, then the change groups in their order."""
    starts = [
        index
        for index, group in enumerate(groups)
        if _CHANGE.fullmatch(group) and not (index and groups[index - 1].startswith("PROB"))
    ]
    ends = [*starts, len(groups)]
    base = _Part(
        kind="FM",
        from_utc=from_utc,
        until_utc=None,
        said=_said(groups[: ends[0]]),
        text=" ".join(groups[: ends[0]]),
    )
    return [base, *(_change(groups[i:j], from_utc) for i, j in pairwise(ends))]


def _change(groups: Sequence[str], near_utc: datetime) -> _Part:
    """One change group, dated."""
    text = " ".join(groups)
    match = _DATED.match(text)
    if match is None:
        raise _UnfitError(f"{' '.join(groups[:2])!r} is not a change with its time")
    start, end = match["start"] or match["from"], match["until"]
    return _Part(
        kind="FM" if match["start"] else "BECMG" if match["becomes"] else "TEMPO",
        from_utc=_time(start, near_utc),
        until_utc=None if end is None else _time(end, near_utc),
        said=_said(text[match.end() :].split()),
        text=text,
    )


def _said(groups: Sequence[str]) -> Elements:
    """What the groups say; remarks and the note on amendments at their end are free text."""
    body = _REMARKS.sub("", " ".join(("", *groups))).split()
    return read_groups([group for group in body if group != "CNL"])


def _refuse_mixed(parts: Sequence[_Part]) -> None:
    """Two winds in one part, or a period without its word: a change group was not recognized."""
    for part in parts:
        stray = [group for group in part.said.undecoded if _PERIOD.fullmatch(group)]
        for group in (*part.said.repeated, *stray):
            raise _UnfitError(f"the change group before {group!r} is not readable")


def _refuse_undated(changes: Sequence[_Part], from_utc: datetime, until_utc: datetime) -> None:
    """Every change lies in the validity, none ends before it starts, lasting ones in order."""
    last_utc = from_utc
    for change in changes:
        lasting = change.kind != "TEMPO"
        ends_utc = until_utc if change.until_utc is None else change.until_utc
        fits = from_utc < ends_utc and change.from_utc < min(ends_utc, until_utc)
        if not fits or (lasting and change.from_utc < last_utc):
            raise _UnfitError(f"the times of {change.text!r} do not fit the others")
        last_utc = change.from_utc if lasting else last_utc


def _prevailing(
    base: _Part, changes: Sequence[_Part], from_utc: datetime, until_utc: datetime
) -> Iterator[Conditions]:
    """The spans between all times at which a change begins to act or is complete."""
    lasting = [change for change in changes if change.kind != "TEMPO"]
    times = {time for change in lasting for time in (change.from_utc, change.until_utc) if time}
    inner = {time for time in times if from_utc < time < until_utc}
    for start_utc, end_utc in pairwise(sorted({from_utc, until_utc} | inner)):
        state = _alone(base, start_utc, end_utc)
        for change in lasting:
            if change.from_utc <= start_utc:
                state = _changed(state, change)
        yield state


def _changed(state: Conditions, change: _Part) -> Conditions:
    """What prevails once a change acts: FM all, BECMG its elements, the worse while it lasts."""
    if change.until_utc is None:
        return _alone(change, state.from_utc, state.until_utc)
    after = replace(_over(state, change), text=f"{state.text} {change.text}")
    if change.until_utc <= state.from_utc:
        return after
    return replace(worse(state, after), text=after.text)


def _alone(part: _Part, from_utc: datetime, until_utc: datetime) -> Conditions:
    return Conditions(
        from_utc=from_utc,
        until_utc=until_utc,
        wind=part.said.wind,
        visibility_sm=part.said.visibility_sm,
        ceiling_agl_ft=part.said.ceiling_agl_ft,
        text=part.text,
        weather=part.said.weather,
        visibility_is_least=part.said.visibility_is_least,
    )


def _over(state: Conditions, change: _Part) -> Conditions:
    """The change laid over what prevails: what it does not name is taken over, if it is sure."""
    laid = _alone(change, state.from_utc, state.until_utc)
    if change.said.doubtful:
        return laid
    elements = {"wind", "visibility_sm", "visibility_is_least", "ceiling_agl_ft", "weather"}
    kept = elements - change.said.named
    return replace(laid, **{name: getattr(state, name) for name in kept})


def _temporary(changes: Sequence[_Part], prevailing: Sequence[Conditions]) -> Iterator[Conditions]:
    """The overlays, each cut where what prevails under it changes."""
    for change in changes:
        if change.kind != "TEMPO" or change.until_utc is None:
            continue
        for state in prevailing:
            from_utc = max(change.from_utc, state.from_utc)
            until_utc = min(change.until_utc, state.until_utc)
            if from_utc < until_utc:
                yield replace(_over(state, change), from_utc=from_utc, until_utc=until_utc)

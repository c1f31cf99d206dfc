"""Reads one NOTAM, in ICAO form [ICAO15]_ [ICAO8126]_ or in the US domestic form [JO7930.2]_.

What is needed for finding out whether it touches a flight is decoded; its own words are kept
always. A field that was not understood is None, stands in ``undecoded``, and counts as touching.
"""

import re
from dataclasses import replace
from datetime import datetime
from typing import Final

from lubberline.weather.advice import Consequence, Level, Notice
from lubberline.weather.model import UnreadableText
from lubberline.weather.notice_hours import spans_of
from lubberline.weather.notice_parts import (
    band_of,
    closed_runways,
    height_of,
    positions_of,
    radius_of,
    time_of,
)
from lubberline.weather.q_code import PURPOSES, SCOPES, TRAFFIC, q_consequence, q_words

MOST_SIGNS: Final = 20_000  # own: several times the longest notice
_ICAO: Final = re.compile(
    r"\(?\s*(?P<id>[A-Z]\d{4}/\d{2})\s+NOTAM(?P<kind>[NRC])(?:\s+(?P<other>[A-Z]\d{4}/\d{2}))?"
    r"(?P<rest>\s.*)?",
    re.DOTALL,
)
_Q: Final = re.compile(
    r"(?P<fir>[A-Z]{4})/(?P<code>Q[A-Z]{4})/(?P<traffic>[IVK]{1,2})/(?P<purpose>[NBOMK]{1,4})"
    r"/(?P<scope>[AEWK]{1,3})/(?P<low>\d{3})/(?P<high>\d{3})"
    r"(?:/(?P<position>\d{4}[NS]\d{5}[EW])(?P<radius>\d{3})?)?"
)
_LEVELS: Final = re.compile(r"\sF\)\s*(?P<low>[^()]*?)\s+G\)\s*(?P<high>[^()]*?)\s*\)?\s*$")
_MARK: Final = {letter: re.compile(rf"(?:^|\s|(?<=\d)){letter}\)\s*") for letter in "QABCDE"}
_STAMP: Final = re.compile(r"\s+(?:CREATED|SOURCE):.*", re.DOTALL)  # of the office, after the text
_US: Final = re.compile(
    r"!(?P<account>[A-Z0-9]{3,4})\s+(?P<number>\d{1,2}/\d{3,4})\s+(?P<place>[A-Z0-9]{3,5})\s+(?P<message>.+)",
    re.DOTALL,
)
_US_TIMES: Final = re.compile(
    r"\b(?P<from>\d{10}|WIE)\s?-\s?(?P<until>\d{10}|PERM|UFN)\s?(?P<est>EST)?"
)
_US_HOURS: Final = re.compile(
    r"((?:(?:DLY|DAILY|(?:MON|TUE|WED|THU|FRI|SAT|SUN)(?:-\w{3})?),? ?)+(?:\d{4}-\d{4},? ?)+)\s*$"
)
_LIGHTS: Final = re.compile(r"\b(?:LGT|LGTS|LIGHTS?|PAPI|VASI|REIL|ALS|MALSR|BCN|BEACON)\b")
_RESTRICTS: Final = re.compile(
    r"FLT RESTRICTIONS?|FLIGHT RESTRICTIONS?|\bTFR\b|PROHIBITED|RESTRICTED|\bR-?\d{4}|\bP-?\d{2,4}"
)
_US_KEYWORDS: Final[dict[str, Consequence]] = {
    **dict.fromkeys(("TWY", "APRON", "RAMP"), "taxiway"),
    **dict.fromkeys(("AIRSPACE", "SECURITY", "SPECIAL"), "airspace"),
    "OBST": "obstacle",
    **dict.fromkeys(("NAV", "COM", "SVC", "ODP", "SID", "STAR", "CHART", "DATA"), "procedure"),
    **dict.fromkeys(("IAP", "VFP", "ROUTE"), "procedure"),
}


def read_notice(text: str) -> Notice:
    """What one NOTAM says, in either form.

    Raises
    ------
    UnreadableText
        If it does not begin as one of the two forms.

    Examples
    --------
    >>> notice = read_notice("!QWR 11/001 QWR RWY 09/27 CLSD 2511251200-2511252200")
    >>> notice.consequence, notice.runways, f"{notice.until_utc:%d %H:%M}"
    ('runway closed', ('09', '27'), '25 22:00')
    """
    whole = text.strip().upper()
    if len(whole) > MOST_SIGNS:
        raise UnreadableText(whole[:60], f"{len(whole)} signs are more than one notice has")
    icao, domestic = _ICAO.match(whole), _US.match(whole)
    if icao is not None and icao.end() == len(whole):
        return _icao(icao, whole)
    if domestic is not None:
        return _domestic(domestic, whole)
    example = "!QWR 11/001 QWR RWY 09/27 CLSD 2511251200-2511252200"
    raise UnreadableText(" ".join(whole.split())[:60], f"no notice of either form; e.g. {example}")


def _icao(match: re.Match[str], whole: str) -> Notice:
    items = _items(match["rest"] or "")
    undecoded = [f"{letter}) {items.get(letter, 'missing')}" for letter in _not_read(match, items)]
    q_line = _Q.fullmatch(items.get("Q", "").replace(" ", ""))
    message = items.get("E", "")
    from_utc, (until_utc, estimated) = time_of(items.get("B", "")), _until(items.get("C", ""))
    code = q_line["code"] if q_line else ""
    low, high = (height_of(items.get(letter, "")) for letter in "FG")
    notice = Notice(
        id=match["id"],
        place=items.get("A", "").split(" ")[0],
        consequence=q_consequence(code) if code[1:3] not in {"", "XX"} else _by_words(message),
        from_utc=from_utc,
        until_utc=until_utc,
        estimated=estimated,
        message=message,
        text=whole,
        cancels_id=(match["other"] or "") if match["kind"] in "RC" else "",
        only_cancels=match["kind"] == "C",
        low=low,
        high=high,
        undecoded=tuple(undecoded),
    )
    if q_line is not None:
        notice = _with_q(notice, q_line)
    return _finished(notice, message, items.get("D", ""))


def _items(rest: str) -> dict[str, str]:
    """The lettered items in their order; letters in the words of E) begin none."""
    rest = _STAMP.sub("", rest)
    levels = _LEVELS.search(rest)
    body = rest[: levels.start()] if levels else rest.rstrip().removesuffix(")")
    found = {"F": levels["low"], "G": levels["high"]} if levels else {}
    words = _MARK["E"].search(body)
    at, last = 0, words.end() if words else len(body)
    marks: list[tuple[str, int, int]] = []
    for letter, mark in _MARK.items():
        match = mark.search(body, at, last)
        if match is not None:
            marks.append((letter, match.start(), match.end()))
            at = match.end()
    ends = [*(begin for _, begin, _ in marks[1:]), len(body)]
    for (letter, _, start), end in zip(marks, ends, strict=False):  # no mark, one end
        found[letter] = " ".join(body[start:end].split())
    return found


def _not_read(match: re.Match[str], items: dict[str, str]) -> list[str]:
    """Letters of the items that are missing or not of their form."""
    ended = match["kind"] == "C"
    wrong = []
    if not _Q.fullmatch(items.get("Q", "").replace(" ", "")):
        wrong.append("Q")
    if time_of(items.get("B", "")) is None:
        wrong.append("B")
    if not ended and not _is_until(items.get("C", "")):
        wrong.append("C")
    wrong += [one for one in "FG" if one in items and height_of(items[one]) is None]
    return wrong + [one for one in "AE" if not items.get(one)]


def _is_until(text: str) -> bool:
    return text in {"PERM", "UFN"} or (
        time_of(text[:10]) is not None and text[10:].strip() in {"", "EST"}
    )


def _until(text: str) -> tuple[datetime | None, bool]:
    """End and whether it is estimated."""
    return time_of(text[:10]), text.endswith("EST") or not _is_until(text)


def _with_q(notice: Notice, q_line: re.Match[str]) -> Notice:
    """With what the line of qualifiers tells, where the items say no more."""
    subject, condition = q_words(q_line["code"])
    spots = positions_of(q_line["position"] or "")
    low = Level(ft=float(q_line["low"]) * 100.0, reference="FL")
    high = Level(ft=float(q_line["high"]) * 100.0, reference="FL")
    scope = q_line["scope"]
    decoded = (
        ("region", q_line["fir"]),
        ("subject", subject),
        ("condition", condition),
        ("traffic", TRAFFIC.get(q_line["traffic"], q_line["traffic"])),
        ("purpose", ", ".join(PURPOSES[one] for one in q_line["purpose"])),
        ("scope", ", ".join(SCOPES[one] for one in scope)),
        ("levels", f"{q_line['low']} to {q_line['high']}"),
    )
    return replace(
        notice,
        low=notice.low or (None if q_line["low"] == "000" else low),
        high=notice.high or (None if q_line["high"] == "999" else high),
        lat_deg=spots[0][0] if spots else None,
        lon_deg=spots[0][1] if spots else None,
        radius_nm=float(q_line["radius"]) if q_line["radius"] else None,
        restricts=q_line["code"][1] == "R" and q_line["code"][3:5] not in {"CD", "CN", "CC"},
        aerodrome_only=scope == "A",
        decoded=decoded,
    )


def _domestic(match: re.Match[str], whole: str) -> Notice:
    message = " ".join(match["message"].split())
    times = _US_TIMES.search(message)
    said = message[: times.start()].strip() if times else message
    hours = _US_HOURS.search(said)
    until_utc = time_of(times["until"]) if times else None
    band, spots = band_of(said), positions_of(said)
    consequence = _by_words(said)
    missing = [] if times and (time_of(times["from"]) or times["from"] == "WIE") else ["its times"]
    if times and until_utc is None and times["until"].isdigit():
        missing.append(times["until"])
    notice = Notice(
        id=f"{match['account']} {match['number']}",
        place=match["place"],
        consequence=consequence,
        from_utc=time_of(times["from"]) if times else None,
        until_utc=until_utc,
        estimated=times is None or times["est"] is not None or bool(missing),
        message=said,
        text=whole,
        low=band[0] if band else None,
        high=band[1] if band else None,
        aerodrome_only=consequence not in {"airspace", "obstacle"},
        restricts=consequence == "airspace" and _RESTRICTS.search(said) is not None,
        undecoded=tuple(missing),
    )
    if spots and consequence in {"airspace", "obstacle"}:
        notice = replace(notice, lat_deg=spots[0][0], lon_deg=spots[0][1])
    return _finished(notice, said, hours[1] if hours else "")


def _finished(notice: Notice, message: str, hours: str) -> Notice:
    """With closed runways, the outline of its words, and its hours."""
    spots, radius_nm = positions_of(message), radius_of(message)
    closed = closed_runways(message) if notice.consequence == "runway closed" else None
    if notice.consequence == "runway closed":
        notice = replace(
            notice,
            runways=closed.runways if closed else (),
            conditional=closed is None or closed.conditional,
        )
    if len(spots) >= 3 and radius_nm is None:
        notice = replace(notice, corners_deg=spots)
    elif spots and radius_nm is not None:
        notice = replace(notice, lat_deg=spots[0][0], lon_deg=spots[0][1], radius_nm=radius_nm)
    if not hours:
        return notice
    start, end = notice.from_utc, notice.until_utc
    spans = spans_of(hours, start, end) if start and end else None
    undecoded = (*notice.undecoded, f"D) {hours}") if spans is None else notice.undecoded
    return replace(notice, hours=hours, spans_utc=spans, undecoded=undecoded)


def _by_words(message: str) -> Consequence:
    """What a text in plain words is about."""
    first = message.split(" ", 1)[0]
    if first not in _US_KEYWORDS and closed_runways(message) is not None:
        return "runway closed"
    if _LIGHTS.search(message) and first != "OBST":
        return "lights"
    if first == "RWY":
        return "other"
    if _RESTRICTS.search(message):
        return "airspace"
    return _US_KEYWORDS.get(first, "other")

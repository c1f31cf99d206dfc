"""The report of one flight as values: everything that its template may use, already in words.

``make_report`` knows no request, no file and no HTML. What was not printed, flown or kept is
None, and the page says so.
"""

import base64
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lubberline.fit import NOT_CHECKED
from lubberline.flight import Pledge
from lubberline.line import WORST_FIRST, Finding, Verdict, verdict_sentence, worst_first
from lubberline.loop import (
    Courses,
    Prepared,
    WayAccount,
    account_words,
    call_sentences,
    chance_text,
    radio_plan,
    short_words,
    way_account,
)
from lubberline.page.drift_part import drift_view
from lubberline.page.flown_part import Debrief, flown_view
from lubberline.page.line_svg import line_rows
from lubberline.page.map_picture import map_picture
from lubberline.page.profile_picture import way_profile
from lubberline.page.view import (
    CardView,
    Group,
    Heed,
    ReportPage,
    Subject,
    WayView,
)
from lubberline.page.words import airspace_sentences
from lubberline.ways import Way
from lubberline.wording import CAUTION, SHAPES

AT_ONCE = ("Who lets you in", "Room to the neighbors")  # of a way; the rest is folded away
GROUPS = {"pilot": "Pilot", "airplane": "Airplane", "flight": "Flight", "ways": "Way"}


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedCard:
    """The latest pledge, and its card as PNG if today's files still make the same card."""

    pledge: Pledge
    png: bytes | None


def make_report(
    prepared: Prepared,
    *,
    card: PrintedCard | None = None,
    debrief: Debrief | None = None,
    drift: Courses | None = None,
) -> ReportPage:
    """The report of one flight: what is planned, and what was flown where it is known."""
    plan, ways, way = prepared.plan, prepared.ways, prepared.way
    flight = plan.flight
    track = debrief.flown.track if debrief is not None and debrief.flown.track.time_s.size else None
    return ReportPage(
        title=flight.title,
        subtitle=f"{flight.off_block_utc:%Y-%m-%d}, off block {flight.off_block_utc:%H:%MZ},"
        f" {plan.aircraft.name} {plan.aircraft.call_sign}, way {prepared.number}: {way.name}",
        sentence=verdict_sentence(prepared.findings),
        flown_sentence=verdict_sentence(debrief.flown.findings) if debrief is not None else "",
        heed=tuple(_heed(prepared.findings)),
        caution=CAUTION,
        not_checked=NOT_CHECKED,
        fit=tuple(_groups(prepared.findings)),
        map=map_picture(plan, ways, way, track),
        airspace=tuple(airspace_sentences(plan.places.volumes)),
        ways=tuple(_way(prepared, number, one) for number, one in enumerate(ways, 1)),
        card=_card(card) if card is not None else None,
        flown=flown_view(prepared, debrief) if debrief is not None else None,
        drift=drift_view(drift) if drift is not None else None,
    )


def _heed(findings: Sequence[Finding]) -> Iterator[Heed]:
    """What is not inside, the worst first, before anything else is read."""
    listed = worst_first(findings)
    for verdict in (one for one in WORST_FIRST if one is not Verdict.INSIDE):
        labels = [one.limit.label for one in listed if one.verdict is verdict]
        if labels:
            yield Heed(verdict=str(verdict), shape=SHAPES[verdict], labels="; ".join(labels))


def _groups(findings: Sequence[Finding]) -> Iterator[Group]:
    """Findings by what they belong to; a group without a name of its own keeps its key."""
    present = dict.fromkeys([*GROUPS, *(finding.limit.group for finding in findings)])
    for key in present:
        members = tuple(finding for finding in findings if finding.limit.group == key)
        if members:
            yield Group(name=GROUPS.get(key, key), rows=line_rows(members))


def _way(prepared: Prepared, number: int, way: Way) -> WayView:
    told = way_account(prepared, way)
    named = [*account_words(told), ("Calls", call_sentences(radio_plan(prepared, way)))]
    subjects = [Subject(name=name, sentences=words) for name, words in named]
    return WayView(
        number=number,
        name=way.name,
        chosen=way is prepared.way,
        row=tuple(_row(told)),
        needs=", ".join(sorted(way.permissions)) or "nobody",
        verdict=str(told.worst.verdict),
        shape=SHAPES[told.worst.verdict],
        sentence=f"Worst: {told.worst.limit.label}, {told.worst.verdict}.",
        short=tuple(short_words(told)),
        subjects=tuple(one for one in subjects if one.name in AT_ONCE),
        details=tuple(one for one in subjects if one.name not in AT_ONCE),
        rows=line_rows((*way.findings, *told.sky)),
        profile=way_profile(prepared.plan, number, way),
    )


def _row(told: WayAccount) -> Iterator[str]:
    """Time, fuel, distance, height, cost, arrival and its chance; "" where not asked or known."""
    way = told.way
    yield f"{way.time_min:.0f} min"
    yield f"{way.fuel_gal:.1f} gal"
    yield f"{way.distance_nm:.1f} NM"
    yield f"{way.cruise_msl_ft:,.0f} ft"
    yield "" if told.price is None else str(told.price)
    yield f"{told.on_block_utc:%H:%MZ}"
    yield chance_text(told)


def _card(card: PrintedCard) -> CardView:
    pledge = card.pledge
    printed = f"Printed {pledge.printed_utc:%Y-%m-%d %H:%MZ} for the way {pledge.way_name!r}"
    changed = (
        "; the files, the way shown or the program are no longer those that it was printed from, so"
        f" its picture is not shown: see card-{pledge.sha256[:12]}.pdf"
    )
    return CardView(
        sentence=f"{printed}{changed if card.png is None else ''}.",
        pledge=pledge.sha256,
        png=base64.b64encode(card.png or b"").decode(),
    )

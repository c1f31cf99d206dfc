"""Answers as text or as one JSON document; nothing here decides anything."""

from collections.abc import Sequence
from dataclasses import asdict

from lubberline.cli.line_rows import line_rows
from lubberline.cli.output import document, say, wrapped
from lubberline.drift import drift_finding
from lubberline.fit import NOT_CHECKED, fit_sentence, risks
from lubberline.line import Finding, finding_record, verdict_sentence
from lubberline.loop import Drifted, Prepared, Printed, way_account
from lubberline.wording import CAUTION

LISTED_COUNT = 30  # flights of one measure
GROUPS = {
    "pilot": "Pilot",
    "airplane": "Airplane",
    "flight": "Flight",
    "ways": "Way",
    "flown": "Flown",
    "drift": "Drift",
}


def fit(prepared: Prepared) -> None:
    """The verdict sentence, then the line by group, worst first."""
    flight = prepared.plan.flight
    say(f"FIT  {flight.title}, {flight.off_block_utc:%Y-%m-%d %H:%MZ}")
    say(f"     way {prepared.number}: {prepared.way.name}")
    for one in prepared.impossible:
        wrapped(f"Cannot be flown: {one}", indent=5)
    wrapped(fit_sentence(prepared.findings))
    groups(prepared.findings)
    say()
    say("Harder than usual")
    for risk in risks(prepared.plan, prepared.way, prepared.findings):
        wrapped(f"{risk.group}: {risk.text}", indent=2)
    say()
    wrapped(f"{CAUTION} Not checked: {NOT_CHECKED}.")


def fit_json(prepared: Prepared) -> None:
    """The same findings as one document."""
    document(
        flight=prepared.plan.flight.title,
        way=prepared.way.name,
        impossible=[asdict(one) for one in prepared.impossible],
        sentence=fit_sentence(prepared.findings),
        findings=[finding_record(finding) for finding in prepared.findings],
        risks=[asdict(one) for one in risks(prepared.plan, prepared.way, prepared.findings)],
        not_checked=NOT_CHECKED,
        caution=CAUTION,
    )


def groups(findings: Sequence[Finding]) -> None:
    """The line, one block per group in the order of the loop."""
    for key, title in GROUPS.items():
        members = [finding for finding in findings if finding.limit.group == key]
        if members:
            say()
            rows = line_rows(members)
            say(f"{title}{rows[0][len(title) :]}")
            for row in rows[1:]:
                say(row)


def ways_table(prepared: Prepared) -> None:
    """All ways side by side: what each costs, its worst verdict, and who has to agree."""
    say(f"{'':3}{'way':31}{'min':>5}{'gal':>6}{'NM':>7}{'ft':>7}  worst verdict")
    for number, way in enumerate(prepared.ways, 1):
        worst = way_account(prepared, way).worst
        say(
            f"{number:2} {way.name[:30]:31}{way.time_min:5.0f}{way.fuel_gal:6.1f}"
            f"{way.distance_nm:7.1f}{way.cruise_msl_ft:7,.0f}  {worst.verdict}"
        )
        wrapped(f"asks for: {', '.join(sorted(way.permissions)) or 'nothing'}", indent=5)
    for one in prepared.impossible:
        wrapped(f"cannot be flown: {one}", indent=3)


def card(printed: Printed, *, as_json: bool) -> None:
    """Where the card and its pledge lie."""
    if as_json:
        document(
            card=str(printed.card_path),
            png=str(printed.png_path) if printed.png_path else None,
            pledge=str(printed.pledge_path),
            sha256=printed.pledge.sha256,
        )
        return
    say(f"CARD  way {printed.prepared.number}: {printed.pledge.way_name}")
    card_paths(printed)
    wrapped(verdict_sentence(printed.prepared.findings))
    wrapped(CAUTION)


def card_paths(printed: Printed) -> None:
    """The card's file, its picture, and the pledge with its hash."""
    say(f"card    {printed.card_path}")
    if printed.png_path:
        say(f"        {printed.png_path}")
    say(f"pledge  {printed.pledge_path}")
    say(f"        sha256 {printed.pledge.sha256}")


def drift(drifted: Drifted, *, as_json: bool) -> None:
    """The word first, then the values in order."""
    if as_json:
        document(**drifted.record())
        return
    say(f"DRIFT  {drifted.measure.label}: {drifted.verdict.word}")
    drift_values(drifted)


def drift_values(drifted: Drifted) -> None:
    """What the word rests on, then the values in order."""
    drift_note(drifted)
    drift_flights(drifted)


def drift_note(drifted: Drifted) -> None:
    """What the word rests on."""
    found = drift_finding(drifted.measure, drifted.verdict)
    wants = f"; {found.missing} would tell" if found.missing else ""
    note = found.note.removeprefix(f"{drifted.verdict.word}: ")
    wrapped(f"{note[:1].upper()}{note[1:]}{wants}.")


def drift_flights(drifted: Drifted) -> None:
    """The latest flights with their values as bars, oldest first."""
    measure = drifted.measure
    first = max(0, len(measure) - LISTED_COUNT)
    if first:
        say(f"  ... {first} flights before")
    shown = (measure.flown_utc[first:], measure.values[first:], measure.sigmas[first:])
    most = max(float(measure.values[first:].max(initial=0.0)), 1e-9)
    for when, value, sigma in zip(*shown, strict=True):
        bar = "▪" * max(1, round(float(value) / most * 40))
        say(f"  {when:%Y-%m-%d} {value:7.1f} ±{sigma:5.1f} {measure.unit:4}{bar}")

"""From a flight file to its ways, the chosen one, its findings, and the printed card."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path

from lubberline import card
from lubberline.errors import RangeError
from lubberline.fit import check_fit, local_day
from lubberline.flight import FLIGHT_FILE, Plan, Pledge, folder_of, read_plan
from lubberline.line import Finding, Verdict
from lubberline.loop.logbook import with_logged
from lubberline.loop.practice import recorded_movements
from lubberline.ways import ImpossibleWay, Way, all_ways


@dataclass(frozen=True, slots=True, kw_only=True)
class Prepared:
    """A flight with all its ways, the chosen one, and the findings for it.

    ``impossible`` are the candidates that cannot be flown, and why.
    """

    plan: Plan
    ways: tuple[Way, ...]
    way: Way
    findings: tuple[Finding, ...]
    impossible: tuple[ImpossibleWay, ...] = ()

    @property
    def number(self) -> int:
        """Number of the chosen way in the list."""
        return self.ways.index(self.way) + 1


def prepare(flight_path: Path, number: int | None) -> Prepared:
    """Read a flight, evaluate its ways, choose one and check it.

    Without a number the fastest way is taken with which nothing is outside its limits; if
    there is none, the fastest.
    """
    return prepare_plan(read_plan(flight_path), number)


def prepare_plan(plan: Plan, number: int | None) -> Prepared:
    """As ``prepare``, for a plan that is read already."""
    plan = _as_practiced(plan)
    ways, impossible = all_ways(plan)
    if number is not None:
        chosen = checked(plan, ways, _numbered(ways, number))
    else:
        fastest_first = (checked(plan, ways, way) for way in ways)
        kept = (one for one in fastest_first if not _breaks_a_limit(one))
        chosen = next(kept, None) or checked(plan, ways, ways[0])
    return replace(chosen, impossible=impossible)


def _as_practiced(plan: Plan) -> Plan:
    """With what logbook and recordings show, and the own minimums of the day."""
    off_block_utc = plan.flight.off_block_utc
    home = folder_of(plan.folder / FLIGHT_FILE)
    recorded = recorded_movements(home, plan.pilot.name, off_block_utc)
    logged = with_logged(home, plan.pilot.name, plan.pilot.landings)
    pilot = replace(plan.pilot, recorded=recorded, landings=logged)
    day = local_day(plan.departure.lon_deg, off_block_utc)
    return replace(plan, pilot=replace(pilot, own=pilot.own_on(day)))


def checked(plan: Plan, ways: tuple[Way, ...], way: Way) -> Prepared:
    """One of a plan's ways with everything that can be decided about it."""
    findings = (*check_fit(plan, way), *way.findings)
    return Prepared(plan=plan, ways=ways, way=way, findings=findings)


def _numbered(ways: tuple[Way, ...], number: int) -> Way:
    if not 1 <= number <= len(ways):
        raise RangeError(f"--way is {number}; expected 1 to {len(ways)} (see: lubberline ways)")
    return ways[number - 1]


def _breaks_a_limit(prepared: Prepared) -> bool:
    return any(finding.verdict is Verdict.OUTSIDE for finding in prepared.findings)


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """A printed card: where it lies, and the pledge it made."""

    card_path: Path
    pledge_path: Path
    png_path: Path | None
    pledge: Pledge
    prepared: Prepared


def print_card(
    prepared: Prepared,
    *,
    png: bool,
    form: card.Form = card.DAY,
    practice: Sequence[str] | None = None,
    printed_utc: datetime | None = None,
) -> Printed:
    """Print the chosen way's card beside the flight file, now unless a time is given.

    ``practice`` are tasks for this flight, None: those with the most to gain by the flights that
    were kept. They are pledged, too, with the numbers that will judge them.
    """
    from lubberline.loop.practice_tasks import practice_tasks

    plan, way = prepared.plan, prepared.way
    tasks = practice_tasks(plan, way) if practice is None else ()
    findings = (*prepared.findings, *(one.finding for one in tasks))
    card_path, pledge_path, pledge = card.print_card(
        plan,
        way,
        findings,
        folder=plan.folder,
        printed_utc=printed_utc or datetime.now(UTC),
        form=form,
        practice=[one.text for one in tasks] if practice is None else practice,
    )
    png_path = None
    if png:
        sheet = card.make_sheet(
            plan, way, findings, pledge_sha256=pledge.sha256, practice=pledge.practice
        )
        png_path = card_path.with_suffix(".png")
        png_path.write_bytes(card.render(sheet, "png", form=form))
    return Printed(
        card_path=card_path,
        pledge_path=pledge_path,
        png_path=png_path,
        pledge=pledge,
        prepared=prepared,
    )

"""Own marks beside what was measured: one row for each mark of a pilot.

A mark names a finding by its key, or a phase, which the worst finding that speaks of it
answers. What no finding answers is counted, not dropped.
"""

from collections.abc import Sequence
from pathlib import Path

from lubberline.drift import OwnMarkRow
from lubberline.flown import beside
from lubberline.line import Finding, Verdict, worst_first
from lubberline.loop.course import reading_of


def mark_rows(directory: Path, *, pilot: str | None = None) -> tuple[str, list[OwnMarkRow]]:
    """The pilot, and each own mark with the verdict that was measured."""
    from lubberline.store import findings_of, own_marks

    with reading_of(directory, pilot) as (session, who):
        marked = own_marks(session, pilot=who)
        findings = {each: findings_of(session, each) for each in {m.flight_id for m in marked}}
    rows = [
        OwnMarkRow(
            phase=one.mark.key.removeprefix("flown."),
            mark=one.mark.mark,
            measured=_measured(one.mark.key, findings[one.flight_id]),
            chance_fraction=one.mark.chance_fraction,
        )
        for one in marked
    ]
    return who, rows


def _measured(key: str, findings: Sequence[Finding]) -> str | None:
    """The worst verdict that answers a mark; None where none is known."""
    for one in beside((), findings):
        if one.phase == key:
            return str(one.measured) if one.measured is not None else None
    found = [f for f in findings if f.limit.key == key and f.verdict is not Verdict.UNKNOWN]
    return str(worst_first(found)[0].verdict) if found else None

"""Is the pilot fit today, by the pilot's own word: each answer for the pilot, one for the others.

Only ``pilot.fitness`` says anything beyond the pilot's own screen, and it says no more than
that the check was answered and whether anything was outside; ``open_findings`` leaves out the
rest.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Final

from lubberline.fit.setting import times_utc
from lubberline.flight import Plan
from lubberline.line import Finding, Limit, Verdict, unknown
from lubberline.pilot import Fitness
from lubberline.ways import Way

PRIVATE: Final = "pilot.self_"
FRESH_H: Final = 12.0  # own: what was answered yesterday is another day's fitness
_HOW: Final = "lubberline fitness FOLDER: answer it today"
_DRINK: Final = "14 CFR 91.17(a)(1), eight hours, from memory; 0.04 g/dl read 2026-11-25"
_MEDICINE: Final = "14 CFR 91.17(a)(3), from memory: no drug that works against safety"
_ILLNESS: Final = "14 CFR 61.53(a)(1), from memory: a condition that would deny the medical"
_COMMON: Final = "common practice, no rule"


def fitness_findings(plan: Plan, way: Way) -> Iterator[Finding]:
    """The check as a whole, then each answer; unknown while it is not answered or too old."""
    fitness, off_block_utc = plan.pilot.fitness, plan.flight.off_block_utc
    whole = Limit(
        key="pilot.fitness",
        label="answers of the fitness check outside",
        unit="answers",
        high=0.0,
        tolerance=1.0,
        basis="own",
        source="own: a check answered by the pilot on the day",
    )
    if fitness is None:
        yield unknown(whole, _HOW)
        return
    old_h = (off_block_utc - fitness.answered_utc) / timedelta(hours=1)
    if not 0.0 <= old_h <= FRESH_H:
        when = "after" if old_h < 0.0 else "before"
        yield unknown(whole, _HOW, where=f"answered {abs(old_h):,.0f} h {when} leaving the block")
        return
    answers = tuple(_answers(plan, way, fitness))
    outside = sum(one.verdict is Verdict.OUTSIDE for one in answers)
    where = f"answered {fitness.answered_utc:%d %H:%MZ}"
    yield Finding(limit=whole, value=float(outside), where=where)
    yield from answers


def open_findings(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Those that may be printed, pledged and shown to others."""
    return tuple(one for one in findings if not one.limit.key.startswith(PRIVATE))


def _answers(plan: Plan, way: Way, fitness: Fitness) -> Iterator[Finding]:
    """The law's questions first, then those that the pilot set a limit for."""
    own = plan.pilot.own
    takeoff_utc, landing_utc, _ = times_utc(plan, way)
    yield _yes_or_no("ill", "ill or hurt", fitness.ill, _ILLNESS)
    yield _yes_or_no("medication", "medication that may slow", fitness.medication, _MEDICINE)
    yield _drink(fitness, takeoff_utc)
    awake_h = (landing_utc - fitness.up_since_utc) / timedelta(hours=1)
    eaten_h = (landing_utc - fitness.eaten_utc) / timedelta(hours=1)
    rows = (
        ("slept", "hours slept", "h", fitness.slept_h, "sleep_h"),
        ("awake", "hours awake at landing", "h", awake_h, "awake_h"),
        ("eaten", "hours since eating at landing", "h", eaten_h, "eaten_h"),
        ("stress", "stress, 0 to 4", "", float(fitness.stress_index), "stress_index"),
    )
    for key, label, unit, value, name in rows:
        if getattr(own, name) is not None:
            side = "low" if key == "slept" else "high"
            source = f"{own.source(name)}; {_COMMON}"
            limit = _limit(key, label, unit, source, **{side: getattr(own, name)})
            yield Finding(limit=limit, value=value)


def _yes_or_no(key: str, label: str, answer: bool, source: str) -> Finding:
    limit = replace(_limit(key, label, "", source, high=0.0), basis="law", tolerance=1.0)
    return Finding(limit=limit, value=float(answer), note="yes" if answer else "no")


def _drink(fitness: Fitness, takeoff_utc: datetime) -> Finding:
    """Hours from the last drink to take-off; whoever had none counts from the day before."""
    last_utc = fitness.last_drink_utc or fitness.answered_utc - timedelta(hours=24)
    least = "" if fitness.last_drink_utc else "none in the day before the answer; "
    limit = _limit("alcohol", "hours since alcohol at take-off", "h", _DRINK, low=8.0)
    return Finding(
        limit=replace(limit, basis="law"),
        value=(takeoff_utc - last_utc) / timedelta(hours=1),
        note=f"{least}not looked at: less than 0.04 g/dl left in the blood, 91.17(a)(4)",
    )


def _limit(
    key: str,
    label: str,
    unit: str,
    source: str,
    *,
    low: float | None = None,
    high: float | None = None,
) -> Limit:
    return Limit(
        key=f"{PRIVATE}{key}",
        label=label,
        unit=unit,
        low=low,
        high=high,
        tolerance=4.0,
        basis="own",
        source=source,
    )

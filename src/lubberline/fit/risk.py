"""What makes this flight harder than usual, in the four groups of the handbook, as facts.

No score: each row is a number of the day beside the limit it has, or a plain fact. The groups
are those of [FAA-RMH]_: pilot, aircraft, environment, external pressures.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from lubberline.fit.appointment import APPOINTMENT, ENDS
from lubberline.fit.daylight import local_day
from lubberline.fit.rules import rules_of
from lubberline.fit.setting import times_utc
from lubberline.flight import Plan
from lubberline.line import Finding, Verdict, worst_first
from lubberline.ways import Way
from lubberline.wording import limit_text, value_text

Group = Literal["pilot", "airplane", "environment", "external pressure"]
# Findings whose number belongs to the environment of a flight, whatever their verdict.
_AROUND = (
    *("flight.crosswind_departure", "flight.crosswind_destination"),
    *("flight.density_altitude_departure", "flight.density_altitude_destination"),
)
_MOST_ROWS_COUNT = 3  # own: the line has all of them


@dataclass(frozen=True, slots=True, kw_only=True)
class Risk:
    """One fact that makes the flight harder, and the group it belongs to."""

    group: Group
    text: str


def risks(plan: Plan, way: Way, findings: Sequence[Finding]) -> tuple[Risk, ...]:
    """Every fact, by group."""
    by_key = {one.limit.key: one for one in findings}
    return (
        *(Risk(group="pilot", text=text) for text in _pilot(plan, way, by_key)),
        *(Risk(group="airplane", text=text) for text in _airplane(findings)),
        *(Risk(group="environment", text=text) for text in _around(plan, way, by_key)),
        *(Risk(group="external pressure", text=text) for text in _pressure(plan, by_key)),
    )


def _pilot(plan: Plan, way: Way, by_key: dict[str, Finding]) -> Iterator[str]:
    pilot, day = plan.pilot, local_day(plan.departure.lon_deg, plan.flight.off_block_utc)
    days = pilot.days_since_landing(day)
    if days is None:
        yield "no landing on file: how recent your hands are is not known"
    else:
        yield f"{days} days since your last landing on file"
        yield _in_type(plan, day)
    pause = pilot.after_pause
    if pause is not None and (days is None or days > pause.days):
        yield f"your minimums after a pause of {pause.days} days hold"
    if pilot.fitness is None:
        yield "your fitness check is not answered"
        return
    landing_utc = times_utc(plan, way)[1]
    awake_h = (landing_utc - pilot.fitness.up_since_utc) / timedelta(hours=1)
    if 0.0 <= awake_h < 48.0:
        yield f"{awake_h:.0f} hours awake at landing"
    whole = by_key.get("pilot.fitness")
    if whole is not None and whole.verdict is not Verdict.INSIDE:
        yield f"your fitness check: {whole.verdict}"


def _in_type(plan: Plan, day: date) -> str:
    """How long ago the pilot landed this type; a day without a type could have been one."""
    pilot, name = plan.pilot, plan.aircraft.type_name
    days = pilot.days_since_landing(day, type_name=name)
    if days is not None:
        return f"{days} days since your last landing in a {name}"
    told = [one.type_name for one in pilot.landings or ()]
    told += [one.type_name for one in pilot.recorded]
    if all(told):
        return f"first flight in a {name}"
    return f"type_name not on file: when you last flew a {name}"


def _airplane(findings: Sequence[Finding]) -> Iterator[str]:
    """What of the airplane is not inside, worst first."""
    own = [one for one in worst_first(findings) if one.limit.group == "airplane"]
    worse = [one for one in own if one.verdict is not Verdict.INSIDE]
    for one in worse[:_MOST_ROWS_COUNT]:
        yield f"{one.limit.label}: {value_text(one)}, {limit_text(one.limit)} ({one.verdict})"
    if not worse:
        yield "nothing of the airplane is close to a limit"


def _around(plan: Plan, way: Way, by_key: dict[str, Finding]) -> Iterator[str]:
    _, landing_utc, _ = times_utc(plan, way)
    if rules_of(plan).is_night(plan.destination, landing_utc):
        yield "landing by night"
    for key in _AROUND:
        if key in by_key:
            one = by_key[key]
            yield f"{one.limit.label}: {value_text(one)}, {limit_text(one.limit)} ({one.verdict})"


def _pressure(plan: Plan, by_key: dict[str, Finding]) -> Iterator[str]:
    for key in ENDS:
        if key in by_key:
            one = by_key[key]
            yield f"{one.limit.label}: {value_text(one)} to spare; {one.where}".rstrip("; ")
    if APPOINTMENT not in by_key:
        yield "nobody waits by the clock"
    if plan.flight.carries_persons:
        yield "persons aboard who want to arrive"
    if plan.flight.hire in ("persons", "instruction"):
        yield f"paid for: {plan.flight.hire}"

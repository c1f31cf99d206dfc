"""What the next flight should practise: two or three tasks with numbers, and why these.

What there is to gain from a measure is the product of four things: how much of its tolerance is
used up and what a miss of it costs, whether it got worse lately, how long ago it was last flown,
and how much chance this way gives to practise it. The factors are our own; each is shown.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import ceil
from pathlib import Path
from typing import TYPE_CHECKING, Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.flight import FLIGHT_FILE, Plan, folder_of
from lubberline.line import COVERAGE, Finding, Limit, unknown
from lubberline.loop.course import store_path
from lubberline.ways import Leg, Way

if TYPE_CHECKING:
    from lubberline.store import MeasuredFlight

PRACTICE: Final = "practice"  # group of the findings that a pledge holds for it
MOST_TASKS_COUNT: Final = 3
LATEST_COUNT: Final = 5  # own: what one is used to flying is the median of so many flights
LOOK_BACK_COUNT: Final = 50
LONG: Final = timedelta(days=60)  # own: a skill not flown for so long counts twice
CRUISE_MIN: Final = 20.0  # own: of a shorter cruise less can be practised
HOLD_MIN: Final = 10.0  # own: what one task asks to be held for
BETTER_FRACTION: Final = 0.75  # own: a task asks for a quarter less than usual
LEAST_GAIN: Final = 0.05  # own: what is far inside its tolerance is no task
ABSOLUTE: Final = re.compile(r"speed$|bank$")
_STEP: Final = {"ft": 10.0, "deg": 1.0, "kt": 1.0, "min": 0.5, "NM": 0.1, "fpm": 50.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class Skill:
    """Measures that one task practises: what a miss costs, and where the chance lies."""

    name: str
    keys: str
    cost_factor: float
    where: str


# The first whose pattern fits the name of a measure; what fits none is not practised on a way.
SKILLS: Final = (
    Skill(name="landing", keys=r"touchdown|landing|flare|bounce", cost_factor=1.5, where="ends"),
    Skill(name="approach", keys=r"approach|final|gate|stable", cost_factor=1.5, where="ends"),
    Skill(name="pattern", keys=r"pattern", cost_factor=1.2, where="ends"),
    Skill(name="height", keys=r"cruise_height", cost_factor=1.2, where="cruise"),
    Skill(name="course", keys=r"course|track_distance", cost_factor=1.0, where="cruise"),
    Skill(name="climb", keys=r"climb", cost_factor=1.0, where="ends"),
    Skill(name="descent", keys=r"descent|level_off|start_down", cost_factor=1.0, where="ends"),
    Skill(name="time", keys=r"checkpoint_time|enroute_time", cost_factor=0.7, where="points"),
    Skill(name="time", keys=r"_time$", cost_factor=0.5, where="ends"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Gain:
    """The four factors, and what they come to together."""

    importance_factor: float
    deterioration_factor: float
    since_factor: float
    chance_factor: float

    @property
    def total_factor(self) -> float:
        """How much there is to gain."""
        return (
            self.importance_factor
            * self.deterioration_factor
            * self.since_factor
            * self.chance_factor
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One thing to practise: what to do in numbers, why, and the finding that will judge it."""

    key: str
    text: str
    why: str
    gain: Gain
    finding: Finding


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Course:
    """One measure over the pilot's flights, oldest first, with its latest limit."""

    key: str
    skill: Skill
    limit: Limit
    values: FloatArray
    sigma: float
    last_utc: datetime

    @property
    def usual(self) -> float:
        """What the pilot is used to flying."""
        return float(np.median(self.values[-LATEST_COUNT:]))

    @property
    def tolerance(self) -> float:
        """The wider of the limit's two sides."""
        return max(abs(self.limit.low or 0.0), abs(self.limit.high or 0.0))

    @property
    def used_ratio(self) -> float:
        """How much of what is allowed the latest flights used up, from 0 to 2.

        Of a deviation the share of its tolerance on the median flight; of anything else, such as
        a height to be stable by, the share of flights that were not inside.
        """
        if is_deviation(self.limit):
            return min(self.usual / self.tolerance, 2.0)
        margins = [self.limit.margin(value) for value in self.values[-LATEST_COUNT:]]
        return sum(one < COVERAGE * self.sigma for one in margins) / len(margins)


def practice_tasks(plan: Plan, way: Way) -> tuple[Task, ...]:
    """The tasks with the most to gain on this way, most first; none without kept flights."""
    home = folder_of(plan.folder / FLIGHT_FILE)
    if not store_path(home).exists():
        return ()
    courses = _courses(home, plan)
    gains = [(one, _gain(one, plan, way)) for one in courses]
    ranked = sorted(gains, key=lambda pair: -pair[1].total_factor)
    chosen: dict[str, Task] = {}
    for course, gain in ranked:
        if gain.total_factor > LEAST_GAIN and course.skill.name not in chosen:
            chosen[course.skill.name] = _task(course, gain, plan, way)
    return tuple(chosen.values())[:MOST_TASKS_COUNT]


def skill_of(key: str) -> Skill | None:
    """The skill that a measure belongs to; None for one that a way gives no chance to practise."""
    group, _, name = key.partition(".")
    if group != "flown" or name.startswith("airspace."):
        return None
    return next((one for one in SKILLS if re.search(one.keys, name)), None)


def less_is_better(limit: Limit) -> bool:
    """Whether a measure is an error, of which a task may ask for less.

    That is one with a limit on either side of nothing, or with an upper limit alone, unless it is
    a speed or a bank: to touch down slower than the manual says is no skill.
    """
    if limit.low is not None:
        return limit.low < 0.0 and limit.high is not None
    return bool(limit.high) and not ABSOLUTE.search(limit.key)


def _gain(course: _Course, plan: Plan, way: Way) -> Gain:
    """What there is to gain from practising one measure on this way."""
    ago = plan.flight.off_block_utc - course.last_utc
    return Gain(
        importance_factor=course.skill.cost_factor * course.used_ratio,
        deterioration_factor=worsening_factor(course.values) if is_deviation(course.limit) else 1.0,
        since_factor=1.0 + min(ago / LONG, 1.0),
        chance_factor=_chance_factor(course.skill, way),
    )


def is_deviation(limit: Limit) -> bool:
    """Whether a value is how far off the flight was, so that smaller is better: 0 is aimed at."""
    return limit.target == 0.0 or (limit.low or 0.0) < 0.0 < (limit.high or 0.0)


def worsening_factor(values: Sequence[float] | FloatArray) -> float:
    """The latest three against those before them, by root mean square, from 0.5 to 2.

    1 where there are fewer than three on either side: too early to say.
    """
    column = np.asarray(values, dtype=float)
    latest, before = column[-3:], column[:-3][-LATEST_COUNT:]
    if latest.size < 3 or before.size < 3 or not before.any():
        return 1.0
    ratio = float(np.sqrt((latest**2).mean() / (before**2).mean()))
    return min(max(ratio, 0.5), 2.0)


def _chance_factor(skill: Skill, way: Way) -> float:
    if skill.where == "cruise":
        return min(_cruise_min(way) / CRUISE_MIN, 1.0)
    if skill.where == "points":
        return 1.0 if _checkpoints(way) else 0.0
    return 1.0


def _cruise_min(way: Way) -> float:
    return sum(leg.time_min for leg in way.legs if leg.phase == "cruise")


def _checkpoints(way: Way) -> list[str]:
    """Named places between the ends; ends of climb and descent cannot be seen from the air."""
    seen = {leg.to_name for leg in way.legs if leg.phase == "cruise"}
    return [
        name
        for name in way.point_names[1:-1]
        if name in seen and not name.startswith(("top of", "end of"))
    ]


def _courses(home: Path, plan: Plan) -> list[_Course]:
    """Every measure that can be practised and has a limit, over this pilot's flights."""
    from lubberline.store import findings_of, measure_keys, measures, open_store

    found = []
    with open_store(store_path(home)) as store, store.reading() as session:
        for known in measure_keys(session):
            skill = skill_of(known.key)
            if skill is None:
                continue
            flights = [
                one
                for one in measures(
                    session, known.key, limit=LOOK_BACK_COUNT, pilot=plan.pilot.name
                )
                if one.flown_utc < plan.flight.off_block_utc
            ]
            if not flights:
                continue
            limit = next(
                one.limit
                for one in findings_of(session, flights[-1].flight_id)
                if one.limit.key == known.key
            )
            if less_is_better(limit):
                found.append(_course(known.key, skill, limit, flights))
    return found


def _course(key: str, skill: Skill, limit: Limit, flights: list["MeasuredFlight"]) -> _Course:
    values = np.array([one.value for one in flights])
    if is_deviation(limit):
        values = np.abs(values)
    return _Course(
        key=key,
        skill=skill,
        limit=limit,
        values=values,
        sigma=float(np.median([one.sigma for one in flights[-LATEST_COUNT:]])),
        last_utc=flights[-1].flown_utc,
    )


def asked_of(value: float, tolerance: float, sigma: float, unit: str) -> float:
    """What a task asks of who usually flies ``value``: better, and no finer than is measured.

    Never more than the tolerance that judges the flight.
    """
    step = _STEP.get(unit, 1.0)
    wanted = max(BETTER_FRACTION * value, 2.0 * sigma, step)
    return min(ceil(round(wanted / step, 6)) * step, tolerance)


def _task(course: _Course, gain: Gain, plan: Plan, way: Way) -> Task:
    unit, flights = course.limit.unit, f"{len(course.values)} flights"
    if is_deviation(course.limit):
        target = asked_of(course.usual, course.tolerance, course.sigma, unit)
        text = _words(course, target, plan, way)
        usual = f"{_figure(course.usual, unit)} of {_figure(course.tolerance, unit)} allowed"
        low = -target if course.limit.low is not None else None
        high = target if course.limit.high is not None else None
    else:
        text = f"{_plain(course)}: {bounds_words(course.limit)} {unit}"
        usual = f"{_figure(course.usual, unit)}, {bounds_words(course.limit)} {unit} allowed"
        low, high = course.limit.low, course.limit.high
    why = (
        f"usually {usual} ({flights}); importance {gain.importance_factor:.1f}"
        f" x worsening {gain.deterioration_factor:.1f} x time since {gain.since_factor:.1f}"
        f" x chance here {gain.chance_factor:.1f}"
    )
    limit = Limit(
        key=f"{PRACTICE}.{course.key.partition('.')[2]}",
        label=text,
        unit=unit,
        low=low,
        high=high,
        target=0.0 if is_deviation(course.limit) else None,
        basis="own",
        source=f"own: practice set from the last {flights}",
    )
    finding = unknown(limit, "the flight itself, recorded", note=why)
    return Task(key=course.key, text=text, why=why, gain=gain, finding=finding)


def bounds_words(limit: Limit) -> str:
    """What a limit allows: "±100", "-5/+10", "up to 300", "at least 500"."""
    low, high = limit.low, limit.high
    if low is None:
        return "any" if high is None else f"up to {high:g}"
    if high is None:
        return f"at least {low:g}"
    return f"±{high:g}" if low == -high else f"{low:+g}/{high:+g}"


def _words(course: _Course, target: float, plan: Plan, way: Way) -> str:
    """The task in a few words: the card is narrow."""
    amount = _figure(target, course.limit.unit)
    match course.skill.name:
        case "height":
            minutes = max(1.0, min(HOLD_MIN, _cruise_min(way)))
            start = _first_cruise_leg(way).from_name
            return f"hold {way.cruise_msl_ft:,.0f} ± {amount} for {minutes:.0f} min after {start}"
        case "course":
            to = _first_cruise_leg(way).to_name
            if course.limit.unit == "NM":
                return f"within {amount} of the line to {to}"
            return f"course within {amount} to {to}"
        case "approach" if course.key.endswith("approach_airspeed"):
            final_kt = plan.aircraft.speeds.final_kt
            return f"final at {final_kt:.0f} ± {amount}, from 500 ft to the flare"
        case "time" if course.skill.where == "points":
            return f"{', '.join(_checkpoints(way)[:2])} within {amount} of the card"
        case _:
            return f"{_plain(course)}: within {amount}"


def _plain(course: _Course) -> str:
    """The measure's label, short enough for the card."""
    return course.limit.label.partition(",")[0]


def _first_cruise_leg(way: Way) -> Leg:
    return next((leg for leg in way.legs if leg.phase == "cruise"), way.legs[0])


def _figure(value: float, unit: str) -> str:
    digits = 1 if value < 10.0 and value != round(value) else 0
    return f"{value:,.{digits}f} {unit}"

"""The flight in three sentences: what went best, what cost most, what to try next time.

Each points at its evidence: the finding by its key, its number, its limit and its moment. Nothing
is said that no finding says; advice is ours, plain, and belongs to what was measured.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

from lubberline.line import Finding, Verdict, worst_first
from lubberline.wording import limit_text, value_text

SummaryKind = Literal["best", "cost most", "try next"]
# Own: to have kept out, or an engine cool, is no skill; none is a count nobody worked for.
NO_PRAISE: Final = ("flown.airspace", "flown.descent_level_offs", "flown.height_", "flown.engine_")
TAKEOFF: Final = "flown.takeoff_time"
AFTER_TAKEOFF: Final = ("flown.arrival_time", "flown.block_time")
FORBIDS: Final = ("law", "manual")  # own: these cost more than any tolerance
ADVICE: Final = (  # first words of a key after "flown.", and what to try; own
    ("height_", "say the height aloud that is not to be left, and level off before it"),
    ("cruise_height", "trim before the hands leave the wheel, then look at the altimeter by turns"),
    ("course", "pick a point on the horizon ahead and correct by no more than the wind asks"),
    ("track", "check the position against the line at every checkpoint and halve the error"),
    ("checkpoint", "take the time over the first checkpoint and set the speed or estimate by it"),
    ("takeoff_time", "begin the day with the time to be off and count back"),
    ("arrival", "decide at the last checkpoint what speed makes the time good"),
    ("enroute", "compare time made good with the pledge at the middle of the way"),
    ("block", "leave the time that was lost on the ground in the next pledge"),
    ("fuel", "lean by the numbers of the pledge and compare fuel at every checkpoint"),
    ("descent_start", "count back from pattern height: three miles for every thousand feet"),
    ("descent_rate", "start down earlier, and let the rate be what the plan says"),
    (
        "descent_level_offs",
        "start down once, later or slower, so that one rate leads to the pattern",
    ),
    ("descent_power", "take power off by the clock, one step a minute"),
    ("cruise_speed", "set power by the table, wait a minute, and only then trim"),
    ("cruise_flow", "lean by the numbers, and look again ten minutes later"),
    ("engine_oil", "stop the climb or the descent until it is back, and tell the mechanic"),
    ("engine_rpm", "set power by the needle, not by the ear, and move the lever slowly"),
    ("engine_manifold", "set power by the needle, not by the ear, and move the lever slowly"),
    ("engine", "richer, faster and less steep as soon as the needle moves, not at the mark"),
    ("cooling", "start down with power on, and take it off by the clock"),
    ("approach_airspeed", "set pitch and power by numbers at the start of final, and trim there"),
    ("takeoff_run", "set power before the brakes are off, and rotate by the number"),
    (
        "takeoff_centerline",
        "look at the far end of the runway and steer to it, wings into the wind",
    ),
    ("liftoff", "call the speed to rotate, and let it fly off there"),
    ("climb", "set the attitude for the climb speed at lift-off, trim, and only then look inside"),
    ("path", "hold the aiming point still in the windshield with power, from the turn on"),
    ("final_overshoot", "begin the turn onto final earlier, and go around rather than bank more"),
    ("final_centerline", "line up the nose with the far end before the flaps are all out"),
    ("stable_by", "be configured and on speed before the last turn"),
    ("on_speed_by", "slow down a mile earlier, level, then descend"),
    ("configured_by", "gear and flaps before the last turn, and say them aloud"),
    ("threshold", "look for the same picture over the threshold every time"),
    ("flare", "move the eyes to the far end as the threshold passes under"),
    ("float", "cross the threshold at the speed of the final, not faster"),
    ("rollout", "brake early and evenly, wings level and elevator back"),
    ("braking", "brake early and evenly, wings level and elevator back"),
    ("flap_speed", "look at the airspeed, say it, then move the lever"),
    ("gear_speed", "look at the airspeed, say it, then move the lever"),
    ("touchdown_crab", "bring the nose round with rudder as the flare ends, wing into the wind"),
    (
        "touchdown_centerline",
        "put the line between the wheels before the flare, wing into the wind",
    ),
    ("touchdown_sink", "keep the flare going until it lands itself"),
    ("pattern", "level off by numbers and trim before the next call"),
    (
        "go_around_airspeed",
        "power, pitch for the climb speed, and hold it before anything is raised",
    ),
    ("go_around", "decide aloud and early: power, pitch, drag, in that order"),
    ("gate", "decide at the gate aloud: held, or around"),
    ("touchdown", "choose the aiming point on downwind and hold it in the windshield"),
    ("airspace", "draw the nearest edge on the map and name its floor before it is reached"),
    ("steep_turn_height", "add back pressure as the bank passes 30 degrees, and lead the roll-out"),
    (
        "steep_turn",
        "look outside at the nose on the horizon, and lead the roll-out by half the bank",
    ),
    ("slow_flight", "make one change at a time: pitch for speed, power for height"),
    ("power_o", "recover at the first sign, and only then look for height"),
    ("lazy_eight", "fly to points on the horizon and let bank change all the time"),
    ("chandelle", "hold the bank for the first half, the pitch for the second"),
    ("ground_reference", "steepen downwind, shallow upwind, and look at the point"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Summary:
    """One of the three sentences, and the key of the finding that it rests on ("" for none)."""

    kind: SummaryKind
    text: str
    key: str


def three_sentences(findings: Sequence[Finding]) -> tuple[Summary, Summary, Summary]:
    """Best, costliest and next, in that order."""
    cost = _costliest(findings)
    return _best(findings), _cost(cost, findings), _next(cost, findings)


def _best(findings: Sequence[Finding]) -> Summary:
    inside = [
        one
        for one in findings
        if one.verdict is Verdict.INSIDE
        and not one.limit.key.startswith(NO_PRAISE)
        and not one.limit.key.endswith("_time")
    ]
    if not inside:
        text = "Best: nothing that could be measured of the flying is safely inside."
        return Summary(kind="best", text=text, key="")
    best = max(inside, key=lambda one: (one.steps or 0.0, one.limit.key))
    return Summary(kind="best", text=f"Best: {evidence(best)}.", key=best.limit.key)


def _costliest(findings: Sequence[Finding]) -> Finding | None:
    """The worst; what an airplane or a law forbids before what was missed of a tolerance.

    What only follows from a late take-off is not named: the take-off is.
    """
    short = [one for one in findings if one.verdict in (Verdict.OUTSIDE, Verdict.CLOSE)]
    if any(one.limit.key == TAKEOFF and one.verdict is Verdict.OUTSIDE for one in short):
        short = [one for one in short if one.limit.key not in AFTER_TAKEOFF]
    forbidden = [
        one for one in short if one.verdict is Verdict.OUTSIDE and one.limit.basis in FORBIDS
    ]
    ranked = worst_first(forbidden or short)
    return ranked[0] if ranked else None


def _cost(cost: Finding | None, findings: Sequence[Finding]) -> Summary:
    if cost is not None:
        text = f"Cost most: {evidence(cost)}."
        return Summary(kind="cost most", text=text, key=cost.limit.key)
    known = any(one.verdict is Verdict.INSIDE for one in findings)
    text = "nothing known is outside or close" if known else "not known: nothing could be measured"
    return Summary(kind="cost most", text=f"Cost most: {text}.", key="")


def _next(cost: Finding | None, findings: Sequence[Finding]) -> Summary:
    if cost is not None:
        name = cost.limit.key.removeprefix("flown.")
        advice = next((words for start, words in ADVICE if name.startswith(start)), None)
        advice = (
            advice or f"watch {cost.limit.label} first, and hold it to {limit_text(cost.limit)}"
        )
        return Summary(kind="try next", text=f"Try next: {advice}.", key=cost.limit.key)
    unknown = [one for one in findings if one.verdict is Verdict.UNKNOWN]
    if unknown:
        first = unknown[0]
        text = f"bring {first.missing}, so that {first.limit.label} can be judged"
        return Summary(kind="try next", text=f"Try next: {text}.", key=first.limit.key)
    return Summary(
        kind="try next", text="Try next: the same with tighter numbers in own.toml.", key=""
    )


def evidence(one: Finding) -> str:
    """Label, value, limit and moment of a finding, as the sentences point at it."""
    where = f", {one.where.split(' at ')[0].split(', ')[0]}" if one.where else ""
    return f"{one.limit.label} {value_text(one)} ({limit_text(one.limit)}{where})"

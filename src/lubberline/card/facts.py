"""The numbers beside the way: arrival, limits, speeds, and what must be heeded."""

from collections.abc import Iterator, Sequence
from math import floor

from lubberline.aircraft import best_glide_speed, maneuvering_speed
from lubberline.card.rows import NumberRow, Pair
from lubberline.fit import Setting, wind_text
from lubberline.flight import Plan
from lubberline.line import Finding, Verdict, counts, worst_first
from lubberline.wording import limit_text, value_text

_NUMBERS = (
    "airplane.weight_takeoff",
    "airplane.balance_takeoff",
    "airplane.weight_landing",
    "airplane.balance_landing",
    "flight.takeoff_distance",
    "flight.landing_distance",
    "flight.crosswind_departure",
    "flight.crosswind_destination",
    "flight.fuel_legal",  # or the pilot's own, where that asks for more
    "flight.daylight",
)


def arrival(setting: Setting) -> Iterator[Pair]:
    """What is settled before the descent, to be written beside what it became."""
    wind = wind_text(setting.wind).removeprefix("wind ") if setting.wind else "not known"
    altimeter_inhg = setting.altimeter_inhg
    aerodrome = setting.aerodrome
    pattern_msl_ft = aerodrome.elev_msl_ft + aerodrome.pattern_agl_ft
    yield Pair(label="ATIS letter", text="")
    yield Pair(label="wind", text=wind)
    yield Pair(label="altimeter", text=f"{altimeter_inhg:.2f}" if altimeter_inhg else "not known")
    yield Pair(label="runway", text=setting.end.name)
    yield Pair(label="pattern", text=f"{setting.end.pattern_side}, {pattern_msl_ft:,.0f} ft")
    yield Pair(label="field", text=f"{aerodrome.elev_msl_ft:,.0f} ft")


def numbers(findings: Sequence[Finding]) -> Iterator[NumberRow]:
    """The values that are looked up in the air, each with its limit."""
    by_key = {finding.limit.key: finding for finding in findings}
    legal, own = by_key.get("flight.fuel_legal"), by_key.get("flight.fuel_own")
    if legal and own and (own.limit.low or 0.0) > (legal.limit.low or 0.0):
        by_key["flight.fuel_legal"] = own
    return (_row(by_key[key]) for key in _NUMBERS if key in by_key)


def speeds(plan: Plan, *, weight_lb: float) -> Iterator[Pair]:
    """Indicated speeds in the order of a flight; those that fall with weight at take-off's."""
    at = plan.aircraft.speeds
    slowed = maneuvering_speed(plan.aircraft, weight_lb=weight_lb).value
    glide = best_glide_speed(plan.aircraft, weight_lb=weight_lb).value
    rows = (
        ("rotate", at.rotate_kt),
        ("best angle", at.best_angle_kt),
        ("best rate", at.best_rate_kt),
        ("glide", at.best_glide_kt if glide is None else glide),
        ("maneuvering", slowed),
        ("gear by", at.gear_operate_kt),
        ("flaps by", at.flaps_kt),
        ("final", at.final_kt),
    )
    for label, speed_kt in rows:
        if speed_kt is not None:
            yield Pair(label=label, text=f"{floor(round(speed_kt, 6))}")


def heed(findings: Sequence[Finding]) -> Iterator[NumberRow]:
    """What is not inside, worst first: the card must not hide it."""
    for finding in worst_first(findings):
        if finding.verdict is not Verdict.INSIDE:
            row = _row(finding)
            label = f"{finding.verdict}: {row.label}"
            yield NumberRow(label=label, value=row.value, limit=row.limit)


def heed_count(findings: Sequence[Finding]) -> str:
    """How many findings are not inside, by verdict; empty if all are."""
    tally = counts(findings)
    return ", ".join(
        f"{number} {verdict}"
        for verdict, number in tally.items()
        if number and verdict is not Verdict.INSIDE
    )


def _row(finding: Finding) -> NumberRow:
    return NumberRow(
        label=finding.limit.label, value=value_text(finding), limit=limit_text(finding.limit)
    )

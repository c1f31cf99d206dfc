"""The numbers beside the way: arrival, limits, the air, the sun, speeds, what must be heeded."""

from collections.abc import Iterator, Sequence
from math import ceil, floor
from typing import Final

from lubberline.air import density_altitude_ft
from lubberline.aircraft import best_glide_speed, maneuvering_speed
from lubberline.card.rows import NumberRow, Pair, short
from lubberline.earth import sun_times
from lubberline.fit import Setting, local_day
from lubberline.flight import Plan
from lubberline.line import Finding, Verdict, counts, worst_first
from lubberline.wording import limit_text, value_text

LABEL_SIGNS: Final = 28  # own: beside its value, limit and the speeds on half a letter
HEED_SIGNS: Final = 44
LIMIT_SIGNS: Final = 16
_NUMBERS: Final = (
    "airplane.weight_takeoff",
    "airplane.balance_takeoff",
    "airplane.weight_landing",
    "airplane.balance_landing",
    "flight.takeoff_distance",
    "flight.landing_distance",
    "flight.crosswind_departure",
    "flight.crosswind_destination",
    "flight.fuel_legal",  # or the pilot's own, where that asks for more
)


def arrival(setting: Setting) -> Iterator[Pair]:
    """What is settled before the descent, to be written beside what it became."""
    altimeter_inhg = setting.altimeter_inhg
    aerodrome = setting.aerodrome
    pattern_msl_ft = aerodrome.elev_msl_ft + aerodrome.pattern_agl_ft
    yield Pair(label="letter", text="")
    yield Pair(label="wind, true", text=wind_figures(setting))
    yield Pair(label="altimeter", text=f"{altimeter_inhg:.2f}" if altimeter_inhg else "not known")
    yield Pair(label="runway", text=setting.end.name)
    yield Pair(label="pattern", text=f"{setting.end.pattern_side} {pattern_msl_ft:,.0f}")
    yield Pair(label="field", text=f"{aerodrome.elev_msl_ft:,.0f} ft")


def wind_figures(setting: Setting) -> str:
    """Direction, mean and gusts as a report has them: 280/12G19; "VRB" from all around."""
    wind = setting.wind
    if wind is None:
        return "not known"
    gusts = "" if wind.gust_kt is None else f"G{wind.gust_kt:.0f}"
    if wind.from_true_deg is None:
        return f"VRB/{wind.mean_kt:02.0f}{gusts}"
    return f"{wind.from_true_deg:03.0f}/{wind.mean_kt:02.0f}{gusts}" if wind.mean_kt else "calm"


def numbers(
    findings: Sequence[Finding], departure: Setting, destination: Setting
) -> Iterator[NumberRow]:
    """The values that are looked up in the air, each with its limit; the air; the sun."""
    by_key = {finding.limit.key: finding for finding in findings}
    legal, own = by_key.get("flight.fuel_legal"), by_key.get("flight.fuel_own")
    if legal and own and (own.limit.low or 0.0) > (legal.limit.low or 0.0):
        by_key["flight.fuel_legal"] = own
    yield from (_row(by_key[key]) for key in _NUMBERS if key in by_key)
    yield from _air((departure, destination))
    yield from _sun(destination)


def _air(settings: Sequence[Setting]) -> Iterator[NumberRow]:
    """Density altitude at both ends, rounded up."""
    known = [_density_text(one) for one in settings]
    where = ", ".join(one.aerodrome.id for one in settings)
    yield NumberRow(
        label=short(f"density alt., {where}", LABEL_SIGNS), value=known[0], limit=known[1]
    )


def _density_text(setting: Setting) -> str:
    if setting.pressure_ft is None or setting.temperature_degc is None:
        return "not known"
    high_ft = float(density_altitude_ft(setting.pressure_ft, setting.temperature_degc))
    return f"{ceil(high_ft / 10.0) * 10:,d} ft"


def _sun(setting: Setting) -> Iterator[NumberRow]:
    """Sunset and the end of civil twilight of the local day, cut to the early minute."""
    field = setting.aerodrome
    sun = sun_times(field.lat_deg, field.lon_deg, local_day(field.lon_deg, setting.when_utc))
    if sun.sunset_utc is not None:
        dusk_utc = sun.civil_dusk_utc
        yield NumberRow(
            label=f"sunset, {field.id}",
            value=f"{sun.sunset_utc:%H:%M}Z",
            limit=f"dark {dusk_utc:%H:%M}Z" if dusk_utc is not None else "",
        )


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
            label = short(f"{finding.verdict}: {finding.limit.label}", HEED_SIGNS)
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
        label=short(finding.limit.label, LABEL_SIGNS),
        value=value_text(finding),
        limit=short(limit_text(finding.limit), LIMIT_SIGNS),
    )

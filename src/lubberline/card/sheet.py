"""What stands on the card: every word and number, already rounded, of one chosen way.

Text only, so that the template lays out and decides nothing. What is needed is rounded up,
what is available down.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from math import ceil, floor, isfinite

from lubberline.fit import Setting, settings, times_utc, trip_gal, wind_text
from lubberline.flight import Plan
from lubberline.line import Finding, Verdict, worst_first
from lubberline.places import Aerodrome
from lubberline.ways import Encounter, Leg, Way
from lubberline.wording import CAUTION, limit_text, value_text


@dataclass(frozen=True, slots=True, kw_only=True)
class LegRow:
    """One leg as it is flown; ``over_utc`` and ``fuel_left_gal`` hold at its end."""

    to: str
    course: str
    heading: str
    height: str
    distance: str
    ground_speed: str
    minutes: str
    over_utc: str
    fuel_left: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """A label with its text."""

    label: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """Everything the template may use. A test holds template and class together."""

    route: str
    way: str
    date: str
    call_sign: str
    airplane: str
    off_block: str
    pledge: str
    legs: tuple[LegRow, ...]
    total: str
    airspace: tuple[Pair, ...]
    radio: tuple[Pair, ...]
    arrival: tuple[Pair, ...]
    numbers: tuple[Pair, ...]
    speeds: tuple[Pair, ...]
    heed: tuple[str, ...]
    caution: str


def make_sheet(plan: Plan, way: Way, findings: Sequence[Finding], *, pledge_sha256: str) -> Sheet:
    """The card of one way with the findings of the day."""
    flight = plan.flight
    departure, destination = settings(plan, way)
    takeoff_utc, _, on_block_utc = times_utc(plan, way)
    return Sheet(
        route=f"{departure.name} → {destination.name}",
        way=way.name,
        date=f"{flight.off_block_utc:%Y-%m-%d}",
        call_sign=plan.aircraft.call_sign,
        airplane=f"{plan.aircraft.name}, {plan.aircraft.type_name}",
        off_block=f"off block {flight.off_block_utc:%H:%M}Z, take-off {takeoff_utc:%H:%M}Z,"
        f" on block {on_block_utc:%H:%M}Z",
        pledge=pledge_sha256[:16],
        legs=tuple(_leg_rows(plan, way)),
        total=f"{way.distance_nm:.1f} NM, {ceil(way.time_min + flight.pattern_min)} min,"
        f" {_up(trip_gal(plan, way))} gal",
        airspace=tuple(_airspace(way)),
        radio=tuple(_radio(plan, way)),
        arrival=tuple(_arrival(destination)),
        numbers=tuple(_numbers(findings)),
        speeds=tuple(_speeds(plan)),
        heed=tuple(_heed(findings)),
        caution=CAUTION,
    )


def _leg_rows(plan: Plan, way: Way) -> Iterator[LegRow]:
    over_utc = times_utc(plan, way)[0]
    left_gal = sum(plan.flight.fuel_gal.values()) - plan.aircraft.taxi_gal
    for leg in way.legs:
        over_utc += timedelta(minutes=leg.time_min)
        left_gal -= leg.fuel_gal
        yield LegRow(
            to=leg.to_name,
            course=f"{round(leg.mag_deg) % 360:03d}",
            heading=f"{round(leg.heading_mag_deg) % 360:03d}",
            height=_height(leg),
            distance=f"{leg.distance_nm:.1f}",
            ground_speed=f"{leg.ground_kt:.0f}",
            minutes=f"{leg.time_min:.0f}",
            over_utc=f"{over_utc:%H:%M}",
            fuel_left=f"{floor(left_gal * 10) / 10:.1f}",
        )
    if plan.flight.pattern_min > 0.0:
        over_utc += timedelta(minutes=plan.flight.pattern_min)
        left_gal -= trip_gal(plan, way) - way.fuel_gal
        yield LegRow(
            to="turn-out, pattern",
            course="",
            heading="",
            height="",
            distance="",
            ground_speed="",
            minutes=f"{plan.flight.pattern_min:.0f}",
            over_utc=f"{over_utc:%H:%M}",
            fuel_left=f"{floor(left_gal * 10) / 10:.1f}",
        )


def _height(leg: Leg) -> str:
    arrow = {"climb": "↑", "descent": "↓", "cruise": ""}[leg.phase]
    return f"{arrow}{round(leg.to_msl_ft, -1):,.0f}"


def _airspace(way: Way) -> Iterator[Pair]:
    """Entered volumes in order, then the nearest neighbors that are kept clear of."""
    for one in sorted(way.encounters, key=lambda e: (not e.entered, e.entry_min or 0.0)):
        volume = one.volume
        label = f"{volume.name} ({volume.airspace_class})"
        if one.entered:
            yield Pair(label=label, text=_entry(one))
        elif one.needs != "nothing":
            yield Pair(label=label, text=f"keep clear: {_clearance(one)}")


def _clearance(one: Encounter) -> str:
    """What the way leaves to a volume that it does not enter, rounded down."""
    beside = f"{floor(one.lateral_nm * 10) / 10:.1f} NM beside" if isfinite(one.lateral_nm) else ""
    off = f"{floor(one.vertical_ft):,} ft over or under" if isfinite(one.vertical_ft) else ""
    return ", ".join(part for part in (beside, off) if part)


def _entry(one: Encounter) -> str:
    """What it takes, from whom, and by when; the moment is rounded to the early side."""
    volume = one.volume
    if one.needs == "nothing":
        return "nothing needed"
    frequency = f" {volume.frequency_mhz:.3f}" if volume.frequency_mhz else ""
    height = f"{round(one.entry_msl_ft or 0.0, -1):,.0f} ft"
    after = f"{floor(one.entry_min or 0.0)} min after take-off"
    return f"{one.needs} before {after}, {height}: {volume.facility}{frequency}"


def _radio(plan: Plan, way: Way) -> Iterator[Pair]:
    """Who is spoken to, in order: departure, volumes on the way, destination."""
    yield from _services(plan.departure, ("atis", "awos", "ground", "tower", "ctaf"))
    ends = {radio.facility for end in (plan.departure, plan.destination) for radio in end.radios}
    spoken: set[str] = set()
    for volume in way.entered:
        if volume.frequency_mhz and volume.facility not in ends | spoken:
            spoken.add(volume.facility)
            yield Pair(label=volume.facility, text=f"{volume.frequency_mhz:.3f}")
    yield from _services(plan.destination, ("atis", "awos", "tower", "ctaf", "ground"))


def _services(aerodrome: Aerodrome, order: tuple[str, ...]) -> Iterator[Pair]:
    for radio in sorted(
        (radio for radio in aerodrome.radios if radio.use in order),
        key=lambda radio: order.index(radio.use),
    ):
        yield Pair(label=radio.facility, text=f"{radio.frequency_mhz:.3f}")


def _arrival(setting: Setting) -> Iterator[Pair]:
    wind = wind_text(setting.wind).removeprefix("wind ") if setting.wind else "not known"
    yield Pair(label="letter", text="")
    yield Pair(label="wind", text=wind)
    altimeter = setting.altimeter_inhg
    yield Pair(label="altimeter", text=f"{altimeter:.2f}" if altimeter else "not known")
    yield Pair(label="runway", text=f"{setting.end.name}, {setting.end.pattern_side}")
    pattern_msl_ft = setting.aerodrome.elev_msl_ft + setting.aerodrome.pattern_agl_ft
    yield Pair(label="pattern", text=f"{pattern_msl_ft:,.0f} ft MSL")
    yield Pair(label="field", text=f"{setting.aerodrome.elev_msl_ft:,.0f} ft MSL")


_NUMBERS = (
    "airplane.weight_takeoff",
    "airplane.balance_takeoff",
    "airplane.weight_landing",
    "airplane.balance_landing",
    "flight.takeoff_distance",
    "flight.landing_distance",
    "flight.fuel_legal",
    "flight.daylight",
)


def _numbers(findings: Sequence[Finding]) -> Iterator[Pair]:
    by_key = {finding.limit.key: finding for finding in findings}
    for key in _NUMBERS:
        if key in by_key:
            finding = by_key[key]
            text = f"{value_text(finding)}, {limit_text(finding.limit)}"
            yield Pair(label=finding.limit.label, text=text)


def _speeds(plan: Plan) -> Iterator[Pair]:
    speeds = plan.aircraft.speeds
    rows = (
        ("rotate", speeds.rotate_kt),
        ("best angle", speeds.best_angle_kt),
        ("best rate", speeds.best_rate_kt),
        ("glide", speeds.best_glide_kt),
        ("gear down by", speeds.gear_operate_kt),
        ("flaps by", speeds.flaps_kt),
        ("final", speeds.final_kt),
    )
    for label, speed_kt in rows:
        if speed_kt is not None:
            yield Pair(label=label, text=f"{speed_kt:.0f}")


def _heed(findings: Sequence[Finding]) -> Iterator[str]:
    """What is not inside, worst first: the card must not hide it."""
    for finding in worst_first(findings):
        if finding.verdict is not Verdict.INSIDE:
            numbers = f"{value_text(finding)}, {limit_text(finding.limit)}"
            yield f"{finding.verdict}: {finding.limit.label} ({numbers})"


def _up(amount_gal: float) -> str:
    return f"{ceil(amount_gal * 10) / 10:.1f}"

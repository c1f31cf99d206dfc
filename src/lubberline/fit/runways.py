"""Every runway end of a field side by side: its wind, what is asked of it, and what it has.

Lengths asked for are the manual's with the pilot's factor. What the day adds is the table's
figure today less that of a standard day, at sea level and at the field's own height, both in
the same wind: the price of height and heat in feet of runway.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from lubberline.air import isa_temperature_degc
from lubberline.aircraft import (
    Aircraft,
    Performance,
    landing_distance,
    landing_roll,
    takeoff_distance,
    takeoff_roll,
)
from lubberline.fit.distance import distance_finding
from lubberline.fit.setting import Setting, asked_runway
from lubberline.fit.wind import head_and_cross_kt, least_headwind_kt, wind_findings
from lubberline.flight import Flight
from lubberline.line import Finding, Limit, Verdict, unknown
from lubberline.pilot import OwnMinimums


@dataclass(frozen=True, slots=True, kw_only=True)
class RunwayRow:
    """One end on the day; None where it is not known.

    ``headwind_kt`` is what may be counted on (negative: a tailwind), ``crosswind_kt`` the most
    in the gust. ``over_sea_level_ft`` and ``over_field_ft`` are what the day adds to a standard
    day's distance over 50 ft at sea level and at the field. ``verdict`` is the worst of
    distance, crosswind and tailwind, and ``why`` what made it so.
    """

    name: str
    surface: str
    available_ft: float
    headwind_kt: float | None
    crosswind_kt: float | None
    roll_ft: float | None
    over_50_ft: float | None
    over_sea_level_ft: float | None
    over_field_ft: float | None
    verdict: Verdict
    why: str
    fits: Verdict

    @property
    def words(self) -> str:
        """The whole row in one line."""
        parts = (
            f"{self.name}: {self.verdict}",
            f"head {_figure(self.headwind_kt)} kt",
            f"cross {_figure(self.crosswind_kt)} kt",
            f"roll {_figure(self.roll_ft)}, over 50 ft {_figure(self.over_50_ft)} of"
            f" {self.available_ft:,.0f} ft {self.surface}",
            f"the day adds {_figure(self.over_sea_level_ft)} ft to standard at sea level,"
            f" {_figure(self.over_field_ft)} ft to standard here",
        )
        return "; ".join(parts) + (f" ({self.why})" if self.why else "")


def runway_rows(
    setting: Setting, aircraft: Aircraft, own: OwnMinimums, *, weight_lb: float, aircraft_file: str
) -> tuple[RunwayRow, ...]:
    """All ends of the setting's field, in the order of the file."""
    return tuple(
        _row(
            replace(setting, runway=runway, end=end),
            aircraft,
            own,
            weight_lb=weight_lb,
            aircraft_file=aircraft_file,
        )
        for runway, end in setting.aerodrome.runway_ends()
    )


def chosen_because(setting: Setting, rows: Sequence[RunwayRow], flight: Flight) -> str:
    """Why the setting's end is the one used."""
    if asked_runway(flight, setting.place) is not None:
        return "asked for in flight.toml"
    longest_ft = max(row.available_ft for row in rows)
    mine = next(row for row in rows if row.name == setting.end.name)
    if setting.wind is None or setting.wind.from_true_deg is None:
        return "no wind favors any; the longest" if mine.available_ft == longest_ft else "no wind"
    if mine.headwind_kt is not None and any(
        row.fits is Verdict.OUTSIDE and (row.headwind_kt or 0.0) > mine.headwind_kt for row in rows
    ):
        return "most into the wind of those that are long enough"
    return "most into the wind that prevails"


def runways_finding(setting: Setting, rows: Sequence[RunwayRow], flight: Flight) -> Finding:
    """How many ends serve, with the whole comparison in its workings."""
    limit = Limit(
        key=f"flight.runways_{setting.place}",
        label=f"runway ends that serve, {setting.aerodrome.id}",
        unit="ends",
        low=1.0,
        tolerance=1.0,
        basis="own",
        source="own: one end serves in length, crosswind and tailwind",
    )
    where = f"{setting.end.name}: {chosen_because(setting, rows, flight)}"
    workings = tuple(row.words for row in rows)
    served = [row for row in rows if row.verdict in (Verdict.INSIDE, Verdict.CLOSE)]
    open_ends = [row for row in rows if row.verdict is Verdict.UNKNOWN]
    if not served and open_ends:
        missing = f"what leaves {open_ends[0].name} open: {open_ends[0].why}"
        return replace(unknown(limit, missing, where=where), workings=workings)
    note = "; ".join(f"{row.name}: {row.why}" for row in rows if row.why)
    return Finding(limit=limit, value=float(len(served)), where=where, note=note, workings=workings)


def _row(
    setting: Setting, aircraft: Aircraft, own: OwnMinimums, *, weight_lb: float, aircraft_file: str
) -> RunwayRow:
    distance = distance_finding(
        setting,
        aircraft,
        weight_lb=weight_lb,
        own_factor=own.runway_factor,
        aircraft_file=aircraft_file,
    )
    winds = wind_findings(setting, aircraft, own, aircraft_file=aircraft_file)
    found = (distance, *winds)
    worst = min(found, key=lambda one: list(Verdict).index(one.verdict))
    known = [wind for wind in setting.winds if wind is not None]
    crosses_kt = [head_and_cross_kt(setting.end, wind, gust=True)[1] for wind in known]
    roll_ft, adds_ft = _tables(setting, aircraft, weight_lb)
    return RunwayRow(
        name=setting.end.name,
        surface=setting.runway.surface,
        available_ft=distance.limit.high or 0.0,
        headwind_kt=least_headwind_kt(setting),
        crosswind_kt=max(crosses_kt, default=None),
        roll_ft=None if roll_ft is None else roll_ft * own.runway_factor,
        over_50_ft=distance.value,
        over_sea_level_ft=adds_ft[0],
        over_field_ft=adds_ft[1],
        verdict=worst.verdict,
        why="; ".join(_why(found)),
        fits=distance.verdict,
    )


def _why(found: Sequence[Finding]) -> Iterator[str]:
    for one in found:
        if one.verdict is Verdict.OUTSIDE:
            yield f"{one.limit.label}: outside by {-(one.margin or 0.0):,.0f} {one.limit.unit}"
        elif one.verdict is Verdict.UNKNOWN:
            yield f"{one.limit.label}: {one.missing}"


def _tables(
    setting: Setting, aircraft: Aircraft, weight_lb: float
) -> tuple[float | None, tuple[float | None, float | None]]:
    """Roll today, and what the day adds over 50 ft to both standard days; no own factor."""
    head_kt, oat_degc = least_headwind_kt(setting), setting.temperature_degc
    if head_kt is None or oat_degc is None or setting.pressure_ft is None:
        return None, (None, None)
    takeoff = setting.place == "departure"
    roll = takeoff_roll if takeoff else landing_roll
    over_50: Callable[..., Performance] = takeoff_distance if takeoff else landing_distance
    asked: dict[str, Any] = {
        "weight_lb": weight_lb,
        "headwind_kt": head_kt,
        "surface": setting.runway.surface,
    }
    today = over_50(aircraft, **asked, pressure_ft=setting.pressure_ft, oat_degc=oat_degc).value
    standard = [
        over_50(
            aircraft, **asked, pressure_ft=at_ft, oat_degc=float(isa_temperature_degc(at_ft))
        ).value
        for at_ft in (0.0, setting.aerodrome.elev_msl_ft)
    ]
    adds = [None if today is None or one is None else today - one for one in standard]
    rolled = roll(aircraft, **asked, pressure_ft=setting.pressure_ft, oat_degc=oat_degc)
    return rolled.value, (adds[0], adds[1])


def _figure(value: float | None) -> str:
    return "?" if value is None else f"{value + 0.0:,.0f}"

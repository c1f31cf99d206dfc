"""Which runway, and what the wind and the tables come to on it."""

from dataclasses import dataclass
from typing import Final

from lubberline.air import density_altitude_ft, pressure_altitude_ft, wind_components_kt
from lubberline.aircraft import Aircraft, Performance, landing_distance, takeoff_distance
from lubberline.line import Basis, Finding, Limit, unknown
from lubberline.pilot import OwnMinimums, Pilot
from lubberline.places import Aerodrome, Runway, RunwayEnd
from lubberline.weather import Wind

WIND_SIGMA_KT: Final = 1.0  # winds are reported to whole knots and ten degrees


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """One aerodrome at the time of use: what the air does there and which end is used."""

    place: str
    aerodrome: Aerodrome
    runway: Runway
    end: RunwayEnd
    wind: Wind | None
    altimeter_inhg: float | None
    temperature_degc: float | None

    @property
    def name(self) -> str:
        """Aerodrome and runway as a pilot says them."""
        return f"{self.aerodrome.id} {self.end.name}"

    @property
    def pressure_ft(self) -> float | None:
        """Pressure altitude of the field, if the setting is known."""
        if self.altimeter_inhg is None:
            return None
        return float(pressure_altitude_ft(self.aerodrome.elev_msl_ft, self.altimeter_inhg))


def choose_runway(
    aerodrome: Aerodrome, wind: Wind | None, asked: str | None
) -> tuple[Runway, RunwayEnd]:
    """The end the pilot asked for, else the one most into the wind, else the longest."""
    ends = aerodrome.runway_ends()
    if asked is not None:
        return next(pair for pair in ends if pair[1].name == asked)

    def worth(pair: tuple[Runway, RunwayEnd]) -> tuple[float, float]:
        runway, end = pair
        return round(head_and_cross_kt(end, wind, gust=False)[0]), runway.length_ft

    return max(ends, key=worth)


def head_and_cross_kt(end: RunwayEnd, wind: Wind | None, *, gust: bool) -> tuple[float, float]:
    """Headwind (negative: tailwind) and crosswind to either side [kt].

    A variable wind may stand across or behind: its whole speed counts as crosswind and as
    tailwind. No wind known counts as none here; the findings say unknown.
    """
    if wind is None:
        return 0.0, 0.0
    speed_kt = wind.worst_kt if gust else wind.mean_kt
    if wind.from_true_deg is None:
        return -speed_kt, speed_kt
    head_kt, cross_kt = wind_components_kt(
        end.true_deg, wind_from_true_deg=wind.from_true_deg, wind_kt=speed_kt
    )
    return float(head_kt), abs(float(cross_kt))


def wind_findings(setting: Setting, aircraft: Aircraft, own: OwnMinimums) -> tuple[Finding, ...]:
    """Crosswind and tailwind in the gust on the runway used."""
    head_kt, cross_kt = head_and_cross_kt(setting.end, setting.wind, gust=True)
    rows = (
        ("crosswind", cross_kt, aircraft.crosswind_shown_kt, own.crosswind_kt),
        ("tailwind", max(0.0, -head_kt), aircraft.tailwind_max_kt, own.tailwind_kt),
    )
    findings = []
    for name, value_kt, manual_kt, own_kt in rows:
        limit = _wind_limit(name, setting, aircraft, manual_kt, own_kt)
        if setting.wind is None:
            findings.append(unknown(limit, f"a METAR or TAF with wind for {setting.aerodrome.id}"))
        elif limit.high is None:
            supply = f"{name}_kt under [own] in pilot.toml, or the manual's value"
            findings.append(unknown(limit, supply))
        else:
            sigma_kt = WIND_SIGMA_KT if setting.wind.worst_kt > 0.0 else 0.0
            findings.append(
                Finding(limit=limit, value=value_kt, sigma=sigma_kt, where=wind_text(setting.wind))
            )
    return tuple(findings)


def wind_text(wind: Wind) -> str:
    """A wind as it is spoken: direction true, speed, gust."""
    if wind.mean_kt == 0.0:
        return "wind calm"
    gust = f" gusting {wind.gust_kt:.0f}" if wind.gust_kt else ""
    direction = "variable" if wind.from_true_deg is None else f"{wind.from_true_deg:03.0f}° true"
    return f"wind {direction} {wind.mean_kt:.0f} kt{gust}"


def _wind_limit(
    name: str, setting: Setting, aircraft: Aircraft, manual_kt: float | None, own_kt: float | None
) -> Limit:
    """The lower of the manual's value and the pilot's own; it says which."""
    basis: Basis = "manual"
    source, high_kt = f"{aircraft.manual}, {name}", manual_kt
    if own_kt is not None and (manual_kt is None or own_kt <= manual_kt):
        basis, source, high_kt = "own", f"own minimums, {name}_kt in pilot.toml", own_kt
    return Limit(
        key=f"flight.{name}_{setting.place}",
        label=f"{name}, {setting.name}",
        unit="kt",
        high=high_kt,
        tolerance=10.0,
        basis=basis,
        source=source,
    )


def density_finding(setting: Setting, own: OwnMinimums) -> Finding:
    """Density altitude of the field against the pilot's own limit (dry air)."""
    limit = Limit(
        key=f"flight.density_altitude_{setting.place}",
        label=f"density altitude, {setting.aerodrome.id}",
        unit="ft",
        high=own.density_altitude_ft,
        tolerance=3_000.0,
        basis="own",
        source="own minimums, density_altitude_ft in pilot.toml",
    )
    if setting.pressure_ft is None or setting.temperature_degc is None:
        return unknown(limit, f"a METAR with temperature and altimeter for {setting.aerodrome.id}")
    density_ft = float(density_altitude_ft(setting.pressure_ft, setting.temperature_degc))
    if limit.high is None:
        return unknown(
            limit,
            "density_altitude_ft under [own] in pilot.toml",
            note=f"density altitude {density_ft:,.0f} ft",
        )
    return Finding(
        limit=limit,
        value=density_ft,
        sigma=60.0,  # half a degree and half a hundredth of an inch, as reported
        where=f"pressure altitude {setting.pressure_ft:,.0f} ft, {setting.temperature_degc:g} °C",
    )


def distance_findings(
    setting: Setting, aircraft: Aircraft, pilot: Pilot, *, weight_lb: float
) -> tuple[Finding, ...]:
    """Table distance over 50 ft, times the pilot's factor, against the runway there is."""
    takeoff = setting.place == "departure"
    label = "take-off" if takeoff else "landing"
    available_ft = setting.runway.length_ft - (0.0 if takeoff else setting.end.displaced_ft)
    factor = pilot.own.runway_factor
    limit = Limit(
        key=f"flight.{'takeoff' if takeoff else 'landing'}_distance",
        label=f"{label} over 50 ft, {setting.name}",
        unit="ft",
        high=available_ft,
        basis="manual",
        source=f"{aircraft.manual}, {label} distance; own factor {factor:g}",
    )
    if setting.pressure_ft is None or setting.temperature_degc is None or setting.wind is None:
        return (unknown(limit, f"a METAR with wind and altimeter for {setting.aerodrome.id}"),)
    head_kt, _ = head_and_cross_kt(setting.end, setting.wind, gust=False)
    compute = takeoff_distance if takeoff else landing_distance
    distance: Performance = compute(
        aircraft,
        weight_lb=weight_lb,
        pressure_ft=setting.pressure_ft,
        oat_degc=setting.temperature_degc,
        headwind_kt=head_kt,
        surface=setting.runway.surface,
    )
    if distance.value is None:
        return (unknown(limit, distance.missing, where=setting.name),)
    steps = ", ".join(f"{step.words}: {step.value:+,.0f} ft" for step in distance.steps)
    return (
        Finding(
            limit=limit,
            value=distance.value * factor,
            note=f"{steps}; times own factor {factor:g}",
            workings=(
                *distance.workings,
                f"together {distance.value:,.0f} ft",
                f"times own factor {factor:g}: {distance.value * factor:,.0f} ft",
            ),
        ),
    )

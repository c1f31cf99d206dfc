"""Either end of a flight at the time of use: which runway, and what the air does there.

The runway is the one that the pilot asks for, else the one most into the wind that prevails;
``ends`` passes over what is too short. Everything that the texts say may be met is kept beside
it, because limits are held against the worst of it. Temperature and altimeter setting come from
a report, and are as old as it is.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from lubberline.air import pressure_altitude_ft, wind_components_kt
from lubberline.flight import Flight, Plan
from lubberline.places import Aerodrome, Runway, RunwayEnd
from lubberline.ways import Way
from lubberline.weather import Conditions, Report, Wind, spans_at, worst_at

REPORT_SERVES: Final = timedelta(hours=3)  # own: for temperature and altimeter setting
WARMING_DEGC_PER_H: Final = 1.0  # own: one standard uncertainty of a temperature that ages
ROUNDING_DEGC: Final = 0.3  # a whole degree, as one standard uncertainty: [JCGM100]_, 4.3.7


def asked_runway(flight: Flight, place: str) -> str | None:
    """The end that the pilot asks for at the departure or destination."""
    asked = {"departure": flight.departure_runway, "destination": flight.destination_runway}
    return asked.get(place)


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """One aerodrome at the time of use.

    ``place`` is "departure", "destination" or "alternate_" with the field's identifier.
    ``spans`` is everything that may be met, what prevails first, and ``worst`` the worst of it;
    ``report`` is near enough to that time for its temperature and altimeter setting.
    ``weather_file`` is named where a text is missing.
    """

    place: str
    aerodrome: Aerodrome
    runway: Runway
    end: RunwayEnd
    when_utc: datetime
    spans: tuple[Conditions, ...]
    worst: Conditions | None
    report: Report | None
    weather_file: str

    @property
    def name(self) -> str:
        """Aerodrome and runway as a pilot says them."""
        return f"{self.aerodrome.id} {self.end.name}"

    @property
    def wind(self) -> Wind | None:
        """The wind that prevails."""
        return self.spans[0].wind if self.spans else None

    @property
    def winds(self) -> tuple[Wind | None, ...]:
        """Every wind that may be met; None where a text leaves it unknown."""
        return tuple(span.wind for span in self.spans)

    @property
    def altimeter_inhg(self) -> float | None:
        """Altimeter setting of the report."""
        return self.report.altimeter_inhg if self.report is not None else None

    @property
    def temperature_degc(self) -> float | None:
        """Temperature of the report."""
        return self.report.temperature_degc if self.report is not None else None

    @property
    def temperature_sigma_degc(self) -> float:
        """How far the air may be from the report's temperature by then."""
        if self.report is None:
            return 0.0
        age_h = abs(self.when_utc - self.report.observed_utc) / timedelta(hours=1)
        return float(ROUNDING_DEGC + age_h * WARMING_DEGC_PER_H)

    @property
    def pressure_ft(self) -> float | None:
        """Pressure altitude of the field, if the setting is known."""
        if self.altimeter_inhg is None:
            return None
        return float(pressure_altitude_ft(self.aerodrome.elev_msl_ft, self.altimeter_inhg))

    @property
    def text_supply(self) -> str:
        """Which text would tell the weather there, to be followed by what it must tell."""
        when = f"{self.when_utc:%d %H:%MZ}"
        return f"a METAR or TAF for {self.aerodrome.id} at {when} in {self.weather_file}"

    @property
    def report_supply(self) -> str:
        """Which report would tell the air there, to be followed by what it must tell."""
        when = f"{self.when_utc:%d %H:%MZ}"
        hours = REPORT_SERVES / timedelta(hours=1)
        return (
            f"a METAR for {self.aerodrome.id} within {hours:g} h of {when} in {self.weather_file}"
        )


def times_utc(plan: Plan, way: Way) -> tuple[datetime, datetime, datetime]:
    """Take-off, landing and on-block times of a way."""
    takeoff = plan.flight.off_block_utc + timedelta(minutes=plan.flight.taxi_out_min)
    landing = takeoff + timedelta(minutes=way.time_min + plan.flight.pattern_min)
    return takeoff, landing, landing + timedelta(minutes=plan.flight.taxi_in_min)


def choose_runway(
    ends: Sequence[tuple[Runway, RunwayEnd]], wind: Wind | None, asked: str | None
) -> tuple[Runway, RunwayEnd]:
    """The end the pilot asked for, else the one most into the wind, else the longest.

    Winds that differ by less than half a knot are the same; a variable wind, or one that is
    not known, favors none.
    """
    if asked is not None:
        return next(pair for pair in ends if pair[1].name == asked)

    def worth(pair: tuple[Runway, RunwayEnd]) -> tuple[float, float]:
        runway, end = pair
        return round(_headwind_kt(end, wind)), runway.length_ft

    return max(ends, key=worth)


def _headwind_kt(end: RunwayEnd, wind: Wind | None) -> float:
    if wind is None or wind.from_true_deg is None:
        return 0.0
    head_kt, _ = wind_components_kt(
        end.true_deg, wind_from_true_deg=wind.from_true_deg, wind_kt=wind.mean_kt
    )
    return float(head_kt)


def setting_at(
    plan: Plan, place: str, aerodrome: Aerodrome, when_utc: datetime, asked: str | None
) -> Setting:
    """A field at a time, with the end asked for, else the one most into the wind."""
    spans = spans_at(plan.weather, aerodrome.id, when_utc)
    runway, end = choose_runway(aerodrome.runway_ends(), spans[0].wind if spans else None, asked)
    report = plan.weather.reports.get(aerodrome.id)
    serves = report is not None and abs(when_utc - report.observed_utc) <= REPORT_SERVES
    return Setting(
        place=place,
        aerodrome=aerodrome,
        runway=runway,
        end=end,
        when_utc=when_utc,
        spans=spans,
        worst=worst_at(plan.weather, aerodrome.id, when_utc),
        report=report if serves else None,
        weather_file=plan.flight.weather_file or 'the file that weather = "..." names',
    )

"""Which country's rules a flight is held to, and what every set of rules has to answer.

A set of rules is a package of ``fit`` of its own that answers to ``RuleSet`` and stands in
``RULE_SETS`` by its country. That of the departure is used. Where it is not known, or its
rules are not written, the default is used; a field that is known to lie elsewhere says so.
"""

from collections.abc import Iterable, Iterator
from datetime import date, datetime
from typing import Final, Protocol

from lubberline.aircraft import Aircraft
from lubberline.fit import us
from lubberline.fit.field_weather import FieldWeather
from lubberline.fit.operation import Operation
from lubberline.fit.upkeep import Duty
from lubberline.fit.us import Located, Minimums, Reserve
from lubberline.flight import Plan
from lubberline.line import Finding, Limit, unknown
from lubberline.pilot import Pilot
from lubberline.places import Aerodrome
from lubberline.ways import Way

__all__ = ["RULE_SETS", "FieldWeather", "Minimums", "Reserve", "RuleSet", "country_of", "rules_of"]

DEFAULT: Final = "US"
# First letters of location indicators: ICAO Doc 7910 (memory). Others are other countries'.
_UNITED_STATES: Final = (
    *("K", "PA", "PF", "PG", "PH", "PJ", "PK", "PL", "PM", "PO", "PP", "PW", "NST"),
    *("TI", "TJ"),
)
_UNASSIGNED: Final = "IJQX"  # first letters that no country has: same (memory)


class RuleSet(Protocol):
    """What the rules of one country answer; a module can be one."""

    @property
    def COUNTRY(self) -> str:  # noqa: N802 - a constant of the module
        """Its two letters: ISO 3166-1."""

    @property
    def WEATHER_SOURCE(self) -> str:  # noqa: N802
        """Where the least visibility and the distances from clouds stand."""

    @property
    def DAY_RESERVE_MIN(self) -> float:  # noqa: N802
        """Minutes of fuel that a flight by day keeps."""

    def pilot_findings(self, plan: Plan, way: Way) -> Iterable[Finding]:
        """Whether the pilot may fly it."""

    def airplane_findings(self, plan: Plan, way: Way) -> Iterable[Finding]:
        """Whether the airplane may."""

    def sky_findings(self, plan: Plan, way: Way) -> Iterable[Finding]:
        """What the airspace of a way asks of the airplane's equipment and speed."""

    def weather_findings(self, field: FieldWeather) -> Iterable[Finding]:
        """Whether the weather of one field lets it begin or end there."""

    def cloud_finding(self, cruise_msl_ft: float, fields: Iterable[FieldWeather]) -> Finding:
        """Whether cruise keeps from the ceilings at the ends."""

    def basic_minimums(
        self, airspace_class: str, *, msl_ft: float, agl_ft: float, night: bool
    ) -> Minimums | None:
        """Least visibility and distances from clouds; None where no flight by sight is."""

    def fuel_reserve(self, *, night: bool, night_soon: bool) -> Reserve:
        """Fuel that must be left after landing."""

    def is_night(self, place: Located, when_utc: datetime) -> bool:
        """Whether it is night there at that time."""

    def duties(self, aircraft: Aircraft, operation: Operation | None) -> Iterable[Duty]:
        """Everything the airplane comes due for."""

    def pilot_dates(self, pilot: Pilot, today: date) -> Iterable[Finding]:
        """Everything of a pilot that comes due by the calendar."""


RULE_SETS: Final[dict[str, RuleSet]] = {us.COUNTRY: us}


def country_of(aerodrome: Aerodrome) -> str:
    """The country that a field's location indicator tells: two letters; "" if it does not.

    One of four letters that is not the United States' gives its own first letters in quotes:
    another country, which of them is not known here.
    """
    name = aerodrome.id
    if len(name) != 4 or not name.isalpha() or name[0] in _UNASSIGNED:
        return ""
    return us.COUNTRY if name.startswith(_UNITED_STATES) else f"'{name[:2]}'"


def rules_of(plan: Plan) -> RuleSet:
    """The rules of the departure's country, or the default where there are none written."""
    return RULE_SETS.get(country_of(plan.departure), RULE_SETS[DEFAULT])


def other_rules(plan: Plan, rules: RuleSet) -> Iterator[Finding]:
    """One that is unknown if a field is known to lie where other rules hold; else none."""
    fields = (plan.departure, plan.destination, *plan.alternates)
    abroad = [one for one in fields if country_of(one) not in ("", rules.COUNTRY)]
    if abroad:
        limit = Limit(
            key="flight.other_rules",
            label="fields under other rules",
            unit="fields",
            high=0.0,
            target=0.0,
            basis="own",
            source=f"own: every field by its own country's rules; these are of {rules.COUNTRY}",
        )
        told = ", ".join(f"{one.id} (country {country_of(one)})" for one in abroad)
        yield unknown(limit, f"the rules of the country of {told}: they are not written here")

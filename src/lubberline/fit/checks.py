"""Everything that can be decided about one flight today, as findings.

``check_fit`` asks every rule and returns its findings in a fixed order. What is not asked at all
is listed in ``NOT_CHECKED``, so that silence never reads as consent.
"""

from typing import Final

from lubberline.fit.altimeter import altimeter_findings
from lubberline.fit.areas import area_findings
from lubberline.fit.data_age import data_findings
from lubberline.fit.flying import flight_findings
from lubberline.fit.levels import level_findings
from lubberline.fit.loading import flight_loading
from lubberline.fit.notices import notice_findings
from lubberline.fit.rules import other_rules, rules_of
from lubberline.fit.stop import stop_findings
from lubberline.fit.weather_age import weather_age_findings
from lubberline.flight import Plan
from lubberline.line import Finding
from lubberline.ways import Way

NOT_CHECKED: Final = (
    "notices that are not in the weather text; hours of operation but those that flight.toml tells;"
    " clouds that are no ceiling; slope where the manual has no note of it;"
    " wet runways; obstacles; what the fitness check does not ask"
)


def check_fit(plan: Plan, way: Way) -> tuple[Finding, ...]:
    """Findings on pilot, airplane and flight for one way, in a fixed order."""
    rules = rules_of(plan)
    loading = flight_loading(plan, way, rules)
    weights = {one.limit.key: one.value or 0.0 for one in loading}
    flown = flight_findings(
        plan,
        way,
        rules,
        takeoff_lb=weights["airplane.weight_takeoff"],
        landing_lb=weights["airplane.weight_landing"],
    )
    return (
        *rules.pilot_findings(plan, way),
        *rules.airplane_findings(plan, way),
        *loading,
        *level_findings(plan),
        *flown,
        *stop_findings(plan, way, weight_lb=weights["airplane.weight_takeoff"]),
        *data_findings(plan, way),
        *weather_age_findings(plan, way),
        *notice_findings(plan, way),
        *area_findings(plan, way),
        *altimeter_findings(plan, way),
        *other_rules(plan, rules),
    )

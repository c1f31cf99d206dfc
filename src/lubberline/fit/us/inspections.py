"""Is the airplane inspected: annual, transponder and emergency transmitter, by calendar months.

Directives, the 100-hour inspection, deferred items and life-limited parts are not looked at
here; the list of what was not checked says so.
"""

from datetime import date

from lubberline.aircraft import Aircraft
from lubberline.fit.calendar import due_after_months, due_finding, due_limit
from lubberline.line import Finding, unknown


def inspection_findings(
    aircraft: Aircraft, flight_day: date, *, buffer_days: float
) -> tuple[Finding, ...]:
    """Days left of each inspection [14CFR91.409]_ [14CFR91.413]_ [14CFR91.207]_."""
    upkeep = aircraft.upkeep
    rows = (
        ("annual", "annual inspection", "91.409(a)(1)", 12, upkeep.annual_on, "annual_on"),
        (
            "transponder",
            "transponder test",
            "91.413(a)",
            24,
            upkeep.transponder_on,
            "transponder_on",
        ),
        ("elt", "ELT inspection", "91.207(d)", 12, upkeep.elt_inspected_on, "elt_inspected_on"),
    )
    findings = [
        due_after_months(
            due_limit(
                f"airplane.{name}",
                label,
                f"14 CFR {section}, read 2026-11-25",
                buffer_days=buffer_days,
            ),
            done_on,
            flight_day,
            months_count=months_count,
            supplied_by=f"upkeep.{key} in the aircraft file",
        )
        for name, label, section, months_count, done_on, key in rows
    ]
    return (*findings, _elt_battery(aircraft, flight_day, buffer_days=buffer_days))


def _elt_battery(aircraft: Aircraft, flight_day: date, *, buffer_days: float) -> Finding:
    limit = due_limit(
        "airplane.elt_battery",
        "ELT battery",
        "14 CFR 91.207(c), date marked on the transmitter, read 2026-11-25",
        buffer_days=buffer_days,
    )
    until = aircraft.upkeep.elt_battery_until
    if until is None:
        return unknown(limit, "upkeep.elt_battery_until in the aircraft file")
    return due_finding(limit, until, flight_day)

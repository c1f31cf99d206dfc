"""Is the pilot current: medical certificate and flight review, by calendar months."""

from datetime import date
from typing import Final

from lubberline.fit.calendar import (
    age_years_count,
    due_after_months,
    due_limit,
)
from lubberline.line import Finding, unknown
from lubberline.pilot import Pilot

FLIGHT_REVIEW_MONTHS: Final = 24  # [14CFR61.56]_ (c)
MEDICAL_MONTHS_UNDER_40: Final = 60  # [14CFR61.23]_ (d), third-class privileges
MEDICAL_MONTHS_FROM_40: Final = 24  # same; age on the day of the examination


def flight_review(pilot: Pilot, flight_day: date) -> Finding:
    """Days left until the flight review runs out [14CFR61.56]_."""
    limit = due_limit(
        "pilot.flight_review",
        "flight review",
        "14 CFR 61.56(c), read 2026-11-25",
        buffer_days=pilot.own.due_buffer_days,
    )
    return due_after_months(
        limit,
        pilot.flight_review_on,
        flight_day,
        months_count=FLIGHT_REVIEW_MONTHS,
        supplied_by="flight_review_on in pilot.toml",
    )


def medical(pilot: Pilot, flight_day: date) -> Finding:
    """Days left of the medical for flying as pilot in command without hire [14CFR61.23]_.

    Any class serves as a third-class certificate for its longer time; age counts on the day
    of the examination.
    """
    limit = due_limit(
        "pilot.medical",
        "medical, private privileges",
        "14 CFR 61.23(d), table, read 2026-11-25",
        buffer_days=pilot.own.due_buffer_days,
    )
    if pilot.medical_on is None:
        return unknown(limit, "medical_on in pilot.toml")
    age_count = age_years_count(pilot.born_on, pilot.medical_on)
    months_count = MEDICAL_MONTHS_UNDER_40 if age_count < 40 else MEDICAL_MONTHS_FROM_40
    return due_after_months(
        limit,
        pilot.medical_on,
        flight_day,
        months_count=months_count,
        supplied_by="medical_on in pilot.toml",
    )

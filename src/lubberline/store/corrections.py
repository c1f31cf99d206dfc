"""Corrections by hand: what a flight said before is kept beside what it says now, and why."""

from dataclasses import asdict
from datetime import UTC, datetime
from typing import Final, get_args

from sqlalchemy import select
from sqlalchemy.orm import Session

from lubberline.errors import NoSolution, RangeError
from lubberline.pilot import FlownAs
from lubberline.store.model import Correction
from lubberline.store.schema import CorrectionRow, FlightRow

CORRECTABLE: Final = (
    *("title", "departure_id", "destination_id", "aircraft", "pilot"),
    *("type_name", "category_class", "role"),
)
ROLES: Final = get_args(FlownAs)


def correct_flight(
    session: Session,
    flight_id: int,
    field: str,
    becomes: str,
    *,
    reason: str,
    made_utc: datetime | None = None,
) -> Correction:
    """Change one field of a flight; what it was is kept beside it.

    Raises
    ------
    NoSolution
        If there is no such flight.
    RangeError
        If the field cannot be corrected, or no reason is given, or it says so already.
    """
    row = session.get(FlightRow, flight_id)
    if row is None:
        raise NoSolution(f"there is no flight {flight_id} in the store")
    if field not in CORRECTABLE:
        raise RangeError(f"the field is {field!r}; expected one of {', '.join(CORRECTABLE)}")
    if not reason.strip() or not becomes.strip():
        raise RangeError("a correction needs the new text and a reason")
    if field == "role" and becomes not in ROLES:
        raise RangeError(f"the role is {becomes!r}; expected one of {', '.join(ROLES)}")
    was = getattr(row, field)
    if was == becomes:
        raise RangeError(f"{field} of flight {flight_id} is {becomes!r} already")
    correction = Correction(
        made_utc=made_utc or datetime.now(UTC),
        field=field,
        was=was or "",
        becomes=becomes,
        reason=reason,
    )
    setattr(row, field, becomes)
    row.corrections.append(correction_row(correction))
    session.flush()
    return correction


def corrections_of(session: Session, flight_id: int) -> list[Correction]:
    """Every correction of a flight, oldest first."""
    asked = select(CorrectionRow).where(CorrectionRow.flight_id == flight_id)
    return [
        Correction(**{name: getattr(row, name) for name in Correction.__dataclass_fields__})
        for row in session.scalars(asked.order_by(CorrectionRow.id))
    ]


def correction_row(one: Correction) -> CorrectionRow:
    """The row of a correction, not yet bound to a flight."""
    return CorrectionRow(**asdict(one))

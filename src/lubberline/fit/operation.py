"""What a flight is for, as far as rules about the airplane ask: who pays, who is aboard."""

from dataclasses import dataclass

from lubberline.flight import Flight, Hire


@dataclass(frozen=True, slots=True, kw_only=True)
class Operation:
    """Who pays for what, who is aboard, and whether it leads to a due inspection.

    ``hire`` None was not said.
    """

    hire: Hire | None = None
    carries_persons: bool = False
    to_inspection: bool = False

    @property
    def for_hire(self) -> bool | None:
        """Whether anybody pays to be carried or taught in this airplane; None if not known."""
        if self.hire is None:
            return None if self.carries_persons else False
        return self.hire in ("persons", "instruction")


def operation_of(flight: Flight) -> Operation:
    """What one flight is for."""
    return Operation(
        hire=flight.hire,
        carries_persons=flight.carries_persons,
        to_inspection=flight.to_inspection,
    )

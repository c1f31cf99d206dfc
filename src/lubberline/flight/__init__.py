"""The flight file, the plan and the pledge."""

from lubberline.flight.model import Candidate, Flight, Plan, RoutePoint
from lubberline.flight.pledge import Pledge, PledgedPoint

__all__ = ["Candidate", "Flight", "Plan", "Pledge", "PledgedPoint", "RoutePoint"]

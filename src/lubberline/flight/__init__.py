"""The flight file, the plan and the pledge."""

from lubberline.flight.cost import Cost
from lubberline.flight.file import FLIGHT_FILE, flight_folder_of, folder_of, read_plan
from lubberline.flight.filing import Filing
from lubberline.flight.model import Avoid, Candidate, Flight, Hire, Plan, RoutePoint, Search
from lubberline.flight.pledge import SHORT_DIGITS, Pledge, PledgedGate, PledgedPoint
from lubberline.flight.pledge_file import latest_pledge, read_pledge
from lubberline.flight.watch import Beacon, Watch

__all__ = [
    "FLIGHT_FILE",
    "SHORT_DIGITS",
    "Avoid",
    "Beacon",
    "Candidate",
    "Cost",
    "Filing",
    "Flight",
    "Hire",
    "Plan",
    "Pledge",
    "PledgedGate",
    "PledgedPoint",
    "RoutePoint",
    "Search",
    "Watch",
    "flight_folder_of",
    "folder_of",
    "latest_pledge",
    "read_plan",
    "read_pledge",
]

"""A flight as the pilot asks for it, and the plan: the same with everything it names resolved."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Literal

from lubberline.aircraft import Aircraft
from lubberline.earth import Terrain
from lubberline.flight.cost import Cost
from lubberline.flight.filing import Filing
from lubberline.flight.watch import Watch
from lubberline.pilot import FlownAs, Pilot
from lubberline.places import Aerodrome, Places
from lubberline.weather import Weather

Hire = Literal["none", "rental", "persons", "instruction"]


@dataclass(frozen=True, slots=True, kw_only=True)
class RoutePoint:
    """A place that a candidate passes over."""

    name: str
    lat_deg: float
    lon_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """One of the pilot's own routes: points between the aerodromes, and one cruising height.

    ``permissions`` names the groups of volumes that the pilot expects to be let into.
    """

    name: str
    cruise_msl_ft: float
    via: tuple[RoutePoint, ...]
    permissions: frozenset[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Avoid:
    """A place that no found way may come nearer to than a distance."""

    point: RoutePoint
    radius_nm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Search:
    """What the pilot wants of ways that are found: over these points, not there, how high.

    ``near_landing_nm`` is how far from a landing place they may go, ``glide_to_land`` that they
    stay within gliding reach of land.
    """

    via: tuple[RoutePoint, ...] = ()
    avoid: tuple[Avoid, ...] = ()
    not_above_msl_ft: float | None = None
    not_below_msl_ft: float | None = None
    near_landing_nm: float | None = None
    glide_to_land: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Flight:
    """What ``flight.toml`` asks for. Loads are by station name, fuel by tank name.

    ``role`` is who the pilot is aboard, None where it was not said.
    ``hire`` is what is paid for: nothing, the rent of the airplane alone, persons carried, or
    instruction in an airplane that the instructor provides; None where it was not said.
    ``pattern_min`` is the time for turning out and for the pattern, which no way contains.
    ``to_inspection`` is that the flight leads to the place of a due inspection, ``night_landing``
    that landing after dark is meant. ``watch`` is None where nobody was named who knows of the
    flight, ``filing`` where no flight plan is to be filed, ``search`` where no ways but the
    pilot's own are wanted, ``cost`` where money is no matter. ``flight_following`` asks radar for
    traffic advisories where somebody is heard who gives them. ``aircraft_file`` and
    ``weather_file`` are named where something has to be supplied. ``closes_utc`` is when the
    destination, or what is wanted there, closes.
    """

    title: str
    departure_id: str
    destination_id: str
    off_block_utc: datetime
    arrive_by_utc: datetime | None
    taxi_out_min: float
    taxi_in_min: float
    pattern_min: float
    load_lb: Mapping[str, float]
    fuel_gal: Mapping[str, float]
    candidates: tuple[Candidate, ...]
    departure_runway: str | None
    destination_runway: str | None
    standard: str
    carries_persons: bool
    role: FlownAs | None = None
    hire: Hire | None = None
    to_inspection: bool = False
    night_landing: bool = False
    flight_following: bool = True
    aircraft_file: str = "the aircraft file"
    weather_file: str | None = None
    alternate_ids: tuple[str, ...] = ()
    watch: Watch | None = None
    cost: Cost | None = None
    filing: Filing | None = None
    search: Search | None = None
    closes_utc: datetime | None = None


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Plan:
    """A flight with its airplane, pilot, places, weather and terrain.

    ``inputs`` are the files it was read from, for the pledge's content hashes.
    """

    flight: Flight
    folder: Path
    aircraft: Aircraft
    pilot: Pilot
    places: Places
    weather: Weather
    terrain: Terrain
    inputs: tuple[Path, ...]

    @property
    def departure(self) -> Aerodrome:
        """The aerodrome of departure."""
        return self.places.aerodromes[self.flight.departure_id]

    @property
    def destination(self) -> Aerodrome:
        """The aerodrome of destination."""
        return self.places.aerodromes[self.flight.destination_id]

    @property
    def alternates(self) -> tuple[Aerodrome, ...]:
        """Where else the flight may land, in the order of the file."""
        return tuple(self.places.aerodromes[name] for name in self.flight.alternate_ids)

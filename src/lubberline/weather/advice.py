"""What else a briefing tells, as values: pilot reports, areas of bad weather, and notices.

Anything that was not understood is None and stands in ``undecoded``; the whole text is kept.
Places are WGS-84 degrees; a place that is told by a name nobody knows is in ``missing``.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from math import inf
from typing import Final, Literal, TypeAlias

from lubberline.arrays import FloatArray

Spot: TypeAlias = tuple[float, float]  # latitude and longitude [deg]
Locate: TypeAlias = Callable[[str], Spot | None]  # finds a place by its identifier
HeightReference = Literal["MSL", "AGL", "FL"]
Consequence = Literal[
    "runway closed", "airspace", "lights", "taxiway", "obstacle", "procedure", "other"
]
BY_CONSEQUENCE: Final[tuple[Consequence, ...]] = (
    *("runway closed", "airspace", "lights", "taxiway", "obstacle", "procedure", "other"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """A height in feet above what ``reference`` says; FL is a flight level's pressure height."""

    ft: float
    reference: HeightReference = "MSL"


SURFACE: Final = Level(ft=0.0, reference="AGL")
UNLIMITED: Final = Level(ft=inf)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Area:
    """A piece of the sky that an AIRMET or SIGMET warns of.

    ``corners_deg`` has shape (m, 2) of latitude and longitude; None where the outline was not
    understood or a point of it is nowhere on file. Heights and times are None where not told.
    """

    kind: str
    name: str
    hazard: str
    from_utc: datetime | None
    until_utc: datetime | None
    low: Level | None
    high: Level | None
    corners_deg: FloatArray | None
    text: str
    missing: tuple[str, ...] = ()
    undecoded: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PilotReport:
    """What a pilot met. Layers of ``sky`` are (amount, base, top) in ft MSL, NaN where not told.

    The wind's direction is magnetic by the form's rule. ``elements`` are the parts as they
    stand, by their two letters.
    """

    urgent: bool
    text: str
    at_utc: datetime | None
    place: str
    lat_deg: float | None = None
    lon_deg: float | None = None
    msl_ft: float | None = None
    airplane: str = ""
    sky: tuple[tuple[str, float, float], ...] = ()
    visibility_sm: float | None = None
    weather: tuple[str, ...] = ()
    temperature_degc: float | None = None
    wind_from_mag_deg: float | None = None
    wind_kt: float | None = None
    turbulence: str = ""
    icing: str = ""
    remarks: str = ""
    elements: tuple[tuple[str, str], ...] = ()
    undecoded: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice:
    """One NOTAM of either form.

    ``until_utc`` None is permanent; ``estimated`` that its end is a guess, so that it counts as
    still in force after it. ``place`` is what it is about ("" where not told); ``runways`` are
    the ends it closes, empty with the whole aerodrome; ``conditional`` that they are closed in
    part or to some. ``restricts``: it may forbid flight in its airspace. ``hours`` is its schedule
    as written and ``spans_utc`` what it comes to; None where it was not understood.
    """

    id: str
    place: str
    consequence: Consequence
    from_utc: datetime | None
    until_utc: datetime | None
    message: str
    text: str
    estimated: bool = False
    cancels_id: str = ""
    only_cancels: bool = False
    runways: tuple[str, ...] = ()
    conditional: bool = False
    restricts: bool = False
    hours: str = ""
    spans_utc: tuple[tuple[datetime, datetime], ...] | None = None
    low: Level | None = None
    high: Level | None = None
    lat_deg: float | None = None
    lon_deg: float | None = None
    radius_nm: float | None = None
    corners_deg: tuple[Spot, ...] = ()
    aerodrome_only: bool = False
    decoded: tuple[tuple[str, str], ...] = ()
    undecoded: tuple[str, ...] = ()

    def is_in_force(self, from_utc: datetime, until_utc: datetime) -> bool:
        """Whether it may hold at any time between two; what is not known counts as yes."""
        if self.from_utc is not None and until_utc < self.from_utc:
            return False
        if self.until_utc is not None and not self.estimated and from_utc > self.until_utc:
            return False
        if self.spans_utc is None or self.estimated:
            return True
        return any(start <= until_utc and from_utc <= end for start, end in self.spans_utc)

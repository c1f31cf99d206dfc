"""What else a briefing tells, as values: pilot reports, areas of bad weather, and notices.

Anything that was not understood is None and stands in ``undecoded``; the whole text is kept.
Places are WGS-84 degrees; a place that is told by a name nobody knows is in ``missing``.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
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
class Spans:
    """Hours of a notice inside its dates: pairs of times; None where they were not understood."""

    text: str
    spans_utc: tuple[tuple[datetime, datetime], ...] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice:
    """One NOTAM of either form.

    ``until_utc`` None is permanent; ``estimated`` that its end is a guess, so that it counts as
    still in force. ``place`` is what it is about ("" where not told); ``runways`` are the names
    of runway ends it closes. A place without a radius is the aerodrome.
    """

    id: str
    place: str
    consequence: Consequence
    from_utc: datetime | None
    until_utc: datetime | None
    message: str
    text: str
    estimated: bool = False
    canceled_id: str = ""
    runways: tuple[str, ...] = ()
    schedule: Spans | None = None
    low: Level | None = None
    high: Level | None = None
    lat_deg: float | None = None
    lon_deg: float | None = None
    radius_nm: float | None = None
    corners_deg: tuple[Spot, ...] = ()
    decoded: tuple[tuple[str, str], ...] = field(default=())
    undecoded: tuple[str, ...] = ()

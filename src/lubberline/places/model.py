"""Aerodromes, airspace volumes, visual points and land, as published or as the pilot notes them.

Positions are WGS-84 degrees, north and east positive. Heights say their reference. Values
only; the readers in this room make them from files.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from datetime import datetime
from typing import Literal, TypeAlias

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.errors import ShapeError

HeightReference = Literal["MSL", "AGL", "SFC"]
RadioUse = Literal["atis", "awos", "ground", "tower", "approach", "ctaf", "other"]
Surface = Literal["paved", "grass", "gravel", "dirt", "snow", "water", "other", "unknown"]


@dataclass(frozen=True, slots=True, kw_only=True)
class RunwayEnd:
    """One end of a runway: its painted name, true direction of use, threshold and pattern.

    A number that is not published is NaN. ``lights`` are those of the approach and threshold.
    """

    name: str
    true_deg: float
    lat_deg: float
    lon_deg: float
    elev_msl_ft: float
    displaced_ft: float = 0.0
    pattern_side: Literal["left", "right"] = "left"
    lights: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Runway:
    """A strip with its two ends; ``surface`` is the worst of its parts, ``lights`` its edges'."""

    ends: tuple[RunwayEnd, RunwayEnd]
    length_ft: float
    width_ft: float
    surface: Surface
    lights: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Radio:
    """A service that answers, or talks, on a frequency."""

    facility: str
    use: RadioUse
    frequency_mhz: float
    note: str = ""
    hours: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Aerodrome:
    """A landing place with its runways and radio services.

    ``kind`` is "" for an airport, else in words ("heliport", "seaplane base"). ``aliases`` are
    other published identifiers. ``pattern_customary``: no pattern height is published, the
    customary one stands for it.
    """

    id: str
    name: str
    lat_deg: float
    lon_deg: float
    elev_msl_ft: float
    pattern_agl_ft: float
    runways: tuple[Runway, ...]
    radios: tuple[Radio, ...] = ()
    note: str = ""
    source: str = ""
    kind: str = ""
    aliases: tuple[str, ...] = ()
    pattern_customary: bool = False

    def runway_ends(self) -> tuple[tuple[Runway, RunwayEnd], ...]:
        """Every direction that can be taken off or landed in, with its runway."""
        return tuple((runway, end) for runway in self.runways for end in runway.ends)


@dataclass(frozen=True, slots=True, kw_only=True)
class Height:
    """A floor or ceiling: feet above what ``reference`` says; SFC is the ground itself."""

    reference: HeightReference
    ft: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Circle:
    """A circle, or the exact ring between ``inner_nm`` and ``radius_nm``; no polygon.

    A shelf round a field is a ring: what lies nearer than ``inner_nm`` does not belong to it.
    """

    lat_deg: float
    lon_deg: float
    radius_nm: float
    inner_nm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Arc:
    """A published arc that stands behind the corners ``first`` to ``last`` of a polygon's ring.

    ``ring`` 0 is the outer edge, 1 the first hole; ``clockwise`` is the sense from first to last.
    """

    ring: int
    first: int
    last: int
    lat_deg: float
    lon_deg: float
    radius_nm: float
    clockwise: bool


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Polygon:
    """A polygonal footprint: ``corners_deg`` (m, 2) of latitude, longitude; holes alike.

    Where the published edge is an arc, the corners follow it to within ``error_m`` and
    ``arcs`` keeps it exactly.
    """

    corners_deg: FloatArray
    holes_deg: tuple[FloatArray, ...] = ()
    arcs: tuple[Arc, ...] = ()
    error_m: float = 0.0


Footprint: TypeAlias = Circle | Polygon


@dataclass(frozen=True, slots=True, kw_only=True)
class WeeklySpan:
    """Days and minutes of the day in a time zone; ``until_min`` up to 1440, exclusive.

    ``weekdays`` as Python counts them, Monday 0. ``zone`` is "UTC" or an IANA name; "local"
    where the text says local time and no zone is known.
    """

    weekdays: tuple[int, ...]
    from_min: int
    until_min: int
    zone: str = "UTC"


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """Hours as published, and what was understood of them; ``spans`` None: nothing was.

    Hours that were not understood are reckoned as always active.
    """

    text: str
    spans: tuple[WeeklySpan, ...] | None = None


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Volume:
    """A block of airspace. ``group`` names the permission that opens it (one per facility).

    ``airspace_class`` is A to G, R (restricted), P (prohibited) or another published letter;
    ``lateral_margin_nm`` overrides the flight's own margin where it is given. ``schedule`` None
    is active at all times; outside its hours the volume is of ``otherwise_class`` ("" if none).
    """

    id: str
    name: str
    airspace_class: str
    group: str
    facility: str
    floor: Height
    ceiling: Height
    footprint: Footprint
    frequency_mhz: float | None = None
    lateral_margin_nm: float | None = None
    schedule: Schedule | None = None
    otherwise_class: str = ""
    kind: str = ""
    note: str = ""
    source: str = ""
    valid_from_utc: datetime | None = None
    valid_until_utc: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class VisualPoint:
    """A named place that can be seen from the air."""

    name: str
    lat_deg: float
    lon_deg: float
    note: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Waypoint:
    """A published fix or radio aid: ``kind`` as published (VOR, VORTAC, NDB, WP, VFR)."""

    id: str
    kind: str
    name: str
    lat_deg: float
    lon_deg: float
    frequency_mhz: float | None = None
    note: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Obstacles:
    """Published obstacles as columns of one length.

    Heights of the top; doubts as the source states them, NaN where it does not. ``kind`` are
    the published words ("TOWER", "STACK"), "unverified" after them where the source says so.
    """

    lat_deg: FloatArray
    lon_deg: FloatArray
    top_msl_ft: FloatArray
    top_agl_ft: FloatArray
    lateral_doubt_nm: FloatArray
    vertical_doubt_ft: FloatArray
    lit: np.ndarray[tuple[int], np.dtype[np.bool_]]
    kind: np.ndarray[tuple[int], np.dtype[np.str_]]

    def __post_init__(self) -> None:
        """All columns have one length."""
        shapes = {one.name: getattr(self, one.name).shape for one in fields(self)}
        if len(set(shapes.values())) != 1 or self.lat_deg.ndim != 1:
            raise ShapeError(f"columns of obstacles must share one 1-d shape, got {shapes}")

    def __len__(self) -> int:
        """How many."""
        return len(self.lat_deg)


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """A file of published data: its name and form, its content, the dates it holds between.

    ``form`` is the published form in words ("OpenAir", "NASR CSV"). None: not said.
    """

    name: str
    form: str
    sha256: str
    valid_from_utc: datetime | None = None
    valid_until_utc: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Conflict:
    """Two sources that say different things of one item: which of them is used, what differs.

    ``kind`` is the item in words ("aerodrome"); each of ``differs`` is one sentence with both
    values, the used one first.
    """

    kind: str
    id: str
    used: str
    other: str
    differs: tuple[str, ...]

    def __str__(self) -> str:
        """One sentence."""
        what = "; ".join(self.differs)
        return f"{self.kind} {self.id}: {what} (used: {self.used}, not {self.other})"


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Places:
    """All that is known of a region. ``land_deg`` are polygons (m, 2); empty: all land.

    ``obstacles`` are by the name of their source. ``datasets`` are the published files that
    were asked, whether they held anything near or not; ``conflicts`` are between them.
    """

    aerodromes: Mapping[str, Aerodrome]
    volumes: tuple[Volume, ...]
    points: Mapping[str, VisualPoint]
    land_deg: tuple[FloatArray, ...]
    sources: tuple[str, ...]
    waypoints: tuple[Waypoint, ...] = ()
    obstacles: Mapping[str, Obstacles] = field(default_factory=dict)
    conflicts: tuple[Conflict, ...] = ()
    datasets: tuple[Source, ...] = ()

    def aerodrome(self, name: str) -> Aerodrome | None:
        """The aerodrome with that identifier, or of which it is another."""
        called = (one for one in self.aerodromes.values() if name in one.aliases)
        return self.aerodromes.get(name) or next(called, None)

    def place(self, name: str) -> VisualPoint | Aerodrome | Waypoint | None:
        """What is called so: a point, an aerodrome, or a waypoint."""
        waypoint = next((one for one in self.waypoints if one.id == name), None)
        return self.points.get(name) or self.aerodrome(name) or waypoint


def identifiers(one: Aerodrome | VisualPoint | Waypoint) -> tuple[str, ...]:
    """Everything that an item is called, its main name first."""
    if isinstance(one, Aerodrome):
        return (one.id, *one.aliases)
    return (one.name if isinstance(one, VisualPoint) else one.id,)

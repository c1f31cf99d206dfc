"""What one published file of places gave: its items, where they come from, what was left out.

Every reader of a published form returns one ``DataSet``; the index on disk and ``places`` on
the command line know nothing else of the forms.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from datetime import datetime

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.errors import ShapeError
from lubberline.places.model import Aerodrome, VisualPoint, Volume, Waypoint


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
class LeftOut:
    """One item that was not taken, or a part of it: where it stands, and why."""

    file: str
    line: int | None
    item: str
    reason: str

    def __str__(self) -> str:
        """One line: place, item, reason."""
        where = self.file if self.line is None else f"{self.file}, line {self.line}"
        return f"{where}: {self.item}: {self.reason}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Account:
    """How many items of each kind were read, and what was left out.

    ``left_out`` holds the first thousand at most; ``left_out_count`` counts all.
    """

    read: Mapping[str, int]
    left_out: tuple[LeftOut, ...] = ()
    left_out_count: int = 0


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Obstacles:
    """Published obstacles as columns of one length.

    Heights of the top; doubts as the source states them, NaN where it does not. ``kind`` are
    the published words ("TOWER", "STACK").
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


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class DataSet:
    """The items of one source. ``land_deg`` are polygons (m, 2) of latitude, longitude."""

    source: Source
    account: Account
    aerodromes: tuple[Aerodrome, ...] = ()
    volumes: tuple[Volume, ...] = ()
    points: tuple[VisualPoint, ...] = ()
    waypoints: tuple[Waypoint, ...] = ()
    obstacles: Obstacles | None = None
    land_deg: tuple[FloatArray, ...] = field(default=())

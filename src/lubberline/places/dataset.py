"""What one published file of places gave: its items, where they come from, what was left out.

Every reader of a published form returns one ``DataSet``; the index on disk and ``places`` on
the command line know nothing else of the forms.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from lubberline.arrays import FloatArray
from lubberline.places.model import Aerodrome, Obstacles, Source, VisualPoint, Volume, Waypoint

__all__ = ["Account", "DataSet", "LeftOut", "Obstacles", "Source"]


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

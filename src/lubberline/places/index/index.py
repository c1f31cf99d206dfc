"""The index of one data set: what lies near a route or has a name, out of a whole country.

Each kind of item is a column of boxes, checksums of names, and its items as text; only
what a box or a checksum lets through is made into values. Obstacles are columns in the order of
their latitude. Comparing every box takes less time than a tree takes to be loaded.
"""

import zlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import Any, Final

import numpy as np

from lubberline.arrays import FloatArray, IntArray, wrap_180_deg
from lubberline.errors import BadFile, Problem
from lubberline.places.corridor import Corridor, box_of, box_of_footprint, is_large
from lubberline.places.dataset import Account, DataSet
from lubberline.places.index.codec import SCHEMA, Pool, decode, encode
from lubberline.places.index.columns import Columns, read_columns, write_columns
from lubberline.places.model import (
    Aerodrome,
    Obstacles,
    Source,
    VisualPoint,
    Volume,
    Waypoint,
    identifiers,
)

_SPOTS: Final = ("aerodromes", "points", "waypoints")
_KINDS: Final = (*_SPOTS, "volumes", "land_deg")


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Index:
    """An opened index: its source, the account of its reading, and its columns on disk."""

    source: Source
    account: Account
    obstacle_kinds: tuple[str, ...] | None
    columns: Columns
    built_from: str = ""

    def near(self, corridor: Corridor) -> DataSet:
        """The data set with nothing but what lies near a route."""
        found = {kind: self._spots_near(kind, corridor) for kind in _SPOTS}
        return DataSet(
            source=self.source,
            account=self.account,
            **found,
            volumes=self._volumes_near(corridor),
            land_deg=self._land_near(corridor),
            obstacles=self._obstacles_near(corridor),
        )

    def named(self, name: str) -> tuple[Aerodrome | VisualPoint | Waypoint, ...]:
        """Every aerodrome, point and waypoint with that id or name."""
        found: list[Any] = []
        for kind in _SPOTS:
            same = self.columns[f"{kind}.name"] == _checksum(name)
            found += self._items(kind, np.unique(self.columns[f"{kind}.of"][same]))
        return tuple(one for one in found if name in _names(one))

    def whole(self) -> DataSet:
        """Everything, as it was given; obstacles from south to north."""
        everything = {
            kind: tuple(self._items(kind, np.arange(len(self.columns[f"{kind}.box"]))))
            for kind in _KINDS
        }
        obstacles = self._obstacles(slice(None))
        return DataSet(source=self.source, account=self.account, obstacles=obstacles, **everything)

    def _items(self, kind: str, rows: IntArray) -> Iterable[Any]:
        text, until = self.columns[f"{kind}.text"], self.columns[f"{kind}.until"]
        lines = (text[until[row] : until[row + 1]].tobytes() for row in rows)
        return decode(lines, self.columns["corners_deg"])

    def _spots_near(self, kind: str, corridor: Corridor) -> tuple[Any, ...]:
        boxes_deg = self.columns[f"{kind}.box"]
        rows = corridor.in_box(boxes_deg)
        rows = rows[corridor.near(boxes_deg[rows, 0], boxes_deg[rows, 2])]
        return tuple(self._items(kind, rows))

    def _volumes_near(self, corridor: Corridor) -> tuple[Volume, ...]:
        boxes_deg = self.columns["volumes.box"]
        rows = corridor.in_box(boxes_deg)
        volumes = list(self._items("volumes", rows))
        kept = is_large(boxes_deg[rows])
        small = np.flatnonzero(~kept)
        kept[small] = corridor.meets([volumes[n].footprint for n in small])
        return tuple(volumes[n] for n in np.flatnonzero(kept))

    def _land_near(self, corridor: Corridor) -> tuple[FloatArray, ...]:
        """Land near the route; where all is water the nearest, since none would mean all land."""
        boxes_deg = self.columns["land_deg.box"]
        rows = corridor.in_box(boxes_deg)
        if len(boxes_deg) and not len(rows):
            away_deg = np.hypot(
                boxes_deg[:, :2].mean(axis=1) - corridor.lat_deg[0],
                wrap_180_deg(boxes_deg[:, 2] - corridor.lon_deg[0]),
            )
            rows = np.array([np.argmin(away_deg)])
        found = self._items("land_deg", rows)
        return tuple(piece for ring_deg in found for piece in corridor.cut(ring_deg))

    def _obstacles_near(self, corridor: Corridor) -> Obstacles | None:
        if self.obstacle_kinds is None:
            return None
        south, north, mid, half = corridor.box_deg
        lat_deg, lon_deg = self.columns["obstacles.lat_deg"], self.columns["obstacles.lon_deg"]
        band = slice(*np.searchsorted(lat_deg, [south, north]))
        beside = np.abs(wrap_180_deg(lon_deg[band] - mid)) <= half
        rows = band.start + np.flatnonzero(beside)
        return self._obstacles(rows[corridor.near(lat_deg[rows], lon_deg[rows])])

    def _obstacles(self, rows: IntArray | slice) -> Obstacles | None:
        if self.obstacle_kinds is None:
            return None
        taken = {
            one.name: np.array(self.columns[f"obstacles.{one.name}"][rows])
            for one in fields(Obstacles)
        }
        return Obstacles(**{**taken, "kind": np.array(self.obstacle_kinds)[taken["kind"]]})


def write_index(path: Path, data: DataSet, *, built_from: str = "") -> None:
    """Write the index of a data set, whole or not at all; ``built_from`` is its source's state."""
    pool = Pool()
    columns: dict[str, Any] = {}
    for kind in _KINDS:
        items = getattr(data, kind)
        columns |= {f"{kind}.{name}": one for name, one in _listed(items, pool).items()}
    kinds, listed = _obstacle_columns(data.obstacles)
    columns |= {**listed, "corners_deg": pool.joined()}
    header = {
        "schema": SCHEMA,
        "built_from": built_from,
        "about": encode((data.source, data.account), pool).decode(),
        "obstacle_kinds": kinds,
    }
    write_columns(path, header, columns)


def open_index(path: Path) -> Index:
    """Open an index.

    Raises
    ------
    BadFile
        If it is missing, not whole, or of another version of the program.
    """
    header, columns = read_columns(path)
    if header["schema"] != SCHEMA:
        problem = Problem(key="index", found="values of another version", expected="of this one")
        raise BadFile(path, [problem])
    ((source, account),) = decode(iter([header["about"].encode()]), np.empty((0, 2)))
    kinds = header["obstacle_kinds"]
    return Index(
        source=source,
        account=account,
        obstacle_kinds=None if kinds is None else tuple(kinds),
        columns=columns,
        built_from=header["built_from"],
    )


def _listed(items: Sequence[Any], pool: Pool) -> Columns:
    """Boxes, checksums of names, and texts end to end of items of one kind."""
    lines = [encode(one, pool) for one in items]
    names = [[_checksum(name) for name in _names(one)] for one in items]
    return {
        "box": np.array([_box(one) for one in items]).reshape(-1, 4),
        "name": np.array([name for some in names for name in some], dtype=np.uint32),
        "of": np.repeat(np.arange(len(items)), [len(some) for some in names]),
        "until": np.cumsum([0, *(len(line) for line in lines)]),
        "text": np.frombuffer(b"".join(lines), dtype=np.uint8),
    }


def _box(one: Any) -> Sequence[float] | FloatArray:
    if isinstance(one, np.ndarray):
        return box_of(one)
    if isinstance(one, Volume):
        return box_of_footprint(one.footprint)
    return (one.lat_deg, one.lat_deg, one.lon_deg, 0.0)


def _names(one: Any) -> tuple[str, ...]:
    """Everything by which an item can be looked up."""
    return identifiers(one) if isinstance(one, Aerodrome | VisualPoint | Waypoint) else ()


def _checksum(name: str) -> int:
    return zlib.crc32(name.encode(errors="surrogatepass"))


def _obstacle_columns(obstacles: Obstacles | None) -> tuple[list[str] | None, Columns]:
    """The published words once each, and the columns from south to north."""
    if obstacles is None:
        return None, {}
    order = np.argsort(obstacles.lat_deg, kind="stable")
    words, which = np.unique(obstacles.kind, return_inverse=True)
    columns = replace(obstacles, kind=which.astype(np.uint32))
    return words.tolist(), {
        f"obstacles.{one.name}": getattr(columns, one.name)[order] for one in fields(Obstacles)
    }

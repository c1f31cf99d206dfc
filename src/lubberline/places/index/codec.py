"""Items as text and back, exactly: every float, time, arc and corner.

An item is JSON that names its class; its arrays stand apart, in one pool of corners. Only the
values of this room can come out of it. ``SCHEMA`` changes with them and with the program, so
that an index of yesterday's values is never read as today's.
"""

import json
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from datetime import datetime
from hashlib import sha256
from typing import Any, Final

import numpy as np

from lubberline import __version__
from lubberline.arrays import FloatArray
from lubberline.places import model
from lubberline.places.dataset import Account, LeftOut

_KINDS: Final[dict[str, tuple[type[Any], tuple[str, ...]]]] = {
    kind.__name__: (kind, tuple(one.name for one in fields(kind)))
    for kind in (
        *(model.Aerodrome, model.Runway, model.RunwayEnd, model.Radio, model.Waypoint),
        *(model.Volume, model.Height, model.Circle, model.Polygon, model.Arc, model.Schedule),
        *(model.WeeklySpan, model.VisualPoint, model.Source, Account, LeftOut),
    )
}
_FIELDS: Final = [[(f.name, f.type) for f in fields(kind)] for kind, _ in _KINDS.values()]
SCHEMA: Final = sha256(repr((__version__, _FIELDS)).encode()).hexdigest()


class Pool:
    """Arrays of corners, shape (m, 2), put end to end."""

    def __init__(self) -> None:
        self._parts: list[FloatArray] = []
        self._count = 0

    def put(self, corners_deg: FloatArray) -> dict[str, tuple[int, int]]:
        """Where they will be found."""
        start, self._count = self._count, self._count + len(corners_deg)
        self._parts.append(corners_deg)
        return {"@": (start, self._count)}

    def joined(self) -> FloatArray:
        """All of them, shape (n, 2)."""
        return np.vstack([np.empty((0, 2)), *self._parts])


def encode(value: Any, pool: Pool) -> bytes:
    """One item as a line of text; its arrays go into the pool."""
    plain = _plain(value, pool)
    return json.dumps(plain, separators=(",", ":"), default=_number).encode()


def decode(lines: Iterator[bytes], corners_deg: FloatArray) -> Iterator[Any]:
    """The items of such lines."""

    def made(tagged: dict[str, Any]) -> Any:
        ((name, parts),) = tagged.items()
        if name == "@":
            return np.array(corners_deg[slice(*parts)])
        if name == "utc":
            return datetime.fromisoformat(parts)
        if name == "map":
            return dict(parts)
        kind, names = _KINDS[name]
        values = [tuple(part) if type(part) is list else part for part in parts]
        return kind(**dict(zip(names, values, strict=True)))

    decoder = json.JSONDecoder(object_hook=made)
    for line in lines:
        yield decoder.decode(line.decode())


def _plain(value: Any, pool: Pool) -> Any:
    if isinstance(value, np.ndarray):
        return pool.put(value)
    if isinstance(value, tuple):
        return [_plain(one, pool) for one in value]
    if is_dataclass(value):
        name = type(value).__name__
        return {name: [_plain(getattr(value, part), pool) for part in _KINDS[name][1]]}
    if isinstance(value, datetime):
        return {"utc": value.isoformat()}
    if hasattr(value, "items"):
        return {"map": list(value.items())}
    return value


def _number(value: Any) -> Any:
    """A number of an array library as one of the language."""
    return value.item()

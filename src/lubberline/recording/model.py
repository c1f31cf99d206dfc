"""A recorded flight as columns of samples, with an account of where they came from."""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from datetime import datetime
from types import MappingProxyType
from typing import Literal

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.errors import ShapeError

GnssReference = Literal["msl", "ellipsoid", "unknown"]
GapReason = Literal["nothing recorded", "new segment", "no position", "jump"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Clock:
    """The pilot's word on time, for a recording that holds none.

    ``start_utc`` is when it began; ``every_s`` how far its samples are apart, None where it counts
    the time itself.
    """

    start_utc: datetime
    every_s: float | None = None

    def times_s(self, count: int) -> FloatArray:
        """When each of so many samples was taken; ``every_s`` must be known."""
        assert self.every_s is not None
        return np.asarray(self.start_utc.timestamp() + self.every_s * np.arange(count))

    def said(self) -> str:
        """That times are the pilot's, for the account."""
        every = "" if self.every_s is None else f", a sample every {self.every_s:g} s"
        return f"Times are as you said: from {self.start_utc:%Y-%m-%d %H:%M:%S} UTC{every}."


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """A span between two samples over which nothing may be interpolated; times since the epoch."""

    start_s: float
    end_s: float
    reason: GapReason


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Track:
    """Samples of one flight; every column has shape (n,).

    ``time_s`` counts from the Unix epoch and strictly increases. A sensor that gave nothing
    has NaN in its own column and nowhere else. ``gnss_ft`` is the satellite height as the
    recorder gave it (the recording says above what); ``pressure_ft`` is above the 1013.25 hPa
    level. ``channels`` are further columns named with their unit (``ias_kt``, ``heading_mag_deg``).
    """

    time_s: FloatArray
    lat_deg: FloatArray
    lon_deg: FloatArray
    gnss_ft: FloatArray
    pressure_ft: FloatArray
    channels: Mapping[str, FloatArray]

    def __post_init__(self) -> None:
        """Copy and lock the columns, then hold them to their promises."""
        names = [field.name for field in fields(self) if field.name != "channels"]
        for name in names:
            object.__setattr__(self, name, _locked(getattr(self, name)))
        channels = {name: _locked(column) for name, column in self.channels.items()}
        object.__setattr__(self, "channels", MappingProxyType(channels))
        shapes = {name: getattr(self, name).shape for name in names}
        shapes |= {name: column.shape for name, column in channels.items()}
        if len(set(shapes.values())) != 1 or self.time_s.ndim != 1:
            raise ShapeError(f"track columns must share one 1-d shape, got {shapes}")
        if not (np.diff(self.time_s) > 0.0).all():
            raise ShapeError("time_s must strictly increase: sort and de-duplicate first")

    def __len__(self) -> int:
        """Number of samples."""
        return int(self.time_s.size)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Recording:
    """One file's cleaned track, what was done to it, and the hash of the file as it was.

    ``account`` says in plain sentences what was read, guessed, repaired and left out; ``gaps``
    are in order of time.
    """

    track: Track
    gnss_reference: GnssReference
    format_name: str
    sha256: str
    account: tuple[str, ...]
    gaps: tuple[Gap, ...] = ()


def _locked(column: FloatArray) -> FloatArray:
    locked = np.array(column, dtype=float)
    locked.flags.writeable = False
    return locked

"""The pledge: the numbers that printing the card fixes, against which the flight is measured.

Canonical JSON (sorted keys, no spaces, UTF-8, times in UTC), so that the same numbers have
the same SHA-256 wherever they are written. A pledge is never changed; a new card makes a new
one. Which numbers go in is decided by the card.
"""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, fields
from datetime import UTC, datetime
from typing import Any, Final

from lubberline.errors import RangeError

SCHEMA_VERSION: Final = 2
SINCE: Final = {"gates": 2, "practice": 2}  # fields that an older version does not have
SHORT_DIGITS: Final = 12  # own: of the hash, in names of files and on the card


@dataclass(frozen=True, slots=True, kw_only=True)
class PledgedPoint:
    """Where the flight will be, at what height, when, and with how much fuel left."""

    name: str
    lat_deg: float
    lon_deg: float
    msl_ft: float
    over_utc: datetime
    fuel_left_gal: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PledgedGate:
    """What is due on the arrival, by when or by which height, and how, as the card says it."""

    label: str
    by: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Pledge:
    """The chosen way in numbers. ``findings`` are records of the line at the time of printing.

    ``points`` runs from take-off to landing and includes the ends of climb and descent, so
    that height is linear in time between two of them. ``inputs_sha256`` maps file name to the
    hash of its content. ``practice`` are tasks that the flight was to practise.
    """

    title: str
    way_name: str
    departure_id: str
    destination_id: str
    departure_runway: str
    destination_runway: str
    permissions: tuple[str, ...]
    cruise_msl_ft: float
    off_block_utc: datetime
    on_block_utc: datetime
    points: tuple[PledgedPoint, ...]
    departure_altimeter_inhg: float | None
    destination_altimeter_inhg: float | None
    findings: tuple[Mapping[str, Any], ...]
    inputs_sha256: Mapping[str, str]
    printed_utc: datetime
    program_version: str
    gates: tuple[PledgedGate, ...] = ()
    practice: tuple[str, ...] = ()
    schema_version: int = SCHEMA_VERSION

    @property
    def takeoff_utc(self) -> datetime:
        """Time of the first point."""
        return self.points[0].over_utc

    @property
    def landing_utc(self) -> datetime:
        """Time of the last point."""
        return self.points[-1].over_utc

    def canonical(self) -> bytes:
        """The one byte string that stands for these numbers.

        Raises
        ------
        ValueError
            If a number is NaN or infinite.
        RangeError
            If a time names no zone: it would mean another moment on another computer.
        """
        text = json.dumps(
            self,
            default=_plain,
            sort_keys=True,
            separators=(",", ":"),
            ensure_ascii=False,
            allow_nan=False,
        )
        return text.encode()

    @property
    def sha256(self) -> str:
        """Hash of the canonical form, printed on the card and stored with the flight."""
        return hashlib.sha256(self.canonical()).hexdigest()

    @property
    def short_sha256(self) -> str:
        """The part of the hash that names the files and stands on the card."""
        return self.sha256[:SHORT_DIGITS]

    @property
    def file_name(self) -> str:
        """What the file of this pledge must be called."""
        return f"pledge-{self.short_sha256}.json"


def _plain(value: Any) -> Any:
    if isinstance(value, datetime):
        if value.tzinfo is None:
            raise RangeError(f"{value} names no zone; a pledge needs times with their zone")
        return value.astimezone(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")
    if isinstance(value, Mapping):
        return dict(value)
    if isinstance(value, Pledge | PledgedPoint | PledgedGate):
        version = value.schema_version if isinstance(value, Pledge) else SCHEMA_VERSION
        names = (one.name for one in fields(value))
        return {name: getattr(value, name) for name in names if SINCE.get(name, 1) <= version}
    raise TypeError(f"{type(value).__name__} has no canonical form")

"""What goes into the store and what comes out of it."""

from dataclasses import dataclass
from datetime import datetime
from typing import Final, NamedTuple

from lubberline.errors import RangeError
from lubberline.line import Finding

MAX_RECORDING_BYTES: Final = 256_000_000  # own: ten hours at ten fixes a second are a tenth of it


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredMovement:
    """One take-off or landing: "take-off", "landing" or "touch-and-go", when and where."""

    kind: str
    at_utc: datetime
    lat_deg: float
    lon_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class NewFlight:
    """A judged flight with the recorder's file as it was and the pledge it was held to.

    ``type_name``, ``category_class`` and ``tailwheel`` are those of the airplane on that day;
    None where its file did not say.
    """

    flown_utc: datetime
    title: str
    departure_id: str
    destination_id: str
    aircraft: str
    pilot: str
    movement_count: int
    recording_name: str
    recording: bytes
    findings: tuple[Finding, ...]
    pledge: bytes | None = None
    type_name: str | None = None
    category_class: str | None = None
    tailwheel: bool | None = None
    movements: tuple[StoredMovement, ...] = ()

    def __post_init__(self) -> None:
        """A time has a zone; a recording has content, and no more than a recorder makes."""
        if self.flown_utc.tzinfo is None:
            raise RangeError(f"flown_utc of {self.title!r} has no time zone; give UTC")
        size = len(self.recording)
        if not 0 < size <= MAX_RECORDING_BYTES:
            raise RangeError(
                f"{self.recording_name} has {size:,} bytes;"
                f" expected 1 to {MAX_RECORDING_BYTES:,} bytes"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Added:
    """The flight is in the store now."""

    flight_id: int


@dataclass(frozen=True, slots=True, kw_only=True)
class AlreadyThere:
    """The same recording was added before, as this flight; nothing was changed."""

    flight_id: int
    title: str
    flown_utc: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredFlight:
    """A flight as the list shows it. Hashes are of the recorder's file and of the pledge."""

    flight_id: int
    flown_utc: datetime
    title: str
    departure_id: str
    destination_id: str
    aircraft: str
    pilot: str
    movement_count: int
    recording_name: str
    recording_sha256: str
    pledge_sha256: str | None
    type_name: str | None = None
    category_class: str | None = None
    tailwheel: bool | None = None
    movements: tuple[StoredMovement, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasureKey:
    """A finding's key with the words it was last stored under, and how many flights know it."""

    key: str
    label: str
    unit: str
    flight_count: int


class MeasuredFlight(NamedTuple):
    """One flight's value of a measure, in the unit of its key."""

    flown_utc: datetime
    title: str
    value: float
    sigma: float

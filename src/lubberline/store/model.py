"""What goes into the store and what comes out of it."""

from dataclasses import dataclass
from datetime import datetime
from typing import Final, Literal, NamedTuple

from lubberline.errors import RangeError
from lubberline.line import Finding

Mark = Literal["outside", "close", "inside"]
MARKS: Final[tuple[Mark, ...]] = ("outside", "close", "inside")  # worst first
Role = Literal["airplane", "pilot", "samples"]
MAX_RECORDING_BYTES: Final = 256_000_000  # own: ten hours at ten fixes a second are a tenth of it


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredMovement:
    """One take-off or landing: "take-off", "landing" or "touch-and-go", when and where."""

    kind: str
    at_utc: datetime
    lat_deg: float
    lon_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightConditions:
    """What a flight was flown in, at its landing; None where it is not known.

    The wind is that of the report or forecast on the runway landed on, crosswind in the mean
    wind. ``night`` is between the civil twilights.
    """

    wind_kt: float | None = None
    crosswind_kt: float | None = None
    gust_kt: float | None = None
    weight_lb: float | None = None
    runway_length_ft: float | None = None
    night: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnMark:
    """The pilot's own word on a phase ("approach") or a finding (its key), given unseen.

    ``mark`` is in the words of a verdict; ``chance_fraction`` the chance, from 0 to 1, that the
    finding comes out inside. At least one of them is given.
    """

    key: str
    made_utc: datetime
    mark: Mark | None = None
    chance_fraction: float | None = None
    note: str = ""

    def __post_init__(self) -> None:
        """A mark says something, in our words, at a time that has a zone."""
        if self.made_utc.tzinfo is None:
            raise RangeError(f"made_utc of the mark {self.key!r} has no time zone; give UTC")
        if self.mark is None and self.chance_fraction is None:
            raise RangeError(f"the mark {self.key!r} has neither a mark nor a chance")
        if self.mark not in (None, *MARKS):
            raise RangeError(f"the mark {self.key!r} is {self.mark!r}; expected {MARKS}")
        if self.chance_fraction is not None and not 0.0 <= self.chance_fraction <= 1.0:
            raise RangeError(
                f"the chance of {self.key!r} is {self.chance_fraction:g}; expected 0 to 1"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Observed:
    """A number of airplane or pilot as one flight showed it, and the plan's target.

    ``value``, ``sigma`` and ``target`` are in ``unit``; target is None where nothing was planned.
    """

    key: str
    unit: str
    value: float
    sigma: float
    target: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptFile:
    """A file as it was: the role it has for the flight, its name and its content."""

    role: Role
    name: str
    content: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """What was changed about a flight by hand: the field, what it was, what it became, why."""

    made_utc: datetime
    field: str
    was: str
    becomes: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NewFlight:
    """A judged flight with the recorder's file as it was and the pledge it was held to.

    ``type_name``, ``category_class`` and ``tailwheel`` are those of the airplane on that day;
    None where its file did not say. ``role`` is who the pilot was aboard, in the words of
    ``lubberline.pilot.FlownAs``; None where nobody said.
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
    role: str | None = None
    movements: tuple[StoredMovement, ...] = ()
    conditions: FlightConditions | None = None
    marks: tuple[OwnMark, ...] = ()
    observed: tuple[Observed, ...] = ()
    files: tuple[KeptFile, ...] = ()
    corrections: tuple[Correction, ...] = ()

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
    role: str | None = None
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
    flight_id: int


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightInConditions:
    """A flight with what it was flown in. ``since_last_days`` is from the pilot's flight before.

    It counts flights in any airplane; None for the first. ``conditions`` is None for a flight
    that was kept before they were.
    """

    flight_id: int
    flown_utc: datetime
    title: str
    pilot: str
    aircraft: str
    type_name: str | None
    since_last_days: float | None
    conditions: FlightConditions | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkedFlight:
    """One own mark, with the flight it belongs to."""

    flight_id: int
    flown_utc: datetime
    pilot: str
    mark: OwnMark


@dataclass(frozen=True, slots=True, kw_only=True)
class ObservedFlight:
    """One observed number, with the flight that showed it."""

    flight_id: int
    flown_utc: datetime
    pilot: str
    aircraft: str
    observed: Observed

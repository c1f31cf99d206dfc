"""What was flown: phases, take-offs and landings, and the findings they come to."""

from dataclasses import dataclass
from typing import Final, Literal, get_args

from lubberline.arrays import FloatArray, IntArray
from lubberline.line import Finding
from lubberline.recording import Recording

WindSource = Literal["courses", "heading and airspeed"]
PhaseName = Literal[
    "parked",
    "taxi",
    "run-up",
    "line-up",
    "take-off",
    "upwind",
    "crosswind",
    "downwind",
    "base",
    "final",
    "go-around",
    "climb",
    "cruise",
    "holding",
    "descent",
    "approach",
    "landing",
    "taxi-in",
    "gap",
]
PHASE_NAMES: Final[tuple[PhaseName, ...]] = get_args(PhaseName)
ON_GROUND: Final = ("parked", "taxi", "run-up", "line-up", "taxi-in")
PATTERN_LEGS: Final = ("upwind", "crosswind", "downwind", "base", "final")
Side = Literal["", "left", "right"]
ManeuverName = Literal[
    "level turn",
    "steep turn",
    "steep spiral",
    "chandelle",
    "lazy eight",
    "ground reference",
    "eights on pylons",
    "emergency descent",
    "slow flight",
    "stall",
    "power-off stall",
    "power-on stall",
    "accelerated stall",
    "unknown",
]
MovementKind = Literal["take-off", "landing", "touch-and-go"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Phase:
    """A span of the recording in which one thing was done; times since the Unix epoch.

    ``side`` is that of a pattern leg. ``start_sigma_s`` is the doubt of the beginning, which is
    the end of the phase before.
    """

    name: PhaseName
    start_s: float
    end_s: float
    side: Side = ""
    start_sigma_s: float = 0.0

    @property
    def words(self) -> str:
        """The name with its side, as a pilot says it."""
        return f"{self.side} {self.name}".strip()


@dataclass(frozen=True, slots=True, kw_only=True)
class Maneuver:
    """A maneuver of training, recognized or named by the pilot; times since the Unix epoch.

    ``target_ias_kt``, ``target_bank_deg`` and ``target_msl_ft``, the height leveled off at, are
    the pilot's own, known only if named.
    """

    name: ManeuverName
    start_s: float
    end_s: float
    by_pilot: bool = False
    target_ias_kt: float | None = None
    target_bank_deg: float | None = None
    target_msl_ft: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """A take-off or a landing: when, with what doubt, and where if the places know it.

    A touch-and-go is timed at its touchdown; ``until_s`` is then its lift-off. A landing is
    a ``stop_and_go`` if the next take-off began where it stopped, on the runway.
    """

    kind: MovementKind
    time_s: float
    sigma_s: float
    lat_deg: float
    lon_deg: float
    aerodrome_id: str | None
    runway: str | None
    until_s: float | None = None
    stop_and_go: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """A movement or a go-around with all that was measured of it; time since the Unix epoch."""

    kind: Literal["take-off", "landing", "touch-and-go", "go-around"]
    time_s: float
    runway: str
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WindMet:
    """One wind: when, at which height, and how it was found; times since the Unix epoch."""

    start_s: float
    end_s: float
    msl_ft: float
    from_true_deg: float
    wind_kt: float
    sigma_kt: float
    by: WindSource


@dataclass(frozen=True, slots=True, kw_only=True)
class Statistic:
    """One number about how something was held, in its unit; ``where`` is its moment."""

    name: str
    value: float
    unit: str
    where: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Steadiness:
    """How one thing was held, in numbers; ``name`` is that of its finding without "worst"."""

    name: str
    label: str
    statistics: tuple[Statistic, ...]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class HeldSpan:
    """What was judged step by step, for drawing: columns of shape (k,) and the tolerance.

    ``values`` are deviations from what was aimed at, ``target`` itself; a side without a limit is
    None.
    """

    name: str
    label: str
    unit: str
    time_s: FloatArray
    values: FloatArray
    low: float | None
    high: float | None
    target: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """Something that was set, and when the former setting was left."""

    time_s: float
    what: str


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class FlownTrack:
    """The judged time in the air, for drawing: columns of shape (k,).

    The pledged flight, or all flights without a pledge. Even in time but for gaps, at which
    ``segment_index`` changes. ``indicated_ft`` is the height that the findings were judged by,
    NaN where it is not known. So are ``ias_kt`` and ``bank_deg`` (positive to the right).
    """

    time_s: FloatArray
    segment_index: IntArray
    lat_deg: FloatArray
    lon_deg: FloatArray
    indicated_ft: FloatArray
    ground_kt: FloatArray
    track_true_deg: FloatArray
    climb_fpm: FloatArray
    ias_kt: FloatArray
    bank_deg: FloatArray


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Flown:
    """One recording judged. Findings carry the task code or the pledge as their source.

    ``account`` says in plain sentences what was found and where the heights come from.
    ``phases`` are as the pilot corrected them, ``found_phases`` as they were found if that differs.
    """

    recording: Recording
    phases: tuple[Phase, ...]
    movements: tuple[Movement, ...]
    findings: tuple[Finding, ...]
    track: FlownTrack
    account: tuple[str, ...] = ()
    winds: tuple[WindMet, ...] = ()
    measured: tuple[Measured, ...] = ()
    maneuvers: tuple[Maneuver, ...] = ()
    steadiness: tuple[Steadiness, ...] = ()
    spans: tuple[HeldSpan, ...] = ()
    found_phases: tuple[Phase, ...] = ()
    changes: tuple[Change, ...] = ()

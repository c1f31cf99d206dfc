"""A way: one path with its legs, its price, what it meets and what it keeps clear of."""

from dataclasses import dataclass
from typing import Final, Literal

from lubberline.arrays import FloatArray
from lubberline.line import Finding, Verdict
from lubberline.places import Volume

CIRCLING_NM: Final = 1e-3  # own: a leg that is shorter leads nowhere
Need = Literal["clearance", "two-way contact", "nothing", "never"]
LegPhase = Literal["climb", "cruise", "descent"]
Side = Literal["over", "under", ""]
Rule = Literal["airspace", "terrain", "hemispheric", "ceiling", "motion", "ends"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """One straight piece of a way between two named places or profile changes.

    Courses are at the middle of the leg, as they are measured on a chart; wind, ground speed
    and heading are means over it.
    """

    from_name: str
    to_name: str
    phase: LegPhase
    true_deg: float
    mag_deg: float
    heading_mag_deg: float
    distance_nm: float
    from_msl_ft: float
    to_msl_ft: float
    wind_from_true_deg: float
    wind_kt: float
    tas_kt: float
    ground_kt: float
    time_min: float
    fuel_gal: float

    @property
    def is_circling(self) -> bool:
        """Whether it only climbs or comes down over a place, so that it has no course."""
        return self.distance_nm < CIRCLING_NM


@dataclass(frozen=True, slots=True, kw_only=True)
class Encounter:
    """A volume that a way enters, or passes nearer than the margins, or nearly so.

    ``entered`` is inside it; ``within_margins`` is inside or nearer than both margins. The
    first entry and the last exit are minutes after take-off, None when not entered.
    ``lateral_nm`` is the least distance sideways while within the vertical margin (0 inside),
    ``vertical_ft`` the least distance above or below while within the lateral margin; infinite
    if that never is so nearby, NaN where a floor or ceiling follows ground that is not known.
    ``side`` is where the way is then, "" if inside, never so nearby or not known.
    """

    volume: Volume
    needs: Need
    permitted: bool
    entered: bool
    within_margins: bool
    entry_min: float | None
    exit_min: float | None
    entry_lat_deg: float | None
    entry_lon_deg: float | None
    entry_msl_ft: float | None
    lateral_nm: float
    vertical_ft: float
    side: Side = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """A height and a moment on a path."""

    after_min: float
    msl_ft: float

    @property
    def words(self) -> str:
        """Height and moment, for a finding."""
        return f"{self.msl_ft:.0f} ft, {self.after_min:.1f} min after take-off"


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot(Moment):
    """A place and moment on a path."""

    lat_deg: float
    lon_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Violation:
    """One rule that a path breaks: which, where it first does, and by how much at the worst.

    ``short_nm`` and ``short_ft`` are what would have to be added sideways, or up or down, to
    keep the rule; ``short_min`` what the flight would need longer. None where the rule does
    not measure that.
    """

    rule: Rule
    what: str
    spot: Spot
    short_nm: float | None = None
    short_ft: float | None = None
    short_min: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckReport:
    """What an independent check of one path came to. Every violation is outside in a finding."""

    encounters: tuple[Encounter, ...]
    violations: tuple[Violation, ...]
    findings: tuple[Finding, ...]

    @property
    def clean(self) -> bool:
        """Whether no rule is broken and none is left undecided."""
        bad = (Verdict.OUTSIDE, Verdict.UNKNOWN)
        return not self.violations and all(one.verdict not in bad for one in self.findings)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Way:
    """One evaluated way.

    ``path`` has shape (m, 4): latitude [deg], longitude [deg], height [ft MSL] and minutes
    after take-off, straight in the problem's plane and linear in height between rows.
    ``point_names`` has one name per row ("" where the row is only a piece of a climb).
    """

    name: str
    permissions: frozenset[str]
    path: FloatArray
    point_names: tuple[str, ...]
    legs: tuple[Leg, ...]
    time_min: float
    fuel_gal: float
    distance_nm: float
    cruise_msl_ft: float
    encounters: tuple[Encounter, ...]
    findings: tuple[Finding, ...]
    violations: tuple[Violation, ...] = ()

    @property
    def asks(self) -> frozenset[str]:
        """The groups that it needs: entered, or passed nearer than the margins."""
        return frozenset(
            one.volume.group
            for one in self.encounters
            if one.within_margins and one.volume.group and one.needs not in ("nothing", "never")
        )

    @property
    def entered(self) -> tuple[Volume, ...]:
        """The volumes it goes through, in order of entry."""
        inside = [one for one in self.encounters if one.entered]
        return tuple(one.volume for one in sorted(inside, key=lambda one: one.entry_min or 0.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class ImpossibleWay:
    """A candidate that could not be evaluated, why, and what would help ("" if nobody knows)."""

    name: str
    cruise_msl_ft: float | None
    reason: str
    remedy: str = ""

    def __str__(self) -> str:
        """One line: name, reason, remedy."""
        return f"way {self.name!r}: {self.reason}" + (f"; {self.remedy}" if self.remedy else "")

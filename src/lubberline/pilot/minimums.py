"""A pilot's own minimums, and how they tighten when the last landing is long ago."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Final

# A smaller number asks for more; of the others, a greater one does.
LESS_IS_TIGHTER: Final = frozenset(
    (
        *("crosswind_kt", "tailwind_kt", "density_altitude_ft", "descent_fpm", "beyond_land_min"),
        *("awake_h", "eaten_h", "stress_index"),
    )
)


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnMinimums:
    """What the pilot asks of a flight beyond the law; None where the pilot set nothing.

    ``runway_factor`` multiplies a table distance before it is held against the runway.
    ``reasons`` says, by name, why a line is what it is on the day, where that may change.
    """

    crosswind_kt: float | None = None
    tailwind_kt: float | None = None
    ceiling_agl_ft: float | None = None
    visibility_sm: float | None = None
    night_ceiling_agl_ft: float | None = None
    night_visibility_sm: float | None = None
    fuel_reserve_min: float | None = None
    density_altitude_ft: float | None = None
    terrain_clearance_ft: float | None = None
    airspace_lateral_nm: float = 0.0
    airspace_vertical_ft: float = 0.0
    descent_fpm: float | None = None
    beyond_land_min: float | None = None
    runway_factor: float = 1.0
    due_buffer_days: int = 0
    due_buffer_h: float = 0.0
    sleep_h: float | None = None
    awake_h: float | None = None
    eaten_h: float | None = None
    stress_index: int | None = None
    reasons: Mapping[str, str] = field(default_factory=dict)

    def source(self, name: str) -> str:
        """Where a line stands, and why it holds on the day."""
        reason = self.reasons.get(name)
        return f"own minimums, {name} in pilot.toml{f': {reason}' if reason else ''}"


@dataclass(frozen=True, slots=True, kw_only=True)
class AfterPause:
    """Lines that hold in place of the usual ones when the last landing is long ago.

    Up to ``days`` the usual ones hold. From ``full_days`` on these do; between the two a line
    moves evenly from one to the other. Without ``full_days`` these hold from the next day on.
    So does a line that is usually not set, or that counts in whole steps.
    """

    days: int
    full_days: int | None
    lines: Mapping[str, float]

    def on(self, own: OwnMinimums, since_days: int | None) -> OwnMinimums:
        """The minimums so many days after the last landing; None: no landing is on file."""
        share = self._share(since_days)
        ago = "no landing on file" if since_days is None else f"{since_days} days since a landing"
        changed: dict[str, Any] = {}
        reasons: dict[str, str] = {}
        for name, tight in self.lines.items():
            usual = getattr(own, name)
            changed[name] = _between(usual, tight, share)
            held = "usual" if not share else "after a pause" if share == 1.0 else "in between"
            shown = "not set" if usual is None else f"{usual:g}"
            reasons[name] = f"{held}, {ago}; {shown} up to {self.days} days, {self._then(tight)}"
        return replace(own, **changed, reasons=reasons)

    def _share(self, since_days: int | None) -> float:
        if since_days is None:
            return 1.0
        if since_days <= self.days:
            return 0.0
        if self.full_days is None:
            return 1.0
        return min(1.0, (since_days - self.days) / (self.full_days - self.days))

    def _then(self, value: float) -> str:
        return f"{value:g} {'after' if self.full_days is None else f'from {self.full_days} on'}"


def _between(low: float | None, high: float, share_fraction: float) -> float | None:
    """So far on the way from one value to the other, whichever is the larger."""
    if not share_fraction:
        return low
    if low is None or isinstance(low, int):
        return high
    return low + share_fraction * (high - low)

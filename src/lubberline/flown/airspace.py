"""Airspace near the flight: how close it came to each volume, and whether it was let in.

A place is outside a volume if it is beside it, above it or below it, and it is outside by the
greatest of the three: the value of the finding, in feet, negative inside. The least over the
flight is judged. Floors and ceilings in MSL are held against indicated height, as they are
flown. Without a permission in the pledge the limit is the edge itself; beyond twice the doubt
inside it is outside the limit, nearer to the edge than that, on either side, it is close.

That a permission stands in the pledge does not show that it was given; the note says so.
Classes E, F and G need none and are left out.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, wrap_180_deg
from lubberline.earth import LocalPlane
from lubberline.flown.case import NO_PLEDGE, Case, clock
from lubberline.flown.ground import COARSE_S, ground_below
from lubberline.flown.route import FIX_SIGMA_NM, long_gaps, reach_nm
from lubberline.line import COVERAGE, Finding, Limit, unknown
from lubberline.places import Circle, Footprint, Height, Volume, distance_nm
from lubberline.units import FT_PER_NM, S_PER_MIN

RULES: Final = {
    "A": "14 CFR 91.135, Class A: instrument flight only",
    "B": "14 CFR 91.131(a)(1), Class B: clearance before entry",
    "C": "14 CFR 91.130(c)(1), Class C: two-way radio before entry",
    "D": "14 CFR 91.129(c)(1), Class D: two-way radio before entry",
    "R": "14 CFR 91.133(a), restricted area: permission of its agency",
    "P": "14 CFR 91.133(a), prohibited area: permission of its agency",
}
NEAR_NM: Final = 2.0  # own: what passes farther away sideways ...
NEAR_FT: Final = 2_000.0  # ... or above and below is no matter of this flight
CLIMB_FPM: Final = 1_500.0  # own: what can be climbed or lost in a gap
EARTH_NM_PER_DEG: Final = 60.0
FINE_S: Final = 2.0  # own: steps longer than this may cut a corner


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Approach:
    """Clearance from one volume at each step aloft, shape (k,), with its doubt.

    ``beside_ft`` is negative within the footprint, ``over_ft`` the distance above the ceiling or
    below the floor, negative between them, NaN where the height is not known.
    """

    beside_ft: FloatArray
    over_ft: FloatArray
    sigma_ft: FloatArray
    beside_sigma_ft: FloatArray
    over_sigma_ft: FloatArray

    @property
    def chance_fraction(self) -> float:
        """The chance that it was entered: the greatest of all steps, for they share their doubt.

        Beside and over are normal and independent; where the height is not known, beside alone
        sets an upper bound.
        """
        from scipy.special import ndtr

        within = ndtr(-self.beside_ft / self.beside_sigma_ft)
        between = ndtr(-self.over_ft / self.over_sigma_ft)
        return float(np.nanmax(within * np.where(np.isfinite(between), between, 1.0)))

    @property
    def inside(self) -> BoolArray:
        """True where the best estimate is inside."""
        return np.asarray(np.nan_to_num(self.clear_ft, nan=0.0) < 0.0)

    @property
    def surely_inside(self) -> BoolArray:
        """True where the flight was inside by more than twice the doubt."""
        return np.asarray(np.nan_to_num(self.clear_ft, nan=0.0) < -COVERAGE * self.sigma_ft)

    @property
    def clear_ft(self) -> FloatArray:
        """How far outside: the greater of the two; beside alone may settle it."""
        beside_only = np.where(self.beside_ft > 0.0, self.beside_ft, np.nan)
        return np.where(
            np.isfinite(self.over_ft), np.maximum(self.beside_ft, self.over_ft), beside_only
        )


def airspace(case: Case) -> list[Finding]:
    """One finding for each volume near the flight that may not be entered freely."""
    if not np.isfinite(case.even.lat_deg[case.aloft_index]).any():
        return []
    sky = _Sky(case)
    watched = [one for one in case.places.volumes if one.airspace_class in RULES]
    findings = []
    for volume in watched:
        approach = sky.approach(volume)
        if approach is not None:
            findings += _volume(case, volume, approach)
    return findings


def _volume(case: Case, volume: Volume, approach: Approach) -> list[Finding]:
    """The finding on a volume, none if the flight stayed far away."""
    gap = _gap_within_reach(case, approach)
    near = (approach.beside_ft <= NEAR_NM * FT_PER_NM) & ~(approach.over_ft > NEAR_FT)
    if not near.any() and gap is None:
        return []
    if case.pledge is not None and volume.group in case.pledge.permissions:
        return [_permitted(case, volume, approach)]
    limit = _limit(volume)
    if case.pledge is None and approach.inside.any():
        return [unknown(limit, NO_PLEDGE, note=_entries(case, approach.inside))]
    if not approach.surely_inside.any():
        blind = ~np.isfinite(approach.clear_ft) & ~(approach.beside_ft > 0.0)
        if blind.any():
            missing = case.height.missing or "the height of the ground there"
            return [unknown(limit, missing, where=case.where(_first(case, blind)))]
        if gap is not None:
            return [unknown(limit, f"the track from {gap}", note=_closest(approach))]
    return [_judged(case, limit, approach)]


def _judged(case: Case, limit: Limit, approach: Approach) -> Finding:
    """The least clearance; inside by less than the doubt, it stands at the edge itself."""
    sure = approach.surely_inside
    allowed = sure if sure.any() else np.isfinite(approach.clear_ft)
    at = int(np.argmin(np.where(allowed, approach.clear_ft, np.inf)))
    value_ft = float(approach.clear_ft[at])
    note = _closest(approach)
    if value_ft < 0.0:
        note = f"{_entries(case, approach.inside)}; no permission in the pledge"
        note += f"; chance that it was entered {approach.chance_fraction:.0%}"
        if not sure.any():
            note += f"; {-value_ft:.0f} ft inside by the best estimate, within the doubt"
            value_ft = 0.0
    return Finding(
        limit=limit,
        value=value_ft,
        sigma=float(approach.sigma_ft[at]),
        where=case.where(int(case.aloft_index[at])),
        note=note,
    )


def _permitted(case: Case, volume: Volume, approach: Approach) -> Finding:
    """Nothing to exceed: no entry without a permission, whatever the clearance."""
    entered = approach.inside.any()
    story = _entries(case, approach.inside) if entered else _closest(approach)
    return Finding(
        limit=Limit(
            key=f"flown.airspace_entry.{volume.id}",
            label=f"unpermitted entry, {volume.name}",
            unit="",
            high=0.0,
            target=0.0,
            tolerance=1.0,
            basis="law",
            source=RULES[volume.airspace_class],
        ),
        value=0.0,
        note=f"{story}; permission '{volume.group}' is in the pledge, whether it was given is not"
        " in the recording",
    )


def _limit(volume: Volume) -> Limit:
    return Limit(
        key=f"flown.airspace.{volume.id}",
        label=f"clear of {volume.name}",
        unit="ft",
        low=0.0,
        tolerance=500.0,
        basis="law",
        source=RULES[volume.airspace_class],
    )


class _Sky:
    """The flight on local maps, each made once: a volume is measured on one near it."""

    def __init__(self, case: Case) -> None:
        index = case.aloft_index
        self.case = case
        self.lat_deg, self.lon_deg = case.even.lat_deg[index], case.even.lon_deg[index]
        self.cut_ft = _corner_ft(case)
        self.every = case.even.steps(COARSE_S)
        longest_s = max((gap_s for _, _, gap_s in long_gaps(case)), default=0.0)
        self.far_nm = NEAR_NM + reach_nm(case, self.every * case.even.step_s + longest_s)
        self.maps: dict[tuple[float, float], tuple[LocalPlane, FloatArray, FloatArray]] = {}

    def approach(self, volume: Volume) -> Approach | None:
        """Clearance at each step aloft, None if the first, coarse look says far away."""
        middle = _middle_deg(volume.footprint)
        if not self._in_reach(volume.footprint, middle):
            return None
        plane, east_nm, north_nm = self._map(middle)
        every, size = self.every, east_nm.size
        coarse_nm = distance_nm(volume.footprint, plane, east_nm[::every], north_nm[::every])
        if not (coarse_nm <= self.far_nm).any():
            return None
        beside_nm = np.repeat(coarse_nm, every)[:size].copy()
        fine = beside_nm <= self.far_nm
        beside_nm[fine] = distance_nm(volume.footprint, plane, east_nm[fine], north_nm[fine])
        beside_ft = beside_nm * FT_PER_NM
        over_ft, over_sigma_ft = _over(self.case, volume)
        by_height = np.nan_to_num(over_ft, nan=-np.inf) > beside_ft
        beside_sigma_ft = FIX_SIGMA_NM * FT_PER_NM + self.cut_ft
        return Approach(
            beside_ft=beside_ft,
            over_ft=over_ft,
            sigma_ft=np.where(by_height, over_sigma_ft, beside_sigma_ft),
            beside_sigma_ft=beside_sigma_ft,
            over_sigma_ft=np.maximum(over_sigma_ft, 1.0),
        )

    def _in_reach(self, footprint: Footprint, middle: tuple[float, float]) -> bool:
        """Whether the boxes around the flight and the volume come within reach, in degrees."""
        lat_deg, lon_deg = _corners_deg(footprint)
        reach_deg = self.far_nm / EARTH_NM_PER_DEG
        south = np.nanmin(self.lat_deg) - reach_deg
        north = np.nanmax(self.lat_deg) + reach_deg
        if lat_deg.max() < south or lat_deg.min() > north:
            return False
        narrow = max(0.05, float(np.cos(np.radians(max(abs(south), abs(north))))))
        half_deg = float(np.abs(wrap_180_deg(lon_deg - middle[1])).max()) + reach_deg / narrow
        away_deg = np.abs(wrap_180_deg(self.lon_deg - middle[1]))
        return bool(np.nanmin(away_deg) <= half_deg)

    def _map(self, middle: tuple[float, float]) -> tuple[LocalPlane, FloatArray, FloatArray]:
        """The flight on the map whose center is the nearest crossing of a grid of 2 degrees."""
        center = (2.0 * round(middle[0] / 2.0), 2.0 * round(middle[1] / 2.0))
        if center not in self.maps:
            plane = LocalPlane(lat_deg=center[0], lon_deg=center[1])
            self.maps[center] = (plane, *plane.to_plane_nm(self.lat_deg, self.lon_deg))
        return self.maps[center]


def _over(case: Case, volume: Volume) -> tuple[FloatArray, FloatArray]:
    """Distance above the ceiling or below the floor, negative between, and its doubt."""
    index = case.aloft_index
    height_ft = case.height.indicated_ft[index]
    sigma_ft = np.hypot(case.height.sigma_ft[index], case.height.noise_ft)
    ground_ft, ground_sigma_ft = np.zeros(index.size), 0.0
    if "AGL" in (volume.floor.reference, volume.ceiling.reference):
        ground_ft, ground_sigma_ft = ground_below(case)
    floor_ft = _level_ft(volume.floor, ground_ft)
    ceiling_ft = _level_ft(volume.ceiling, ground_ft)
    return np.maximum(height_ft - ceiling_ft, floor_ft - height_ft), np.hypot(
        sigma_ft, ground_sigma_ft
    )


def _level_ft(height: Height, ground_ft: FloatArray) -> FloatArray:
    """A floor or ceiling above mean sea level; the ground itself is under every flight."""
    if height.reference == "SFC":
        return np.full(ground_ft.shape, -np.inf)
    if height.reference == "AGL":
        return ground_ft + height.ft
    return np.full(ground_ft.shape, height.ft)


def _corner_ft(case: Case) -> FloatArray:
    """How far the way may leave the straight line between two steps: a turn of 3 deg/s."""
    step_s = max(case.even.step_s, FINE_S) if case.even.step_s > FINE_S else 0.0
    ground_kt = np.nan_to_num(case.even.ground_kt[case.aloft_index])
    along_ft = ground_kt * FT_PER_NM / 3600.0 * step_s
    return np.asarray(along_ft * np.radians(3.0 * step_s) / 8.0)


def _gap_within_reach(case: Case, approach: Approach) -> str | None:
    """The first gap in which the volume can have been entered, as a span of time."""
    for before, after, gap_s in long_gaps(case):
        ends_ft = float(approach.beside_ft[before] + approach.beside_ft[after])
        beside = ends_ft <= reach_nm(case, gap_s) * FT_PER_NM
        over_ft = float(approach.over_ft[before] + approach.over_ft[after])
        over = not over_ft > CLIMB_FPM * gap_s / S_PER_MIN
        if beside and over:
            ends_s = case.even.time_s[case.aloft_index[[before, after]]]
            return f"{clock(float(ends_s[0]))} to {clock(float(ends_s[1]))}"
    return None


def _closest(approach: Approach) -> str:
    """Closest sideways while at its heights, and vertically while over or under it."""
    at_height = ~(approach.over_ft > 0.0)
    within = approach.beside_ft <= 0.0
    parts = []
    if at_height.any():
        parts.append(f"{approach.beside_ft[at_height].min() / FT_PER_NM:.1f} NM beside it")
    if within.any() and np.isfinite(approach.over_ft[within]).any():
        parts.append(f"{np.nanmin(approach.over_ft[within]):.0f} ft above or below it")
    closest = f"closest: {', '.join(parts)}" if parts else "never at its heights nor over or under"
    chance = approach.chance_fraction
    return closest + (f"; chance that it was entered {chance:.0%}" if chance >= 0.005 else "")


def _entries(case: Case, inside: BoolArray) -> str:
    """The moments between which the flight was inside by the best estimate."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], inside, [False]]).astype(np.int8)))
    time_s = case.even.time_s[case.aloft_index]
    spans = [
        f"{clock(float(time_s[start]))} to {clock(float(time_s[stop - 1]))}"
        for start, stop in zip(edges[::2], edges[1::2], strict=True)
    ]
    more = f" and {len(spans) - 3} times more" if len(spans) > 3 else ""
    return f"inside from {', '.join(spans[:3])}{more}"


def _first(case: Case, mask: BoolArray) -> int:
    return int(case.aloft_index[int(np.flatnonzero(mask)[0])])


def _corners_deg(footprint: Footprint) -> tuple[FloatArray, FloatArray]:
    """Latitudes and longitudes between which a footprint lies."""
    if not isinstance(footprint, Circle):
        return footprint.corners_deg[:, 0], footprint.corners_deg[:, 1]
    half_deg = footprint.radius_nm / EARTH_NM_PER_DEG
    wide_deg = half_deg / max(0.05, float(np.cos(np.radians(footprint.lat_deg))))
    return (
        footprint.lat_deg + np.array([-half_deg, half_deg]),
        footprint.lon_deg + np.array([-wide_deg, wide_deg]),
    )


def _middle_deg(footprint: Footprint) -> tuple[float, float]:
    """A place in the middle of a footprint, its longitude in [-180, 180)."""
    lat_deg, lon_deg = _corners_deg(footprint)
    unwrapped_deg = np.unwrap(lon_deg, period=360.0)
    middle_deg = (float(unwrapped_deg.min()) + float(unwrapped_deg.max())) / 2.0
    middle_lat_deg = (float(lat_deg.min()) + float(lat_deg.max())) / 2.0
    return middle_lat_deg, float(wrap_180_deg(middle_deg))

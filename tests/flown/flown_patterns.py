"""Flights around one runway by any airplane: what came down where, on which slope, how often.

A point over the ground at 10 Hz: no wind, no attitude, but runways that slope, bounces, floats,
low passes, hovering. Feet are along the runway from its threshold, and up from its elevation;
``events`` keeps the truth. The pattern closes on the centerline whatever is flown.
"""

from dataclasses import dataclass, field

import numpy as np
from flown_flights import DT_S, START_S, Trace, degrees, places_with

from lubberline.arrays import FloatArray
from lubberline.places import Aerodrome, Places, Runway, RunwayEnd
from lubberline.units import FT_PER_NM, S_PER_H

FPS_PER_KT = FT_PER_NM / S_PER_H
TRUE_DEG = 90.0
Kind = str  # "take-off", "touch-and-go", "landing", "go-around"


@dataclass(frozen=True, kw_only=True)
class Speeds:
    """An airplane: the speeds of its day, its climb, and how wide it turns and flies."""

    rotate_kt: float = 55.0
    climb_kt: float = 75.0
    downwind_kt: float = 90.0
    final_kt: float = 65.0
    climb_fpm: float = 700.0
    radius_ft: float = 2000.0
    spacing_ft: float = 5500.0
    final_ft: float = 5000.0
    path_deg: float = 3.0


@dataclass(frozen=True, kw_only=True)
class Field:
    """A runway that runs east, and rises by the slope."""

    elev_ft: float = 400.0
    slope_fraction: float = 0.0
    length_ft: float = 5000.0
    pattern_ft: float = 1000.0


@dataclass
class Pattern:
    """Parts flown one after the other; each begins where the last one ended."""

    speeds: Speeds = field(default_factory=Speeds)
    where: Field = field(default_factory=Field)
    along_ft: float = 200.0
    north_ft: float = 0.0
    kt: float = 0.0
    true_deg: float = TRUE_DEG
    up_ft: float = np.nan  # above the elevation of the threshold
    rows: list[tuple[float, float, float]] = field(default_factory=list)
    events: list[tuple[Kind, float, float]] = field(default_factory=list)  # kind, time, along

    def __post_init__(self) -> None:
        self.begun_ft = self.along_ft
        self.up_ft = self.ground_ft

    @property
    def ground_ft(self) -> float:
        return self.where.slope_fraction * self.along_ft

    @property
    def sink_fps(self) -> float:
        """On the path of the final."""
        return float(np.tan(np.radians(self.speeds.path_deg))) * self.kt * FPS_PER_KT

    def mark(self, kind: Kind) -> "Pattern":
        self.events.append((kind, START_S + len(self.rows) * DT_S, self.along_ft))
        return self

    def step(self, kt: float, above_ft: float, *, turn_deg: float = 0.0) -> None:
        """A tenth of a second to a height above the ground under it."""
        self.kt, self.true_deg = kt, self.true_deg + turn_deg
        away_ft = kt * FPS_PER_KT * DT_S
        self.along_ft += away_ft * float(np.sin(np.radians(self.true_deg)))
        self.north_ft += away_ft * float(np.cos(np.radians(self.true_deg)))
        self.up_ft = self.ground_ft + above_ft
        self.rows.append((self.along_ft, self.north_ft, self.up_ft))

    # On the ground

    def stay(self, seconds: float) -> "Pattern":
        for _ in range(round(seconds / DT_S)):
            self.step(0.0, 0.0)
        return self

    def roll_to(self, kt: float, kt_per_s: float = 3.0) -> "Pattern":
        count = max(1, round(abs(kt - self.kt) / kt_per_s / DT_S))
        for each_kt in np.linspace(self.kt, kt, count + 1)[1:]:
            self.step(float(each_kt), 0.0)
        return self

    def roll(self, seconds: float, *, turn_deg: float = 0.0) -> "Pattern":
        count = round(seconds / DT_S)
        for _ in range(count):
            self.step(self.kt, 0.0, turn_deg=turn_deg / count)
        return self

    def begin(self) -> "Pattern":
        """A stand, a short taxi, and a wait on the runway."""
        self.stay(40.0).roll_to(8.0, 1.0).roll(5.0).roll_to(0.0, 1.0)
        return self.stay(15.0)

    def end(self) -> "Pattern":
        """Off the runway to the right and to a stand beside it."""
        self.roll_to(8.0).roll(12.0, turn_deg=90.0).roll(40.0).roll_to(0.0, 1.0)
        return self.stay(60.0)

    # Off it

    def takeoff(self, kind: Kind = "take-off") -> "Pattern":
        """Roll, lift off with a rounding of three seconds, climb to 300 ft."""
        self.roll_to(self.speeds.rotate_kt)
        return (self.mark(kind) if kind else self).climb_away(300.0)

    def climb_away(self, to_ft: float, rounding_s: float = 3.0) -> "Pattern":
        """From a level into the climb, the speed growing by a knot a second."""
        rising_fps, begun_ft = self.where.slope_fraction * self.kt * FPS_PER_KT, self.up_ft
        full_fps = self.speeds.climb_fpm / 60.0
        while self.up_ft < to_ft or rising_fps < full_fps:
            rising_fps = min(full_fps, rising_fps + full_fps * DT_S / rounding_s)
            begun_ft += rising_fps * DT_S
            kt = min(self.speeds.climb_kt, self.kt + DT_S)
            self.step(kt, begun_ft - self.ground_ft - self._rise_ft(kt))
        return self

    def _rise_ft(self, kt: float) -> float:
        """What the ground rises in the next step, so that heights can be given as they are."""
        course = float(np.sin(np.radians(self.true_deg)))
        return self.where.slope_fraction * kt * FPS_PER_KT * DT_S * course

    def leg(
        self,
        length_ft: float,
        *,
        kt: float | None = None,
        up_ft: float | None = None,
        turn_deg: float = 0.0,
    ) -> "Pattern":
        """So far, while speed and direction change evenly, and the height with soft ends."""
        kt = self.kt if kt is None else kt
        count = max(2, round(length_ft / ((self.kt + kt) / 2.0 * FPS_PER_KT) / DT_S))
        rate = np.minimum(1.0, (np.minimum(np.arange(count), np.arange(count)[::-1]) + 0.5) / 30.0)
        gained_ft = (0.0 if up_ft is None else up_ft - self.up_ft) * np.cumsum(rate) / rate.sum()
        begun_kt, begun_ft = self.kt, self.up_ft
        for k in range(count):
            each_kt = begun_kt + (kt - begun_kt) * (k + 1) / count
            above_ft = begun_ft + float(gained_ft[k]) - self.ground_ft
            self.step(each_kt, above_ft - self._rise_ft(each_kt), turn_deg=turn_deg / count)
        return self

    def turn(self, by_deg: float, *, up_ft: float | None = None) -> "Pattern":
        length_ft = abs(np.radians(by_deg)) * self.speeds.radius_ft
        return self.leg(float(length_ft), turn_deg=by_deg, up_ft=up_ft)

    def around(self, hand: float = -1.0) -> "Pattern":
        """Upwind, crosswind, downwind, base, and onto the final at half the pattern's height."""
        speeds, pattern_ft = self.speeds, self.where.pattern_ft
        upwind_ft = max(2000.0, self.where.length_ft - self.along_ft + 1000.0)
        gained_ft = 0.8 * speeds.climb_fpm / 60.0 * upwind_ft / (self.kt * FPS_PER_KT)
        self.leg(upwind_ft, up_ft=min(pattern_ft - 100.0, self.up_ft + gained_ft))
        self.turn(90.0 * hand)
        self.leg(max(500.0, speeds.spacing_ft - 2.0 * speeds.radius_ft), up_ft=pattern_ft)
        self.turn(90.0 * hand).leg(max(500.0, self.along_ft - 1000.0), kt=speeds.downwind_kt)
        self.leg(
            self.along_ft + speeds.final_ft - speeds.radius_ft,
            kt=(speeds.downwind_kt + speeds.final_kt) / 2.0, up_ft=0.75 * pattern_ft,
        ).turn(90.0 * hand)  # fmt: skip
        self.leg(abs(self.north_ft) - speeds.radius_ft, kt=speeds.final_kt, up_ft=0.5 * pattern_ft)
        return self.turn(90.0 * hand)

    def final(self, *, aim_ft: float = 800.0, until_ft: float = 18.0) -> "Pattern":
        """Down the path that leads to a point of the runway, to so many feet above it."""
        path_fraction = float(np.tan(np.radians(self.speeds.path_deg)))
        to_ft = aim_ft - until_ft / path_fraction
        count = round((to_ft - self.along_ft) / (self.speeds.final_kt * FPS_PER_KT) / DT_S)
        rate = np.minimum(1.0, (np.arange(count) + 0.5) / 40.0)
        lost_ft = self.up_ft - until_ft - self.where.slope_fraction * to_ft
        heights_ft = self.up_ft - lost_ft * np.cumsum(rate) / rate.sum()
        for up_ft in heights_ft.tolist():
            kt = self.speeds.final_kt
            self.step(kt, up_ft - self.ground_ft - self._rise_ft(kt))
        return self

    def flare(self, kind: Kind = "landing", *, end_fps: float = 1.5) -> "Pattern":
        """A sink that fades with the height to that at which the wheels touch."""
        above_ft = self.up_ft - self.ground_ft
        fading_s = above_ft / max(self.sink_fps - end_fps, 0.5)
        while above_ft > 0.0:
            above_ft -= (above_ft / fading_s + end_fps) * DT_S
            self.step(self.kt - DT_S, max(above_ft, 0.0))
        return self.mark(kind)

    def air(self, above_ft: float, seconds: float, *, kt: float | None = None) -> "Pattern":
        """To a height above the ground, softly: a bounce, a float, a hover."""
        share = np.arange(1, round(seconds / DT_S) + 1) / round(seconds / DT_S)
        begun_ft, begun_kt = self.up_ft - self.ground_ft, self.kt
        kt = begun_kt if kt is None else kt
        for each in share.tolist():
            soft = 3.0 * each**2 - 2.0 * each**3
            self.step(begun_kt + (kt - begun_kt) * each, begun_ft + (above_ft - begun_ft) * soft)
        return self

    def land(self, kind: Kind = "landing", *, end_fps: float = 1.5) -> "Pattern":
        return self.final().flare(kind, end_fps=end_fps)

    def touch_and_go(self, end_fps: float = 1.5) -> "Pattern":
        """Down, a fifth slower, and off again."""
        self.land("touch-and-go", end_fps=end_fps).roll_to(0.8 * self.kt, 2.0).roll(1.0)
        return self.takeoff(kind="")

    def go_around(self, low_ft: float) -> "Pattern":
        """Broken off so high above the runway: five seconds from the sink to the climb."""
        self.final(until_ft=low_ft).mark("go-around")
        sink_fps, full_fps = self.sink_fps, self.speeds.climb_fpm / 60.0
        for each in np.linspace(-sink_fps, full_fps, 50).tolist():
            kt = self.kt + 0.1
            up_ft = self.up_ft + each * DT_S
            self.step(kt, up_ft - self.ground_ft - self._rise_ft(kt))
        return self.climb_away(600.0, rounding_s=DT_S)

    # What it comes to

    def trace(self) -> Trace:
        """The truth at 10 Hz, as the recorders of ``flown_flights`` take it."""
        along_ft, north_ft, up_ft = np.array(self.rows).T
        time_s = START_S + (np.arange(along_ft.size) + 1.0) * DT_S
        east_nm, north_nm = along_ft / FT_PER_NM, north_ft / FT_PER_NM
        return Trace(time_s, east_nm, north_nm, up_ft + self.where.elev_ft, {})

    def places(self, *, beside_ft: tuple[float, ...] = (0.0,), width_ft: float = 100.0) -> Places:
        """The field with its runway, and more of them beside it, so many feet to the north."""
        where = self.where
        middle = self._degrees(where.length_ft / 2.0, 0.0)
        runways = tuple(self._runway(north_ft, width_ft) for north_ft in beside_ft)
        return places_with(
            Aerodrome(
                id="QODD", name="Odd", lat_deg=middle[0], lon_deg=middle[1],
                elev_msl_ft=where.elev_ft + max(0.0, where.slope_fraction) * where.length_ft,
                pattern_agl_ft=where.pattern_ft, runways=runways,
            )
        )  # fmt: skip

    def _runway(self, north_ft: float, width_ft: float) -> Runway:
        where, letters = self.where, ("L", "R") if north_ft > 0.0 else ("R", "L")
        ends = []
        for letter, along_ft, true_deg in zip(
            letters, (0.0, where.length_ft), (TRUE_DEG, TRUE_DEG + 180.0), strict=True
        ):
            lat_deg, lon_deg = self._degrees(along_ft, north_ft)
            ends.append(
                RunwayEnd(
                    name=f"{round(true_deg / 10.0):02d}{letter}", true_deg=true_deg,
                    lat_deg=lat_deg, lon_deg=lon_deg,
                    elev_msl_ft=where.elev_ft + where.slope_fraction * along_ft,
                )
            )  # fmt: skip
        return Runway(
            ends=(ends[0], ends[1]), length_ft=where.length_ft, width_ft=width_ft, surface="paved"
        )

    @staticmethod
    def _degrees(along_ft: float, north_ft: float) -> tuple[float, float]:
        lat_deg, lon_deg = degrees(
            np.array([along_ft / FT_PER_NM]), np.array([north_ft / FT_PER_NM])
        )
        return float(lat_deg[0]), float(lon_deg[0])


def times_s(pattern: Pattern, kind: Kind) -> FloatArray:
    """When it was."""
    return np.array([time_s for one, time_s, _ in pattern.events if one == kind])

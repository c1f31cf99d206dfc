"""Maneuvers and a holding, flown by simple hands on the simulated airplane: the truth is known.

Each is flown from level flight and left for level flight; ``spans`` keeps when the hands began and
ended it. The flight begins on the runway and ends in the air.
"""

from dataclasses import dataclass, field
from math import copysign
from pathlib import Path
from typing import Final

import numpy as np
from truth_airplane import FPS_PER_KT, RUNWAY_TRUE_DEG, START_S, Airplane, clip, columns, wrap
from truth_flights import FT_PER_NM, Flight, Habits
from truth_make import Truth, events_of, fly, read, write

KEPT: Final = Path(__file__).parent / "practice.npz"

LEVEL_FT = 3_600.0  # above the runway
KT = 95.0
WINDS: Final = ((20.0, 12.0, 2.0),)
SPANS: Final = (
    "steep turn", "steep turn", "holding", "chandelle", "slow flight", "stall", "steep spiral",
    "emergency descent", "ground reference",
)  # fmt: skip
Span = tuple[str, float, float]


@dataclass(frozen=True, kw_only=True)
class Practised:
    """A flight with what was practised in it: name, begin, end."""

    truth: Truth
    spans: tuple[Span, ...]


@dataclass
class Practice:
    """Hands for the maneuvers; ``turned_deg`` runs on from the last call of ``turning``."""

    plane: Airplane
    spans: list[Span] = field(default_factory=list)
    heading_deg: float = 0.0
    turned_deg: float = 0.0

    def level(self, seconds: float, *, kt: float = KT) -> None:
        """Straight and level on the heading of now."""
        plane, heading_deg, level_ft = (
            self.plane,
            self.plane["attitude/psi-deg"],
            self.plane.wheel_ft,
        )
        end_s = plane.time_s + seconds

        def hands() -> None:
            plane.bank_to(clip(1.2 * wrap(heading_deg - plane["attitude/psi-deg"]), -20.0, 20.0))
            plane.climb_at(clip(0.12 * (level_ft - plane.wheel_ft), -8.0, 8.0))
            plane.speed_by_throttle(kt)

        plane.until(lambda: plane.time_s >= end_s, hands, seconds + 5.0)

    def turning(self) -> float:
        """Degrees turned since the maneuver began, right positive."""
        now_deg = self.plane["attitude/psi-deg"]
        self.turned_deg += wrap(now_deg - self.heading_deg)
        self.heading_deg = now_deg
        return self.turned_deg

    def begin(self) -> float:
        self.heading_deg, self.turned_deg = self.plane["attitude/psi-deg"], 0.0
        return self.plane.time_s

    def end(self, name: str, begun_s: float) -> None:
        self.spans.append((name, begun_s, self.plane.time_s))

    def turn(self, by_deg: float, bank_deg: float, *, name: str = "") -> None:
        """A level turn, rolled out on the heading."""
        plane, level_ft, begun_s = self.plane, self.plane.wheel_ft, self.begin()
        bank_deg = copysign(bank_deg, by_deg)

        def hands() -> None:
            left_deg = abs(by_deg) - abs(self.turning())
            plane.bank_to(bank_deg * clip(left_deg / (0.6 * abs(bank_deg)), 0.0, 1.0))
            plane.climb_at(clip(0.3 * (level_ft - plane.wheel_ft), -8.0, 10.0))
            plane.speed_by_throttle(KT)

        plane.until(lambda: abs(by_deg) - abs(self.turned_deg) <= 2.0, hands, 400.0)
        if name:
            self.end(name, begun_s)

    def holding(self, laps: int) -> None:
        """Right-hand laps at standard rate, legs of a minute."""
        begun_s = self.plane.time_s
        self.turn(180.0, 17.0)
        for _ in range(2 * laps - 1):
            self.level(60.0)
            self.turn(180.0, 17.0)
        self.end("holding", begun_s)

    def spiral(self, turns: float, bank_deg: float = 48.0) -> None:
        """Idle, steep, round and round."""
        plane, begun_s = self.plane, self.begin()

        def hands() -> None:
            plane.set(throttle=0.0)
            left_deg = 360.0 * turns - abs(self.turning())
            plane.bank_to(bank_deg * clip(left_deg / (0.6 * bank_deg), 0.0, 1.0))
            plane.speed_by_pitch(80.0)

        plane.until(lambda: 360.0 * turns - abs(self.turned_deg) <= 3.0, hands, 300.0)
        self.end("steep spiral", begun_s)

    def chandelle(self) -> None:
        """Thirty degrees of bank, full power, slower all the way around to half a circle."""
        plane = self.plane
        self.level(25.0, kt=105.0)
        begun_s = self.begin()

        def hands() -> None:
            turned_deg = abs(self.turning())
            plane.set(throttle=1.0)
            plane.bank_to(30.0 * clip((186.0 - turned_deg) / 90.0, 0.0, 1.0))
            plane.pitch_to(clip(2.0 + 10.0 * turned_deg / 70.0, 2.0, 13.0))

        plane.until(lambda: abs(self.turned_deg) >= 178.0, hands, 120.0)
        self.end("chandelle", begun_s)

    def emergency(self, bank_deg: float = 38.0) -> None:
        """Idle, into a bank and down at 120 kt, half a circle, then straight down to a level."""
        plane, begun_s, from_ft = self.plane, self.begin(), self.plane.wheel_ft

        def hands() -> None:
            plane.set(throttle=0.0)
            left_deg = 180.0 - abs(self.turning())
            plane.bank_to(bank_deg * clip(left_deg / 20.0, 0.0, 1.0))
            plane.speed_by_pitch(120.0)

        plane.until(lambda: from_ft - plane.wheel_ft >= 1_500.0, hands, 240.0)
        self.end("emergency descent", begun_s)

    def around_a_point(self, circles: float, *, above_ft: float = 800.0) -> None:
        """A circle over the ground, the bank following the wind."""
        plane, radius_ft = self.plane, 0.35 * FT_PER_NM
        self.down_to(above_ft)
        begun_s = self.begin()
        off_rad = np.radians(plane.track_deg - RUNWAY_TRUE_DEG)
        beside = np.array([-np.sin(off_rad), np.cos(off_rad)])  # to the right
        center = np.array(plane.place_ft()) + radius_ft * beside

        def hands() -> None:
            self.turning()
            away = np.array(plane.place_ft()) - center
            off_ft = float(np.hypot(*away)) - radius_ft
            tangent_deg = float(np.degrees(np.arctan2(away[1], away[0]))) + 90.0 + RUNWAY_TRUE_DEG
            wanted_deg = tangent_deg + clip(0.06 * off_ft, -30.0, 30.0)
            speed = plane.ground_kt * FPS_PER_KT
            steady_deg = np.degrees(np.arctan(speed**2 / (32.174 * radius_ft)))
            plane.bank_to(clip(steady_deg + 1.0 * wrap(wanted_deg - plane.track_deg), -5.0, 43.0))
            plane.climb_at(clip(0.2 * (above_ft - plane.wheel_ft), -6.0, 8.0))
            plane.speed_by_throttle(85.0)

        plane.until(lambda: abs(self.turned_deg) >= 360.0 * circles, hands, 400.0)
        self.end("ground reference", begun_s)

    def down_to(self, above_ft: float) -> None:
        """Straight down or up to a height, and level there for half a minute."""
        plane, heading_deg = self.plane, self.plane["attitude/psi-deg"]

        def hands() -> None:
            plane.bank_to(clip(1.2 * wrap(heading_deg - plane["attitude/psi-deg"]), -20.0, 20.0))
            plane.climb_at(clip(0.12 * (above_ft - plane.wheel_ft), -12.0, 8.0))
            plane.speed_by_throttle(KT)

        plane.until(lambda: abs(above_ft - plane.wheel_ft) <= 20.0, hands, 900.0)
        self.level(30.0)

    def slow_flight(self, seconds: float, kt: float = 56.0) -> None:
        """Behind the power curve, where power has to lead the speed."""
        self.level(40.0, kt=70.0)
        plane, level_ft, heading_deg = (
            self.plane,
            self.plane.wheel_ft,
            self.plane["attitude/psi-deg"],
        )
        settled_s = plane.time_s + 50.0

        def hands() -> None:
            plane.bank_to(clip(1.2 * wrap(heading_deg - plane["attitude/psi-deg"]), -15.0, 15.0))
            plane.climb_at(clip(0.08 * (level_ft - plane.wheel_ft), -5.0, 5.0))
            gaining = plane["accelerations/udot-ft_sec2"]
            plane.push = clip(plane.push + 0.0002 * (kt - plane.ias_kt), 0.3, 0.9)
            plane.set(throttle=clip(plane.push + 0.03 * (kt - plane.ias_kt) - 0.1 * gaining, 0, 1))

        plane.until(lambda: plane.time_s >= settled_s, hands, 60.0)
        begun_s = plane.time_s
        plane.until(lambda: plane.time_s >= begun_s + seconds, hands, seconds + 5.0)
        self.end("slow flight", begun_s)

    def stall(self) -> None:
        """Idle, held level until it does not hold, then nose down and power."""
        plane, level_ft = self.plane, self.plane.wheel_ft
        begun_s, self.heading_deg = self.plane.time_s, plane["attitude/psi-deg"]

        def hold() -> None:
            plane.set(throttle=0.0)
            plane.bank_to(0.0)
            off_fps = clip(0.5 * (level_ft - plane.wheel_ft), -4.0, 4.0) - plane.climb_fps
            plane.hold = clip(plane.hold - 0.0015 * off_fps, -1.0, 0.6)
            plane.set(elevator=clip(plane.hold - 0.01 * off_fps, -1.0, 1.0))

        def recover() -> None:
            plane.set(throttle=1.0)
            plane.bank_to(0.0)
            plane.pitch_to(-4.0)

        plane.until(lambda: level_ft - plane.wheel_ft >= 60.0, hold, 120.0)
        plane.until(lambda: plane.ias_kt >= 70.0, recover, 60.0)
        self.end("stall", begun_s)


def practised(*, wind: tuple[float, float, float], seed: int) -> Practised:
    """One flight with all of them, in this order."""
    plane = Airplane(wind_from_deg=wind[0], wind_kt=wind[1], rough_fps=wind[2], seed=seed)
    flight = Flight(plane, Habits(), side=-1)
    flight.park(20.0)
    flight.taxi(100.0)
    flight.park(10.0)
    flight.takeoff()
    plane.leg = "climb"
    flight.climb_out(LEVEL_FT)
    work = Practice(plane)
    work.level(60.0)
    work.turn(360.0, 45.0, name="steep turn")
    work.level(30.0)
    work.turn(-360.0, 50.0, name="steep turn")
    work.level(60.0)
    work.holding(3)
    work.level(60.0)
    work.chandelle()
    work.level(60.0)
    work.slow_flight(60.0)
    work.level(60.0)
    work.stall()
    work.level(60.0)
    work.spiral(3.3)
    work.level(40.0)
    work.down_to(3_200.0)
    work.emergency()
    work.level(40.0)
    work.around_a_point(1.5)
    work.level(60.0)
    truth = Truth(
        columns=columns(plane.rows), events=events_of(plane.events),
        wind_from_deg=wind[0], wind_kt=wind[1],
    )  # fmt: skip
    return Practised(truth=truth, spans=tuple(work.spans))


def low_flight() -> Truth:
    """What comes within feet of the runway and does not touch, and what does."""
    return fly(
        wind=(100.0, 9.0, 1.0), habits=Habits(), seed=6,
        endings=("balked landing", "touch-and-go", "low pass", "full stop"),
    )  # fmt: skip


def keep() -> None:
    """Fly and keep: python tests/flown/truth/truth_practice.py."""
    flown = [practised(wind=wind, seed=seed) for seed, wind in enumerate(WINDS)]
    write(KEPT, [*(one.truth for one in flown), low_flight()])
    spans = [
        [[begin_s - START_S, end_s - START_S] for _, begin_s, end_s in one.spans] for one in flown
    ]
    np.save(KEPT.with_suffix(".npy"), np.array(spans))


def kept() -> tuple[list[Practised], Truth]:
    """The kept flights: those with maneuvers, and the low one."""
    *practice, low = read(KEPT)
    spans_s = np.load(KEPT.with_suffix(".npy")) + START_S
    flown = [
        Practised(truth=truth, spans=tuple((n, *ends) for n, ends in zip(SPANS, each, strict=True)))
        for truth, each in zip(practice, spans_s.tolist(), strict=True)
    ]
    return flown, low


if __name__ == "__main__":
    keep()

"""Whole flights by simple rules: circuits with touch-and-goes and go-arounds, a cross-country."""

from dataclasses import dataclass
from math import atan2, degrees, hypot
from typing import Literal

from truth_airplane import AIM_FT, ELEV_FT, FPS_PER_KT, LENGTH_FT, RUNWAY_TRUE_DEG, Airplane, clip

Ending = Literal[
    "go-around", "balked landing", "low pass", "touch-and-go", "stop-and-go", "full stop"
]  # fmt: skip
ROTATE_KT, CLIMB_KT, DOWNWIND_KT, BASE_KT, FINAL_KT = 55.0, 75.0, 90.0, 75.0, 62.0
PATTERN_FT = 1000.0
FT_PER_NM = 6076.115


@dataclass(frozen=True, kw_only=True)
class Habits:
    """How this flight is flown: with these a pilot differs from the next one."""

    final_kt: float = FINAL_KT
    aim_ft: float = AIM_FT
    spacing_nm: float = 0.9
    go_around_ft: float = 150.0
    flare_ft: float = 18.0
    off_center_ft: float = 0.0
    stop_s: float = 8.0
    low_ft: float = 8.0
    parks_beside: bool = False


class Flight:
    """One flight; each method is a part of it, in the order of the day."""

    def __init__(self, airplane: Airplane, habits: Habits, side: int = -1) -> None:
        self.plane, self.habits, self.side = airplane, habits, side

    def park(self, seconds: float) -> None:
        plane = self.plane
        plane.leg = "parked"
        plane.set(throttle=0.0, left_brake=1.0, right_brake=1.0)
        end_s = plane.time_s + seconds
        plane.until(lambda: plane.time_s >= end_s, lambda: None, seconds + 1.0)

    def taxi(self, to_ft: float) -> None:
        """At about 10 kt along the runway, then a stop."""
        plane = self.plane
        plane.leg = "taxi"

        def hands() -> None:
            left_ft = to_ft - plane.place_ft()[0]
            off_kt = clip(left_ft / 12.0, 0.0, 10.0) - plane.ground_kt
            brake = clip(-0.15 * off_kt, 0.0, 0.5)
            plane.set(throttle=clip(0.2 + 0.06 * off_kt, 0.0, 0.5), left_brake=brake)
            plane.set(right_brake=brake)
            plane.steer(plane.place_ft()[1])

        plane.until(lambda: plane.place_ft()[0] >= to_ft - 15.0, hands, 300.0)

    def from_the_apron(self) -> None:
        """Taxi to the runway, a run-up short of it, then onto it and a wait."""
        plane = self.plane
        self._taxi_to(60.0, 160.0)
        self.park(5.0)
        plane.leg = "run-up"
        plane.set(throttle=0.7, left_brake=1.0, right_brake=1.0)
        end_s = plane.time_s + 25.0
        plane.until(lambda: plane.time_s >= end_s, lambda: None, 30.0)
        self.park(10.0)
        self._taxi_to(70.0, 40.0)
        self._taxi_to(200.0, 0.0)
        self.taxi(260.0)
        self.park(15.0)

    def _taxi_to(self, along_ft: float, right_ft: float) -> None:
        """At 6 to 8 kt towards a place."""
        plane = self.plane
        plane.leg = "taxi"

        def away_ft() -> tuple[float, float]:
            here_ft = plane.place_ft()
            return along_ft - here_ft[0], right_ft - here_ft[1]

        def hands() -> None:
            ahead_ft, aside_ft = away_ft()
            off_kt = 7.0 - plane.ground_kt
            brake = clip(-0.15 * off_kt, 0.0, 0.5)
            plane.set(throttle=clip(0.2 + 0.06 * off_kt, 0.0, 0.5), left_brake=brake)
            plane.set(right_brake=brake)
            plane.steer_to(RUNWAY_TRUE_DEG + degrees(atan2(aside_ft, ahead_ft)))

        plane.until(lambda: hypot(*away_ft()) <= 25.0, hands, 200.0)

    def takeoff(self) -> None:
        """Roll, rotate, and climb to 50 ft."""
        plane = self.plane
        plane.leg = "take-off"
        plane.set(throttle=1.0, left_brake=0.0, right_brake=0.0, flap=0.0)
        plane.hold, plane.push = 0.0, 0.6

        def roll() -> None:
            plane.steer(plane.place_ft()[1])
            plane.set(elevator=-0.05, aileron=clip(-0.03 * plane["attitude/phi-deg"], -0.5, 0.5))

        plane.until(lambda: plane.ias_kt >= ROTATE_KT, roll, 90.0)
        plane.until(lambda: plane.wheel_ft >= 50.0, self._climb_hands, 60.0)

    def _climb_hands(self) -> None:
        plane = self.plane
        if plane.down:
            plane.steer(plane.place_ft()[1])
            plane.pitch_to(8.0)
            return
        if plane.wheel_ft < 50.0 or (plane.leg == "go-around" and plane.ias_kt < CLIMB_KT - 5.0):
            plane.pitch_to(8.0)
        else:
            plane.speed_by_pitch(CLIMB_KT)
        plane.along_line(RUNWAY_TRUE_DEG, plane.place_ft()[1], 20.0)

    def circuit(self, ending: Ending) -> None:
        """From the climb-out once around to the final, and what it ends with."""
        plane, side, habits = self.plane, self.side, self.habits
        plane.leg = "upwind"
        plane.until(
            lambda: plane.wheel_ft >= 650.0 and plane.place_ft()[0] > LENGTH_FT,
            self._climb_hands, 240.0,
        )  # fmt: skip
        plane.set(flap=0.0)
        start_ft, spacing_ft = plane.place_ft()[0], habits.spacing_nm * FT_PER_NM
        plane.leg = "crosswind"
        cross_deg = RUNWAY_TRUE_DEG + 90.0 * side
        plane.until(
            lambda: side * plane.place_ft()[1] >= spacing_ft - 1500.0,
            lambda: self._level(
                cross_deg, -side * (plane.place_ft()[0] - start_ft - 1200.0), DOWNWIND_KT
            ), 180.0,
        )  # fmt: skip
        plane.leg = "downwind"
        back_deg = RUNWAY_TRUE_DEG + 180.0
        plane.until(
            lambda: plane.place_ft()[0] <= AIM_FT,
            lambda: self._level(
                back_deg, -(plane.place_ft()[1] - side * spacing_ft), DOWNWIND_KT
            ), 300.0,
        )  # fmt: skip
        plane.set(flap=0.33)
        base_ft = -0.85 * spacing_ft
        plane.until(
            lambda: plane.place_ft()[0] <= base_ft + 1000.0,
            lambda: self._down(
                back_deg, -(plane.place_ft()[1] - side * spacing_ft), BASE_KT + 5.0, 7.0
            ), 180.0,
        )  # fmt: skip
        plane.leg = "base"
        plane.set(flap=0.66)
        plane.until(
            lambda: side * plane.place_ft()[1] <= 1500.0,
            lambda: self._down(
                RUNWAY_TRUE_DEG - 90.0 * side, side * (plane.place_ft()[0] - base_ft), BASE_KT, 8.0
            ), 180.0,
        )  # fmt: skip
        self.final(ending)

    def _level(
        self, course_deg: float, right_ft: float, kt: float, agl_ft: float = PATTERN_FT
    ) -> None:
        plane = self.plane
        plane.along_line(course_deg, right_ft)
        if agl_ft - plane.wheel_ft > 60.0:
            plane.set(throttle=1.0)
            plane.push = 0.65
            plane.speed_by_pitch(CLIMB_KT if agl_ft < 1500.0 else CLIMB_KT + 5.0)
            return
        plane.climb_at(clip(0.12 * (agl_ft - plane.wheel_ft), -12.0, 8.0))
        plane.speed_by_throttle(kt)

    def _down(self, course_deg: float, right_ft: float, kt: float, fps: float) -> None:
        plane = self.plane
        plane.along_line(course_deg, right_ft)
        plane.climb_at(-fps if plane.wheel_ft > 350.0 else -3.0)
        plane.speed_by_throttle(kt)

    def final(self, ending: Ending) -> None:
        plane, habits = self.plane, self.habits
        plane.leg = "final"
        plane.set(flap=0.66)

        def hands() -> None:
            along_ft, across_ft = plane.place_ft()
            plane.along_line(RUNWAY_TRUE_DEG, across_ft - habits.off_center_ft)
            path_ft = 0.0524 * (habits.aim_ft - along_ft)
            fps = 0.0524 * plane.ground_kt * FPS_PER_KT
            plane.climb_at(clip(-fps - 0.15 * (plane.wheel_ft - path_ft), -18.0, 1.0))
            plane.speed_by_throttle(habits.final_kt)

        low_ft = habits.go_around_ft if ending == "go-around" else habits.flare_ft
        plane.until(lambda: plane.wheel_ft <= low_ft, hands, 300.0)
        if ending == "go-around":
            self._go_around()
        elif ending == "balked landing":
            self._balk()
        elif ending == "low pass":
            self._pass_low()
        else:
            self._land(ending)

    def _go_around(self) -> None:
        plane = self.plane
        plane.events.append(("go-around", plane.time_s, *plane.place_ft(), plane.climb_fps))
        plane.leg = "go-around"
        plane.set(throttle=1.0, flap=0.33)
        plane.until(lambda: plane.wheel_ft >= 500.0, self._climb_hands, 120.0)

    def _flare(self) -> None:
        plane = self.plane
        plane.set(throttle=0.0)
        plane.along_line(RUNWAY_TRUE_DEG, plane.place_ft()[1] - self.habits.off_center_ft, 8.0)
        off_deg = wrap180(RUNWAY_TRUE_DEG - plane["attitude/psi-deg"])
        plane.set(rudder=clip(-0.06 * off_deg * clip(1.5 - plane.wheel_ft / 8.0, 0, 1), -0.8, 0.8))
        plane.climb_at(-clip(plane.wheel_ft / 3.0, 1.8, 9.0))

    def _balk(self) -> None:
        """A flare given up just above the runway."""
        plane = self.plane
        plane.leg, plane.push = "landing", 0.0
        plane.until(lambda: plane.wheel_ft <= self.habits.low_ft, self._flare, 60.0)
        self._go_around()

    def _pass_low(self) -> None:
        """Along the runway for 18 s, just above it."""
        plane, low_ft = self.plane, self.habits.low_ft
        plane.leg, plane.push = "landing", 0.0
        end_s = plane.time_s + 18.0

        def hands() -> None:
            plane.along_line(RUNWAY_TRUE_DEG, plane.place_ft()[1], 8.0)
            plane.climb_at(clip(0.4 * (low_ft - plane.wheel_ft), -6.0, 4.0))
            plane.speed_by_throttle(self.habits.final_kt)

        plane.until(lambda: plane.time_s >= end_s, hands, 20.0)
        self._go_around()

    def _land(self, ending: Ending) -> None:
        plane = self.plane
        plane.leg = "landing"
        plane.push = 0.0
        plane.until(lambda: plane.down, self._flare, 40.0)

        def roll() -> None:
            plane.steer(plane.place_ft()[1])
            plane.set(aileron=clip(-0.03 * plane["attitude/phi-deg"], -0.5, 0.5))
            held_deg = plane["attitude/theta-deg"]
            plane.set(elevator=clip(-0.03 * held_deg - 0.05, -0.3, 0.1))

        if ending == "touch-and-go":
            end_s = plane.time_s + 6.0
            plane.set(flap=0.33)
            plane.until(lambda: plane.time_s >= end_s, roll, 10.0)
            self.takeoff()
            return

        def brake() -> None:
            roll()
            hard = 0.25 if plane.ground_kt < 45.0 else 0.0
            plane.set(left_brake=hard, right_brake=hard)

        if ending == "stop-and-go":
            plane.until(lambda: plane.ground_kt <= 0.5, brake, 90.0)
            self.park(self.habits.stop_s)
            self.takeoff()
            return
        plane.until(lambda: plane.ground_kt <= 10.0, brake, 90.0)
        plane.set(left_brake=0.0, right_brake=0.0, flap=0.0)
        if self.habits.parks_beside:
            self._taxi_to(plane.place_ft()[0] + 120.0, 90.0)
            self._taxi_to(plane.place_ft()[0] + 60.0, 300.0)
        else:
            self.taxi(plane.place_ft()[0] + 300.0)

    def climb_out(self, above_ft: float) -> None:
        """On the runway's course to a height above it."""
        plane = self.plane
        plane.leg = "climb"
        plane.until(
            lambda: plane.wheel_ft >= above_ft - 60.0,
            lambda: self._level(RUNWAY_TRUE_DEG, plane.place_ft()[1], 100.0, above_ft),
            1500.0,
        )

    def cross_country(self, cruise_ft: float, minutes: float) -> None:
        """Out on the runway's course, a turn back, cruise home, and a straight-in final."""
        plane = self.plane
        self.climb_out(cruise_ft - ELEV_FT)
        plane.leg = "cruise"
        end_s = plane.time_s + 60.0 * minutes
        plane.until(
            lambda: plane.time_s >= end_s,
            lambda: self._level(RUNWAY_TRUE_DEG, plane.place_ft()[1], 100.0, cruise_ft - ELEV_FT),
            3600.0,
        )
        offset_ft = 2.0 * FT_PER_NM
        back_deg = RUNWAY_TRUE_DEG + 180.0
        plane.until(
            lambda: plane.place_ft()[0] <= 3.0 * FT_PER_NM,
            lambda: self._level(
                back_deg, -(plane.place_ft()[1] - offset_ft), 100.0, cruise_ft - ELEV_FT
            ), 3600.0,
        )  # fmt: skip
        plane.leg = "descent"
        plane.until(
            lambda: plane.wheel_ft <= 1020.0 and plane.place_ft()[0] <= -4.0 * FT_PER_NM,
            lambda: (
                self._level(back_deg, -(plane.place_ft()[1] - offset_ft), 90.0)
                if plane.wheel_ft <= 1150.0
                else self._down(back_deg, -(plane.place_ft()[1] - offset_ft), 100.0, 9.0)
            ),
            1500.0,
        )
        plane.leg = "base"
        plane.until(
            lambda: plane.place_ft()[1] <= 1600.0,
            lambda: self._level(
                RUNWAY_TRUE_DEG - 90.0, plane.place_ft()[0] + 4.6 * FT_PER_NM, 80.0
            ), 400.0,
        )  # fmt: skip
        plane.leg = "final"
        plane.until(
            lambda: plane.wheel_ft >= 0.0524 * (self.habits.aim_ft - plane.place_ft()[0]),
            lambda: self._level(RUNWAY_TRUE_DEG, plane.place_ft()[1], self.habits.final_kt),
            300.0,
        )
        self.final("full stop")


def wrap180(angle_deg: float) -> float:
    return (angle_deg + 180.0) % 360.0 - 180.0

"""A light airplane of an open flight simulator, its truth at every step, and hands that fly it.

The simulator is JSBSim with its generic four-seat high-wing airplane; nothing here stands for an
airplane of ours. Places are feet along and right of the runway's centerline, from its threshold.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

import jsbsim
import numpy as np
from pyproj import Geod

from lubberline.arrays import FloatArray
from lubberline.units import FT_PER_M, KT_PER_MPS, M_PER_FT

LAT_DEG, LON_DEG = 41.0, -131.0  # the threshold
RUNWAY_TRUE_DEG = 70.0
ELEV_FT = 400.0
LENGTH_FT, WIDTH_FT = 5000.0, 100.0
AIM_FT = 800.0  # the aim point past the threshold
STEPS_PER_HAND = 4  # of 1/120 s: the hands move 30 times a second
STEPS_PER_ROW = 60  # the truth is kept twice a second
FPS_PER_KT = FT_PER_M / KT_PER_MPS
START_S = 1_780_000_000.0
EARTH = Geod(ellps="WGS84")
COLUMNS = (
    *("time_s", "lat_deg", "lon_deg", "wheel_ft", "ias_kt", "tas_kt", "heading_deg", "pitch_deg"),
    *("bank_deg", "climb_fps", "flap_deg", "wheels_down_count", "leg_index", "load_ratio", "rpm"),
)
LEGS = (
    *("parked", "taxi", "take-off", "upwind", "crosswind", "downwind", "base", "final"),
    *("landing", "climb", "cruise", "descent", "go-around", "run-up"),
)


def clip(value: float, low: float, high: float) -> float:
    return max(low, min(high, value))


def wrap(angle_deg: float) -> float:
    return (angle_deg + 180.0) % 360.0 - 180.0


@dataclass
class Airplane:
    """The simulated airplane; ``rows`` and ``events`` fill while it is flown."""

    wind_from_deg: float = 0.0
    wind_kt: float = 0.0
    rough_fps: float = 0.0
    seed: int = 1
    start_along_ft: float = -400.0
    start_right_ft: float = 0.0
    start_true_deg: float = RUNWAY_TRUE_DEG
    rows: list[list[float]] = field(default_factory=list)
    events: list[tuple[str, float, float, float, float]] = field(default_factory=list)
    leg: str = "parked"

    def __post_init__(self) -> None:
        self.fdm = jsbsim.FGFDMExec(None)
        self.fdm.set_debug_level(0)
        self.fdm.load_model("c172p")
        lat_deg, lon_deg = place_deg(self.start_along_ft, self.start_right_ft)
        for name, value in (
            ("ic/lat-geod-deg", lat_deg), ("ic/long-gc-deg", lon_deg),
            ("ic/terrain-elevation-ft", ELEV_FT), ("ic/h-agl-ft", 4.3),
            ("ic/psi-true-deg", self.start_true_deg),
        ):  # fmt: skip
            self.fdm[name] = value
        self.fdm.run_ic()
        self.fdm["propulsion/set-running"] = -1
        self.set(mixture=0.9, left_brake=1.0, right_brake=1.0)
        self.rng = np.random.default_rng(self.seed)
        self.gust = np.zeros(3)
        self.rest_ft = 4.3
        self.hold = 0.0
        self.push = 0.0
        self.trim = 0.0
        self.down = True
        self.run(600)
        self.rest_ft = self["position/h-agl-ft"]
        self.zero_s = self["simulation/sim-time-sec"]
        self.rows.clear()
        self.events.clear()

    def __getitem__(self, name: str) -> float:
        return float(self.fdm[name])

    def set(self, **commands: float) -> None:
        for name, value in commands.items():
            self.fdm[f"fcs/{name.replace('_', '-')}-cmd-norm"] = value

    @property
    def time_s(self) -> float:
        return START_S + self["simulation/sim-time-sec"] - getattr(self, "zero_s", 0.0)

    @property
    def wheel_ft(self) -> float:
        return self["position/h-agl-ft"] - self.rest_ft

    @property
    def ias_kt(self) -> float:
        return self["velocities/vc-kts"]

    @property
    def climb_fps(self) -> float:
        return self["velocities/h-dot-fps"]

    @property
    def track_deg(self) -> float:
        north, east = self["velocities/v-north-fps"], self["velocities/v-east-fps"]
        return float(np.degrees(np.arctan2(east, north)))

    @property
    def ground_kt(self) -> float:
        return float(
            np.hypot(self["velocities/v-north-fps"], self["velocities/v-east-fps"]) / FPS_PER_KT
        )

    def place_ft(self) -> tuple[float, float]:
        lat_deg, lon_deg = self["position/lat-geod-deg"], self["position/long-gc-deg"]
        return along_across_ft(lat_deg, lon_deg)

    def run(self, steps: int = STEPS_PER_HAND) -> None:
        """So many steps of the simulator; touches and rows are kept as they come."""
        self._blow(steps / 120.0)
        for _ in range(steps):
            self.fdm.run()
            down = any(self[f"gear/unit[{wheel}]/WOW"] for wheel in range(3))
            if down != self.down and self.time_s > START_S + 5.0:
                along_ft, across_ft = self.place_ft()
                kind = "touch" if down else "leave"
                self.events.append((kind, self.time_s, along_ft, across_ft, self.climb_fps))
            self.down = down
            if round(self["simulation/sim-time-sec"] * 120.0) % STEPS_PER_ROW == 0:
                self.rows.append(self._row())

    def _row(self) -> list[float]:
        return [
            self.time_s, self["position/lat-geod-deg"], self["position/long-gc-deg"],
            self.wheel_ft, self.ias_kt, self["velocities/vtrue-kts"],
            self["attitude/psi-deg"], self["attitude/theta-deg"], self["attitude/phi-deg"],
            self.climb_fps, self["fcs/flap-pos-deg"], float(self.down),
            float(LEGS.index(self.leg)), self["accelerations/Nz"],
            self["propulsion/engine/engine-rpm"],
        ]  # fmt: skip

    def _blow(self, seconds: float) -> None:
        """The steady wind, and gusts that fade within some seconds and near the ground."""
        fade = np.exp(-seconds / 3.0)
        kick = self.rng.normal(0.0, self.rough_fps, 3) * np.sqrt(1.0 - fade**2)
        self.gust = self.gust * fade + kick
        gust = self.gust * clip(self.wheel_ft / 200.0, 0.1, 1.0)
        toward_rad = np.radians(self.wind_from_deg + 180.0)
        self.fdm["atmosphere/wind-north-fps"] = (
            self.wind_kt * FPS_PER_KT * np.cos(toward_rad) + gust[0]
        )
        self.fdm["atmosphere/wind-east-fps"] = (
            self.wind_kt * FPS_PER_KT * np.sin(toward_rad) + gust[1]
        )
        self.fdm["atmosphere/wind-down-fps"] = 0.3 * gust[2]

    # The hands: bank and pitch by the yoke, speed by the throttle, direction on the ground.

    def bank_to(self, bank_deg: float) -> None:
        off_deg = bank_deg - self["attitude/phi-deg"]
        rolling_degps = np.degrees(self["velocities/p-rad_sec"])
        self.trim = clip(self.trim + 0.0003 * off_deg, -0.2, 0.2)
        self.set(aileron=clip(0.025 * off_deg - 0.012 * rolling_degps + self.trim, -1.0, 1.0))
        self.set(rudder=clip(-0.03 * self["aero/beta-deg"], -0.6, 0.6))

    def pitch_to(self, pitch_deg: float) -> None:
        off_deg = clip(pitch_deg, -12.0, 14.0) - self["attitude/theta-deg"]
        self.hold = clip(self.hold - 0.002 * off_deg, -0.6, 0.6)
        pitching_degps = np.degrees(self["velocities/q-rad_sec"])
        self.set(elevator=clip(-0.05 * off_deg + 0.03 * pitching_degps + self.hold, -1.0, 1.0))

    def climb_at(self, fps: float) -> None:
        """Pitch for a rate of climb, slowly."""
        path_deg = np.degrees(fps / max(self["velocities/vtrue-fps"], 60.0))
        now_deg = np.degrees(self.climb_fps / max(self["velocities/vtrue-fps"], 60.0))
        wanted_deg = self["attitude/theta-deg"] + clip(0.9 * (path_deg - now_deg), -4.0, 4.0)
        self.pitch_to(wanted_deg)

    def speed_by_pitch(self, kt: float) -> None:
        slowing = self["accelerations/udot-ft_sec2"]
        wanted = self["attitude/theta-deg"] + clip(0.4 * (self.ias_kt - kt) + 0.5 * slowing, -4, 4)
        self.pitch_to(wanted)

    def speed_by_throttle(self, kt: float) -> None:
        off_kt = kt - self.ias_kt
        self.push = clip(self.push + 0.0006 * off_kt, 0.0, 1.0)
        self.set(throttle=clip(0.05 * off_kt + self.push, 0.0, 1.0))

    def along_line(self, course_deg: float, right_ft: float, most_deg: float = 25.0) -> None:
        """Bank to fly along a line, so many feet right of which it is."""
        wanted_deg = course_deg - clip(0.03 * right_ft, -40.0, 40.0)
        self.bank_to(clip(1.2 * wrap(wanted_deg - self.track_deg), -most_deg, most_deg))

    def steer(self, right_ft: float = 0.0) -> None:
        """Keep to the centerline on the ground."""
        self.steer_to(RUNWAY_TRUE_DEG - clip(0.3 * right_ft, -10.0, 10.0))

    def steer_to(self, wanted_deg: float) -> None:
        """Keep to a direction on the ground."""
        off_deg = wrap(wanted_deg - self["attitude/psi-deg"])
        turning_degps = np.degrees(self["velocities/r-rad_sec"])
        push = clip(0.05 * off_deg - 0.03 * turning_degps, -1.0, 1.0)
        self.set(steer=push * clip(30.0 / max(self.ground_kt, 15.0), 0.2, 1.0), rudder=-push)

    def until(self, done: Callable[[], bool], hands: Callable[[], None], most_s: float) -> None:
        """Fly with these hands until that is so."""
        start_s = self.time_s
        while not done():
            if self.time_s - start_s > most_s:
                raise RuntimeError(f"{self.leg} not done within {most_s:g} s")
            hands()
            self.run()


def along_across_ft(lat_deg: float, lon_deg: float) -> tuple[float, float]:
    bearing_deg, _, away_m = EARTH.inv(LON_DEG, LAT_DEG, lon_deg, lat_deg)
    off_rad = np.radians(bearing_deg - RUNWAY_TRUE_DEG)
    return float(away_m * FT_PER_M * np.cos(off_rad)), float(away_m * FT_PER_M * np.sin(off_rad))


def place_deg(along_ft: float, across_ft: float) -> tuple[float, float]:
    bearing_deg = RUNWAY_TRUE_DEG + np.degrees(np.arctan2(across_ft, along_ft))
    lon_deg, lat_deg, _ = EARTH.fwd(
        LON_DEG, LAT_DEG, bearing_deg, float(np.hypot(along_ft, across_ft)) * M_PER_FT
    )
    return float(lat_deg), float(lon_deg)


def columns(rows: list[list[float]]) -> dict[str, FloatArray]:
    return dict(zip(COLUMNS, np.array(rows).T, strict=True))

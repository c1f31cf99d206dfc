"""The six invented flights, flown, recorded, read back and debriefed."""

from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

import numpy as np

from lubberline.arrays import BoolArray, FloatArray
from lubberline.card import make_pledge
from lubberline.demo import FLIGHTS, DemoFlight, Truth, record_way, way_of
from lubberline.earth import LocalPlane
from lubberline.fit import Setting, settings
from lubberline.flight import Plan, read_plan
from lubberline.flown import Flown, debrief, read_standard
from lubberline.line import Finding
from lubberline.places import RunwayEnd
from lubberline.recording import Recording, read_recording
from lubberline.units import FT_PER_NM, S_PER_H
from lubberline.ways import Way, evaluate_plan, problem_from_plan

NAMES = [flight.fault for flight in FLIGHTS]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Case:
    """One flight with what really happened and what the debrief made of it."""

    flight: DemoFlight
    plan: Plan
    way: Way
    path: Path
    truth: Truth
    recording: Recording
    flown: Flown

    @property
    def aloft(self) -> BoolArray:
        """The seconds in the air, shape (n,)."""
        time_s = self.truth.time_s
        return np.asarray((time_s > self.truth.liftoff_s) & (time_s < self.truth.touchdown_s))

    @property
    def ends(self) -> tuple[Setting, Setting]:
        """Departure and destination."""
        return settings(self.plan, self.way)

    def velocity_kt(self) -> tuple[FloatArray, FloatArray]:
        """Ground speed toward east and north between the seconds, shape (n - 1,)."""
        plane = problem_from_plan(self.plan, self.way.cruise_msl_ft).plane
        east_nm, north_nm = plane.to_plane_nm(self.truth.lat_deg, self.truth.lon_deg)
        return np.diff(east_nm) * S_PER_H, np.diff(north_nm) * S_PER_H

    def beside_ft(self, end: RunwayEnd) -> tuple[FloatArray, FloatArray]:
        """Places along a runway from its end and to the right of it, shape (n,)."""
        plane = LocalPlane(end.lat_deg, end.lon_deg)
        east_nm, north_nm = plane.to_plane_nm(self.truth.lat_deg, self.truth.lon_deg)
        course_rad = np.radians(end.true_deg)
        along_nm = east_nm * np.sin(course_rad) + north_nm * np.cos(course_rad)
        right_nm = east_nm * np.cos(course_rad) - north_nm * np.sin(course_rad)
        return along_nm * FT_PER_NM, right_nm * FT_PER_NM

    def finding(self, name: str) -> Finding:
        """The debrief's finding of this name."""
        found = [one for one in self.flown.findings if one.limit.key == f"flown.{name}"]
        assert len(found) == 1, [one.limit.key for one in self.flown.findings]
        return found[0]


def flown_case(home: Path, folder: Path, flight: DemoFlight) -> Case:
    """A flight of a demo folder, all the way round."""
    plan = read_plan(folder)
    way = way_of(flight, evaluate_plan(plan))
    pledge = make_pledge(plan, way, (), printed_utc=flight.off_block_utc - timedelta(hours=1))
    path, truth = record_way(plan, way, flight)
    recording = read_recording(path)
    flown = debrief(
        recording,
        places=plan.places,
        pledge=pledge,
        standard=read_standard(home / "standards" / "commercial.toml"),
        terrain=plan.terrain,
        approach_ias_kt=plan.aircraft.speeds.final_kt,
    )
    return Case(
        flight=flight,
        plan=plan,
        way=way,
        path=path,
        truth=truth,
        recording=recording,
        flown=flown,
    )

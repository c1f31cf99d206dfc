"""The six invented flights of the demo: when, in what air, along which way, with what faults."""

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Final, Literal

from lubberline.demo.truth import Faults, Join


@dataclass(frozen=True, slots=True, kw_only=True)
class DemoFlight:
    """One flight: the wind is that at 1,000 ft, the setting the departure's.

    ``way_name`` is a way in its flight file; ``suffix`` the recorder's format; ``monitored`` says
    that an engine monitor kept a file of its own.
    """

    off_block_utc: datetime
    wind_from_true_deg: int
    wind_kt: int
    altimeter_inhg: float
    way_name: str
    join: Join
    suffix: Literal[".gpx", ".igc", ".csv"]
    fault: str
    faults: Faults
    monitored: bool = False

    @property
    def folder_name(self) -> str:
        """Name of the flight's folder."""
        return f"{self.off_block_utc:%Y-%m-%d}-QWRN-QMRL"


DIRECT: Final = "direct through Sedge"
ROUND: Final = "south round by the gap"
OVER: Final = "over the top with Gannet"


def _at(month: int, day: int, hour: int, minute: int) -> datetime:
    return datetime(2026, month, day, hour, minute, tzinfo=UTC)


FLIGHTS: Final = (
    DemoFlight(
        off_block_utc=_at(6, 6, 17, 10),
        wind_from_true_deg=20,
        wind_kt=12,
        altimeter_inhg=30.05,
        way_name=ROUND,
        join="final",
        suffix=".gpx",
        fault="clean",
        faults=Faults(),
    ),
    DemoFlight(
        off_block_utc=_at(7, 4, 18, 5),
        wind_from_true_deg=40,
        wind_kt=14,
        altimeter_inhg=29.92,
        way_name=ROUND,
        join="final",
        suffix=".igc",
        fault="late take-off",
        faults=Faults(takeoff_late_min=6.0, height_swing_ft=35.0),
    ),
    DemoFlight(
        off_block_utc=_at(8, 15, 16, 10),
        wind_from_true_deg=120,
        wind_kt=10,
        altimeter_inhg=30.11,
        way_name=DIRECT,
        join="base",
        suffix=".csv",
        fault="late start-down, fast final",
        faults=Faults(start_down_late_nm=3.0, final_fast_kt=9.0),
    ),
    DemoFlight(
        off_block_utc=_at(9, 12, 19, 5),
        wind_from_true_deg=90,
        wind_kt=18,
        altimeter_inhg=29.84,
        way_name=DIRECT,
        join="base",
        suffix=".igc",
        fault="weaving track",
        faults=Faults(track_swing_nm=0.5, height_swing_ft=40.0),
    ),
    DemoFlight(
        off_block_utc=_at(10, 17, 20, 5),
        wind_from_true_deg=30,
        wind_kt=16,
        altimeter_inhg=29.99,
        way_name=OVER,
        join="downwind",
        suffix=".csv",
        fault="wrong level held",
        faults=Faults(height_bias_ft=140.0),
    ),
    DemoFlight(
        off_block_utc=_at(11, 25, 20, 40),
        wind_from_true_deg=270,
        wind_kt=18,
        altimeter_inhg=30.02,
        way_name=ROUND,
        join="final",
        suffix=".csv",
        fault="growing height swings",
        faults=Faults(height_swing_ft=30.0, height_swing_growth_factor=5.0),
        monitored=True,
    ),
)

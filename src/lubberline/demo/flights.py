"""The six invented flights of the demo: when, in what air, along which way, with what faults."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Final

from lubberline.demo.flying import Faults


@dataclass(frozen=True, slots=True, kw_only=True)
class DemoFlight:
    """One flight. ``way_name`` is a way in its flight file; ``suffix`` the recorder's format."""

    off_block_utc: datetime
    wind_from_true_deg: int
    wind_kt: int
    altimeter_inhg: float
    way_name: str
    suffix: str
    faults: Faults

    @property
    def folder_name(self) -> str:
        """Name of the flight's folder."""
        return f"{self.off_block_utc:%Y-%m-%d}-QWRN-QMRL"


DIRECT: Final = "direct through Sedge"
ROUND: Final = "south round by the gap"
OVER: Final = "over the top with Gannet"


def _at(month: int, day: int, hour: int, minute: int = 0) -> datetime:
    return datetime(2026, month, day, hour, minute, tzinfo=UTC)


FLIGHTS: Final = (
    DemoFlight(
        off_block_utc=_at(6, 6, 17),
        wind_from_true_deg=240,
        wind_kt=12,
        altimeter_inhg=30.05,
        way_name=ROUND,
        suffix=".gpx",
        faults=Faults(height_swing_ft=45.0),
    ),
    DemoFlight(
        off_block_utc=_at(7, 4, 18),
        wind_from_true_deg=270,
        wind_kt=16,
        altimeter_inhg=29.92,
        way_name=ROUND,
        suffix=".igc",
        faults=Faults(height_swing_ft=60.0, takeoff_late_min=6.0),
    ),
    DemoFlight(
        off_block_utc=_at(8, 15, 16, 30),
        wind_from_true_deg=200,
        wind_kt=8,
        altimeter_inhg=30.11,
        way_name=DIRECT,
        suffix=".csv",
        faults=Faults(height_swing_ft=35.0, start_down_late_nm=4.0, final_fast_kt=9.0),
    ),
    DemoFlight(
        off_block_utc=_at(9, 12, 19),
        wind_from_true_deg=300,
        wind_kt=20,
        altimeter_inhg=29.84,
        way_name=DIRECT,
        suffix=".igc",
        faults=Faults(height_swing_ft=90.0, track_swing_nm=0.5),
    ),
    DemoFlight(
        off_block_utc=_at(10, 17, 20),
        wind_from_true_deg=230,
        wind_kt=14,
        altimeter_inhg=29.99,
        way_name=OVER,
        suffix=".csv",
        faults=Faults(height_swing_ft=70.0, height_bias_ft=140.0),
    ),
    DemoFlight(
        off_block_utc=_at(11, 25, 20, 40),
        wind_from_true_deg=250,
        wind_kt=18,
        altimeter_inhg=29.96,
        way_name=ROUND,
        suffix=".csv",
        faults=Faults(height_swing_ft=110.0, takeoff_late_min=3.0),
    ),
)


def flight_text(flight: DemoFlight) -> str:
    """The flight file: the same three ways each time, the day's time and winds."""
    from importlib.resources import files

    template = files("lubberline.demo").joinpath("files/flight.toml").read_text(encoding="utf-8")
    arrive_utc = flight.off_block_utc + timedelta(minutes=75)
    winds = "\n\n".join(
        f"[[wind_aloft]]\nmsl_ft = {msl_ft}\nfrom_true_deg = {flight.wind_from_true_deg + veer}\n"
        f"wind_kt = {flight.wind_kt + more}\noat_degc = {temperature}"
        for msl_ft, veer, more, temperature in (
            (1000, 0, 0, 11),
            (3000, 10, 5, 8),
            (6000, 15, 9, 2),
        )
    )
    return (
        template.replace("{off_block_utc}", f"{flight.off_block_utc:%Y-%m-%dT%H:%M:%SZ}")
        .replace("{arrive_by_utc}", f"{arrive_utc:%Y-%m-%dT%H:%M:%SZ}")
        .replace("{winds}", winds)
    )


def weather_text(flight: DemoFlight) -> str:
    """Reports shortly before departure, with the day's wind and altimeter setting."""
    when = flight.off_block_utc - timedelta(minutes=20)
    wind = f"{round(flight.wind_from_true_deg, -1):03d}{max(flight.wind_kt - 5, 3):02d}KT"
    altimeter = f"A{round(flight.altimeter_inhg * 100):04d}"
    rows = ["# Invented weather for an invented region."]
    rows += [
        f"METAR {station} {when:%d%H%M}Z {wind} 10SM FEW060 13/07 {altimeter}"
        for station in ("QWRN", "QMRL", "QGNT", "QSDG")
    ]
    return "\n".join(rows) + "\n"

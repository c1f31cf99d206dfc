"""The files of an invented flight: its flight file and its weather, as text."""

from datetime import datetime, timedelta
from pathlib import Path
from typing import Final

from lubberline.demo.flights import DemoFlight
from lubberline.flight import FLIGHT_FILE

FILES: Final = Path(__file__).with_name("files")
WANTED: Final = timedelta(minutes=75)  # after off block somebody waits at the destination
ALOFT: Final = ((1_000, 0, 0, 11), (3_000, 10, 5, 8), (6_000, 15, 9, 2))  # ft, deg, kt, degC more
BACKED_DEG: Final = 10  # the ground turns the wind back and slows it
SLOWED_FRACTION: Final = 0.6
FALL_INHG: Final = 0.03  # from departure to destination
STATIONS: Final = (("QWRN", 0.0), ("QSDG", 0.5), ("QMRL", 1.0), ("QGNT", 1.0))  # share of the fall


def flight_text(flight: DemoFlight) -> str:
    """The flight file: the same three ways each time, the day's time and winds."""
    template = (FILES / FLIGHT_FILE).read_text(encoding="utf-8")
    winds = "\n\n".join(
        f"[[wind_aloft]]\nmsl_ft = {msl_ft}\n"
        f"from_true_deg = {(flight.wind_from_true_deg + veered) % 360}\n"
        f"wind_kt = {flight.wind_kt + more}\noat_degc = {temperature}"
        for msl_ft, veered, more, temperature in ALOFT
    )
    return (
        template.replace("{off_block_utc}", f"{flight.off_block_utc:%Y-%m-%dT%H:%M:%SZ}")
        .replace("{arrive_by_utc}", f"{flight.off_block_utc + WANTED:%Y-%m-%dT%H:%M:%SZ}")
        .replace("{winds}", winds)
    )


def weather_text(flight: DemoFlight) -> str:
    """The pasted weather where there is one, else reports and forecasts with the day's wind."""
    pasted = FILES / "flights" / flight.folder_name / "weather.txt"
    if pasted.exists():
        return pasted.read_text(encoding="utf-8")
    reported_utc = _reported_utc(flight.off_block_utc)
    from_deg = (flight.wind_from_true_deg - BACKED_DEG) % 360 or 360
    wind = f"{from_deg:03d}{round(flight.wind_kt * SLOWED_FRACTION):02d}KT"
    rows = ["# Invented weather for an invented region: no such station exists.", ""]
    rows += [
        f"METAR {station} {reported_utc:%d%H%M}Z {wind} 10SM FEW060 13/07"
        f" A{round((flight.altimeter_inhg - share * FALL_INHG) * 100):04d}="
        for station, share in STATIONS
    ]
    issued_utc = reported_utc.replace(minute=0) - timedelta(minutes=30)
    valid = f"{reported_utc:%d%H}/{reported_utc + timedelta(hours=8):%d%H}"
    rows += [
        "",
        *(f"TAF {s} {issued_utc:%d%H%M}Z {valid} {wind} P6SM FEW060=" for s, _ in STATIONS),
    ]
    return "\n".join(rows) + "\n"


def _reported_utc(off_block_utc: datetime) -> datetime:
    """The hourly report before off block: seven minutes before the hour."""
    return off_block_utc.replace(minute=0) - timedelta(minutes=7)

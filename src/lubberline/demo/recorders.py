"""Writes an invented flight the way a recorder would: GPX 1.1, IGC or CSV, with its own noise.

Satellite heights wander slowly by some feet, positions by some meters; a pressure sensor has
steps. Each file says in its text that the flight is invented.
"""

from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Final

import numpy as np

from lubberline.air import cas_from_tas_kt, isa_temperature_degc, pressure_altitude_ft
from lubberline.arrays import FloatArray
from lubberline.demo.flying import Truth
from lubberline.earth import variation_deg
from lubberline.units import M_PER_FT

GEOID_M: Final = -30.0  # roughly what the geoid lies under the ellipsoid there; invented
M_PER_DEG: Final = 111_200.0
SAID: Final = "invented flight for a demonstration"


def write_recording(
    truth: Truth, path: Path, *, off_block_utc: datetime, altimeter_inhg: float, seed: int
) -> None:
    """One file in the format that its name ends in: .gpx, .igc or .csv."""
    random = np.random.default_rng(seed)
    lat_deg = truth.lat_deg + _wander(truth.time_s.size, 2.0, random) / M_PER_DEG
    lon_deg = truth.lon_deg + _wander(truth.time_s.size, 2.0, random) / M_PER_DEG * 1.3
    gnss_m = truth.msl_ft * M_PER_FT + _wander(truth.time_s.size, 2.5, random)
    pressure_ft = pressure_altitude_ft(truth.msl_ft, altimeter_inhg)
    when = [off_block_utc.astimezone(UTC) + timedelta(seconds=s) for s in truth.time_s.tolist()]
    writer = {".gpx": _gpx, ".igc": _igc, ".csv": _csv}[path.suffix]
    text = writer(truth, when, lat_deg, lon_deg, gnss_m, pressure_ft)
    path.write_text(text, encoding="utf-8", newline="")


def _wander(count: int, size_m: float, random: np.random.Generator) -> FloatArray:
    """A slow wander with this standard deviation, correlated over about half a minute."""
    from scipy.signal import lfilter

    keep = np.exp(-1.0 / 30.0)
    noise = random.normal(0.0, size_m * np.sqrt(1.0 - keep**2), count + 120)
    return np.asarray(lfilter([1.0], [1.0, -keep], noise)[120:])


def _gpx(
    truth: Truth,
    when: list[datetime],
    lat_deg: FloatArray,
    lon_deg: FloatArray,
    gnss_m: FloatArray,
    pressure_ft: FloatArray,
) -> str:
    points = "\n".join(
        f'<trkpt lat="{lat:.6f}" lon="{lon:.6f}"><ele>{height:.1f}</ele>'
        f"<time>{moment:%Y-%m-%dT%H:%M:%SZ}</time></trkpt>"
        for moment, lat, lon, height in zip(when, lat_deg, lon_deg, gnss_m, strict=True)
    )
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        '<gpx version="1.1" creator="demonstration" xmlns="http://www.topografix.com/GPX/1/1">\n'
        f"<metadata><desc>{SAID}</desc></metadata>\n"
        f"<trk><name>{SAID}</name><trkseg>\n{points}\n</trkseg></trk>\n</gpx>\n"
    )


def _igc(
    truth: Truth,
    when: list[datetime],
    lat_deg: FloatArray,
    lon_deg: FloatArray,
    gnss_m: FloatArray,
    pressure_ft: FloatArray,
) -> str:
    rows = ["AXXXQQQ", f"HFDTEDATE:{when[0]:%d%m%y},01", "HFDTM100GPSDATUM:WGS-1984", f"LXXX{SAID}"]
    for moment, lat, lon, height_m, pressure in zip(
        when, lat_deg, lon_deg, gnss_m + GEOID_M, pressure_ft * M_PER_FT, strict=True
    ):
        place = f"{_minutes(lat, 2)}{'N' if lat >= 0 else 'S'}{_minutes(lon, 3)}"
        east = "E" if lon >= 0 else "W"
        heights = f"{round(pressure):05d}{round(height_m):05d}"
        rows.append(f"B{moment:%H%M%S}{place}{east}A{heights}")
    return "\r\n".join(rows) + "\r\n"


def _minutes(angle_deg: float, digits_count: int) -> str:
    """Degrees, then minutes in thousandths, without a point, as the format has it."""
    thousandths = round(abs(angle_deg) * 60_000.0)
    return f"{thousandths // 60_000:0{digits_count}d}{thousandths % 60_000:05d}"


def _csv(
    truth: Truth,
    when: list[datetime],
    lat_deg: FloatArray,
    lon_deg: FloatArray,
    gnss_m: FloatArray,
    pressure_ft: FloatArray,
) -> str:
    ias_kt = cas_from_tas_kt(truth.tas_kt, pressure_ft, isa_temperature_degc(pressure_ft))
    turn_deg = float(variation_deg(lat_deg[0], lon_deg[0], 0.0, when[0]))
    heading_deg = np.mod(truth.heading_true_deg - turn_deg, 360.0)
    rows = [f"# {SAID}", "time_utc,lat_deg,lon_deg,gnss_msl_ft,pressure_ft,ias_kt,heading_mag_deg"]
    columns = zip(
        when, lat_deg, lon_deg, gnss_m / M_PER_FT, pressure_ft, ias_kt, heading_deg, strict=True
    )
    rows += [
        f"{moment:%Y-%m-%dT%H:%M:%SZ},{lat:.6f},{lon:.6f},{gnss:.0f},{pressure:.0f},"
        f"{ias if ias > 25.0 else 0.0:.0f},{heading:.0f}"
        for moment, lat, lon, gnss, pressure, ias, heading in columns
    ]
    return "\n".join(rows) + "\n"

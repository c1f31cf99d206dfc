"""What a recorder keeps of an invented flight, with its own errors: GPX 1.1, IGC or CSV.

Satellite positions and heights wander slowly by some meters, a pressure sensor has an offset
and its last digit, an airspeed scatters. Each file says in its text that the flight is
invented.
"""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Final

import numpy as np

from lubberline.air import cas_from_tas_kt, isa_temperature_degc, pressure_altitude_ft
from lubberline.arrays import FloatArray
from lubberline.demo.truth import Truth
from lubberline.earth import variation_deg
from lubberline.units import M_PER_FT, M_PER_NM, MIN_PER_H, S_PER_H

SAID: Final = "invented flight for a demonstration"
M_PER_DEG: Final = M_PER_NM * MIN_PER_H  # of latitude, near enough for an error
POSITION_M, HEIGHT_M, QUIVER_M = 2.0, 2.5, 0.1  # standard deviations of wander and scatter
WANDER_S: Final = 60.0
PRESSURE_OFFSET_FT, PRESSURE_SCATTER_FT = 4.0, 0.7
AIRSPEED_SCATTER_KT: Final = 0.7
LEAST_IAS_KT: Final = 25.0  # slower than this the indicator rests
UNDULATION_M: Final = -30.0  # of the sea against the ellipsoid; invented, as the region is


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Kept:
    """What the sensors gave, one row a second; columns of shape (n,)."""

    moments_utc: tuple[datetime, ...]
    lat_deg: FloatArray
    lon_deg: FloatArray
    gnss_msl_m: FloatArray
    pressure_ft: FloatArray
    ias_kt: FloatArray
    heading_mag_deg: FloatArray


def write_recording(
    truth: Truth,
    path: Path,
    *,
    off_block_utc: datetime,
    ends_inhg: tuple[float, float],
    seed: int,
) -> None:
    """One file in the format that its name ends in: .gpx, .igc or .csv.

    ``ends_inhg`` are the altimeter settings at departure and destination; between lift-off and
    touchdown the pressure passes evenly from one to the other.
    """
    kept = _kept(truth, off_block_utc, ends_inhg, np.random.default_rng(seed))
    text = {".gpx": _gpx, ".igc": _igc, ".csv": _csv}[path.suffix](kept)
    path.write_text(text, encoding="utf-8", newline="")


def ground_kt(truth: Truth) -> FloatArray:
    """Speed over the ground, from second to second."""
    north_kt = np.gradient(truth.lat_deg) * MIN_PER_H * S_PER_H
    east_kt = np.gradient(truth.lon_deg) * MIN_PER_H * S_PER_H * np.cos(np.radians(truth.lat_deg))
    return np.asarray(np.hypot(north_kt, east_kt))


def _kept(
    truth: Truth,
    off_block_utc: datetime,
    ends_inhg: tuple[float, float],
    random: np.random.Generator,
) -> Kept:
    count = truth.time_s.size
    north_m, east_m, up_m = (
        _wander(count, size_m, random) + random.normal(0.0, QUIVER_M, count)
        for size_m in (POSITION_M, POSITION_M, HEIGHT_M)
    )
    lon_m = M_PER_DEG * np.cos(np.radians(truth.lat_deg))
    setting_inhg = np.interp(truth.time_s, [truth.liftoff_s, truth.touchdown_s], ends_inhg)
    pressure_ft = pressure_altitude_ft(truth.msl_ft, setting_inhg)
    ias_kt = cas_from_tas_kt(truth.tas_kt, pressure_ft, isa_temperature_degc(pressure_ft))
    start_utc = off_block_utc.astimezone(UTC)
    variation = float(variation_deg(truth.lat_deg[0], truth.lon_deg[0], 0.0, start_utc))
    return Kept(
        moments_utc=tuple(start_utc + timedelta(seconds=s) for s in truth.time_s.tolist()),
        lat_deg=truth.lat_deg + north_m / M_PER_DEG,
        lon_deg=truth.lon_deg + east_m / lon_m,
        gnss_msl_m=truth.msl_ft * M_PER_FT + up_m,
        pressure_ft=pressure_ft
        + random.normal(0.0, PRESSURE_OFFSET_FT)
        + random.normal(0.0, PRESSURE_SCATTER_FT, count),
        ias_kt=ias_kt + random.normal(0.0, AIRSPEED_SCATTER_KT, count),
        heading_mag_deg=np.mod(truth.heading_true_deg - variation, 360.0),
    )


def _wander(count: int, size_m: float, random: np.random.Generator) -> FloatArray:
    """A smooth wander with this standard deviation that forgets itself in a few minutes.

    White noise, each sample spread over those that follow; weights of norm 1 keep its size.
    """
    after_s = np.arange(1.0, 10.0 * WANDER_S)
    weights = after_s * np.exp(-after_s / WANDER_S)
    noise_m = random.normal(0.0, size_m, count + after_s.size - 1)
    return np.convolve(noise_m, weights / np.linalg.norm(weights), "valid")


def _gpx(kept: Kept) -> str:
    points = "\n".join(
        f'<trkpt lat="{lat:.6f}" lon="{lon:.6f}"><ele>{height:.1f}</ele>'
        f"<time>{moment:%Y-%m-%dT%H:%M:%SZ}</time></trkpt>"
        for moment, lat, lon, height in zip(
            kept.moments_utc, kept.lat_deg, kept.lon_deg, kept.gnss_msl_m, strict=True
        )
    )
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f"<!-- {SAID} -->\n"
        '<gpx version="1.1" creator="demonstration" xmlns="http://www.topografix.com/GPX/1/1">\n'
        f"<metadata><desc>{SAID}</desc></metadata>\n"
        f"<trk><name>{SAID}</name><trkseg>\n{points}\n</trkseg></trk>\n</gpx>\n"
    )


def _igc(kept: Kept) -> str:
    date = f"{kept.moments_utc[0]:%d%m%y}"
    rows = [f"AXXX001 {SAID}", f"HFDTEDATE:{date},01", "HFDTM100GPSDATUM:WGS-1984", f"LXXX{SAID}"]
    for moment, lat, lon, gnss_m, pressure_m in zip(
        kept.moments_utc,
        kept.lat_deg,
        kept.lon_deg,
        kept.gnss_msl_m + UNDULATION_M,
        kept.pressure_ft * M_PER_FT,
        strict=True,
    ):
        north, east = "S" if lat < 0.0 else "N", "W" if lon < 0.0 else "E"
        place = f"{_minutes(lat, 2)}{north}{_minutes(lon, 3)}{east}"
        rows.append(f"B{moment:%H%M%S}{place}A{round(pressure_m):05d}{round(gnss_m):05d}")
    return "\r\n".join(rows) + "\r\n"


def _minutes(angle_deg: float, digits_count: int) -> str:
    """Degrees, then minutes in thousandths, without a point, as the format has it."""
    thousandths = round(abs(angle_deg) * 60_000.0)
    return f"{thousandths // 60_000:0{digits_count}d}{thousandths % 60_000:05d}"


def _csv(kept: Kept) -> str:
    rows = [f"# {SAID}", "time_utc,lat_deg,lon_deg,gnss_msl_ft,pressure_ft,ias_kt,heading_mag_deg"]
    columns = zip(
        kept.moments_utc,
        kept.lat_deg,
        kept.lon_deg,
        kept.gnss_msl_m / M_PER_FT,
        kept.pressure_ft,
        np.where(kept.ias_kt > LEAST_IAS_KT, kept.ias_kt, 0.0),
        kept.heading_mag_deg,
        strict=True,
    )
    rows += [
        f"{moment:%Y-%m-%dT%H:%M:%SZ},{lat:.6f},{lon:.6f},{gnss:.0f},{pressure:.0f},"
        f"{ias:.0f},{round(heading) % 360:03d}"
        for moment, lat, lon, gnss, pressure, ias, heading in columns
    ]
    return "\n".join(rows) + "\n"

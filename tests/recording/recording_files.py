"""Recordings made in code: a straight flight east from 41 N 131 W, written in three formats."""

from datetime import UTC, datetime
from pathlib import Path

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.recording.raw import RawTrack

START_S = datetime(2026, 6, 1, 14, 0, 0, tzinfo=UTC).timestamp()
LAT_DEG, LON_DEG = 41.0, -131.0
MPS = 51.4  # 100 kt
DEG_PER_M = 1.0 / (111_320.0 * np.cos(np.radians(LAT_DEG)))


def eastward(count: int = 120, every_s: float = 1.0, mps: float = MPS) -> dict[str, FloatArray]:
    """Columns of a level flight to the east."""
    time_s = START_S + every_s * np.arange(count)
    return {
        "time_s": time_s,
        "lat_deg": np.full(count, LAT_DEG),
        "lon_deg": LON_DEG + (time_s - START_S) * mps * DEG_PER_M,
        "gnss_ft": np.full(count, 2_600.0),
        "pressure_ft": np.full(count, 2_500.0),
    }


def raw(columns: dict[str, FloatArray], *, segments: FloatArray | None = None) -> RawTrack:
    """The columns as a reader would hand them over; others than the five become channels."""
    fixed = ("time_s", "lat_deg", "lon_deg", "gnss_ft", "pressure_ft")
    count = columns["time_s"].size
    index = np.zeros(count) if segments is None else segments
    return RawTrack(
        **{name: np.array(columns[name], dtype=float) for name in fixed},
        channels={name: column for name, column in columns.items() if name not in fixed},
        segment_index=index.astype(np.int64),
        gnss_reference="unknown",
        format_name="made in code",
        account=(),
    )


def igc_fix(
    clock: str,
    lat_deg: float = LAT_DEG,
    lon_deg: float = LON_DEG,
    *,
    validity: str = "A",
    pressure_m: int = 762,
    gnss_m: int = 792,
    further: str = "",
) -> str:
    """One B record."""
    lat, lon = _minutes(lat_deg, 2), _minutes(lon_deg, 3)
    north, east = "NS"[lat_deg < 0.0], "EW"[lon_deg < 0.0]
    heights = "".join(f"{m:05d}" if m >= 0 else f"-{-m:04d}" for m in (pressure_m, gnss_m))
    return f"B{clock}{lat}{north}{lon}{east}{validity}{heights}{further}"


def _minutes(angle_deg: float, digits: int) -> str:
    thousandths = round(abs(angle_deg) * 60_000.0)
    return f"{thousandths // 60_000:0{digits}d}{thousandths % 60_000:05d}"


def igc_text(*fixes: str, header: tuple[str, ...] = ("HFDTE010626",)) -> str:
    """An IGC file around these B records."""
    return "\r\n".join(["AXQQ001", *header, *fixes, "GQQQ"]) + "\r\n"


def igc_flight(count: int = 60) -> str:
    """An IGC file of the flight to the east, from 14:00:00."""
    columns = eastward(count)
    fixes = [
        igc_fix(f"14{number // 60:02d}{number % 60:02d}", lon_deg=float(lon_deg))
        for number, lon_deg in enumerate(columns["lon_deg"])
    ]
    return igc_text(*fixes)


def gpx_text(*segments: str, version: str = "1.1", before: str = "") -> str:
    """A GPX file with one track."""
    space = f"http://www.topografix.com/GPX/{version.replace('.', '/')}"
    inner = "".join(f"<trkseg>{segment}</trkseg>" for segment in segments)
    root = f'<gpx version="{version}" creator="code" xmlns="{space}">'
    return f'<?xml version="1.0"?>{before}\n{root}\n<trk>{inner}</trk></gpx>'


def gpx_point(second: float, lon_deg: float = LON_DEG, *, time: str = "", more: str = "") -> str:
    """One track point some seconds after the start."""
    moment = datetime.fromtimestamp(START_S + second, UTC)
    stamp = time or f"{moment:%Y-%m-%dT%H:%M:%S.%f}Z"
    element = "" if time == "none" else f"<time>{stamp}</time>"
    return f'<trkpt lat="{LAT_DEG}" lon="{lon_deg:.7f}"><ele>792.48</ele>{element}{more}</trkpt>'


def gpx_flight(first: int, stop: int) -> str:
    """Points of the flight to the east, one a second."""
    lon_deg = eastward(stop)["lon_deg"]
    return "".join(gpx_point(second, float(lon_deg[second])) for second in range(first, stop))


def csv_flight(count: int = 60, heading: str = "time_s,lat_deg,lon_deg,gnss_ft,pressure_ft") -> str:
    """A CSV with our own headings."""
    columns = eastward(count)
    rows = zip(*(columns.values()), strict=True)
    return "\n".join([heading, *(",".join(f"{value:.7f}" for value in row) for row in rows)]) + "\n"


def written(folder: Path, name: str, text: str) -> Path:
    """A file with this text, byte for byte."""
    path = folder / name
    path.write_bytes(text.encode())
    return path

"""The debrief of one hour at 1 Hz, and of a long flight at 10 Hz, among a sky of airspace."""

import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import polars as pl
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from lubberline.flown import debrief, read_standard
from lubberline.places import Circle, Height, Polygon, Volume
from lubberline.recording import read_recording

ROOT = Path(__file__).parent.parent
sys.path.insert(0, str(ROOT / "tests" / "flown"))

from flown_flights import NO_PLACES, cross_country, degrees, pledge_of, recorded  # noqa: E402

CHANNELS = (
    *("ias_kt", "heading_mag_deg", "pitch_deg", "roll_deg", "rpm", "map_inhg", "fuel_flow_gph"),
    *("cht1_degf", "cht2_degf", "egt1_degf", "egt2_degf", "oil_degf", "oil_hpa", "oat_degc"),
    "flap_deg",
)
STANDARD = ROOT / "src" / "lubberline" / "demo" / "files" / "standards" / "private.toml"


def sky(count: int) -> tuple[Volume, ...]:
    """Volumes along the way, half of them round, half with forty corners."""
    rng = np.random.default_rng(1)
    volumes = []
    for number in range(count):
        east_nm, north_nm = rng.uniform(0.0, 100.0), rng.uniform(-15.0, 15.0)
        lat_deg, lon_deg = degrees(np.array([east_nm]), np.array([north_nm]))
        angle_rad = np.linspace(0.0, 2.0 * np.pi, 40, endpoint=False)
        corners_deg = np.column_stack(
            degrees(east_nm + 5.0 * np.sin(angle_rad), north_nm + 5.0 * np.cos(angle_rad))
        )
        circle = Circle(lat_deg=float(lat_deg[0]), lon_deg=float(lon_deg[0]), radius_nm=5.0)
        volumes.append(
            Volume(
                id=f"Q{number}",
                name=f"Q{number}",
                airspace_class="BCD"[number % 3],
                group=f"Q{number}",
                facility=f"Q{number}",
                floor=Height(reference="MSL", ft=1000.0 * (number % 4)),
                ceiling=Height(reference="MSL", ft=1000.0 * (number % 4) + 3000.0),
                footprint=circle if number % 2 else Polygon(corners_deg=corners_deg),
            )
        )
    return tuple(volumes)


@pytest.mark.parametrize(("hours", "every_s", "volumes"), [(1, 1.0, 0), (1, 1.0, 50), (4, 0.1, 50)])
def test_debrief(benchmark: BenchmarkFixture, hours: float, every_s: float, volumes: int) -> None:
    trace = cross_country(cruise_s=hours * 3600.0 - 1400.0).trace()
    flown = benchmark(
        debrief,
        recorded(trace, every_s=every_s),
        places=replace(NO_PLACES, volumes=sky(volumes)),
        pledge=pledge_of(trace),
        standard=read_standard(STANDARD),
    )
    assert len(flown.movements) == 2


@pytest.mark.parametrize(("hours", "every_s"), [(1, 1.0), (5, 0.02)])  # at most 0.25 s; 5 s
def test_file_to_findings(
    benchmark: BenchmarkFixture, tmp_path: Path, hours: float, every_s: float
) -> None:
    """A CSV with fifteen channels, read, cleaned and judged."""
    path = tmp_path / "monitor.csv"
    _monitor(path, hours, every_s)
    standard = read_standard(STANDARD)

    def whole() -> None:
        flown = debrief(read_recording(path), places=NO_PLACES, pledge=None, standard=standard)
        assert len(flown.movements) == 2

    benchmark(whole)


def _monitor(path: Path, hours: float, every_s: float) -> None:
    """Position and height of a flight, and what an engine monitor adds."""
    track = recorded(cross_country(cruise_s=hours * 3600.0 - 1400.0).trace(), every_s=every_s).track
    stamps = (track.time_s * 1000.0).astype("int64").astype("datetime64[ms]").astype(str)
    engine = np.random.default_rng(1).normal(100.0, 5.0, (len(track), len(CHANNELS))).round(1)
    columns = {
        "time_utc": np.char.add(stamps, "Z"),
        "lat_deg": track.lat_deg.round(7),
        "lon_deg": track.lon_deg.round(7),
        "pressure_ft": track.pressure_ft.round(1),
    } | {name: engine[:, k] for k, name in enumerate(CHANNELS)}
    pl.DataFrame(columns).write_csv(path)

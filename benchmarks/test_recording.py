"""Reading, cleaning and deriving motion for long recordings at a high rate."""

from pathlib import Path

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from lubberline.recording import Track, motion, read_recording

HZ = 50.0
HOURS = 5.0


def columns(count: int) -> dict[str, np.ndarray]:
    rng = np.random.default_rng(1)
    since_s = np.arange(count) / HZ
    return {
        "time_s": 1_780_000_000.0 + since_s,
        "lat_deg": 41.0 + 0.2 * np.sin(since_s / 900.0) + rng.normal(0.0, 1e-5, count),
        "lon_deg": -131.0 + 0.3 * np.cos(since_s / 900.0) + rng.normal(0.0, 1e-5, count),
        "gnss_ft": 3_000.0 + 500.0 * np.sin(since_s / 300.0) + rng.normal(0.0, 5.0, count),
        "pressure_ft": 2_900.0 + 500.0 * np.sin(since_s / 300.0) + rng.normal(0.0, 3.0, count),
    }


@pytest.fixture(scope="module")
def csv_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    data = columns(int(HOURS * 3600.0 * HZ))
    path = tmp_path_factory.mktemp("long") / "long.csv"
    rows = np.column_stack(list(data.values()))
    np.savetxt(path, rows, fmt="%.7f", delimiter=",", header=",".join(data), comments="")
    return path


@pytest.fixture(scope="module")
def igc_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("long") / "long.igc"
    with path.open("w") as file:
        file.write("AXQQ001\nHFDTE010626\nI013636TDS\n")
        for number in range(int(HOURS * 3600.0 * 10.0)):
            second, tenth = divmod(number, 10)
            clock = f"{second // 3600 + 12:02d}{second // 60 % 60:02d}{second % 60:02d}"
            file.write(f"B{clock}41{number % 60_000:05d}N13100000WA0080000830{tenth}\n")
    return path


@pytest.fixture(scope="module")
def gpx_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("long") / "long.gpx"
    with path.open("w") as file:
        file.write('<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>')
        for number in range(int(HOURS * 3600.0 * 10.0)):
            second, tenth = divmod(number, 10)
            clock = f"{second // 3600 + 12:02d}:{second // 60 % 60:02d}:{second % 60:02d}.{tenth}"
            place = f'lat="{41.0 + number * 5e-6:.7f}" lon="-131.0"'
            time = f"<time>2026-06-01T{clock}Z</time>"
            file.write(f"<trkpt {place}><ele>830.5</ele>{time}</trkpt>\n")
        file.write("</trkseg></trk></gpx>")
    return path


def test_read_five_hours_of_csv_at_fifty_hertz(benchmark: BenchmarkFixture, csv_file: Path) -> None:
    recording = benchmark(read_recording, csv_file)
    assert len(recording.track) == 900_000


def test_read_five_hours_of_igc_at_ten_hertz(benchmark: BenchmarkFixture, igc_file: Path) -> None:
    recording = benchmark(read_recording, igc_file)
    assert len(recording.track) == 180_000


def test_read_five_hours_of_gpx_at_ten_hertz(benchmark: BenchmarkFixture, gpx_file: Path) -> None:
    recording = benchmark(read_recording, gpx_file)
    assert len(recording.track) == 180_000


@pytest.mark.parametrize("hz", [1.0, 50.0])
def test_motion_of_five_hours(benchmark: BenchmarkFixture, hz: float) -> None:
    every = round(HZ / hz)
    data = {name: column[::every] for name, column in columns(int(HOURS * 3600.0 * HZ)).items()}
    derived = benchmark(motion, Track(**data, channels={}))
    assert np.isfinite(derived.ground_kt).all()

"""Hot functions of the weather room: wind by height for many samples, and a pasted briefing."""

from datetime import UTC, datetime

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from lubberline.weather import WindsAloft, read_weather_text, wind_at

NEAR_UTC = datetime(2026, 11, 25, 21, tzinfo=UTC)
REPORT = "METAR {} 251953Z 28012G19KT 10SM SCT030 BKN045 10/05 A2996 RMK AO2 T01000050=\n"
FORECAST = (
    "TAF {} 251730Z 2518/2618 28012KT P6SM BKN045 TEMPO 2523/2603 4SM -SHRA BKN025"
    " FM260300 27007KT P6SM SCT035 BECMG 2606/2608 VRB03KT=\n"
)


@pytest.mark.benchmark(group="weather")
def test_wind_at_for_an_hour_of_samples(benchmark: BenchmarkFixture) -> None:
    aloft = WindsAloft(
        msl_ft=np.array([3_000.0, 6_000.0, 9_000.0]),
        from_true_deg=np.array([240.0, 270.0, 280.0]),
        wind_kt=np.array([26.0, 26.0, 26.0]),
        oat_degc=np.array([5.0, -9.0, -14.0]),
    )
    msl_ft = np.linspace(0.0, 10_000.0, 36_000)
    from_true_deg, _, _ = benchmark(wind_at, aloft, msl_ft)
    assert from_true_deg.shape == msl_ft.shape


@pytest.mark.benchmark(group="weather")
def test_reading_a_briefing_of_fifty_stations(benchmark: BenchmarkFixture) -> None:
    stations = [f"Q{number:03d}" for number in range(50)]
    text = "".join(line.format(station) for station in stations for line in (REPORT, FORECAST))
    reports, forecasts = benchmark(read_weather_text, text, near_utc=NEAR_UTC)
    assert len(reports) == len(forecasts) == 50

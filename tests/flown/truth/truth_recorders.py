"""What recorders make of a simulated flight, and the runway it used as places give it."""

from dataclasses import dataclass

import numpy as np
from truth_airplane import ELEV_FT, LENGTH_FT, RUNWAY_TRUE_DEG, WIDTH_FT, place_deg

from lubberline.arrays import FloatArray, wrap_360_deg
from lubberline.places import Aerodrome, Places, Runway, RunwayEnd
from lubberline.recording import Recording, Track

M_PER_DEG = 111_000.0


@dataclass(frozen=True, kw_only=True)
class Recorder:
    """Scatter that changes from sample to sample, and error that wanders over minutes."""

    every_s: float = 1.0
    place_m: float = 0.0
    place_wander_m: float = 0.0
    height_ft: float = 0.0
    height_wander_ft: float = 0.0
    step_ft: float = 0.0
    attitude: bool = False
    satellites_only: bool = False
    wander_s: float = 120.0


CLEAN = Recorder(place_m=0.1, height_ft=0.1, attitude=True)
STEPPED = Recorder(place_m=0.3, height_ft=0.5, step_ft=1.0, attitude=True)
NOISY = Recorder(
    place_m=1.0, place_wander_m=2.0, height_ft=3.0, height_wander_ft=8.0, satellites_only=True
)


def recorded(truth: dict[str, FloatArray], recorder: Recorder, *, seed: int = 1) -> Recording:
    rng = np.random.default_rng(seed)
    every = max(1, round(recorder.every_s / float(np.diff(truth["time_s"][:2])[0])))
    first = int(rng.integers(every))
    kept = {name: column[first::every] for name, column in truth.items()}
    return _recording(kept, recorder, rng)


def _recording(
    kept: dict[str, FloatArray], recorder: Recorder, rng: np.random.Generator
) -> Recording:
    count = kept["time_s"].size

    def error(scatter: float, wander: float) -> FloatArray:
        return (
            rng.normal(0.0, 1.0, count) * scatter
            + _wander(count, recorder.every_s / recorder.wander_s, rng) * wander
        )

    height_ft = ELEV_FT + kept["wheel_ft"] + error(recorder.height_ft, recorder.height_wander_ft)
    if recorder.step_ft:
        height_ft = np.round(height_ft / recorder.step_ft) * recorder.step_ft
    nothing = np.full(count, np.nan)
    channels = {}
    if recorder.attitude:
        channels = {
            "ias_kt": np.round(kept["ias_kt"], 1),
            "tas_kt": np.round(kept["tas_kt"], 1),
            "heading_true_deg": np.round(wrap_360_deg(kept["heading_deg"]), 1),
            "pitch_deg": np.round(kept["pitch_deg"], 1),
            "bank_deg": np.round(kept["bank_deg"], 1),
            "flap_deg": np.round(kept["flap_deg"], 0),
            "rpm": np.round(kept["rpm"], 0),
        }
    north_m = error(recorder.place_m, recorder.place_wander_m)
    east_m = error(recorder.place_m, recorder.place_wander_m)
    track = Track(
        time_s=kept["time_s"],
        lat_deg=kept["lat_deg"] + north_m / M_PER_DEG,
        lon_deg=kept["lon_deg"] + east_m / M_PER_DEG / np.cos(np.radians(41.0)),
        gnss_ft=height_ft if recorder.satellites_only else nothing,
        pressure_ft=nothing if recorder.satellites_only else height_ft,
        channels=channels,
    )
    return Recording(
        track=track, gnss_reference="msl", format_name="made in code", sha256="0" * 64, account=()
    )


def _wander(count: int, fade_fraction: float, rng: np.random.Generator) -> FloatArray:
    """An error of scatter 1 that forgets itself over 1 / fade samples."""
    from scipy.signal import lfilter

    keep = float(np.exp(-fade_fraction))
    kicks = rng.normal(0.0, np.sqrt(1.0 - keep**2), count)
    kicks[0] = rng.normal()
    return np.asarray(lfilter([1.0], [1.0, -keep], kicks))


def field() -> Places:
    """The runway of all simulated flights, and nothing else."""
    ends = []
    for along_ft, true_deg in ((0.0, RUNWAY_TRUE_DEG), (LENGTH_FT, RUNWAY_TRUE_DEG + 180.0)):
        lat_deg, lon_deg = place_deg(along_ft, 0.0)
        ends.append(
            RunwayEnd(
                name=f"{round(true_deg / 10.0):02d}",
                true_deg=true_deg,
                lat_deg=lat_deg,
                lon_deg=lon_deg,
                elev_msl_ft=ELEV_FT,
            )
        )
    lat_deg, lon_deg = place_deg(LENGTH_FT / 2.0, 0.0)
    one = Aerodrome(
        id="QTRU",
        name="Truth",
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        elev_msl_ft=ELEV_FT,
        pattern_agl_ft=1000.0,
        runways=(
            Runway(
                ends=(ends[0], ends[1]), length_ft=LENGTH_FT, width_ft=WIDTH_FT, surface="paved"
            ),
        ),
    )
    return Places(aerodromes={"QTRU": one}, volumes=(), points={}, land_deg=(), sources=())

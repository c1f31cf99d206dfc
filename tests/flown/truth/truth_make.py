"""Flies the flights of the truth and keeps them: python tests/flown/truth/truth_make.py.

What is kept is small (columns twice a second, rounded to what a test can tell apart) and made
again bit for bit only by the same version of the simulator; ``flown_now`` flies anew.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np
from truth_airplane import (
    COLUMNS,
    ELEV_FT,
    LAT_DEG,
    LON_DEG,
    RUNWAY_TRUE_DEG,
    START_S,
    Airplane,
    columns,
)
from truth_flights import Ending, Flight, Habits

from lubberline.arrays import FloatArray

KEPT: Final = Path(__file__).parent / "truth.npz"
ROUNDED: Final = {"time_s": 3, "lat_deg": 8, "lon_deg": 8, "leg_index": 0, "rpm": 0}
CRUISE_FT: Final = 3500.0
ENDINGS: Final[tuple[Ending, ...]] = ("go-around", "touch-and-go", "full stop")


@dataclass(frozen=True, kw_only=True)
class Event:
    """A moment of the truth; feet past the threshold and right of the centerline."""

    kind: str
    time_s: float
    along_ft: float
    right_ft: float
    climb_fpm: float


@dataclass(frozen=True, kw_only=True)
class Truth:
    """One simulated flight: its columns, its events, the wind it was flown in."""

    columns: dict[str, FloatArray]
    events: tuple[Event, ...]
    wind_from_deg: float
    wind_kt: float

    def of(self, *kinds: str) -> list[Event]:
        return [one for one in self.events if one.kind in kinds]

    def stood(self, from_s: float, to_s: float) -> bool:
        """Whether the airplane stood still between two moments."""
        time_s = self.columns["time_s"]
        part = slice(*np.searchsorted(time_s, [from_s, to_s]))
        north_nm = self.columns["lat_deg"][part] * 60.0
        east_nm = self.columns["lon_deg"][part] * 60.0 * np.cos(np.radians(LAT_DEG))
        kt = np.hypot(np.gradient(north_nm), np.gradient(east_nm)) / np.gradient(time_s[part])
        return bool((kt * 3600.0 < 1.0).any())


def fly(
    *, wind: tuple[float, float, float], habits: Habits, seed: int, side: int = -1,
    endings: tuple[Ending, ...] = ENDINGS, away_min: float = 0.0,
) -> Truth:  # fmt: skip
    """One flight; ``wind`` is from [deg], speed [kt], roughness [ft/s]."""
    beside = habits.parks_beside
    plane = Airplane(
        wind_from_deg=wind[0], wind_kt=wind[1], rough_fps=wind[2], seed=seed,
        start_along_ft=60.0 if beside else -400.0, start_right_ft=420.0 if beside else 0.0,
        start_true_deg=RUNWAY_TRUE_DEG - (90.0 if beside else 0.0),
    )  # fmt: skip
    flight = Flight(plane, habits, side=side)
    flight.park(40.0)
    if beside:
        flight.from_the_apron()
    else:
        flight.taxi(100.0)
        flight.park(10.0)
    flight.takeoff()
    if away_min:
        flight.cross_country(CRUISE_FT, away_min)
    else:
        for ending in endings:
            flight.circuit(ending)
    flight.park(60.0)
    return Truth(
        columns=columns(plane.rows), events=events_of(plane.events),
        wind_from_deg=wind[0], wind_kt=wind[1],
    )  # fmt: skip


def events_of(raw: list[tuple[str, float, float, float, float]]) -> tuple[Event, ...]:
    """Lift-offs, touchdowns, go-arounds; the skips between a first touch and the roll left out."""
    found: list[Event] = []
    for number, (kind, *numbers) in enumerate(raw):
        one = Event(kind=kind, time_s=numbers[0], along_ft=numbers[1], right_ft=numbers[2],
                    climb_fpm=numbers[3] * 60.0)  # fmt: skip
        again_s = next((later[1] for later in raw[number + 1 :] if later[0] == "touch"), np.inf)
        first = not (found and found[-1].kind == "touch")
        left = kind == "leave" and again_s - one.time_s > 20.0
        if kind == "go-around" or left or (kind == "touch" and first):
            found.append(one)
    return tuple(found)


def random_flight(seed: int) -> Truth:
    """Another pilot, another day: circuits of every kind in one order or another."""
    rng = np.random.default_rng(seed)
    habits = Habits(
        final_kt=rng.uniform(58.0, 66.0), aim_ft=rng.uniform(300.0, 1200.0),
        spacing_nm=rng.uniform(0.8, 1.1), go_around_ft=rng.uniform(40.0, 300.0),
        flare_ft=rng.uniform(14.0, 24.0), off_center_ft=rng.uniform(-20.0, 20.0),
    )  # fmt: skip
    order = rng.permutation(2)
    wind = (rng.uniform(-10.0, 150.0), rng.uniform(0.0, 12.0), rng.uniform(0.0, 3.0))
    return fly(
        wind=wind, habits=habits, seed=seed, side=int(rng.choice([-1, 1])),
        endings=(ENDINGS[order[0]], ENDINGS[order[1]], "full stop"),
    )  # fmt: skip


def flights() -> list[Truth]:
    """Those that are kept: circuits in calm, wind and rough air, and two cross-countries."""
    calm, breeze, rough = (0.0, 0.0, 0.0), (100.0, 9.0, 1.0), (20.0, 12.0, 3.0)
    left, right = Habits(), Habits(final_kt=60.0, aim_ft=1000.0, off_center_ft=12.0)
    circuits = [
        fly(wind=wind, habits=habits, seed=seed, side=side)
        for seed, (wind, habits, side) in enumerate(
            [(calm, left, -1), (breeze, right, 1), (rough, left, -1)]
        )
    ]
    away = [fly(wind=wind, habits=left, seed=9, away_min=5.0) for wind in (breeze, rough)]
    short, long = (Habits(parks_beside=True, stop_s=stop_s) for stop_s in (8.0, 30.0))
    stops = [
        fly(wind=wind, habits=habits, seed=seed, side=side, endings=("stop-and-go", "full stop"))
        for seed, (wind, habits, side) in enumerate(
            [(breeze, short, 1), (calm, long, -1)], start=20
        )
    ]
    return [*circuits, *away, random_flight(3), random_flight(4), *stops]


def write(path: Path = KEPT, kept_flights: Sequence[Truth] = ()) -> None:
    """Keep these flights, those of ``flights`` if none are given."""
    kept: dict[str, Any] = {}
    for number, flight in enumerate(kept_flights or flights()):
        for name, column in flight.columns.items():
            base = {"time_s": START_S, "lat_deg": LAT_DEG, "lon_deg": LON_DEG}.get(name, 0.0)
            scaled = np.round((column - base) * 10.0 ** ROUNDED.get(name, 2))
            kept[f"{number}.{name}"] = np.diff(scaled, prepend=0.0).astype(np.int32)
        kept[f"{number}.events"] = np.array(
            [[KINDS.index(one.kind), one.time_s - START_S, one.along_ft, one.right_ft,
              one.climb_fpm] for one in flight.events]
        )  # fmt: skip
        kept[f"{number}.wind"] = np.array([flight.wind_from_deg, flight.wind_kt])
    np.savez_compressed(path, allow_pickle=False, **kept)


KINDS: Final = ("leave", "touch", "go-around")


def read(path: Path = KEPT) -> list[Truth]:
    """The kept flights."""
    found = []
    with np.load(path) as kept:
        count = len({name.partition(".")[0] for name in kept.files})
        for number in range(count):
            rows = {}
            for name in COLUMNS:
                base = {"time_s": START_S, "lat_deg": LAT_DEG, "lon_deg": LON_DEG}.get(name, 0.0)
                total = np.cumsum(kept[f"{number}.{name}"].astype(np.float64))
                rows[name] = base + total / 10.0 ** ROUNDED.get(name, 2)
            events = tuple(
                Event(kind=KINDS[int(kind)], time_s=START_S + time_s, along_ft=along,
                      right_ft=right, climb_fpm=climb)
                for kind, time_s, along, right, climb in kept[f"{number}.events"]
            )  # fmt: skip
            wind = kept[f"{number}.wind"]
            found.append(Truth(columns=rows, events=events, wind_from_deg=float(wind[0]),
                               wind_kt=float(wind[1])))  # fmt: skip
    return found


if __name__ == "__main__":
    write()

__all__ = [
    "CRUISE_FT", "ELEV_FT", "Event", "Truth", "events_of", "fly", "random_flight", "read", "write",
]  # fmt: skip

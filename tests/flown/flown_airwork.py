"""Maneuvers flown by a point mass with known bank, climb and speed: the answers are in the script.

Each piece holds or evenly changes airspeed, bank and climb; heading follows from the coordinated
turn, place from heading, airspeed and wind. The flight begins and ends in the air.
"""

from dataclasses import dataclass, field

import numpy as np
from flown_flights import START_S, degrees, recording_of

from lubberline.arrays import FloatArray
from lubberline.recording import Recording, Track
from lubberline.units import MPS_PER_KT

DT_S = 0.05
G_MPS2 = 9.80665


@dataclass
class Airwork:
    """Pieces one after the other; ``spans`` keeps when each named maneuver was flown."""

    kt: float = 110.0
    height_ft: float = 4_000.0
    heading_deg: float = 30.0
    bank_deg: float = 0.0
    fpm: float = 0.0
    rows: list[FloatArray] = field(default_factory=list)
    spans: dict[str, tuple[float, float]] = field(default_factory=dict)
    now_s: float = 0.0

    def piece(
        self,
        seconds: float,
        *,
        kt: float | None = None,
        bank_deg: float | None = None,
        fpm: float | None = None,
    ) -> "Airwork":
        """Fly on while airspeed, bank and climb change evenly to these values."""
        count = round(seconds / DT_S)
        ramp = (np.arange(count) + 0.5) / count
        ends = [self.kt if kt is None else kt, self.bank_deg if bank_deg is None else bank_deg]
        ends.append(self.fpm if fpm is None else fpm)
        begins = [self.kt, self.bank_deg, self.fpm]
        self.rows.append(
            np.column_stack([a + (b - a) * ramp for a, b in zip(begins, ends, strict=True)])
        )
        self.kt, self.bank_deg, self.fpm = ends
        self.now_s += count * DT_S
        return self

    def turn(self, by_deg: float, bank_deg: float, roll_s: float = 3.0) -> "Airwork":
        """Roll in, turn, roll out on a heading that differs by so much (right is positive)."""
        bank_deg = float(np.copysign(bank_deg, by_deg))
        rate = np.degrees(G_MPS2 * np.tan(np.radians(bank_deg)) / (self.kt * MPS_PER_KT))
        u = (np.arange(2000) + 0.5) / 2000.0
        rolls = np.degrees(
            np.mean(G_MPS2 * np.tan(np.radians(bank_deg * u)) / (self.kt * MPS_PER_KT))
        )
        held_s = (by_deg - 2.0 * roll_s * rolls) / rate
        self.piece(roll_s, bank_deg=bank_deg).piece(float(held_s))
        return self.piece(roll_s, bank_deg=0.0)

    def named(self, name: str, begin_s: float) -> "Airwork":
        self.spans[name] = (START_S + begin_s, START_S + self.now_s)
        return self

    def recording(
        self,
        *,
        wind_kt: tuple[float, float] = (0.0, 0.0),
        channels: tuple[str, ...] = ("ias_kt", "roll_deg", "heading_true_deg"),
        noise_m: float = 0.5,
        seed: int = 1,
        rpm: FloatArray | None = None,
    ) -> Recording:
        """The flight at 1 Hz; indicated is true airspeed of standard air at its height."""
        from lubberline.air import cas_from_tas_kt, isa_temperature_degc

        kt, bank_deg, fpm = np.concatenate(self.rows).T
        mps = kt * MPS_PER_KT
        rate = np.degrees(G_MPS2 * np.tan(np.radians(bank_deg)) / mps)
        heading_deg = self.heading_deg + np.cumsum(rate) * DT_S
        height_ft = self.height_ft + np.cumsum(fpm) * DT_S / 60.0
        east_kt = kt * np.sin(np.radians(heading_deg)) + wind_kt[0]
        north_kt = kt * np.cos(np.radians(heading_deg)) + wind_kt[1]
        east_nm, north_nm = (np.cumsum(one) * DT_S / 3600.0 for one in (east_kt, north_kt))
        every = slice(0, None, round(1.0 / DT_S))
        rng = np.random.default_rng(seed)
        noise = rng.normal(0.0, noise_m / 1852.0, (2, east_nm[every].size))
        lat_deg, lon_deg = degrees(east_nm[every] + noise[0], north_nm[every] + noise[1])
        known = {
            "ias_kt": cas_from_tas_kt(kt, height_ft, isa_temperature_degc(height_ft)),
            "roll_deg": bank_deg,
            "heading_true_deg": np.mod(heading_deg, 360.0),
        }
        columns = {name: known[name][every] for name in channels}
        if rpm is not None:
            columns["rpm"] = rpm[: lat_deg.size]
        track = Track(
            time_s=START_S + np.arange(lat_deg.size, dtype=float),
            lat_deg=lat_deg,
            lon_deg=lon_deg,
            gnss_ft=height_ft[every] + rng.normal(0.0, 2.0, lat_deg.size),
            pressure_ft=np.full(lat_deg.size, np.nan),
            channels=columns,
        )
        return recording_of(track)

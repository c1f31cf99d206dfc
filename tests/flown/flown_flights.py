"""Flights made in code, whose truth is known: a point mass on a plane, sampled as recorders do.

A flight is a list of pieces flown at 10 Hz; each changes speed, climb rate and turn rate
linearly. Heights are feet above mean sea level in a standard atmosphere shifted by a setting;
the recorders add noise, steps, gaps and a satellite reference of their own.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.flight import Pledge, PledgedPoint
from lubberline.places import Aerodrome, Places, Runway, RunwayEnd
from lubberline.recording import Recording, Track
from lubberline.units import NM_PER_M

DT_S = 0.1
START_S = 1_780_000_000.0
LAT_DEG, LON_DEG = 41.0, -131.0
ELEV_FT = 400.0
NO_PLACES = Places(aerodromes={}, volumes=(), points={}, land_deg=(), sources=())


@dataclass
class Flying:
    """Pieces appended one after the other; ``marks`` keeps the moments that are the truth."""

    kt: float = 0.0
    fpm: float = 0.0
    heading_deg: float = 90.0
    elev_ft: float = ELEV_FT
    rows: list[FloatArray] = field(default_factory=list)
    marks: dict[str, list[float]] = field(default_factory=dict)

    @property
    def elapsed_s(self) -> float:
        return sum(len(row) for row in self.rows) * DT_S

    @property
    def height_ft(self) -> float:
        return self.elev_ft + sum(float(row[:, 1].sum()) for row in self.rows) * DT_S / 60.0

    def mark(self, name: str) -> "Flying":
        self.marks.setdefault(name, []).append(START_S + self.elapsed_s)
        return self

    def piece(
        self,
        seconds: float,
        *,
        kt: float | None = None,
        fpm: float | None = None,
        turn_degps: float = 0.0,
    ) -> "Flying":
        """Fly on for so long while speed and climb rate change evenly to these values."""
        count = round(seconds / DT_S)
        kt = self.kt if kt is None else kt
        fpm = self.fpm if fpm is None else fpm
        ramp = (np.arange(count) + 0.5) / count
        row = np.column_stack(
            [
                self.kt + (kt - self.kt) * ramp,
                self.fpm + (fpm - self.fpm) * ramp,
                np.full(count, turn_degps),
            ]
        )
        self.rows.append(row)
        self.kt, self.fpm = kt, fpm
        return self

    def takeoff(self, *, kt: float = 55.0, climb_kt: float = 75.0, fpm: float = 700.0) -> "Flying":
        """Roll, lift off, and settle into a climb."""
        self.piece(kt / 3.0, kt=kt).mark("take-off")
        return self.piece(4.0, fpm=fpm).piece(10.0, kt=climb_kt)

    def climb_to(self, height_ft: float, *, kt: float, fpm: float) -> "Flying":
        """Climb or descend and level off at a height within a foot."""
        self.piece(10.0, kt=kt, fpm=fpm)
        level_off_ft = fpm / 60.0 * 10.0 / 2.0
        self.piece(max(DT_S, (height_ft - level_off_ft - self.height_ft) / fpm * 60.0))
        return self.piece(10.0, fpm=0.0)

    def turn(self, by_deg: float, degps: float = 3.0) -> "Flying":
        return self.piece(abs(by_deg) / degps, turn_degps=float(np.sign(by_deg)) * degps)

    def land(self, *, kt: float = 60.0, fpm: float = -500.0, flare_s: float = 5.0) -> "Flying":
        """Final, flare to the field, touchdown, roll-out to taxi speed."""
        flare_ft = fpm / 60.0 * flare_s / 2.0
        self.piece(10.0, kt=kt + 5.0, fpm=fpm)
        down_s = (self.elev_ft - flare_ft - self.height_ft) / fpm * 60.0
        self.piece(down_s, kt=kt)
        self.piece(flare_s, kt=kt - 10.0, fpm=0.0).mark("landing")
        return self.piece(20.0, kt=15.0)

    def taxi(self, seconds: float, kt: float = 12.0) -> "Flying":
        return self.piece(5.0, kt=kt).piece(seconds).piece(5.0, kt=0.0)

    def park(self, seconds: float) -> "Flying":
        return self.piece(0.1, kt=0.0).piece(seconds)

    def trace(self, wind_kt: tuple[float, float] = (0.0, 0.0)) -> "Trace":
        """The truth at 10 Hz; the wind (to east, to north) carries it while off the ground."""
        kt, fpm, turn_degps = np.concatenate(self.rows).T
        heading_rad = np.radians(self.heading_start_deg + np.cumsum(turn_degps) * DT_S)
        msl_ft = self.elev_ft + np.cumsum(fpm) * DT_S / 60.0
        aloft = msl_ft > self.elev_ft + 2.0
        east_nm = np.cumsum(kt * np.sin(heading_rad) + wind_kt[0] * aloft) * DT_S / 3600.0
        north_nm = np.cumsum(kt * np.cos(heading_rad) + wind_kt[1] * aloft) * DT_S / 3600.0
        time_s = START_S + (np.arange(kt.size) + 1.0) * DT_S
        return Trace(time_s, east_nm, north_nm, msl_ft, self.marks)

    @property
    def heading_start_deg(self) -> float:
        return self.heading_deg


@dataclass
class Trace:
    """Truth: columns at 10 Hz, and the marked moments."""

    time_s: FloatArray
    east_nm: FloatArray
    north_nm: FloatArray
    msl_ft: FloatArray
    marks: dict[str, list[float]]

    def with_excursion(self, shape_ft: Callable[[FloatArray], FloatArray]) -> "Trace":
        """The same with a height error added as a function of seconds since the start."""
        added_ft = shape_ft(self.time_s - START_S)
        return Trace(self.time_s, self.east_nm, self.north_nm, self.msl_ft + added_ft, self.marks)


def recorded(  # noqa: PLR0913 - each is one property of a recorder
    trace: Trace,
    *,
    every_s: float = 1.0,
    fix_noise_m: float = 2.0,
    height_noise_ft: float = 3.0,
    height_step_ft: float = 0.0,
    time_step_s: float = 0.0,
    pressure_shift_ft: float | None = 0.0,
    gnss_shift_ft: float | None = None,
    gaps_s: Sequence[tuple[float, float]] = (),
    reference: str = "msl",
    seed: int = 1,
) -> Recording:
    """What a recorder makes of a flight; gaps are seconds since its start.

    A shift of None leaves that sensor out.
    """
    rng = np.random.default_rng(seed)
    wanted_s = np.arange(trace.time_s[0], trace.time_s[-1], every_s)
    for start_s, end_s in gaps_s:
        since_s = wanted_s - START_S
        wanted_s = wanted_s[(since_s < start_s) | (since_s >= end_s)]
    east_nm = np.interp(wanted_s, trace.time_s, trace.east_nm)
    north_nm = np.interp(wanted_s, trace.time_s, trace.north_nm)
    msl_ft = np.interp(wanted_s, trace.time_s, trace.msl_ft)
    noise_nm = rng.normal(0.0, fix_noise_m * NM_PER_M, (2, wanted_s.size))
    lat_deg, lon_deg = degrees(east_nm + noise_nm[0], north_nm + noise_nm[1])
    time_s = np.floor(wanted_s / time_step_s) * time_step_s if time_step_s else wanted_s
    kept = np.concatenate([[True], np.diff(time_s) > 0.0])

    def height(shift_ft: float | None) -> FloatArray:
        if shift_ft is None:
            return np.full(wanted_s.size, np.nan)
        noisy_ft = msl_ft + shift_ft + rng.normal(0.0, height_noise_ft, wanted_s.size)
        return np.round(noisy_ft / height_step_ft) * height_step_ft if height_step_ft else noisy_ft

    track = Track(
        time_s=time_s[kept],
        lat_deg=lat_deg[kept],
        lon_deg=lon_deg[kept],
        gnss_ft=height(gnss_shift_ft)[kept],
        pressure_ft=height(pressure_shift_ft)[kept],
        channels={},
    )
    return recording_of(track, reference)


def recording_of(track: Track, reference: str = "msl") -> Recording:
    return Recording(
        track=track,
        gnss_reference=reference,  # type: ignore[arg-type]
        format_name="made in code",
        sha256="0" * 64,
        account=(),
    )


def degrees(east_nm: FloatArray, north_nm: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Latitude and longitude of places in the plane, by the geodesic."""
    from pyproj import Geod

    lon_deg, lat_deg, _ = Geod(ellps="WGS84").fwd(
        np.full(east_nm.shape, LON_DEG),
        np.full(east_nm.shape, LAT_DEG),
        np.degrees(np.arctan2(east_nm, north_nm)),
        np.hypot(east_nm, north_nm) / NM_PER_M,
    )
    return lat_deg, lon_deg


def aerodrome(
    id_: str, east_nm: float, north_nm: float, *, true_deg: float = 90.0, elev_ft: float = ELEV_FT
) -> Aerodrome:
    """A field whose only runway, 6000 ft long, is centered at a place in the plane."""
    half_nm = 3000.0 / 6076.115
    ends = []
    for bearing_deg in (true_deg, (true_deg + 180.0) % 360.0):
        away = -half_nm * np.array(
            [np.sin(np.radians(bearing_deg)), np.cos(np.radians(bearing_deg))]
        )
        lat_deg, lon_deg = degrees(np.array([east_nm + away[0]]), np.array([north_nm + away[1]]))
        name = f"{round(bearing_deg / 10.0) or 36:02d}"
        ends.append(
            RunwayEnd(
                name=name,
                true_deg=bearing_deg,
                lat_deg=float(lat_deg[0]),
                lon_deg=float(lon_deg[0]),
                elev_msl_ft=elev_ft,
            )
        )
    lat_deg, lon_deg = degrees(np.array([east_nm]), np.array([north_nm]))
    return Aerodrome(
        id=id_,
        name=id_,
        lat_deg=float(lat_deg[0]),
        lon_deg=float(lon_deg[0]),
        elev_msl_ft=elev_ft,
        pattern_agl_ft=1000.0,
        runways=(
            Runway(ends=(ends[0], ends[1]), length_ft=6000.0, width_ft=100.0, surface="paved"),
        ),
    )


def places_with(*aerodromes: Aerodrome) -> Places:
    return Places(
        aerodromes={one.id: one for one in aerodromes},
        volumes=(),
        points={},
        land_deg=(),
        sources=(),
    )


def cross_country(*, cruise_ft: float = 4500.0, cruise_s: float = 1200.0) -> Flying:
    """Park, taxi, take off to the east, cruise, descend, land straight in, taxi, park."""
    flying = Flying().park(60.0).mark("off block").taxi(120.0).park(30.0)
    flying.takeoff().climb_to(cruise_ft, kt=80.0, fpm=700.0).mark("level")
    flying.piece(20.0, kt=110.0).piece(cruise_s).mark("leaves level")
    flying.climb_to(1400.0, kt=110.0, fpm=-500.0).piece(60.0, kt=80.0)
    return flying.land().taxi(90.0).mark("on block").park(60.0)


def pledge_of(
    trace: Trace,
    *,
    cruise_msl_ft: float = 4500.0,
    settings_inhg: tuple[float | None, float | None] = (29.92126, 29.92126),
    via: Sequence[tuple[str, float]] = (),
    permissions: tuple[str, ...] = (),
    late_min: float = 0.0,
) -> Pledge:
    """The pledge that the flight kept exactly: its own marks, and places it passed on the way.

    ``via`` names moments in seconds since the start; ``late_min`` moves the pledge earlier, so
    that the flight is so many minutes late.
    """
    takeoff_s, landing_s = trace.marks["take-off"][0], trace.marks["landing"][-1]
    moments = [("", takeoff_s), *((n, START_S + s) for n, s in via), ("", landing_s)]
    points = tuple(_pledged(trace, name, moment_s, late_min) for name, moment_s in moments)
    return Pledge(
        title="made in code",
        way_name="straight",
        departure_id="QAAA",
        destination_id="QBBB",
        departure_runway="09",
        destination_runway="09",
        permissions=permissions,
        cruise_msl_ft=cruise_msl_ft,
        off_block_utc=_utc(trace.marks["off block"][0], late_min),
        on_block_utc=_utc(trace.marks["on block"][-1], late_min),
        points=points,
        departure_altimeter_inhg=settings_inhg[0],
        destination_altimeter_inhg=settings_inhg[1],
        findings=(),
        inputs_sha256={},
        printed_utc=_utc(START_S - 3600.0, 0.0),
        program_version="0",
    )


def _pledged(trace: Trace, name: str, moment_s: float, late_min: float) -> PledgedPoint:
    k = int(np.argmin(np.abs(trace.time_s - moment_s)))
    lat_deg, lon_deg = degrees(trace.east_nm[k : k + 1], trace.north_nm[k : k + 1])
    return PledgedPoint(
        name=name,
        lat_deg=float(lat_deg[0]),
        lon_deg=float(lon_deg[0]),
        msl_ft=float(trace.msl_ft[k]),
        over_utc=_utc(moment_s, late_min),
        fuel_left_gal=20.0,
    )


def _utc(moment_s: float, late_min: float) -> datetime:
    return datetime.fromtimestamp(moment_s - 60.0 * late_min, UTC)


def circuits(count: int) -> Flying:
    """Left-hand circuits at 1000 ft above the field: touch-and-goes, the last one a full stop."""
    flying = Flying().park(60.0).taxi(60.0).park(20.0).takeoff()
    for number in range(count):
        flying.climb_to(1100.0, kt=75.0, fpm=700.0).turn(-90.0).piece(10.0)
        flying.climb_to(1400.0, kt=90.0, fpm=500.0).turn(-90.0).piece(100.0, kt=85.0)
        flying.turn(-90.0).piece(10.0, fpm=-300.0).turn(-90.0)
        if number == count - 1:
            return flying.land().taxi(60.0).park(60.0)
        flying.piece(10.0, kt=65.0, fpm=-500.0)
        flare_ft = 500.0 / 60.0 * 2.5
        flying.piece((flying.elev_ft + flare_ft - flying.height_ft) / -500.0 * 60.0, kt=62.0)
        flying.piece(5.0, kt=55.0, fpm=0.0).piece(4.0, kt=45.0).mark("touch-and-go")
        flying.piece(6.0, kt=55.0).piece(4.0, fpm=700.0).piece(10.0, kt=75.0)
    return flying


def glider(before_landing: Callable[[Flying], object] = lambda _: None) -> Flying:
    """Winch launch to the west, circles in lift, a glide, and a landing at the same level."""
    flying = Flying(heading_deg=270.0).park(120.0)
    flying.piece(4.0, kt=45.0).mark("take-off").piece(3.0, fpm=2500.0, kt=50.0).piece(30.0)
    flying.piece(5.0, fpm=0.0, kt=50.0).piece(20.0).piece(5.0, fpm=300.0)
    flying.piece(400.0, turn_degps=14.0).piece(5.0, fpm=-150.0).piece(60.0).piece(5.0, fpm=350.0)
    flying.piece(300.0, turn_degps=-15.0)
    before_landing(flying)
    flying.piece(5.0, fpm=-200.0, kt=60.0).piece(300.0).turn(180.0)
    flying.climb_to(1000.0, kt=55.0, fpm=-400.0).turn(90.0).piece(5.0)
    return flying.land(kt=45.0, fpm=-300.0).park(120.0)

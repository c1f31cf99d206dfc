"""A data set as large as a country's: invented items, crowded as cities are."""

from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.places import (
    Account,
    Aerodrome,
    Circle,
    DataSet,
    Height,
    Obstacles,
    Polygon,
    Radio,
    Runway,
    RunwayEnd,
    Schedule,
    Source,
    Volume,
    WeeklySpan,
)

OBSTACLES: Final = 500_000
VOLUMES: Final = 10_000
AERODROMES: Final = 70_000
SOURCE: Final = Source(name="invented", form="invented", sha256="0" * 64)
RANDOM: Final = np.random.default_rng(28)


def crowded_deg(count: int) -> tuple[FloatArray, FloatArray]:
    """Half of the places in three hundred towns 20 NM wide, half anywhere in 25 by 60 degrees."""
    towns_deg = RANDOM.uniform([25.0, -125.0], [50.0, -65.0], (300, 2))
    places_deg = towns_deg[RANDOM.integers(0, 300, count)] + RANDOM.normal(0.0, 0.33, (count, 2))
    anywhere = RANDOM.random(count) < 0.5
    places_deg[anywhere] = RANDOM.uniform([25.0, -125.0], [50.0, -65.0], (anywhere.sum(), 2))
    return places_deg[:, 0].copy(), places_deg[:, 1].copy()


def obstacles(count: int = OBSTACLES) -> Obstacles:
    """Towers, stacks and poles, every third lit."""
    lat_deg, lon_deg = crowded_deg(count)
    agl_ft = RANDOM.gamma(2.0, 100.0, count).round()
    return Obstacles(
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        top_msl_ft=agl_ft + RANDOM.uniform(0.0, 6_000.0, count).round(),
        top_agl_ft=agl_ft,
        lateral_doubt_nm=np.full(count, 0.04),
        vertical_doubt_ft=np.full(count, 20.0),
        lit=np.arange(count) % 3 == 0,
        kind=np.array(["TOWER", "STACK", "POLE", "TOWER", "T-L TWR"])[np.arange(count) % 5],
    )


def aerodromes(count: int = AERODROMES) -> tuple[Aerodrome, ...]:
    """Each with a runway and two services."""
    places = zip(*(column.tolist() for column in crowded_deg(count)), strict=True)
    return tuple(_aerodrome(n, lat_deg, lon_deg) for n, (lat_deg, lon_deg) in enumerate(places))


def _aerodrome(n: int, lat_deg: float, lon_deg: float) -> Aerodrome:
    ends = tuple(
        RunwayEnd(name=name, true_deg=deg, lat_deg=lat_deg, lon_deg=lon_deg, elev_msl_ft=812.3)
        for name, deg in (("09", 92.4), ("27", 272.4))
    )
    strip = Runway(ends=(ends[0], ends[1]), length_ft=3_200.0, width_ft=60.0, surface="paved")
    radios = tuple(
        Radio(facility=f"Field {n}", use="ctaf", frequency_mhz=frequency_mhz, hours="0700-1900")
        for frequency_mhz in (122.8, 123.05)
    )
    return Aerodrome(
        id=f"Q{n:05d}",
        name=f"Field {n}",
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        elev_msl_ft=812.3,
        pattern_agl_ft=1_000.0,
        runways=(strip,),
        radios=radios,
        note="deer on the runway",
    )


def volumes(count: int = VOLUMES) -> tuple[Volume, ...]:
    """Every fourth a circle, the others polygons of 120 corners."""
    places = zip(*(column.tolist() for column in crowded_deg(count)), strict=True)
    turn = np.linspace(0.0, 2.0 * np.pi, 120, endpoint=False)
    unit = np.column_stack([np.sin(turn), np.cos(turn)])
    return tuple(_volume(n, lat, lon, unit) for n, (lat, lon) in enumerate(places))


def _volume(n: int, lat_deg: float, lon_deg: float, unit: FloatArray) -> Volume:
    ring_deg = (0.1 + n % 7 * 0.05) * (1.0 + 0.1 * np.sin(unit[:, :1] * 7.0)) * unit
    span = WeeklySpan(weekdays=(0, 1, 2, 3, 4), from_min=780, until_min=1_440)
    return Volume(
        id=f"QV{n}",
        name=f"Volume {n}",
        airspace_class="BCDE"[n % 4],
        group=f"Q{n:05d}",
        facility=f"Field {n} Tower",
        floor=Height(reference="SFC", ft=0.0),
        ceiling=Height(reference="MSL", ft=4_000.0),
        footprint=Circle(lat_deg=lat_deg, lon_deg=lon_deg, radius_nm=4.3)
        if n % 4 == 0
        else Polygon(corners_deg=ring_deg + np.array([lat_deg, lon_deg])),
        schedule=Schedule(text="MON-FRI 1300-2400Z", spans=(span,)),
    )


def national() -> DataSet:
    """All of it in one set, which real files spread over three."""
    return DataSet(
        source=SOURCE,
        account=Account(read={}),
        aerodromes=aerodromes(),
        volumes=volumes(),
        obstacles=obstacles(),
    )

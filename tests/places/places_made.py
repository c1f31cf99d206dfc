"""Items of every kind, with every field used, and data sets made of them."""

from dataclasses import fields, is_dataclass
from datetime import UTC, datetime
from typing import Any

import numpy as np

from lubberline.places import (
    Account,
    Aerodrome,
    Arc,
    Circle,
    DataSet,
    Height,
    LeftOut,
    Obstacles,
    Polygon,
    Radio,
    Runway,
    RunwayEnd,
    Schedule,
    Source,
    VisualPoint,
    Volume,
    Waypoint,
    WeeklySpan,
)

FROM_UTC = datetime(2026, 10, 29, 9, 1, tzinfo=UTC)
UNTIL_UTC = datetime(2026, 11, 26, 9, 1, tzinfo=UTC)
SOURCE = Source(
    name="invented cycle",
    form="NASR CSV",
    sha256="ab" * 32,
    valid_from_utc=FROM_UTC,
    valid_until_utc=UNTIL_UTC,
)
ACCOUNT = Account(
    read={"volumes": 2, "aerodromes": 1},
    left_out=(LeftOut(file="a.txt", line=7, item="AC Z", reason="no such class"),),
    left_out_count=3,
)


def end(name: str, **changed: Any) -> RunwayEnd:
    known = {"true_deg": 1 / 3, "lat_deg": 41.1, "lon_deg": -130.5, "elev_msl_ft": 112.4}
    return RunwayEnd(name=name, **{**known, **changed})


def aerodrome(id_: str = "QMRL", **changed: Any) -> Aerodrome:
    strip = Runway(
        ends=(end("12", displaced_ft=300.0, pattern_side="right"), end("30")),
        length_ft=4_200.0,
        width_ft=75.0,
        surface="paved",
    )
    radio = Radio(facility="Marl Tower", use="tower", frequency_mhz=118.6, hours="1300-0300Z")
    known = {
        "name": "Marl",
        "lat_deg": 41.1,
        "lon_deg": -130.5,
        "elev_msl_ft": 112.4,
        "pattern_agl_ft": 1_000.0,
        "runways": (strip,),
        "radios": (radio,),
        "note": "gull colony; “beware” \\ of\nthe mole",
    }
    return Aerodrome(id=id_, **{**known, **changed})


def volume(id_: str = "QV-MARL", **changed: Any) -> Volume:
    known: dict[str, Any] = {
        "name": "Marl",
        "airspace_class": "D",
        "group": "QMRL",
        "facility": "Marl Tower",
        "floor": Height(reference="SFC", ft=0.0),
        "ceiling": Height(reference="MSL", ft=2_600.0),
        "footprint": Circle(lat_deg=41.1, lon_deg=-130.5, radius_nm=4.2, inner_nm=0.1),
    }
    return Volume(id=id_, **{**known, **changed})


def polygon(lat_deg: float, lon_deg: float, size_deg: float = 0.2) -> Polygon:
    """A square with rounded numbers nowhere, an arc behind one side, and a hole."""
    turn = np.radians(np.arange(4) * 90.0 + 45.1)
    ring = np.column_stack([lat_deg + size_deg * np.sin(turn), lon_deg + size_deg * np.cos(turn)])
    arc = Arc(
        ring=0, first=1, last=3, lat_deg=lat_deg, lon_deg=1 / 7, radius_nm=12.1, clockwise=True
    )
    hole = ring * 0.25 + 0.75 * np.array([lat_deg, lon_deg])
    return Polygon(corners_deg=ring, holes_deg=(hole, hole + 0.01), arcs=(arc, arc), error_m=9.9)


def scheduled(id_: str = "QV-EAST") -> Volume:
    span = WeeklySpan(weekdays=(0, 4), from_min=480, until_min=1_440, zone="America/Anchorage")
    return volume(
        id_,
        footprint=polygon(41.3, -130.9),
        frequency_mhz=124.475,
        lateral_margin_nm=0.5,
        schedule=Schedule(text="MON-FRI 0800-2400 LT", spans=(span, span)),
        otherwise_class="E",
        kind="CLASS_D",
        note="call before entry",
        source="shapes",
        valid_from_utc=FROM_UTC,
        valid_until_utc=UNTIL_UTC,
    )


def obstacles(lat_deg: Any, lon_deg: Any) -> Obstacles:
    count = len(lat_deg)
    return Obstacles(
        lat_deg=np.asarray(lat_deg, dtype=float),
        lon_deg=np.asarray(lon_deg, dtype=float),
        top_msl_ft=np.linspace(100.1, 900.0, count),
        top_agl_ft=np.full(count, 236.0),
        lateral_doubt_nm=np.where(np.arange(count) % 2, np.nan, 0.08),
        vertical_doubt_ft=np.full(count, 50.0),
        lit=np.arange(count) % 3 == 0,
        kind=np.array(["TOWER", "STACK", "T-L TWR"])[np.arange(count) % 3],
    )


def data_set(**items: Any) -> DataSet:
    return DataSet(**{"source": SOURCE, "account": ACCOUNT, **items})


def everything() -> DataSet:
    return data_set(
        aerodromes=(aerodrome(), aerodrome("QWRN", runways=(), radios=(), lat_deg=float("nan"))),
        volumes=(volume(), scheduled(), volume("QV-OPEN", schedule=Schedule(text="by NOTAM"))),
        points=(VisualPoint(name="Gasworks chimney", lat_deg=41.2, lon_deg=-130.6, note="report"),),
        waypoints=(
            Waypoint(
                id="QVO", kind="VOR", name="Quiver", lat_deg=41.0, lon_deg=-131.0, frequency_mhz=113
            ),
            Waypoint(id="QAMBR", kind="WP", name="", lat_deg=41.1, lon_deg=179.9),
        ),
        obstacles=obstacles([41.3, 41.1, 41.2], [-130.1, -130.2, -130.3]),
        land_deg=(polygon(41.0, -131.0).corners_deg,),
    )


def same(one: Any, other: Any) -> bool:
    """Equal to the last bit, arrays and unknowns included."""
    if isinstance(one, np.ndarray):
        return one.dtype.kind == other.dtype.kind and np.array_equal(
            one, other, equal_nan=one.dtype.kind == "f"
        )
    if isinstance(one, tuple):
        return len(one) == len(other) and all(map(same, one, other))
    if is_dataclass(one):
        parts = [part.name for part in fields(one)]
        return type(one) is type(other) and all(
            same(getattr(one, part), getattr(other, part)) for part in parts
        )
    return bool(one == other or (one != one and other != other))

"""Published files as large as a country's, in exactly their form, crowded as cities are."""

from pathlib import Path
from typing import Any, Final

import airspace_made
import nasr_made
import numpy as np
import obstacles_made
import ourairports_made
import shapely
from national import crowded_deg

OBSTACLES: Final = 500_000
AIRPORTS: Final = 20_000
FIXES: Final = 70_000
VOLUMES: Final = 10_000
WORLD: Final = 80_000


def write_obstacles(path: Path, count: int = OBSTACLES, *, csv: bool = False) -> Path:
    """The obstacle file."""
    made = [
        obstacles_made.Made(number=n, lat=_dms(lat), lon=_dms(-lon), action="ACD"[n % 37 == 0])
        for n, (lat, lon) in enumerate(zip(*crowded_deg(count), strict=True))
    ]
    head = [obstacles_made.CSV_HEAD] if csv else obstacles_made.HEAD
    lines = [one.row() if csv else one.line() for one in made]
    path.write_text("\r\n".join([*head, *lines, ""]), newline="")
    return path


def write_subscription(path: Path, airports: int = AIRPORTS, fixes: int = FIXES) -> Path:
    """Every airport with a runway, two services and two remarks; many fixes."""
    tables: dict[str, list[Any]] = {name: [] for name in nasr_made.TABLES}
    for n, (lat, lon) in enumerate(zip(*crowded_deg(airports), strict=True)):
        key = {"SITE_NO": f"{n:05d}.", "SITE_TYPE_CODE": "A", "ARPT_ID": f"Q{n:05d}"}
        place = {"LAT_DECIMAL": f"{lat:.8f}", "LONG_DECIMAL": f"{lon:.8f}"}
        tables["APT_BASE.csv"].append(
            key | place | {"ARPT_NAME": f"FIELD {n}", "ARPT_STATUS": "O", "ELEV": "812.3"}
        )
        tables["APT_RWY.csv"].append(
            key | {"RWY_ID": "18/36", "RWY_LEN": "3645", "SURFACE_TYPE_CODE": "ASPH"}
        )
        for end, north_deg in (("18", 0.005), ("36", -0.005)):
            threshold = {"LAT_DECIMAL": f"{lat + north_deg:.8f}", "LONG_DECIMAL": f"{lon:.8f}"}
            tables["APT_RWY_END.csv"].append(
                key | threshold | {"RWY_ID": "18/36", "RWY_END_ID": end, "RWY_END_ELEV": "810"}
            )
        for use, freq in (("CTAF", "122.8"), ("APCH/P DEP/P", "124.475")):
            tables["FRQ.csv"].append(
                {"SERVICED_FACILITY": key["ARPT_ID"], "FREQ": freq, "FREQ_USE": use}
            )
        tables["APT_RMK.csv"] += [key | {"REMARK": f"REMARK {k} OF FIELD {n}."} for k in (1, 2)]
    tables["FIX_BASE.csv"] = [
        {"FIX_ID": f"Q{n:05d}", "FIX_USE_CODE": "WP", "LAT_DECIMAL": lat, "LONG_DECIMAL": lon}
        for n, (lat, lon) in enumerate(zip(*crowded_deg(fixes), strict=True))
    ]
    return nasr_made.write_subscription(path, tables)


def write_airspace(path: Path, count: int = VOLUMES) -> Path:
    """Round volumes of 150 corners, every second with a hole."""
    rows = []
    for n, (lat, lon) in enumerate(zip(*crowded_deg(count), strict=True)):
        attributes = airspace_made.of_class("CLASS_C", f"FIELD {n} CLASS C", f"Q{n:05d}")
        shape = airspace_made.disk(lat, lon, 0.1, 150)
        if n % 2:
            hole = airspace_made.disk(lat, lon, 0.05, 150).exterior.coords[::-1]
            shape = shapely.Polygon(shape.exterior.coords, [hole])
        rows.append((attributes | airspace_made.TO_3000 | airspace_made.FROM_GROUND, shape))
    return airspace_made.write_zip(path, rows)


def write_world(folder: Path, count: int = WORLD) -> Path:
    """Aerodromes everywhere, each with a runway and a service."""
    files = {name: [lines[0]] for name, lines in ourairports_made.FILES.items()}
    for n, (lat, lon) in enumerate(zip(*crowded_deg(count), strict=True)):
        name = f'"Q{n:05d}"'
        files["airports.csv"].append(
            f'{n},{name},"small_airport","Field {n}",{lat:.6f},{lon:.6f},812,"OC","QQ","QQ-M",'
            f'"Town","no",,,{name},,,,'
        )
        files["runways.csv"].append(f'{n},{n},{name},3645,60,"ASPH",1,0,"18",,,,180,,"36",,,,0,')
        files["airport-frequencies.csv"].append(f'{n},{n},{name},"CTAF","CTAF",122.8')
    for name, lines in files.items():
        (folder / name).write_text("\n".join(lines) + "\n")
    return folder


def _dms(angle_deg: float) -> tuple[int, int, int]:
    whole_s = int(np.round(angle_deg * 3600.0))
    return whole_s // 3600, whole_s // 60 % 60, whole_s % 60

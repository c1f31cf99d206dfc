"""Aerodromes and radio aids of the whole world as volunteers keep them, in the public domain.

No authority stands behind these tables and nothing dates them: they are for where no official
data is at hand. Closed aerodromes and runways are left out.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from math import isnan, nan
from pathlib import Path
from typing import Final

from lubberline.places.dataset import DataSet
from lubberline.places.model import (
    Aerodrome,
    Radio,
    RadioUse,
    Runway,
    RunwayEnd,
    Waypoint,
)
from lubberline.places.published._account import Accounting, Unfit, refusal
from lubberline.places.published._cycle import source_of
from lubberline.places.published._runways import Doubt, length_ft, settled
from lubberline.places.published._surface import surface_of
from lubberline.places.published._table import (
    Row,
    elevation_ft,
    joined,
    number,
    position_deg,
    rows,
    within,
)
from lubberline.places.published.nasr_airports import CUSTOMARY_PATTERN_AGL_FT
from lubberline.places.published.nasr_radio import HIGH_MHZ, LOW_MHZ
from lubberline.places.published.zips import Files, Member, Progress, open_files

FORM: Final = "OurAirports CSV"
TABLES: Final = ("airports.csv", "runways.csv", "airport-frequencies.csv", "navaids.csv")
KINDS: Final = {
    **dict.fromkeys(("large_airport", "medium_airport", "small_airport"), ""),
    "heliport": "heliport",
    "seaplane_base": "seaplane base",
    "balloonport": "balloonport",
}
KHZ_PER_MHZ: Final = 1_000.0

_USES: Final[Mapping[str, RadioUse]] = {
    **dict.fromkeys(("TWR", "TOWER"), "tower"),
    **dict.fromkeys(("GND", "GROUND"), "ground"),
    **dict.fromkeys(("ATIS", "D-ATIS"), "atis"),
    **dict.fromkeys(("AWOS", "ASOS", "AWIS"), "awos"),
    **dict.fromkeys(("APP", "APP/DEP", "A/D", "DEP", "ARR", "RDR", "TMA"), "approach"),
    **dict.fromkeys(("CTAF", "RDO", "AFIS", "INFO"), "ctaf"),
}
_END: Final = ("ident", "latitude_deg", "longitude_deg", "elevation_ft", "heading_degT")
_SIDES: Final = ("le", "he")  # the end with the lower number, and the other one
_RUNWAY_WANTED: Final = (
    *("width_ft", "surface", "lighted", "closed"),
    *(f"{side}_{name}" for side in _SIDES for name in (*_END, "displaced_threshold_ft")),
)
_AIRPORT_NEEDED: Final = ("ident", "type", "latitude_deg", "longitude_deg")
_AIRPORT_WANTED: Final = ("name", "elevation_ft", "icao_code", "gps_code", "local_code")


def read_ourairports(path: Path, progress: Progress | None = None) -> DataSet:
    """All open aerodromes and radio aids of the tables at a path.

    Parameters
    ----------
    path : Path
        A folder or a zip file with ``airports.csv`` and what there is of the other tables.
    progress : callable, optional
        Called with the bytes read and the bytes in all.

    Raises
    ------
    BadFile
        If neither airports nor radio aids are there, or a table lacks a column it needs.

    References
    ----------
    [OURAIRPORTS]_, data dictionary.
    """
    account = Accounting()
    with open_files(path, nested="airport", progress=progress) as files:
        tables = files.named(*TABLES)
        if not {"airports.csv", "navaids.csv"} & set(tables):
            raise refusal(path, "neither airports.csv nor navaids.csv", "the tables of aerodromes")
        files.expect(*tables.values())
        source = source_of(files, FORM)
        return DataSet(
            source=source,
            aerodromes=tuple(_aerodromes(files, tables, account, source.name)),
            waypoints=tuple(_aids(files, tables, account, source.name)),
            account=account.done(),
        )


def _aerodromes(
    files: Files, tables: Mapping[str, Member], account: Accounting, source: str
) -> Iterator[Aerodrome]:
    if "airports.csv" not in tables:
        return
    strips, radios = _runways(files, tables, account), _radios(files, tables, account)
    member = tables["airports.csv"]
    table = rows(files, member, account, needed=_AIRPORT_NEEDED, wanted=_AIRPORT_WANTED)
    taken: set[str] = set()

    def make(row: Row) -> Aerodrome:
        one = _aerodrome(row, strips, radios, source)
        if one.id in taken:
            raise Unfit("another one has this identifier")
        taken.add(one.id)
        return one

    yield from account.made("aerodromes", member.name, table, make)


def _aerodrome(
    row: Row,
    strips: Mapping[str, list[Runway]],
    radios: Mapping[str, list[Radio]],
    source: str,
) -> Aerodrome:
    id_, kind = row["ident"], row["type"]
    if kind.startswith("closed"):
        raise Unfit("closed")
    if not id_:
        raise Unfit("no identifier")
    lat_deg, lon_deg = position_deg(row["latitude_deg"], row["longitude_deg"])
    others = (row[name] for name in ("icao_code", "gps_code", "local_code"))
    return Aerodrome(
        id=id_,
        aliases=tuple(dict.fromkeys(one for one in others if one not in ("", id_))),
        kind=KINDS.get(kind, kind),
        name=row["name"],
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        elev_msl_ft=elevation_ft(row["elevation_ft"]),
        pattern_agl_ft=CUSTOMARY_PATTERN_AGL_FT,
        pattern_customary=True,
        runways=tuple(strips.get(id_, ())),
        radios=tuple(radios.get(id_, ())),
        source=source,
    )


def _runways(
    files: Files, tables: Mapping[str, Member], account: Accounting
) -> dict[str, list[Runway]]:
    found: dict[str, list[Runway]] = defaultdict(list)
    if "runways.csv" not in tables:
        return found
    member = tables["runways.csv"]
    needed = ("airport_ident", "length_ft")
    table = rows(files, member, account, needed=needed, wanted=_RUNWAY_WANTED)

    def make(row: Row) -> tuple[str, Runway]:
        id_ = row["airport_ident"]
        return id_, _runway(
            row, lambda item, why: account.leave_out(member.name, None, f"{id_} {item}", why)
        )

    for id_, strip in account.made("runways", member.name, table, make):
        found[id_].append(strip)
    return found


def _runway(row: Row, doubt: Doubt) -> Runway:
    if row["closed"] == "1":
        raise Unfit("closed")
    if not row["le_ident"] or not row["he_ident"]:
        raise Unfit("an end without name: no runway")
    width_ft = within(row["width_ft"], 0.0, 10_000.0, "width in feet")
    ends = tuple(_end(row, side) for side in _SIDES)
    strip = Runway(
        ends=(ends[0], ends[1]),
        length_ft=length_ft(row["length_ft"]),
        width_ft=width_ft or nan,
        surface=surface_of(row["surface"]),
        lights="lighted" if row["lighted"] == "1" else "",
    )
    return settled(strip, doubt)


def _end(row: Row, side: str) -> RunwayEnd:
    name, lat, lon, elevation, heading = (row[f"{side}_{one}"] for one in _END)
    lat_deg, lon_deg = position_deg(lat, lon) if lat and lon else (nan, nan)
    displaced_ft = within(row[f"{side}_displaced_threshold_ft"], 0.0, 10_000.0, "displacement")
    return RunwayEnd(
        name=name,
        true_deg=within(heading, 0.0, 360.0, "direction"),
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        elev_msl_ft=elevation_ft(elevation),
        displaced_ft=0.0 if isnan(displaced_ft) else displaced_ft,
    )


def _radios(
    files: Files, tables: Mapping[str, Member], account: Accounting
) -> dict[str, list[Radio]]:
    found: dict[str, list[Radio]] = defaultdict(list)
    if "airport-frequencies.csv" not in tables:
        return found
    member = tables["airport-frequencies.csv"]
    needed = ("airport_ident", "type", "frequency_mhz")
    table = rows(files, member, account, needed=needed, wanted=("description",))

    def make(row: Row) -> tuple[str, Radio]:
        frequency_mhz = number(row["frequency_mhz"])
        if not LOW_MHZ <= frequency_mhz <= HIGH_MHZ:
            raise Unfit(f"outside {LOW_MHZ:g} to {HIGH_MHZ:g} MHz: no civil VHF channel")
        return row["airport_ident"], Radio(
            facility=row["description"] or row["type"],
            use=_USES.get(row["type"].upper(), "other"),
            frequency_mhz=frequency_mhz,
            note=row["type"],
        )

    for id_, radio in account.made("radio services", member.name, table, make):
        found[id_].append(radio)
    return found


def _aids(
    files: Files, tables: Mapping[str, Member], account: Accounting, source: str
) -> Iterator[Waypoint]:
    if "navaids.csv" not in tables:
        return
    member = tables["navaids.csv"]
    needed = ("ident", "type", "latitude_deg", "longitude_deg")
    wanted = ("name", "frequency_khz", "dme_channel")

    def make(row: Row) -> Waypoint:
        if not row["ident"]:
            raise Unfit("no identifier")
        lat_deg, lon_deg = position_deg(row["latitude_deg"], row["longitude_deg"])
        frequency_khz = number(row["frequency_khz"])
        return Waypoint(
            id=row["ident"],
            kind=row["type"],
            name=row["name"],
            lat_deg=lat_deg,
            lon_deg=lon_deg,
            frequency_mhz=None if isnan(frequency_khz) else frequency_khz / KHZ_PER_MHZ,
            note=joined(f"channel {row['dme_channel']}" if row["dme_channel"] else ""),
            source=source,
        )

    table = rows(files, member, account, needed=needed, wanted=wanted)
    yield from account.made("radio aids", member.name, table, make)

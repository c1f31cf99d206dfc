"""Aerodromes of the US subscription with their runways and services, joined by site number.

Open ones of every kind are kept; closed ones are left out. An aerodrome is known by its ICAO
identifier where it has one, and by its own identifier as well.
"""

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from itertools import chain
from math import isnan, nan
from typing import Final, TypeVar

from lubberline.places.model import Aerodrome, Radio, Runway, RunwayEnd
from lubberline.places.published._account import Accounting, Unfit
from lubberline.places.published._runways import length_ft, settled
from lubberline.places.published._surface import surface_of
from lubberline.places.published._table import (
    Row,
    elevation_ft,
    joined,
    position_deg,
    rows,
    within,
)
from lubberline.places.published.nasr_radio import RADIO_TABLES, radios
from lubberline.places.published.zips import Files, Member

AIRPORT_TABLES: Final = (
    *("APT_BASE.csv", "APT_RWY.csv", "APT_RWY_END.csv", "APT_RMK.csv", "CLS_ARSP.csv"),
    *("ATC_RMK.csv", *RADIO_TABLES),
)
CUSTOMARY_PATTERN_AGL_FT: Final = 1_000.0  # [AIM4-3-3]: unless published otherwise
KINDS: Final = {
    "A": "",
    "H": "heliport",
    "C": "seaplane base",
    "G": "gliderport",
    "B": "balloonport",
    "U": "ultralight field",
}

_CLOSED: Final = {"CI": "closed indefinitely", "CP": "closed permanently"}
_LIGHTS: Final = {
    "HIGH": "high intensity",
    "MED": "medium intensity",
    "LOW": "low intensity",
    "FLD": "floodlights",
    "NSTD": "not standard",
    "PERI": "perimeter",
    "STRB": "strobes",
    "NONE": "",
}

Kept = TypeVar("Kept")


def aerodromes(
    files: Files, tables: dict[str, Member], account: Accounting, source: str
) -> Iterator[Aerodrome]:
    """Every aerodrome that is open, with what the other tables say of it."""
    if "APT_BASE.csv" not in tables:
        return
    join = _Join(files, tables, account)
    member = tables["APT_BASE.csv"]
    wanted = (
        *("SITE_TYPE_CODE", "ARPT_NAME", "CITY", "STATE_CODE", "ELEV", "TPA", "ICAO_ID"),
        *("ARPT_STATUS", "FACILITY_USE_CODE", "LGT_SKED", "TWR_TYPE_CODE"),
    )
    needed = ("ARPT_ID", "SITE_NO", "LAT_DECIMAL", "LONG_DECIMAL")
    table = rows(files, member, account, needed=needed, wanted=wanted)
    taken: set[str] = set()

    def make(row: Row) -> Aerodrome:
        one = _aerodrome(row, join, source)
        if one.id in taken:
            raise Unfit("another one has this identifier")
        taken.add(one.id)
        return one

    yield from account.made("aerodromes", member.name, table, make)


class _Join:
    """What the other tables say, by site number or identifier."""

    def __init__(self, files: Files, tables: dict[str, Member], account: Accounting) -> None:
        self._files, self._tables, self._account = files, tables, account
        self.radios: Mapping[str, tuple[Radio, ...]] = radios(files, tables, account)
        ends = self._by_site("runway ends", "APT_RWY_END.csv", _END_NEEDED, _END_WANTED, _end)
        self._ends = {
            (site, runway): [end for name, end in some if name == runway]
            for site, some in ends.items()
            for runway in {name for name, _ in some}
        }
        self.strips = self._by_site("runways", "APT_RWY.csv", _RWY_NEEDED, _RWY_WANTED, self._strip)
        self.remarks = self._by_site("remarks", "APT_RMK.csv", _RMK_NEEDED, ("ELEMENT",), _remark)
        self.control = self._by_site("remarks", "ATC_RMK.csv", _ATC_NEEDED, ("ELEMENT",), _remark)
        self.classes = self._by_site("class hours", "CLS_ARSP.csv", _KEY, _CLASSES, _class_remark)

    def _by_site(
        self,
        kind: str,
        name: str,
        needed: tuple[str, ...],
        wanted: tuple[str, ...],
        make: Callable[[Row], Kept],
    ) -> dict[str, list[Kept]]:
        found: dict[str, list[Kept]] = defaultdict(list)
        if name in self._tables:
            member = self._tables[name]
            table = rows(self._files, member, self._account, needed=needed, wanted=wanted)
            made = self._account.made(kind, member.name, table, lambda row: (row, make(row)))
            for row, one in made:
                found[row["SITE_NO"]].append(one)
        return found

    def _strip(self, row: Row) -> Runway:
        ends = self._ends.get((row["SITE_NO"], row["RWY_ID"]), [])
        if len(ends) != 2:
            raise Unfit("not two ends: a helipad, or no runway")
        names = row["RWY_ID"].split("/")
        first, second = sorted(ends, key=lambda end: end.name != names[0])
        strip = Runway(
            ends=(first, second),
            length_ft=length_ft(row["RWY_LEN"]),
            width_ft=within(row["RWY_WIDTH"], 1.0, 10_000.0, "width in feet"),
            surface=surface_of(row["SURFACE_TYPE_CODE"]),
            lights=_LIGHTS.get(row["RWY_LGT_CODE"], row["RWY_LGT_CODE"]),
        )
        return settled(strip, lambda item, reason: self._doubt(row, item, reason))

    def _doubt(self, row: Row, item: str, reason: str) -> None:
        name = self._tables["APT_RWY_END.csv"].name
        self._account.leave_out(name, None, f"{row['ARPT_ID']} {item}", reason)


_KEY: Final = ("ARPT_ID", "SITE_NO")
_RMK_NEEDED: Final = (*_KEY, "REMARK")
_ATC_NEEDED: Final = ("FACILITY_ID", "SITE_NO", "REMARK")
_RWY_NEEDED: Final = (*_KEY, "RWY_ID", "RWY_LEN")
_RWY_WANTED: Final = ("RWY_WIDTH", "SURFACE_TYPE_CODE", "RWY_LGT_CODE")
_END_NEEDED: Final = (*_KEY, "RWY_ID", "RWY_END_ID", "LAT_DECIMAL", "LONG_DECIMAL")
_END_WANTED: Final = (
    *("TRUE_ALIGNMENT", "RIGHT_HAND_TRAFFIC_PAT_FLAG", "RWY_END_ELEV", "DISPLACED_THR_LEN"),
    *("VGSI_CODE", "APCH_LGT_SYSTEM_CODE", "RWY_END_LGTS_FLAG"),
)
_CLASSES: Final = (*(f"CLASS_{letter}_AIRSPACE" for letter in "BCDE"), "AIRSPACE_HRS", "REMARK")


def _end(row: Row) -> tuple[str, RunwayEnd]:
    placed = row["LAT_DECIMAL"] and row["LONG_DECIMAL"]
    lat_deg, lon_deg = (
        position_deg(row["LAT_DECIMAL"], row["LONG_DECIMAL"]) if placed else (nan, nan)
    )
    displaced_ft = within(row["DISPLACED_THR_LEN"], 0.0, 10_000.0, "displacement in feet")
    vgsi, approach = row["VGSI_CODE"], row["APCH_LGT_SYSTEM_CODE"]
    return row["RWY_ID"], RunwayEnd(
        name=row["RWY_END_ID"],
        true_deg=within(row["TRUE_ALIGNMENT"], 0.0, 360.0, "direction"),
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        elev_msl_ft=elevation_ft(row["RWY_END_ELEV"]),
        displaced_ft=0.0 if isnan(displaced_ft) else displaced_ft,
        pattern_side="right" if row["RIGHT_HAND_TRAFFIC_PAT_FLAG"] == "Y" else "left",
        lights=joined(
            "" if vgsi in ("", "N", "NONE") else f"slope indicator {vgsi}",
            "" if approach in ("", "N", "NONE") else approach,
            "end lights" if row["RWY_END_LGTS_FLAG"] == "Y" else "",
        ),
    )


def _aerodrome(row: Row, join: _Join, source: str) -> Aerodrome:
    site, id_ = row["SITE_NO"], row["ARPT_ID"]
    if not id_:
        raise Unfit("no identifier")
    if row["ARPT_STATUS"] in _CLOSED:
        raise Unfit(_CLOSED[row["ARPT_STATUS"]])
    lat_deg, lon_deg = position_deg(row["LAT_DECIMAL"], row["LONG_DECIMAL"])
    pattern_agl_ft = within(row["TPA"], 0.0, 9_999.0, "pattern height in feet")
    customary = isnan(pattern_agl_ft) or pattern_agl_ft == 0.0
    return Aerodrome(
        id=row["ICAO_ID"] or id_,
        aliases=(id_,) if row["ICAO_ID"] not in ("", id_) else (),
        kind=KINDS.get(row["SITE_TYPE_CODE"], row["SITE_TYPE_CODE"]),
        name=row["ARPT_NAME"] or row["CITY"],
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        elev_msl_ft=elevation_ft(row["ELEV"]),
        pattern_agl_ft=CUSTOMARY_PATTERN_AGL_FT if customary else pattern_agl_ft,
        pattern_customary=customary,
        runways=tuple(join.strips.get(site, ())),
        radios=(*join.radios.get(id_, ()), *join.radios.get(f"#{site}", ())),
        note=joined(
            "private use" if row["FACILITY_USE_CODE"] == "PR" else "",
            *join.classes.get(site, ()),
            f"lights {row['LGT_SKED']}" if row["LGT_SKED"] else "",
            *join.control.get(site, ()),
            *join.remarks.get(site, ()),
        ),
        source=source,
    )


def _remark(row: Row) -> str:
    return f"{row['ELEMENT']}: {row['REMARK']}" if row["ELEMENT"] else row["REMARK"]


def _class_remark(row: Row) -> str:
    letters = [letter for letter in "BCDE" if row[f"CLASS_{letter}_AIRSPACE"] == "Y"]
    classes = f"class {' and '.join(letters)} airspace" if letters else ""
    return ", ".join(chain(filter(None, (classes, row["AIRSPACE_HRS"], row["REMARK"]))))

"""Radio services of the US subscription: who answers an aerodrome on which frequency, and when.

Only civil VHF channels are kept. The published use stands in the note of each service; our own
use is its first word that is known.
"""

import re
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from lubberline.places.model import Radio, RadioUse
from lubberline.places.published._account import Accounting, Unfit
from lubberline.places.published._table import Row, joined, rows
from lubberline.places.published.zips import Files, Member

RADIO_TABLES: Final = ("FRQ.csv", "ATC_BASE.csv", "ATC_ATIS.csv", "AWOS.csv")
# Lowest and highest channel name of the aeronautical mobile band: ICAO Annex 10 Volume V, 4.1
# (memory), as in a file of places.
LOW_MHZ: Final = 118.0
HIGH_MHZ: Final = 136.992

_NEEDED: Final = ("SERVICED_FACILITY", "FREQ", "FREQ_USE")
_WANTED: Final = (
    *("FAC_NAME", "FACILITY_TYPE", "TOWER_HRS", "SERVICED_FAC_NAME", "SERVICED_SITE_TYPE"),
    *("TOWER_OR_COMM_CALL", "PRIMARY_APPROACH_RADIO_CALL", "SECTORIZATION", "REMARK"),
)
_SITES: Final = frozenset(
    ("", "AIRPORT", "HELIPORT", "SEAPLANE BASE", "GLIDERPORT", "BALLOONPORT", "ULTRALIGHT")
)
_STATIONS: Final = ("ASOS", "AWOS")
_FREQUENCY: Final = re.compile(r"(\d{2,4}(?:\.\d+)?)\s*(.*)")
# The published use, ours, and what is said after the name of the facility.
_USES: Final[tuple[tuple[re.Pattern[str], RadioUse, str], ...]] = (
    (re.compile(r"\bLCL\b"), "tower", "TOWER"),
    (re.compile(r"\bGND\b"), "ground", "GROUND"),
    (re.compile(r"\bATIS\b"), "atis", "ATIS"),
    (re.compile(r"\b(?:ASOS|AWOS)"), "awos", ""),
    (re.compile(r"\bCTAF\b"), "ctaf", "CTAF"),
    (re.compile(r"\bAPCH\b|\bARR\b|\bCLASS [BC]\b|\bTRSA\b"), "approach", "APPROACH"),
    (re.compile(r"\bDEP\b"), "approach", "DEPARTURE"),
    (re.compile(r"\bCD\b|\bCLNC DEL\b"), "other", "CLEARANCE"),
    (re.compile(r"\bUNICOM\b"), "other", "UNICOM"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Control:
    """What the table of control facilities says of one aerodrome."""

    tower_hours: str = ""
    approach_hours: str = ""
    atis_hours: str = ""


def radios(
    files: Files, tables: Mapping[str, Member], account: Accounting
) -> dict[str, tuple[Radio, ...]]:
    """Services by identifier of the aerodrome they serve, primary channels first."""
    member = tables.get("FRQ.csv")
    if member is None:
        return {}
    control, site_of = _control(files, tables, account), _stations(files, tables, account)
    found: dict[str, dict[Radio, None]] = defaultdict(dict)
    table = rows(files, member, account, needed=_NEEDED, wanted=_WANTED)

    def make(row: Row) -> tuple[str, Radio]:
        if not _serves_aerodrome(row):
            raise Unfit("serves a radio aid or an outlet, no aerodrome")
        id_ = row["SERVICED_FACILITY"]
        return site_of.get(id_, id_) if _is_station(row) else id_, _radio(row, control)

    for id_, radio in account.made("radio services", member.name, table, make):
        found[id_][radio] = None
    return {id_: tuple(sorted(some, key=_is_secondary)) for id_, some in found.items()}


def _serves_aerodrome(row: Row) -> bool:
    """Not the services of radio aids and remote outlets, which stand in the same table."""
    return row["SERVICED_SITE_TYPE"].upper() in _SITES or _is_station(row)


def _is_station(row: Row) -> bool:
    return any(word in row["FACILITY_TYPE"].upper() for word in _STATIONS)


def _radio(row: Row, control: Mapping[str, Control]) -> Radio:
    match = _FREQUENCY.fullmatch(row["FREQ"])
    if match is None or match[2].startswith("/"):
        raise Unfit("no frequency of a voice channel")
    frequency_mhz = float(match[1])
    if not LOW_MHZ <= frequency_mhz <= HIGH_MHZ:
        raise Unfit(f"outside {LOW_MHZ:g} to {HIGH_MHZ:g} MHz: no civil VHF channel")
    published = row["FREQ_USE"].upper()
    use, word = next(
        ((use, word) for pattern, use, word in _USES if pattern.search(published)), ("other", "")
    )
    known = control.get(row["SERVICED_FACILITY"], Control())
    return Radio(
        facility=_facility(row, use, word),
        use=use,
        frequency_mhz=frequency_mhz,
        note=joined(row["FREQ_USE"], row["SECTORIZATION"], match[2], row["REMARK"]),
        hours=_hours(use, row, known),
    )


def _facility(row: Row, use: RadioUse, word: str) -> str:
    """The call as it is published, with the word for the service."""
    call = row["TOWER_OR_COMM_CALL"]
    if use == "approach":
        call = row["PRIMARY_APPROACH_RADIO_CALL"] or call
    if use == "awos":
        return f"{row['SERVICED_FACILITY']} {row['SERVICED_SITE_TYPE'] or 'AWOS'}"
    call = call or row["SERVICED_FAC_NAME"] or row["FAC_NAME"] or row["SERVICED_FACILITY"]
    return call if call.endswith(word) else f"{call} {word}"


def _hours(use: RadioUse, row: Row, known: Control) -> str:
    """Hours in local time, as published."""
    hours = {
        "tower": row["TOWER_HRS"] or known.tower_hours,
        "ground": row["TOWER_HRS"] or known.tower_hours,
        "approach": known.approach_hours,
        "atis": known.atis_hours,
    }.get(use, "")
    return f"{hours.rstrip('.')} local" if re.search(r"\d{4}", hours) else hours


def _is_secondary(radio: Radio) -> bool:
    return "/S" in radio.note.partition(";")[0]


def _control(files: Files, tables: Mapping[str, Member], account: Accounting) -> dict[str, Control]:
    """Hours by identifier of the facility."""
    hours: dict[str, dict[str, str]] = defaultdict(dict)
    for name, columns in (
        ("ATC_BASE.csv", {"TWR_HRS": "tower_hours", "CTL_PRVDING_HRS": "approach_hours"}),
        ("ATC_ATIS.csv", {"ATIS_HRS": "atis_hours"}),
    ):
        if name in tables:
            table = rows(files, tables[name], account, needed=("FACILITY_ID",), wanted=(*columns,))
            for _, row in table:
                said = {field: row[column] for column, field in columns.items() if row[column]}
                hours[row["FACILITY_ID"]] |= said
    return {id_: Control(**said) for id_, said in hours.items()}


def _stations(files: Files, tables: Mapping[str, Member], account: Accounting) -> dict[str, str]:
    """Key of the site of each weather station that lies at an aerodrome of another name."""
    if "AWOS.csv" not in tables:
        return {}
    needed = ("ASOS_AWOS_ID", "SITE_NO")
    table = rows(files, tables["AWOS.csv"], account, needed=needed)
    return {row["ASOS_AWOS_ID"]: f"#{row['SITE_NO']}" for _, row in table if row["SITE_NO"]}

"""Tables of the US subscription as they are published, with invented places in the open ocean.

Columns are in the order of the cycle of 2026-08-06, as its data structure files list them (of
the longest tables not the last ones); values are quoted and lines end as they do there.
"""

import csv
import io
import zipfile
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Final

DAY: Final = "2026/10/29"
_KEY: Final = "EFF_DATE SITE_NO SITE_TYPE_CODE STATE_CODE ARPT_ID CITY COUNTRY_CODE"
_LAT: Final = "LAT_DEG LAT_MIN LAT_SEC LAT_HEMIS LAT_DECIMAL"
_LONG: Final = "LONG_DEG LONG_MIN LONG_SEC LONG_HEMIS LONG_DECIMAL"
_ATC: Final = (
    "EFF_DATE SITE_NO SITE_TYPE_CODE FACILITY_TYPE STATE_CODE FACILITY_ID CITY COUNTRY_CODE"
)

COLUMNS: Final = {
    "APT_BASE.csv": f"{_KEY} REGION_CODE ADO_CODE STATE_NAME COUNTY_NAME COUNTY_ASSOC_STATE"
    f" ARPT_NAME OWNERSHIP_TYPE_CODE FACILITY_USE_CODE {_LAT} {_LONG} SURVEY_METHOD_CODE ELEV"
    " ELEV_METHOD_CODE MAG_VARN MAG_HEMIS MAG_VARN_YEAR TPA CHART_NAME DIST_CITY_TO_AIRPORT"
    " DIRECTION_CODE ACREAGE RESP_ARTCC_ID COMPUTER_ID ARTCC_NAME FSS_ON_ARPT_FLAG FSS_ID FSS_NAME"
    " PHONE_NO TOLL_FREE_NO ALT_FSS_ID ALT_FSS_NAME ALT_TOLL_FREE_NO NOTAM_ID NOTAM_FLAG"
    " ACTIVATION_DATE ARPT_STATUS FAR_139_TYPE_CODE FAR_139_CARRIER_SER_CODE ARFF_CERT_TYPE_DATE"
    " NASP_CODE ASP_ANLYS_DTRM_CODE CUST_FLAG LNDG_RIGHTS_FLAG JOINT_USE_FLAG MIL_LNDG_FLAG"
    " INSPECT_METHOD_CODE INSPECTOR_CODE LAST_INSPECTION LAST_INFO_RESPONSE FUEL_TYPES"
    " AIRFRAME_REPAIR_SER_CODE PWR_PLANT_REPAIR_SER BOTTLED_OXY_TYPE BULK_OXY_TYPE LGT_SKED"
    " BCN_LGT_SKED TWR_TYPE_CODE SEG_CIRCLE_MKR_FLAG BCN_LENS_COLOR LNDG_FEE_FLAG MEDICAL_USE_FLAG"
    " ARPT_PSN_SOURCE POSITION_SRC_DATE ARPT_ELEV_SOURCE ELEVATION_SRC_DATE CONTR_FUEL_AVBL"
    " TRNS_STRG_BUOY_FLAG TRNS_STRG_HGR_FLAG TRNS_STRG_TIE_FLAG OTHER_SERVICES WIND_INDCR_FLAG"
    " ICAO_ID MIN_OP_NETWORK USER_FEE_FLAG CTA",
    "APT_RWY.csv": f"{_KEY} RWY_ID RWY_LEN RWY_WIDTH SURFACE_TYPE_CODE COND TREATMENT_CODE PCN"
    " PAVEMENT_TYPE_CODE SUBGRADE_STRENGTH_CODE TIRE_PRES_CODE DTRM_METHOD_CODE RWY_LGT_CODE"
    " RWY_LEN_SOURCE LENGTH_SOURCE_DATE GROSS_WT_SW GROSS_WT_DW GROSS_WT_DTW GROSS_WT_DDTW",
    "APT_RWY_END.csv": f"{_KEY} RWY_ID RWY_END_ID TRUE_ALIGNMENT ILS_TYPE"
    " RIGHT_HAND_TRAFFIC_PAT_FLAG RWY_MARKING_TYPE_CODE RWY_MARKING_COND"
    " RWY_END_LAT_DEG RWY_END_LAT_MIN RWY_END_LAT_SEC"
    " RWY_END_LAT_HEMIS LAT_DECIMAL RWY_END_LONG_DEG RWY_END_LONG_MIN RWY_END_LONG_SEC"
    " RWY_END_LONG_HEMIS LONG_DECIMAL RWY_END_ELEV THR_CROSSING_HGT VISUAL_GLIDE_PATH_ANGLE"
    " LAT_DISPLACED_THR_DECIMAL LONG_DISPLACED_THR_DECIMAL DISPLACED_THR_ELEV DISPLACED_THR_LEN"
    " TDZ_ELEV VGSI_CODE RWY_VISUAL_RANGE_EQUIP_CODE RWY_VSBY_VALUE_EQUIP_FLAG"
    " APCH_LGT_SYSTEM_CODE RWY_END_LGTS_FLAG CNTRLN_LGTS_AVBL_FLAG TDZ_LGT_AVBL_FLAG",
    "APT_RMK.csv": f"{_KEY} LEGACY_ELEMENT_NUMBER TAB_NAME REF_COL_NAME ELEMENT REF_COL_SEQ_NO"
    " REMARK",
    "FRQ.csv": "EFF_DATE FACILITY FAC_NAME FACILITY_TYPE ARTCC_OR_FSS_ID CPDLC TOWER_HRS"
    " SERVICED_FACILITY SERVICED_FAC_NAME SERVICED_SITE_TYPE LAT_DECIMAL LONG_DECIMAL SERVICED_CITY"
    " SERVICED_STATE SERVICED_COUNTRY TOWER_OR_COMM_CALL PRIMARY_APPROACH_RADIO_CALL FREQ"
    " SECTORIZATION FREQ_USE REMARK",
    "ATC_BASE.csv": f"{_ATC} ICAO_ID FACILITY_NAME REGION_CODE TWR_OPERATOR_CODE TWR_CALL TWR_HRS"
    " PRIMARY_APCH_RADIO_CALL APCH_P_PROVIDER APCH_P_PROV_TYPE_CD SECONDARY_APCH_RADIO_CALL"
    " APCH_S_PROVIDER APCH_S_PROV_TYPE_CD PRIMARY_DEP_RADIO_CALL DEP_P_PROVIDER"
    " DEP_P_PROV_TYPE_CD SECONDARY_DEP_RADIO_CALL DEP_S_PROVIDER DEP_S_PROV_TYPE_CD"
    " CTL_FAC_APCH_DEP_CALLS APCH_DEP_OPER_CODE CTL_PRVDING_HRS SECONDARY_CTL_PRVDING_HRS",
    "ATC_RMK.csv": f"{_ATC} LEGACY_ELEMENT_NUMBER TAB_NAME REF_COL_NAME REMARK_NO REMARK",
    "ATC_ATIS.csv": f"{_ATC} ATIS_NO DESCRIPTION ATIS_HRS ATIS_PHONE_NO",
    "AWOS.csv": "EFF_DATE ASOS_AWOS_ID ASOS_AWOS_TYPE STATE_CODE CITY COUNTRY_CODE"
    f" COMMISSIONED_DATE NAVAID_FLAG {_LAT} {_LONG} ELEV SURVEY_METHOD_CODE PHONE_NO"
    " SECOND_PHONE_NO SITE_NO SITE_TYPE_CODE REMARK",
    "CLS_ARSP.csv": f"{_KEY} CLASS_B_AIRSPACE CLASS_C_AIRSPACE CLASS_D_AIRSPACE CLASS_E_AIRSPACE"
    " AIRSPACE_HRS REMARK",
    "NAV_BASE.csv": "EFF_DATE NAV_ID NAV_TYPE STATE_CODE CITY COUNTRY_CODE NAV_STATUS NAME"
    " STATE_NAME REGION_CODE COUNTRY_NAME FAN_MARKER OWNER OPERATOR NAS_USE_FLAG PUBLIC_USE_FLAG"
    f" NDB_CLASS_CODE OPER_HOURS {_LAT} {_LONG} ELEV MAG_VARN MAG_VARN_HEMIS MAG_VARN_YEAR CHAN"
    " FREQ",
    "FIX_BASE.csv": f"EFF_DATE FIX_ID ICAO_REGION_CODE STATE_CODE COUNTRY_CODE {_LAT} {_LONG}"
    " FIX_ID_OLD CHARTING_REMARK FIX_USE_CODE ARTCC_ID_HIGH ARTCC_ID_LOW PITCH_FLAG CATCH_FLAG"
    " SUA_ATCAA_FLAG MIN_RECEP_ALT COMPULSORY CHARTS",
}

Row = Mapping[str, object]
Tables = Mapping[str, Iterable[Row]]

MARL: Final = {"SITE_NO": "90001.1", "SITE_TYPE_CODE": "A", "ARPT_ID": "QML", "CITY": "MARL"}
WREN: Final = {"SITE_NO": "90002.", "SITE_TYPE_CODE": "A", "ARPT_ID": "Q0W", "CITY": "WREN"}
PAD: Final = {"SITE_NO": "90003.", "SITE_TYPE_CODE": "H", "ARPT_ID": "QPD", "CITY": "MARL"}
GONE: Final = {"SITE_NO": "90004.", "SITE_TYPE_CODE": "A", "ARPT_ID": "QGN", "CITY": "GANNET"}
OPEN: Final = {"ARPT_STATUS": "O", "FACILITY_USE_CODE": "PU"}

TABLES: Final[Tables] = {
    "APT_BASE.csv": [
        MARL
        | OPEN
        | {
            "ARPT_NAME": "MARL ISLAND",
            "LAT_DECIMAL": "41.10000000",
            "LONG_DECIMAL": "-130.50000000",
        }
        | {"ELEV": "112.4", "TPA": "800", "ICAO_ID": "QMRL", "LGT_SKED": "SS-SR"},
        WREN
        | {"ARPT_STATUS": "O", "FACILITY_USE_CODE": "PR", "ARPT_NAME": "WREN STRIP"}
        | {"LAT_DECIMAL": "41.3", "LONG_DECIMAL": "-131.2", "ELEV": "20"},
        PAD
        | OPEN
        | {
            "ARPT_NAME": "MARL PAD",
            "LAT_DECIMAL": "41.11",
            "LONG_DECIMAL": "-130.51",
            "ELEV": "90",
        },
        GONE
        | {"ARPT_STATUS": "CI", "ARPT_NAME": "GANNET", "LAT_DECIMAL": "41", "LONG_DECIMAL": "-131"},
    ],
    "APT_RWY.csv": [
        MARL
        | {"RWY_ID": "12/30", "RWY_LEN": "4200", "RWY_WIDTH": "75", "SURFACE_TYPE_CODE": "ASPH"}
        | {"COND": "GOOD", "RWY_LGT_CODE": "MED"},
        WREN | {"RWY_ID": "18/36", "RWY_LEN": "1800", "SURFACE_TYPE_CODE": "ASPH-TURF"},
        PAD | {"RWY_ID": "H1", "RWY_LEN": "50", "RWY_WIDTH": "50", "SURFACE_TYPE_CODE": "CONC"},
    ],
    "APT_RWY_END.csv": [
        MARL
        | {"RWY_ID": "12/30", "RWY_END_ID": "30", "TRUE_ALIGNMENT": "319"}
        | {"LAT_DECIMAL": "41.095640", "LONG_DECIMAL": "-130.495004", "RWY_END_ELEV": "104.0"}
        | {"RIGHT_HAND_TRAFFIC_PAT_FLAG": "N", "APCH_LGT_SYSTEM_CODE": "MALSR"},
        MARL
        | {"RWY_ID": "12/30", "RWY_END_ID": "12", "TRUE_ALIGNMENT": "139"}
        | {"LAT_DECIMAL": "41.104360", "LONG_DECIMAL": "-130.504996", "RWY_END_ELEV": "112.4"}
        | {"RIGHT_HAND_TRAFFIC_PAT_FLAG": "Y", "DISPLACED_THR_LEN": "300", "VGSI_CODE": "P2L"}
        | {"RWY_END_LGTS_FLAG": "Y"},
        WREN | {"RWY_ID": "18/36", "RWY_END_ID": "18"},
        WREN | {"RWY_ID": "18/36", "RWY_END_ID": "36"},
        PAD | {"RWY_ID": "H1", "RWY_END_ID": "H1"},
    ],
    "APT_RMK.csv": [
        MARL | {"TAB_NAME": "AIRPORT", "REF_COL_NAME": "GENERAL_REMARK", "REMARK": "GULLS ON RWY."},
        MARL | {"TAB_NAME": "RUNWAY_END", "ELEMENT": "12", "REMARK": 'MOLE CALLED "THE RIB".'},
    ],
    "FRQ.csv": [
        {"FACILITY": "QML", "FACILITY_TYPE": "ATCT", "SERVICED_FACILITY": "QML"}
        | {"SERVICED_SITE_TYPE": "AIRPORT", "TOWER_OR_COMM_CALL": "MARL", "TOWER_HRS": "0700-2100."}
        | {"FREQ": freq, "FREQ_USE": use, "PRIMARY_APPROACH_RADIO_CALL": "GANNET"}
        for freq, use in [
            ("257.8", "LCL/P"),
            ("119.15", "LCL/S"),
            ("118.6", "LCL/P"),
            ("121.7", "GND/P"),
            ("127.85", "D-ATIS"),
            ("124.475", "APCH/P DEP/P CLASS C"),
            ("122.1R", "UNICOM"),
        ]
    ]
    + [
        {"FACILITY": "QMX", "FACILITY_TYPE": "ASOS/AWOS", "SERVICED_FACILITY": "QMX"}
        | {"SERVICED_SITE_TYPE": "AWOS-3", "FREQ": "135.075", "FREQ_USE": "QMX AWOS-3"},
        {"FACILITY_TYPE": "CTAF", "SERVICED_FACILITY": "Q0W", "SERVICED_SITE_TYPE": "AIRPORT"}
        | {"FREQ": "122.9", "FREQ_USE": "CTAF", "SERVICED_FAC_NAME": "WREN STRIP"},
        {"FACILITY": "QVO", "FACILITY_TYPE": "VOR/DME", "SERVICED_FACILITY": "QVO"}
        | {"SERVICED_SITE_TYPE": "VOR/DME", "FREQ": "113.2/79X", "FREQ_USE": "QUIVER"},
    ],
    "ATC_BASE.csv": [
        {"FACILITY_ID": "QML", "FACILITY_TYPE": "ATCT", "TWR_CALL": "MARL", "TWR_HRS": "0700-2100."}
        | {"CTL_PRVDING_HRS": "24"}
    ],
    "ATC_RMK.csv": [
        {"FACILITY_ID": "QML", "SITE_NO": "90001.1", "REMARK": "RADAR BY GANNET APCH."},
    ],
    "ATC_ATIS.csv": [{"FACILITY_ID": "QML", "ATIS_NO": "1", "ATIS_HRS": "0630-2130"}],
    "AWOS.csv": [
        {"ASOS_AWOS_ID": "QMX", "ASOS_AWOS_TYPE": "AWOS-3", "SITE_NO": "90002."}
        | {"SITE_TYPE_CODE": "A", "LAT_DECIMAL": "41.3", "LONG_DECIMAL": "-131.2"}
    ],
    "CLS_ARSP.csv": [
        MARL
        | {"CLASS_D_AIRSPACE": "Y", "CLASS_E_AIRSPACE": "Y"}
        | {"AIRSPACE_HRS": "CLASS D SVC 0700-2100; OTHER TIMES CLASS G"}
    ],
    "NAV_BASE.csv": [
        {"NAV_ID": "QVO", "NAV_TYPE": "VOR/DME", "NAME": "QUIVER", "NAV_STATUS": "OPERATIONAL IFR"}
        | {"LAT_DECIMAL": "41.0", "LONG_DECIMAL": "-131.0", "CHAN": "079X", "FREQ": "113.2"}
        | {"OPER_HOURS": "24"},
        {"NAV_ID": "QN", "NAV_TYPE": "NDB", "NAME": "NOOK", "NAV_STATUS": "OPERATIONAL RESTRICTED"}
        | {"LAT_DECIMAL": "41.2", "LONG_DECIMAL": "-130.9", "FREQ": "365"},
        {"NAV_ID": "QSH", "NAV_TYPE": "VOR", "NAME": "SHUT", "NAV_STATUS": "SHUTDOWN"}
        | {"LAT_DECIMAL": "41.2", "LONG_DECIMAL": "-130.8", "FREQ": "110.0"},
    ],
    "FIX_BASE.csv": [
        {"FIX_ID": "VPQRB", "FIX_USE_CODE": "VFR  ", "CHARTING_REMARK": "SPLIT ROCK"}
        | {"LAT_DECIMAL": "41.05", "LONG_DECIMAL": "-130.7"},
        {"FIX_ID": "QAMBR", "FIX_USE_CODE": "WP   "}
        | {"LAT_DECIMAL": "41.15", "LONG_DECIMAL": "-130.6"},
    ],
}


def text_of(name: str, rows: Iterable[Row], *, day: str = DAY) -> str:
    """A table with all of its columns, all values quoted."""
    columns = COLUMNS[name].split()
    text = io.StringIO()
    writer = csv.DictWriter(text, columns, quoting=csv.QUOTE_ALL, lineterminator="\r\n")
    writer.writeheader()
    for row in rows:
        writer.writerow({"EFF_DATE": day, **row})
    return text.getvalue()


def write_folder(folder: Path, tables: Tables = TABLES, *, day: str = DAY) -> Path:
    """The tables unpacked into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, rows in tables.items():
        (folder / name).write_bytes(text_of(name, rows, day=day).encode())
    return folder


def csv_zip(tables: Tables = TABLES) -> bytes:
    """The zip file of the tables."""
    return zip_of({name: text_of(name, rows).encode() for name, rows in tables.items()})


def write_subscription(path: Path, tables: Tables = TABLES) -> Path:
    """The whole subscription: the zip file of the tables lies in another."""
    inner = {"CSV_Data/29_Oct_2026_CSV.zip": csv_zip(tables), "Readme.txt": b"invented"}
    path.write_bytes(zip_of(inner))
    return path


def zip_of(contents: Mapping[str, bytes]) -> bytes:
    """A zip file with these members."""
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in contents.items():
            archive.writestr(name, content)
    return file.getvalue()

"""Tables of aerodromes as volunteers publish them, invented in the open ocean."""

from pathlib import Path
from typing import Final

AIRPORTS: Final = (
    '"id","ident","type","name","latitude_deg","longitude_deg","elevation_ft","continent",'
    '"iso_country","iso_region","municipality","scheduled_service","icao_code","iata_code",'
    '"gps_code","local_code","home_link","wikipedia_link","keywords"',
    '1,"QMRL","small_airport","Marl ""Rib"" Field, South",41.1,-130.5,112,"OC","QQ","QQ-M","Marl",'
    '"no","QMRL",,"QMRL","QML",,,"gulls, mole"',
    '2,"QQ-0001","heliport","Marl Pád",41.11,-130.51,,"OC","QQ","QQ-M","Marl","no",,,,,,,',
    '3,"QGAN","closed","Gannet",41,-131,10,"OC","QQ","QQ-M",,"no",,,,,,,',
    '4,"QSEA","seaplane_base","Skua Lagoon",-41.5,179.9,0,"OC","QQ","QQ-M",,"no",,,,,,,',
)
RUNWAYS: Final = (
    '"id","airport_ref","airport_ident","length_ft","width_ft","surface","lighted","closed",'
    '"le_ident","le_latitude_deg","le_longitude_deg","le_elevation_ft","le_heading_degT",'
    '"le_displaced_threshold_ft","he_ident","he_latitude_deg","he_longitude_deg",'
    '"he_elevation_ft","he_heading_degT","he_displaced_threshold_ft"',
    '10,1,"QMRL",4200,75,"ASPH-G",1,0,"12",41.10436,-130.504996,112,139,300,"30",41.09564,'
    "-130.495004,104,319,",
    '11,1,"QMRL",1800,,"Grass / Sod",0,0,"18",,,,,,"36",,,,,',
    '12,1,"QMRL",2000,50,"GVL",0,1,"05",,,,,,"23",,,,,',
    '13,2,"QQ-0001",40,40,"CON",1,0,"H1",,,,,,"",,,,,',
    '14,4,"QSEA",9000,,"WATER",0,0,"ALL",,,,,,"WAY",,,,,',
)
FREQUENCIES: Final = (
    '"id","airport_ref","airport_ident","type","description","frequency_mhz"',
    '20,1,"QMRL","TWR","MARL TWR",118.6',
    '21,1,"QMRL","UNIC","UNICOM",122.95',
    '22,1,"QMRL","TWR","MARL TWR",257.8',
    '23,1,"QMRL","A/D","GANNET APP/DEP",124.475',
)
NAVAIDS: Final = (
    '"id","filename","ident","name","type","frequency_khz","latitude_deg","longitude_deg",'
    '"elevation_ft","iso_country","dme_frequency_khz","dme_channel","dme_latitude_deg",'
    '"dme_longitude_deg","dme_elevation_ft","slaved_variation_deg","magnetic_variation_deg",'
    '"usageType","power","associated_airport"',
    '30,"Q_VOR","QVO","Quiver","VOR-DME",113200,41.0,-131.0,20,"QQ",113200,"079X",,,,,,"BOTH",,',
    '31,"N_NDB","QN","Nook","NDB",398,41.2,-130.9,,"QQ",,,,,,,,"LO","MEDIUM",',
)
FILES: Final = {
    "airports.csv": AIRPORTS,
    "runways.csv": RUNWAYS,
    "airport-frequencies.csv": FREQUENCIES,
    "navaids.csv": NAVAIDS,
}


def write_folder(folder: Path) -> Path:
    """All four tables in a folder."""
    for name, lines in FILES.items():
        (folder / name).write_text("\n".join(lines) + "\n", encoding="utf-8")
    return folder

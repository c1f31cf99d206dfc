"""The words that headings of recordings use, and what each means.

Only words that mean one thing everywhere stand here. A height is told by its words and its unit,
the engine's number by what stands before its words.
"""

import re
from collections.abc import Mapping
from typing import Final

from lubberline.recording.model import GnssReference

LAT: Final = {"lat", "latitude", "gpslat", "gpslatitude", "latdeg", "positionlat"}
LON: Final = {"lon", "lng", "long", "longitude", "gpslon", "gpslongitude", "positionlong"}
TIME: Final = {
    *("time", "timestamp", "datetime", "utc", "utctime", "timeutc", "gpstime", "epoch"),
    *("unixtime", "posixtime", "unixtimestamp", "gpsutctime", "dateutc", "datetimeutc"),
    *("timestampms", "timems", "unixtimems"),
}
ELAPSED: Final = {"elapsed", "elapsedtime", "seconds", "sec", "secs", "elapsedseconds"}
DATE: Final = {"date", "utcdate", "gpsdate", "dateutc", "gpsutcdate"}
LOCAL_DATE: Final = {"localdate", "lcldate"}
LOCAL_TIME: Final = {"localtime", "lcltime"}
OFFSET: Final = {"utcoffset", "utcofst", "offsetutc"}

# Words of a quantity: our name without its unit, and the unit we keep it in.
WORDS: Final = {
    **dict.fromkeys(("gs", "groundspeed", "gndspd", "gspeed", "sog"), ("ground", "kt")),
    **dict.fromkeys(("speedoverground", "ground", "gpsspeed"), ("ground", "kt")),
    **dict.fromkeys(("ias", "indicatedairspeed"), ("ias", "kt")),
    **dict.fromkeys(("tas", "trueairspeed"), ("tas", "kt")),
    **dict.fromkeys(("cas", "calibratedairspeed"), ("cas", "kt")),
    **dict.fromkeys(("vs", "vspd", "verticalspeed", "verticalrate", "vertrate"), ("climb", "fpm")),
    **dict.fromkeys(("climb", "climbrate", "rateofclimb", "roc", "vario"), ("climb", "fpm")),
    **dict.fromkeys(("headingmag", "magneticheading", "hdgmag"), ("heading_mag", "deg")),
    **dict.fromkeys(("headingtrue", "trueheading", "hdgtrue"), ("heading_true", "deg")),
    **dict.fromkeys(("tracktrue", "truetrack", "trktrue", "cog"), ("track_true", "deg")),
    **dict.fromkeys(("trackmag", "magnetictrack", "trkmag"), ("track_mag", "deg")),
    **dict.fromkeys(("altind", "indicatedaltitude", "indicated"), ("indicated", "ft")),
    **dict.fromkeys(("agl", "heightagl", "altitudeagl", "altagl"), ("agl", "ft")),
    **dict.fromkeys(("altimetersetting", "qnh", "baroset", "altimeter"), ("altimeter", "inhg")),
    **dict.fromkeys(("heading", "hdg"), ("heading", "deg")),
    **dict.fromkeys(("track", "trk", "course"), ("track", "deg")),
    **dict.fromkeys(("pitch",), ("pitch", "deg")),
    **dict.fromkeys(("roll", "bank"), ("roll", "deg")),
    **dict.fromkeys(("baroa",), ("altimeter", "inhg")),
    **dict.fromkeys(("map", "mp", "manpress", "manifold"), ("manifold", "inhg")),
    **dict.fromkeys(("manifoldpress", "manifoldpressure"), ("manifold", "inhg")),
    **dict.fromkeys(("oilt", "oiltemp", "oiltemperature"), ("oil_temperature", "degc")),
    **dict.fromkeys(("oilp", "oilpress", "oilpressure"), ("oil_pressure", "psi")),
    **dict.fromkeys(("ff", "fflow", "fuelflow", "flow"), ("fuel_flow", "gph")),
    **dict.fromkeys(("fqty", "fuelqty", "fuelquantity"), ("fuel_quantity", "gal")),
    **dict.fromkeys(("fqtyl", "fuelqtyl", "fuelleft"), ("fuel_left", "gal")),
    **dict.fromkeys(("fqtyr", "fuelqtyr", "fuelright"), ("fuel_right", "gal")),
    **dict.fromkeys(("oat", "outsideairtemp", "outsideairtemperature"), ("oat", "degc")),
    **dict.fromkeys(("rpm", "enginerpm", "enginespeed"), ("engine", "rpm")),
}
# Short units that mean something beside these words only.
_HEAT: Final = re.compile(r"temp|cht|egt|tit|oil|oat|cyl|exhaust")
_AIR: Final = re.compile(r"baro|altimeter|map|manifold|^mp")
SHORT_UNITS: Final = (
    ("f", _HEAT, "degf"),
    ("c", _HEAT, "degc"),
    ("inch", _AIR, "inhg"),
    ("in", _AIR, "inhg"),
    ("hg", re.compile(""), "inhg"),
)
PRESSURE: Final = re.compile(r"press|baro|qne")
NOT_A_HEIGHT: Final = re.compile(r"accuracy|error|dop|rate|speed|setting|count")
HEIGHT: Final = re.compile(r"alt|height|hgt|elev|^ele$|msl$|hae|gnss$|geoid|ellipsoid")
REFERENCES: Final[Mapping[GnssReference, re.Pattern[str]]] = {
    "msl": re.compile(r"msl|geoid|orthometric"),
    "ellipsoid": re.compile(r"ellips|hae|wgs"),
}

# Headings of state vectors and the units its documentation gives them.
STATE_VECTORS: Final = {
    "lat_deg": ("lat", "deg"),
    "lon_deg": ("lon", "deg"),
    "pressure_ft": ("baroaltitude", "m"),
    "gnss_ft": ("geoaltitude", "m"),
    "ground_kt": ("velocity", "mps"),
    "track_true_deg": ("heading", "deg"),
    "climb_fpm": ("vertrate", "mps"),
    "on_ground_fraction": ("onground", "bool"),
    "position_update_s": ("lastposupdate", "s"),
}

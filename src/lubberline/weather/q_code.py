"""The five letters of a NOTAM's subject and condition in words [ICAO8126]_ (memory).

Only the common ones are here; the others keep their letters.
"""

from typing import Final

from lubberline.weather.advice import Consequence

SUBJECTS: Final = {
    "AC": "class B, C, D or E surface area",
    "AD": "air defense identification zone",
    "AE": "control area",
    "AF": "flight information region",
    "AR": "air traffic service route",
    "AT": "terminal control area",
    "AZ": "aerodrome traffic zone",
    "CA": "air/ground facility",
    "FA": "aerodrome",
    "FF": "fire fighting and rescue",
    "FM": "meteorological service",
    "FS": "snow removal equipment",
    "FU": "fuel availability",
    "IC": "instrument landing system",
    "LA": "approach lights",
    "LB": "aerodrome beacon",
    "LC": "runway centerline lights",
    "LE": "runway edge lights",
    "LF": "sequenced flashing lights",
    "LI": "runway end identifier lights",
    "LP": "precision approach path indicator",
    "LT": "threshold lights",
    "LX": "taxiway centerline lights",
    "LY": "taxiway edge lights",
    "MA": "movement area",
    "MD": "declared distances",
    "MK": "parking area",
    "MN": "apron",
    "MP": "aircraft stands",
    "MR": "runway",
    "MS": "stopway",
    "MT": "threshold",
    "MX": "taxiway",
    "NA": "all radio navigation facilities",
    "NB": "nondirectional beacon",
    "NM": "VOR/DME",
    "NT": "VORTAC",
    "NV": "VOR",
    "OB": "obstacle",
    "OL": "obstacle lights",
    "PI": "instrument approach procedure",
    "RA": "airspace reservation",
    "RD": "danger area",
    "RO": "overflying of",
    "RP": "prohibited area",
    "RR": "restricted area",
    "RT": "temporary restricted area",
    "SA": "ATIS",
    "ST": "aerodrome control tower",
    "WA": "air display",
    "WB": "aerobatics",
    "WC": "captive balloon or kite",
    "WD": "demolition of explosives",
    "WE": "exercises",
    "WG": "glider flying",
    "WL": "ascent of free balloon",
    "WM": "missile, gun or rocket firing",
    "WP": "parachute jumping",
    "WS": "burning or blowing gas",
    "WU": "unmanned aircraft",
    "WZ": "model flying",
    "XX": "in plain language",
}
CONDITIONS: Final = {
    "AH": "hours of service are now",
    "AK": "resumed normal operation",
    "AO": "operational",
    "AS": "unserviceable",
    "AU": "not available",
    "AW": "completely withdrawn",
    "CA": "activated",
    "CC": "completed",
    "CD": "deactivated",
    "CE": "erected",
    "CH": "changed",
    "CN": "canceled",
    "CS": "installed",
    "HW": "work in progress",
    "LC": "closed",
    "LI": "closed to flight by instruments",
    "LL": "usable for lengths and widths",
    "LP": "prohibited to",
    "LT": "limited to",
    "LV": "closed to flight by sight",
    "LW": "will take place",
    "TT": "hazard",
    "XX": "in plain language",
}
TRAFFIC: Final = {"I": "by instruments", "V": "by sight", "IV": "all flights", "K": "checklist"}
PURPOSES: Final = {
    "N": "immediate attention",
    "B": "briefing",
    "O": "flight operations",
    "M": "on request",
    "K": "checklist",
}
SCOPES: Final = {"A": "aerodrome", "E": "en route", "W": "warning", "K": "checklist"}


def q_words(code: str) -> tuple[str, str]:
    """Subject and condition of a code such as QMRLC, in words where they are known."""
    subject, condition = code[1:3], code[3:5]
    return SUBJECTS.get(subject, subject), CONDITIONS.get(condition, condition)


def q_consequence(code: str) -> Consequence:
    """What a code means to a flight.

    Examples
    --------
    >>> q_consequence("QMRLC"), q_consequence("QLEAS"), q_consequence("QRTCA")
    ('runway closed', 'lights', 'airspace')
    """
    subject, condition = code[1:3], code[3:5]
    if subject in {"MR", "FA"}:
        return "runway closed" if condition in {"LC", "LV", "AU"} else "other"
    if subject == "OL":
        return "obstacle"
    by_first: dict[str, Consequence] = {
        **dict.fromkeys("ARW", "airspace"),
        "L": "lights",
        "M": "taxiway",
        "O": "obstacle",
        **dict.fromkeys("IPN", "procedure"),
    }
    return by_first.get(subject[:1], "other")

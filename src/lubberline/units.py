"""Unit factors, each named TARGET_PER_SOURCE, and the few conversions that are not factors.

All numbers inside the program carry their unit in their name; the factors here are the only
place where one unit becomes another. Lengths, masses and times are exact by definition.
"""

import re
from collections.abc import Mapping
from typing import Final

from lubberline.errors import RangeError

M_PER_FT: Final = 0.3048  # exact: international foot, 1959 agreement
FT_PER_M: Final = 1.0 / M_PER_FT
M_PER_NM: Final = 1852.0  # exact: international nautical mile, SI brochure 9th ed., table 8
FT_PER_NM: Final = M_PER_NM / M_PER_FT
NM_PER_M: Final = 1.0 / M_PER_NM
M_PER_SM: Final = 1609.344  # exact: 5280 ft
SM_PER_M: Final = 1.0 / M_PER_SM
MPS_PER_KT: Final = 1852.0 / 3600.0  # exact
KT_PER_MPS: Final = 1.0 / MPS_PER_KT
KT_PER_KMH: Final = 1.0 / 1.852  # exact
FPM_PER_MPS: Final = 60.0 / M_PER_FT
S_PER_MIN: Final = 60.0
S_PER_H: Final = 3600.0
MIN_PER_H: Final = 60.0
S_PER_DAY: Final = 86_400.0
PA_PER_HPA: Final = 100.0
PA_PER_INHG: Final = 3386.389  # conventional inch of mercury: NIST SP 811 (2008), App. B.8
PA_PER_PSI: Final = 6894.757  # NIST SP 811 (2008), App. B.8
HPA_PER_INHG: Final = PA_PER_INHG / PA_PER_HPA
KELVIN_AT_0_DEGC: Final = 273.15  # exact
KG_PER_LB: Final = 0.45359237  # exact: international pound
L_PER_GAL: Final = 3.785411784  # exact: US gallon
MM_PER_IN: Final = 25.4  # exact
QT_PER_GAL: Final = 4.0  # exact
KW_PER_HP: Final = 0.74569987158227022  # exact: 550 ft lbf/s, NIST SP 811 (2008), App. B.8

# What one of the unit written comes to in the unit of the key.
_WRITTEN: Final[Mapping[str, Mapping[str, float]]] = {
    "lb": {"kg": 1.0 / KG_PER_LB},
    "gal": {"l": 1.0 / L_PER_GAL, "qt": 1.0 / QT_PER_GAL},
    "qt": {"l": QT_PER_GAL / L_PER_GAL, "gal": QT_PER_GAL},
    "gph": {"l/h": 1.0 / L_PER_GAL},
    "in": {"mm": 1.0 / MM_PER_IN, "cm": 10.0 / MM_PER_IN, "m": 1000.0 / MM_PER_IN},
    "ft": {"m": FT_PER_M},
    "nm": {"km": 1000.0 * NM_PER_M, "sm": M_PER_SM * NM_PER_M},
    "kt": {"km/h": KT_PER_KMH, "mph": M_PER_SM * NM_PER_M, "m/s": KT_PER_MPS},
    "fpm": {"m/s": FPM_PER_MPS},
    "hp": {"kw": 1.0 / KW_PER_HP},
    "inhg": {"hpa": 1.0 / HPA_PER_INHG},
    "min": {"h": MIN_PER_H},
}
_AMOUNT: Final = re.compile(r"\s*([-+]?\d+(?:\.\d+)?|[-+]?\.\d+)\s*([a-z/]+)\s*", re.IGNORECASE)


def degc_from_degf(temperature_degf: float) -> float:
    """Temperature in degrees Celsius."""
    return (temperature_degf - 32.0) / 1.8


def units_for(unit: str) -> tuple[str, ...]:
    """Every unit that may be written for a quantity kept in this one; empty for a strange one."""
    if unit == "degc":
        return ("degc", "degf")
    return (unit, *_WRITTEN[unit]) if unit in _WRITTEN else ()


def in_unit(text: str, unit: str) -> float:
    """The amount that a text such as "80 kg" gives, in the unit asked for.

    Raises
    ------
    RangeError
        If it is not a number and a unit of that kind.

    Examples
    --------
    >>> round(in_unit("80 kg", "lb"), 1)
    176.4
    """
    found = _AMOUNT.fullmatch(text)
    known = units_for(unit)
    written = found[2].lower() if found else ""
    if found is None or written not in known:
        raise RangeError(f"a number, or a text with a number and one of {', '.join(known)}")
    amount = float(found[1])
    return degc_from_degf(amount) if written == "degf" else amount * unit_factor(written, unit)


def unit_factor(written: str, unit: str) -> float:
    """What one of the unit written comes to in the unit asked for; both of ``units_for``."""
    return 1.0 if written == unit else _WRITTEN[unit][written]

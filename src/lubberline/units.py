"""Unit factors, each named TARGET_PER_SOURCE, and the few conversions that are not factors.

All numbers inside the program carry their unit in their name; the factors here are the only
place where one unit becomes another. Lengths, masses and times are exact by definition.
"""

from typing import Final

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
HPA_PER_INHG: Final = PA_PER_INHG / PA_PER_HPA
KELVIN_AT_0_DEGC: Final = 273.15  # exact
KG_PER_LB: Final = 0.45359237  # exact: international pound
L_PER_GAL: Final = 3.785411784  # exact: US gallon
MM_PER_IN: Final = 25.4  # exact


def degc_from_degf(temperature_degf: float) -> float:
    """Temperature in degrees Celsius."""
    return (temperature_degf - 32.0) / 1.8


def degf_from_degc(temperature_degc: float) -> float:
    """Temperature in degrees Fahrenheit."""
    return temperature_degc * 1.8 + 32.0

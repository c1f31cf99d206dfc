"""The letter that airspace goes by here, from its published class and type.

A type that forbids or warns decides before the class. Airspace of control without a class is taken
as C, where permission is needed, and the note says so. What has neither is U, unclassified.
"""

from typing import Final

UNCLASSIFIED: Final = "U"
PERMITTED: Final = "ABCD"  # who wants in must be answered first

_CLASSES: Final = frozenset("ABCDEFG")
# Letters as in the government's special use airspace: W warning, L alert, M military operations,
# Q danger, V where altitude must be reported.
_BY_TYPE: Final = {
    **dict.fromkeys(("R", "RESTRICTED", "TRA", "TSA", "TFR", "RCA", "CBA", "OFR"), "R"),
    **dict.fromkeys(("P", "PROHIBITED"), "P"),
}
_BY_MILDER_TYPE: Final = {
    **dict.fromkeys(("Q", "D", "DANGER", "D_OTHER"), "Q"),
    **dict.fromkeys(("W", "WARNING"), "W"),
    **dict.fromkeys(("ALERT", "A"), "L"),
    **dict.fromkeys(("MOA", "MTA"), "M"),
    **dict.fromkeys(("TMZ", "MODE C"), "V"),
}
_CONTROL: Final = frozenset(
    (
        "CTR",
        "CTA",
        "TMA",
        "CTR_P",
        "CTA_P",
        "TMA_P",
        "CTRZ",
        "OCA",
        "UTA",
        "AWY",
        "ATZ",
        "MATZ",
        "LTA",
    )
)


def letter_of(airspace_class: str, kind: str) -> tuple[str, str]:
    """The letter, and what had to be assumed ("" for nothing).

    >>> letter_of("D", "CTR"), letter_of("", "R"), letter_of("E", "Q"), letter_of("", "FIR")
    (('D', ''), ('R', ''), ('E', ''), ('U', ''))
    """
    letter, kind = airspace_class.strip().upper(), kind.strip().upper()
    if kind in _BY_TYPE:
        return _BY_TYPE[kind], ""
    if letter in _CLASSES and (letter in "ABCDE" or kind not in _BY_MILDER_TYPE):
        return letter, ""
    if kind in _BY_MILDER_TYPE:
        return _BY_MILDER_TYPE[kind], ""
    if kind in _CONTROL:
        return "C", f"{kind} without class, taken as C"
    return UNCLASSIFIED, ""

"""What a runway is made of, from the codes and words of its publishers.

A runway of several parts is as good as its worst one: the performance tables are for paved
runways, and what they do not know must not pass for it.
"""

from typing import Final

from lubberline.places.model import Surface
from lubberline.places.published._table import words_of

# Codes of the US 28-day subscription and abbreviations of the Aeronautical Information Manual
# and ICAO Doc 8400 (memory), with the words and short forms seen in open data; best first.
_NAMED: Final[dict[Surface, str]] = {
    "paved": "ASPH ASP ASPHALT CONC CON CONCRETE CEMENT PEM BIT BITUMEN BITUMINOUS TARMAC TAR"
    " PAVED MACADAM MAC BRICK",
    "grass": "TURF GRASS GRS SOD GR",
    "gravel": "GRVL GRAVEL GRV GVL CALICHE CORAL COR STONE ROCK CRUSHED CINDERS SHELLS",
    "dirt": "DIRT SAND SAN CLAY CLA EARTH GRE GRADED SILT LOAM LAT LATERITE SOIL MUD SALT",
    "snow": "SNOW SNO ICE",
    "water": "WATER WTR",
    "other": "MATS MET METAL PSP ALUM ALUMINUM STEEL WOOD DECK ROOF ROOFTOP NSTD OIL CHIP",
}
_WORDS: Final = {kind: frozenset(words_of(text)) for kind, text in _NAMED.items()}


def surface_of(text: str) -> Surface:
    """The worst of what the text names; "unknown" if it names nothing known.

    >>> [surface_of(text) for text in ("ASPH-CONC", "ASPH-TURF", "Asphalt/grass", "UNK")]
    ['paved', 'grass', 'grass', 'unknown']
    """
    words = words_of(text)
    named = [kind for kind in _WORDS if not _WORDS[kind].isdisjoint(words)]
    return named[-1] if named else "unknown"

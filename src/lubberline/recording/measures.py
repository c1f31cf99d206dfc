"""Units as files spell them, and as our names end in them: one factor between the two.

A column's own name says which unit it is wanted in; the file's heading or the column map says
which unit it comes in. Both must measure the same kind of thing.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.units import (
    KELVIN_AT_0_DEGC,
    L_PER_GAL,
    M_PER_FT,
    M_PER_NM,
    M_PER_SM,
    MPS_PER_KT,
    PA_PER_HPA,
    PA_PER_INHG,
    PA_PER_PSI,
    S_PER_H,
    S_PER_MIN,
)

_DEG_PER_RAD: Final = 57.295_779_513_082_32  # 180 / pi
_M_PER_KM: Final = 1000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """A unit: what it measures, and how many of that kind's base unit it is."""

    kind: str
    base_factor: float


MEASURES: Final = {
    "m": Measure(kind="length", base_factor=1.0),
    "ft": Measure(kind="length", base_factor=M_PER_FT),
    "km": Measure(kind="length", base_factor=_M_PER_KM),
    "nm": Measure(kind="length", base_factor=M_PER_NM),
    "sm": Measure(kind="length", base_factor=M_PER_SM),
    "mps": Measure(kind="speed", base_factor=1.0),
    "kt": Measure(kind="speed", base_factor=MPS_PER_KT),
    "kmh": Measure(kind="speed", base_factor=_M_PER_KM / S_PER_H),
    "mph": Measure(kind="speed", base_factor=M_PER_SM / S_PER_H),
    "fpm": Measure(kind="speed", base_factor=M_PER_FT / S_PER_MIN),
    "deg": Measure(kind="angle", base_factor=1.0),
    "rad": Measure(kind="angle", base_factor=_DEG_PER_RAD),
    "degps": Measure(kind="turn", base_factor=1.0),
    "degc": Measure(kind="temperature", base_factor=1.0),
    "degf": Measure(kind="temperature", base_factor=1.0 / 1.8),
    "k": Measure(kind="temperature", base_factor=1.0),
    "pa": Measure(kind="pressure", base_factor=1.0),
    "hpa": Measure(kind="pressure", base_factor=PA_PER_HPA),
    "inhg": Measure(kind="pressure", base_factor=PA_PER_INHG),
    "psi": Measure(kind="pressure", base_factor=PA_PER_PSI),
    "s": Measure(kind="time", base_factor=1.0),
    "min": Measure(kind="time", base_factor=S_PER_MIN),
    "h": Measure(kind="time", base_factor=S_PER_H),
    "gal": Measure(kind="volume", base_factor=1.0),
    "l": Measure(kind="volume", base_factor=1.0 / L_PER_GAL),
    "gph": Measure(kind="flow", base_factor=1.0),
    "mhz": Measure(kind="frequency", base_factor=1.0),
    "rpm": Measure(kind="rotation", base_factor=1.0),
    "percent": Measure(kind="percent", base_factor=1.0),
    "count": Measure(kind="number", base_factor=1.0),
    "ratio": Measure(kind="number", base_factor=1.0),
    "index": Measure(kind="number", base_factor=1.0),
    "factor": Measure(kind="number", base_factor=1.0),
    "bool": Measure(kind="yes or no", base_factor=1.0),
    "fraction": Measure(kind="yes or no", base_factor=1.0),
}
_ZERO_DEGC: Final = {"degc": 0.0, "degf": 32.0, "k": KELVIN_AT_0_DEGC}
OURS: Final = {  # what a column of a kind is converted to when only its words are known
    "length": "ft",
    "speed": "kt",
    "angle": "deg",
    "turn": "degps",
    "temperature": "degc",
    "pressure": "hpa",
    "time": "s",
    "volume": "gal",
    "flow": "gph",
    "frequency": "mhz",
    "rotation": "rpm",
    "percent": "percent",
    "number": "count",
    "yes or no": "fraction",
}
SPELLINGS: Final = {
    **dict.fromkeys(("meter", "meters", "metre", "metres", "mtr"), "m"),
    **dict.fromkeys(("feet", "foot"), "ft"),
    **dict.fromkeys(("nmi",), "nm"),
    **dict.fromkeys(("mi", "mile", "miles"), "sm"),
    **dict.fromkeys(("m/s", "m/sec", "ms-1"), "mps"),
    **dict.fromkeys(("kts", "kn", "knot", "knots"), "kt"),
    **dict.fromkeys(("km/h", "kph", "km/hr"), "kmh"),
    **dict.fromkeys(("ft/min", "feet/min"), "fpm"),
    **dict.fromkeys(("degree", "degrees", "°"), "deg"),
    **dict.fromkeys(("deg/s", "°/s", "deg/sec"), "degps"),
    **dict.fromkeys(("°c", "celsius", "deg c"), "degc"),
    **dict.fromkeys(("°f", "fahrenheit", "deg f"), "degf"),
    **dict.fromkeys(("mb", "mbar", "hectopascal"), "hpa"),
    **dict.fromkeys(("in hg", "in.hg", "inch hg"), "inhg"),
    **dict.fromkeys(("sec", "secs", "second", "seconds"), "s"),
    **dict.fromkeys(("liter", "liters", "litre", "litres"), "l"),
    **dict.fromkeys(("gals", "gallon", "gallons"), "gal"),
    **dict.fromkeys(("gal/h", "gal/hr"), "gph"),
    **dict.fromkeys(("%", "pct"), "percent"),
}


def unit_of(text: str) -> str | None:
    """Our spelling of a unit, None if it is not one we know."""
    plain = " ".join(text.lower().split())
    known = SPELLINGS.get(plain, plain)
    return known if known in MEASURES else None


def unit_of_name(name: str) -> str | None:
    """The unit a column name of ours ends in, None if it carries none."""
    return unit_of(name.rpartition("_")[2]) if "_" in name else None


def converted(values: FloatArray, from_unit: str, to_unit: str) -> FloatArray:
    """The same quantities in another unit of the same kind; both in our spelling."""
    if from_unit == to_unit:
        return values
    source, target = MEASURES[from_unit], MEASURES[to_unit]
    above = values - _ZERO_DEGC.get(from_unit, 0.0)
    scale = source.base_factor / target.base_factor
    return np.asarray(above * scale + _ZERO_DEGC.get(to_unit, 0.0))

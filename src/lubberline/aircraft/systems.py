"""What is handled differently from type to type: flaps, fuel, pump, heat, oil, limitations.

Values only. None is what the file does not say; the word "none" is that the airplane has no
such thing. How a thing is used stands in the words of the manual.
"""

from dataclasses import dataclass
from datetime import date
from typing import Final, Literal

NONE: Final = "none"
Selector = Literal["on or off", "left or right", "left, right or both", "each tank"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Flap:
    """One flap setting: the fastest it may be out [kt], the approach flown with it, its use."""

    name: str
    max_kt: float | None = None
    approach_kt: float | None = None
    use: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Oil:
    """Oil to fly with [qt], and what the dipstick showed on a day."""

    min_qt: float | None = None
    max_qt: float | None = None
    read_qt: float | None = None
    read_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Engine:
    """Limits of the engine that a recording can be held to; None is what the file does not say.

    ``source`` is where in the manual they stand.
    """

    source: str = ""
    oil_max_degc: float | None = None
    oil_min_psi: float | None = None
    oil_max_psi: float | None = None
    cht_max_degc: float | None = None
    egt_max_degc: float | None = None
    tit_max_degc: float | None = None
    max_rpm: float | None = None
    manifold_max_inhg: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerDown:
    """How power is taken off: cruise, descent and approach setting in ``unit``, in what steps.

    A step of at most ``step`` is followed by the next after ``each_min``. ``most_fpm`` is
    the steepest descent with power on; None where no limit was set.
    """

    unit: Literal["inHg", "rpm"]
    values: tuple[float, float, float]
    step: float
    each_min: float
    most_fpm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Systems:
    """Systems as the hand meets them: what kind, or when it is used, in words.

    ``fuel_min_gal`` is the least usable fuel aboard that the manual asks for at take-off.
    """

    fuel_selector: Selector | None = None
    boost_pump: str | None = None
    carburetor_heat: str | None = None
    alternate_air: str | None = None
    cowl_flaps: str | None = None
    gear_by_hand: str | None = None
    fuel_min_gal: float | None = None
    limitations: tuple[str, ...] | None = None

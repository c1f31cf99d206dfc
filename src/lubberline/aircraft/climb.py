"""Time, fuel and distance of a climb or a descent, and how far it glides.

Such tables print sums from a base up to each height, so that the figure for a stretch is the
difference of two. Without wind. A stretch that reaches below the first or above the last
printed height has no answer.
"""

from dataclasses import dataclass, replace
from math import isnan

from lubberline.air import isa_temperature_degc
from lubberline.aircraft.corrections import temperature_notes
from lubberline.aircraft.figures import Performance, Step, figure, no_answer
from lubberline.aircraft.model import Aircraft
from lubberline.aircraft.performance import air_place
from lubberline.units import FT_PER_NM


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """Time [min], fuel [gal] and distance through still air [NM] between two heights."""

    time: Performance
    fuel: Performance
    distance: Performance


def climb(
    aircraft: Aircraft,
    *,
    weight_lb: float,
    from_ft: float,
    to_ft: float,
    above_standard_degc: float = 0.0,
) -> Stretch:
    """A climb between two pressure heights, from ``climb_min``, ``climb_gal``, ``climb_nm``.

    Parameters
    ----------
    aircraft : Aircraft
        With the manual's tables.
    weight_lb, from_ft, to_ft : float
        Weight [lb] and the two pressure heights [ft]; NaN if not known.
    above_standard_degc : float
        How much warmer than standard the air is, at both heights [°C].

    References
    ----------
    [PHAK]_, chapter "Aircraft Performance", climb performance: figures at the cruising height
    less those at the field.
    """
    return _stretch(aircraft, "climb", weight_lb, (from_ft, to_ft), above_standard_degc)


def descent(
    aircraft: Aircraft,
    *,
    weight_lb: float,
    from_ft: float,
    to_ft: float,
    above_standard_degc: float = 0.0,
) -> Stretch:
    """A descent, arguments as for ``climb``; tables are sums from the base up to each height."""
    return _stretch(aircraft, "descent", weight_lb, (to_ft, from_ft), above_standard_degc)


def glide(aircraft: Aircraft, *, agl_ft: float) -> Performance:
    """Glide distance through still air from a height above the ground [NM].

    From the table ``glide_nm`` where there is one, else by the glide ratio.

    References
    ----------
    [AFH]_, "Emergency Procedures": a ratio of 10 to 1 is 10,000 ft for each 1,000 ft.
    """
    if "glide_nm" in aircraft.tables:
        return figure(aircraft, "glide_nm", {"agl_ft": agl_ft}, worse="falling")
    if isnan(agl_ft):
        return no_answer("glide_nm", "NM", "the height above the ground")
    reach_nm = agl_ft * aircraft.glide_ratio / FT_PER_NM
    words = f"glide ratio {aircraft.glide_ratio:g} from {agl_ft:,.0f} ft"
    return Performance(
        table="glide_nm",
        unit="NM",
        value=reach_nm,
        steps=(Step(words=words, value=reach_nm),),
        source=f"{aircraft.manual}, glide_ratio",
    )


def _stretch(
    aircraft: Aircraft,
    kind: str,
    weight_lb: float,
    heights_ft: tuple[float, float],
    warmer_degc: float,
) -> Stretch:
    places = [
        air_place(weight_lb, height_ft, float(isa_temperature_degc(height_ft)) + warmer_degc)
        for height_ft in heights_ft
    ]
    time, fuel, distance = (
        _difference(aircraft, f"{kind}_{unit}", *places) for unit in ("min", "gal", "nm")
    )
    return Stretch(time=time, fuel=fuel, distance=distance)


def _difference(
    aircraft: Aircraft, name: str, low: dict[str, float], high: dict[str, float]
) -> Performance:
    """The figure at the higher place less that at the lower, then the note on warm air."""
    below, above = (figure(aircraft, name, place, worse=None) for place in (low, high))
    if below.value is None or above.value is None:
        return below if below.value is None else above
    plain = above.value - below.value
    steps = [*above.steps, *(replace(step, value=-step.value) for step in below.steps)]
    steps += [
        Step(words=words, value=plain * percent / 100.0)
        for words, percent in temperature_notes(aircraft.tables[name], low)
    ]
    return replace(
        above,
        value=sum(step.value for step in steps),
        steps=tuple(steps),
        printed=(*above.printed, *below.printed),
    )

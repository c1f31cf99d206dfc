"""Indicated speeds that depend on weight or height, for the day.

From the manual's table where the file has one; else the one speed of ``[speeds]``, which for
maneuvering is scaled from the greatest weight.
"""

from math import nan, sqrt

from lubberline.aircraft.figures import Performance, Step, figure, no_answer
from lubberline.aircraft.model import Aircraft
from lubberline.line import ROUNDING


def maneuvering_speed(aircraft: Aircraft, *, weight_lb: float) -> Performance:
    """Maneuvering speed at a weight [kt], indicated.

    Parameters
    ----------
    aircraft : Aircraft
        With a table ``maneuvering_kt``, or the speed at the greatest take-off weight.
    weight_lb : float
        Weight [lb]; NaN if not known.

    Returns
    -------
    Performance
        The table's figure, never beyond its printed weights; without a table the speed times
        the root of the share of the greatest weight. None above that, below the empty weight,
        and where the weight is not known.

    References
    ----------
    [PHAK]_, chapter "Aerodynamics of Flight", maneuvering speed: it falls with weight, since
    the wing reaches its stalling angle at a load factor that grows with (V/VS) squared and VS
    with the root of weight.
    """
    if "maneuvering_kt" in aircraft.tables:
        return figure(aircraft, "maneuvering_kt", {"weight_lb": weight_lb}, worse=None)
    full_lb, empty_lb = aircraft.loading.max_takeoff_lb, aircraft.loading.empty_lb
    if not empty_lb <= weight_lb <= full_lb * (1.0 + ROUNDING):
        missing = f"a weight from {empty_lb:,g} to {full_lb:,g} lb; got {weight_lb:,.0f}"
        return no_answer("maneuvering_kt", "kt", missing)
    speed_kt = aircraft.speeds.maneuvering_kt * sqrt(weight_lb / full_lb)
    words = f"{aircraft.speeds.maneuvering_kt:g} kt times the root of {weight_lb:,.0f}/{full_lb:,g}"
    return _known(aircraft, "maneuvering_kt", speed_kt, words)


def best_glide_speed(aircraft: Aircraft, *, weight_lb: float) -> Performance:
    """Best glide [kt], indicated: by weight where the manual prints it, else its one speed."""
    return _printed(aircraft, "best_glide_kt", weight_lb=weight_lb)


def best_rate_speed(aircraft: Aircraft, *, weight_lb: float, pressure_ft: float) -> Performance:
    """Best rate of climb [kt], indicated: by height where the manual prints it."""
    return _printed(aircraft, "best_rate_kt", weight_lb=weight_lb, pressure_ft=pressure_ft)


def best_angle_speed(aircraft: Aircraft, *, weight_lb: float, pressure_ft: float) -> Performance:
    """Best angle of climb [kt], indicated: by height where the manual prints it."""
    return _printed(aircraft, "best_angle_kt", weight_lb=weight_lb, pressure_ft=pressure_ft)


def _printed(
    aircraft: Aircraft, name: str, *, weight_lb: float, pressure_ft: float = nan
) -> Performance:
    if name in aircraft.tables:
        place = {"weight_lb": weight_lb, "pressure_ft": pressure_ft}
        return figure(aircraft, name, place, worse=None)
    return _known(aircraft, name, getattr(aircraft.speeds, name), "the one speed printed")


def _known(aircraft: Aircraft, name: str, speed_kt: float, words: str) -> Performance:
    return Performance(
        table=name,
        unit="kt",
        value=speed_kt,
        steps=(Step(words=words, value=speed_kt),),
        source=f"{aircraft.manual}, speeds",
    )

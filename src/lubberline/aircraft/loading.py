"""Weight and balance: what a load comes to, as fuel burns, against the envelope.

Moments are weights times arms aft of the manual's datum. Fuel is drawn from all tanks in
proportion to what each holds, so that all run dry together. The envelope is a polygon of arm
and weight with straight edges that belong to it.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lubberline.aircraft.model import LoadingLimits
from lubberline.arrays import BoolArray, FloatArray, broadcast
from lubberline.errors import RangeError
from lubberline.line import ROUNDING


@dataclass(frozen=True, slots=True, kw_only=True)
class Loaded:
    """Total weight and moment about the datum."""

    weight_lb: float
    moment_lbin: float

    @property
    def arm_in(self) -> float:
        """Center of gravity aft of the datum."""
        return self.moment_lbin / self.weight_lb


@dataclass(frozen=True, slots=True, kw_only=True)
class States:
    """The four loadings that bound a flight."""

    ramp: Loaded
    takeoff: Loaded
    landing: Loaded
    zero_fuel: Loaded


def loaded(
    limits: LoadingLimits, *, load_lb: Mapping[str, float], fuel_gal: Mapping[str, float]
) -> Loaded:
    """Weight and moment of the airplane with this load and this fuel.

    Parameters
    ----------
    limits : LoadingLimits
        Empty weight, stations and tanks.
    load_lb : mapping of station name to weight
        People and bags [lb], 0 or more; a station left out is empty.
    fuel_gal : mapping of tank name to fuel
        Usable fuel [gal], 0 to what the tank holds; a tank left out is empty.

    Returns
    -------
    Loaded
        NaN where a weight or a fuel is NaN.

    Raises
    ------
    RangeError
        If a station or tank is not the airplane's, a load is negative, or a tank overflows.
        A station's own limit is not looked at: that is a finding.

    References
    ----------
    [PHAK]_, chapter "Weight and Balance", computational method.
    """
    station_arm_in = {station.name: station.arm_in for station in limits.stations}
    tank_arm_in = {tank.name: tank.arm_in for tank in limits.tanks}
    _check_names("load_lb", load_lb, station_arm_in)
    _check_names("fuel_gal", fuel_gal, tank_arm_in)
    for tank in limits.tanks:
        if fuel_gal.get(tank.name, 0.0) > tank.usable_gal * (1.0 + ROUNDING):
            raise RangeError(
                f"fuel_gal of {tank.name} is {fuel_gal[tank.name]:g} gal;"
                f" the tank holds {tank.usable_gal:g} gal usable"
            )
    items = [(limits.empty_lb, limits.empty_arm_in)]
    items += [(lb, station_arm_in[name]) for name, lb in load_lb.items()]
    items += [(gal * limits.fuel_lb_per_gal, tank_arm_in[name]) for name, gal in fuel_gal.items()]
    return Loaded(
        weight_lb=float(sum(lb for lb, _ in items)),
        moment_lbin=float(sum(lb * arm_in for lb, arm_in in items)),
    )


def burned(fuel_gal: Mapping[str, float], burn_gal: float) -> dict[str, float]:
    """Fuel left in each tank [gal] after a burn drawn in proportion to what each holds.

    A burn of more than there is leaves the tanks empty; whether fuel suffices is a finding of
    its own.

    Raises
    ------
    RangeError
        If the burn is negative.
    """
    if burn_gal < 0.0:
        raise RangeError(f"burn_gal is {burn_gal:g} gal; expected 0 or more")
    on_board_gal = sum(fuel_gal.values())
    if burn_gal >= on_board_gal:
        return dict.fromkeys(fuel_gal, 0.0)
    left_ratio = 1.0 - burn_gal / on_board_gal
    return {name: gal * left_ratio for name, gal in fuel_gal.items()}


def states(
    limits: LoadingLimits,
    *,
    load_lb: Mapping[str, float],
    fuel_gal: Mapping[str, float],
    taxi_gal: float,
    trip_gal: float,
) -> States:
    """The loading at the ramp, at take-off, at landing, and with all usable fuel gone.

    Parameters
    ----------
    limits, load_lb, fuel_gal
        As for ``loaded``; fuel as at the ramp.
    taxi_gal, trip_gal : float
        Burnt before take-off, and between take-off and landing [gal].

    Raises
    ------
    RangeError
        As for ``loaded`` and ``burned``.
    """

    def after(burn_gal: float) -> Loaded:
        return loaded(limits, load_lb=load_lb, fuel_gal=burned(fuel_gal, burn_gal))

    return States(
        ramp=after(0.0),
        takeoff=after(taxi_gal),
        landing=after(taxi_gal + trip_gal),
        zero_fuel=loaded(limits, load_lb=load_lb, fuel_gal={}),
    )


def arm_limits_in(
    limits: LoadingLimits, weight_lb: ArrayLike, *, near_in: ArrayLike | None = None
) -> tuple[FloatArray, FloatArray]:
    """Most forward and most aft center of gravity that the envelope allows at a weight.

    Parameters
    ----------
    limits : LoadingLimits
        With the envelope's corners in order.
    weight_lb : array_like, shape S
        Weight [lb].
    near_in : array_like, broadcast with S, optional
        An arm [in]. Where a dent in the envelope leaves several spans at one weight, the one
        nearest this arm; without it, the widest. Either choice lies inside the envelope, so
        that no arm outside can pass.

    Returns
    -------
    tuple of ndarray, broadcast shape
        Forward and aft limit [in]; NaN where the envelope has no such weight or an input is
        NaN.

    Raises
    ------
    ShapeError
        If the inputs do not broadcast.

    References
    ----------
    [PHAK]_, chapter "Weight and Balance", center of gravity limits and envelope graphs.
    """
    at_lb, near = broadcast(weight_lb, np.nan if near_in is None else near_in)
    wanted = np.ones(at_lb.shape, dtype=bool) if near_in is None else ~np.isnan(near)
    forward_in, aft_in = _spans_in(limits, _snapped_lb(limits, at_lb))
    gap_in = np.maximum(forward_in - near[..., None], near[..., None] - aft_in)
    gap_in = np.where(np.isnan(near)[..., None], 0.0, np.maximum(gap_in, 0.0))
    gap_in = np.where(np.isnan(forward_in), np.inf, gap_in)
    narrow_in = np.where(np.isnan(forward_in), np.inf, forward_in - aft_in)
    best = np.lexsort((narrow_in, gap_in), axis=-1)[..., :1]
    chosen = (
        np.take_along_axis(forward_in, best, axis=-1)[..., 0],
        np.take_along_axis(aft_in, best, axis=-1)[..., 0],
    )
    return np.where(wanted, chosen[0], np.nan), np.where(wanted, chosen[1], np.nan)


def arm_margin_in(limits: LoadingLimits, weight_lb: ArrayLike, arm_in: ArrayLike) -> FloatArray:
    """Distance from a center of gravity to the nearer limit at its weight; negative outside.

    Parameters
    ----------
    limits : LoadingLimits
        With the envelope's corners in order.
    weight_lb, arm_in : array_like, broadcast to S
        Weight [lb] and center of gravity [in].

    Returns
    -------
    ndarray, shape S
        Margin [in]; NaN where the envelope has no such weight or an input is NaN.

    Raises
    ------
    ShapeError
        If the inputs do not broadcast.
    """
    at_lb, at_in = broadcast(weight_lb, arm_in)
    forward_in, aft_in = arm_limits_in(limits, at_lb, near_in=at_in)
    return np.minimum(at_in - forward_in, aft_in - at_in)


def _check_names(what: str, given: Mapping[str, float], known: Iterable[str]) -> None:
    """Refuse names that the airplane does not have, and negative amounts."""
    names = list(known)
    for name, amount in given.items():
        if name not in names:
            raise RangeError(f"{what} names {name!r}; the airplane has {', '.join(names)}")
        if amount < 0.0:
            raise RangeError(f"{what} of {name} is {amount:g}; expected 0 or more")


def _snapped_lb(limits: LoadingLimits, weight_lb: FloatArray) -> FloatArray:
    """The weight, or the corner's weight where only float noise lies between them."""
    for corner_lb in np.unique(limits.envelope_lb):
        close = np.abs(weight_lb - corner_lb) <= ROUNDING * corner_lb
        weight_lb = np.where(close, corner_lb, weight_lb)
    return weight_lb


def _spans_in(limits: LoadingLimits, weight_lb: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Spans of arm inside the envelope at each weight, shape (..., spans); NaN where none.

    A level edge is the end of the part below it or above it: both are looked at, so that the
    edge itself belongs to the inside.
    """
    here = weight_lb[..., None]
    first_lb, second_lb = limits.envelope_lb, np.roll(limits.envelope_lb, -1)
    low_lb, high_lb = np.minimum(first_lb, second_lb), np.maximum(first_lb, second_lb)
    below = _crossings_in(limits, here, (low_lb < here) & (here <= high_lb))
    above = _crossings_in(limits, here, (low_lb <= here) & (here < high_lb))
    spans = np.concatenate([below, above], axis=-1)
    return spans[..., 0::2], spans[..., 1::2]


def _crossings_in(limits: LoadingLimits, weight_lb: FloatArray, crossed: BoolArray) -> FloatArray:
    """Arms at which edges are crossed, ascending, NaN behind; always an even number."""
    first_in, second_in = limits.envelope_arm_in, np.roll(limits.envelope_arm_in, -1)
    first_lb, second_lb = limits.envelope_lb, np.roll(limits.envelope_lb, -1)
    rise_lb = np.where(second_lb == first_lb, 1.0, second_lb - first_lb)
    part = (weight_lb - first_lb) / rise_lb
    arm_in = (1.0 - part) * first_in + part * second_in
    crossing_in = np.sort(np.where(crossed, arm_in, np.nan), axis=-1)
    return np.pad(
        crossing_in,
        [(0, 0)] * (crossing_in.ndim - 1) + [(0, crossing_in.shape[-1] % 2)],
        constant_values=np.nan,
    )

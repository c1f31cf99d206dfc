"""Weight and balance: what a load comes to, at the ramp and as fuel burns.

Moments are weights times arms aft of the manual's datum. Fuel is drawn in the order that the
manual gives, else from all tanks in proportion to what each holds, so that all run dry
together. Whether the result is allowed is asked of ``envelope``, and of ``burning`` for every
moment between and every other order.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from lubberline.aircraft.model import LoadingLimits
from lubberline.errors import RangeError
from lubberline.line import ROUNDING

_Amounts = Mapping[str, float]  # by name of station [lb] or of tank [gal]


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


def burned(
    fuel_gal: Mapping[str, float], burn_gal: float, *, order: Sequence[str] = ()
) -> dict[str, float]:
    """Fuel left in each tank [gal] after a burn, drawn in an order of tanks.

    Without an order it is drawn in proportion to what each holds. A burn of more than there is
    leaves the tanks empty; whether fuel suffices is a finding of its own.

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
    if not order:
        left_ratio = 1.0 - burn_gal / on_board_gal
        return {name: gal * left_ratio for name, gal in fuel_gal.items()}
    left_gal = dict(fuel_gal)
    for name in (one for one in order if one in left_gal):
        drawn_gal = min(burn_gal, left_gal[name])
        left_gal[name], burn_gal = left_gal[name] - drawn_gal, burn_gal - drawn_gal
    return left_gal


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
        left_gal = burned(fuel_gal, burn_gal, order=limits.burn_order)
        return loaded(limits, load_lb=load_lb, fuel_gal=left_gal)

    return States(
        ramp=after(0.0),
        takeoff=after(taxi_gal),
        landing=after(taxi_gal + trip_gal),
        zero_fuel=loaded(limits, load_lb=load_lb, fuel_gal={}),
    )


def _check_names(what: str, given: _Amounts, known: Iterable[str]) -> None:
    """Refuse names that the airplane does not have, and negative amounts."""
    names = list(known)
    for name, amount in given.items():
        if name not in names:
            raise RangeError(f"{what} names {name!r}; the airplane has {', '.join(names)}")
        if amount < 0.0:
            raise RangeError(f"{what} of {name} is {amount:g}; expected 0 or more")

"""Which of two tanks is burned when, so that they stay level and the landing is on the fuller.

One tank feeds at a time. The flight starts on the fuller one and changes as seldom as the
greatest imbalance lets it, so that no tank runs dry and the last change leaves the fuller one
for the landing. Changes lie in cruise where that is possible.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

MOST_RUNS_COUNT: Final = 24  # own: more changes than that nobody makes
_TRIES_COUNT: Final = 9


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A stretch on one tank: fuel burned since the start at its two ends, and what is left then.

    ``left_gal`` is by tank, at the end of the run.
    """

    tank: str
    from_gal: float
    until_gal: float
    left_gal: Mapping[str, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class TankOrder:
    """The runs of a flight. ``in_cruise`` is that every change lies in cruise."""

    runs: tuple[Run, ...]
    worst_gal: float
    in_cruise: bool


def tank_order(
    fuel_gal: Mapping[str, float],
    burn_gal: float,
    *,
    imbalance_max_gal: float | None,
    cruise_gal: tuple[float, float],
) -> TankOrder | None:
    """The order with the fewest changes; None if none serves.

    Parameters
    ----------
    fuel_gal : mapping of two tanks to fuel
        At the start [gal].
    burn_gal : float
        All that is burned until the landing [gal].
    imbalance_max_gal : float or None
        Greatest difference allowed between the tanks [gal]; None: the manual does not say.
    cruise_gal : tuple of two floats
        What is burned by the beginning and by the end of cruise [gal]: changes belong between.

    References
    ----------
    Own; with two tanks a and b the difference D falls by what is burned from a and rises by
    what is burned from b, so that the changes follow from D at the start, the limit and the burn.
    """
    fuller, other = sorted(fuel_gal, key=lambda name: -fuel_gal[name])
    second_best = None
    for count in range(1, MOST_RUNS_COUNT + 1):
        orders = list(
            _orders(fuel_gal, (fuller, other), burn_gal, count, imbalance_max_gal, cruise_gal)
        )
        calm = [one for one in orders if one.in_cruise]
        if calm:
            return calm[len(calm) // 2]
        second_best = second_best or (orders[len(orders) // 2] if orders else None)
    return second_best


def _orders(
    fuel_gal: Mapping[str, float],
    names: tuple[str, str],
    burn_gal: float,
    count: int,
    most_gal: float | None,
    cruise_gal: tuple[float, float],
) -> Iterator[TankOrder]:
    """Orders of so many runs in which no tank runs dry and the last is on the fuller tank."""
    ahead_gal = fuel_gal[names[0]] - fuel_gal[names[1]]
    for swing_gal in _swings_gal(burn_gal - ahead_gal, count, most_gal):
        first_gal = ahead_gal + swing_gal
        changes_gal = [first_gal + 2.0 * swing_gal * n for n in range(count - 1)]
        left_gal, runs = dict(fuel_gal), []
        for n, (from_gal, until_gal) in enumerate(pairwise([0.0, *changes_gal, burn_gal])):
            left_gal = {**left_gal, names[n % 2]: left_gal[names[n % 2]] - (until_gal - from_gal)}
            runs.append(
                Run(tank=names[n % 2], from_gal=from_gal, until_gal=until_gal, left_gal=left_gal)
            )
        if min(min(run.left_gal.values()) for run in runs) >= -1e-9:
            differ_gal = [abs(ahead_gal), *(_apart_gal(run.left_gal) for run in runs)]
            yield TankOrder(
                runs=tuple(runs),
                worst_gal=max(differ_gal),
                in_cruise=all(cruise_gal[0] <= at <= cruise_gal[1] for at in changes_gal),
            )


def _swings_gal(beyond_gal: float, count: int, most_gal: float | None) -> Iterator[float]:
    """How far the difference may swing so that it ends on the side of the tank in use.

    ``beyond_gal`` is what is burned beyond making both tanks alike.
    """
    if beyond_gal <= 0.0:  # the fuller tank alone stays the fuller one
        yield from (0.0,) if count == 1 else ()
        return
    if count == 1:
        return
    low_gal, high_gal = beyond_gal / (2 * count - 2), beyond_gal / (2 * count - 3)
    high_gal = high_gal if most_gal is None else min(high_gal, most_gal)
    if low_gal <= high_gal:
        yield from (float(one) for one in np.linspace(low_gal, high_gal, _TRIES_COUNT))


def _apart_gal(left_gal: Mapping[str, float]) -> float:
    return max(left_gal.values()) - min(left_gal.values())

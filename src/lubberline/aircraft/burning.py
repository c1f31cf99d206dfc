"""The center of gravity all along, as one tank after another is burned.

While one tank feeds, the moment is a straight line of the weight. Where the order of tanks is
not known, every order lies between two: the tanks emptied from the front, and from the back.
At each weight no order has less moment than one of these, or more than the other; and an
envelope is one area without holes, so that what lies between two paths inside it is inside.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from lubberline.aircraft.envelope import arm_limits_in
from lubberline.aircraft.loading import Loaded, loaded
from lubberline.aircraft.model import LoadingLimits
from lubberline.arrays import FloatArray

Path = tuple[Loaded, ...]
# Limits may jump at a corner's weight, so that each stretch is looked at just within its ends:
# by more than the noise that counts as the corner itself, and less than any scale shows.
_WITHIN: Final = 1e-8


@dataclass(frozen=True, slots=True, kw_only=True)
class Tightest:
    """The moment at which the center of gravity is nearest to a limit, or furthest beyond it.

    ``margin_in`` is negative outside. It and both limits are NaN where the envelope has no such
    weight.
    """

    loaded: Loaded
    forward_in: float
    aft_in: float
    margin_in: float


def burn_paths(
    limits: LoadingLimits,
    *,
    load_lb: Mapping[str, float],
    fuel_gal: Mapping[str, float],
    draws: Sequence[tuple[str, float]] = (),
) -> tuple[Path, ...]:
    """Loadings from the ramp to dry tanks, at the start and after each stretch on one tank.

    Parameters
    ----------
    limits, load_lb, fuel_gal
        As for ``loaded``; fuel as at the ramp.
    draws : sequence of tank and gallons
        What is drawn in turn, as planned. Then the tanks are emptied in the ``burn_order`` of
        the manual; where it gives none, along the two orders that enclose all others.

    Raises
    ------
    RangeError
        As for ``loaded``; if more is drawn from a tank than it has.
    """
    paths = []
    for order in outer_orders(limits):
        left_gal = {name: fuel_gal.get(name, 0.0) for name in order}
        path = [loaded(limits, load_lb=load_lb, fuel_gal=fuel_gal)]
        for tank, gal in (*draws, *((name, None) for name in order)):
            drawn_gal = left_gal[tank] if gal is None else gal
            left_gal[tank] = round(left_gal[tank] - drawn_gal, 9)  # without the noise of sums
            path.append(loaded(limits, load_lb=load_lb, fuel_gal=left_gal))
        paths.append(tuple(path))
    return tuple(paths)


def outer_orders(limits: LoadingLimits) -> tuple[tuple[str, ...], ...]:
    """The manual's order of tanks, or the two that enclose all others."""
    if limits.burn_order:
        return (limits.burn_order,)
    by_arm = tuple(one.name for one in sorted(limits.tanks, key=lambda tank: tank.arm_in))
    return by_arm, by_arm[::-1]


def tightest(limits: LoadingLimits, paths: Sequence[Path]) -> Tightest:
    """Where paths of falling weight, and all that lies between them, come nearest to a limit.

    Between the ends of a stretch, the corners of the envelope, and the weights at which the
    distance to a slanted edge is greatest or least, that distance only rises or only falls: so
    these weights are all that need be looked at.

    References
    ----------
    Own: on a stretch the arm is a + k / W, on an edge p + q W; their distance turns at W squared
    = -k / q.
    """
    weight_lb = _weights_lb(limits, paths)
    arms_in = np.stack([_moments_lbin(path, weight_lb) / weight_lb for path in paths])
    spans_in = [arm_limits_in(limits, weight_lb, near_in=arm_in) for arm_in in arms_in]
    forward_in = np.stack([forward for forward, _ in spans_in])
    aft_in = np.stack([aft for _, aft in spans_in])
    margin_in = np.minimum(arms_in - forward_in, aft_in - arms_in)
    ranked = np.where(np.isnan(margin_in), -np.inf, margin_in)
    which, at = np.unravel_index(int(ranked.argmin()), ranked.shape)
    return Tightest(
        loaded=Loaded(
            weight_lb=float(weight_lb[at]), moment_lbin=float(arms_in[which, at] * weight_lb[at])
        ),
        forward_in=float(forward_in[which, at]),
        aft_in=float(aft_in[which, at]),
        margin_in=float(margin_in[which, at]),
    )


def _weights_lb(limits: LoadingLimits, paths: Sequence[Path]) -> FloatArray:
    """Every weight to look at: the ends as they are, the others from just within both sides."""
    ends_lb = np.unique([one.weight_lb for path in paths for one in path])
    turns_lb = [_turns_lb(limits, *stretch) for path in paths for stretch in pairwise(path)]
    all_lb = np.unique(np.concatenate([ends_lb, limits.envelope_lb, *turns_lb]))
    all_lb = all_lb[(all_lb >= ends_lb[0]) & (all_lb <= ends_lb[-1])]
    within_lb = np.concatenate([all_lb * (1.0 - _WITHIN), all_lb * (1.0 + _WITHIN)])
    kept = (within_lb > ends_lb[0]) & (within_lb < ends_lb[-1])
    return np.concatenate([ends_lb, within_lb[kept]])


def _turns_lb(limits: LoadingLimits, heavy: Loaded, light: Loaded) -> FloatArray:
    """Weights at which the distance to an edge turns, along the line through two loadings."""
    burned_lb = heavy.weight_lb - light.weight_lb
    if burned_lb <= 0.0:
        return np.array([])
    tank_arm_in = (heavy.moment_lbin - light.moment_lbin) / burned_lb
    rest_lbin = heavy.moment_lbin - tank_arm_in * heavy.weight_lb
    lean_in = np.roll(limits.envelope_arm_in, -1) - limits.envelope_arm_in
    rise_lb = np.roll(limits.envelope_lb, -1) - limits.envelope_lb
    slanted = (lean_in != 0.0) & (rise_lb != 0.0)
    square = -rest_lbin * rise_lb[slanted] / lean_in[slanted]
    return np.asarray(np.sqrt(square[square > 0.0]))


def _moments_lbin(path: Path, weight_lb: FloatArray) -> FloatArray:
    ascending = path[::-1]
    known_lb = [one.weight_lb for one in ascending]
    return np.asarray(np.interp(weight_lb, known_lb, [one.moment_lbin for one in ascending]))
